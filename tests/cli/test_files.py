"""What commands leave behind: whole folders, nothing overwritten, nothing left of a run that failed."""

import json
import os
import shlex
import signal
import subprocess
from pathlib import Path

import pytest

from kitgen.apply import APPLICATIONS
from tests.cli.running import COMMAND, contents, environment, run, run_apart

LINE = "1 & 2 e & a 3 4 &"


def apply(out: Path, *more: str, line: str = LINE) -> tuple[str, ...]:
    """The arguments that write a linear page into a folder."""
    return ("apply", line, "--as", "linear", "--out", str(out), *more)


def test_a_page_is_written(tmp_path: Path) -> None:
    """A page leaves a loop, a play-along, its text, an index and a manifest, and says what to open."""
    ran = run(*apply(tmp_path / "out"))
    stem = "01-linear-rh-lh-rf-60bpm-4-4-1bar"
    assert ran.code == 0
    assert ran.err == ""
    assert sorted(contents(tmp_path / "out")) == [
        f"{stem}.mid",
        f"{stem}.play.mid",
        f"{stem}.txt",
        "index.html",
        "manifest.json",
    ]
    assert ran.out.startswith(f"1 page in {tmp_path / 'out'}; open {tmp_path / 'out' / 'index.html'}\n")


def test_nothing_is_written_without_being_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """--print and --json write nothing; without --out the folder is out/apply."""
    monkeypatch.chdir(tmp_path)
    assert run("apply", LINE, "--as", "linear", "--print").out.startswith("title: Linear RH LH RF\n")
    assert run("apply", LINE, "--as", "linear", "--print", "--json").out.startswith("{")
    assert contents(tmp_path) == {}
    assert run("apply", LINE, "--as", "linear").code == 0
    assert {path.split("/")[:2] == ["out", "apply"] for path in contents(tmp_path)} == {True}


def test_the_same_again_passes_another_is_refused(tmp_path: Path) -> None:
    """The same recipe may be written again; another into the same folder needs --force, and changes nothing without."""
    assert run(*apply(tmp_path)).code == 0
    before = contents(tmp_path)
    assert run(*apply(tmp_path)).code == 0
    assert contents(tmp_path) == before
    error = run(*apply(tmp_path, line="1 2 3 4")).error
    assert "and 4 more would be overwritten; choose another --out, or --force to replace" in error
    assert contents(tmp_path) == before
    assert run(*apply(tmp_path, "--force", line="1 2 3 4")).code == 0
    assert contents(tmp_path).keys() == before.keys()
    assert contents(tmp_path) != before


def test_a_folder_that_cannot_be_written(tmp_path: Path) -> None:
    """A path under a file, or a file in the folder's place, is told and left alone."""
    (tmp_path / "file").write_bytes(b"mine")
    assert "Not a directory; choose another --out" in run(*apply(tmp_path / "file" / "out")).error
    assert "is a file; give --out a folder" in run(*apply(tmp_path / "file")).error
    assert contents(tmp_path) == {"file": b"mine"}


