"""Written scores held against the schema, and read by music21 and Verovio, which hear what the page plays.

Sources: W3C Music Notation Community Group, "MusicXML 4.0", 2021, schema ``musicxml.xsd`` and the tutorial's chapter
"Percussion". music21: M. S. Cuthbert and C. Ariza, ISMIR 2010. Verovio: L. Pugin, R. Zitellini and P. Roland, "Verovio:
A library for engraving MEI music notation into SVG", ISMIR 2014; what it hears is taken from the MIDI file it makes.
Tunes are those of the corpus inside music21, in turn over all applications.
"""

import base64
import warnings
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from io import BytesIO
from itertools import cycle, islice
from pathlib import Path

import mido
import pytest
import verovio
from lxml import etree

from kitgen.apply import APPLICATIONS
from kitgen.errors import RefusedError
from kitgen.kit import SURFACES
from kitgen.make.applied import page_of
from kitgen.make.recipe import ApplyRecipe
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Feel, Level, Ornament, parse_rows
from kitgen.read.scores import line_from_score
from kitgen.spell import Choices
from kitgen.write.musicxml import page_musicxml
from tests.corpus import name, tunes
from tests.write.musicxml_reading import differences, faults, read_back, schema, text, tree_of

TUNES, MOST_BARS = 60, 12
NESTED = "demos/nested_tuplet_finale_test2.xml"
"""The one tune with tuplets inside a tuplet, which cannot be written in one voice."""


def page(*rows: str, meter: str = "4/4", feel: Feel | None = None, times: int = 1) -> Page:
    """A page of rows."""
    patterns = [parse_rows(row, meter) for row in rows]
    patterns = patterns if feel is None else [pattern.with_feel(feel) for pattern in patterns]
    made = tuple(Row(f"row {number}", pattern, times) for number, pattern in enumerate(patterns, start=1))
    return Page("A page", "Play it.", made, Tempo.at(80, Fraction(1)), "kitgen")


PAGES = {
    "groove": page(
        "RH closed-hat x.x. x.x. x.x. x...; RH open-hat .... .... .... ..x.; LH snare .... X..g .g.. X..g; "
        "RF bass x... ..x. x.x. ....",
        times=2,
    ),
    "samba": page(
        "RH ride t.tt t.tt t.tt t.tt; LH cross-stick x..x ..x. ..x. .x..; RF bass x..x X..x x..x X..x; "
        "LF hat-foot ..x. ..x. ..x. ..x."
    ),
    "linear": page("RH closed-hat x... .x.. x... ....; LH snare .x.. ..x. .x.. x.x.; RF bass ..xx x..x ..xx .x.x"),
    "rudiments": page(
        "RH snare x. x. X. x.; flam RH x. .. .. ..; LH snare .x .. .. ..; drag LH .x .. .. ..; RF bass x. .. x. ..",
        "RH snare x x x x; buzz RH x . . .; diddle RH . x . .",
    ),
    "swing": page(
        "RH ride x. xx x. xx; LH snare .x .. .x g.; RF bass f. f. f. f.; LF hat-foot .. x. .. x.",
        feel=Feel(8, Fraction(2)),
    ),
    "tuplets": page("LH snare xxx x.x xxxxx xxxxxx; RF bass x x x x", "LH snare x.xx.x xxxxxxx . .x.; RF bass x . x ."),
    "odd": page("RH ride xx xx xxx; LH snare .. x. ...; RF bass x. .. x..", meter="7/8"),
    "rests": page(
        "LH snare xxxx x... .x.. x... | .... .... .... .... | .... .... .... .... | ..x. .... x-.. ...x; "
        "RF bass x... x... x... x... | x... x... x... x... | .... .... .... .... | x... x... x... x...",
        times=3,
    ),
    "compound": page("RH ride xxx x.x xxx x..; LH snare ... x.. ... X..; RF bass x.. ..x x.. ...", meter="12/8"),
}  # fmt: skip
CHOICES = (Choices(), Choices(stickings="all", counts="numbers"), Choices(layout="one"), Choices(layout="time-line"))


