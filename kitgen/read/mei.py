"""MEI into bars as written, and MEI out of Humdrum.

Conventions: quarters, exact. Every file, MEI too, goes through Verovio, whose MEI is uniform. Cue notes and notes
that are not visible are rests. A part is a staff, or the staves under one brace that have no names of their own. Of
several movements the first is read. Elements and attributes: Music Encoding Initiative, MEI Guidelines, version 5.0.
Single notes are read by :mod:`kitgen.read.mei_notes`.

What is not read: swing, tempo, words, jumps such as da capo. Signs for a repeated beat and mensural durations are
refused.
"""

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from kitgen.errors import ReadError
from kitgen.read.humdrum import with_pitches
from kitgen.read.mei_notes import ID, integer, notehead, pitch_of, staff_after, tag_of, within
from kitgen.read.mei_timing import TIMED, meter_of, meter_sign, walk
from kitgen.read.score_bars import length_of_bar, with_graces
from kitgen.read.score_files import parsed
from kitgen.read.score_notes import sticking_of
from kitgen.read.score_places import Staff
from kitgen.read.score_signs import tempo_in
from kitgen.read.score_verovio import mei_by_verovio
from kitgen.read.score_written import Notehead, ScoreBar, Signs
from kitgen.time import Meter

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_REPEATS = {"mRpt": 1, "mRpt2": 2}
_DEEPEST = 40


