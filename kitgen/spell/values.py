"""Written music as frozen values: all that a writer of scores has to know, so that it decides nothing itself.

Conventions: places are quarters from the start of their bar, lengths quarters as they sound, both exact; ``type`` is a
note value as MusicXML names it, which inside a tuplet is longer than what sounds. Events of a voice stand in order and
fill the bar. Staff places, heads and limbs are those of the table of surfaces.
"""

from collections.abc import Iterator
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from kitgen.kit import Limb
from kitgen.line import Mark
from kitgen.pattern import EVEN, Feel, Level, Ornament
from kitgen.time import Meter


class Tuplet(NamedTuple):
    """``actual`` notes of a type in the time of ``normal``; ``type`` is that of one part, ``bracket`` if unbeamed."""

    actual: int
    normal: int
    type: str
    bracket: bool = False


class Written(NamedTuple):
    """The rhythm of one note, chord or rest.

    Args:
        start: quarters from the start of the bar.
        length: quarters it lasts.
        type: note value.
        dots: 0 or 1.
        is_rest: a rest.
        struck: something is struck at its start; False for rests and for what is only held on.
        beams: for each beam from the first ``begin``, ``continue``, ``end``, ``forward hook`` or ``backward hook``;
            empty for notes with flags and for notes without.
        tuplet: the tuplet it is in.
        starts: the first of its tuplet.
        stops: the last of its tuplet.
        whole_bar: a rest for the whole bar, whatever the meter.
    """

    start: Fraction
    length: Fraction
    type: str
    dots: int = 0
    is_rest: bool = False
    struck: bool = True
    beams: tuple[str, ...] = ()
    tuplet: Tuplet | None = None
    starts: bool = False
    stops: bool = False
    whole_bar: bool = False


class Grace(NamedTuple):
    """A small note before a stroke: what strikes what, and how it is written.

    A single one has a slash through its stem; two are sixteenths under beams.
    """

    limb: Limb | None
    surface: str
    place: str
    head: str
    type: str
    slash: bool
    beams: tuple[str, ...] = ()


class Stroke(NamedTuple):
    """One notehead.

    Args:
        limb: the limb that strikes; None on a line without an instrument.
        surface: label of what it strikes; empty on such a line.
        place: staff place in treble reading, step then octave.
        head: notehead, as in the table of surfaces.
        level: how loud; accents and ghosts are what is printed of it.
        ornament: flam, drag, diddle or buzz.
        held: its written length is the length it has; else only the room up to the next note or beat.
        tie: ``start``, ``stop``, ``both`` or empty.
        hat: ``open``, ``closed`` (only where it cancels an open one) or empty.
        graces: small notes before it.
        sticking: ``R`` or ``L``, the letters of its grace notes small in front; empty where not asked for.
        mark: a line's own articulation.
        shown: False for the second of two heads that would cover each other; one head then stands for both.
        stemless: it has no stem, as the slash of a beat of time in a chart has none.
    """

    limb: Limb | None
    surface: str
    place: str
    head: str
    level: Level = Level.NORMAL
    ornament: Ornament | None = None
    held: bool = False
    tie: str = ""
    hat: str = ""
    graces: tuple[Grace, ...] = ()
    sticking: str = ""
    mark: Mark = Mark.NONE
    shown: bool = True
    stemless: bool = False

    @property
    def accent(self) -> bool:
        """True where an accent is printed."""
        return self.level is Level.ACCENT and self.tie not in ("stop", "both")

    @property
    def parentheses(self) -> bool:
        """True where the head stands in parentheses; what is only held on has none."""
        return self.level is Level.GHOST and self.tie not in ("stop", "both")

    @property
    def slashes(self) -> int:
        """Tremolo slashes through the stem: one doubles each written stroke."""
        return 1 if self.ornament is Ornament.DIDDLE else 0

    @property
    def buzz(self) -> bool:
        """True where a z stands on the stem."""
        return self.ornament is Ornament.BUZZ


class Event(NamedTuple):
    """A chord (one head or more), or a rest (none); ``shown`` is False for a rest that takes room unseen."""

    written: Written
    strokes: tuple[Stroke, ...] = ()
    shown: bool = True


class Voice(NamedTuple):
    """What is written with one direction of stems, ``up`` or ``down``, in one bar; numbers as in MusicXML.

    A ``cue`` is small: what others play.
    """

    number: int
    stem: str
    events: tuple[Event, ...]
    cue: bool = False


class Count(NamedTuple):
    """What is said at a place of a bar; ``struck`` is False for a beat on which nothing is struck."""

    start: Fraction
    said: str
    struck: bool


class Measure(NamedTuple):
    """One bar.

    Args:
        number: printed bar, from 1, through the whole score.
        start: quarters from the start of its section.
        length: quarters; less than the meter's where the bar is short.
        meter: its meter.
        shows_meter: the meter is printed, being the first or another than before.
        voices: one or two, four where limbs of one voice cannot share it; a silent bar has one with its rest.
        counts: what is said under it; empty where not asked for.
        mark: the rehearsal mark at its start: its section's label at the first bar, the bar's number at each eighth
            bar after that; empty elsewhere.
        new_system: starts a system.
        same_as_before: equal to the bar before, and neither across a system nor at a mark: a repeat sign may stand.
        rest_bars: so many bars rest from here on under one number; 0 where none do.
        in_rest: one of the bars that such a number stands for, the first among them.
    """

    number: int
    start: Fraction
    length: Fraction
    meter: Meter
    shows_meter: bool
    voices: tuple[Voice, ...]
    counts: tuple[Count, ...] = ()
    mark: str = ""
    new_system: bool = False
    same_as_before: bool = False
    rest_bars: int = 0
    in_rest: bool = False

    @property
    def is_silent(self) -> bool:
        """True if nothing sounds in it."""
        return all(event.written.is_rest for voice in self.voices for event in voice.events)


class Section(NamedTuple):
    """A row of a page, played ``times`` times; its label is the rehearsal mark at its first bar."""

    label: str
    measures: tuple[Measure, ...]
    times: int = 1


class Score(NamedTuple):
    """A page of written music.

    Args:
        sections: the rows, in order.
        feel: how it is played; even where the swing is written out.
        kernels: what is looped apart from the rows.
    """

    sections: tuple[Section, ...]
    feel: Feel = EVEN
    kernels: tuple[Section, ...] = ()

    @property
    def measures(self) -> tuple[Measure, ...]:
        """The bars of all sections, in order."""
        return tuple(measure for section in self.sections for measure in section.measures)

    def events(self) -> Iterator[Event]:
        """Every event of the sections and kernels."""
        for section in (*self.sections, *self.kernels):
            for measure in section.measures:
                for voice in measure.voices:
                    yield from voice.events

    @property
    def divisions(self) -> int:
        """The fewest parts of a quarter in which every length is a whole number."""
        return lcm(*{event.written.length.denominator for event in self.events()})
