"""The rule of one new element a page, proved from a folder's files, ours or edited by hand."""

import json
import re
from collections.abc import Callable
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from kitgen.make.checks import check_path
from kitgen.make.series_checks import check_series
from tests.cli.running import run
from tests.make.plan_texts import plan_file


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A series as it was written."""
    folder = tmp_path_factory.mktemp("series")
    assert run("series", plan_file(folder), "--out", folder / "pages").code == 0
    return folder / "pages"


@pytest.fixture
def folder(made: Path, tmp_path: Path) -> Path:
    """The series, to be changed."""
    copytree(made, tmp_path / "pages")
    return tmp_path / "pages"


def findings(folder: Path) -> list[str]:
    """What is found about the rule."""
    return list(check_series(folder, manifest(folder)))


def manifest(folder: Path) -> dict[str, Any]:
    """The manifest of a folder."""
    found: dict[str, Any] = json.loads((folder / "manifest.json").read_text())
    return found


def change(folder: Path, how: Callable[[dict[str, Any]], None]) -> None:
    """Change the manifest of a folder."""
    values = manifest(folder)
    how(values)
    (folder / "manifest.json").write_text(json.dumps(values))


def page_bringing(folder: Path, element: str) -> int:
    """The number of the page that brings an element."""
    return next(int(page["number"]) for page in manifest(folder)["pages"] if element in page["new"])


def text_of(folder: Path, number: int) -> Path:
    """The text of a page."""
    name: str = manifest(folder)["pages"][number - 1]["files"]["txt"]
    return folder / name


def test_what_was_written_keeps_the_rule(made: Path) -> None:
    """Nothing is found, and the manifest says what is known and that the rule is kept."""
    assert list(check_path(made)) == []
    said = manifest(made)
    assert said["one_new"] is True
    assert "sound LH snare" in said["known"]
    assert [len(page["new"]) for page in said["pages"]] == ["grading" not in page for page in said["pages"]]


def test_a_page_left_out_is_missed(folder: Path) -> None:
    """Without the page of the feet the next one brings two new elements: the feet and the cell."""
    change(folder, lambda values: values["pages"].pop(1))
    first, *_ = findings(folder)
    assert first.startswith("page 3 (")
    assert "brings 2 new elements" in first
    assert "(ostinato samba)" in first
    assert "(cell LH x over samba)" in first


def test_pages_in_the_wrong_order_are_found(folder: Path) -> None:
    """The cell over the feet before the feet: one page brings too much, the other nothing."""

    def swap(values: dict[str, Any]) -> None:
        pages = values["pages"]
        pages[1], pages[2] = pages[2], pages[1]

    change(folder, swap)
    found = "\n".join(findings(folder))
    assert re.search(r"page 3 \(.*\): it brings 2 new elements", found)
    assert "page 2 (Samba feet): it brings nothing new, and is neither a review nor a page of long rests" in found


def test_a_stroke_added_by_hand_is_found(folder: Path) -> None:
    """A cell nobody has met, written into the text and declared in the manifest, is one too many all the same."""
    number = page_bringing(folder, "cell LH x.xx over samba")
    path = text_of(folder, number)
    text = path.read_text()
    assert "LH snare     x.xx x.xx" in text
    path.write_text(text.replace("LH snare     x.xx x.xx", "LH snare     x.xx xxx.", 1))
    change(folder, lambda values: values["pages"][number - 1]["elements"].append("cell LH xxx. over samba"))
    found = "\n".join(findings(folder))
    assert re.search(rf"page {number} \(.*\): it brings 2 new elements", found)
    assert "(cell LH xxx. over samba)" in found


def test_a_review_is_known_by_its_grading(folder: Path) -> None:
    """A page with nothing new has to be one to be graded, and a page to be graded brings nothing."""
    text = text_of(folder, 2).read_text()
    again = {**manifest(folder)["pages"][1], "number": 99, "new": [], "files": {"txt": "again.txt"}}
    change(folder, lambda values: values["pages"].append(again))
    (folder / "again.txt").write_text(text)
    (found,) = findings(folder)
    assert "page 99 (Samba feet): it brings nothing new, and is neither a review nor a page of long rests" in found
    graded = text.replace("letters:", "grading: rhythm; time\nletters:", 1)
    (folder / "again.txt").write_text(graded)
    assert findings(folder) == []
    text_of(folder, 2).write_text(graded)
    assert any("page 2 (Samba feet): it is to be graded and brings ostinato samba" in each for each in findings(folder))


def test_what_is_taken_for_granted_is_asked(folder: Path) -> None:
    """Known elements taken out of the manifest are new again; with none said the first page's are taken."""
    change(folder, lambda values: values["known"].remove("sound LH snare"))
    assert "sound LH snare" in findings(folder)[0]
    change(folder, lambda values: values.pop("known"))
    assert not any(words.startswith("page 1 ") for words in findings(folder))
    change(folder, lambda values: values.update(known="everything"))
    assert "'known' in the manifest is 'everything'; it is a list of elements" in run("check", folder).error


