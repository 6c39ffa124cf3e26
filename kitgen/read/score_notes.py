"""Single MusicXML notes: what is struck, and the signs at a note.

Conventions: elements and attributes as in W3C MusicXML 4.0; heads given as glyphs are named as in SMuFL 1.4. The MIDI
key of an unpitched instrument is its ``midi-unpitched`` less 1. ``dynamics`` of a note are percents of velocity 90.
Under a percussion clef a pitch is read as a staff place, one below C4 as a General MIDI key, as programs without
unpitched notes write them. In a score of this program a note's id starts with its limb, an instrument's ends in its
surface, which counts before its key.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from kitgen.kit import SURFACES
from kitgen.pattern import Ornament
from kitgen.read.score_bars import mark_of
from kitgen.read.score_places import Staff
from kitgen.read.score_sounds import names_a_kit
from kitgen.read.score_written import Notehead

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_DECIMAL = re.compile(r"\d{1,9}(\.\d{1,9})?")
_LIMB = re.compile(r"(RH|LH|RF|LF)-\d+-\d+-\d+")
_STICKING = re.compile(r"[rl]{0,3}([RLB])|([rl])")
_BOTH = re.compile(r"[rl]*[RL]\s*[+/]?\s*[rl]*[RL]")
_FORTE = 90
_MIDDLE_C = 60
_SHAPES = {
    "": "normal", "back slashed": "slashed", "cross": "x", "inverted triangle": "triangle", "left triangle": "triangle",
}  # fmt: skip
_GLYPHS = {"CircleX": "circle-x", "X": "x", "Diamond": "diamond", "Triangle": "triangle", "Slashed": "slashed"}
_HAT_SIGNS = {"open": "open", "open-string": "open", "stopped": "closed"}


class Instrument(NamedTuple):
    """An instrument of a part.

    Args:
        key: its MIDI key, where the score gives one.
        sound: its standard sound or its name, in lower case.
        surface: the surface it is, where its id says so in this program's words.
    """

    key: int | None = None
    sound: str = ""
    surface: str = ""


def instruments_of(root: "Element", part: str) -> dict[str, Instrument]:
    """A part's instruments by their id; a lone one is also under the empty id, without its key if it is a whole kit."""
    found: dict[str, Instrument] = {}
    for listed in root.iter("score-part"):
        if listed.get("id") != part:
            continue
        keys = {each.get("id", ""): each.findtext("midi-unpitched") or "" for each in listed.findall("midi-instrument")}
        named = {each.get("id", ""): _sound(each) for each in listed.findall("score-instrument")}
        for name in dict.fromkeys((*named, *keys)):
            text, label = keys.get(name, "").strip(), name.removeprefix(f"{part}-")
            key = int(text[:9]) - 1 if text.isdecimal() else None
            found[name] = Instrument(key, named.get(name, ""), label if label in SURFACES else "")
        if len(found) == 1:
            name, alone = found.popitem()
            found[name] = found[""] = alone._replace(key=None) if names_a_kit(alone.sound) else alone
    return found


def _sound(instrument: "Element") -> str:
    """An instrument's name, else its standard sound: names tell open hats from closed ones, sounds do not."""
    texts = (instrument.findtext("instrument-name"), instrument.findtext("instrument-sound"))
    return next((" ".join(text.split()).lower() for text in texts if text and text.strip()), "")


def counts(note: "Element") -> bool:
    """True for a note that is played by this part and printed."""
    return note.find("rest") is None and note.find("cue") is None and note.get("print-object") != "no"


def struck_by(note: "Element", head: Notehead, staff: Staff, instruments: dict[str, Instrument]) -> Notehead:
    """The notehead with what ties go by, and in percussion parts what is struck."""
    pitch = note.find("pitch")
    if pitch is not None:
        return _shaped(note, _pitched(pitch, head, staff))
    name = found.get("id", "") if (found := note.find("instrument")) is not None else ""
    letter, octave = (note.findtext(f"unpitched/display-{tag}", "").strip() for tag in ("step", "octave"))
    played = instruments.get(name, Instrument())
    return _shaped(
        note,
        replace(
            head,
            pitch=f"{name} {letter}{octave}",
            unpitched=True,
            key=played.key,
            sound=played.sound,
            surface=played.surface,
            step=staff.step(letter, int(octave)) if re.fullmatch(r"[0-9]", octave) else None,
        ),
    )


