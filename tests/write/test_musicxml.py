"""What a written score says, sign by sign, and the folder it is written to."""

import json
from collections.abc import Sequence
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_STORED, ZipFile

import pytest

from kitgen import __version__
from kitgen.kit import Limb
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import EVEN, Feel, Hit, Pattern, parse_rows
from kitgen.read.scores import pattern_from_score
from kitgen.spell import Choices, SpellingError
from kitgen.time import Meter, Meters
from kitgen.write.manifest import Folder, folder_files
from kitgen.write.musicxml import page_musicxml
from kitgen.write.musicxml_zip import compressed
from tests.cli.running import contents, run
from tests.make.plan_texts import plan_file
from tests.write.musicxml_reading import Tree, differences, faults, page_of, page_with, read_back, text, tree_of

SAMBA = "RF bass x..x x..x x..x x..x; LF hat-foot ..x. ..x. ..x. ..x."


def score(rows: str, meter: str = "4/4", how: Choices | None = None, *, times: int = 1) -> Tree:
    """The score of a page of one row."""
    return tree_of(page_musicxml(page_with(rows, meter, times=times), how or Choices()))


def notes(root: Tree) -> list[Tree]:
    """Its notes and rests."""
    return list(root.iter("note"))


def found(root: Tree, path: str) -> list[str]:
    """The texts at a path, anywhere."""
    return [element.text or "" for element in root.findall(f".//{path}")]


def numbers(root: Tree, path: str) -> list[str]:
    """The numbers of the bars in which a path is found."""
    return [str(measure.get("number")) for measure in root.iter("measure") if measure.find(path) is not None]


# ---- notes -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "path", "expected"),
    [
        ("RH closed-hat x", "notehead", "x"),
        ("RH ride-bell x", "notehead", "diamond"),
        ("RH cowbell x", "notehead", "triangle"),
        ("LH rim-shot x", "notehead", "slashed"),
        ("LH snare x", "notehead", None),
        ("LH snare g", "notehead[@parentheses='yes']", "normal"),
        ("LH snare X", "notations/articulations/accent", ""),
        ("RH open-hat x", "notations/technical/open", ""),
        ("LH snare x; buzz LH x", "notations/ornaments/tremolo[@type='unmeasured']", "0"),
        ("LH snare x; diddle LH x", "notations/ornaments/tremolo[@type='single']", "1"),
        ("LH snare x", "stem", "up"),
        ("RF bass x", "stem", "down"),
    ],
)
def test_signs(row: str, path: str, expected: str | None) -> None:
    """Each sign at its note."""
    (note,) = notes(score(row, "1/4"))
    element = note.find(path)
    assert (element.text or "" if element is not None else None) == expected


@pytest.mark.parametrize(("level", "percent"), [("f", 31), ("g", 42), ("t", 64), ("x", 98), ("X", 128)])
def test_how_loud_a_note_is(level: str, percent: int) -> None:
    """In percent of 90: the velocities of the levels, 28, 38, 58, 88, 115."""
    (note,) = notes(score(f"LH snare {level}", "1/4"))
    assert round(float(str(note.get("dynamics")))) == percent


@pytest.mark.parametrize(
    ("row", "types", "slashes"),
    [("flam LH x", ["eighth"], ["yes"]), ("drag LH x", ["16th", "16th"], [None, None])],
)
def test_grace_notes(row: str, types: Sequence[str], slashes: Sequence[str | None]) -> None:
    """A flam is a small eighth with a slash, a drag two small sixteenths, and none has a duration."""
    *graces, main = notes(score(f"LH snare x; {row}", "1/4"))
    assert main.find("grace") is None
    assert [text(note, "type") for note in graces] == types
    assert [grace.get("slash") for note in graces for grace in note.findall("grace")] == slashes
    assert all(note.find("duration") is None for note in graces)


def test_a_hat_is_closed_by_a_plus_only_after_an_open_one() -> None:
    """Open, closed again, then closed without a sign."""
    root = score("RH closed-hat x . x x; RH open-hat . x . .")
    signs = [[sign.tag for sign in note.findall("notations/technical/*")] for note in notes(root)]
    assert signs == [[], ["open"], ["stopped"], []]


def test_a_tuplet_has_its_ratio_and_its_ends() -> None:
    """Three in the time of two, the bracket only where no beam holds it."""
    root = score("LH snare xxx x.x", "2/4")
    assert found(root, "actual-notes") == ["3"] * 5
    assert [(t.get("type"), t.get("bracket")) for t in root.iter("tuplet")] == [
        ("start", "no"), ("stop", None), ("start", "yes"), ("stop", None),
    ]  # fmt: skip
    assert found(root, "normal-type") == ["eighth"]


