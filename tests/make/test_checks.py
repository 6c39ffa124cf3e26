"""What check finds: loops that do not loop, limbs that cannot, and folders whose files or manifest were changed."""

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import mido
import pytest

from kitgen.make.checks import check_page, check_path
from kitgen.read.text import page_of_text
from tests.cli.running import contents, run

LINE = "1 & 2 e & a 3 4 &"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a page of six applications."""
    names = "alone,limb,hands,linear,long-short,groove"
    assert run("apply", LINE, "--as", names, "--out", tmp_path / "pages").code == 0
    return tmp_path / "pages"


def findings(path: Path) -> list[str]:
    """What check says of a path."""
    return list(check_path(path))


def edit(path: Path, old: str, new: str) -> None:
    """Replace the first of some text in a file."""
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))


# ---- folders ---------------------------------------------------------------------------------------------------------


def test_nothing_is_found_in_what_was_written(folder: Path) -> None:
    """A folder as it was written passes, and so does each of its files; check says so and exits 0."""
    assert findings(folder) == []
    for path in folder.iterdir():
        if path.suffix in (".mid", ".txt"):
            assert findings(path) == []
    ran = run("check", folder)
    assert (ran.code, ran.out, ran.err) == (0, f"{folder}: ok, nothing found\n", "")


@pytest.mark.parametrize(
    "options",
    [
        ("--hand", "left", "--under", "samba"),
        ("--hand", "open"),
        ("--kit", "small"),
        ("--meter", "2+3/8"),
        ("--meter", "2/2", "--under", "bossa"),
        ("--swing", "2:1", "--tempo", "140.25"),
        ("--tracks", "one"),
        ("--sticking", "together", "--tracks", "one"),
        ("--bars", "3"),
        ("--tempo", "60..90:5", "--repeats", "2"),
    ],
    ids=" ".join,
)
def test_nothing_is_found_whatever_the_options(tmp_path: Path, options: tuple[str, ...]) -> None:
    """Hands, kits, grouped meters, swing, one track: what was written passes."""
    assert run("apply", "1 & 2 &", "--as", "all", *options, "--out", tmp_path).code == 0
    assert findings(tmp_path) == []


def test_a_kit_with_its_own_keys_passes(tmp_path: Path) -> None:
    """A page for an instrument with MIDI keys of its own is read by those keys."""
    kit = tmp_path / "room.toml"
    kit.write_text(
        'surfaces = ["ride", "closed-hat", "snare", "bass", "hat-foot"]\n[keys]\nclosed-hat = 22\nsnare = 60\n'
    )
    assert run("apply", LINE, "--as", "groove,linear", "--kit", kit, "--out", tmp_path / "out").code == 0
    assert findings(tmp_path / "out") == []


def manifest(folder: Path, change: Callable[[dict[str, Any]], None]) -> None:
    """Change the manifest of a folder."""
    path = folder / "manifest.json"
    values = json.loads(path.read_text())
    change(values)
    path.write_text(json.dumps(values))


def test_a_text_changed_by_hand_is_found(folder: Path) -> None:
    """A stroke added to a page's text: the file is not the manifest's, and the elements are others."""
    (path,) = [path for path in folder.glob("*.txt") if "groove" in path.name]
    edit(path, "RF bass", "RF bass        xx.. .... .... ....\nRF bass-was")
    text = path.read_text()
    path.write_text("\n".join(line for line in text.splitlines() if not line.startswith("RF bass-was")) + "\n")
    found = "\n".join(findings(folder))
    assert f"{path.name} was changed after the manifest was written" in found
    assert "its elements are not what its notes hold; listed but not there: application groove" in found


def test_a_midi_file_changed_by_hand_is_found(folder: Path) -> None:
    """A note moved in a loop: the file is not the manifest's."""
    (path,) = [path for path in folder.glob("*.mid") if "groove" in path.name and "play" not in path.name]
    midi = mido.MidiFile(path)
    notes = [message for message in midi.tracks[1] if not message.is_meta]
    notes[2].time += 30
    notes[3].time -= 30
    midi.save(path)
    (found,) = findings(folder)
    assert f"{path.name} was changed after the manifest was written" in found


def test_a_file_that_can_no_longer_be_read_is_found(folder: Path) -> None:
    """A file cut off, or a text with a misspelt row, is a finding and does not keep the rest from being checked."""
    (text,) = [path for path in folder.glob("*.txt") if "groove" in path.name]
    edit(text, "RF bass", "RF kettle")
    (loop,) = [path for path in folder.glob("*.mid") if "linear" in path.name and "play" not in path.name]
    loop.write_bytes(loop.read_bytes()[:-5])
    found = "\n".join(findings(folder))
    assert "no surface is called 'kettle'" in found
    assert "is cut off in track" in found


def test_a_file_that_is_gone_is_found(folder: Path) -> None:
    """A file the manifest names and the folder has not."""
    (path,) = [path for path in folder.glob("*.txt") if "groove" in path.name]
    path.unlink()
    assert [finding.split(": ", 1)[1] for finding in findings(folder)] == [f"{path.name} is missing"]


def test_elements_that_were_declared_are_found(folder: Path) -> None:
    """Elements in the manifest that the notes do not hold, or that are left out."""

    def declare(values: dict[str, Any]) -> None:
        values["pages"][0]["elements"].append("ornament flam")
        values["pages"][1]["elements"].pop(0)

    manifest(folder, declare)
    first, second = findings(folder)
    assert "listed but not there: ornament flam" in first
    assert "; there but not listed: application" in second


