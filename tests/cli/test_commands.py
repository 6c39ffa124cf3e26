"""What the commands print: lists without headings, anything readable as rows, help with every option."""

from collections.abc import Iterable
from pathlib import Path

import mido
import pytest

from kitgen import __version__
from kitgen.apply import APPLICATIONS, OSTINATOS
from kitgen.kit import KITS, SURFACES
from kitgen.line import parse
from kitgen.pattern import parse_rows
from tests.cli.running import run

LISTS: dict[str, Iterable[str]] = {
    "applications": APPLICATIONS,
    "ostinatos": OSTINATOS,
    "kits": KITS,
    "surfaces": SURFACES,
}


@pytest.mark.parametrize("kind", list(LISTS))
def test_lists_have_a_name_first_on_each_line(kind: str) -> None:
    """Every name of the table, one a line, a few words after it; no heading."""
    ran = run("list", kind)
    lines = ran.out.splitlines()
    assert (ran.code, ran.err) == (0, "")
    assert [line.split()[0] for line in lines] == list(LISTS[kind])
    assert all(len(line.split()) > 1 for line in lines)


def test_the_list_of_cells() -> None:
    """Fifteen cells of sixteenths, seven of triplets, three of eighths, the even ones first."""
    cells = {line.split()[0]: line.split(": ")[1].split() for line in run("list", "cells").out.splitlines()}
    assert cells["8ths"] == ["x.", "xx", ".x"]
    assert cells["triplets"] == ["x..", "xxx", "x.x", "xx.", ".xx", "..x", ".x."]
    assert len(cells["16ths"]) == 15


def test_the_version() -> None:
    """The version is printed by its name."""
    assert run("--version").out == f"kitgen {__version__}\n"


@pytest.mark.parametrize("command", [(), ("apply",), ("show",), ("list",), ("check",), ("demo",)])
@pytest.mark.parametrize("flag", ["--help", "-h"])
def test_help(command: tuple[str, ...], flag: str) -> None:
    """Help goes to stdout, exits 0, fits 80 columns but for its examples, and shows one."""
    ran = run(*command, flag)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("Usage: kitgen")
    assert "Example" in ran.out
    assert all(len(line) <= 80 for line in ran.out.splitlines() if "kitgen " not in line)


@pytest.mark.parametrize("line", ["1 & 2 e & a 3 4 &", "x.x. xxx x--- ..x-", "4 8 8 4. 8"])
def test_a_typed_line_is_shown_in_every_notation(line: str) -> None:
    """Boxes under counts, then the notations that can say it; what is shown reads back as the same line."""
    out = run("show", line).out
    (boxes,) = [row.removeprefix("line").strip() for row in out.splitlines() if row.startswith("line")]
    assert parse(boxes) == parse(line)
    for row in out.splitlines():
        for notation in ("counts", "values"):
            if row.startswith(f"{notation}: "):
                assert parse(row.removeprefix(f"{notation}: "), notation=notation) == parse(line)


def test_a_page_is_shown_as_its_text(tmp_path: Path) -> None:
    """The text a command wrote is shown as it stands."""
    assert run("apply", "1 & 2 3 4", "--as", "groove", "--out", tmp_path).code == 0
    (path,) = tmp_path.glob("*.txt")
    assert run("show", path).out == path.read_text()


def test_a_recorded_take_is_shown_as_rows(tmp_path: Path) -> None:
    """Another's drum file is a take, shown as rows of what it strikes."""
    track, now = mido.MidiTrack(), 0
    for beat, key in enumerate((36, 38, 36, 38)):
        track.append(mido.Message("note_on", channel=9, note=key, velocity=88, time=beat * 480 - now))
        track.append(mido.Message("note_off", channel=9, note=key, time=60))
        now = beat * 480 + 60
    mido.MidiFile(tracks=[track], ticks_per_beat=480).save(str(tmp_path / "take.mid"))
    out = run("show", tmp_path / "take.mid").out
    assert "bass" in out
    assert "snare" in out


def test_pages_are_printed_as_they_would_be_written(tmp_path: Path) -> None:
    """--print shows the pages that --out would hold, one after the other."""
    args = ("apply", "1 & 2 3 4", "--as", "all", "--under", "quarters")
    printed = run(*args, "--print")
    assert run(*args, "--out", tmp_path).code == 0
    assert printed.out == "\n".join(path.read_text() for path in sorted(tmp_path.glob("*.txt")))


def test_the_manifest_is_printed_as_it_would_be_written(tmp_path: Path) -> None:
    """--json prints the manifest of the folder, written or not."""
    args = ("apply", "1 & 2 3 4", "--as", "limb", "--json")
    printed = run(*args, "--print").out
    written = run(*args, "--out", tmp_path)
    assert written.out == printed == (tmp_path / "manifest.json").read_text()


def test_rows_from_a_file(tmp_path: Path) -> None:
    """An ostinato may stand in a text file of rows, and is the same as typed."""
    rows = "RF bass x..x X..x\n\nLF hat-foot ..x. ..x.\n".replace("\n\n", "\n")
    (tmp_path / "feet.txt").write_text(rows)
    given = run("apply", "1 & 2 3 4", "--as", "limb", "--under", tmp_path / "feet.txt", "--print").out
    typed = run("apply", "1 & 2 3 4", "--as", "limb", "--under", rows.strip().replace("\n", "; "), "--print").out
    assert given == typed
    assert parse_rows(rows).span == 2
