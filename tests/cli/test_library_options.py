"""Options of ``kitgen library`` that shape what is played and heard, and what ``check`` says of it."""

import json
import shlex
from pathlib import Path
from typing import Any

import mido
import pytest

from kitgen.make.library_recipe import LibraryRecipe
from kitgen.read.wav import lasting
from tests.cli.running import run

PLAY = ("library", "--section", "play-along")


def pages(folder: Path) -> list[dict[str, Any]]:
    """What a library's manifest says of its pages."""
    said: list[dict[str, Any]] = json.loads((folder / "manifest.json").read_text("utf-8"))["pages"]
    return said


def tracks(path: Path) -> set[str]:
    """The names of the tracks of a file in which something is struck."""
    return {track.name for track in mido.MidiFile(path).tracks if any(one.type == "note_on" for one in track)}


def again(entry: dict[str, Any], out: Path) -> None:
    """Run the recipe of a page, and compare its MIDI files byte for byte."""
    words = shlex.split(entry["recipe"].partition("  #")[0])[1:]
    assert run(*words, "--out", out / "again", "--force").code == 0
    for kind, name in entry["files"].items():
        if "wav" not in kind:
            assert (out / "again" / name).read_bytes() == (out / name).read_bytes()


@pytest.mark.parametrize(
    "words",
    [
        ("--style", "mambo", "--clave", "3-2", "--section", "groove,fill,play-along"),
        ("--style", "rock", "--hand", "open", "--section", "groove,fill-1-bar"),
        ("--style", "swing", "--hand", "left", "--section", "groove,play-along", "--form", "aaba"),
        ("--style", "rock", "--kit", "small", "--player", "school", "--section", "groove,play-along"),
        ("--style", "swing", "--section", "play-along,groove", "--click", "bar", "--count-in", "two-bars", "--from",
         "bridge", "--form", "aaba", "--mute", "RH"),
        ("--style", "samba", "--section", "play-along", "--click", "2-on-2-off", "--exact", "--ending", "tag"),
    ],
)  # fmt: skip
def test_pages_of_any_options_are_made_again_and_checked(tmp_path: Path, words: tuple[str, ...]) -> None:
    """The recipe of each page makes its bytes again, and check, which makes each again as well, finds nothing."""
    assert run("library", *words, "--tempo", "100", "--out", tmp_path).code == 0
    for entry in pages(tmp_path):
        again(entry, tmp_path)
    assert run("check", tmp_path).code == 0


def test_a_loop_that_its_recipe_does_not_make_is_found(tmp_path: Path) -> None:
    """A loop and its hash exchanged for another's, with nothing else wrong: check tells where they part."""
    run("library", "--style", "rock", "--section", "groove,simple", "--tempo", "100", "--out", tmp_path)
    said = json.loads((tmp_path / "manifest.json").read_text("utf-8"))
    first, second = said["pages"]
    for key in ("files", "sha256"):
        first[key], second[key] = second[key], first[key]
    (tmp_path / "manifest.json").write_text(json.dumps(said), "utf-8")
    ran = run("check", tmp_path)
    assert ran.code == 1
    assert "other strokes than its recipe makes, first at bar 1, count" in ran.out


