"""``kitgen check --load``: a table for every page, sets of limbs new to a folder, and no other exit code for it."""

import json
import re
from pathlib import Path

import mido
import pytest

from kitgen.make.loads import loads_of_path
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import parse_rows
from kitgen.pattern.load import load_of
from kitgen.write.text import page_text
from tests.cli.running import run

LINE = "1 & 2 e & a 3 4 &"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder of three pages."""
    assert run("apply", LINE, "--as", "alone,hands,linear", "--tempo", "80", "--out", tmp_path / "pages").code == 0
    return tmp_path / "pages"


def test_every_page_has_its_table(folder: Path) -> None:
    """The verdict comes first, then a page a table whose parts add up to its total."""
    ran = run("check", "--load", folder)
    assert (ran.code, ran.err) == (0, "")
    verdict, *tables = ran.out.split("\n\n")
    assert verdict == f"{folder}: ok, nothing found"
    entries = json.loads((folder / "manifest.json").read_text())["pages"]
    assert len(tables) == len(entries) == 3
    for entry, table in zip(entries, tables, strict=True):
        head, *rest = table.strip().splitlines()
        titles, *rows = [line for line in rest if "hardest of its" not in line]
        assert head.startswith(f"page {entry['number']}, {entry['title']}: load ")
        assert head.endswith("quarters a minute")
        assert titles.split() == ["adds", "part", "count", "weight", "most", "at"]
        adds = [float(row.split()[0]) for row in rows]
        total = re.search(r": load ([\d.]+)", head)
        assert total is not None
        assert adds == sorted(adds, reverse=True)
        assert sum(adds) == pytest.approx(float(total[1]), abs=0.1 * len(adds))


def test_text_and_midi_have_one_load(folder: Path) -> None:
    """A page's text and its MIDI are one load, but for the speed: text has the goal, MIDI the start only."""
    for text in folder.glob("*.txt"):
        midi = next(path for path in folder.glob(f"{text.stem}*.mid") if ".play" not in path.name)
        (one,), (other,) = loads_of_path(text), loads_of_path(midi)
        assert [p for p in one.load.parts if p.name != "speed"] == [p for p in other.load.parts if p.name != "speed"]


def test_new_sets_are_counted_where_they_first_come(tmp_path: Path) -> None:
    """In a folder a set of limbs is new on its first page only; a file by itself is in no series."""
    assert run("apply", LINE, "--as", "limb,hands", "--under", "samba", "--out", tmp_path / "samba").code == 0
    first, second = (page.load["new"] for page in loads_of_path(tmp_path / "samba"))
    assert first.value > 0
    assert "LH" in first.worst
    assert second.worst != first.worst
    (alone,) = loads_of_path(next((tmp_path / "samba").glob("01*.txt")))
    assert alone.load["new"].value == 0


def test_a_page_is_as_hard_as_its_hardest_row(tmp_path: Path) -> None:
    """The load is that of the hardest row at the goal, and the row is named."""
    easy, hard = (parse_rows(rows) for rows in ("RH ride x. x. x. x.", "RH ride x. x. x. x.; LF hat-foot .x .x .x .x"))
    tempo = Tempo(60, 120, 60, 120)
    page = Page("Upbeats", "Close the hat between.", (Row("first", easy), Row("then", hard), Row("last", easy)), tempo)
    path = tmp_path / "upbeats.txt"
    path.write_text(page_text(page))
    (found,) = loads_of_path(path)
    assert (found.row, found.rows, found.pace) == ("then", 3, "120 quarters a minute")
    assert found.load == load_of(hard, pace=120)
    said = run("check", path, "--load").out
    assert f"Upbeats: load {found.load.total:.1f} at 120 quarters a minute\n  hardest of its 3 rows: then\n" in said


def test_findings_keep_their_exit_code(tmp_path: Path) -> None:
    """A page that cannot be played is found as before, and measured all the same."""
    path = tmp_path / "fast.txt"
    path.write_text(
        "title: Too fast\ntempo: 300 quarters a minute\nmeter: 4/4\n\nrow: all\nRF bass xxxx xxxx xxxx xxxx\n"
    )
    ran = run("check", "--load", path)
    assert ran.code == 1
    assert "speed" in ran.out
    assert f"{path}: ok" not in ran.out


def test_what_cannot_be_measured(tmp_path: Path) -> None:
    """A folder without a manifest is refused in one line, as without --load."""
    assert "no manifest.json" in run("check", "--load", tmp_path).error


def test_a_take_is_not_measured(tmp_path: Path) -> None:
    """A drum file that does not say which limb plays is checked as ever; that it has no load changes no exit code."""
    path, track = tmp_path / "take.mid", mido.MidiTrack()
    for kind, time in (("note_on", 0), ("note_off", 240), ("note_on", 1440), ("note_off", 200)):
        track.append(mido.Message(kind, channel=9, note=38, velocity=64, time=time))
    track.append(mido.MetaMessage("end_of_track", time=40))
    mido.MidiFile(tracks=[track]).save(path)
    plain, measured = run("check", path), run("check", "--load", path)
    assert (measured.code, measured.out) == (plain.code, plain.out)
    assert measured.err.startswith(plain.err + "load not measured: take.mid: a take does not say which limb")
