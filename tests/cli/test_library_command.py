"""``kitgen library``: a folder of loops, whole or not at all, and what is said of it."""

import json
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from unittest.mock import patch

import mido
import pytest

from kitgen.make.library import sections_in
from kitgen.make.library_recipe import LibraryRecipe
from kitgen.make.recipe import command_of
from kitgen.write.library import write_library
from kitgen.write.stage import Stage
from tests.cli.running import run
from tests.styles.making import style_file


def files(folder: Path) -> dict[str, bytes]:
    """Every file under a folder by its path."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def manifest(folder: Path) -> dict[str, object]:
    """What a folder's manifest says."""
    said: dict[str, object] = json.loads((folder / "manifest.json").read_text("utf-8"))
    return said


def test_a_library_is_written_and_checked(tmp_path: Path) -> None:
    """A loop a pattern and tempo, a play-along with its own file, an index; and check finds nothing."""
    out = tmp_path / "library"
    ran = run("library", "--style", "samba,mambo", "--tempo", "90..100:10", "--without", "RH", "--out", out)
    assert ran.code == 0
    assert ran.out.endswith(f"open {out / 'index.html'}\n")
    names = files(out).keys()
    assert "samba/samba-groove-90bpm-2-2-2bars.mid" in names
    assert "samba/samba-groove-90bpm-2-2-2bars-without-right-hand.mid" in names
    assert "samba/samba-play-along-100bpm-2-2-32bars-without-right-hand.play.mid" in names
    assert any(name.startswith("mambo/mambo-") and name.endswith("clave-2-3.mid") for name in names)
    assert run("check", out).out == f"{out}: ok, nothing found\n"


def test_check_hears_a_loop_that_is_wrong(tmp_path: Path) -> None:
    """A crash that has lost its bass is found in a loop, but not in a file that is meant to be without the bass."""
    out = tmp_path / "library"
    words = ("library", "--style", "rock", "--section", "fill-1-bar", "--tempo", "100", "--without", "RF", "--out", out)
    assert run(*words).code == 0
    assert run("check", out).code == 0
    loop = next(path for path in out.rglob("*.mid") if "without" not in path.name)
    midi = mido.MidiFile(loop)
    midi.tracks = [track for track in midi.tracks if track.name != "right foot"]
    midi.save(loop)
    ran = run("check", out)
    assert "was changed after the manifest was written" in ran.out
    assert "crash with neither bass nor snare under it" in ran.out


@pytest.mark.slow
def test_every_style_is_written_and_nothing_is_found(tmp_path: Path) -> None:
    """All styles at two tempi, some of them outside: check finds nothing in a thousand files."""
    out = tmp_path / "library"
    ran = run("library", "--style", "all", "--tempo", "100,120", "--form", "blues", "--seed", "5", "--out", out)
    assert ran.code == 0
    assert len(files(out)) > 1000
    assert run("check", out).out == f"{out}: ok, nothing found\n"


def test_every_kind_of_file_is_checked(tmp_path: Path) -> None:
    """With texts and scores beside the loops, they agree."""
    out = tmp_path / "library"
    told = run("library", "--style", "swing", "--section", "groove,fill-1-bar", "--tempo", "120",
               "--to", "mid,txt,musicxml", "--out", out)  # fmt: skip
    assert told.code == 0
    assert len(files(out)) == 2 + 2 * 3
    assert run("check", out).code == 0


def test_a_page_is_made_again_byte_for_byte(tmp_path: Path) -> None:
    """The recipe of a page, run as a command, writes its files with the same bytes."""
    import shlex

    out, again = tmp_path / "library", tmp_path / "again"
    run("library", "--style", "rock,bossa", "--tempo", "110", "--form", "aaba", "--seed", "4", "--out", out)
    pages = manifest(out)["pages"]
    assert isinstance(pages, list)
    for entry in [*pages[::7], pages[-1]]:
        assert command_of(entry["recipe"]) == "library"
        words = shlex.split(entry["recipe"].partition("  #")[0])[1:]
        assert run(*words, "--out", again, "--force").code == 0
        for name in entry["files"].values():
            assert (again / name).read_bytes() == (out / name).read_bytes()


