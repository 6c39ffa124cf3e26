"""Play-alongs and sounds from the command line: files, recipes, manifest, index, and check of all of it."""

import json
import shlex
import wave
from pathlib import Path
from typing import Any

import pytest

from kitgen.read.smf import load
from tests.cli.running import contents, run

LINE = "x.x. xx.x x... x-x-"
FAST = ("--tempo", "200", "--repeats", "1", "--allow-unplayable")


def manifest_in(folder: Path) -> Any:
    """What the manifest says."""
    return json.loads((folder / "manifest.json").read_text())


def frames_in(path: Path) -> tuple[int, int]:
    """Frames and rate of a WAV file."""
    with wave.open(str(path)) as file:
        return file.getnframes(), file.getframerate()


def test_a_page_to_hear(tmp_path: Path) -> None:
    """Loop and play-along as WAV files, their loudness and peak in the manifest and the index; check finds no fault."""
    done = run("apply", LINE, "--as", "groove", *FAST, "--to", "txt,mid,wav", "--mute", "RH", "--out", tmp_path / "a")
    assert done.code == 0, done.err
    (page,) = manifest_in(tmp_path / "a")["pages"]
    assert page["files"]["wav"].endswith("bar.wav")
    assert page["files"]["play_wav"].endswith("bar-without-right-hand.play.wav")
    assert page["files"]["play"].endswith("bar-without-right-hand.play.mid")
    assert "right hand" not in [track.name for track in load(tmp_path / "a" / page["files"]["play"]).tracks]
    assert frames_in(tmp_path / "a" / page["files"]["wav"]) == (57600, 48000)
    sound = page["sound"]
    assert (sound["font"], sound["rate"], sound["wav"]["seconds"]) == ("General MIDI", 48000, 1.2)
    for kind in ("wav", "play_wav"):
        assert -40 < sound[kind]["loudness_lufs"] < -10
        assert sound[kind]["true_peak_dbfs"] < -1
    index = (tmp_path / "a" / "index.html").read_text()
    assert "loop (sound, WAV)" in index
    assert "Sound: loop 1.2 s, " in index
    assert "LUFS" in index
    assert run("check", tmp_path / "a").out.strip().endswith("ok, nothing found")


def test_the_click_apart_at_another_rate_made_again(tmp_path: Path) -> None:
    """Three WAV files, and the recipe in the manifest makes every byte again."""
    options = ("--as", "groove", *FAST, "--click", "1-ON-1-off", "--count-in", "none", "--click-apart")
    rate = ("--rate", "44100")
    assert run("apply", LINE, *options, *rate, "--to", "wav", "--out", tmp_path / "a").code == 0
    manifest = manifest_in(tmp_path / "a")
    assert set(manifest["pages"][0]["files"]) == {"wav", "play_wav", "click_wav"}
    assert {frames_in(path)[1] for path in (tmp_path / "a").glob("*.wav")} == {44100}
    assert run("check", tmp_path / "a").code == 0
    words = shlex.split(manifest["recipe"], comments=True)[1:]
    assert words[words.index("--click") + 1] == "1-on-1-off"
    assert run(*words, "--to", "wav", "--out", tmp_path / "b").code == 0
    assert contents(tmp_path / "a") == contents(tmp_path / "b")


@pytest.mark.slow
def test_side_by_side_is_the_same(tmp_path: Path) -> None:
    """Sounds do not depend on which process made what before."""
    command = ("apply", LINE, "--as", "groove,limb,linear", *FAST, "--to", "wav")
    assert run(*command, "--out", tmp_path / "a").code == 0
    assert run(*command, "--jobs", "2", "--out", tmp_path / "b").code == 0
    assert contents(tmp_path / "a") == contents(tmp_path / "b")


def test_a_kit_with_keys_of_its_own_is_heard_on_general_midi(tmp_path: Path) -> None:
    """Sound fonts have the keys of General MIDI: the sound is as on the standard kit, while the MIDI files differ."""
    kit = tmp_path / "pads.toml"
    kit.write_text('name = "pads"\nsurfaces = ["snare", "bass", "closed-hat", "open-hat", "hat-foot", "ride"]\n')
    for name, keys in (("a", ""), ("b", "[keys]\nsnare = 60\n")):
        kit.write_text(kit.read_text() + keys)
        command = ("apply", LINE, "--as", "groove", *FAST, "--kit", kit, "--to", "mid,wav")
        assert run(*command, "--out", tmp_path / name).code == 0
    one, other = contents(tmp_path / "a"), contents(tmp_path / "b")
    assert [name for name in one if name.endswith(".wav") and one[name] != other[name]] == []
    assert [name for name in one if name.endswith(".mid") and one[name] == other[name]] == []


def test_sounds_do_not_replace_others_unasked(tmp_path: Path) -> None:
    """A folder with other sounds is left as it is; with --force it is replaced, the old files with it."""
    command = (
        "apply",
        LINE,
        "--as",
        "groove",
        "--allow-unplayable",
        "--repeats",
        "1",
        "--to",
        "wav",
        "--out",
        tmp_path,
    )
    assert run(*command, "--tempo", "200").code == 0
    before = contents(tmp_path)
    assert run(*command, "--tempo", "200").code == 0
    assert contents(tmp_path) == before
    assert "would be overwritten" in run(*command, "--tempo", "200", "--rate", "44100").error
    assert contents(tmp_path) == before
    assert run(*command, "--tempo", "180", "--force").code == 0
    assert not set(contents(tmp_path)) & {name for name in before if name.endswith(".wav")}