@pytest.fixture(scope="session")
def valid(shared_dir: Path) -> etree.XMLSchema:
    """The schema of MusicXML 4.0."""
    if not (shared_dir / "xsd").is_dir():
        pytest.skip("the schema of MusicXML is not in the folder 'shared' beside the checkout")
    return schema(shared_dir)


# ---- published -------------------------------------------------------------------------------------------------------

# W3C MusicXML 4.0 tutorial, "Percussion": midi-unpitched of its instruments, one more than the MIDI key.
UNPITCHED = {"snare": 39, "bass": 37, "crash": 50, "closed-hat": 43, "cowbell": 57}


def test_instruments_as_in_the_tutorial() -> None:
    """Channel 10, ``midi-unpitched`` the key and 1, and a percussion clef."""
    root = tree_of(
        page_musicxml(
            page("RH crash x...; RH closed-hat .x..; RH cowbell ..x.; LH snare x...; RF bass x...", meter="1/4")
        )
    )
    found = {
        str(one.get("id")).partition("-")[2]: int(text(one, "midi-unpitched")) for one in root.iter("midi-instrument")
    }
    assert found == UNPITCHED
    assert {text(one, "midi-channel") for one in root.iter("midi-instrument")} == {"10"}
    assert text(root, ".//clef/sign") == "percussion"


@pytest.mark.parametrize("choices", CHOICES)
@pytest.mark.parametrize("name", PAGES)
def test_pages_are_valid(valid: etree.XMLSchema, name: str, choices: Choices) -> None:
    """The schema finds nothing, nor do the checks beyond it."""
    data = page_musicxml(PAGES[name], choices, bar_repeats=True)
    valid.assertValid(tree_of(data))
    assert list(faults(data)) == []


def test_the_schema_is_heeded(valid: etree.XMLSchema) -> None:
    """A wrong key is found, so that what it accepts means something."""
    data = page_musicxml(PAGES["groove"]).replace(b"<midi-unpitched>39<", b"<midi-unpitched>0<")
    assert not valid.validate(tree_of(data))


# ---- readers ---------------------------------------------------------------------------------------------------------


def by_music21(data: bytes) -> Iterator[tuple[Fraction, str, str, bool, bool]]:
    """Every head as (onset, staff place, head, accent, parentheses), any warning an error."""
    from music21 import converter

    with warnings.catch_warnings():
        warnings.simplefilter("error")
        part = converter.parseData(data.decode(), format="musicxml").parts[0]
        for found in part.recurse().notes:
            if found.duration.isGrace or (found.tie is not None and found.tie.type != "start"):
                continue
            at = Fraction(found.getOffsetInHierarchy(part))
            for head in found.notes if "ChordBase" in found.classSet else [found]:
                accent = any(type(mark).__name__ == "Accent" for mark in (*found.articulations, *head.articulations))
                yield (
                    at,
                    f"{head.displayStep}{head.displayOctave}",
                    head.notehead,
                    accent,
                    bool(head.noteheadParenthesis),
                )


@pytest.mark.parametrize("name", PAGES)
def test_music21_reads_what_is_played(name: str) -> None:
    """Each head at its onset and place, accents and ghosts among them, without a warning."""
    page = PAGES[name]
    meant = [
        (
            hit.onset,
            SURFACES[hit.surface].place,
            SURFACES[hit.surface].head,
            hit.level is Level.ACCENT,
            hit.level is Level.GHOST,
        )
        for hit in page.pattern.hits
    ]
    heard = list(by_music21(page_musicxml(page)))
    accents = {(at, accent) for at, _, _, accent, _ in heard if accent}
    assert sorted(one[:3] for one in heard) == sorted(one[:3] for one in meant)
    assert accents == {(at, accent) for at, _, _, accent, _ in meant if accent}
    assert {(at, place) for at, place, _, _, ghost in heard if ghost} == {
        (at, p) for at, p, _, _, ghost in meant if ghost
    }


