"""Drum scores and tables of staff places by others, read as they are meant.

Sources: the tables as open engraving libraries give them, N. Weinberg, "Guidelines for Drumset Notation", Percussive
Notes, June 1994, pp. 15-26 among them, collected in ``shared/checks/notation.toml``; the percussion tutorial of
MusicXML 4.0 (W3C Music Notation Community Group, 2021); the MusicXML test suite and a drum sample inside music21 (M. S.
Cuthbert and C. Ariza, ISMIR 2010); MEI as Verovio writes it.
"""

import tomllib
from collections.abc import Iterator
from fractions import Fraction
from importlib.util import find_spec
from pathlib import Path

import pytest

from kitgen.pattern import Pattern
from kitgen.read.score_places import TABLES, Staff
from kitgen.read.scores import SUFFIXES, drums_from_score, line_from_score, score_parts

SURFACE_OF = {
    "china cymbal": "china", "crash cymbal 1": "crash", "closed hi-hat": "closed-hat", "ride cymbal 1": "ride",
    "ride bell": "ride-bell", "high tom": "high-tom", "high-mid tom": "high-tom", "cowbell": "cowbell",
    "ride cymbal 2": "ride", "low-mid tom": "mid-tom", "side stick": "cross-stick", "snare": "snare",
    "low tom": "floor-tom", "high floor tom": "floor-tom", "low floor tom": "floor-tom", "bass drum": "bass",
    "pedal hi-hat": "hat-foot", "hi-hat (unmarked)": "closed-hat", "floor tom": "floor-tom", "mid tom": "mid-tom",
    "closed/open hi-hat": "closed-hat", "ride": "ride", "crash": "crash", "hi-hat foot": "hat-foot",
    "cross-stick": "cross-stick", "hi-hat": "closed-hat", "crash 1": "crash",
}  # fmt: skip
# Where a table of others names a drum by a place that ours reads as its neighbour: two toms share what we have one of.
NEIGHBOURS = {
    "lily.high-mid tom": "mid-tom",
    "lily.low floor tom": "bass",
    "agostini.high-mid tom": "high-tom",
}
TABLE_OF = {"wein": "weinberg-1994", "common": "usual", "lily": "top-space", "agostini": "middle-line"}


def published(shared: Path) -> Iterator[tuple[str, str, str, str]]:
    """Each place of the collection that has a surface: its id, the table it is of, place and head."""
    rows = tomllib.loads((shared / "checks" / "notation.toml").read_text(encoding="utf-8"))["staff"]
    for row in rows:
        source, _, name = row["id"].partition(".")
        if name in SURFACE_OF:
            step, octave, shape = row["value"]
            yield row["id"], TABLE_OF[source], f"{step}{octave}", shape


def test_tables_of_places(shared_dir: Path) -> None:
    """Every drum of the published tables is found at its place in the table of its school."""
    found = list(published(shared_dir))
    assert len(found) >= 45
    for name, table, place, shape in found:
        step = Staff().step(place[0], int(place[1]))
        # N. Weinberg, Percussive Notes, June 1994; other tables as in engraving libraries; common practice
        expected = NEIGHBOURS.get(name, SURFACE_OF[name.partition(".")[2]])
        assert step is not None
        assert TABLES[table].get((step, shape)) == expected, name


def strokes(pattern: Pattern | None) -> dict[str, list[Fraction]]:
    """Onsets by surface."""
    assert pattern is not None
    labels = dict.fromkeys(hit.surface for hit in pattern.hits)
    return {label: [hit.onset for hit in pattern.hits if hit.surface == label] for label in labels}


def quarters(*places: float) -> list[Fraction]:
    """Places in quarters."""
    return [Fraction(place) for place in places]


TUTORIAL = {
    "crash": quarters(0),
    "closed-hat": [Fraction(n, 2) for n in range(1, 16)],
    "snare": quarters(1, 3, 5, 7),
    "bass": quarters(0, 2, 2.5, 3.5, 4, 6, 6.5, 7.5),
}
"""What the picture in MusicXML 4.0's tutorial "Percussion" shows, read by eye."""


def test_the_tutorial_with_and_without_its_instruments(shared_dir: Path, tmp_path: Path) -> None:
    """By keys everything; by bass-clef places all but the crash, an open diamond no table has, which is named."""
    path = shared_dir / "data" / "scores" / "tutorial-percussion.musicxml"
    assert strokes(drums_from_score(path).pattern) == TUTORIAL
    text = path.read_text(encoding="utf-8")
    for tag in ("score-instrument", "midi-instrument"):
        text = text.replace(f"<{tag} ", "<other ").replace(f"</{tag}>", "</other>")
    bare = tmp_path / "bare.musicxml"
    bare.write_text(text, encoding="utf-8")
    drums = drums_from_score(bare)
    assert strokes(drums.pattern) == {name: at for name, at in TUTORIAL.items() if name != "crash"}
    assert drums.left_out == ('Drums: a diamond head on G5 is left out at bar 1, count "1"',)


