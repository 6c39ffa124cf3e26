"""MEI into bars as written, and MEI out of Humdrum.

Conventions: quarters, exact. Every file, MEI too, goes through Verovio, whose MEI is uniform: a note lasts its
``dur``, dots and tuplet; each half of a tremolo between two notes lasts half of what is written. Cue notes and notes
that are not visible are rests. A part is a staff, or the staves under one brace that have no names of their own. Of
several movements the first is read. Elements and attributes: Music Encoding Initiative, MEI Guidelines, version 5.0.
The MIDI key of an unpitched note is its ``pnum``.

What is not read: swing, tempo, words, jumps such as da capo. Signs for a repeated beat and mensural durations are
refused.
"""

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from kitgen.errors import ReadError, TimeError
from kitgen.read.score_bars import Notehead, ScoreBar, Signs, length_of_bar, mark_of, with_graces
from kitgen.read.score_files import parsed
from kitgen.read.score_verovio import mei_by_verovio
from kitgen.time import Meter

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_NAMESPACE = "{http://www.music-encoding.org/ns/mei}"
_ID = "{http://www.w3.org/XML/1998/namespace}id"
_NAMED = {"maxima": Fraction(32), "long": Fraction(16), "breve": Fraction(8)}
_POWERS = {str(2**power): Fraction(4, 2**power) for power in range(12)}
_SYMBOLS = {"common": Meter(4, 4), "cut": Meter(2, 2)}
_BRACKETS = ("beam", "tuplet", "bTrem", "fTrem", "graceGrp", "app", "lem", "choice", "corr", "reg", "expan", "add")
_TIMED = ("note", "chord", "rest", "space")
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
    return parsed(mei_by_verovio(text, kind))


def is_mei(root: "Element") -> bool:
    """True if this is the root of an MEI document."""
    return _tag(root) == "mei"


def part_names(root: "Element") -> tuple[str, ...]:
    """Names of the parts, in order; a part without one is ``part`` and its number."""
    return tuple(name or f"part {number}" for number, (name, _) in enumerate(_parts(root), start=1))


def part_bars(root: "Element", index: int) -> tuple[ScoreBar, ...]:
    """The bars of one part, counted from 0, as written.

    Raises:
        ReadError: a bar that cannot be read; names it.
    """
    _, staves = _parts(root)[index]
    score = _score(root)
    reader = _PartReader(staves)
    for element, endings in _flat(score, ()):
        if _tag(element) == "measure":
            reader.measure(element, endings)
        else:
            reader.definition(element)
    return tuple(reader.bars)


def _tag(element: "Element") -> str:
    return element.tag.removeprefix(_NAMESPACE)


def _all(element: "Element", tag: str) -> Iterator["Element"]:
    return (found for found in element.iter() if _tag(found) == tag)


def _score(root: "Element") -> "Element":
    score = next(_all(root, "score"), None)
    if score is None:
        raise ReadError("has no score in its MEI; give a score with notes")
    return score


def _parts(root: "Element") -> list[tuple[str, tuple[str, ...]]]:
    """Name and staff numbers of each part."""
    definition = next(_all(_score(root), "scoreDef"), None)
    return [] if definition is None else list(_parts_in(definition))


def _parts_in(group: "Element", depth: int = 0) -> Iterator[tuple[str, tuple[str, ...]]]:
    for child in group:
        if _tag(child) == "staffDef":
            yield _label(child), (child.get("n", ""),)
        elif _tag(child) == "staffGrp" and depth < _DEEPEST:
            braced = child.get("symbol") == "brace" or any(mark.get("symbol") == "brace" for mark in child)
            staves = list(_all(child, "staffDef"))
            if braced and staves and not any(_label(staff) for staff in staves):
                yield _label(child), tuple(staff.get("n", "") for staff in staves)
            else:
                yield from _parts_in(child, depth + 1)


def _label(staff: "Element") -> str:
    label = next((child for child in staff if _tag(child) == "label"), None)
    return " ".join("".join(label.itertext()).split()) if label is not None else staff.get("label", "")


