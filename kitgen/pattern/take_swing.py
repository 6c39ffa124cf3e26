"""Which swing the strokes of a performance speak for, before any grid is tried.

Conventions: shares of a beat from 0 up to 1; a swing is heard in lone strokes between the two ends of a pair. Eighths
are looked for from 1.15:1 to 4:1: drummers were measured up to 3.5:1 (A. Friberg and A. Sundstrom, Music Perception
19(3), 2002), and where ratios of beats are gathered 4:1 is the bound (C. Corcoran and K. Frieler, Music Perception
38(4), 2021). Sixteenths are looked for up to 2.3:1.

A stroke three quarters through a beat may be the last of four swung sixteenths or the short one of two widely swung
eighths. Sixteenths swing in pairs, and the second pair begins on the half of the beat; where sixteenths are played
somebody strikes there too, the hat if no other. Where the half is passed over, as by a ride that has the beat and its
skip note alone, the eighths swing.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from statistics import median

from kitgen.pattern.feel import Feel

_BOUNDS = {8: (0.53, 0.80), 16: (0.53, 0.70)}  # where the middle of a pair may sound: 1.15:1 to 4:1, to 2.3:1
_LONE = {8: (0.4, 0.9), 16: (0.4, 0.8)}
_STRAY = {8: 0.15, 16: 0.4}
_ONE_STROKE = 0.1
_FEWEST = 8
_HALF, _LATE = (0.4, 0.6), (0.7, 0.9)
_HALVES_A_LATE = 0.5


def swings_of(beats: Sequence[Sequence[float]]) -> list[Feel]:
    """The swing of eighths and of sixteenths that lone strokes in the middle of a pair speak for.

    Args:
        beats: the shares of the onsets of each beat.

    >>> ride = [(0.0,), (0.0, 0.75)] * 10
    >>> [str(feel) for feel in swings_of(ride)]
    ['8 3:1']
    >>> hat = [(0.0, 0.31, 0.5, 0.81)] * 10
    >>> [str(feel) for feel in swings_of(hat)]
    ['16 1.65:1']
    """
    found = []
    for unit, (low, high) in _BOUNDS.items():
        middle = _agreed(list(_middles(beats, unit)), _STRAY[unit])
        if low <= middle <= high and (unit == 8 or _pairs_begin_on_halves(beats)):
            found.append(Feel(unit, Fraction(round(20 * middle / (1 - middle)), 20)))
    return found


def _agreed(middles: Sequence[float], stray: float) -> float:
    """The median of what lies around the median, strays left out; 0 where there are too few."""
    if len(middles) < _FEWEST:
        return 0.0
    about = median(middles)
    return median(place for place in middles if abs(place - about) < stray)


def _middles(beats: Sequence[Sequence[float]], unit: int) -> Iterator[float]:
    """Strokes that are alone between the ends of their pair, as shares of the pair."""
    pairs = unit // 8
    least, most = _LONE[unit]
    for shares in beats:
        for pair in range(pairs):
            inside = [place for place in (share * pairs - pair for share in shares) if 0.15 < place < 0.9]
            if inside and max(inside) - min(inside) < _ONE_STROKE:
                yield from (place for place in inside if least < place < most)


def _pairs_begin_on_halves(beats: Sequence[Sequence[float]]) -> bool:
    """True unless most beats that have a stroke late in them have none on their half."""
    late = [shares for shares in beats if _holds(shares, _LATE)]
    return sum(_holds(shares, _HALF) for shares in late) >= _HALVES_A_LATE * len(late)


def _holds(shares: Sequence[float], room: tuple[float, float]) -> bool:
    return any(room[0] < share < room[1] for share in shares)
