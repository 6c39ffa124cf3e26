"""Kits by name and from TOML files."""

import hashlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import ReadError, UnknownNameError
from kitgen.kit import HANDS, KITS, SURFACES, Kit, kit
from kitgen.read.kits import kit_named, kit_words, read_kit

GOOD = """
name = "band room"
hand = "left"
surfaces = ["ride", "closed-hat", "snare", "bass", "hat-foot"]

[keys]
closed-hat = 22
"""


def written(folder: Path, text: str) -> Path:
    """A kit file with this text."""
    path = folder / "room.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("name", list(KITS))
@pytest.mark.parametrize("hand", [*HANDS, None])
def test_kits_by_name(name: str, hand: str | None) -> None:
    """Built-in kits are found by name, set for the right hand unless told."""
    assert kit_named(name, hand=hand) == kit(name, hand=hand or "right")
    assert kit_words(name) == (name, ())


def test_a_kit_from_a_file(tmp_path: Path) -> None:
    """A file gives name, surfaces, hand setting and keys; recipes name it by its hash."""
    path = written(tmp_path, GOOD)
    found = kit_named(str(path))
    assert found == Kit("band room", ("ride", "closed-hat", "snare", "bass", "hat-foot"), "left", (("closed-hat", 22),))
    assert (found.key_of("closed-hat"), found.key_of("snare")) == (22, SURFACES["snare"].key)
    assert kit_words(str(path)) == ("room.toml", (f"room.toml sha256:{hashlib.sha256(path.read_bytes()).hexdigest()}",))


def test_the_hand_asked_for_goes_before_the_files(tmp_path: Path) -> None:
    """A hand setting on the command line replaces the file's own."""
    path = written(tmp_path, GOOD)
    assert read_kit(path).hand == "left"
    assert read_kit(path, hand="open").hand == "open"


def test_a_kit_without_a_name_is_called_after_its_file(tmp_path: Path) -> None:
    """The file's name is the kit's where it gives none; right-handed where it does not say."""
    found = read_kit(written(tmp_path, 'surfaces = ["snare"]'))
    assert (found.name, found.hand) == ("room", "right")


@given(st.sets(st.sampled_from(list(SURFACES)), min_size=1))
def test_any_surfaces_make_a_kit(labels: set[str]) -> None:
    """The order of surfaces in a file makes no difference."""
    first, second = (Kit("any", tuple(order)) for order in (sorted(labels), sorted(labels, reverse=True)))
    assert first == second
    assert set(first.surfaces) == labels


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("surfaces = [", "a kit is a TOML file"),
        ("", "has no surfaces; list some of: crash"),
        ('surfaces = ["kettle"]', "no surface is called 'kettle'"),
        ('surfaces = "snare"', "'surfaces' is a list of labels in quotes"),
        ("surfaces = [1]", "'surfaces' is a list of labels in quotes"),
        ('surfaces = ["snare"]\nhand = "both"', "no hand setting is called 'both'; there are: right, left, open"),
        ('surfaces = ["snare"]\nplayer = "x"', "no key of a kit file is called 'player'"),
        ('surfaces = ["snare"]\nsurface = "x"', "did you mean surfaces?"),
        ('surfaces = ["snare"]\n[keys]\nsnare = "38"', "gives a MIDI key, a number, to each label"),
        ('surfaces = ["snare"]\n[keys]\nsnare = true', "gives a MIDI key, a number, to each label"),
        ('surfaces = ["snare"]\n[keys]\nsnare = 128', "MIDI key 128 for snare; a key is 0 to 127"),
        ('surfaces = ["snare"]\n[keys]\nkettle = 12', "no surface is called 'kettle'"),
        ('surfaces = ["snare"]\nkeys = 3', "gives a MIDI key, a number, to each label"),
    ],
)
def test_what_is_no_kit(tmp_path: Path, text: str, message: str) -> None:
    """Each error names the file, what is wrong, and what is allowed."""
    path = written(tmp_path, text)
    with pytest.raises(ReadError, match=message) as caught:
        read_kit(path)
    assert str(caught.value).startswith(f"{path}: ")


def test_kits_that_are_not_there(tmp_path: Path) -> None:
    """A name that is no kit's brings the nearest; a file that is not there is missed by name; bytes are no TOML."""
    with pytest.raises(UnknownNameError, match="did you mean standard"):
        kit_named("standart")
    with pytest.raises(ReadError, match="No such file"):
        kit_named(str(tmp_path / "none.toml"))
    (tmp_path / "raw.toml").write_bytes(b"\xff\xfe")
    with pytest.raises(ReadError, match="a kit is a TOML file"):
        kit_named(str(tmp_path / "raw.toml"))