def _flat(section: "Element", endings: tuple[int, ...], depth: int = 0) -> Iterator[tuple["Element", tuple[int, ...]]]:
    """Definitions and measures in order, each with the passes of the ending it stands in."""
    if depth > _DEEPEST:
        raise ReadError(f"has sections more than {_DEEPEST} deep")
    for child in section:
        tag = _tag(child)
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

    def definition(self, element: "Element") -> None:
        """Take in a change of meter, for all staves or for one of the part's."""
        for found in element.iter():
            if _tag(found) == "staffDef" and found.get("n") not in self.staves:
                continue
            meter = _meter(found)
            if meter is not None:
                self.meter = meter

    def measure(self, measure: "Element", endings: tuple[int, ...]) -> None:
        """Take in a measure."""
        number = measure.get("n", str(len(self.bars) + 1))
        contents = _Contents()
        others = Fraction(0)
        for staff in (child for child in measure if _tag(child) == "staff"):
            own = staff.get("n", "") in self.staves
            for layer in (child for child in staff if _tag(child) == "layer"):
                if own:
                    voice = 100 * self.staves.index(staff.get("n", "")) + _integer(layer.get("n"), 1)
                    self._layer(layer, voice, contents, number)
                else:
                    reach = max((at + length for _, at, length in _walk(layer, number)), default=Fraction(0))
                    others = max(others, reach)
        ties = list(_all(measure, "tie"))
        self.ties_to |= {tie.get("endid", "").lstrip("#") for tie in ties}
        ties_from = {tie.get("startid", "").lstrip("#") for tie in ties}
        heads = [
            replace(head, tied_from=head.tied_from or name in self.ties_to, tied_to=head.tied_to or name in ties_from)
            for head, name in contents.heads
        ]
        length = length_of_bar(contents.own, None, others, self.meter)
        bar = ScoreBar(number, self.meter, length, with_graces(heads, contents.graces), _signs(measure, endings))
        if contents.back and not heads and len(self.bars) >= contents.back:
            bar = replace(bar, noteheads=self.bars[-contents.back].noteheads)
        self.bars.append(bar)
        self.bars += [replace(bar, signs=Signs(endings=endings)) for _ in range(contents.bars - 1)]

    def _layer(self, layer: "Element", voice: int, contents: "_Contents", number: str) -> None:
        for element, at, length in _walk(layer, number):
            tag = _tag(element)
            if tag == "meterSig" and not at:
                self.meter = _meter_sign(element) or self.meter
            elif tag == "multiRest":
                contents.bars = max(1, min(1000, _integer(element.get("num"), 1)))
            elif tag in _REPEATS or tag == "multiRpt":
                contents.back = _REPEATS.get(tag) or _integer(element.get("num"), 1)
            elif tag in _TIMED:
                contents.own = max(contents.own, at + length)
                if tag in ("note", "chord"):
                    self._sounding(element, Notehead(at, length, voice, ""), contents, grace=not length)

    def _sounding(self, element: "Element", head: Notehead, contents: "_Contents", *, grace: bool) -> None:
        """Take in a note or chord; a grace note waits for the next note of its voice."""
        notes = [element] if _tag(element) == "note" else list(_all(element, "note"))
        notes = [note for note in notes if not {"cue", "hidden"} & (_kind(note) | _kind(element))]
        if grace:
            self.waiting[head.voice] += [_pitch(note) for note in notes[:1]]
            return
        if notes and head.voice in self.waiting:
            contents.graces[head.at, head.voice] = self.waiting.pop(head.voice)
        for note in notes:
            marks = _marks(element) | _marks(note)
            tie = note.get("tie", "") + element.get("tie", "")
            key = note.get("pnum", "")
            contents.heads.append(
                (
                    replace(
                        head,
                        pitch=_pitch(note),
                        tied_from=bool(set(tie) & {"m", "t"}),
                        tied_to=bool(set(tie) & {"i", "m"}),
                        accent=bool(marks & {"acc", "marc"}),
                        mark=mark_of(marks),
                        key=int(key) if re.fullmatch(r"[0-9]{1,3}", key) else None,
                        ghost=note.get("enclose") == "paren" or note.get("head.mod") == "paren",
                    ),
                    note.get(_ID, ""),
                )
            )


