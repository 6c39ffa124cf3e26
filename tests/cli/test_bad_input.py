"""Whatever is wrong ends in one line on stderr that says what, where and what is allowed, with files as they were."""

from pathlib import Path

import mido
import pytest

from tests.cli.running import contents, run, run_apart

LINE = "1 & 2 e & a 3 4 &"


@pytest.fixture
def out(tmp_path: Path) -> Path:
    """A folder that nothing may appear in."""
    return tmp_path / "out"


# ---- lines -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("", 'the line is empty; type one like "x.x. xxx x--- ..x-"'),
        ("   ", "the line is empty"),
        ("x.x. x.x. x.x.", "bar 1 of 4/4 is 1 quarter too short"),
        ("x.x. x.x. x.x. x.x. x.x.", "bar 2 of 4/4 is 3 quarters too short"),
        ("x.x. x.x. x.x. | x.x.", "bar 1 of 4/4 is 1 quarter too short (or 3 quarters too long) where its barline"),
        ("4 4 4 8r", "bar 1 of 4/4 is 1 eighth too short"),
        ("x.x. x.q. x.x. x.x.", "unknown character 'q' in boxes"),
        ("x.x? x.x. x.x. x.x.", "'?' in boxes; a box is x, X, - or ., spaces part beats (character 4"),
        ("1 & 2 z", "'z' in counts; write numbers, e & a, trip let, (2) for a silent one; or boxes"),
        ("1 & 5", "count 5 in 4/4, which has beats 1 to 4; change --meter"),
        ("1 e trip 2", "bar 1, beat 1 of '1 e trip 2' mixes e & a with trip let"),
        (".-x. x... x... x...", "a hold '-' with no note before it to hold (character 2"),
        ("[4 4 2", "a tie '[' that is not ended by ']'"),
        ("4. 8 2 | 7000.", "no note value 7000.; 1 to 512, up to 3 dots"),
        ("\0", "unknown character"),
        ("ééé", "unknown character 'é'"),
    ],
)  # fmt: skip
def test_lines_that_are_none(out: Path, line: str, said: str) -> None:
    """A line that is empty, too long, too short or misspelt is refused where it goes wrong."""
    ran = run("apply", line, "--as", "all", "--out", out)
    assert said in ran.error
    assert not out.exists()


def test_a_bar_too_short_can_be_padded(out: Path) -> None:
    """What the message offers works: --pad fills the bar with rest."""
    assert "use --pad to fill it with rest" in run("apply", "x.x. x.x. x.x.", "--as", "hands", "--out", out).error
    assert run("apply", "x.x. x.x. x.x.", "--as", "hands", "--out", out, "--pad").code == 0


