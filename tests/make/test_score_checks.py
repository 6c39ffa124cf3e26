"""Drum scores by others on the command line: shown as rows, checked for who can play them, taken as lines."""

from pathlib import Path

from tests.cli.running import run
from tests.read.drum_text import PERCUSSION, drum_score, head
from tests.read.musicxml_text import note, rest, score

TEMPO = '<sound tempo="{}"/>'


def written(folder: Path, text: str) -> Path:
    """A score in a file."""
    path = folder / "cadence.musicxml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_groove_passes(tmp_path: Path) -> None:
    """Hat, snare and bass at the score's own tempo."""
    bar = head("G5", "x") + head("F4", chord=True) + head("G5", "x") + head("C5", chord=True)
    path = written(tmp_path, drum_score(TEMPO.format(96) + 2 * bar))
    ran = run("check", path)
    assert (ran.code, ran.out) == (0, f"{path}: ok, nothing found\n")


def test_what_nobody_plays_is_found_at_the_tempo_of_the_score(tmp_path: Path) -> None:
    """Bass drum eighths at 300; without a tempo they are judged at 60, where anyone plays them."""
    fast = run("check", written(tmp_path, drum_score(TEMPO.format(300) + 8 * head("F4", length=1))))
    assert fast.code == 1
    assert "at its goal, 300 quarters a minute: " in fast.out
    assert "right foot" in fast.out
    assert run("check", written(tmp_path, drum_score(8 * head("F4", length=1)))).code == 0


def test_what_was_left_out_is_a_finding(tmp_path: Path) -> None:
    """What is not read cannot be vouched for."""
    path = written(tmp_path, drum_score(3 * head() + head("F5", "square")))
    ran = run("check", path)
    assert (ran.code, ran.out) == (1, f'{path}: Drums: a square head on F5 is left out at bar 1, count "4"\n')


def test_a_melody_is_no_drum_score(tmp_path: Path) -> None:
    """One sentence that says what check looks at."""
    error = run("check", written(tmp_path, score([note(16)]))).error
    assert error == "cadence.musicxml: no part of it names drums; check looks at what limbs play on the kit"


def test_the_drums_of_a_band_are_found(tmp_path: Path) -> None:
    """Every part for the kit is checked, wherever it stands; silent parts and melodies are passed over."""
    names = ["Trumpet", "Tacet", "Drums"]
    text = score([note(16)], [rest(16)], [note(16)], names=names)
    drums = head("G5", "x") + head("F5", "square") + head("C5", length=4)
    before, after = text.rsplit(note(16), 1)
    clef = f"<attributes><divisions>2</divisions>{PERCUSSION}</attributes>"
    path = written(tmp_path, before + clef + drums + after)
    ran = run("check", path)
    assert (ran.code, ran.out) == (1, f'{path}: Drums: a square head on F5 is left out at bar 1, count "2"\n')


def test_show_prints_rows_and_says_what_is_missing(tmp_path: Path) -> None:
    """Rows on stdout, remarks on stderr; the part's line where it is no kit's."""
    path = written(tmp_path, drum_score(head("G5", "x") + head() + head("F4") + head("F5", "square")))
    ran = run("show", path)
    assert ran.code == 0
    assert ran.out.splitlines()[1:] == [
        "count          1 2 3 4",
        "RH closed-hat  x . . .",
        "LH snare       . x . .",
        "RF bass        . . x .",
    ]
    assert ran.err.splitlines() == [
        "cadence.musicxml: the score names no instruments; staff places and heads are read as in the table 'usual'",
        'cadence.musicxml: Drums: a square head on F5 is left out at bar 1, count "4"',
    ]
    ran = run("show", written(tmp_path, drum_score(4 * head("E4"), part="Triangle", lines=1)))
    assert ran.out.splitlines()[1:3] == ["count  1 2 3 4", "line   x x x x"]
    assert ran.err == ""


def test_apply_takes_all_onsets_of_a_drum_score(tmp_path: Path) -> None:
    """The line is the rhythm of everything struck."""
    bar = head("G5", "x") + head("C5", length=1) + head("F4", length=1) + head("D4", "x", length=4)
    ran = run("apply", written(tmp_path, drum_score(bar)), "--as", "alone", "--print")
    assert ran.code == 0
    assert "line: x- xx x- --" in ran.out
