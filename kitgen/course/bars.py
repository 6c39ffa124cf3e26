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


class Material(NamedTuple):
    """What a page is composed of.

    Args:
        meter: of every bar; its beats are equal.
        new: figures of what is new, the plainest first; none where a page is of known things alone.
        known: figures to stand beside it, the best first.
        pulse: a beat struck once and held; None where that is not known.
        rest: a silent beat; None where that is not known.
        called: what the new figure is called in the labels of its rows.
    """

    meter: Meter
    new: tuple[Line, ...] = ()
    known: tuple[Line, ...] = ()
    pulse: Line | None = None
    rest: Line | None = None
    called: str = "new"

    @property
    def beats(self) -> int:
        """Beats of a bar."""
        return len(self.meter.beats)


def bar_of(material: Material, plan: str, beats: int | None = None) -> Line | None:
    """Figures in the order of a plan, over and over, until so many beats (a bar) are full; None if they cannot be.

    A figure that is longer than what is left is passed over.
    """
    left = material.beats if beats is None else beats
    figures = [figure for letter in plan if (figure := figure_for(material, letter)) is not None]
    spare = [figure for figure in (*figures, material.pulse, material.rest) if figure is not None]
    taken = list[Line]()
    for figure in cycle(figures):
        if not left:
            break
        fitting = figure if size_of(figure) <= left else _first_fitting(spare, left)
        if fitting is None:
            return None
        taken.append(fitting)
        left -= size_of(fitting)
    return None if left else joined(taken)


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


def _first_fitting(figures: Sequence[Line], beats: int) -> Line | None:
    return next((figure for figure in figures if size_of(figure) <= beats), None)


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
