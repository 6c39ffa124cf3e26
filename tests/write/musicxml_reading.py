"""A written score looked at element by element, by lxml alone: what the schema cannot say, and what stands where.

Conventions: quarters, exact, from the start of the score.
"""

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from lxml import etree

from kitgen.kit import HATS
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Hit, Pattern, parse_rows
from kitgen.read import score_musicxml
from kitgen.read.score_files import parsed
from kitgen.read.score_hits import pattern_of

Tree = etree._Element
"""An element, by the name lxml has for its type."""


def page_of(*patterns: Pattern, title: str = "Any page", bpm: float = 90, times: int = 1) -> Page:
    """A page with a row for each pattern."""
    rows = tuple(Row(f"row {number}", pattern, times) for number, pattern in enumerate(patterns, start=1))
    return Page(title, "Play it.", rows, Tempo.at(bpm, Fraction(1)), "kitgen")


def page_with(rows: str, meter: str = "4/4", *, times: int = 1) -> Page:
    """A page of one row given as box rows."""
    return page_of(parse_rows(rows, meter), times=times)


def tree_of(data: bytes) -> Tree:
    """The score parsed, its document type not followed."""
    return etree.fromstring(data, etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False))


def read_back(data: bytes) -> Pattern | None:
    """The pattern this program reads in a score."""
    return pattern_of(score_musicxml.part_bars(parsed(data), 0))


def schema(shared: Path) -> etree.XMLSchema:
    """The schema of MusicXML 4.0 in the shared folder, its imports from there too."""
    folder = (shared / "xsd").as_uri()
    words = (shared / "xsd" / "musicxml.xsd").read_text(encoding="utf-8")
    beside = words.replace('schemaLocation="http://www.musicxml.org/xsd', f'schemaLocation="{folder}')
    assert beside.count(folder) == 2
    return etree.XMLSchema(etree.fromstring(beside.encode(), etree.XMLParser(no_network=True)))


def text(element: Tree, path: str) -> str:
    """The text of the one element at a path."""
    (found,) = element.findall(path)
    return found.text or ""


def faults(data: bytes) -> Iterator[str]:
    """What is wrong with a score in ways a schema does not see."""
    root = tree_of(data)
    yield from _id_faults(root)
    divisions = int(text(root, ".//divisions"))
    span = Fraction(0)
    for number, measure in enumerate(root.iter("measure"), start=1):
        if measure.get("number") != str(number):
            yield f"bar {number} is numbered {measure.get('number')}"
        if (above := measure.findtext("attributes/time/beats")) is not None:
            below = int(text(measure, "attributes/time/beat-type"))
            span = Fraction(4 * sum(map(int, above.split("+"))), below)
        for voice, notes in _voices(measure).items():
            length = Fraction(sum(_duration(note) for note in notes if note.find("chord") is None), divisions)
            if length != span:
                yield f"bar {number} voice {voice} lasts {length} of {span}"
            yield from (f"bar {number} voice {voice}: {fault}" for fault in _group_faults(notes))
        yield from (f"bar {number}: {fault}" for fault in _walk_faults(measure, int(span * divisions)))


def _id_faults(root: Tree) -> Iterator[str]:
    ids = [str(element.get("id")) for tag in ("score-part", "score-instrument", "note") for element in root.iter(tag)]
    ids = [name for name in ids if name != "None"]
    if len(ids) != len(set(ids)):
        yield "an id stands twice"
    declared = {element.get("id") for element in root.iter("score-instrument")}
    if {element.get("id") for element in root.iter("midi-instrument")} != declared:
        yield "instruments and their keys differ"
    used = {element.get("id") for element in root.iter("instrument")}
    if used != declared:
        yield f"instruments used and declared differ in {used ^ declared}"


def _voices(measure: Tree) -> dict[str, list[Tree]]:
    found: defaultdict[str, list[Tree]] = defaultdict(list)
    for note in measure.findall("note"):
        found[text(note, "voice")].append(note)
    return found


def _duration(note: Tree) -> int:
    return int(note.findtext("duration") or 0)


def _group_faults(notes: list[Tree]) -> Iterator[str]:
    """Beams and tuplets that do not end, or end what has not begun."""
    open_beams: set[str] = set()
    tuplets = 0
    for note in notes:
        for beam in note.findall("beam") if note.find("grace") is None else []:
            number, kind = str(beam.get("number")), beam.text or ""
            if (kind in ("continue", "end")) != (number in open_beams) and "hook" not in kind:
                yield f"a beam {kind} out of place"
            open_beams = (
                open_beams - {number}
                if kind == "end"
                else open_beams | ({number} & {number} if kind == "begin" else set())
            )
        for tuplet in note.findall("notations/tuplet"):
            tuplets += 1 if tuplet.get("type") == "start" else -1
        if tuplets not in (0, 1):
            yield "tuplets inside one another"
        if note.find("chord") is None and note.find("grace") is None:
            inside = tuplets == 1 or note.find("notations/tuplet") is not None
            if inside != (note.find("time-modification") is not None):
                yield "a note of a tuplet outside its ends"
    if open_beams or tuplets:
        yield "a beam or tuplet without end"


def _walk_faults(measure: Tree, span: int) -> Iterator[str]:
    """Voices that do not start where the bar does, or leave it unfilled at its end."""
    at = 0
    for element in measure:
        if element.tag == "note" and element.find("chord") is None:
            at += _duration(element)
        elif element.tag == "backup":
            at -= _duration(element)
            if at:
                yield "a voice does not start with the bar"
    if at != span:
        yield "the last voice does not end with the bar"


def by_surface(pattern: Pattern) -> dict[tuple[Fraction, str], list[Hit]]:
    """The hits of each surface at each instant."""
    found: defaultdict[tuple[Fraction, str], list[Hit]] = defaultdict(list)
    for hit in pattern.hits:
        found[hit.onset, hit.surface].append(hit)
    return found


def differences(meant: Pattern, found: Pattern | None) -> Iterator[str]:
    """In what a pattern read back is not the one that was written.

    Where two limbs strike one surface at once one head stands for both, and says how loud the louder is; two hands that
    strike one hat at once, open and closed, have one head too, and are left out here.
    """
    if found is None:
        if meant.hits:
            yield "nothing is read"
        return
    ours, theirs = by_surface(meant), by_surface(found)
    twice = {(onset, hat) for onset, _ in ours if all((onset, hat) in ours for hat in HATS) for hat in HATS}
    if ours.keys() - twice != theirs.keys() - twice:
        yield f"struck: {sorted((ours.keys() ^ theirs.keys()) - twice)}"
        return
    for key in ours.keys() - twice:
        hits, again = ours[key], theirs[key]
        if max(hit.level for hit in hits) != max(hit.level for hit in again):
            yield f"level of {hits}"
        if len(hits) == 1 and (hits[0].limb, hits[0].ornament) != (again[0].limb, again[0].ornament):
            yield f"limb or ornament of {hits[0]}: {again[0]}"
