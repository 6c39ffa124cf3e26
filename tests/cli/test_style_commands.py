"""Styles on the command line: listed, and checked."""

from pathlib import Path

from tests.cli.running import run
from tests.styles.charting import FERRY
from tests.styles.making import style_file


def test_styles_are_listed() -> None:
    """A line a style: its name, meter, tempi and what it is."""
    lines = run("list", "styles").out.splitlines()
    samba = next(line for line in lines if line.startswith("samba "))
    assert samba.split(maxsplit=1)[1].startswith("2/2, 88 to 130 halves a minute: Brazilian samba")


def test_a_style_is_checked(tmp_path: Path) -> None:
    """Findings go to stdout, their number to stderr, and the command exits 1."""
    ran = run("check", style_file(tmp_path))
    assert ran.code == 1
    assert 'no pattern has the role "simpler"' in ran.out
    assert ran.err.startswith("Error: 5 findings")


def test_a_slip_in_a_style_is_one_error(tmp_path: Path) -> None:
    """A key that is none is one line on stderr with file, line and the nearest key."""
    error = run("check", style_file(tmp_path, ("sources", "source"))).error
    assert "plain.toml, line 7: no key of a style is called 'source'; did you mean sources?" in error


def test_a_style_taken_for_something_else(tmp_path: Path) -> None:
    """A style to show, a chart for a style, and a section that a style does not have are told as what they are."""
    style = style_file(tmp_path)
    assert "plain.toml: a .toml file has no rows to show; kitgen check reads styles" in run("show", style).error
    out = ("--out", tmp_path / "out")
    assert "this is a chart, no style; kitgen chart" in run("library", "--style", FERRY, *out).error
    said = run("library", "--style", style, "--section", "intro", *out).error
    assert "--section intro: no pattern of plain is called that or is of that kind" in said


def test_the_small_style_of_the_folders_readme(tmp_path: Path) -> None:
    """What stands there as an example is made as it stands, and check names what a whole style has besides."""
    text = (Path(__file__).parents[2] / "grooves" / "README.md").read_text("utf-8")
    example = text.partition("```toml\n")[2].partition("```")[0]
    style = tmp_path / "my-rock.toml"
    style.write_text(example, "utf-8")
    assert run("library", "--style", style, "--tempo", "96", "--out", tmp_path / "out").code == 0
    found = run("check", style).out.splitlines()
    assert len(found) == 6
    assert all("add one" in line or "wants 2 variations" in line for line in found)
