"""Bars put together from figures by short plans.

A figure is a line of whole beats. A plan is letters for figures: N what is new, K and L what stands beside it, P a beat
struck once and held.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import cycle, islice
from typing import NamedTuple, TypeVar

from kitgen.line import Line, Note
from kitgen.time import Meter, Meters

_T = TypeVar("_T")
_WITH_MIDDLE = 4


class Material(NamedTuple):
    """What a page is composed of.

    Args:
        meter: of every bar; its beats are equal.
        new: figures of what is new, the plainest first; none where a page is of known things alone.
        known: figures to stand beside it, the best first.
        pulse: a beat struck once and held; None where that is not known.
        rest: a silent beat; None where that is not known.
        called: what the new figure is called in the labels of its rows; empty for none.
        lengths: the rows show how long notes are, so that lines may differ in that alone.
    """

    meter: Meter
    new: tuple[Line, ...] = ()
    known: tuple[Line, ...] = ()
    pulse: Line | None = None
    rest: Line | None = None
    called: str = "new"
    lengths: bool = False

    @property
    def beats(self) -> int:
        """Beats of a bar."""
        return len(self.meter.beats)


def bar_of(material: Material, plan: str, beats: int | None = None) -> Line | None:
    """Figures in the order of a plan, over and over, until the bar is full, or its last beats; None if they cannot be.

    A figure that is longer than what is left is passed over; one that would hide the middle of the bar waits for the
    next beat.
    """
    at = 0 if beats is None else material.beats - beats
    figures = [figure for letter in plan if (figure := figure_for(material, letter)) is not None]
    spare = [figure for figure in (*figures, material.pulse, material.rest) if figure is not None]
    taken, waiting = list[Line](), cycle(figures)
    figure = None
    while at < material.beats:
        figure = next(waiting, None) if figure is None else figure
        if figure is None:
            return None
        fitting = next((one for one in (figure, *spare) if stands(material, one, at)), None)
        if fitting is None:
            return None
        taken.append(fitting)
        at += size_of(fitting)
        if fitting is figure or size_of(figure) > material.beats - at:
            figure = None
    return joined(taken)


def stands(material: Material, figure: Line, at: int) -> bool:
    """True where a figure goes into what is left of a bar after so many beats, and leaves its middle in sight.

    In bars of four beats and more that have a middle no note may start on a beat and last over it, unless it starts the
    bar: it would be read wrong, and is written with a tie (common practice). Notes off the beat are tied anyway.
    """
    beats, beat = material.beats, material.meter.beats[0]
    if size_of(figure) > beats - at:
        return False
    if beats % 2 or beats < _WITH_MIDDLE or size_of(figure) == 1:
        return True
    edges = (((note.onset / beat) + at, (note.end / beat) + at) for note in figure.notes)
    return not any(start and start.denominator == 1 and start < beats // 2 < end for start, end in edges)


def figure_for(material: Material, letter: str) -> Line | None:
    """The figure a letter of a plan stands for; the next best thing where there is none of its kind."""
    new, known = material.new[:1], material.known
    choices = {
        "N": (*new, *known[:1], material.pulse),
        "K": (*known[:1], material.pulse, material.rest),
        "L": (*known[1:2], *material.new[1:2], *known[:1], material.pulse, material.rest),
        "P": (material.rest, material.pulse) if material.pulse in material.new else (material.pulse, material.rest),
    }[letter]
    return next((figure for figure in choices if figure is not None), None)


def size_of(figure: Line) -> int:
    """Beats of a figure."""
    return len(figure.meters.beats)


def holds(line: Line, figure: Line) -> bool:
    """True if a figure stands in a line, on one of its beats."""
    wanted = [(note.onset, note.length) for note in figure.notes]
    for beat in line.meters.beats:
        start, end = beat.start, beat.start + figure.span
        inside = [(note.onset - start, note.length) for note in line.notes if start <= note.onset < end]
        if inside == wanted and end <= line.span:
            return True
    return False


def joined(lines: Sequence[Line]) -> Line:
    """Lines one after the other."""
    notes, meters, span = list[Note](), Meters(), Fraction(0)
    for line in lines:
        notes += [note.moved(span) for note in line.notes] if span else line.notes
        meters, span = meters + line.meters, span + line.span
    return Line(tuple(notes), meters)


def turned(choices: Sequence[_T], by: int) -> tuple[_T, ...]:
    """A sequence that starts at another place, the rest after it.

    >>> turned("abcd", 6)
    ('c', 'd', 'a', 'b')
    """
    if not choices:
        return ()
    start = by % len(choices)
    return tuple(islice(cycle(choices), start, start + len(choices)))