def _pitched(pitch: "Element", head: Notehead, staff: Staff) -> Notehead:
    octave, letter, alter = (pitch.findtext(tag, "").strip() for tag in ("octave", "step", "alter"))
    semitones = int(alter) if re.fullmatch(r"[+-]?\d", alter) else 0
    high = int(octave) if octave.isdecimal() and len(octave) == 1 else 0
    number = 12 * high + _SEMITONES.get(letter, 0) + semitones
    head = replace(head, pitch=str(number), unpitched=staff.percussion)
    if not staff.percussion:
        return head
    key = number + 12  # octaves of pitches count from 12
    return replace(head, key=key) if key < _MIDDLE_C else replace(head, step=staff.step(letter, high))


def _shaped(note: "Element", head: Notehead) -> Notehead:
    element = note.find("notehead")
    text = ((element.text if element is not None else "") or "").strip()
    if element is not None and text == "other":
        glyph = element.get("smufl", "").removeprefix("notehead")
        text = next((shape for name, shape in _GLYPHS.items() if glyph.startswith(name)), text)
    return replace(head, shape=_SHAPES.get(text, text))


def with_marks(note: "Element", head: Notehead) -> Notehead:
    """The notehead with its ties, articulations, ornaments and signs."""
    marks = {mark.tag for mark in note.findall("notations/articulations/*")}
    ties = {tie.get("type") for tie in (*note.findall("tie"), *note.findall("notations/tied"))}
    signs = (_HAT_SIGNS.get(mark.tag, "") for mark in note.findall("notations/technical/*"))
    parentheses = note.find("notehead")
    return replace(
        head,
        tied_from="stop" in ties or "continue" in ties,
        tied_to="start" in ties or "continue" in ties,
        accent=bool(marks & {"accent", "strong-accent"}),
        mark=mark_of(marks),
        sticking=_sticking(note),
        ghost=parentheses is not None and parentheses.get("parentheses") == "yes",
        ornament=_ornament(note, head),
        loudness=_loudness(note),
        limb=found[1] if (found := _LIMB.fullmatch(note.get("id", ""))) else "",
        hat=next(filter(None, signs), ""),
    )


def unread_in(note: "Element") -> Iterator[str]:
    """What is written at a note and not read."""
    tremolo = note.find("notations/ornaments/tremolo")
    if tremolo is not None and tremolo.get("type") in ("start", "stop"):
        yield "a tremolo between two notes, read as the two notes"


def _loudness(note: "Element") -> float | None:
    """The velocity a note is given, if it is given one."""
    percent = note.get("dynamics", "").strip()
    return float(percent) * _FORTE / 100 if _DECIMAL.fullmatch(percent) else None


def sticking_of(text: str) -> str:
    """R, L or B where words are just a sticking, with the small letters of grace notes before it or without.

    >>> [sticking_of(words) for words in ("R", "lR", "l", "R+L", "RL", "B", "la", "3")]
    ['R', 'R', 'L', 'B', 'B', 'B', '', '']
    """
    words = text.strip()
    if _BOTH.fullmatch(words):
        return "B"
    found = _STICKING.fullmatch(words)
    return (found[1] or found[2].upper()) if found else ""


def _sticking(note: "Element") -> str:
    """The sticking in a fingering or a lyric."""
    texts = (*note.findall("notations/technical/fingering"), *note.findall("lyric/text"))
    return next(filter(None, (sticking_of(found.text or "") for found in texts)), "")


def _ornament(note: "Element", head: Notehead) -> Ornament | None:
    """One tremolo stroke is a diddle, more or an unmeasured one a buzz, and so is a trill on percussion."""
    tremolo = note.find("notations/ornaments/tremolo")
    if tremolo is None or tremolo.get("type") in ("start", "stop"):
        trill = head.unpitched and note.find("notations/ornaments/trill-mark") is not None
        return Ornament.BUZZ if trill else None
    return Ornament.DIDDLE if (tremolo.text or "").strip() == "1" else Ornament.BUZZ