def test_a_disk_that_is_full(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the system refuses in the middle is told as it tells it, and nothing of it is left."""
    real = Path.write_bytes

    def full(path: Path, data: bytes) -> int:
        if path.name == "new-2":
            raise OSError(28, "No space left on device")
        return real(path, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    assert "No space left on device; choose another --out" in run(*apply(tmp_path / "out")).error
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("moment", ["write_bytes", "replace"])
def test_an_interruption_in_the_middle(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: str) -> None:
    """Interrupted while files move in: what was there before is there again, and one line says so."""
    assert run(*apply(tmp_path)).code == 0
    before, real, calls = contents(tmp_path), getattr(Path, moment), []

    def interrupted(path: Path, given: object) -> object:
        calls.append(path)
        if len(calls) == 3:
            raise KeyboardInterrupt
        return real(path, given)

    monkeypatch.setattr(Path, moment, interrupted)
    ran = run(*apply(tmp_path, "--force", line="1 2 3 4"))
    assert ran.error == "interrupted; files are as they were before"
    assert contents(tmp_path) == before


SLOW = """
import os, signal, time
from pathlib import Path
real = Path.replace
def slow(path, place):
    print("moving", flush=True)
    time.sleep(0.3)
    return real(path, place)
Path.replace = slow
from kitgen.cli import main
main()
"""


def test_a_real_interruption(tmp_path: Path) -> None:
    """A process that is sent an interrupt while it moves files in ends with one line and everything as it was."""
    assert run(*apply(tmp_path)).code == 0
    before = contents(tmp_path)
    process = subprocess.Popen(
        [COMMAND[0], "-c", SLOW, *apply(tmp_path, "--force", line="1 2 3 4")],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=environment(),
        text=True,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "moving\n"
    assert process.stdout.readline() == "moving\n"
    process.send_signal(signal.SIGINT)
    _, said = process.communicate(timeout=60)
    assert said == "Error: interrupted; files are as they were before\n"
    assert process.returncode == 1
    assert contents(tmp_path) == before


def test_all_applications_at_once(tmp_path: Path) -> None:
    """--as all makes one page an application; those that refuse are on stderr and in the manifest, and it exits 0."""
    ran = run("apply", "1 2 3 4", "--as", "all", "--out", tmp_path)
    manifest = json.loads((tmp_path / "manifest.json").read_text())
    made = [page["recipe"].split("--as ")[1].split()[0] for page in manifest["pages"]]
    refused = {item["as"]: item["why"] for item in manifest["refused"]}
    assert ran.code == 0
    assert [name for name in APPLICATIONS if name not in refused] == made
    assert "long-short" in refused
    assert ran.err == "".join(f"{name} not made: {why}\n" for name, why in refused.items())


def test_a_single_refusal_is_an_error(tmp_path: Path) -> None:
    """One application that refuses exits 1 with its reason; when all refuse, with every reason."""
    error = run("apply", "1 2 3 4", "--as", "long-short", "--out", tmp_path / "out").error
    assert error.startswith("long-short refused: every note of this line is long")
    error = run("apply", ". . . .", "--as", "linear,groove", "--out", tmp_path / "out").error
    assert error.startswith("every application refused: linear: this line is all rest")
    assert "groove: this line is all rest" in error
    assert contents(tmp_path) == {}


def test_an_error_is_the_only_line(tmp_path: Path) -> None:
    """Where writing fails, what was refused or remarked is not said as well."""
    assert run("apply", "1 2 3 4", "--as", "all", "--out", tmp_path).err.startswith("long-short not made: ")
    assert "would be overwritten" in run("apply", "4 4 2", "--as", "all", "--out", tmp_path).error
    assert "--repeats 0" in run("apply", "1 2 3 4", "--as", "all", "--repeats", "0", "--out", tmp_path).error


def test_standard_input(tmp_path: Path) -> None:
    """A hyphen reads the line from standard input, and the page is the same as of the line typed."""
    given = run("apply", "-", "--as", "linear", "--print", stdin=LINE + "\n")
    assert given.out == run("apply", LINE, "--as", "linear", "--print").out
    assert run_apart("apply", "-", "--as", "linear", "--print", stdin=LINE.encode(), cwd=tmp_path).out == given.out
    assert "the line is empty" in run("apply", "-", "--as", "linear", "--print").error
    assert "standard input is no text" in run("apply", "-", "--as", "linear", "--print", stdin=b"\xff\xfe").error


@pytest.mark.parametrize("bars", ["1", "100"])
def test_a_reader_that_goes_away(bars: str) -> None:
    """When nobody reads the output any more the command ends well and in silence, however much there was to say."""
    read_end, write_end = os.pipe()
    os.close(read_end)
    process = subprocess.Popen(
        [*COMMAND, "apply", LINE, "--as", "linear,hands", "--bars", bars, "--print"],
        stdout=write_end,
        stderr=subprocess.PIPE,
        env=environment(),
    )
    os.close(write_end)
    _, said = process.communicate(timeout=60)
    assert (process.returncode, said) == (0, b"")


def test_the_demonstration(tmp_path: Path) -> None:
    """The demonstration is written, is the same bytes every time, and check finds nothing in it."""
    assert run("demo", "--out", tmp_path / "one").code == 0
    assert run("demo", "--out", tmp_path / "two").code == 0
    assert contents(tmp_path / "one") == contents(tmp_path / "two")
    assert run("check", tmp_path / "one").out == f"{tmp_path / 'one'}: ok, nothing found\n"


def test_everything_written_can_be_shown(tmp_path: Path) -> None:
    """Show reads back every page: the loop and the text are the same rows."""
    assert run(*apply(tmp_path)).code == 0
    rows = {
        path.suffix: run("show", path).out.split("row: ")[1]
        for path in tmp_path.iterdir()
        if path.suffix in (".mid", ".txt") and ".play" not in path.name
    }
    assert rows[".mid"] == rows[".txt"]


def test_a_forced_run_takes_away_what_it_replaces(tmp_path: Path) -> None:
    """What an earlier manifest lists and is unchanged goes when the folder is written anew; what was edited stays."""
    out = tmp_path / "pages"
    assert run("apply", "1 & 2 3 4", "--as", "alone,hands", "--out", out).code == 0
    before = sorted(path.name for path in out.iterdir())
    edited = next(path for path in out.iterdir() if path.name.startswith("02") and path.suffix == ".txt")
    edited.write_text(edited.read_text() + "\n")
    assert run("apply", "1 & 2 3 4", "--as", "groove", "--out", out, "--force").code == 0
    after = sorted(path.name for path in out.iterdir())
    assert set(before) & set(after) == {edited.name, "index.html", "manifest.json"}
    assert len(after) == 6


def test_a_recipe_makes_its_page_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every recipe of the demonstration, pasted into its folder, gives the same files, its comment taken out or not."""
    assert run("demo", "--out", tmp_path / "demo").code == 0
    monkeypatch.chdir(tmp_path / "demo")
    for entry in json.loads(Path("manifest.json").read_text())["pages"]:
        words = shlex.split(entry["recipe"])
        assert words[0] == "kitgen"
        comment = words.index("#")
        again = run(*words[1:comment], "--out", tmp_path / "again", "--force", *words[comment:])
        assert again.code == 0, entry["recipe"]
        for kind in ("mid", "txt"):
            name = entry["files"][kind]
            twin = tmp_path / "again" / f"01{name[2:]}"
            assert twin.read_bytes() == Path(name).read_bytes(), name
