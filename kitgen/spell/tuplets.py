"""Tuplets: which fits a stretch, and how notes are written inside it.

A tuplet of m parts stands in the time of the most parts of a plain value below m that fill the stretch: 3 in 2, 5, 6
and 7 in 4, 9 to 13 in 8; in a dotted beat 5 in 3, 7 in 6 (common practice). Inside, notes and rests last so many parts
as one value can say; no note lasts over the middle of an even number of parts but one that starts a whole number of
times its length into them, and in nine dots stand only where thirds start.
"""

from functools import lru_cache
from math import gcd, lcm

from kitgen.spell.gaps import Gap, Gaps, within
from kitgen.spell.search import SYMBOL, Piece, Ratio, Step, fewest, price
from kitgen.spell.ticks import MOST_PARTS, PLAIN, WRITTEN, odd_part

_LENGTHS = (1, 2, 3, 4, 6, 8, 12)
_DOTTED = (3, 6, 12)


def tuplet_step(gaps: Gaps, start: int, end: int) -> Step | None:
    """A stretch of a voice as one tuplet; None where it needs none or has none.

    Args:
        gaps: what happens in the voice.
        start: of the stretch, in ticks as the gaps are.
        end: of the stretch.
    """
    size = end - start
    actual = parts_of([at - start for at, _ in gaps if start < at < end], size)
    units, _ = odd_part(size)
    if actual > MOST_PARTS or not units or units % (actual // (actual & -actual)) == 0:
        return None
    normal = _normal(actual, units)
    part = size // normal
    if part not in PLAIN:
        return None
    inside = tuple(Gap(gap.at * actual // size, gap.kind) for gap in within(gaps, start, end))
    spelled = _in_parts(actual, inside)
    if spelled is None:
        return None
    ratio = Ratio(start, end, actual, normal, PLAIN[part])
    pieces = []
    for piece in spelled.pieces:
        value = part * (piece.end - piece.start)
        if value not in WRITTEN:
            return None
        name, dots = WRITTEN[value]
        at, to = (start + size * place // actual for place in (piece.start, piece.end))
        pieces.append(Piece(at, to, name, dots, piece.is_rest, piece.struck, ratio))
    return Step(spelled.cost + SYMBOL, end, tuple(pieces))


def parts_of(places: list[int], size: int) -> int:
    """Into how many parts a stretch has to be divided to hold these places, counted from its start.

    >>> parts_of([4, 6], 12)
    6
    """
    return lcm(*(size // gcd(place, size) for place in places))


def _normal(actual: int, units: int) -> int:
    """In the time of how many parts ``actual`` stand, in a stretch of so many units.

    >>> [_normal(actual, 1) for actual in (3, 5, 6, 7, 9)], [_normal(actual, 3) for actual in (5, 7)]
    ([2, 4, 4, 4, 8], [3, 6])
    """
    normal = units
    while normal * 2 < actual:
        normal *= 2
    return normal


@lru_cache(maxsize=4096)
def _in_parts(actual: int, gaps: Gaps) -> Step | None:
    """The spelling inside a tuplet, with places counted in its parts."""

    def steps(at: int, kind: str, until: int) -> list[Step]:
        may = _rest_may if kind == "silent" else _note_may
        return [
            Step(
                price(length in _DOTTED, kind),
                at + length,
                (Piece(at, at + length, "", 0, kind == "silent", kind in ("free", "held")),),
            )
            for length in _LENGTHS
            if length <= until - at and may(actual, at, length)
        ]

    return fewest(gaps, 0, actual, steps)


def _note_may(actual: int, at: int, length: int) -> bool:
    """True if a note shows the halves of an even number of parts, or the thirds of nine, see above."""
    if actual == 9:
        return length not in _DOTTED or at % 3 == 0
    half = actual // 2 if actual % 2 == 0 else actual
    return not at < half < at + length or at % length == 0


def _rest_may(actual: int, at: int, length: int) -> bool:
    return length not in _DOTTED and (actual == 3 or at % length == 0)
