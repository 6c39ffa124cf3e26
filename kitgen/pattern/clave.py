"""The clave: its strokes, its two sides, and which side a rhythm agrees with.

A clave lasts two bars of 4/4, 2/2, 2/4 or 6/8, or one of 12/8; the half with three strokes comes first in 3-2, second
in 2-3, so that swapping the sides swaps the bars. In 4/4 and 2/2 a bar is eight eighths, in 2/4 eight sixteenths, in
6/8 (and in each half of 12/8) six eighths.

Which side a rhythm agrees with is a matter of counting: its strokes that lie on the one and on the other. Two strokes
more decide; one more does not. A rhythm longer than a clave is counted clave by clave: it has the side that some of
them decide for and none against. Where nothing decides and the counts tie, and only there, an accented or lone "& of 2"
(the fourth eighth of a bar) decides for the half that has it as the 3-side, unless both have it, as the tumbao has.
Common practice.
"""

from collections.abc import Collection, Iterable
from fractions import Fraction
from typing import NamedTuple

from kitgen.errors import OptionError
from kitgen.time import Meter, Meters

KINDS = ("son", "rumba")
SIDES = ("3-2", "2-3")
EITHER = "either"

_SIXTEEN = {"son": (0, 3, 6, 10, 12), "rumba": (0, 3, 7, 10, 12)}
_TWELVE = {"son": (0, 2, 4, 7, 9), "rumba": (0, 2, 5, 7, 9)}
_BELL = (0, 2, 4, 5, 7, 9, 11)
_DECIDES = 2
_EIGHTHS_A_HALF, _AND_OF_2 = 8, 3


class Agreement(NamedTuple):
    """How many strokes of a rhythm lie on each side of a clave.

    Args:
        three_two: on the 3-2 clave.
        two_three: on the 2-3 clave.
    """

    three_two: int
    two_three: int

    @property
    def side(self) -> str:
        """The side that has at least two strokes more; ``either`` if none has."""
        if abs(self.three_two - self.two_three) < _DECIDES:
            return EITHER
        return SIDES[0] if self.three_two > self.two_three else SIDES[1]

    def on(self, side: str) -> int:
        """The strokes on a named side."""
        return self[_index(side)]


def swapped(side: str) -> str:
    """The other side: 2-3 for 3-2."""
    return SIDES[1 - _index(side)]


def _index(side: str) -> int:
    if side not in SIDES:
        raise OptionError(f"a clave side of {side!r}; it is one of {', '.join(SIDES)}")
    return SIDES.index(side)


def clave_span(meter: Meter) -> Fraction | None:
    """How long a clave lasts under a meter, in quarters; None where the meter has none.

    >>> [clave_span(Meter.parse(text)) for text in ("4/4", "2/4", "6/8", "12/8", "3/4")]
    [Fraction(8, 1), Fraction(4, 1), Fraction(6, 1), Fraction(6, 1), None]
    """
    if meter in (Meter(4, 4), Meter(2, 2), Meter(2, 4), Meter(6, 8)):
        return meter.span * 2
    return meter.span if meter == Meter(12, 8) else None


def clave_cycle(meters: Meters) -> Fraction | None:
    """How long a clave lasts under a map, in quarters; None where its meters have none, or it does not come round."""
    spans = {clave_span(meter) for meter, _ in meters.runs}
    span = spans.pop() if len(spans) == 1 else None
    return None if span is None or meters.span % span else span


def clave(kind: str = "son", side: str = "3-2", meter: Meter | None = None) -> tuple[Fraction, ...]:
    """The strokes of a clave, in quarters from its start.

    Args:
        kind: ``son`` or ``rumba``.
        side: ``3-2`` or ``2-3``.
        meter: 4/4 when left out; see :func:`clave_span` for those that have a clave.

    Raises:
        OptionError: no such clave or side, or a meter without one.

    >>> [int(at * 2) for at in clave("son", "2-3")]
    [2, 4, 8, 11, 14]
    """
    if kind not in KINDS:
        raise OptionError(f"a {kind!r} clave; it is one of {', '.join(KINDS)}")
    return _placed(_TWELVE[kind] if meter is not None and meter.denominator == 8 else _SIXTEEN[kind], side, meter)