# ---- options ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--tempo", "0"), "a tempo of 0 cannot be played to; it is 20 to 400 beats a minute"),
        (("--tempo", "-5"), "a tempo of -5 cannot be played to; it is 20 to 400"),
        (("--tempo", "nan"), "a tempo of nan cannot be played to; it is 20 to 400"),
        (("--tempo", "401"), "a tempo of 401 cannot be played to; it is 20 to 400"),
        (("--tempo", "inf"), "it is 20 to 400"),
        (("--tempo", "fast"), "a tempo of fast cannot be played to"),
        (("--tempo", "90..60"), "--tempo 90..60 goes down; write the slower tempo first"),
        (("--tempo", "60..90:0"), "a step of '0'; steps are 1 to 10 beats a minute"),
        (("--tempo", "60..90:x"), "a step of 'x'"),
        (("--tempo", "20..400:0.001"), "steps are 1 to 10 beats a minute"),
        (("--swing", "0:1"), "a swing of 0:1 is shorter than 1:1; the first of a pair is the long one, 1:1 to 5:1"),
        (("--swing", "0.5:1"), "a swing of 0.5:1 is shorter than 1:1"),
        (("--swing", "9:1"), "a swing ratio of 9:1 is outside 1:1 to 5:1"),
        (("--swing", "2:0"), "cannot read '2:0' as a swing; write even, auto, or long:short"),
        (("--swing", "hard"), "cannot read 'hard' as a swing"),
        (("--meter", "4/5"), "no meter 4/5: above the line 1 to 64, below it one of 1, 2, 4"),
        (("--meter", "four"), "cannot read 'four' as a meter; write it like 4/4, 6/8 or 2+2+3/8"),
        (("--meter", "0/4"), "meter"),
        (("--notation", "tabs"), "no notation is called 'tabs'; there are: boxes, counts, values"),
        (("--bars", "0"), "--bars 0; a page has 1 to 400 bars"),
        (("--bars", "401"), "--bars 401; a page has 1 to 400 bars"),
        (("--measures", "3"), "--measures 3: measures 3-3 are not in this line; it has bars 1 to 1"),
        (("--under", "sambo"), "no ostinato is called 'sambo'; did you mean samba"),
        (("--under", ""), "no ostinato is called ''; there are: quarters"),
        (("--kit", "standart"), "no kit is called 'standart'; did you mean standard?"),
        (("--kit", "nowhere.toml"), "nowhere.toml: No such file or directory; a kit is a TOML file"),
        (("--hand", "both"), "no hand setting is called 'both'; there are: right, left, open"),
        (("--limb", "LH"), "--limb means nothing to --as linear; it is for limb"),
        (("--half-time", "--carry"), "--half-time means nothing to --as linear; it is for groove"),
        (("--surface", "snair"), "no surface is called 'snair'; did you mean snare"),
        (("--order", "RH"), "--order RH: name two limbs or more, each once, such as RH,LH,RF"),
        (("--order", "RH,RH"), "--order RH RH: name two limbs or more, each once"),
        (("--order", "RH,XX"), "no limb is called 'XX'"),
        (("--gaps", "full"), "--gaps 'full'; it is one of left, filled"),
        (("--sticking", "doubles"), "--sticking means nothing to --as linear; it is for hands"),
        (("--tracks", "two"), "--tracks 'two'; it is one of limb, one"),
        (("--repeats", "0"), "--repeats 0; a page is played through 1 to 64 times"),
        (("--part", "2"), "--part: for lines from MIDI files and scores; this line is typed"),
        (("--channel", "3"), "--channel: for lines from MIDI files and scores"),
        (("--order", ""), "--order is empty: name two limbs or more"),
        (("--to", "mp3"), "--to mp3: no file of kind 'mp3' is written; there are mid, txt"),
        (("--to", ""), "--to names nothing; there are mid, txt"),
        (("--as", ""), "--as names no application; see kitgen list applications"),
        (("--as", "liner"), "no application is called 'liner'; did you mean linear"),
        (("--as", "linear,grove"), "no application is called 'grove'; did you mean groove?"),
    ],
)  # fmt: skip
def test_options_that_cannot_be(out: Path, options: tuple[str, str], said: str) -> None:
    """A wrong value is named with what is allowed or what is nearest, whether files are written or not."""
    for more in ((), ("--print",)):
        ran = run("apply", LINE, "--as", "linear", *options, "--out", out, *more)
        assert said in ran.error
        assert ran.out == ""
    assert not out.exists()


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--as", "limb", "--limb", "XX"), "no limb is called 'XX'"),
        (("--as", "hands", "--sticking", "odd"), "--sticking 'odd'; it is one of natural, alternating, doubles"),
        (("--as", "all", "--limb", "XX"), "no limb is called 'XX'"),
        (("--as", "all", "--sticking", "odd"), "--sticking 'odd'"),
        (("--as", "all", "--surface", "snair"), "no surface is called 'snair'"),
        (("--as", "all", "--swing", "9:1"), "a swing ratio of 9:1 is outside 1:1 to 5:1"),
    ],
)
def test_options_that_cannot_be_whatever_is_made(out: Path, options: tuple[str, ...], said: str) -> None:
    """A wrong value is an error with all applications too, not a refusal of those that would have used it."""
    assert said in run("apply", LINE, *options, "--out", out).error
    assert not out.exists()


@pytest.mark.parametrize("name", ["limb", "hands", "linear", "long-short", "all"])
@pytest.mark.parametrize(
    ("under", "said"),
    [
        (
            "RH ride x x x x; RH snare . . x .",
            'the right hand (RH) would play ride and snare at bar 1, count "3"; one limb strikes once at an instant',
        ),
        ("RF snare x x x x", "the right foot (RF) cannot play snare; it is played with a hand: RH, LH"),
        ("RF bass x x q x", "row 'RF bass', bar 1, beat 3: unknown character 'q'; boxes are X x t g f - and ."),
        ("RF bass x x x | x", "row 'RF bass', bar 1: 3 beats before the barline; 4/4 has 4"),
        ("RF kettle x x x x", "no surface is called 'kettle'"),
        ("nothing-like-it", "no ostinato is called 'nothing-like-it'"),
    ],
)
def test_an_ostinato_that_cannot_be(out: Path, name: str, under: str, said: str) -> None:
    """Rows that cannot be played are wrong whatever they stand under: limb, bar and count are named."""
    assert said in run("apply", LINE, "--as", name, "--under", under, "--out", out).error
    assert not out.exists()