def test_check_finds_a_sound_that_is_too_short(tmp_path: Path) -> None:
    """A loop cut by a few frames, and a play-along shorter than its MIDI file, are found though the hash were right."""
    assert run("apply", LINE, "--as", "groove", *FAST, "--to", "mid,wav", "--out", tmp_path).code == 0
    (page,) = manifest_in(tmp_path)["pages"]
    for kind, lost in (("wav", 10), ("play_wav", 96000)):
        path = tmp_path / page["files"][kind]
        with wave.open(str(path)) as file:
            kept, how = file.readframes(file.getnframes() - lost), file.getparams()
        with wave.open(str(path), "wb") as file:
            file.setparams(how)
            file.writeframes(kept)
    found = run("check", tmp_path).out
    assert found.count("was changed after the manifest was written") == 2
    assert f"{page['files']['mid']} lasts 1.200 s" in found
    assert f"{page['files']['play']} lasts 3.600 s" in found


def test_without_text_or_midi_the_recipe_tells_the_length(tmp_path: Path) -> None:
    """A folder of sounds alone is held against the page that its recipe makes."""
    assert run("apply", LINE, "--as", "groove", *FAST, "--to", "wav", "--out", tmp_path).code == 0
    manifest = manifest_in(tmp_path)
    manifest["pages"][0]["recipe"] = manifest["pages"][0]["recipe"].replace("--tempo 200", "--tempo 100")
    (tmp_path / "manifest.json").write_text(json.dumps(manifest))
    assert "its bars last 2.400 s" in run("check", tmp_path).out


def test_of_several_pages_one_is_played_as_usual_and_says_so(tmp_path: Path) -> None:
    """Standard error, manifest and index say it; the page's own recipe makes the page as it is."""
    command = ("apply", LINE, "--as", "limb,hands", "--click", "2-and-4", "--from", "2", "--to", "mid")
    done = run(*command, "--out", tmp_path)
    assert done.code == 0
    first, second = manifest_in(tmp_path)["pages"]
    assert "played_as_usual" not in first
    assert second["played_as_usual"] == ["as usual, not --from 2: 'Hands, natural sticking' has one row"]
    assert f"page 2 ({second['title']}) played {second['played_as_usual'][0]}" in done.err
    assert "The play-along is as usual, not --from 2" in (tmp_path / "index.html").read_text()
    assert "--from" in first["recipe"]
    assert "--from" not in second["recipe"]
    assert run("check", tmp_path).code == 0
    assert "one row" in run(*command[:2], "--as", "hands", *command[4:], "--out", tmp_path / "b").error


@pytest.mark.parametrize(
    "command",
    [
        ("grid", "--moving", "LH", "--under", "hat-2-4", "--pages", "1-2", "--tempo", "60..66:marks"),
        ("tour", "--limbs", "RH,LH", "--under", "hat-2-4", "--pages", "1", "--tempo", "60..66:marks"),
        pytest.param(("series", "rhythm", "--pages", "1"), marks=pytest.mark.slow),
    ],
    ids=("grid", "tour", "series"),
)
def test_every_command_takes_them(tmp_path: Path, command: tuple[str, ...]) -> None:
    """The options stand in the recipes of each command, and its play-alongs are so."""
    options = ("--click", "bar", "--count-in", "two-bars", "--repeats", "1", "--to", "mid")
    assert run(*command, *options, "--out", tmp_path).code == 0
    manifest = manifest_in(tmp_path)
    for recipe in (manifest["recipe"], manifest["pages"][0]["recipe"]):
        assert "--click bar --count-in two-bars" in recipe
    midi = load(tmp_path / manifest["pages"][0]["files"]["play"])
    (count_in,) = (track for track in midi.tracks if track.name == "count-in")
    assert sum(message.type == "note_on" for message in count_in) == 8
    if "--tempo" in command:
        tempi = [round(60e6 / message.tempo) for message in midi.tracks[0] if message.type == "set_tempo"]
        assert list(dict.fromkeys(tempi)) == [60, 63, 66]


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--font", "nowhere.sf2", "--to", "wav"), "the sound font nowhere.sf2 cannot be opened"),
        (("--rate", "8000", "--to", "wav"), "44100 or 48000"),
        (("--tempo", "60..90:12"), "steps are 1 to 10 beats a minute, or marks"),
        (("--tempo", "60..90:notes"), "steps are 1 to 10 beats a minute, or marks"),
        (("--mute", "RH,LH,RF,LF"), "leaves nobody to play along with"),
    ],
)
def test_what_cannot_be_is_told_before_any_work(tmp_path: Path, options: tuple[str, ...], words: str) -> None:
    """One line, exit 1, nothing written."""
    assert words in run("apply", LINE, "--as", "groove", *options, "--out", tmp_path / "out").error
    assert not (tmp_path / "out").exists()
