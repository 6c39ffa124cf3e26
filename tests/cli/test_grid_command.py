"""``kitgen grid``: a folder a class can work through, pages one at a time, counts, and refusals for people."""

import json
from pathlib import Path

import mido
import pytest

from kitgen.cli.progress import progress
from tests.cli.running import contents, run


def test_a_folder_of_pages(tmp_path: Path) -> None:
    """The ostinato alone, then a page a cell; the folder is what ``kitgen check`` says is in order."""
    ran = run("grid", "--moving", "LH", "--under", "samba", "--cells", "8ths", "--out", tmp_path)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith(f"4 pages in {tmp_path}")
    manifest = json.loads((tmp_path / "manifest.json").read_text())
    assert manifest["one_new"] is True
    assert manifest["known"] == ["meter 4/4", "sound LH snare"]
    assert manifest["pages"][0]["new"] == ["ostinato samba"]
    assert sorted(page["new"] for page in manifest["pages"][1:]) == [
        ["cell LH .x over samba"], ["cell LH x over samba"], ["cell LH xx over samba"],
    ]  # fmt: skip
    assert run("check", tmp_path).out.endswith("ok, nothing found\n")


def test_the_ostinato_runs_through_the_midi(tmp_path: Path) -> None:
    """Bar for bar the feet's tracks strike the same keys at the same ticks, from the first bar to the last."""
    run("grid", "--moving", "LH", "--under", "samba", "--pages", "9", "--out", tmp_path)
    (path,) = (path for path in tmp_path.glob("*.mid") if ".play." not in path.name)
    midi = mido.MidiFile(path)
    bar = 4 * midi.ticks_per_beat
    for name in ("right foot", "left foot"):
        (track,) = (track for track in midi.tracks if track.name == name)
        now, bars = 0, dict[int, list[tuple[int, int]]]()
        for message in track:
            now += message.time
            if message.type == "note_on" and message.velocity:
                bars.setdefault(now // bar, []).append((now % bar, message.note))
        assert len(bars) == now // bar
        assert len({tuple(struck) for struck in bars.values()}) == 1


def test_some_pages_keep_their_numbers_and_bytes(tmp_path: Path) -> None:
    """Pages asked for by number are the same files as in the whole folder."""
    args = ("grid", "--moving", "RH", "--under", "hat-2-4", "--cells", "triplets", "--seed", "5")
    run(*args, "--out", tmp_path / "all")
    run(*args, "--pages", "3-4", "--out", tmp_path / "some")
    whole, part = contents(tmp_path / "all"), contents(tmp_path / "some")
    pages = {name: data for name, data in part.items() if name.endswith((".mid", ".txt"))}
    assert {name[:2] for name in pages} == {"03", "04"}
    assert all(whole[name] == data for name, data in pages.items())
    assert run("check", tmp_path / "some").code == 0


def test_print_writes_nothing(tmp_path: Path) -> None:
    """--print shows the pages; the teacher's heading stands on each."""
    words = "Alder Bay Middle School, percussion class"
    args = ("grid", "--moving", "LH", "--cells", "8ths", "--heading", words, "--print", "--out", tmp_path / "no")
    out = run(*args).out
    assert out.count(f"heading: {words}\n") == 3
    assert not (tmp_path / "no").exists()


def test_in_six_eight_cells_are_eighths_unless_told() -> None:
    """A beat of 6/8 is counted in three; its sixteenths are made on request."""
    args = ("grid", "--moving", "LH", "--meter", "6/8", "--print")
    assert run(*args).out.count("\ntitle: ") == 7 - 1
    assert "--cells 8ths" in run(*args, "--pages", "1").out
    assert "--cells" not in run(*args, "--cells", "16ths", "--pages", "1").out


def test_files_are_not_overwritten(tmp_path: Path) -> None:
    """Another grid in the same folder is refused, and made with --force."""
    run("grid", "--moving", "LH", "--cells", "8ths", "--out", tmp_path)
    before = contents(tmp_path)
    ran = run("grid", "--moving", "LH", "--cells", "8ths", "--tempo", "70", "--out", tmp_path)
    assert "would be overwritten" in ran.error
    assert contents(tmp_path) == before
    assert run("grid", "--moving", "LH", "--cells", "8ths", "--tempo", "70", "--force", "--out", tmp_path).code == 0


def test_rows_of_ones_own_and_files(tmp_path: Path) -> None:
    """An ostinato may be typed or stand in a file; a kit and a player may be files."""
    (tmp_path / "feet.txt").write_text("RF bass x. .x\nLF hat-foot .. x.\n")
    (tmp_path / "kit.toml").write_text('name = "ours"\nsurfaces = ["snare", "bass", "hat-foot", "ride"]\n')
    args = ("grid", "--moving", "LH", "--cells", "8ths", "--print", "--kit", tmp_path / "kit.toml")
    given = run(*args, "--under", tmp_path / "feet.txt").out
    typed = run(*args, "--under", "RF bass x. .x; LF hat-foot .. x.").out
    assert given == typed
    assert "sha256:" in given


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("--moving", "RF", "--under", "samba"), "free to move are RH and LH"),
        (("--moving", "LH", "--under", "samba,bosa"), "did you mean bossa?"),
        (("--moving", "LH", "--under", "samba", "--meter", "3/4"), "these fit any meter"),
        (("--moving", "LH", "--cells", "16th"), "did you mean 16ths"),
        (("--moving", "LH", "--under", "bossa", "--cells", "triplets"), "3 against 2 on beats 2 and 4"),
        (("--moving", "LH", "--under", "samba", "--time", "swing"), "use --time eighths or beats"),
        (("--moving", "LH", "--cells", "triplets", "--meter", "6/8"), "use --cells 8ths or 16ths"),
        (("--moving", "LH", "--under", "samba", "--pages", "99"), "there are pages 1 to 16"),
        (("--moving", "LH", "--under", "samba", "--tempo", "300"), "or make the page anyway with --allow-unplayable"),
        (("--moving", "LH", "--tempo", "90..60"), "write the slower tempo first"),
        (("--moving", "LH", "--surface", "hat-foot"), "cannot play hat-foot"),
        (("--moving", "LH", "--tracks", "two"), "tracks"),
        (("--count", "--density", "9-2"), "write the smaller number first"),
        (("--count", "--limbs", "2", "--syncopation", "3"), "of one limb's line"),
    ],
)
def test_what_is_refused(args: tuple[str, ...], words: str, tmp_path: Path) -> None:
    """One line that says what was given, what is allowed and what to do; nothing is written."""
    assert words in run("grid", *args, "--out", tmp_path / "no").error
    assert not (tmp_path / "no").exists()