def mei_of(data: bytes, kind: str) -> "Element":
    """The MEI that Verovio makes of a score.

    Args:
        data: the file.
        kind: ``mei`` or ``humdrum``.

    Raises:
        ReadError: Verovio makes no score of it.
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "latin-1", errors="replace")
    return parsed(mei_by_verovio(with_pitches(text) if kind == "humdrum" else text, kind))


def is_mei(root: "Element") -> bool:
    """True if this is the root of an MEI document."""
    return tag_of(root) == "mei"


def part_names(root: "Element") -> tuple[str, ...]:
    """Names of the parts, in order; a part without one is ``part`` and its number."""
    return tuple(name or f"part {number}" for number, (name, _) in enumerate(_parts(root), start=1))


def first_tempo(root: "Element") -> float | None:
    """The first tempo given for playback, in quarters a minute."""
    return tempo_in(element.get("midi.bpm") for element in _score(root).iter())


def part_bars(root: "Element", index: int) -> tuple[ScoreBar, ...]:
    """The bars of one part, counted from 0, as written.

    Raises:
        ReadError: a bar that cannot be read; names it.
    """
    _, staves = _parts(root)[index]
    score = _score(root)
    reader = _PartReader(staves)
    for element, endings in _flat(score, ()):
        if tag_of(element) == "measure":
            reader.measure(element, endings)
        else:
            reader.definition(element)
    return tuple(reader.bars)


def _score(root: "Element") -> "Element":
    score = next(within(root, "score"), None)
    if score is None:
        raise ReadError("has no score in its MEI; give a score with notes")
    return score


def _parts(root: "Element") -> list[tuple[str, tuple[str, ...]]]:
    """Name and staff numbers of each part."""
    definition = next(within(_score(root), "scoreDef"), None)
    return [] if definition is None else list(_parts_in(definition))


def _parts_in(group: "Element", depth: int = 0) -> Iterator[tuple[str, tuple[str, ...]]]:
    for child in group:
        if tag_of(child) == "staffDef":
            yield _label(child), (child.get("n", ""),)
        elif tag_of(child) == "staffGrp" and depth < _DEEPEST:
            braced = child.get("symbol") == "brace" or any(mark.get("symbol") == "brace" for mark in child)
            staves = list(within(child, "staffDef"))
            if braced and staves and not any(_label(staff) for staff in staves):
                yield _label(child), tuple(staff.get("n", "") for staff in staves)
            else:
                yield from _parts_in(child, depth + 1)


def _label(staff: "Element") -> str:
    label = next((child for child in staff if tag_of(child) == "label"), None)
    return " ".join("".join(label.itertext()).split()) if label is not None else staff.get("label", "")


def _flat(section: "Element", endings: tuple[int, ...], depth: int = 0) -> Iterator[tuple["Element", tuple[int, ...]]]:
    """Definitions and measures in order, each with the passes of the ending it stands in."""
    if depth > _DEEPEST:
        raise ReadError(f"has sections more than {_DEEPEST} deep")
    for child in section:
        tag = tag_of(child)
        if tag in ("measure", "scoreDef", "staffDef"):
            yield child, endings
        elif tag == "ending":
            yield from _flat(child, _passes(child.get("n") or child.get("label") or ""), depth + 1)
        elif tag == "section":
            yield from _flat(child, endings, depth + 1)


def _passes(text: str) -> tuple[int, ...]:
    return tuple(int(number[:3]) for number in re.findall(r"[0-9]+", text))


@dataclass(slots=True)
class _PartReader:
    """What carries over from bar to bar in one part, and the bars read so far."""

    staves: tuple[str, ...]
    meter: Meter | None = None
    bars: list[ScoreBar] = field(default_factory=list)
    waiting: defaultdict[int, list[str]] = field(default_factory=lambda: defaultdict(list))
    ties_to: set[str] = field(default_factory=set)
    staff: defaultdict[str, Staff] = field(default_factory=lambda: defaultdict(Staff))

    def definition(self, element: "Element") -> None:
        """Take in a change of meter, for all staves or for one of the part's."""
        for found in element.iter():
            if tag_of(found) == "staffDef" and found.get("n") not in self.staves:
                continue
            meter = meter_of(found)
            if meter is not None:
                self.meter = meter
            if tag_of(found) == "staffDef":
                number = found.get("n", "")
                self.staff[number] = staff_after(self.staff[number], found)

    def measure(self, measure: "Element", endings: tuple[int, ...]) -> None:
        """Take in a measure."""
        number = measure.get("n", str(len(self.bars) + 1))
        contents = _Contents()
        others = Fraction(0)
        for staff in (child for child in measure if tag_of(child) == "staff"):
            own = staff.get("n", "") in self.staves
            for layer in (child for child in staff if tag_of(child) == "layer"):
                if own:
                    contents.staff = staff.get("n", "")
                    voice = 100 * self.staves.index(staff.get("n", "")) + integer(layer.get("n"), 1)
                    self._layer(layer, voice, contents, number)
                else:
                    reach = max((at + length for _, at, length in walk(layer, number)), default=Fraction(0))
                    others = max(others, reach)
        ties = list(within(measure, "tie"))
        self.ties_to |= {tie.get("endid", "").lstrip("#") for tie in ties}
        ties_from = {tie.get("startid", "").lstrip("#") for tie in ties}
        fingers = {
            mark.get("startid", "").lstrip("#"): sticking_of("".join(mark.itertext()))
            for mark in within(measure, "fing")
        }
        heads = [
            replace(
                head,
                tied_from=head.tied_from or name in self.ties_to,
                tied_to=head.tied_to or name in ties_from,
                sticking=head.sticking or fingers.get(name, ""),
            )
            for head, name in contents.heads
        ]
        length = length_of_bar(contents.own, None, others, self.meter)
        bar = ScoreBar(number, self.meter, length, with_graces(heads, contents.graces), _signs(measure, endings))
        if contents.back and not heads and len(self.bars) >= contents.back:
            bar = replace(bar, noteheads=self.bars[-contents.back].noteheads)
        self.bars.append(bar)
        self.bars += [replace(bar, signs=Signs(endings=endings)) for _ in range(contents.bars - 1)]

    def _layer(self, layer: "Element", voice: int, contents: "_Contents", number: str) -> None:
        tremolos = {child: tremolo for tremolo in within(layer, "bTrem") for child in tremolo}
        for element, at, length in walk(layer, number):
            tag = tag_of(element)
            if tag == "clef":
                self.staff[contents.staff] = staff_after(self.staff[contents.staff], element)
            elif tag == "meterSig" and not at:
                self.meter = meter_sign(element) or self.meter
            elif tag == "multiRest":
                contents.bars = max(1, min(1000, integer(element.get("num"), 1)))
            elif tag in _REPEATS or tag == "multiRpt":
                contents.back = _REPEATS.get(tag) or integer(element.get("num"), 1)
            elif tag in TIMED:
                contents.own = max(contents.own, at + length)
                if tag in ("note", "chord"):
                    head = Notehead(at, length, voice, "")
                    self._sounding(element, head, contents, tremolos.get(element), grace=not length)

    def _sounding(
        self,
        element: "Element",
        head: Notehead,
        contents: "_Contents",
        tremolo: "Element | None",
        *,
        grace: bool,
    ) -> None:
        """Take in a note or chord; a grace note waits for the next note of its voice."""
        notes = [element] if tag_of(element) == "note" else list(within(element, "note"))
        notes = [note for note in notes if not {"cue", "hidden"} & (_kind(note) | _kind(element))]
        if grace:
            self.waiting[head.voice] += [pitch_of(note) for note in notes[:1]]
            return
        if notes and head.voice in self.waiting:
            contents.graces[head.at, head.voice] = self.waiting.pop(head.voice)
        for note in notes:
            read = notehead(note, element, head, self.staff[contents.staff], tremolo)
            contents.heads.append((read, note.get(ID, "")))


@dataclass(slots=True)
class _Contents:
    """What stands in a measure of one part: noteheads with their ids, grace notes, and how long it is."""

    heads: list[tuple[Notehead, str]] = field(default_factory=list)
    graces: dict[tuple[Fraction, int], list[str]] = field(default_factory=dict)
    staff: str = ""
    own: Fraction = Fraction(0)
    bars: int = 1
    back: int = 0


def _signs(measure: "Element", endings: tuple[int, ...]) -> Signs:
    left, right = measure.get("left"), measure.get("right")
    return Signs(
        repeat_from=left in ("rptstart", "rptboth"),
        repeat_times=2 if right in ("rptend", "rptboth") else 0,
        endings=endings,
    )


def _kind(element: "Element") -> set[str]:
    cue, hidden = element.get("cue") == "true", element.get("visible") == "false"
    return ({"cue"} if cue else set()) | ({"hidden"} if hidden else set())
