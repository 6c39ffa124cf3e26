"""MusicXML into bars as written.

Conventions: quarters, exact. Cue notes and notes that are not printed are rests. A bar shown as a repetition of earlier
bars has their notes. Grace notes count for the next note of their voice. Elements and attributes: W3C MusicXML 4.0. How
long notes last stands at :mod:`kitgen.read.score_timing`, single notes at :mod:`kitgen.read.score_notes`.

What is not read: swing, words, and text such as "D.C." without the ``sound`` element that gives it meaning.
"""

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from kitgen.errors import ReadError
from kitgen.read.score_bars import full_span, length_of_bar, with_graces
from kitgen.read.score_notes import Instrument, counts, instruments_of, struck_by, unread_in, with_marks
from kitgen.read.score_places import Staff
from kitgen.read.score_signs import signs_of, tempo_in
from kitgen.read.score_timing import Pace, is_whole_rest, longest, meter_of, reach, walk
from kitgen.read.score_written import Notehead, ScoreBar
from kitgen.time import Meter

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

ROOTS = ("score-partwise", "score-timewise")


def part_names(root: "Element") -> tuple[str, ...]:
    """Names of the parts, in order; a part without one is ``part`` and its number."""
    listed = {part.get("id"): " ".join((part.findtext("part-name") or "").split()) for part in root.iter("score-part")}
    return tuple(listed.get(part) or f"part {number}" for number, (part, _) in enumerate(_parts(root), start=1))


def is_ours(root: "Element") -> bool:
    """True if this program wrote the score."""
    software = (element.text or "" for element in root.iter("software"))
    return any(text.strip().startswith("kitgen ") for text in software)


def first_tempo(root: "Element") -> float | None:
    """The first tempo given for playback, in quarters a minute."""
    return tempo_in(sound.get("tempo") for sound in root.iter("sound"))


def part_bars(root: "Element", index: int) -> tuple[ScoreBar, ...]:
    """The bars of one part, counted from 0, as written.

    Raises:
        ReadError: a bar that cannot be read; names it.
    """
    parts = _parts(root)
    part, measures = parts[index]
    instruments = instruments_of(root, part)
    if _at_several_places(measures):
        instruments.pop("", None)
    reader = _PartReader(instruments)
    read = [reader.bar(measure) for measure in measures]
    short = {place for place, (bar, _, _) in enumerate(read) if bar.length < full_span(bar.meter)}
    others = longest([found for number, (_, found) in enumerate(parts) if number != index], short)
    signs = signs_of(measures, parts[0][1])
    left = sum(map(len, reader.waiting.values()))
    bars: list[ScoreBar] = []
    for place, (bar, rest, back) in enumerate(read):
        length = length_of_bar(bar.length, rest, others.get(place, Fraction(0)), bar.meter)
        heads = bars[place - back].noteheads if 0 < back <= place and not bar.noteheads else bar.noteheads
        unread = (*bar.unread, "grace notes that no note follows") if left and place + 1 == len(read) else bar.unread
        bars.append(replace(bar, length=length, noteheads=heads, signs=signs[place], unread=unread))
    return tuple(bars)


def _at_several_places(measures: Sequence["Element"]) -> bool:
    """True if notes that name no instrument stand at several places, so that a lone instrument cannot be theirs."""
    notes = (note for measure in measures for note in measure.findall("note") if note.find("instrument") is None)
    places = ((note.findtext("unpitched/display-step"), note.findtext("unpitched/display-octave")) for note in notes)
    return len({place for place in places if all(place)}) > 1


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


@dataclass(slots=True)
class _PartReader:
    """What carries over from bar to bar in one part."""

    instruments: dict[str, Instrument]
    pace: Pace = field(default_factory=Pace)
    meter: Meter | None = None
    repeated: int = 0
    waiting: defaultdict[int, list[str]] = field(default_factory=lambda: defaultdict(list))
    staves: defaultdict[str, Staff] = field(default_factory=lambda: defaultdict(Staff))
    unread: list[str] = field(default_factory=list)

    def bar(self, measure: "Element") -> tuple[ScoreBar, Fraction | None, int]:
        """A measure with the length it fills itself, that of its rest for the whole bar, how many bars it repeats."""
        self.pace.number = measure.get("number", "")
        self.unread = []
        heads: list[Notehead] = []
        graces: dict[tuple[Fraction, int], list[str]] = {}
        own, rest = Fraction(0), None
        meter, started = self.meter, False
        for element, at, length in walk(measure, self.pace):
            if element.tag == "attributes":
                self._attributes(element)
                meter = meter if started else self.meter
                continue
            started = True
            if is_whole_rest(element):
                rest = max(rest or Fraction(0), length)
                continue
            own = max(own, reach(element, at + length, meter))
            if element.tag == "note" and counts(element):
                self._note(element, at, length, heads, graces)
        unread = tuple(dict.fromkeys(self.unread))
        bar = ScoreBar(self.pace.number, meter, own, with_graces(heads, graces), unread=unread)
        return bar, rest, self.repeated

    def _attributes(self, attributes: "Element") -> None:
        time = attributes.find("time")
        if time is not None:
            self.meter = meter_of(time, self.pace)
        for repeat in attributes.findall("measure-style/measure-repeat"):
            text = (repeat.text or "").strip()
            self.repeated = int(text[:3]) if repeat.get("type") == "start" and text.isdecimal() else 0
        for style in (*attributes.findall("measure-style/slash"), *attributes.findall("measure-style/beat-repeat")):
            if style.get("type") == "start":
                self.unread.append(f"a {style.tag} sign, under which notes are read as they stand in the file")
        for details in attributes.findall("staff-details"):
            lines = (details.findtext("staff-lines") or "").strip()
            if lines.isdecimal():
                number = details.get("number", "1")
                self.staves[number] = self.staves[number]._replace(lines=int(lines[:2]))
        for clef in attributes.findall("clef"):
            number = clef.get("number", "1")
            self.staves[number] = _under(self.staves[number], clef, self.pace)

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
        staff = self.staves[(note.findtext("staff") or "1").strip()]
        what = struck_by(note, Notehead(at, length, voice, ""), staff, self.instruments)
        chord = note.find("chord") is not None
        if note.find("grace") is not None:
            if not chord:
                self.waiting[voice].append(what.pitch)
        elif length:
            if not chord and voice in self.waiting:
                graces[at, voice] = self.waiting.pop(voice)
            heads.append(with_marks(note, what))
            self.unread += unread_in(note)


def _voice(note: "Element") -> int:
    text = (note.findtext("voice") or "1").strip()
    return int(text[:9]) if text.isdecimal() else 0


def _under(staff: Staff, clef: "Element", pace: Pace) -> Staff:
    """A staff under a clef."""
    sign, line, octaves = ((clef.findtext(tag) or "").strip() for tag in ("sign", "line", "clef-octave-change"))
    shift = int(octaves) if re.fullmatch(r"[+-]?[0-3]", octaves) else 0
    try:
        return staff.under(sign, int(line) if re.fullmatch(r"[0-9]", line) else None, shift)
    except KeyError:
        raise ReadError(
            f"bar {pace.number} has the clef {sign[:20]!r}, which is none; clefs are G, F, C, percussion, TAB, jianpu"
        ) from None