@dataclass(slots=True)
class _Contents:
    """What stands in a measure of one part: noteheads with their ids, grace notes, and how long it is."""

    heads: list[tuple[Notehead, str]] = field(default_factory=list)
    graces: dict[tuple[Fraction, int], list[str]] = field(default_factory=dict)
    own: Fraction = Fraction(0)
    bars: int = 1
    back: int = 0


def _walk(layer: "Element", number: str) -> Iterator[tuple["Element", Fraction, Fraction]]:
    """Every event of a layer with its place and length; grace notes have length 0."""
    at = Fraction(0)
    for element, factor in _events(layer, Fraction(1), 0, number):
        length = _duration(element, number) * factor if _tag(element) in _TIMED else Fraction(0)
        yield element, at, length
        at += length


def _events(bracket: "Element", factor: Fraction, depth: int, number: str) -> Iterator[tuple["Element", Fraction]]:
    """Events inside brackets of any kind, with what their written length is multiplied by (0 for grace notes)."""
    if depth > _DEEPEST:
        raise ReadError(f"bar {number} has brackets more than {_DEEPEST} deep")
    for child in bracket:
        tag = _tag(child)
        if tag in ("beatRpt", "halfmRpt"):
            raise ReadError(f"bar {number} has a sign for a repeated beat, which is not read; write the notes out")
        if tag in _BRACKETS:
            yield from _events(child, factor * _factor(child), depth + 1, number)
            if tag in ("app", "choice"):
                continue
        elif child.get("grace") is not None:
            yield child, Fraction(0)
        else:
            yield child, factor


def _factor(bracket: "Element") -> Fraction:
    tag = _tag(bracket)
    if tag == "tuplet":
        return Fraction(_integer(bracket.get("numbase"), 2), max(1, _integer(bracket.get("num"), 3)))
    return {"fTrem": Fraction(1, 2), "graceGrp": Fraction(0)}.get(tag, Fraction(1))


def _duration(element: "Element", number: str) -> Fraction:
    """Written length of a note, chord, rest or space, dots counted."""
    name = element.get("dur") or next((note.get("dur") for note in element if note.get("dur")), None) or ""
    length = _NAMED.get(name) or _POWERS.get(name)
    if length is None:
        raise ReadError(f"bar {number} has the duration {name[:20]!r}, which is no note value")
    dots = _integer(element.get("dots"), 0) or sum(1 for child in element if _tag(child) == "dot")
    return length * (2 - Fraction(1, 2 ** min(dots, 8)))


def _meter(element: "Element") -> Meter | None:
    """The meter a definition gives, by its own attributes or as a sign."""
    if _tag(element) == "meterSig":
        return _meter_sign(element)
    return _meter_from(element.get("meter.count"), element.get("meter.unit"), element.get("meter.sym"))


def _meter_sign(sign: "Element") -> Meter | None:
    return _meter_from(sign.get("count"), sign.get("unit"), sign.get("sym"))


def _meter_from(count: str | None, unit: str | None, symbol: str | None) -> Meter | None:
    if count and unit:
        try:
            return Meter.parse(f"{count}/{unit}")
        except TimeError:
            raise ReadError(f"has the time signature {count[:20]}/{unit[:20]}, which is no meter") from None
    return _SYMBOLS.get(symbol or "")


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


def _marks(element: "Element") -> set[str]:
    texts = [element.get("artic", ""), *(child.get("artic", "") for child in element if _tag(child) == "artic")]
    return {name for text in texts for name in text.split()}


def _pitch(note: "Element") -> str:
    return f"{note.get('pname', '')}{note.get('oct', '')}{note.get('loc', '')}"


def _integer(text: str | None, default: int) -> int:
    return int(text) if text and re.fullmatch(r"[0-9]{1,6}", text) else default
