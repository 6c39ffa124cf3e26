"""MusicXML into bars as written.

Conventions: quarters, exact. A note lasts its ``duration``; where the file's divisions are too coarse for a
tuplet and its duration is rounded, it lasts what its type, dots and tuplet say. Cue notes and notes that are not
printed are rests. A bar shown as a repetition of earlier bars has their notes. Grace notes count for the next note
of their voice. Elements and attributes: W3C MusicXML 4.0. The MIDI key of an unpitched instrument is its
``midi-unpitched`` less 1. ``dynamics`` of a note are percents of velocity 90. In a score of this program a note's id
starts with its limb, an instrument's ends in its surface, which counts before its key.

What is not read: swing, tempo, words, and text such as "D.C." without the ``sound`` element that gives it meaning.
"""

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import lcm
from typing import TYPE_CHECKING

from kitgen.errors import ReadError, TimeError
from kitgen.kit import SURFACES
from kitgen.pattern import Ornament
from kitgen.read.score_bars import Notehead, ScoreBar, full_span, length_of_bar, mark_of, with_graces
from kitgen.read.score_signs import signs_of
from kitgen.time import Meter

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

ROOTS = ("score-partwise", "score-timewise")

_TYPES = {
    name: Fraction(2) ** power
    for power, name in enumerate(
        (
            "1024th", "512th", "256th", "128th", "64th", "32nd", "16th",
            "eighth", "quarter", "half", "whole", "breve", "long", "maxima",
        ),
        start=-8,
    )
}  # fmt: skip
_STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_DECIMAL = re.compile(r"\d{1,9}(\.\d{1,9})?")
_STICKINGS = ("R", "L", "B")
_LIMB = re.compile(r"(RH|LH|RF|LF)-\d+-\d+-\d+")
_FORTE = 90


def part_names(root: "Element") -> tuple[str, ...]:
    """Names of the parts, in order; a part without one is ``part`` and its number."""
    listed = {part.get("id"): " ".join((part.findtext("part-name") or "").split()) for part in root.iter("score-part")}
    return tuple(listed.get(part) or f"part {number}" for number, (part, _) in enumerate(_parts(root), start=1))


def part_bars(root: "Element", index: int) -> tuple[ScoreBar, ...]:
    """The bars of one part, counted from 0, as written.

    Raises:
        ReadError: a bar that cannot be read; names it.
    """
    parts = _parts(root)
    part, measures = parts[index]
    reader = _PartReader(_keys(root, part))
    read = [reader.bar(measure) for measure in measures]
    short = {place for place, (bar, _, _) in enumerate(read) if bar.length < full_span(bar.meter)}
    others = _longest([found for number, (_, found) in enumerate(parts) if number != index], short)
    signs = signs_of(measures, parts[0][1])
    bars: list[ScoreBar] = []
    for place, (bar, rest, back) in enumerate(read):
        length = length_of_bar(bar.length, rest, others.get(place, Fraction(0)), bar.meter)
        heads = bars[place - back].noteheads if 0 < back <= place and not bar.noteheads else bar.noteheads
        bars.append(replace(bar, length=length, noteheads=heads, signs=signs[place]))
    return tuple(bars)


def _parts(root: "Element") -> list[tuple[str, list["Element"]]]:
    """Each part's id and its measures, whichever way round the file has them."""
    if root.tag == "score-partwise":
        return [(part.get("id", ""), part.findall("measure")) for part in root.findall("part")]
    found: dict[str, list[Element]] = {}
    for measure in root.findall("measure"):
        for part in measure.findall("part"):
            part.set("number", measure.get("number", ""))
            found.setdefault(part.get("id", ""), []).append(part)
    return list(found.items())


def _keys(root: "Element", part: str) -> dict[str, int]:
    """MIDI keys of a part's instruments by their id; a lone instrument is also under the empty id."""
    found: dict[str, int] = {}
    for listed in root.iter("score-part"):
        if listed.get("id") != part:
            continue
        for instrument in listed.findall("midi-instrument"):
            text, name = instrument.findtext("midi-unpitched") or "", instrument.get("id", "")
            if (label := name.removeprefix(f"{part}-")) in SURFACES:
                found[name] = SURFACES[label].key
            elif text.strip().isdecimal():
                found[name] = int(text.strip()[:9]) - 1
        if len(listed.findall("score-instrument")) == 1 and len(found) == 1:
            found[""] = next(iter(found.values()))
    return found


@dataclass(slots=True)
class _Pace:
    """Divisions of a quarter in force, and which bar is being read."""

    divisions: Fraction = Fraction(1)
    number: str = ""