def test_what_is_said_to_be_new_is_held_against_the_notes(folder: Path) -> None:
    """A page whose manifest calls something else new is found."""
    change(folder, lambda values: values["pages"][1].update(new=["meter 3/4"]))
    (found,) = findings(folder)
    assert "page 2 (Samba feet): the manifest calls new 3/4 (meter 3/4); its notes bring ostinato samba" in found


def test_midi_files_alone_prove_it(tmp_path: Path) -> None:
    """A folder without texts is proved from its loops."""
    assert run("series", plan_file(tmp_path), "--to", "mid", "--out", tmp_path / "pages").code == 0
    assert list(check_path(tmp_path / "pages")) == []
    change(tmp_path / "pages", lambda values: values["pages"].pop(1))
    assert "brings 2 new elements" in findings(tmp_path / "pages")[0]


def test_other_folders_are_held_to_it_only_when_asked(tmp_path: Path) -> None:
    """Pages of one line bring what they bring; asked for, the rule is applied to them too."""
    assert run("apply", "1 & 2 e & a 3 4", "--as", "hands,linear,groove", "--out", tmp_path).code == 0
    assert run("check", tmp_path).code == 0
    ran = run("check", "--one-new", tmp_path)
    assert ran.code == 1
    assert "page 1 (" in ran.out
    assert "new elements" in ran.out


def test_some_pages_of_a_series_are_proved_too(tmp_path: Path) -> None:
    """Pages in the middle of a series say what came before them."""
    assert run("series", plan_file(tmp_path), "--pages", "3-5", "--out", tmp_path / "pages").code == 0
    assert list(check_path(tmp_path / "pages")) == []
    assert [page["number"] for page in manifest(tmp_path / "pages")["pages"]] == [3, 4, 5]


def test_chapters_for_other_players_and_hands(tmp_path: Path) -> None:
    """Where one goal is for the left hand, or for a beginner, its pages are held against that, not against the rest."""
    text = """
    known = ["meter 4/4", "sound LH snare", "sound RH snare", "sound RH ride"]
    [[chapter]]
    goals = [
        { cell = "x", limb = "RH", over = "samba", hand = "left" },
        { line = "1 2 & 3 4", as = "limb", limb = "LH", under = "ride-rock", player = "beginner" },
    ]
    """
    ran = run("series", plan_file(tmp_path, text), "--out", tmp_path / "pages")
    assert ran.code == 0
    said = [page.get("set_up") for page in manifest(tmp_path / "pages")["pages"]]
    assert {"hand": "left"} in said
    assert {"player": "beginner"} in said
    assert list(check_path(tmp_path / "pages")) == []


def test_a_folder_of_sheets_alone_proves_nothing(folder: Path) -> None:
    """Where neither text nor MIDI is written, one finding says that the rule cannot be looked at."""

    def only_sheets(values: dict[str, Any]) -> None:
        for page in values["pages"]:
            page["files"] = {}

    change(folder, only_sheets)
    (finding,) = findings(folder)
    assert finding == "what is new on its pages cannot be told from what is written of them; write txt or mid as well"