def test_a_rest_for_the_whole_bar_has_no_value() -> None:
    """It fills the bar whatever the meter."""
    (note,) = notes(score("LH snare . . .", "3/4"))
    assert [rest.get("measure") for rest in note.findall("rest")] == ["yes"]
    assert (text(note, "duration"), note.find("type")) == ("3", None)


@pytest.mark.parametrize(
    ("rows", "places"),
    [
        ("LH snare . x . x; RF bass x . . x", ["D5", "middle"]),
        ("LH snare x x x x; RF bass . x . x", ["E4", "E4"]),
        ("LH snare . x . x", ["middle", "middle"]),
    ],
)
def test_where_rests_stand(rows: str, places: Sequence[str]) -> None:
    """Above or below; in the middle where one voice plays or one rest serves both."""
    shown = [note.find("rest") for note in notes(score(rows)) if note.get("print-object") is None]
    stood = ["".join(map(str, rest.itertext())) or "middle" for rest in shown if rest is not None]
    assert stood == places


def test_voices_are_numbered_and_start_with_the_bar() -> None:
    """Hands first, feet after a step back."""
    root = score(f"LH snare x x x x; {SAMBA}")
    assert sorted(set(found(root, "voice"))) == ["1", "2"]
    assert found(root, "backup/duration") == ["16"]


def test_stickings_and_counts_are_lyrics() -> None:
    """Stickings first, counts below; a grace note's letter stands small before its stroke's."""
    root = score("RH snare x. x.; flam RH .. x.; LH snare .x ..", "2/4", Choices(stickings="all", counts="numbers"))
    lyrics = [
        [(lyric.get("name"), text(lyric, "text")) for lyric in note.findall("lyric")]
        for note in notes(root)
        if note.find("grace") is None
    ]
    assert lyrics == [
        [("sticking", "R"), ("counts", "1")],
        [("sticking", "L"), ("counts", "&")],
        [("sticking", "lR"), ("counts", "2")],
    ]


def test_counts_where_nothing_starts_are_words_at_their_place() -> None:
    """A bar of rest is counted through."""
    root = score("LH snare . . . .", how=Choices(counts="numbers"))
    said = [
        (text(d, "direction-type/words"), d.findtext("offset"))
        for d in root.iter("direction")
        if d.get("placement") == "below"
    ]
    assert said == [("1", None), ("2", "1"), ("3", "2"), ("4", "3")]


def test_two_limbs_on_one_surface_have_one_head() -> None:
    """The louder one's, with both stickings."""
    (note,) = notes(score("RH snare x; LH snare X", "1/4", Choices(stickings="all")))
    assert (note.get("id"), text(note, "lyric/text")) == ("LH-1-1-0", "R+L")


def test_a_chord_has_one_accent() -> None:
    """Two hands' accents are one sign, and both are read back."""
    page = page_with("RH ride X x X x; LH snare X . x X")
    data = page_musicxml(page)
    assert [len(found(measure, "accent")) for measure in tree_of(data).iter("measure")] == [3]
    assert read_back(data) == page.pattern


# ---- bars ------------------------------------------------------------------------------------------------------------


def test_a_row_is_written_out_as_often_as_it_is_played() -> None:
    """One bar four times is one system under one mark; the next row has its own."""
    rows = (Row("time", parse_rows("RF bass x x x x"), 4), Row("line", parse_rows("LH snare x . x ."), 2))
    page = Page("Twice", "Play it.", rows, Tempo.at(60, Fraction(1)))
    data = page_musicxml(page)
    root = tree_of(data)
    assert numbers(root, "note") == ["1", "2", "3", "4", "5", "6"]
    assert numbers(root, "print") == ["5"]
    assert found(root, "rehearsal") == ["time", "line"]
    assert found(root, "bar-style") == ["light-light", "light-heavy"]
    again = read_back(data)
    assert again is not None
    assert again.hits == page.pattern.hits


def test_systems_of_four_bars_and_marks_at_eights() -> None:
    """The mark of the ninth bar is its number."""
    root = tree_of(page_musicxml(page_of(parse_rows("LH snare x x x x") * 10)))
    assert numbers(root, "print") == ["5", "9"]
    assert numbers(root, "direction/direction-type/rehearsal") == ["1", "9"]
    assert found(root, "rehearsal") == ["row 1", "9"]


def test_meters_stand_where_they_change() -> None:
    """With their grouping where it is not the usual one."""
    page = page_of(parse_rows("LH snare xxx xx xx", "3+2+2/8"), parse_rows("LH snare xx xx xxx", "7/8"))
    root = tree_of(page_musicxml(page))
    assert found(root, "time/beats") == ["3+2+2", "7"]
    assert numbers(root, "attributes/time") == ["1", "2"]


