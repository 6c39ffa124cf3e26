"""``kitgen show --style-draft``: a recording on the terminal as the draft of a style's file."""

from pathlib import Path

import mido
import pytest

from kitgen.kit.pads import pad_map
from kitgen.pattern import parse_rows
from kitgen.read.styles import read_style
from tests.cli.running import run

KEYS = {label: key for key, label in sorted(pad_map("gm").items(), reverse=True)}
GROOVE = parse_rows("RH closed-hat xx xx xx xx\nLH snare .. X. .. X.\nRF bass x. .x x. ..")


def take(folder: Path, bars: int = 8) -> Path:
    """A file of somebody playing a groove, without a trace of this program."""
    track = mido.MidiTrack([mido.MetaMessage("set_tempo", tempo=600_000)])
    events = sorted((int(hit.onset * 480), KEYS[hit.surface]) for hit in (GROOVE * bars).hits)
    before = 0
    for tick, key in events:
        track.append(mido.Message("note_on", note=key, velocity=90, channel=9, time=tick - before))
        before = tick
    path = folder / "take.mid"
    mido.MidiFile(tracks=[track]).save(path)
    return path


def test_a_take_is_drafted(tmp_path: Path) -> None:
    """What is printed is a style's file: it reads, its groove is what was played, and work stands above."""
    ran = run("show", take(tmp_path), "--style-draft", "our-rock")
    assert (ran.code, ran.err) == (0, "")
    first = "# A draft from take.mid: 8 bars of 4/4 at 100 quarters a minute, 0 of them with a fill."
    assert {first, "# lean: the whole lies on the beat"} <= set(ran.out.splitlines())
    path = tmp_path / "our-rock.toml"
    path.write_text(ran.out, "utf-8")
    style = read_style(path)
    assert [(h.onset, h.limb, h.surface) for h in style.groove.pattern.hits] == [
        (h.onset, h.limb, h.surface) for h in GROOVE.hits
    ]
    checked = run("check", path)
    assert checked.code == 1
    assert 'no pattern has the role "ending"; add one' in checked.out


def test_a_drum_score_is_drafted() -> None:
    """A drum score is read as playing too."""
    ran = run("show", Path(__file__).parents[1] / "data" / "drums.mei", "--style-draft", "from-paper")
    assert ran.code == 0
    assert 'title = "From paper"' in ran.out


@pytest.mark.parametrize("name", ["Our Rock", "our_rock", ""])
def test_a_bad_name(tmp_path: Path, name: str) -> None:
    """A name that no style can have is one line of error."""
    assert "lower-case-hyphenated" in run("show", take(tmp_path), "--style-draft", name).error


def test_what_is_no_playing(tmp_path: Path) -> None:
    """A typed line, or a page of this program, is no recording, and the error says what is."""
    assert "recorded take or a drum score" in run("show", "1 2 3 4", "--style-draft", "ours").error
    run("apply", "1 2 3 4", "--as", "linear", "--out", tmp_path / "out")
    page = next((tmp_path / "out").glob("*bar.mid"))
    assert "a page of ours" in run("show", page, "--style-draft", "ours").error


def test_nothing_is_played(tmp_path: Path) -> None:
    """A take that is not there, and one too short to keep time, are errors of one line."""
    assert run("show", tmp_path / "none.mid", "--style-draft", "ours").error
