"""The series command: what it writes, what it says, and what it refuses."""

import json
from pathlib import Path

import pytest

from tests.cli.running import contents, run, run_apart
from tests.make.plan_texts import plan_file


def test_a_series_is_written(tmp_path: Path) -> None:
    """Pages, manifest and index; the bridges on stderr; the same again leaves the folder as it is."""
    plan = plan_file(tmp_path)
    ran = run("series", plan, "--out", tmp_path / "out")
    assert ran.code == 0
    assert "pages in" in ran.out
    assert all(" is a bridge to chapter 1 (Samba feet), goal " in words for words in ran.err.splitlines())
    assert ran.err
    before = contents(tmp_path / "out")
    assert run("series", plan, "--out", tmp_path / "out").code == 0
    assert contents(tmp_path / "out") == before


def test_a_page_is_made_again_byte_for_byte(tmp_path: Path) -> None:
    """The recipe on a page, run beside its plan, makes that page's files and no other."""
    plan = plan_file(tmp_path)
    assert run("series", plan, "--out", tmp_path / "all").code == 0
    pages = json.loads((tmp_path / "all/manifest.json").read_text())["pages"]
    recipe = pages[2]["recipe"]
    assert recipe.startswith("kitgen series samba.toml --pages 3")
    ran = run_apart(*recipe.partition("  #")[0].split()[1:], "--out", tmp_path / "one", cwd=tmp_path)
    assert ran.code == 0
    whole, one = contents(tmp_path / "all"), contents(tmp_path / "one")
    assert set(one) == {*pages[2]["files"].values(), "manifest.json", "index.html"}
    assert all(whole[name] == one[name] for name in pages[2]["files"].values())


def test_pages_on_the_terminal(tmp_path: Path) -> None:
    """Printed with their heading, nothing written."""
    ran = run("series", plan_file(tmp_path), "--print", "--pages", "1-2", "--heading", "Room 7, Tuesday")
    assert ran.out.count("heading: Room 7, Tuesday") == 2
    assert [path.name for path in tmp_path.iterdir()] == ["samba.toml"]


def test_courses_are_listed() -> None:
    """A name first on each line, and a page of a course can be had by it."""
    listed = run("list", "courses").out.splitlines()
    assert [line.split()[0] for line in listed] == ["rhythm", "kit"]
    assert "Quarter notes" in listed[0]


def test_goals_are_listed() -> None:
    """A kind first on each line, with an example to copy."""
    listed = run("list", "goals").out.splitlines()
    assert listed[0].split()[0] == "sound"
    assert any('{ parts = "RH+LH+RF" }' in line for line in listed)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("rythm",), "no course is called 'rythm'; did you mean rhythm?"),
        (("gone.toml",), "gone.toml: No such file or directory; a plan is a TOML file"),
        (("samba.toml", "--as", "lineer"), "no application is called 'lineer'; did you mean linear?"),
        (("samba.toml", "--hand", "both"), "no hand setting is called 'both'"),
        (("samba.toml", "--player", "novice"), "no player is called 'novice'"),
        (("samba.toml", "--kit", "large"), "no kit is called 'large'"),
        (("samba.toml", "--pages", "x"), "--pages x: a page's number, or a range such as 3-6"),
        (("samba.toml", "--to", "png"), "no file of kind 'png'"),
        (("samba.toml", "--tracks", "two"), "--tracks"),
        (("plan.toml",), "plan.toml, line 3, chapter 1: no key of a chapter is called 'goels'; did you mean goals?"),
    ],
)
def test_what_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], message: str
) -> None:
    """One line on stderr, exit 1, nothing written."""
    monkeypatch.chdir(tmp_path)
    plan_file(tmp_path)
    plan_file(tmp_path, 'known = ["tie"]\n[[chapter]]\ngoels = ["tie"]\n', "plan.toml")
    before = contents(tmp_path)
    ran = run("series", *arguments, "--out", "out")
    assert message in ran.error
    assert ran.error.count(message) == 1
    assert ran.error.count("gone.toml") <= 1
    assert contents(tmp_path) == before


def test_help_has_a_plan_to_copy(tmp_path: Path) -> None:
    """The plan in the help text is a plan."""
    shown = run("series", "--help").out
    plan = shown[shown.index("title = ") : shown.index("Options:")]
    assert run("series", plan_file(tmp_path, plan, "mine.toml"), "--print").out.count("title: ") >= 3
