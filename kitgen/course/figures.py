"""Figures that lines are composed of: cells of a beat, held values, notes cut short, and what stands beside what.

A figure is a line of whole beats, its notes as long as they can be: to the next one, or to the end of their beat.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import product

from kitgen.line import Line, Note
from kitgen.line.generators import evenly
from kitgen.line.stream import parts_struck
from kitgen.time import Meter, Meters

_HALF = Fraction(1, 2)
_MOST_PARTS = 9


@lru_cache(maxsize=512)
def cell_figure(boxes: str, meter: Meter) -> Line:
    """A cell of a beat, each note held to the next or to the beat's end.

    >>> str(cell_figure("x.xx", Meter(1, 4)))
    'x-xx'
    """
    beat = meter.beats[0]
    places = [beat * Fraction(index, len(boxes)) for index, box in enumerate(boxes) if box == "x"]
    return Line.of_onsets(places, _beats(meter, 1))


def silent_beat(meter: Meter) -> Line:
    """A beat of rest."""
    return Line((), _beats(meter, 1))


def suits(boxes: str, meter: Meter) -> bool:
    """True where a cell reads as one would write it in a meter: in 6/8 in threes, sixes in 4/4 by half beats.

    >>> [suits("x..xx.", Meter.parse(text)) for text in ("6/8", "4/4")], suits("xx", Meter.parse("6/8"))
    ([True, False], False)
    """
    parts = len(boxes)
    if meter.is_compound:
        return parts in (1, 3, 6)
    return parts != 6 or all(half in ("x..", "xxx", "...") for half in (boxes[:3], boxes[3:]))


@lru_cache(maxsize=64)
def held_figures(meter: Meter) -> tuple[Line, ...]:
    """Notes held over their beat, the plainest first: whole beats, one and a half, off the beat, over the barline."""
    beat, beats = meter.beats[0], len(meter.beats)
    found = [_held(meter, count) for count in range(2, beats + 1)]
    if not meter.is_compound and beats > 1:
        found.append(_figure(meter, 2, (0, Fraction(3, 2)), (Fraction(3, 2), _HALF)))
        found.append(_figure(meter, 2, (0, _HALF), (_HALF, 1), (Fraction(3, 2), _HALF)))
        found.append(_figure(meter, 2, (0, _HALF), (_HALF, Fraction(3, 2))))
    if beats > 1:
        whole = [(count, Fraction(1)) for count in range(2 * beats) if count not in (beats - 1, beats)]
        found.append(_figure(meter, 2 * beats, *whole, (beats - 1, Fraction(2))))
    return tuple(replace(line, meters=_beats(meter, int(line.span / beat))) for line in found)


def _held(meter: Meter, beats: int) -> Line:
    return _figure(meter, beats, (0, Fraction(beats)))


def _figure(meter: Meter, beats: int, *notes: tuple[Fraction | int, Fraction | int]) -> Line:
    """Notes as (start, length), both in beats."""
    beat = meter.beats[0]
    return Line(tuple(Note(beat * at, beat * length) for at, length in notes), _beats(meter, beats))


def _beats(meter: Meter, count: int) -> Meters:
    return Meters(((meter, meter.beats[0] * count),))


def cut_short(figures: Sequence[Line], meter: Meter) -> Iterator[Line]:
    """The figures with their last note cut by half, in compound meters by a third or two, and rest after it."""
    shares = (Fraction(2, 3), Fraction(1, 3)) if meter.is_compound else (_HALF,)
    for figure, share in product(figures, shares):
        if figure.notes and figure.notes[-1].end == figure.span:
            *others, last = figure.notes
            yield Line((*others, replace(last, length=last.length * share)), figure.meters)


def side_by_side(figures: Sequence[Line]) -> Iterator[Line]:
    """Every two different figures, one after the other."""
    for first, second in product(figures, repeat=2):
        if first != second:
            yield first + second


def even_bars(meter: Meter) -> Iterator[Line]:
    """A bar of so many even strokes, 2 to 9, each held to the next."""
    for count in range(2, _MOST_PARTS + 1):
        line = evenly(count, count, meter=meter)
        yield line


def likeness(figure: Line, other: Line) -> tuple[bool, int, int]:
    """How far a figure is from another, nearest first: in other divisions, in strokes that differ, in strokes."""
    own, others = set(parts_struck(figure)), set(parts_struck(other))
    strange = any(one % two and two % one for one, two in product(own, others))
    return strange, len(set(figure.onsets) ^ set(other.onsets)), len(figure.notes)