def _walk(measure: "Element", pace: _Pace) -> Iterator[tuple["Element", Fraction, Fraction]]:
    """Every note and gap of a measure, with its place and length; attributes too, as they come."""
    at = given = before = Fraction(0)
    exact = {given: at}  # where a place counted in rounded durations really is
    for element in measure:
        if element.tag == "attributes":
            if (text := element.findtext("divisions")) is not None:
                pace.divisions = _number(text, "divisions", pace)
            yield element, at, Fraction(0)
        elif element.tag == "note" and element.find("grace") is not None:
            yield element, at, Fraction(0)
        elif element.tag in ("note", "forward"):
            stated = _number(element.findtext("duration"), "duration", pace, least=0) / pace.divisions
            length = _written(element, stated, pace)
            if element.find("chord") is not None:
                yield element, before, length
                continue
            yield element, at, length
            before, at, given = at, at + length, given + stated
            exact[given] = at
        elif element.tag == "backup":
            given -= _number(element.findtext("duration"), "duration", pace, least=0) / pace.divisions
            if given < 0:
                raise ReadError(f"bar {pace.number} goes back to before its start")
            at = exact.get(given, given)


def _number(text: str | None, what: str, pace: _Pace, *, least: Fraction | int = Fraction(1, 10**9)) -> Fraction:
    stripped = (text or "").strip()
    number = Fraction(stripped) if _DECIMAL.fullmatch(stripped) else None
    if number is None or number < least:
        raise ReadError(f"bar {pace.number} has {what} {stripped[:20]!r}; it must be a number, more than 0")
    return number


def _written(element: "Element", stated: Fraction, pace: _Pace) -> Fraction:
    """The stated length, or that of the tuplet where the divisions cannot express it and it was rounded."""
    written, tuplet = _TYPES.get((element.findtext("type") or "").strip()), element.find("time-modification")
    if written is None or tuplet is None:
        return stated
    written *= 2 - Fraction(1, 2 ** len(element.findall("dot")))
    written *= _number(tuplet.findtext("normal-notes"), "normal-notes", pace)
    written /= _number(tuplet.findtext("actual-notes"), "actual-notes", pace)
    if (written * pace.divisions).denominator == 1 or abs(written - stated) * pace.divisions >= 1:
        return stated
    return written


def _longest(parts: Sequence[Sequence["Element"]], wanted: AbstractSet[int]) -> dict[int, Fraction]:
    """How far the measures asked for reach in the part where they reach furthest, fillers left out."""
    longest: dict[int, Fraction] = {}
    for measures in parts:
        pace = _Pace()
        for index, measure in enumerate(measures):
            pace.number = measure.get("number", "")
            if index in wanted:
                ends = (at + length for element, at, length in _walk(measure, pace) if not _is_filler(element))
                longest[index] = max(longest.get(index, Fraction(0)), *ends, Fraction(0))
            else:
                for text in measure.findall("attributes/divisions"):
                    pace.divisions = _number(text.text, "divisions", pace)
    return longest


def _whole_rest(note: "Element") -> bool:
    rest = note.find("rest")
    return rest is not None and rest.get("measure") == "yes"


def _is_filler(element: "Element") -> bool:
    """True for what only takes up room: a gap, or a rest without a note value, such as one for a whole bar."""
    if element.tag == "forward":
        return True
    rest = element.find("rest")
    return rest is not None and (rest.get("measure") == "yes" or element.find("type") is None)


@dataclass(slots=True)
class _PartReader:
    """What carries over from bar to bar in one part."""

    keys: dict[str, int]
    pace: _Pace = field(default_factory=_Pace)
    meter: Meter | None = None
    repeated: int = 0
    waiting: defaultdict[int, list[str]] = field(default_factory=lambda: defaultdict(list))

    def bar(self, measure: "Element") -> tuple[ScoreBar, Fraction | None, int]:
        """A measure with the length it fills itself, that of its rest for the whole bar, how many bars it repeats."""
        self.pace.number = measure.get("number", "")
        heads: list[Notehead] = []
        graces: dict[tuple[Fraction, int], list[str]] = {}
        own, rest = Fraction(0), None
        meter, started = self.meter, False
        for element, at, length in _walk(measure, self.pace):
            if element.tag == "attributes":
                self._attributes(element)
                meter = meter if started else self.meter
                continue
            started = True
            if _whole_rest(element):
                rest = max(rest or Fraction(0), length)
                continue
            own = max(own, _reach(element, at + length, meter))
            if element.tag == "note" and _counts(element):
                self._note(element, at, length, heads, graces)
        return ScoreBar(self.pace.number, meter, own, with_graces(heads, graces)), rest, self.repeated

    def _attributes(self, attributes: "Element") -> None:
        time = attributes.find("time")
        if time is not None:
            self.meter = _meter(time, self.pace)
        for repeat in attributes.findall("measure-style/measure-repeat"):
            text = (repeat.text or "").strip()
            self.repeated = int(text[:3]) if repeat.get("type") == "start" and text.isdecimal() else 0

    def _note(
        self,
        note: "Element",
        at: Fraction,
        length: Fraction,
        heads: list[Notehead],
        graces: dict[tuple[Fraction, int], list[str]],
    ) -> None:
        """Take in one note: a grace note waits for the next note of its voice."""
        voice = _voice(note)
        pitch, key = _pitch(note, self.keys)
        chord = note.find("chord") is not None
        if note.find("grace") is not None:
            if not chord:
                self.waiting[voice].append(pitch)
        elif length:
            if not chord and voice in self.waiting:
                graces[at, voice] = self.waiting.pop(voice)
            heads.append(_notehead(note, Notehead(at, length, voice, pitch, key=key)))