def test_a_recipe_of_another_page_is_found(folder: Path) -> None:
    """A page whose text names another recipe, which makes other notes: its application is not verified."""
    (path,) = [path for path in folder.glob("*.txt") if "groove" in path.name]
    edit(path, "--as groove", "--as hands")
    found = "\n".join(findings(folder))
    assert "listed but not there: application groove" in found


def test_check_says_what_it_found_and_exits_1(folder: Path) -> None:
    """Findings are on stdout, a line each; one line on stderr says how many, and the exit code is 1."""
    for path in folder.glob("*.txt"):
        path.unlink()
    count = len(findings(folder))
    before = contents(folder)
    ran = run("check", folder)
    assert ran.error == f"{count} findings"
    assert len(ran.out.splitlines()) == count
    assert all(line.startswith(f"{folder}: page ") for line in ran.out.splitlines())
    assert contents(folder) == before


# ---- MIDI files ------------------------------------------------------------------------------------------------------


def drum_file(path: Path, tracks: dict[str, list[tuple[int, str, int]]], *, ends: dict[str, int] | None = None) -> Path:
    """A MIDI file of named tracks, each of (tick, "on" or "off", key), ending at 1920 unless said."""
    made = []
    for name, events in tracks.items():
        track, now = mido.MidiTrack([mido.MetaMessage("track_name", name=name)]), 0
        for tick, kind, key in sorted(events, key=lambda event: (event[0], event[1] == "on")):
            track.append(mido.Message(f"note_{kind}", channel=9, note=key, velocity=64, time=tick - now))
            now = tick
        track.append(mido.MetaMessage("end_of_track", time=(ends or {}).get(name, 1920) - now))
        made.append(track)
    mido.MidiFile(tracks=made, ticks_per_beat=480).save(str(path))
    return path


def stroke(tick: int, key: int, length: int = 60) -> list[tuple[int, str, int]]:
    """A note of some length."""
    return [(tick, "on", key), (tick + length, "off", key)]


@pytest.mark.parametrize(
    ("tracks", "ends", "finding"),
    [
        ({"right hand": stroke(0, 51), "left hand": stroke(480, 38)}, {}, None),
        ({"a": stroke(0, 38)}, {"a": 1900}, "so it does not loop"),
        ({"a": stroke(0, 38), "b": stroke(0, 36)}, {"b": 2400}, "tracks end at different ticks (1920 to 2400)"),
        ({"a": stroke(1900, 38, 20)}, {}, "key 38 is let go only at the very end"),
        ({"a": [*stroke(0, 38, 600), *stroke(480, 38)]}, {}, 'struck at bar 1, count "2" while it still sounds'),
        ({"a": [(0, "on", 38)]}, {}, 'key 38 struck at bar 1, count "1" never ends'),
        ({"right hand": stroke(480, 36)}, {}, '"2": the right hand is given bass, which is played by a foot'),
        ({"right hand": [*stroke(0, 38), *stroke(0, 51)]}, {}, '"1": the right hand strikes keys 38, 51 at once'),
        (
            {"a": [*stroke(960, 38), *stroke(960, 51), *stroke(960, 49)]},
            {},
            'bar 1, count "3": 3 hand strokes at once (keys 38, 49, 51); a player has two',
        ),
        (
            {"a": [*stroke(0, 36), *stroke(0, 44), *stroke(0, 35)]},
            {},
            'bar 1, count "1": 3 foot strokes at once (keys 35, 36, 44); a player has two',
        ),
    ],
)  # fmt: skip
def test_drum_files(tmp_path: Path, tracks: Any, ends: dict[str, int], finding: str | None) -> None:
    """Any drum file: does it loop, do its notes end, can two hands and two feet play it."""
    found = findings(drum_file(tmp_path / "drums.mid", tracks, ends=ends))
    if finding is None:
        assert found == []
    else:
        assert any(finding in words for words in found), found


# ---- pages -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ("RH closed-hat x x x x; LF hat-foot . x . x", ['bar 1, count "2"', "and at 1 more place"]),
        ("RH closed-hat x . x .; LF hat-foot . x . x", None),
        ("RH open-hat x . . .; LF hat-foot x . . .", ['bar 1, count "1"']),
        ("RH ride x x x x; LF hat-foot x x x x", None),
    ],
)
def test_a_hat_that_is_held_and_stamped(rows: str, found: list[str] | None) -> None:
    """The foot cannot strike the hat under a hand that plays on it."""
    said = list(check_page(page_of_text(f"{rows.replace('; ', chr(10))}\n", "hats")))
    if found is None:
        assert said == []
    else:
        (words,) = (each for each in said if "which it has to hold" in each)
        assert all(part in words for part in (*found, "move the hand to the ride, or rest the foot")), words


def test_a_page_that_is_not_whole_bars() -> None:
    """A page that ends inside a bar does not loop."""
    page = page_of_text("RF bass x x x\n", "short")
    assert list(check_page(page)) == ["the last bar is not whole, so the page does not loop"]


def test_a_score_is_held_against_the_text(tmp_path: Path) -> None:
    """A folder with scores passes; a note of a score struck elsewhere is found, by bar and count."""
    assert run("apply", LINE, "--as", "groove", "--to", "mid,txt,musicxml,mxl", "--out", tmp_path).code == 0
    assert findings(tmp_path) == []
    (score,) = tmp_path.glob("*.musicxml")
    text = score.read_text()
    changed = re.sub(r'(<instrument id="P1-)closed-hat', r"\1snare", text, count=1)
    assert changed != text
    score.write_text(changed)
    found = "\n".join(findings(tmp_path))
    assert f"{score.name} was changed after the manifest was written" in found
    assert f"{score.name}: it has other strokes than the text, first at bar 1" in found