def test_bars_of_rest_under_a_number() -> None:
    """Where they are counted; every bar is in the file all the same."""
    silent = parse_rows("LH snare . . . .")
    page = page_of(parse_rows("LH snare x x x x") + silent * 4 + parse_rows("LH snare x x x x"))
    root = tree_of(page_musicxml(page, Choices(rests="counted")))
    assert found(root, "multiple-rest") == ["4"]
    assert numbers(root, "attributes/measure-style/multiple-rest") == ["2"]
    assert numbers(root, "note/rest[@measure='yes']") == ["2", "3", "4", "5"]


def test_bar_repeat_signs_only_where_asked_for() -> None:
    """They start at the second of equal bars, stop after the last, and the notes are there all the same."""
    page = page_of(parse_rows("LH snare x x x x") * 3 + parse_rows("LH snare x . x ."))
    assert found(tree_of(page_musicxml(page)), "measure-repeat") == []
    data = page_musicxml(page, bar_repeats=True)
    root = tree_of(data)
    signs = [(numbers(root, f".//measure-repeat[@type='{kind}']")) for kind in ("start", "stop")]
    assert signs == [["2"], ["4"]]
    assert read_back(data) == page.pattern
    assert list(faults(data)) == []


def test_what_is_held_past_the_end_is_cut() -> None:
    """The first bar starts with a rest, the second with what is held from the first; no tie leaves the last."""
    held = Pattern((Hit(Fraction(3), Limb.RH, "crash", length=Fraction(2)),), Meters.of(Meter(4, 4), 1))
    page = page_of(held, times=2)
    data = page_musicxml(page)
    ties = [
        (str(tie.get("type")), measure.get("number"))
        for measure in tree_of(data).iter("measure")
        for tie in measure.iter("tie")
    ]
    assert ties == [("start", "1"), ("stop", "2")]
    assert list(differences(page.pattern, read_back(data))) == []


# ---- tempo, feel, head -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("unit", "beat", "dots", "sound"),
    [(Fraction(1), "quarter", 0, "60"), (Fraction(3, 2), "quarter", 1, "90"), (Fraction(2), "half", 0, "120")],
)
def test_the_metronome_counts_the_pages_unit(unit: Fraction, beat: str, dots: int, sound: str) -> None:
    """The start of the page, as in the ``.mid``; playback is in quarters."""
    row = Row("row", parse_rows("LH snare xxx xxx", "6/8"))
    root = tree_of(page_musicxml(Page("A page", "do", (row,), Tempo(60, 90, 40, 120, unit))))
    assert (found(root, "metronome/beat-unit"), found(root, "metronome/per-minute")) == ([beat], ["60"])
    assert len(found(root, "metronome/beat-unit-dot")) == dots
    assert [element.get("tempo") for element in root.iter("sound") if element.get("tempo")] == [sound]


def test_a_unit_that_is_no_note_value_is_said_in_words() -> None:
    """Five eighths a minute."""
    row = Row("row", parse_rows("LH snare xxxxx", "5/8"))
    root = tree_of(page_musicxml(Page("A page", "do", (row,), Tempo.at(60, Fraction(5, 2)))))
    assert found(root, "direction-type/words") == ["60 a minute (5/2 of a quarter)"]


@pytest.mark.parametrize(
    ("feel", "words", "swing"),
    [
        (Feel(8, Fraction(2)), ["Swing eighths 2:1"], ["2", "1", "eighth"]),
        (Feel(16, Fraction("1.2")), ["Swing sixteenths 1.2:1"], ["6", "5", "16th"]),
        (Feel(8, None), ["Swing eighths auto"], ["43", "20", "eighth"]),
        (EVEN, [], []),
    ],
)
def test_swing_is_said_and_played(feel: Feel, words: Sequence[str], swing: Sequence[str]) -> None:
    """In words, and for playback by its ratio; ``auto`` is the tempo's."""
    root = tree_of(page_musicxml(page_of(parse_rows("LH snare xx xx xx xx").with_feel(feel))))
    assert found(root, "direction-type/words") == words
    assert found(root, "swing/*") == swing


def test_swing_written_in_triplets_is_not_swung_again() -> None:
    """No word and no sound."""
    page = page_of(parse_rows("LH snare xx xx xx xx").with_feel(Feel(8, Fraction(2))))
    root = tree_of(page_musicxml(page, Choices(swing="triplets")))
    assert (found(root, "swing"), found(root, "words")) == ([], [])
    assert found(root, "actual-notes")