def test_places_of_heads(shared_dir: Path) -> None:
    """Places and heads without any instrument: drums upwards, cymbals by their heads, chords of bass, snare and hat."""
    drums = drums_from_score(shared_dir / "data" / "scores" / "percussion_display_step.musicxml")
    # bass drum lowest, snare third space, hat above the staff, ride on the top line: common practice
    assert strokes(drums.pattern) == {
        "bass": quarters(0, 8, 10),
        "floor-tom": quarters(1),
        "mid-tom": quarters(2, 3),
        "ride": quarters(4),
        "ride-bell": quarters(6, 7),
        "closed-hat": quarters(8, 10),
        "snare": quarters(8, 10),
    }
    assert drums.left_out == ('Drumset: a circle-x head on F5 is left out at bar 2, count "2"',)


@pytest.mark.parametrize("name", ["73a-Percussion.xml", "clef_percussion.musicxml"])
def test_orchestral_percussion_is_no_kit(shared_dir: Path, name: str) -> None:
    """Timpani, cymbals on five lines and a triangle on one are lines, each with its own rhythm."""
    path = shared_dir / "data" / "scores" / name
    parts = score_parts(path)
    assert parts == ("Timpani", "Cymbals", "Triangle")
    assert [drums_from_score(path, part=part).pattern for part in parts] == [None] * 3
    # the MusicXML test suite's own picture, read by eye
    expected = [quarters(0, 6), quarters(0, 3, 4), quarters(0, 3, 4)]
    assert [list(line_from_score(path, part=part).onsets) for part in parts] == expected


def test_every_given_score_through_mei(shared_dir: Path, tmp_path: Path) -> None:
    """Verovio's MEI of each shared score gives the line and, where keys are given, the strokes of the MusicXML."""
    verovio = pytest.importorskip("verovio")
    verovio.enableLog(verovio.LOG_OFF)
    for path in sorted((shared_dir / "data" / "scores").glob("*ml")):
        toolkit = verovio.toolkit()
        assert toolkit.loadFile(str(path))
        mei = tmp_path / f"{path.stem}.mei"
        mei.write_text(toolkit.getMEI({}), encoding="utf-8")
        for part, _ in enumerate(score_parts(path), start=1):
            assert line_from_score(mei, part=part) == line_from_score(path, part=part)
            drums, again = drums_from_score(path, part=part), drums_from_score(mei, part=part)
            assert again.pattern == drums.pattern
            assert len(again.left_out) == len(drums.left_out)


# music21's own material


def inside_music21(name: str) -> Path:
    """A file inside music21; the test is skipped where music21 is not installed or has it no more."""
    found = find_spec("music21")
    if found is None or found.origin is None:
        pytest.skip("music21 is not installed, and this test reads files inside it")
    path = Path(found.origin).parent / name
    if not path.exists():
        pytest.skip(f"this music21 has no {name}")
    return path


def test_the_drum_sample_of_music21() -> None:
    """The only drum score of its corpus: the tutorial's groove and a cowbell in quarters."""
    path = inside_music21("corpus/demos/drum_sample.xml")
    assert strokes(drums_from_score(path, part="drums").pattern) == TUTORIAL
    assert strokes(drums_from_score(path, part="cowbell").pattern) == {"cowbell": quarters(*range(8))}


def test_drums_written_by_music21(tmp_path: Path) -> None:
    """Written again by music21, which forgets which note has which instrument, the groove is read by its places."""
    music21 = pytest.importorskip("music21")
    path = tmp_path / "again.musicxml"
    music21.converter.parse(str(inside_music21("corpus/demos/drum_sample.xml"))).write("musicxml", str(path))
    drums = drums_from_score(path)
    assert strokes(drums.pattern) == {name: at for name, at in TUTORIAL.items() if name != "crash"}
    assert len(drums.left_out) == 1


def test_the_musicxml_test_suite() -> None:
    """Each file of the suite is read in every part that has notes, or refused in one sentence of ours."""
    folder = inside_music21("musicxml/lilypondTestSuite")
    files = [path for path in sorted(folder.iterdir()) if path.suffix in SUFFIXES]
    assert len(files) >= 130
    refused: dict[str, str] = {}
    for path in files:
        for part, _ in enumerate(score_parts(path), start=1):
            try:
                drums_from_score(path, part=part)
                assert line_from_score(path, part=part).notes
            except ValueError as error:
                refused[path.name] = str(error)
    assert {name for name, why in refused.items() if "has no notes" not in why} == {"11b-TimeSignatures-NoTime.xml"}
    assert "goes back to before its start" in refused["11b-TimeSignatures-NoTime.xml"]
