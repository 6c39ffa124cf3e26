"""The chart command: what it writes, what it says, and what it refuses."""

import json
import shutil
from pathlib import Path

import mido
import pytest

from tests.cli.running import contents, run, run_apart
from tests.styles.charting import FERRY


@pytest.fixture
def ferry(tmp_path: Path) -> Path:
    """The band's chart in a folder of its own."""
    return Path(shutil.copy(FERRY, tmp_path))


def test_a_chart_both_ways(ferry: Path, tmp_path: Path) -> None:
    """Played out and to read; the folder holds, and the same again leaves it as it is."""
    out = tmp_path / "out"
    ran = run("chart", ferry, "--out", out)
    assert ran.code == 0
    assert "to read: ferry-at-six.musicxml" in ran.out
    before = contents(out)
    assert {Path(name).suffix for name in before} == {".mid", ".txt", ".musicxml", ".pdf", ".html", ".json"}
    assert b"ferry-at-six.pdf" in before["index.html"]
    assert run("chart", ferry, "--out", out).code == 0
    assert contents(out) == before
    assert run("check", out).out == f"{out}: ok, nothing found\n"
    assert run("check", ferry).out == f"{ferry}: ok, nothing found\n"


def test_a_changed_file_is_found(ferry: Path, tmp_path: Path) -> None:
    """What is to be read is held to its hash, and gone files are missed."""
    out = tmp_path / "out"
    run("chart", ferry, "--out", out, "--to", "txt,musicxml,svg")
    (out / "ferry-at-six.musicxml").write_text("changed", "utf-8")
    (out / "ferry-at-six.svg").unlink()
    ran = run("check", out)
    assert ran.code == 1
    assert "ferry-at-six.musicxml was changed" in ran.out
    assert "ferry-at-six.svg is missing" in ran.out


def test_the_performance(ferry: Path, tmp_path: Path) -> None:
    """Markers a passage, the tempo of the coda, whole bars; the recipe makes the same bytes."""
    run("chart", ferry, "--out", tmp_path / "a", "--to", "mid")
    (entry,) = json.loads((tmp_path / "a/manifest.json").read_text("utf-8"))["pages"]
    assert entry["bars"] == 166
    conductor = mido.MidiFile(tmp_path / "a" / entry["files"]["play"]).tracks[0]
    markers = [one.text for one in conductor if one.type == "marker" and not one.text.startswith("bar ")]
    assert markers[:4] == ["count-in", "Intro", "A, time 1", "A, time 2"]
    assert markers[-2:] == ["C, after the jump", "Coda"]
    assert [round(mido.tempo2bpm(one.tempo)) for one in conductor if one.type == "set_tempo"] == [132, 112]
    words = entry["recipe"].partition("  #")[0].split()
    assert words == ["kitgen", "chart", "ferry-at-six.toml"]
    assert run_apart(*words[1:], "--to", "mid", "--out", "b", cwd=tmp_path).code == 0
    assert contents(tmp_path / "a") == contents(tmp_path / "b")


def test_explained(ferry: Path) -> None:
    """Each figure and each end of a section with its bar and reason, nothing written."""
    ran = run("chart", ferry, "--explain")
    assert ran.code == 0
    lines = ran.out.splitlines()
    assert len(lines) > 60
    assert all(line.startswith("bar ") for line in lines)
    assert (
        "bar 16 (A, time 1, its bar 8): full band, & of 4 long: long: crash cymbal and bass drum; set up with the "
        "snare drum on 4: an off-beat figure is set up on the beat before it"
    ) in lines
    assert any("saxes" in line and "heard, not caught" in line for line in lines)
    assert [path.name for path in ferry.parent.iterdir()] == [ferry.name]


def test_left_handed_and_otherwise(ferry: Path, tmp_path: Path) -> None:
    """Options stand in the recipe; a left-handed performance can be played left-handed."""
    out = tmp_path / "out"
    assert run("chart", ferry, "--hand", "left", "--seed", "1", "--to", "mid,txt", "--out", out).code == 0
    (entry,) = json.loads((out / "manifest.json").read_text("utf-8"))["pages"]
    assert "--hand left --seed 1" in entry["recipe"]
    assert entry["title"] == "Ferry at Six, left-handed"
    assert run("check", out).code == 0


def test_a_play_along_of_ones_own(ferry: Path, tmp_path: Path) -> None:
    """From a letter on, without the hands: the play-along begins there, and its recipe says so."""
    out = tmp_path / "out"
    assert run("chart", ferry, "--to", "mid", "--mute", "RH,LH", "--from", "F", "--out", out).code == 0
    (entry,) = json.loads((out / "manifest.json").read_text("utf-8"))["pages"]
    assert "--mute RH,LH --from F" in entry["recipe"]
    midi = mido.MidiFile(out / entry["files"]["play"])
    assert [one.text for one in midi.tracks[0] if one.type == "marker"][:2] == ["count-in", "F"]
    assert {track.name for track in midi.tracks[1:]} == {"right foot", "left foot", "count-in", "click"}
    said = run("chart", ferry, "--from", "Q", "--out", tmp_path / "no").error
    assert "'Q'; there are: Intro; A, time 1; A, time 2; B" in said
    said = run("chart", ferry, "--from", "A", "--out", tmp_path / "no").error
    assert "did you mean A, time 1 or A, time 2 or A, after the jump?" in said


def test_on_the_terminal(ferry: Path) -> None:
    """Printed, nothing written."""
    ran = run("chart", ferry, "--print")
    assert ran.out.startswith("title: Ferry at Six\n")
    assert "change: 112 quarters a minute from bar 159" in ran.out
    assert [path.name for path in ferry.parent.iterdir()] == [ferry.name]


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("--to", "book"), "a chart is written as mid, txt, wav, musicxml, mxl, svg, pdf"),
        (("--to", ","), "--to names nothing"),
        (("--hand", "open"), "no hand setting of a chart is called 'open'"),
        (("--paper", "legal"), "--paper legal: it is one of letter, a4"),
        (("--player", "beginer"), "beginner"),
        (("--tracks", "two"), "--tracks 'two'"),
    ],
)
def test_refused(ferry: Path, args: tuple[str, str], words: str) -> None:
    """A wrong option is told before anything is written."""
    assert words in run("chart", ferry, *args).error
    assert [path.name for path in ferry.parent.iterdir()] == [ferry.name]


def test_a_chart_that_is_none(tmp_path: Path) -> None:
    """File and line of what is wrong; no traceback."""
    path = tmp_path / "bad.toml"
    path.write_text(
        'title = "x"\nstyle = "swing"\ntempo = 120\n[[section]]\nmark = "A"\nbars = 4\ncoda = true\n', "utf-8"
    )
    assert f"{path}, line 7, section A: section A is a coda without a sign" in run("chart", path).error
    assert "a chart is a TOML file" in run("chart", tmp_path / "none.toml").error
