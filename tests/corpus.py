"""Tunes from the corpus inside music21, and music21's own reading of them.

The corpus (M. S. Cuthbert and C. Ariza, "music21: A Toolkit for Computer-Aided Musicology and Symbolic Music Data",
ISMIR 2010) holds some 650 MusicXML files: chorales, songs, quartets, medieval polyphony. music21 parses them by
itself; only the rules for incomplete bars are applied to what it found, and they are written out anew, so that nothing
of the project's reader is used to check it. Conventions: quarters, exact; the first part of each file.
"""

import warnings
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.util import find_spec
from io import BytesIO
from itertools import chain, islice, zip_longest
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from lxml import etree

SUFFIXES = (".mxl", ".musicxml", ".xml")
MOST_BYTES = 160_000
# Where music21's reading cannot be the measure, and why.
ROUNDED = "the file's divisions cannot express its tuplets, and music21 keeps the rounded durations"
OVERFULL = "a bar holds two rests of a whole bar each, and music21 makes it twice as long as it is in the other parts"
UNFILLED = (
    "a bar is not filled, or overfilled by unprinted gaps, in this part alone; music21 lets it part from the others"
)
NO_MEASURE: dict[str, str] = {
    **dict.fromkeys(
        (
            "cpebach/h186.mxl",
            "beethoven/opus59no2/movement2.mxl",
            "schubert/Lindenbaum.xml",
            "schumann_robert/opus41no1/movement4.mxl",
            "trecento/PMFC_04-Cara mi donna.xml",
            "trecento/PMFC_06-Jacopo-02-Con-Gran-Furor.xml",
            "trecento/PMFC_06-Jacopo-03a-Di_Novo.xml",
            "trecento/PMFC_06_8-In Verde Prato.xml",
            "weber/concertino_clarinet.mxl",
        ),
        ROUNDED,
    ),
    **{
        f"monteverdi/madrigal.{number}.mxl": OVERFULL
        for number in (
            "3.1_old", "3.2", "3.4", "4.1", "4.2", "4.3", "4.4", "4.5", "4.6", "4.7", "4.8", "4.9",
            "4.16", "4.17", "4.18", "5.1", "5.3", "5.6",
        )
    },
    **dict.fromkeys(
        (
            "beethoven/opus18no1/movement2.mxl",
            "beethoven/opus18no1/movement3.mxl",
            "beethoven/opus59no1/movement2.mxl",
            "beethoven/opus59no1/movement3.mxl",
            "haydn/opus1no1/movement3.mxl",
            "haydn/opus1no1/movement4.mxl",
            "haydn/opus74no1/movement2.mxl",
            "mozart/k80/movement4.mxl",
            "schumann_robert/opus41no1/movement5.mxl",
        ),
        UNFILLED,
    ),
}  # fmt: skip

# Tunes whose repeats music21 does not expand, and one where it follows the words "Da Capo" without a sound element.
NO_MEASURE_UNFOLDED = (
    "beethoven/opus59no2/movement3.mxl",
    "haydn/opus74no1/movement3.mxl",
    "mozart/k458/movement1.mxl",
    "mozart/k458/movement2.mxl",
)

_PARSER = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False)


@dataclass(frozen=True)
class Reading:
    """What music21 reads in a part.

    Args:
        onsets: where something is struck, ties joined.
        span: length of all bars made whole.
        lengths: length of each note, where no two of them sound together; else None.
        accents: onsets under an accent.
    """

    onsets: tuple[Fraction, ...]
    span: Fraction
    lengths: tuple[Fraction, ...] | None
    accents: tuple[Fraction, ...]


@cache
def folder() -> Path:
    """Where the corpus is; skips the test where music21 is not installed."""
    spec = find_spec("music21")
    if spec is None or spec.origin is None:
        pytest.skip("music21 is not installed, and this test reads the corpus inside it")
    return Path(spec.origin).parent / "corpus"


@cache
def every_tune() -> tuple[Path, ...]:
    """Every MusicXML file of the corpus, the composers in turn, each composer's smallest first."""
    by_composer: defaultdict[str, list[Path]] = defaultdict(list)
    found = (path for path in folder().rglob("*") if path.suffix in SUFFIXES)
    for path in sorted(found, key=lambda path: (len(_xml(path)), path)):
        by_composer[path.relative_to(folder()).parts[0]].append(path)
    rounds = zip_longest(*(by_composer[name] for name in sorted(by_composer)))
    return tuple(path for path in chain.from_iterable(rounds) if path is not None)


def tunes(limit: int) -> list[Path]:
    """The first so many tunes in that order, without those above 160 kB unpacked or in the table above."""
    small = (path for path in every_tune() if len(_xml(path)) <= MOST_BYTES and name(path) not in NO_MEASURE)
    return list(islice(small, limit))


def has_plain_repeats(path: Path) -> bool:
    """True for repeats whose meaning is beyond dispute: one at most without a start sign, no jumps."""
    root = etree.fromstring(_xml(path), _PARSER)
    part = root.find("part")
    assert part is not None
    ways = [str(sign.get("direction")) for sign in part.iter("repeat")]
    jumps = [sign for sign in root.iter("sound") if {"dacapo", "dalsegno"} & {str(key) for key in sign.attrib}]
    started = "".join(way[0] for way in ways).replace("fb", "")
    if name(path) in NO_MEASURE_UNFOLDED:
        return False
    return bool(ways) and not jumps and started in ("", "b") and (not started or ways[0] == "backward")


def name(path: Path) -> str:
    """A tune's path inside the corpus, as tests name it."""
    return path.relative_to(folder()).as_posix()