def test_the_clave_is_turned_where_there_is_one(tmp_path: Path) -> None:
    """Files, pages and recipes say the side; a style without a clave is as usual, and a line says so."""
    ran = run("library", "--style", "mambo,rock", "--section", "groove", "--tempo", "100", "--clave", "3-2",
              "--out", tmp_path)  # fmt: skip
    assert ran.code == 0
    assert "--clave 3-2: no clave in rock; made as usual" in ran.err
    mambo, rock = pages(tmp_path)
    assert mambo["clave"] == "3-2"
    assert mambo["files"]["mid"].endswith("clave-3-2.mid")
    assert "--clave 3-2" in mambo["recipe"]
    assert "--clave" not in rock["recipe"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--style", "rock", "--clave", "3-2"), "Rock has no clave"),
        (("--style", "mambo", "--clave", "4-1"), "4-1"),
        (("--style", "rock", "--kit", "smal"), "did you mean small?"),
        (("--style", "rock", "--hand", "both"), "both"),
        (("--style", "rock", "--mute", "RH", "--without", "LH"), "give one of them"),
        (("--style", "rock", "--from", "9"), "--from 9: 32-bars has parts 1 to 4"),
        (("--style", "rock", "--from", "brigde", "--form", "aaba"), "did you mean bridge?"),
        (("--style", "rock", "--click", "loud"), "--click loud"),
        (("--style", "rock", "--count-in", "five"), "--count-in five"),
        (("--style", "samba", "--section", "play-along", "--tempo", "100", "--click", "2-and-4"), "Latin is not felt"),
        (("--style", "rock", "--tempo", "60..90:mark"), "or the marks of a metronome"),
        (("--style", "rock", "--to", "wav", "--font", "none.sf2"), "none.sf2"),
        (("--style", "rock", "--to", "wav", "--rate", "8000"), "8000"),
        (("--style", "rock", "--to", "book"), "book is none of them"),
        (("--style", "rock", "--section", "zabumba"), "no section is called 'zabumba'"),
    ],
)
def test_words_that_cannot_be_are_told_in_a_line(tmp_path: Path, words: tuple[str, ...], says: str) -> None:
    """Each is one error with what is allowed, exit 1 and no folder."""
    ran = run("library", *words, "--out", tmp_path / "out")
    assert ran.code == 1
    assert says in ran.err
    assert "Traceback" not in ran.err
    assert list(tmp_path.iterdir()) == []


def test_mute_is_the_play_along_and_without_a_second_file(tmp_path: Path) -> None:
    """Mute leaves a limb out of the play-along alone; without writes loop and play-along twice."""
    for name, option in (("mute", "--mute"), ("without", "--without")):
        assert run(*PLAY, "--style", "rock", "--tempo", "100", option, "RH", "--out", tmp_path / name).code == 0
    (mute,), (without,) = (pages(tmp_path / name) for name in ("mute", "without"))
    assert set(mute["files"]) == {"mid", "play"}
    assert mute["files"]["play"].endswith("-without-right-hand.play.mid")
    assert "right hand" in tracks(tmp_path / "mute" / mute["files"]["mid"])
    assert "right hand" not in tracks(tmp_path / "mute" / mute["files"]["play"])
    assert set(without["files"]) == {"mid", "play", "without", "play_without"}
    has = {kind: "right hand" in tracks(tmp_path / "without" / name) for kind, name in without["files"].items()}
    assert has == {"mid": True, "play": True, "without": False, "play_without": False}


def test_a_click_that_does_not_suit_one_style_is_usual_there(tmp_path: Path) -> None:
    """2 and 4 is for swing; samba beside it is clicked as usual, and a line and the manifest say so."""
    ran = run(*PLAY, "--style", "samba,swing", "--tempo", "100", "--click", "2-and-4", "--out", tmp_path)
    assert ran.code == 0
    assert "Samba: play along at 100 played as usual, not --click 2-and-4" in ran.err
    samba, swing = pages(tmp_path)
    assert samba["played_as_usual"]
    assert "--click" not in samba["recipe"]
    assert "--click 2-and-4" in swing["recipe"]
    again(samba, tmp_path)


def test_a_play_along_begins_with_a_part(tmp_path: Path) -> None:
    """From the bridge of AABA 16 bars are left, and what loops is whole."""
    assert run(*PLAY, "--style", "swing", "--tempo", "120", "--form", "aaba", "--from", "bridge", "--out", tmp_path,
               ).code == 0  # fmt: skip
    (entry,) = pages(tmp_path)
    bars = {kind: mido.MidiFile(tmp_path / entry["files"][kind]).length / 2 for kind in ("mid", "play")}
    assert bars == pytest.approx({"mid": 32, "play": 1 + 16})


def test_loops_and_play_alongs_are_heard(tmp_path: Path) -> None:
    """Every version is a WAV file as long as its MIDI file; check holds them to it, and the index links them."""
    ran = run("library", "--style", "rock", "--section", "groove,play-along", "--form", "vamp", "--tempo", "120",
              "--to", "mid,wav", "--without", "RH", "--rate", "44100", "--click-apart", "--out", tmp_path)  # fmt: skip
    assert ran.code == 0
    groove, along = pages(tmp_path)
    assert {kind for kind in groove["files"] if "wav" in kind} == {"wav", "without_wav"}
    assert {kind for kind in along["files"] if "wav" in kind} == {
        "wav", "play_wav", "click_wav", "without_wav", "play_without_wav",
    }  # fmt: skip
    frames, rate = lasting(tmp_path / groove["files"]["wav"])
    assert (frames, rate) == (round(groove["bars"] * 2 * 44100), 44100)
    assert groove["sound"]["wav"]["true_peak_dbfs"] < -1
    assert "--rate 44100" in groove["recipe"]
    assert run("check", tmp_path).out == f"{tmp_path}: ok, nothing found\n"
    index = (tmp_path / "index.html").read_text("utf-8")
    assert all(f'href="{name}"' in index for entry in (groove, along) for name in entry["files"].values())
    (tmp_path / groove["files"]["wav"]).write_bytes((tmp_path / along["files"]["wav"]).read_bytes())
    assert "it lasts" in run("check", tmp_path).out


