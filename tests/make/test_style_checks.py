"""``kitgen check`` of styles: a file, a folder, another player."""

from pathlib import Path

import pytest

from kitgen.errors import ReadError
from kitgen.kit import PLAYERS
from kitgen.make.checks import check_path
from kitgen.read.style_files import grooves_folder
from tests.styles.making import style_file

_SHORT_ROW = ("LH snare     .. X. .. X.", "LH snare     .. X. .. X")


def test_the_library_is_proved() -> None:
    """Nothing is found in the folder of the library."""
    assert check_path(grooves_folder()) == ()


def test_a_style_of_ones_own_is_checked(tmp_path: Path) -> None:
    """Findings of a file are its own; one that cannot be read is an error."""
    assert any("no fill lasts 1 bar" in one for one in check_path(style_file(tmp_path)))
    with pytest.raises(ReadError, match="line 15"):
        check_path(style_file(tmp_path, _SHORT_ROW))


def test_a_folder_is_checked_to_its_end(tmp_path: Path) -> None:
    """In a folder a file that is no style is told beside what is found in the others, each with its name."""
    style_file(tmp_path, _SHORT_ROW, name="bad")
    style_file(tmp_path, name="good")
    found = check_path(tmp_path)
    assert any("bad.toml, line 15" in one for one in found)
    assert any(one.startswith("good: ") for one in found)


def test_another_player_can_be_named() -> None:
    """A style can be held to a school player, who finds samba too fast."""
    path = grooves_folder() / "samba.toml"
    assert any("the school player" in one for one in check_path(path, PLAYERS["school"]))