def reading(path: Path, *, unfold: bool = False) -> Reading:
    """music21's reading of the first part, its bars made whole, its ties joined; kept for the session."""
    return _reading(path, unfold)  # so that one tune has one place in the cache, however it is asked for


@cache
def _reading(path: Path, unfold: bool) -> Reading:  # noqa: FBT001
    bars = _bars(path, unfold=unfold)
    starts, span = _starts(bars)
    struck = _joined(
        (start + at, length, pitch, tie, accent)
        for bar, start in zip(bars, starts, strict=True)
        for at, length, pitch, tie, accent in bar.notes
    )
    onsets = sorted({at for at, _, _ in struck})
    ends = [*onsets[1:], span]
    alone = len(onsets) == len(struck) and all(
        at + length <= end for (at, length, _), end in zip(struck, ends, strict=True)
    )
    return Reading(
        tuple(onsets),
        span,
        tuple(length for _, length, _ in struck) if alone else None,
        tuple(sorted({at for at, _, accent in struck if accent})),
    )


_NoteRow = tuple[Fraction, Fraction, str, str | None, bool]


@dataclass(frozen=True)
class _Bar:
    """A measure as music21 has it: how far it is filled, how long it should be, and its notes."""

    length: Fraction
    full: Fraction
    notes: tuple[_NoteRow, ...]

    @classmethod
    def of(cls, measures: Iterable[Any]) -> "_Bar":
        """The same bar on every staff of the part."""
        length = full = Fraction(0)
        rows: list[_NoteRow] = []
        for measure in measures:
            full = max(full, Fraction(measure.barDuration.quarterLength))
            for element in measure.recurse().notesAndRests:
                if "Harmony" in element.classSet or element.duration.isGrace:
                    continue
                at = Fraction(element.getOffsetInHierarchy(measure))
                end = at + Fraction(element.quarterLength)
                # rests that are not printed are what music21 makes of gaps
                hidden = bool(element.style.hideObjectOnPrint)
                length = max(length, min(end, full) if hidden else end)
                if element.isRest or hidden or getattr(element.style, "noteSize", None) == "cue" or end == at:
                    continue
                accent = any(type(mark).__name__ in ("Accent", "StrongAccent") for mark in element.articulations)
                members = element.notes if "ChordBase" in element.classSet else [element]
                rows += [(at, end - at, _pitch(note), _tie(note, element), accent) for note in members]
        return cls(length, full, tuple(sorted(rows, key=lambda row: row[0])))


def _pitch(note: Any) -> str:
    return str(note.pitch.ps) if hasattr(note, "pitch") else f"{note.displayStep}{note.displayOctave}"


def _tie(note: Any, chord: Any) -> str | None:
    tie = note.tie or chord.tie
    return tie.type if tie is not None else None


def _starts(bars: list[_Bar]) -> tuple[list[Fraction], Fraction]:
    """Where each bar starts once the first is filled in front, split bars are one again, and the last is filled up."""
    starts: list[Fraction] = []
    at = Fraction(0)
    joined = False
    for index, bar in enumerate(bars):
        short = 0 < bar.length < bar.full
        size = bar.length or bar.full
        if joined:
            starts.append(at)
            at, joined = at + size, False
        elif short and index == 0 and len(bars) > 1:
            starts.append(bar.full - size)
            at = bar.full
        elif short and index == len(bars) - 1:
            starts.append(at)
            at += bar.full
        else:
            following = bars[index + 1] if short else bar
            joined = short and following.full == bar.full and 0 < following.length == bar.full - size
            starts.append(at)
            at += size
    return starts, at


def _joined(rows: Iterable[_NoteRow]) -> list[tuple[Fraction, Fraction, bool]]:
    """(place, length, accent) of what is struck: a tie goes to the same pitch where the note ends."""
    struck: list[tuple[Fraction, Fraction, bool]] = []
    held: dict[tuple[str, Fraction], int] = {}
    for at, length, pitch, tie, accent in sorted(rows, key=lambda row: row[0]):
        place = held.pop((pitch, at), None) if tie in ("stop", "continue") else None
        if place is None:
            place = len(struck)
            struck.append((at, length, accent))
        else:
            first, _, loud = struck[place]
            struck[place] = (first, at + length - first, loud)
        if tie in ("start", "continue"):
            held[pitch, at + length] = place
    return struck


def _bars(path: Path, *, unfold: bool) -> list[_Bar]:
    """The bars of the first part, parsed by music21 from a copy without the other parts."""
    from music21 import converter

    root = etree.fromstring(_xml(path), _PARSER)
    for extra in (*root.findall("part")[1:], *root.findall("part-list/score-part")[1:]):
        parent = extra.getparent()
        assert parent is not None
        parent.remove(extra)
    for value in root.iter("type"):
        value.attrib.pop("size", "")  # music21 does not tell a note printed small from a cue note
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        # the score is kept until all is read: a measure finds its meter through it
        score = converter.parseData(etree.tostring(root), format="musicxml")
        parts = [part.expandRepeats() for part in score.parts] if unfold else list(score.parts)
        staves = [part.getElementsByClass("Measure") for part in parts]
        return [_Bar.of(measures) for measures in zip(*staves, strict=True)]


@cache
def _xml(path: Path) -> bytes:
    """The score in a file, unpacked."""
    data = path.read_bytes()
    if not data.startswith(b"PK"):
        return data
    with ZipFile(BytesIO(data)) as archive:
        container = etree.fromstring(archive.read("META-INF/container.xml"), _PARSER)
        return archive.read(
            next(element for element in container.iter() if str(element.tag).endswith("rootfile")).get("full-path", "")
        )