def test_a_metronomes_marks_are_tempi(tmp_path: Path) -> None:
    """A range by marks takes the tempi printed on metronomes."""
    run("library", "--style", "rock", "--section", "groove", "--tempo", "96..108:marks", "--out", tmp_path)
    assert [entry["tempo"]["start"] for entry in pages(tmp_path)] == [96, 100, 104, 108]


def test_recipes_hold_what_shapes_bytes() -> None:
    """Defaults are not written, and every option is read back."""
    recipe = LibraryRecipe(style="swing", click="beats", clave="3-2", kit="small", hand="left", mute="RH", rate=44100)
    assert LibraryRecipe.parse(str(recipe)) == recipe
    assert "--click beats" in str(recipe)
    assert str(LibraryRecipe(style="swing")).startswith("kitgen library --style swing  # ")


def test_a_kit_of_ones_own_gives_its_keys(tmp_path: Path) -> None:
    """A kit in a file has its sum in every recipe and its keys in every loop; check does not need the file."""
    kit = tmp_path / "room.toml"
    surfaces = "bass snare closed-hat open-hat hat-foot crash ride ride-bell high-tom mid-tom floor-tom cross-stick"
    kit.write_text(f'name = "room"\nsurfaces = {json.dumps(surfaces.split())}\n[keys]\nsnare = 40\n', "utf-8")
    out = tmp_path / "out"
    ran = run("library", "--style", "rock", "--section", "groove", "--tempo", "100", "--kit", kit, "--out", out)
    assert ran.code == 0
    (entry,) = pages(out)
    assert "room.toml sha256:" in entry["recipe"]
    keys = {one.note for track in mido.MidiFile(out / entry["files"]["mid"]).tracks for one in track
            if one.type == "note_on"}  # fmt: skip
    assert 40 in keys
    assert 38 not in keys
    assert run("check", out).code == 0


def test_who_leads_a_style_is_heard_to(tmp_path: Path) -> None:
    """The ride of swing is a little louder than its level, the feathered bass is not; --exact leaves both alone."""
    heard: dict[str, dict[int, float]] = {}
    for name, more in (("led", ()), ("exact", ("--exact",))):
        out = tmp_path / name
        run("library", "--style", "swing", "--section", "groove", "--tempo", "120", "--out", out, *more)
        by_key: dict[int, list[int]] = {}
        for track in mido.MidiFile(out / pages(out)[0]["files"]["mid"]).tracks:
            for one in track:
                if one.type == "note_on":
                    by_key.setdefault(one.note, []).append(one.velocity)
        heard[name] = {key: sum(own) / len(own) for key, own in by_key.items()}
    ride, bass = 51, 36
    assert 3 < heard["led"][ride] - heard["exact"][ride] <= 8
    assert abs(heard["led"][bass] - heard["exact"][bass]) <= 2


def test_brushes_are_chosen_where_a_style_is_played_with_nothing_else(tmp_path: Path) -> None:
    """Every limb of the brush ballad begins with the drum set of brushes; rock has no such event; both read back."""
    run("library", "--style", "brush-ballad,rock", "--section", "groove", "--tempo", "80", "--out", tmp_path)
    brushes, rock = (mido.MidiFile(tmp_path / entry["files"]["mid"]) for entry in pages(tmp_path))
    for midi, programs in ((brushes, [40]), (rock, [])):
        for track in midi.tracks[1:]:
            changes = [one for one in track if one.type == "program_change"]
            assert [one.program for one in changes] == programs
            assert all((one.channel, one.time) == (9, 0) for one in changes)
    assert run("check", tmp_path).code == 0
