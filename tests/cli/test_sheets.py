"""Sheets, pictures and books from the command line: side by side, checked, left out where a page cannot be written."""

import json
import os
import shlex
import signal
import subprocess
import time
from pathlib import Path

import pytest

from tests.cli.running import COMMAND, contents, environment, run, run_apart

GRID = ("grid", "--moving", "LH", "--under", "samba", "--pages", "1-4", "--to", "mid,svg,pdf,book")
SWUNG = ("--swing", "2:1", "--write-swing", "triplets", "--to", "txt,musicxml,svg")


@pytest.mark.slow
def test_jobs_change_no_byte(tmp_path: Path) -> None:
    """Pages written side by side are the same files, told in the same words; recipes do not say how many jobs."""
    one = run_apart(*GRID, "--out", "out", cwd=tmp_path)
    before = contents(tmp_path)
    two = run_apart(*GRID, "--out", "out", "--jobs", "2", cwd=tmp_path)
    assert (one.code, one.err) == (0, "")
    assert two == one
    assert contents(tmp_path) == before
    assert "--jobs" not in (tmp_path / "out/manifest.json").read_text()
    assert "the book: grid-lh-over-samba-16ths.pdf" in one.out


@pytest.mark.parametrize("jobs", ["0", "-1", "62"])
def test_jobs_there_cannot_be(tmp_path: Path, jobs: str) -> None:
    """Fewer than one page at a time, or more than can be waited for, is an error that says what may be."""
    said = run(*GRID, "--out", tmp_path / "out", "--jobs", jobs).error
    assert said == f"--jobs {jobs}: pages are written 1 to 61 at a time"
    assert contents(tmp_path) == {}


HELD_UP = """
import time
import kitgen.write.manifest as manifest
real = manifest.page_entry
def slow(*args):
    print("writing", flush=True)
    time.sleep(0.5)
    return real(*args)
manifest.page_entry = slow
from kitgen.cli import main
main()
"""


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="groups of processes are interrupted so on POSIX systems")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_an_interruption_side_by_side(tmp_path: Path, number: signal.Signals) -> None:
    """Interrupted from the keyboard while several processes write, they all end, with one line and no file."""
    process = subprocess.Popen(
        [COMMAND[0], "-c", HELD_UP, *GRID, "--jobs", "2", "--out", str(tmp_path / "out")],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=environment(),
        text=True,
        start_new_session=True,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "writing\n"
    if number == signal.SIGINT:
        os.killpg(process.pid, number)  # as a terminal does
    else:
        process.send_signal(number)
    _, said = process.communicate(timeout=60)
    assert said == "Error: interrupted; files are as they were before\n"
    assert process.returncode == 1
    assert contents(tmp_path) == {}
    for _ in range(50):
        try:
            os.killpg(process.pid, 0)
        except ProcessLookupError:
            return
        time.sleep(0.1)
    raise AssertionError("a process is still there")


def test_a_folder_of_sheets_is_checked(tmp_path: Path) -> None:
    """Scores are read again; of pictures, sheets and the book it is seen that they are as they were written."""
    assert (
        run(
            "apply",
            "x.x. xxxx",
            "--meter",
            "2/4",
            "--as",
            "groove",
            "--to",
            "txt,musicxml,svg,pdf,book",
            "--out",
            tmp_path,
        ).code
        == 0
    )
    assert run("check", tmp_path).out == f"{tmp_path}: ok, nothing found\n"
    picture, sheet, book = (next(tmp_path.glob(name)) for name in ("01-*.svg", "01-*.pdf", "pages-*.pdf"))
    picture.write_bytes(picture.read_bytes() + b" ")
    sheet.unlink()
    book.write_bytes(b"mine")
    ran = run("check", tmp_path)
    assert ran.code == 1
    assert ran.out.splitlines() == [
        f"{tmp_path}: page 1 (Groove): {picture.name} was changed after the manifest was written",
        f"{tmp_path}: page 1 (Groove): {sheet.name} is missing",
        f"{tmp_path}: the book: {book.name} was changed after the manifest was written",
    ]
    book.unlink()
    assert f"the book: {book.name} is missing" in run("check", tmp_path).out


def test_what_is_no_longer_written_goes(tmp_path: Path) -> None:
    """With --force a book that is not written again is taken away, as pages are."""
    apply = ("apply", "1 2 3 4", "--as", "groove", "--force", "--out", tmp_path)
    assert run(*apply, "--to", "txt,pdf,book").code == 0
    assert len(list(tmp_path.glob("*.pdf"))) == 2
    assert run(*apply, "--to", "txt").code == 0
    assert list(tmp_path.glob("*.pdf")) == []


def test_a_page_that_cannot_be_written_among_others(tmp_path: Path) -> None:
    """Fives that swing in triplets have no spelling: the page keeps its text, stderr and manifest say why, exit 0."""
    ran = run("apply", "x.x. x.x. x.x. x.x.", "--as", "hands,subdivide", *SWUNG, "--out", tmp_path)
    assert ran.code == 0
    assert ran.err.startswith("page 2 (Changes of subdivision")
    assert "not written as musicxml, svg: row 'quintuplets, 5 a beat', bar 1, count \"1\": " in ran.err
    hands, fives = json.loads((tmp_path / "manifest.json").read_text())["pages"]
    assert set(hands["files"]) == {"txt", "musicxml", "svg"}
    assert set(fives["files"]) == {"txt"}
    assert set(fives["not_written"]) == {"musicxml", "svg"}
    assert run("check", tmp_path).code == 0


def test_a_single_page_that_cannot_be_written(tmp_path: Path) -> None:
    """One page alone is refused with row, bar, count and the nearest that can be, and no file is left."""
    said = run("apply", "x.x. x.x. x.x. x.x.", "--as", "subdivide", *SWUNG, "--out", tmp_path / "out").error
    assert said.startswith("--to musicxml,svg: Changes of subdivision")
    assert "the nearest that can be written is" in said
    assert contents(tmp_path) == {}


def test_only_what_was_asked_for(tmp_path: Path) -> None:
    """A book alone leaves no file a page, and says what to open."""
    ran = run("apply", "1 2 3 4", "--as", "groove,hands", "--to", "book", "--title", "For Room 7", "--out", tmp_path)
    assert sorted(contents(tmp_path)) == ["for-room-7.pdf", "index.html", "manifest.json"]
    assert ran.out.splitlines()[1:] == ["  the book: for-room-7.pdf"]


def test_a_sheet_is_made_again_byte_for_byte(tmp_path: Path) -> None:
    """The recipe in the foot of a sheet makes that sheet, its picture and its score again, whatever was beside it."""
    grid = (*GRID[:-1], "mid,musicxml,svg,pdf", "--paper", "a4", "--stickings", "all")
    assert run(*grid, "--out", tmp_path / "all").code == 0
    page = json.loads((tmp_path / "all/manifest.json").read_text())["pages"][2]
    words = shlex.split(page["recipe"], comments=True)[1:]
    assert run(*words, "--to", "mid,musicxml,svg,pdf", "--out", tmp_path / "one").code == 0
    whole, one = contents(tmp_path / "all"), contents(tmp_path / "one")
    assert set(page["files"].values()) == set(one) - {"manifest.json", "index.html"}
    assert all(whole[name] == one[name] for name in page["files"].values())
