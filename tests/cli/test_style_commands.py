"""Styles on the command line: listed, and checked."""

from pathlib import Path

from tests.cli.running import run
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