def test_sheets_have_no_number(tmp_path: Path) -> None:
    """A sheet of a library is headed by its title alone, so that its recipe makes the same sheet again."""
    import pypdf

    out = tmp_path / "out"
    assert (
        run("library", "--style", "bossa", "--section", "groove", "--tempo", "120", "--to", "pdf", "--out", out).code
        == 0
    )
    (sheet,) = out.rglob("*.pdf")
    lines = pypdf.PdfReader(sheet).pages[0].extract_text().splitlines()
    assert "Bossa nova: groove" in [line.strip() for line in lines]


def test_exact_and_human_differ_only_within_bounds(tmp_path: Path) -> None:
    """With --exact every loop has other bytes, and the recipe says so."""
    for name, more in (("a", ()), ("b", ("--exact",))):
        run("library", "--style", "rock", "--section", "groove", "--tempo", "100", "--out", tmp_path / name, *more)
    (loop,) = (name for name in files(tmp_path / "a") if name.endswith(".mid"))
    assert (tmp_path / "a" / loop).read_bytes() != (tmp_path / "b" / loop).read_bytes()
    assert b"--exact" in (tmp_path / "b" / loop).read_bytes()


def test_tempi_nobody_can_play_are_skipped_with_a_line(tmp_path: Path) -> None:
    """What is too fast is told on stderr and in the manifest; the rest is made, and the command exits 0."""
    out = tmp_path / "library"
    ran = run("library", "--style", "samba", "--section", "bell,simple", "--tempo", "100,170", "--out", out)
    assert ran.code == 0
    assert "samba: 170 bpm is not where it lives" in ran.err
    assert "samba: bell at 170 not made: " in ran.err
    assert manifest(out)["refused"] == [{"as": "samba: bell at 170", "why": ran.err.partition("not made: ")[2].strip()}]


def test_where_nothing_can_be_made_nothing_is_written(tmp_path: Path) -> None:
    """A library of nothing is an error, and no folder."""
    out = tmp_path / "library"
    ran = run("library", "--style", "samba", "--section", "bell", "--tempo", "300", "--out", out)
    assert ran.code == 1
    assert "no page can be made; samba: bell at 300" in ran.err
    assert not out.exists()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--style", "sammba"), "no style is called 'sammba'; did you mean samba?"),
        (("--style", "samba", "--tempo", "-5"), "20 to 400"),
        (("--style", "samba", "--to", "book"), "a library is written as mid, txt"),
        (("--style", "samba", "--player", "nobody"), "nobody"),
        (("--style", "samba", "--jobs", "0"), "--jobs 0"),
        (("--style", "samba", "--tracks", "two"), "--tracks"),
        (("--style", "samba", "--counts", "yes"), "--counts yes"),
    ],
)
def test_bad_input_is_one_line(tmp_path: Path, words: tuple[str, ...], says: str) -> None:
    """Told before anything is made, with what is allowed."""
    ran = run("library", *words, "--out", tmp_path / "out")
    assert says in ran.error
    assert not (tmp_path / "out").exists()


def test_a_full_disk_midway_leaves_nothing(tmp_path: Path) -> None:
    """The disk full at the thirtieth file: one line, and no file at all."""
    write, count = Stage.write, 0

    def filling(self: Stage, name: str, data: bytes) -> None:
        nonlocal count
        count += 1
        if count == 30:
            raise OSError(28, "No space left on device")
        write(self, name, data)

    with patch.object(Stage, "write", filling):
        ran = run("library", "--style", "rock", "--out", tmp_path / "library")
    assert ran.code == 1
    assert ran.err.endswith("No space left on device; choose another --out\n")
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_overwritten_unless_forced(tmp_path: Path) -> None:
    """The same again is no conflict; another seed is one, and replaces with --force."""
    words = ("library", "--style", "rock", "--section", "groove", "--tempo", "100", "--out", tmp_path / "out")
    assert run(*words).code == 0
    before = files(tmp_path)
    assert run(*words).code == 0
    assert files(tmp_path) == before
    assert "would be overwritten" in run(*words, "--seed", "1").error
    assert files(tmp_path) == before
    assert run(*words, "--seed", "1", "--force").code == 0
    assert files(tmp_path).keys() == before.keys()
    assert files(tmp_path) != before


def test_side_by_side_gives_the_same_bytes(tmp_path: Path) -> None:
    """Any executor gives the bytes of one process, in the same order."""
    recipe = LibraryRecipe(style="rock,swing", tempo="100,120")
    sections = sections_in(recipe)
    write_library(tmp_path / "one", sections, title="Both", recipe=str(recipe))
    with ThreadPoolExecutor(2) as executor:
        told: list[int] = []
        write_library(tmp_path / "two", sections, title="Both", recipe=str(recipe), executor=executor,
                      told=lambda done, _of: told.append(done))  # fmt: skip
    assert files(tmp_path / "one") == files(tmp_path / "two")
    assert told == list(range(1, len(sections) + 1))