def test_an_ostinato_file_that_is_none(tmp_path: Path, out: Path) -> None:
    """A file of rows that is missing, or no text, is named."""
    raw = tmp_path / "rows.txt"
    raw.write_bytes(b"\xff\xfe\x00")
    assert (
        "not a text file; box rows are read from a text file"
        in run("apply", LINE, "--as", "limb", "--under", raw, "--out", out).error
    )
    assert "No such file" in run("apply", LINE, "--as", "limb", "--under", tmp_path / "no.txt", "--out", out).error
    assert not out.exists()


# ---- files -----------------------------------------------------------------------------------------------------------


def midi_file(path: Path, ticks: list[int], *, ppq: int = 480) -> Path:
    """A MIDI file with a note at each of these ticks."""
    track, now = mido.MidiTrack(), 0
    for tick in ticks:
        track += [mido.Message("note_on", note=60, time=tick - now), mido.Message("note_off", note=60, time=1)]
        now = tick + 1
    mido.MidiFile(tracks=[track], ticks_per_beat=ppq).save(str(path))
    return path


def test_a_midi_line_that_cannot_be_quantised(tmp_path: Path, out: Path) -> None:
    """Onsets that fit no way of dividing the beat are refused with their place, not moved there in silence."""
    path = midi_file(tmp_path / "free.mid", [0, 97, 131, 152, 233, 256, 299, 301, 308, 331, 397, 411, 455])
    error = run("apply", path, "--as", "hands", "--out", out).error
    assert "free.mid" in error
    assert "bar 1" in error
    assert not out.exists()


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("cut.mid", None, "is cut off in track 1 of 1"),
        ("empty.mid", b"", "is empty; readable is a Standard MIDI File"),
        ("words.mid", b"these are words", "is no MIDI file: it does not start with the letters MThd"),
        ("head.mid", b"MThd\0\0", "is cut off inside its header, after 6 bytes"),
        ("frames.mid", b"MThd\0\0\0\6\0\1\0\1\xe2\x50", "counts time in frames, 30 a second, not in quarters"),
        ("two.mid", b"MThd\0\0\0\6\0\2\0\1\1\xe0", "is of format 2, whose tracks do not run together"),
    ],
)
@pytest.mark.parametrize("command", ["apply", "show", "check"])
def test_midi_files_that_are_none(tmp_path: Path, command: str, name: str, data: bytes | None, said: str) -> None:
    """A MIDI file that is cut off, empty, or another kind of file is refused by every command that reads one."""
    path = tmp_path / name
    if data is None:
        data = midi_file(path, [0, 480, 960]).read_bytes()[:-9]
    path.write_bytes(data)
    options = ("--as", "hands", "--out", tmp_path / "out") if command == "apply" else ()
    error = run(command, path, *options).error
    assert said in error
    assert name in error
    assert list(contents(tmp_path)) == [name]


BOMB = """<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY a "lol"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">
<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;">]>
<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>&d;</part-name></score-part></part-list>
<part id="P1"><measure number="1"/></part></score-partwise>"""
OUTSIDE = """<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY x SYSTEM "file:///etc/hostname">]>
<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>&x;</part-name></score-part></part-list>
<part id="P1"><measure number="1"/></part></score-partwise>"""
SILENT = """<?xml version="1.0"?><score-partwise version="4.0">
<part-list><score-part id="P1"><part-name>horn</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats>
<beat-type>4</beat-type></time></attributes>{notes}</measure></part></score-partwise>"""


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("bomb.musicxml", BOMB),
        ("outside.musicxml", OUTSIDE),
        ("cut.musicxml", SILENT.format(notes="")[:-40]),
        ("words.musicxml", "these are words"),
        ("empty.musicxml", ""),
        ("page.xml", "<html><body/></html>"),
    ],
)
@pytest.mark.parametrize("command", ["apply", "show"])
def test_scores_that_are_none(tmp_path: Path, command: str, name: str, text: str) -> None:
    """A score that is damaged, or tries to pull in other files or to swell, is refused by its name."""
    path = tmp_path / name
    path.write_text(text)
    options = ("--as", "hands", "--out", tmp_path / "out") if command == "apply" else ()
    error = run(command, path, *options).error
    assert name in error
    assert "lollol" not in error
    assert list(contents(tmp_path)) == [name]