def test_the_head() -> None:
    """Title, heading, instruction, recipe, version; no date."""
    page = Page(
        "Ghosts",
        "Play it.",
        (Row("row", parse_rows("LH snare g g g g")),),
        Tempo.at(60, Fraction(1)),
        "kitgen apply x",
        heading="Alder Bay Middle School, period 3",
    )
    root = tree_of(page_musicxml(page))
    assert found(root, "work-title") == ["Ghosts"]
    fields = {field.get("name"): field.text for field in root.iter("miscellaneous-field")}
    assert fields == {
        "heading": "Alder Bay Middle School, period 3",
        "instruction": "Play it.",
        "recipe": "kitgen apply x",
    }
    assert found(root, "software") == [f"kitgen {__version__}"]
    assert root.find(".//encoding-date") is None


def test_a_kits_own_keys() -> None:
    """They are the keys of the instruments, as in the ``.mid``; this program knows the surfaces all the same."""
    page = page_with("LH snare x x x x; RF bass x . x .")
    data = page_musicxml(page, keys={"snare": 31})
    keys = {str(one.get("id")): text(one, "midi-unpitched") for one in tree_of(data).iter("midi-instrument")}
    assert keys == {"P1-snare": "32", "P1-bass": "37"}
    assert read_back(data) == page.pattern


def test_kernels_are_left_out() -> None:
    """As in the ``.mid``."""
    rows = (Row("row", parse_rows("LH snare x x x x")),)
    page = Page(
        "A page", "do", rows, Tempo.at(60, Fraction(1)), kernels=(Row("together", parse_rows("RF bass x x", "2/4")),)
    )
    assert len(notes(tree_of(page_musicxml(page)))) == 4


def test_a_page_of_rests() -> None:
    """No instruments, and bars of rest."""
    data = page_musicxml(page_with("LH snare . . . .", times=3))
    assert list(faults(data)) == []
    assert read_back(data) is None


def test_a_rhythm_that_cannot_be_written_is_refused() -> None:
    """By row, bar and count."""
    with pytest.raises(SpellingError, match=r'row \'row 1\', bar 1, count "2"'):
        page_musicxml(page_with("LH snare x " + "x" * 17, "2/4"))


# ---- the folder ------------------------------------------------------------------------------------------------------


def test_a_folder_with_scores() -> None:
    """The file stands in the manifest and the index."""
    files = folder_files(Folder("a folder", "kitgen", [page_with(SAMBA)], [()], kinds=("musicxml",)))
    name = "01-any-page-90bpm-4-4-1bar.musicxml"
    (entry,) = json.loads(files["manifest.json"])["pages"]
    assert entry["files"] == {"musicxml": name}
    assert f'<a href="{name}">score (MusicXML)</a>' in files["index.html"].decode()
    assert files[name] == page_musicxml(page_with(SAMBA))


def test_a_compressed_score(tmp_path: Path) -> None:
    """A zip with its media type first and stored, the same bytes each time, read like the score inside it."""
    page = page_with(SAMBA)
    files = folder_files(Folder("a folder", "kitgen", [page], [()], kinds=("mxl",)))
    data = files["01-any-page-90bpm-4-4-1bar.mxl"]
    assert data == compressed(page_musicxml(page))
    with ZipFile(BytesIO(data)) as archive:
        assert archive.testzip() is None
        first = archive.infolist()[0]
        assert (first.filename, first.compress_type, first.extra) == ("mimetype", ZIP_STORED, b"")
        assert archive.read("mimetype") == b"application/vnd.recordare.musicxml"
    path = tmp_path / "page.mxl"
    path.write_bytes(data)
    assert pattern_from_score(path) == page.pattern


@pytest.mark.parametrize(
    "words",
    [
        ("apply", "1 & 2 e & a 3 4 &", "--as", "linear,groove"),
        ("grid", "--moving", "LH", "--under", "samba", "--cells", "8ths"),
        ("tour", "--limbs", "RH,LH"),
        ("series", "PLAN"),
    ],
)
def test_every_command_writes_scores(words: Sequence[str], tmp_path: Path) -> None:
    """A score a page, with as many bars as the manifest says."""
    given = [plan_file(tmp_path) if word == "PLAN" else word for word in words]
    done = run(*given, "--to", "musicxml", "--out", tmp_path / "out")
    assert done.code == 0
    files = contents(tmp_path / "out")
    pages = json.loads(files["manifest.json"])["pages"]
    assert pages
    for page in pages:
        data = files[page["files"]["musicxml"]]
        assert len(list(tree_of(data).iter("measure"))) == page["bars"]
        assert list(faults(data)) == []