def by_verovio(data: bytes) -> tuple[set[tuple[int, int]], int, str]:
    """Every (tick, MIDI key) on channel 10 that Verovio plays, its ticks a quarter, and what it has to say."""
    verovio.enableLog(verovio.LOG_WARNING)
    toolkit = verovio.toolkit()
    toolkit.setOptions({"breaks": "none"})
    assert toolkit.loadData(data.decode())
    midi = mido.MidiFile(file=BytesIO(base64.b64decode(toolkit.renderToMIDI())))
    heard = set()
    for track in midi.tracks:
        tick = 0
        for message in track:
            tick += message.time
            if message.type == "note_on" and message.velocity:
                assert message.channel == 9
                heard.add((tick, message.note))
    return heard, midi.ticks_per_beat, toolkit.getLog()


def check_by_verovio(page: Page, data: bytes) -> None:
    """Verovio plays every stroke, to a tick, and nothing else but what ornaments add; it has nothing to say."""
    heard, ticks, said = by_verovio(data)
    hits = [(round(hit.onset * ticks), SURFACES[hit.surface].key, hit.ornament) for hit in page.pattern.hits]
    near = {(tick + off, key) for tick, key, _ in hits for off in (-1, 0, 1)}
    missing = [hit for hit in hits if not any((hit[0] + off, hit[1]) in heard for off in (-1, 0, 1))]
    dressed = {key for _, key, ornament in hits if ornament is not None}
    assert (missing, [one for one in heard - near if one[1] not in dressed], said) == ([], [], "")


@pytest.mark.parametrize("name", PAGES)
def test_verovio_plays_what_is_played(name: str, capfd: pytest.CaptureFixture[str]) -> None:
    """Each stroke on its key, on channel 10, without a warning."""
    check_by_verovio(PAGES[name], page_musicxml(PAGES[name]))
    assert capfd.readouterr() == ("", "")


# ---- tunes -----------------------------------------------------------------------------------------------------------


@cache
def tune_pages() -> tuple[tuple[str, Page], ...]:
    """Sixty tunes that are not long, the applications in turn; those an application refuses go to the next."""
    lines = (line_from_score(path) for path in tunes(2 * TUNES) if name(path) != NESTED)
    short = list(islice((line for line in lines if len(line.meters.bars) <= MOST_BARS), TUNES))
    order = cycle(APPLICATIONS)
    found = []
    for line in short:
        for application in islice(order, len(APPLICATIONS)):
            try:
                found.append((application, page_of(ApplyRecipe(line="tune sha256:0", as_=application), line)))
                break
            except RefusedError:
                continue
    return tuple(found)


@pytest.mark.slow
def test_tunes_are_read_back(valid: etree.XMLSchema, capfd: pytest.CaptureFixture[str]) -> None:
    """Sixty pages over all applications: valid, read by this program and by Verovio as they are played."""
    pages = tune_pages()
    assert {name for name, _ in pages} == set(APPLICATIONS)
    for _, page in pages:
        data = page_musicxml(page)
        valid.assertValid(tree_of(data))
        assert list(faults(data)) == []
        assert list(differences(page.pattern, read_back(data))) == []
        check_by_verovio(page, data)
    assert capfd.readouterr() == ("", "")


@pytest.mark.slow
def test_tunes_are_read_by_music21() -> None:
    """Every sixth of the sixty: the same heads at the same places."""
    for _, page in tune_pages()[::6]:
        heard = sorted({one[:3] for one in by_music21(page_musicxml(page))})
        meant = {(hit.onset, SURFACES[hit.surface].place, SURFACES[hit.surface].head) for hit in page.pattern.hits}
        assert heard == sorted(meant)


def test_graces_are_told_from_strokes() -> None:
    """The flams and drags of the rudiments are there, and are no strokes of their own."""
    page = PAGES["rudiments"]
    root = tree_of(page_musicxml(page))
    graces = sum(2 if hit.ornament is Ornament.DRAG else hit.ornament is Ornament.FLAM for hit in page.pattern.hits)
    assert len(list(root.iter("grace"))) == graces
