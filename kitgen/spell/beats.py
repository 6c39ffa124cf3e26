"""The shape of a bar: its beats, which of them belong together, and what beams hold together.

Conventions: ticks from the barline (see :mod:`kitgen.spell.ticks`). A beat of one plain value divides in twos; one of
three (the dotted quarter of 6/8, the three of 7/8) in three units, each in twos; one of five or seven in its units.
Beats of a group (two and two in 4/4 and 12/8, three and two in 5/4) may be written over, a group's edge may not: that
of 4/4 is the middle of the bar. Common practice.
"""

from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from kitgen.spell.refusal import Unspellable
from kitgen.spell.ticks import TICKS, in_ticks, odd_part
from kitgen.time import Meter


class Span(NamedTuple):
    """A beat, or what is left of it in a short bar: from start to end, ``units`` times ``unit``, units odd."""

    start: int
    end: int
    units: int
    unit: int

    @property
    def size(self) -> int:
        """Length in ticks."""
        return self.end - self.start

    @property
    def in_twos(self) -> bool:
        """True if it is one plain value."""
        return self.units == 1


class Shape(NamedTuple):
    """A bar: its beats; the edges of its groups, start and end of the bar among them; its length."""

    beats: tuple[Span, ...]
    edges: tuple[int, ...]
    end: int

    @property
    def groups(self) -> tuple[tuple[int, int], ...]:
        """The groups as (first beat, beat after the last), counted from 0."""
        starts = [beat.start for beat in self.beats] + [self.end]
        places = [starts.index(edge) for edge in self.edges]
        return tuple(pairwise(places))


@lru_cache(maxsize=512)
def shape_of(meter: Meter, length: int) -> Shape:
    """The shape of a bar of a meter, or of a shorter one.

    Args:
        meter: the meter.
        length: of the bar, in ticks.

    Raises:
        Unspellable: the last beat is cut where no note value ends.
    """
    beats: list[Span] = []
    at = 0
    for beat in meter.beats:
        size = in_ticks(beat)
        assert size is not None
        end = min(at + size, length)
        units, unit = odd_part(end - at)
        if not units:
            raise Unspellable(at)
        beats.append(Span(at, end, units, unit))
        at = end
        if at == length:
            break
    edges, index = [0], 0
    for size in meter.beat_groups:
        index += size
        if index < len(beats):
            edges.append(beats[index].start)
    return Shape(tuple(beats), (*edges, length), length)


@lru_cache(maxsize=512)
def joined_of(meter: Meter, length: int) -> tuple[tuple[int, int], ...]:
    """The spans of several beats that one beam may hold: pairs of quarters, and groups of very short beats."""
    shape = shape_of(meter, length)
    found = []
    for first, after in shape.groups:
        sizes = {beat.size for beat in shape.beats[first:after]}
        fours = after - first == 2 and sizes == {TICKS}
        if fours or (set(meter.groups) == {1} and max(sizes) < TICKS):
            found.append((shape.beats[first].start, shape.beats[after - 1].end))
    return tuple(found)