def test_pages_are_printed_one_by_one() -> None:
    """--print writes nothing and prints each page's text."""
    ran = run("library", "--style", "samba", "--section", "groove,simple", "--tempo", "100", "--print")
    assert ran.out.count("title: Samba: ") == 2
    assert "recipe: kitgen library --style samba --section groove --tempo 100" in ran.out


def test_json_is_the_manifest(tmp_path: Path) -> None:
    """--json prints what the manifest says."""
    ran = run("library", "--style", "samba", "--section", "groove", "--out", tmp_path / "out", "--json")
    assert json.loads(ran.out) == manifest(tmp_path / "out")


def play_file(folder: Path) -> mido.MidiFile:
    """The one file to play along with in a folder."""
    (path,) = folder.rglob("*.play.mid")
    return mido.MidiFile(path)


def struck(midi: mido.MidiFile, name: str) -> list[float]:
    """Where the notes of a track begin, in quarters."""
    (track,) = (track for track in midi.tracks if track.name == name)
    now, out = 0, []
    for message in track:
        now += message.time
        if message.type == "note_on" and message.velocity:
            out.append(now / midi.ticks_per_beat)
    return out


@pytest.mark.parametrize(
    ("style", "count_in", "clicks"),
    [
        ("swing", [0, 1, 2, 3], [5, 7, 9, 11]),  # a bar of beats; 2 and 4
        ("march", [0, 1, 2, 3], [4, 5, 6, 7]),  # two bars of 2/4; every beat
        ("samba", [0, 2, 4, 5, 6, 7], [8, 10, 12, 14]),  # a bar of halves, one of quarters; every beat
    ],
)
def test_a_play_along_is_counted_in_and_clicked_as_its_style_is(
    tmp_path: Path, style: str, count_in: list[int], clicks: list[int]
) -> None:
    """The count-in and click of swing and of samba are their own."""
    run("library", "--style", style, "--section", "play-along", "--tempo", "100", "--out", tmp_path / "out")
    midi = play_file(tmp_path / "out")
    assert struck(midi, "count-in") == count_in
    assert struck(midi, "click")[:4] == clicks


def test_a_ritard_slows_down_over_the_last_two_bars(tmp_path: Path) -> None:
    """Beat by beat the tempo falls to two thirds; the notes stay where they are, and the loop keeps its tempo."""
    words = ("library", "--style", "swing", "--section", "play-along", "--tempo", "120")
    run(*words, "--ending", "ritard", "--out", tmp_path / "ritard")
    run(*words, "--out", tmp_path / "own")
    slow, own = play_file(tmp_path / "ritard"), play_file(tmp_path / "own")
    now, tempi = 0, []
    for message in slow.tracks[0]:
        now += message.time
        if message.type == "set_tempo":
            tempi.append((now / slow.ticks_per_beat, round(mido.tempo2bpm(message.tempo))))
    assert tempi == [(0, 120), *((4 + 120 + beat, round(120 - 5 * (beat + 1))) for beat in range(8))]
    assert struck(slow, "right hand") == struck(own, "right hand")
    (loop,) = (path for path in (tmp_path / "ritard").rglob("*.mid") if ".play" not in path.name)
    assert sum(message.type == "set_tempo" for message in mido.MidiFile(loop).tracks[0]) == 1


def test_forms_are_listed() -> None:
    """Every form there is to ask for has its bars and its words."""
    assert "trading-fours" in run("list", "forms").out
    assert "a blues twice through, three phrases of 4; 24 bars" in run("list", "forms").out


def test_the_index_tells_of_every_loop(tmp_path: Path) -> None:
    """Every style is a section with a link a tempo; titles with markup are text."""
    out = tmp_path / "out"
    path = style_file(tmp_path, ('"Plain time"', '"<b>Plain & simple"'), name="mine")
    assert run("library", "--style", f"samba,{path}", "--tempo", "100", "--out", out).code == 0
    index = (out / "index.html").read_text("utf-8")
    links = {name for name in files(out) if name.endswith(".mid")}
    assert all(f'href="{name}"' in index for name in links)
    assert "<b>" not in index.replace("<li><b>", "")
    assert "&lt;b&gt;Plain &amp; simple" in index