def _reach(element: "Element", end: Fraction, meter: Meter | None) -> Fraction:
    """How far an element fills its bar: a gap, or a rest without a note value, no further than the meter."""
    return min(end, meter.span) if meter is not None and _is_filler(element) else end


def _counts(note: "Element") -> bool:
    """True for a note that is played by this part and printed."""
    return note.find("rest") is None and note.find("cue") is None and note.get("print-object") != "no"


def _voice(note: "Element") -> int:
    text = (note.findtext("voice") or "1").strip()
    return int(text[:9]) if text.isdecimal() else 0


def _pitch(note: "Element", keys: dict[str, int]) -> tuple[str, int | None]:
    """What ties go by, and the MIDI key in percussion parts."""
    pitch = note.find("pitch")
    if pitch is not None:
        octave, step, alter = (pitch.findtext(tag, "").strip() for tag in ("octave", "step", "alter"))
        semitones = int(alter) if re.fullmatch(r"[+-]?\d", alter) else 0
        number = 12 * int(octave) if octave.isdecimal() and len(octave) == 1 else 0
        return str(number + _STEPS.get(step, 0) + semitones), None
    instrument = note.find("instrument")
    name = "" if instrument is None else instrument.get("id", "")
    place = f"{note.findtext('unpitched/display-step')}{note.findtext('unpitched/display-octave')}"
    return f"{name} {place}", keys.get(name)


def _notehead(note: "Element", head: Notehead) -> Notehead:
    """The notehead with its ties, articulations and ornaments."""
    marks = {mark.tag for mark in note.findall("notations/articulations/*")}
    ties = {tie.get("type") for tie in (*note.findall("tie"), *note.findall("notations/tied"))}
    parentheses = note.find("notehead")
    return replace(
        head,
        tied_from="stop" in ties or "continue" in ties,
        tied_to="start" in ties or "continue" in ties,
        accent=bool(marks & {"accent", "strong-accent"}),
        mark=mark_of(marks),
        sticking=_sticking(note),
        ghost=parentheses is not None and parentheses.get("parentheses") == "yes",
        ornament=_ornament(note.find("notations/ornaments/tremolo")),
        loudness=_loudness(note),
        limb=found[1] if (found := _LIMB.fullmatch(note.get("id", ""))) else "",
    )


def _loudness(note: "Element") -> float | None:
    """The velocity a note is given, if it is given one."""
    percent = note.get("dynamics", "").strip()
    return float(percent) * _FORTE / 100 if _DECIMAL.fullmatch(percent) else None


def _sticking(note: "Element") -> str:
    """R, L or B where a fingering or a lyric is just that."""
    texts = (*note.findall("notations/technical/fingering"), *note.findall("lyric/text"))
    return next((text for found in texts if (text := (found.text or "").strip()) in _STICKINGS), "")


def _ornament(tremolo: "Element | None") -> Ornament | None:
    """One tremolo stroke is a diddle, more or an unmeasured one a buzz."""
    if tremolo is None or tremolo.get("type") in ("start", "stop"):
        return None
    return Ornament.DIDDLE if (tremolo.text or "").strip() == "1" else Ornament.BUZZ


def _meter(time: "Element", pace: _Pace) -> Meter | None:
    """A time signature with its grouping; None for music without one.

    Several signatures side by side, such as 2/4 + 3/8, are one meter in the finest unit.
    """
    pairs = list(zip(time.findall("beats"), time.findall("beat-type"), strict=False))
    if not pairs:
        return None
    written = " + ".join(f"{(above.text or '').strip()}/{(below.text or '').strip()}" for above, below in pairs)
    try:
        parts = [Meter.parse(part) for part in written.split(" + ")]
        unit = lcm(*(part.denominator for part in parts))
        groups = [size * unit // part.denominator for part in parts for size in _groups(part, alone=len(parts) == 1)]
        return Meter(sum(groups), unit, tuple(groups))
    except TimeError:
        raise ReadError(f"bar {pace.number} has the time signature {written[:40]!r}, which is no meter") from None


def _groups(part: Meter, *, alone: bool) -> tuple[int, ...]:
    """A signature's own groups; one of several without any is a group itself."""
    usual = part.groups == Meter(part.numerator, part.denominator).groups
    return (part.numerator,) if usual and not alone else part.groups
