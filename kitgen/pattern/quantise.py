"""Free time onto a grid, beat by beat: what a division of a beat explains, and what it costs.

Conventions: shares are parts of a beat from 0 up to 1, deviations in seconds, costs in nats (the negative logarithm of
a probability, so that costs add). An onset is thought of as one of the grid's places, all equally likely, plus a
deviation that follows Student's t; a division costs what its places, its deviations and its rarity cost. A fine grid
thus fits more but pays for every onset. The kind of model follows A. T. Cemgil, P. Desain and B. Kappen, "Rhythm
Quantization for Transcription", Computer Music Journal 24(2), 2000; every number in it is ours.
"""

import math
from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitgen.time import Beat

FINEST_EXACT = 16
RARITIES: Mapping[str, Mapping[int, float]] = {
    "simple": {1: 0.0, 2: 0.3, 4: 0.8, 3: 1.2, 6: 2.2, 8: 2.8},
    "threes": {1: 0.0, 3: 0.3, 6: 0.8, 2: 1.5, 4: 2.2, 12: 2.8},
    "long": {1: 0.0, 2: 0.2, 4: 0.3, 8: 0.8, 3: 1.5, 6: 1.5, 12: 2.5, 16: 2.8},
}
_RAREST = 4.0
_TAIL = 10  # degrees of freedom of the deviations: players slip further than a normal distribution allows


@dataclass(frozen=True, slots=True)
class Residual:
    """How far onsets lay from the places they were put on.

    Args:
        worst_ms: the largest deviation in milliseconds, sign dropped.
        mean_ms: the mean deviation in milliseconds, signs dropped.
        count: how many onsets there were.
        where: bar and count of the largest deviation; empty where every onset was exact.
    """

    worst_ms: float
    mean_ms: float
    count: int
    where: str


# ---- what one beat costs ---------------------------------------------------------------------------------------


def kind_of(beat: Beat) -> str:
    """How a beat usually divides: ``simple``, in ``threes`` (6/8), or ``long``, a half note or more."""
    if beat.meter.denominator >= 8 and beat.length == 3 * beat.meter.unit:
        return "threes"
    return "long" if beat.length >= 2 else "simple"


def rarity(parts: int, kind: str) -> float:
    """What a division of a kind of beat costs before anything is heard."""
    return RARITIES[kind].get(parts, _RAREST)


def nearest(table: Sequence[float], share: float) -> int:
    """Index of the place nearest to a share; the last place of a table is the next beat's start.

    >>> nearest((0.0, 0.5, 1.0), 0.8), nearest((0.0, 0.5, 1.0), 0.7)
    (2, 1)
    """
    after = min(max(bisect_left(table, share), 1), len(table) - 1)
    return after if table[after] - share <= share - table[after - 1] else after - 1


def even_table(parts: int) -> tuple[float, ...]:
    """The places of an even division as shares, the next beat's start included."""
    return tuple(index / parts for index in range(parts + 1))


def misfit(shares: Sequence[float], table: Sequence[float], *, beat_s: float, spread_s: float) -> float:
    """What the onsets of one beat cost on the places of one division, its rarity left out.

    Args:
        shares: where they are, as shares of the beat.
        table: the division's places, from :func:`even_table` or swung.
        beat_s: the beat in seconds.
        spread_s: the standard deviation expected of a place.
    """
    indices = [nearest(table, share) for share in shares]
    scale = (beat_s / spread_s) ** 2 / _TAIL
    away = sum(
        math.log1p((share - table[index]) ** 2 * scale) for share, index in zip(shares, indices, strict=True)
    ) * ((_TAIL + 1) / 2)
    return away + len(set(indices)) * math.log(len(table) - 1)


def exact_parts(shares: Iterable[Fraction], *, slack: Fraction = Fraction(0), most: int = FINEST_EXACT) -> int | None:
    """The coarsest division whose places hold every share; None if there is none.

    Args:
        shares: where the onsets are, as shares of the beat.
        slack: how far from a place a share may lie, as a share of the beat.
        most: the finest division to try.

    >>> exact_parts([Fraction(0), Fraction(2, 5)]), exact_parts([Fraction(1, 17)])
    (5, None)
    """
    given = tuple(shares)
    for parts in range(1, most + 1):
        if all(abs(share * parts - round(share * parts)) <= slack * parts for share in given):
            return parts
    return None
