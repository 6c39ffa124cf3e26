"""A score as it is written: noteheads, bars, and what bars say about their order.

Every score reader hands over these values. Conventions: quarters, exact; places inside a bar count from its start.
"""

from dataclasses import dataclass
from fractions import Fraction

from kitgen.line import Mark
from kitgen.pattern import Ornament
from kitgen.time import Meter


@dataclass(frozen=True, slots=True)
class Notehead:
    """One written notehead.

    Args:
        at: quarters from the start of its bar.
        length: written length in quarters, without ties.
        voice: rank of its voice in the bar, 0 for the first.
        pitch: what a note tied to it must have in common with it.
        tied_from: True if a tie leads to it.
        tied_to: True if a tie leads on from it.
        accent: True if accented.
        mark: what its articulation says about length.
        graces: grace notes before it.
        sticking: ``R``, ``L``, ``B`` or empty.
        key: MIDI key of the instrument it stands for, in percussion parts.
        ghost: True if written in parentheses.
        ornament: diddle or buzz, where written as a tremolo.
        loudness: its velocity, where the score gives one.
        limb: the limb that strikes it (``RH``), where the score tells.
        unpitched: True for a percussion part's note.
        surface: label of the surface it stands for, where the score itself says it in this program's words.
        sound: what the score calls its instrument, in lower case; empty where it names none.
        step: its staff place in percussion parts, in steps above the bottom one of five lines; None elsewhere.
        shape: the shape of its head, by its MusicXML name.
        hat: ``open`` or ``closed``, where a sign says so.
    """

    at: Fraction
    length: Fraction
    voice: int
    pitch: str
    tied_from: bool = False
    tied_to: bool = False
    accent: bool = False
    mark: Mark = Mark.NONE
    graces: int = 0
    sticking: str = ""
    key: int | None = None
    ghost: bool = False
    ornament: Ornament | None = None
    loudness: float | None = None
    limb: str = ""
    unpitched: bool = False
    surface: str = ""
    sound: str = ""
    step: int | None = None
    shape: str = "normal"
    hat: str = ""


@dataclass(frozen=True, slots=True)
class Signs:
    """What a bar says about the order of playing.

    Args:
        repeat_from: True if a repeated stretch starts with it.
        repeat_times: how often the stretch it ends is played; 0 where it ends none.
        endings: the passes it is played in, empty for all.
        segno, coda, to_coda, dal_segno: names of the signs at its start or end, empty for none.
        da_capo: True for back to the beginning after it.
        fine: True if the end is here after a jump back.
        inside: True where a repeat sign stands inside the bar.
    """

    repeat_from: bool = False
    repeat_times: int = 0
    endings: tuple[int, ...] = ()
    segno: str = ""
    coda: str = ""
    to_coda: str = ""
    dal_segno: str = ""
    da_capo: bool = False
    fine: bool = False
    inside: bool = False


@dataclass(frozen=True, slots=True)
class ScoreBar:
    """One bar as written.

    Args:
        number: as printed, for people.
        meter: the meter in force, None where the score gives none.
        length: how long its notes and rests last; 0 where nothing stands in it.
        noteheads: in order of place, then voice.
        signs: repeats and jumps.
        unread: what stands in it that is not read, in words.
    """

    number: str
    meter: Meter | None
    length: Fraction
    noteheads: tuple[Notehead, ...] = ()
    signs: Signs = Signs()
    unread: tuple[str, ...] = ()
