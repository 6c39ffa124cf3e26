"""Drum scores in MEI and rhythms in Humdrum: the same strokes by the same rules."""

from fractions import Fraction
from pathlib import Path

import pytest

from kitgen.errors import ReadError
from kitgen.pattern import Level, Ornament
from kitgen.read.humdrum import with_pitches
from kitgen.read.scores import drums_from_score, line_from_score, tempo_of_score

F = Fraction
DATA = Path(__file__).resolve().parent.parent / "data"


def test_places_heads_and_signs_of_mei() -> None:
    """Open and closed hat, flam, buzz, ghost, diddle, accent, two stickings, and both feet, without a single key."""
    drums = drums_from_score(DATA / "drums.mei")
    assert drums.pattern is not None
    assert [(hit.onset, hit.limb.name, hit.surface) for hit in drums.pattern.hits] == [
        (F(0), "LH", "open-hat"), (F(0), "RF", "bass"), (F(0), "LF", "hat-foot"), (F(1), "RH", "closed-hat"),
        (F(2), "LH", "snare"), (F(2), "RF", "bass"), (F(5, 2), "LH", "snare"), (F(3), "RH", "snare"),
        (F(7, 2), "LH", "snare"),
    ]  # fmt: skip
    dressed = [(hit.onset, hit.ornament, hit.level) for hit in drums.pattern.hits if hit.surface == "snare"]
    assert dressed == [
        (F(2), Ornament.FLAM, Level.NORMAL),
        (F(5, 2), Ornament.BUZZ, Level.NORMAL),
        (F(3), None, Level.GHOST),
        (F(7, 2), Ornament.DIDDLE, Level.ACCENT),
    ]
    assert (drums.table, drums.left_out) == ("usual", ())


def test_the_first_tempo(tmp_path: Path) -> None:
    """As given for playback, in MEI and MusicXML; none where none is given, or one nobody plays."""
    assert tempo_of_score(DATA / "drums.mei") == 96
    assert tempo_of_score(DATA / "kit.musicxml") is None
    text = (DATA / "kit.musicxml").read_text(encoding="utf-8")
    for given, read in (("120", 120), ("66.5", 66.5), ("4000", None), ("fast", None)):
        path = tmp_path / "kit.musicxml"
        path.write_text(text.replace("<note>", f'<sound tempo="{given}"/><note>', 1), encoding="utf-8")
        assert tempo_of_score(path) == read


def test_an_unknown_clef_in_mei(tmp_path: Path) -> None:
    """It is an error of ours, or Verovio's MEI has none of it."""
    path = tmp_path / "odd.mei"
    path.write_text((DATA / "drums.mei").read_text(encoding="utf-8").replace('"perc"', '"Q"'), encoding="utf-8")
    try:
        drums_from_score(path)
    except ReadError as error:
        assert str(error).startswith("odd.mei: ")  # noqa: PT017


RECIP = "**recip\n*M4/4\n=1\n4\n8\n8\n4r\n[4\n=2\n4]\n8.\n16\n2\n==\n*-\n"


def test_rhythms_without_pitches_in_humdrum(tmp_path: Path) -> None:
    """A file of values alone is a line, rests and ties as in a file with pitches."""
    path = tmp_path / "values.krn"
    path.write_text(RECIP, encoding="utf-8")
    line = line_from_score(path)
    assert [(note.onset, note.length) for note in line.notes] == [
        (F(0), F(1)), (F(1), F(1, 2)), (F(3, 2), F(1, 2)), (F(3), F(2)), (F(5), F(3, 4)), (F(23, 4), F(1, 4)),
        (F(6), F(2)),
    ]  # fmt: skip
    assert str(line.meters) == "2 x 4/4"


def test_pitched_files_stay_as_they_are() -> None:
    """Only a file without pitched spines is changed, and comments and signs never are."""
    pitched = "**recip\t**kern\n4\t4c\n*-\t*-\n"
    assert with_pitches(pitched) == pitched
    assert with_pitches("nothing") == "nothing"
    assert with_pitches("!! by hand\n**recip\n! 4\n*M2/4\n=1\n4.\n.\n8\n*-\n") == (
        "!! by hand\n**kern\n! 4\n*M2/4\n=1\n4.b\n.\n8b\n*-\n"
    )


def test_split_rhythm_spines_are_refused(tmp_path: Path) -> None:
    """The line is named."""
    path = tmp_path / "split.krn"
    path.write_text("**recip\n*^\n4\t4\n*-\t*-\n", encoding="utf-8")
    with pytest.raises(ReadError, match=r"^split\.krn: line 2 splits or joins spines"):
        line_from_score(path)