def bell(side: str = "3-2", meter: Meter | None = None) -> tuple[Fraction, ...]:
    """The strokes of the bell of 6/8, in quarters from its start; every stroke of the rumba clave lies on it.

    Args:
        side: ``3-2``, or ``2-3`` for the other half first.
        meter: 6/8 when left out, or 12/8.

    Raises:
        OptionError: another meter, or no such side.

    >>> [int(at * 2) for at in bell()]
    [0, 2, 4, 5, 7, 9, 11]
    """
    meter = meter or Meter(6, 8)
    if meter not in (Meter(6, 8), Meter(12, 8)):
        raise OptionError(f"the bell of twelve eighths stands under 6/8 or 12/8, not {meter}")
    return _placed(_BELL, side, meter)


def _placed(boxes: tuple[int, ...], side: str, meter: Meter | None) -> tuple[Fraction, ...]:
    meter = meter or Meter(4, 4)
    span = clave_span(meter)
    if span is None:
        raise OptionError(f"{meter} has no clave; 4/4, 2/2, 2/4, 6/8 and 12/8 have")
    count = 12 if meter.denominator == 8 else 16
    turn = count // 2 * _index(side)
    return tuple(sorted(Fraction((box + turn) % count) * span / count for box in boxes))


def agreement(strokes: Iterable[Fraction], meters: Meters, *, kind: str = "son") -> Agreement | None:
    """How many strokes lie on each side of a clave; None where the map has no clave or it does not come round.

    Args:
        strokes: in quarters; an instant given twice counts twice, so that a limb that plays everything hides nothing.
        meters: the map they stand under; a rhythm of several claves is counted over all of them.
        kind: ``son`` or ``rumba``.
    """
    counts = agreements(strokes, meters, kind=kind)
    return Agreement(*map(sum, zip(*counts, strict=True))) if counts else None


def agreements(strokes: Iterable[Fraction], meters: Meters, *, kind: str = "son") -> tuple[Agreement, ...]:
    """As :func:`agreement`, clave by clave; empty where there is none."""
    cycle = clave_cycle(meters)
    if cycle is None:
        return ()
    three_two, two_three = (frozenset(clave(kind, side, meters.runs[0][0])) for side in SIDES)
    counts = [[0, 0] for _ in range(int(meters.span / cycle))]
    for at in strokes:
        turn, place = divmod(at, cycle)
        counts[turn][0] += place in three_two
        counts[turn][1] += place in two_three
    return tuple(Agreement(*pair) for pair in counts)


def side_of(
    strokes: Iterable[Fraction], meters: Meters, *, kind: str = "son", accents: Collection[Fraction] = ()
) -> str:
    """The side a rhythm agrees with: ``3-2``, ``2-3`` or ``either``.

    Args:
        strokes: the rhythm, in quarters; see the head of this module for one longer than a clave.
        meters: the map it stands under; where it has no clave, the answer is ``either``.
        kind: ``son`` or ``rumba``.
        accents: the accented strokes among them; heeded only where the counts tie.

    >>> side_of(clave("rumba", "2-3"), Meters.of(Meter(4, 4), 2), kind="son")
    '2-3'
    """
    struck = tuple(strokes)
    counts = agreements(struck, meters, kind=kind)
    decided = {count.side for count in counts} - {EITHER}
    if decided:
        return EITHER if len(decided) > 1 else decided.pop()
    if sum(count.three_two - count.two_three for count in counts):
        return EITHER
    return _hinted(frozenset(struck), meters, frozenset(accents))


def _hinted(struck: frozenset[Fraction], meters: Meters, accents: frozenset[Fraction]) -> str:
    """The side an accented or lone "& of 2" marks, if only one half of the clave has it; binary meters alone."""
    cycle = clave_cycle(meters)
    if cycle is None or meters.runs[0][0].denominator == 8:
        return EITHER
    half = cycle / 2
    box = half / _EIGHTHS_A_HALF
    marked = set()
    for turn in range(int(meters.span / half)):
        at = half * turn + box * _AND_OF_2
        lone = at in struck and not any(at - box <= other <= at + box for other in struck - {at})
        if at in accents or lone:
            marked.add(turn % 2)
    return SIDES[marked.pop()] if len(marked) == 1 else EITHER
