"""The rhythm line as a value.

Conventions: quarters, exact; notes in time order, never overlapping; what is between them is rest. A tied
note is one note of the whole length.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from enum import Enum
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from math import lcm

from kitgen.errors import LineError
from kitgen.time import Meter, Meters, Subdivision, count_name

_EIGHTH = Fraction(1, 2)


class Mark(Enum):
    """What an articulation says about length, whatever the note is written as."""

    NONE = ""
    SHORT = "short"
    LONG = "long"


@dataclass(frozen=True, slots=True)
class Note:
    """One struck note of a line.

    Args:
        onset: quarters from the start of the line.
        length: written length in quarters, ties joined; more than 0.
        accent: True if marked with an accent.
        mark: a dot or ``^`` makes it short, a tenuto long; none leaves it to the written length.
        graces: grace notes before it, 0 to 3.
        sticking: ``R``, ``L``, ``B`` (both) or empty.
    """

    onset: Fraction
    length: Fraction
    accent: bool = False
    mark: Mark = Mark.NONE
    graces: int = 0
    sticking: str = ""

    def __post_init__(self) -> None:
        if type(self.onset) is not Fraction or type(self.length) is not Fraction:
            object.__setattr__(self, "onset", _exact(self.onset, "an onset"))
            object.__setattr__(self, "length", _exact(self.length, "a length"))
        if self.length <= 0 or self.onset < 0:
            raise LineError(
                f"a note at {self.onset} lasting {self.length} quarters cannot be; a note starts at 0 or later "
                "and lasts more than 0"
            )
        if self.sticking not in ("", "R", "L", "B"):
            raise LineError(f"sticking {self.sticking!r} is none of R, L, B")
        if not 0 <= self.graces <= 3:
            raise LineError(f"{self.graces} grace notes before one note; 0 to 3 can be played")

    @property
    def end(self) -> Fraction:
        """Where the note stops sounding, in quarters."""
        return self.onset + self.length

    def moved(self, by: Fraction) -> "Note":
        """The same note, later by so many quarters."""
        return replace(self, onset=self.onset + by)


@dataclass(frozen=True)
class Line:
    """One rhythm with no instrument: notes under a map of meters.

    ``+`` puts one after the other, ``*`` repeats. Equal music is equal and hashes the same.

    Args:
        notes: the notes, in any order; kept in time order.
        meters: the map of meters; its span is the line's.
        pickup: the first bar is a pickup filled with rest in front, and is bar 0; no part of the line's equality.

    Raises:
        LineError: notes that overlap or leave the span.

    >>> line = Line.parse("1 & 2 e & a 3 4 &")
    >>> len(line.notes), line.span
    (9, Fraction(4, 1))
    >>> (line + line) == line * 2
    True
    """

    notes: tuple[Note, ...]
    meters: Meters
    pickup: bool = field(default=False, compare=False)

    def __post_init__(self) -> None:
        notes = tuple(sorted(self.notes, key=lambda note: note.onset))
        for first, second in pairwise(notes):
            if first.end > second.onset:
                where = count_name(self.meters, second.onset) if second.onset < self.span else f"{second.onset}"
                raise LineError(
                    f"two notes overlap at {where}: the first lasts to {first.end}, the second starts at {second.onset}"
                )
        if notes and notes[-1].end > self.span:
            raise LineError(f"the last note ends at {notes[-1].end} quarters, the line at {self.span}")
        object.__setattr__(self, "notes", notes)

    @classmethod
    def parse(cls, text: str, meter: Meter | str = "4/4", *, notation: str | None = None, pad: bool = False) -> "Line":
        """Read a typed line; see :func:`kitgen.line.parse`."""
        from kitgen.line.notation import parse

        return parse(text, meter, notation=notation, pad=pad)

    @classmethod
    def of_onsets(cls, onsets: Iterable[Fraction], meters: Meters, *, accents: Iterable[Fraction] = ()) -> "Line":
        """A line struck at the given places, each note lasting to the next or to its beat's end."""
        places, loud = sorted(set(onsets)), set(accents)
        ends = [*places[1:], meters.span]
        return cls(
            tuple(
                Note(at, min(end, meters.beat_at(at).end) - at, at in loud)
                for at, end in zip(places, ends, strict=bool(places))
            )
            if places
            else (),
            meters,
        )

    @property
    def span(self) -> Fraction:
        """Length of the line in quarters."""
        return self.meters.span

    @cached_property
    def onsets(self) -> tuple[Fraction, ...]:
        """Where notes start, in quarters."""
        return tuple(note.onset for note in self.notes)

    @property
    def accents(self) -> tuple[Fraction, ...]:
        """Where accented notes start, in quarters."""
        return tuple(note.onset for note in self.notes if note.accent)

    @cached_property
    def rests(self) -> tuple[tuple[Fraction, Fraction], ...]:
        """Silences as (start, length), in quarters."""
        edges = [Fraction(0), *(edge for note in self.notes for edge in (note.onset, note.end)), self.span]
        return tuple((start, end - start) for start, end in zip(edges[::2], edges[1::2], strict=True) if end > start)

    def __iter__(self) -> Iterator[Note]:
        return iter(self.notes)

    def __add__(self, other: "Line") -> "Line":
        if not isinstance(other, Line):
            return NotImplemented
        return Line(self.notes + tuple(note.moved(self.span) for note in other.notes), self.meters + other.meters)

    def __mul__(self, times: int) -> "Line":
        if not isinstance(times, int):
            return NotImplemented
        if times < 0:
            raise LineError(f"a line cannot be repeated {times} times; 0 or more")
        copies = (note.moved(self.span * turn) for turn in range(times) for note in self.notes)
        return Line(tuple(copies), self.meters * times)

    def cut(self, start: Fraction, end: Fraction) -> "Line":
        """The part from ``start`` to ``end`` (quarters); a note sounding over the end is cut there."""
        inside = (
            replace(note, onset=note.onset - start, length=min(note.end, end) - note.onset)
            for note in self.notes
            if start <= note.onset < end
        )
        return Line(tuple(inside), self.meters.cut(start, end))

    def measures(self, first: int, last: int) -> "Line":
        """Bars ``first`` to ``last``, both included, counted from 1, or from 0 where the line starts with a pickup."""
        bars, lowest = self.meters.bars, 0 if self.pickup else 1
        if not lowest <= first <= last < lowest + len(bars):
            raise LineError(
                f"measures {first}-{last} are not in this line; it has bars {lowest} to {lowest + len(bars) - 1}"
            )
        part = self.cut(bars[first - lowest].start, bars[last - lowest].end)
        return replace(part, pickup=self.pickup and first == lowest)

    def complement(self, subdivision: Subdivision) -> "Line":
        """Every place of the subdivision the line leaves empty, each as long as its slot.

        Raises:
            LineError: a note of the line is not on the subdivision.
        """
        slots = dict(subdivision.spans(self.meters))
        struck = set(self.onsets)
        if stray := sorted(struck - slots.keys()):
            raise LineError(f"{count_name(self.meters, stray[0])} is not on the subdivision {subdivision}")
        return Line(tuple(Note(at, length) for at, length in slots.items() if at not in struck), self.meters)

    def thin(self, subdivision: Subdivision) -> "Line":
        """Only the notes that start on a place of the subdivision."""
        grid = set(subdivision.slots(self.meters))
        return Line(tuple(note for note in self.notes if note.onset in grid), self.meters)

    @cached_property
    def parts_a_beat(self) -> tuple[int, ...]:
        """For each beat, into how many parts the notes that start or end inside it divide it."""
        beats = self.meters.beats
        found = dict.fromkeys((beat.start for beat in beats), 1)
        edges = {edge for note in self.notes for edge in (note.onset, note.end) if edge < self.span}
        for edge in edges:
            beat = self.meters.beat_at(edge)
            found[beat.start] = lcm(found[beat.start], ((edge - beat.start) / beat.length).denominator)
        return tuple(found.values())

    def unit_at(self, onset: Fraction) -> Fraction:
        """The line's own subdivision at an instant, in quarters, against which long and short are read.

        In a beat divided in threes it is that beat's partial; elsewhere the finest even division anywhere in
        the line. It is never more than an eighth, so that a plain quarter is long.
        """
        index = self.meters.beat_index(onset)
        parts = self.parts_a_beat[index]
        if parts % 3 == 0:
            return min(_EIGHTH, self.meters.beats[index].length / parts)
        return min(_EIGHTH, self._finest_even_unit)

    @cached_property
    def _finest_even_unit(self) -> Fraction:
        units = (b.length / parts for b, parts in zip(self.meters.beats, self.parts_a_beat, strict=True) if parts % 3)
        return min(units, default=_EIGHTH)

    def is_long(self, note: Note) -> bool:
        """True if the note is long: by its articulation if it has one, else two units or more as written."""
        if note.mark is not Mark.NONE:
            return note.mark is Mark.LONG
        return note.length >= 2 * self.unit_at(note.onset)

    def __str__(self) -> str:
        from kitgen.line.notation import render

        return render(self)


def _exact(given: object, what: str) -> Fraction:
    if isinstance(given, Fraction | int):
        return Fraction(given)
    raise LineError(f"{what} of {given!r}; positions are exact: give a Fraction or an int, in quarters")