def test_without_a_limb() -> None:
    """Neither a limb nor --count is a usage error."""
    ran = run("grid")
    assert ran.code == 2
    assert "name a moving limb" in ran.err


def test_counts() -> None:
    """Rows of what was counted, how many, and how that is known; then a sample."""
    ran = run("grid", "--count", "--density", "5", "--rotations-removed", "--sample", "3", "--seed", "2")
    rows, *samples = ran.out.strip().split("\n\n")
    assert [int(row.split("  ")[-2]) for row in rows.splitlines()] == [65536, 4116, 2250, 4368, 273]
    assert all("  " in row for row in rows.splitlines())
    assert [sample.count("x") for sample in samples] == [5, 5, 5]
    assert run("grid", "--count").out == "lines of 16 slots, 1 limb  65536  2^16\n"


@pytest.mark.parametrize("flag", ["--help", "-h"])
def test_help(flag: str) -> None:
    """Help fits 80 columns but for its examples, and each example runs."""
    out = run("grid", flag).out
    assert all(len(line) <= 80 for line in out.splitlines() if "kitgen " not in line)
    examples = [
        line.split()[1:] for line in out.splitlines() if line.startswith("    kitgen ") or "  kitgen grid" in line
    ]
    assert len(examples) == 6
    for example in examples:
        words = example[: example.index("--out")] if "--out" in example else example
        more = () if "--count" in words else ("--pages", "1", "--print")
        assert run(*words, *more).code == 0, words


class Terminal:
    """A stream that says it is a terminal, and keeps what is written to it."""

    def __init__(self) -> None:
        self.text = ""

    def write(self, text: str) -> int:
        """Keep a text."""
        self.text += text
        return len(text)

    def flush(self) -> None:
        """Nothing to do."""

    def isatty(self) -> bool:
        """It is one."""
        return True


def test_progress_is_for_terminals(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """On a terminal a line tells how far it is and is gone in the end; elsewhere nothing is said."""
    with progress("making pages") as told:
        told(1, 2)
    assert capsys.readouterr() == ("", "")
    terminal = Terminal()
    monkeypatch.setattr("sys.stderr", terminal)
    with progress("making pages") as told:
        told(1, 12)
        told(12, 12)
    assert "making pages: 12 of 12" in terminal.text
    assert terminal.text.endswith("\r")
    assert "\n" not in terminal.text


def test_progress_while_pages_are_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a terminal both the making and the writing of pages are counted; what is printed is the same."""
    from kitgen.cli.grid_command import command

    terminal = Terminal()
    monkeypatch.setattr("sys.stderr", terminal)
    command.main(
        ["--moving", "LH", "--under", "samba", "--pages", "1-2", "--to", "svg", "--out", str(tmp_path)],
        standalone_mode=False,
    )
    assert "making pages: 2 of 2" in terminal.text
    assert "writing pages: 2 of 2" in terminal.text
    assert terminal.text.endswith("\r")
    assert "\n" not in terminal.text
