"""Single MEI notes: what is struck, and the signs at a note.

Conventions: elements and attributes as in the Music Encoding Initiative's MEI Guidelines, version 5.0. The MIDI key of
an unpitched note is its ``pnum``, its staff place its ``loc``, counted from the bottom line. Under a percussion clef a
written pitch is a staff place, one below C4 a General MIDI key. Stickings are verses or fingerings that are just that.
Heads given as glyphs are named as in SMuFL 1.4.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from kitgen.errors import ReadError
from kitgen.pattern import Ornament
from kitgen.read.score_bars import mark_of
from kitgen.read.score_notes import sticking_of
from kitgen.read.score_places import Staff
from kitgen.read.score_written import Notehead

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

NAMESPACE = "{http://www.music-encoding.org/ns/mei}"
ID = "{http://www.w3.org/XML/1998/namespace}id"

_CLEFS = {"G": "G", "F": "F", "C": "C", "GG": "G", "perc": "percussion", "TAB": "TAB"}
_SEMITONES = {"c": 0, "d": 2, "e": 4, "f": 5, "g": 7, "a": 9, "b": 11}
_SHAPES = {
    "isotriangle": "triangle", "rtriangle": "triangle", "backslash": "slashed",
    "U+E0A9": "x", "U+E0B3": "circle-x", "U+E0DB": "diamond", "U+E0BE": "triangle",
}  # fmt: skip
_HAT_SIGNS = {"open": "open", "stop": "closed"}
_LIMB = re.compile(r"(RH|LH|RF|LF)-\d+-\d+-\d+")
_MIDDLE_C = 60


def tag_of(element: "Element") -> str:
    """An element's name without its namespace."""
    return element.tag.removeprefix(NAMESPACE)


def within(element: "Element", tag: str) -> Iterator["Element"]:
    """Every element of that name in an element, itself too."""
    return (found for found in element.iter() if tag_of(found) == tag)


def integer(text: str | None, default: int) -> int:
    """A whole number, or what stands for none."""
    return int(text) if text and re.fullmatch(r"-?[0-9]{1,6}", text) else default


def marks_of(element: "Element") -> set[str]:
    """The articulations at a note or chord."""
    texts = [
        element.get("artic", ""),
        *(child.get("artic", "") for child in element if tag_of(child) == "artic"),
    ]
    return {name for text in texts for name in text.split()}


def pitch_of(note: "Element") -> str:
    """What ties go by."""
    return f"{note.get('pname', '')}{note.get('oct', '')}{note.get('loc', '')}"


def staff_after(staff: Staff, element: "Element") -> Staff:
    """A staff after a definition of it, or a clef on it.

    Raises:
        ReadError: a clef that is none.
    """
    staff = staff._replace(lines=integer(element.get("lines"), staff.lines))
    clef = next(within(element, "clef"), None)
    prefix, source = ("", clef) if clef is not None else ("clef.", element)
    shape = source.get(f"{prefix}shape")
    if shape is None:
        return staff
    shift = {"8": 1, "15": 2, "22": 3}.get(source.get(f"{prefix}dis", ""), 0)
    shift *= -1 if source.get(f"{prefix}dis.place") == "below" else 1
    if shape not in _CLEFS:
        raise ReadError(f"has the clef {shape[:20]!r}, which is none; clefs are {', '.join(_CLEFS)}")
    return staff.under(_CLEFS[shape], integer(source.get(f"{prefix}line"), 0) or None, shift - (shape == "GG"))


def notehead(note: "Element", chord: "Element", head: Notehead, staff: Staff, tremolo: "Element | None") -> Notehead:
    """A notehead with all that is written at it.

    Args:
        note: the note.
        chord: the chord it is in, or itself.
        head: its place and length.
        staff: the staff it is on.
        tremolo: the tremolo around it.
    """
    marks = marks_of(chord) | marks_of(note)
    tie = set(note.get("tie", "") + chord.get("tie", ""))
    shape, velocity = note.get("head.shape") or "normal", integer(note.get("vel"), 0)
    return replace(
        _struck(note, head, staff),
        pitch=pitch_of(note),
        tied_from=bool(tie & {"m", "t"}),
        tied_to=bool(tie & {"i", "m"}),
        accent=bool(marks & {"acc", "marc"}),
        mark=mark_of(marks),
        ghost=note.get("enclose") == "paren" or note.get("head.mod") == "paren",
        ornament=_ornament(note, chord, tremolo),
        shape=_SHAPES.get(shape, shape),
        hat=next((_HAT_SIGNS[name] for name in sorted(marks) if name in _HAT_SIGNS), ""),
        sticking=_sticking(note) or _sticking(chord),
        loudness=float(velocity) if velocity > 0 else None,
        limb=found[1] if (found := _LIMB.fullmatch(note.get(ID, ""))) else "",
    )


def _struck(note: "Element", head: Notehead, staff: Staff) -> Notehead:
    """What is struck: a key, a place, or a pitch that stands for one of them."""
    key = integer(note.get("pnum"), -1)
    loc = note.get("loc", "")
    head = replace(head, unpitched=staff.percussion or key >= 0 or bool(loc))
    if re.fullmatch(r"-?[0-9]{1,2}", loc):
        meant = staff.percussion or key < 0  # Verovio counts from E4 under other clefs, but then has the key
        place = int(loc) if staff.lines == 5 and staff.bottom is not None and meant else None
        return replace(head, key=key if key >= 0 else None, step=place)
    name, octave = note.get("pname", ""), integer(note.get("oct"), -1)
    if key >= 0 or not staff.percussion or name not in _SEMITONES or octave < 0:
        return replace(head, key=key if key >= 0 else None)
    number = 12 * (octave + 1) + _SEMITONES[name]
    return replace(head, key=number) if number < _MIDDLE_C else replace(head, step=staff.step(name.upper(), octave))


def _ornament(note: "Element", chord: "Element", tremolo: "Element | None") -> Ornament | None:
    """One tremolo stroke is a diddle, more or an unmeasured one a buzz."""
    written = note.get("stem.mod") or chord.get("stem.mod") or ""
    if written == "1slash":
        return Ornament.DIDDLE
    if tremolo is None:
        return Ornament.BUZZ if written not in ("", "none") else None
    whole, part = integer(chord.get("dur") or note.get("dur"), 4), integer(tremolo.get("unitdur"), 0)
    return Ornament.DIDDLE if part and part == 2 * max(whole, 4) else Ornament.BUZZ


def _sticking(element: "Element") -> str:
    said = (sticking_of("".join(found.itertext())) for found in within(element, "syl"))
    return next(filter(None, said), "")