def test_a_score_without_notes(tmp_path: Path) -> None:
    """A score with nothing to play is refused, and the message says what would work."""
    path = tmp_path / "silent.musicxml"
    path.write_text(SILENT.format(notes="<note><rest/><duration>4</duration><type>whole</type></note>"))
    error = run("apply", path, "--as", "hands", "--out", tmp_path / "out").error
    assert "silent.musicxml" in error or "all rest" in error
    assert list(contents(tmp_path)) == ["silent.musicxml"]


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("page.txt", b"title: a\nrow: b\nRH kettle x x x x\n", "page: no surface is called 'kettle'"),
        ("page.txt", b"\xff\xfe", "not a text file"),
        ("page.txt", b"", "no rows; a row is a limb, a surface and its boxes"),
        ("page.doc", b"words", "page.doc"),
    ],
)
@pytest.mark.parametrize("command", ["show", "check"])
def test_pages_that_are_none(tmp_path: Path, command: str, name: str, data: bytes, said: str) -> None:
    """What is no page of text is refused by show and check."""
    (tmp_path / name).write_bytes(data)
    assert said in run(command, tmp_path / name).error


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (None, "no manifest.json in it; check reads folders that kitgen wrote"),
        ("{", "not a manifest kitgen wrote"),
        ("[]", "not a manifest kitgen wrote"),
        ('{"pages": [{}]}', "not a manifest kitgen wrote"),
        ('{"pages": [{"number": 1, "title": "a", "files": {"mid": 3}, "sha256": {}, "elements": []}]}', "manifest"),
    ],
)
def test_folders_that_are_none(tmp_path: Path, text: str | None, said: str) -> None:
    """A folder without a manifest, or with another's, is refused."""
    if text is not None:
        (tmp_path / "manifest.json").write_text(text)
    assert said in run("check", tmp_path).error


def test_files_that_are_not_there(tmp_path: Path) -> None:
    """A missing file is named by every command that reads one."""
    for args in (
        ("apply", tmp_path / "no.mid", "--as", "all"),
        ("show", tmp_path / "no.txt"),
        ("check", tmp_path / "no.mid"),
    ):
        error = run(*args).error
        assert "no." in error
        assert "No such file" in error


# ---- usage -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("aply",), "no command is called 'aply'; did you mean apply?"),
        (("zzz",), "no command is called 'zzz'; there are: apply, "),
        (("apply",), "Missing argument 'LINE'"),
        (("apply", LINE), "Missing option '--as'"),
        (("apply", LINE, "--as", "limb", "--tempoo", "3"), "No such option '--tempoo'"),
        (("apply", LINE, "--as", "limb", "--bars", "two"), "'two' is not a valid integer"),
        (("apply", LINE, "--as", "limb", "--swing-unit", "4"), "'4' is not one of '8', '16'"),
        (("apply", LINE, "--as", "limb", "--channel", "17"), "17 is not in the range 1<=x<=16"),
        (("apply", LINE, "more", "--as", "limb"), "unexpected extra argument"),
        (("apply", LINE, "--as"), "--as needs NAME[,NAME]|all after it, and there is nothing"),
        (("check",), "Missing argument 'FILE...'"),
    ],
)
def test_wrong_usage(args: tuple[str, ...], said: str) -> None:
    """A command used wrongly exits 2 with one line that says so and where help is."""
    ran = run(*args)
    assert ran.code == 2
    assert ran.err.startswith("Error: ")
    assert ran.err.count("\n") == 1
    assert said in ran.err
    assert "--help)" in ran.err
    assert ran.out == ""


def test_no_command_at_all() -> None:
    """Without a command the help is shown on stderr, and the exit code is that of wrong usage."""
    ran = run()
    assert ran.code == 2
    assert "Usage: kitgen" in ran.err
    assert ran.out == ""


@pytest.mark.parametrize("kind", ["application", "zzz"])
def test_a_list_there_is_none_of(kind: str) -> None:
    """An unknown list is named with the nearest, or with all there are."""
    error = run("list", kind).error
    assert "did you mean applications?" in error or "there are: applications" in error


def test_a_fault_of_our_own_is_one_line_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """What should never happen is still one line, with a way to see more."""
    import kitgen.make.applied

    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("unforeseen")

    monkeypatch.setattr(kitgen.make.applied, "pages_of", broken)
    ran = run("apply", LINE, "--as", "limb", "--print")
    assert ran.code == 1
    assert ran.err == (
        "Error: a fault inside kitgen (ZeroDivisionError: unforeseen); set KITGEN_DEBUG=1 to see where\n"
    )


def test_a_real_process_says_the_same(tmp_path: Path) -> None:
    """In a process of its own the command says the same as here: one line, exit 1, no traceback, no files."""
    ran = run_apart("apply", "x.x.", "--as", "all", cwd=tmp_path)
    assert ran.error == run("apply", "x.x.", "--as", "all").error
    assert contents(tmp_path) == {}
