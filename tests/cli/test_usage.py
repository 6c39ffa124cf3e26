"""Slips at the keyboard: capitals that are meant well, options without their value, words that want quotes."""

import json
from pathlib import Path

import pytest

from tests.cli.running import contents, run

LINE = "1 & 2 e & a 3 4 &"
GROOVE = ("apply", LINE, "--as", "groove")


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--to",), "--to needs KIND[,KIND] after it, and there is nothing (see kitgen apply --help)"),
        (("--counts", "--to", "pdf"), "--counts needs none|numbers|beat-function after it, not --to"),
        (("--title", "--force"), "--title needs TEXT after it, not --force"),
        (("--seed", "-h"), "--seed needs a value after it, not -h"),
        (("--pdf",), "No such option '--pdf'; write --to pdf (see kitgen apply --help)"),
        (("--a4",), "No such option '--a4'; write --paper a4"),
        (("--large",), "No such option '--large'; write --print-size large"),
        (
            ("--to", "pdf", "svg"),
            "argument (svg); options begin with --, a line or title of several words goes in quotes",
        ),
        (
            ("--title", "In", "June"),
            "argument (June); options begin with --, a line or title",
        ),
    ],
)
def test_a_way_out_of_wrong_usage(tmp_path: Path, options: tuple[str, ...], said: str) -> None:
    """The line says what the option wants, or what was probably meant, and nothing is written."""
    ran = run(*GROOVE, "--out", tmp_path / "out", *options)
    assert ran.code == 2
    assert said in ran.err
    assert ran.err.count("\n") == 1
    assert contents(tmp_path) == {}


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--title", ""), "--title is empty; leave it out"),
        (("--title=  ",), "--title is empty; leave it out"),
        (("--title", "a\nb"), "--title 'a\\nb' is no line of plain text"),
        (("--title", "bell \a"), "--title 'bell \\x07' is no line of plain text"),
        (("--heading", "caf\udce9"), "--heading 'caf\\udce9' is no line of plain text"),
        (("--heading", "a\u2028b"), "--heading 'a\\u2028b' is no line of plain text"),
    ],
)
def test_titles_that_cannot_be_printed(tmp_path: Path, options: tuple[str, ...], said: str) -> None:
    """What is no line of text is refused before anything is made."""
    assert said in run(*GROOVE, *options, "--out", tmp_path / "out").error
    assert contents(tmp_path) == {}


def test_titles_of_any_letters(tmp_path: Path) -> None:
    """Quotes, marks of other languages, joined emoji and signs of mark-up are text as they stand."""
    title, heading = 'The "big" 🥁 <b>', "👩\u200d🏫 Ōno's #5 *class* [7]"
    assert run(*GROOVE, "--title", title, "--heading", heading, "--out", tmp_path).code == 0
    (page,) = json.loads((tmp_path / "manifest.json").read_text())["pages"]
    assert page["title"] == title


def test_capitals_do_not_matter(tmp_path: Path) -> None:
    """A4, PDF, Numbers and so on are the words they mean, and the recipe has them as they usually stand."""
    capital, small = tmp_path / "capital", tmp_path / "small"
    assert run(*GROOVE, "--to", "TXT,Svg", "--paper", "A4", "--counts=Numbers", "--out", capital).code == 0
    assert run(*GROOVE, "--to", "txt,svg", "--paper", "a4", "--counts", "numbers", "--out", small).code == 0
    assert contents(capital) == contents(small)
    assert "--paper a4" in (capital / "manifest.json").read_text()


def test_a_line_after_two_dashes() -> None:
    """What stands after -- is the line, whatever it begins with."""
    assert run("apply", "--as", "groove", "--print", "--", LINE).out == run(*GROOVE, "--print").out


@pytest.mark.parametrize("command", [("apply", "--as", "groove"), ("show",)])
@pytest.mark.parametrize("name", ["sheet.pdf", "sheet.SVG", "take.wav"])
def test_files_that_hold_no_line(tmp_path: Path, command: tuple[str, ...], name: str) -> None:
    """A sheet, picture or recording is named as a file, there or not, and never read as counts."""
    assert "No such file" in run(command[0], tmp_path / name, *command[1:]).error
    (tmp_path / name).write_bytes(b"%")
    assert f"{name}: cannot tell what kind of file this is" in run(command[0], tmp_path / name, *command[1:]).error


def test_the_sheet_is_what_is_told(tmp_path: Path) -> None:
    """Where a page has a sheet to print, that is the file named on the terminal."""
    assert run(*GROOVE, "--to", "mid,pdf", "--out", tmp_path).out.rstrip().endswith("bar.pdf")
    assert run(*GROOVE, "--to", "mid,txt", "--out", tmp_path / "other").out.rstrip().endswith("bar.mid")
