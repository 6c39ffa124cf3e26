"""ABC tunes become the lines that are written in them, or are refused with the line that is not known."""

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import ReadError
from kitgen.line import Line, Mark
from kitgen.read.scores import line_from_score, score_parts, tempo_of_score
from tests.strategies import fewer

F = Fraction


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a test writes its tune."""
    return tmp_path / "alder bay.abc"


def tune(music: str, *, meter: str = "4/4", unit: str = "1/8", more: str = "") -> str:
    """A tune of one voice."""
    length = f"L:{unit}\n" if unit else ""
    return f"X:1\nT:Breakwater\nM:{meter}\n{length}{more}K:C\n{music}\n"


def read(path: Path, text: str, *, part: str | int | None = None, unfold: bool = False) -> Line:
    """The line of a tune given as text."""
    path.write_text(text, encoding="utf-8")
    return line_from_score(path, part=part, unfold=unfold)


def heard(line: Line) -> list[tuple[str, str]]:
    """Onset and length of each note, as people write fractions."""
    return [(str(note.onset), str(note.length)) for note in line.notes]


@pytest.mark.parametrize(
    ("music", "found"),
    [
        ("c2 d/e/ f3/2g/ z2|", [("0", "1"), ("1", "1/4"), ("5/4", "1/4"), ("3/2", "3/4"), ("9/4", "1/4")]),
        ("c4 d4|", [("0", "2"), ("2", "2")]),
        ("c2>d2 e2<f2|", [("0", "3/2"), ("3/2", "1/2"), ("2", "1/2"), ("5/2", "3/2")]),
        ("c>>d c<<d c4|", [("0", "7/8"), ("7/8", "1/8"), ("1", "1/8"), ("9/8", "7/8"), ("2", "2")]),
        ('c>"4".d c2 c4|', [("0", "3/4"), ("3/4", "1/4"), ("1", "1"), ("2", "2")]),
        (
            "(3cde (3:2:2cd2 c4|",
            [("0", "1/3"), ("1/3", "1/3"), ("2/3", "1/3"), ("1", "1/3"), ("4/3", "2/3"), ("2", "2")],
        ),
        ("(c d) [ce]2 [c2e4]2|", [("0", "1/2"), ("1/2", "1/2"), ("1", "1"), ("2", "2")]),
        ("c4-c2 d2-|d8|", [("0", "3"), ("3", "5")]),
        ("c4-d4|", [("0", "2"), ("2", "2")]),
        ("c4 -c4|", [("0", "4")]),
        ("c3>-c3 e2|", [("0", "3"), ("3", "1")]),
        ("c4 z4|Z2|x2 c6|", [("0", "2"), ("13", "3")]),
        ("c4 c4 & z2 c6|", [("0", "1"), ("1", "1"), ("2", "2")]),
        ("^c2 _e''2 =F,2 y `G2|", [("0", "1"), ("1", "1"), ("2", "1"), ("3", "1")]),
    ],
)
def test_lengths(path: Path, music: str, found: list[tuple[str, str]]) -> None:
    """Multiples, fractions, broken rhythm, tuplets, chords, ties over barlines, slurs, rests, overlays."""
    assert heard(read(path, tune(music))) == found


def test_marks(path: Path) -> None:
    """Accents, marcato, dots, grace notes; text, stickings of bows and other signs say nothing about rhythm."""
    line = read(path, tune('!accent!c L.d !^!e {ab}f {/a}g "Am"vg !f!~a !segno!b|'))
    assert [note.accent for note in line.notes] == [True, True, True, False, False, False, False, False]
    assert [note.mark for note in line.notes[:3]] == [Mark.NONE, Mark.SHORT, Mark.SHORT]
    assert [note.graces for note in line.notes] == [0, 0, 0, 2, 1, 0, 0, 0]


@pytest.mark.parametrize(
    ("meter", "unit", "said", "first"),
    [
        ("C", "", "4/4", "1/2"), ("C|", "", "2/2", "1/2"), ("2/4", "", "2/4", "1/4"), ("6/8", "", "6/8", "1/2"),
        ("(2+3)/8", "1/8", "2+3/8", "1/2"), ("3/4", "1/4", "3/4", "1"), ("3/4", "1/16", "3/4", "1/4"),
    ],
)  # fmt: skip
def test_meters_and_units(path: Path, meter: str, unit: str, said: str, first: str) -> None:
    """Meters in signs and sums; a missing unit is a sixteenth in meters shorter than 3/4."""
    line = read(path, tune(60 * "c" + "|", meter=meter, unit=unit))
    assert str(line.notes[0].length) == first
    path.write_text(tune("c|", meter=meter, unit=unit), encoding="utf-8")
    assert str(line_from_score(path).meters).endswith(said)


def test_changes_inside_a_tune(path: Path) -> None:
    """Meter and unit change on lines of their own and inside lines; the bar before keeps its own."""
    line = read(path, tune("c8|[M:3/4]c6|\nL:1/4\nM:2/4\nc2|[L:1/16]c8|"))
    assert str(line.meters) == "1 x 4/4, 1 x 3/4, 2 x 2/4"
    assert [str(note.length) for note in line.notes] == ["4", "3", "2", "2"]


def test_pickups_and_repeats(path: Path) -> None:
    """A pickup is filled in front; repeats and endings are folded unless played out."""
    text = tune("G2|c4 e4|[1 g6 G2:|[2 g8|]")
    assert str(read(path, text).meters) == "4 x 4/4"
    assert [str(onset) for onset in read(path, text).onsets] == ["3", "4", "6", "8", "11", "12"]
    played = read(path, tune("|:c8|d8:|: e8|1 f8:|2 g8||"), unfold=True)
    assert len(played.notes) == 8
    assert len(read(path, tune("|:c8|d8:||:e4 e4::f8:|"), unfold=True).notes) == 4 + 4 + 2


def test_tunes_and_voices_are_parts(path: Path) -> None:
    """Each tune of a book is a part by its title, each voice of a tune as well."""
    text = tune("c8|") + "\n" + tune("c4 c4|").replace("Breakwater", "Harbor Reel") + "\n"
    text += tune('V:1 name="Snare"\nc2c2c2c2|\nV:2\nc8|\n[V:1]c8|').replace("Breakwater", "Cadence")
    path.write_text(text, encoding="utf-8")
    assert score_parts(path) == ("Breakwater", "Harbor Reel", "Cadence, Snare", "Cadence, 2")
    counts = [len(line_from_score(path, part=part).notes) for part in (1, "harbor reel", "cadence, snare", 4)]
    assert counts == [1, 2, 5, 1]


@pytest.mark.parametrize(
    ("field", "bpm"), [("Q:1/4=120", 120), ('Q:"Lively" 3/8=80', 120), ("Q:90", 90), ("Q:1/4=9000", None), ("", None)]
)
def test_tempo(path: Path, field: str, bpm: float | None) -> None:
    """As quarters a minute."""
    path.write_text(tune("c8|", more=f"{field}\n" if field else ""), encoding="utf-8")
    assert tempo_of_score(path) == bpm


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "is empty"),
        ("c2 d2 e2|", "has no ABC tune, which starts with a line 'X:1'"),
        ("\x00\xff junk", "has no ABC tune"),
        (tune("c2 ? d2|"), r"line 6: '\? d2\|' is not read; take it out"),
        (tune("[zz]2|"), "line 6: .* is no chord of notes"),
        (tune("c8|", meter="4/5"), "line 3: the meter '4/5' is none"),
        (tune("c8|", unit="8"), "line 4: the unit length '8' is no fraction"),
        (tune("c8|", unit="1/0"), "line 4: the unit length '1/0'"),
        (tune(">c8|"), "line 6: '>' has no note before it"),
        (tune("(0ccc|"), "line 6: a tuplet of no notes"),
        (tune("Z999999|"), "line 6: "),
        (tune("Z0|"), "a rest of 0 bars"),
        (tune("c8|", more="m:~n2 = n\n"), "line 5: a macro"),
        (tune("z8|"), "has no notes in part 'Breakwater'"),
        (tune("c8|(3:2:1c d|d8|d8|"), "bar 2 lasts 5/6 quarters, which is no meter"),
    ],
)
def test_refused(path: Path, text: str, why: str) -> None:
    """One sentence that names the file, and the line where there is one."""
    with pytest.raises(ReadError, match=why) as caught:
        read(path, text)
    assert str(caught.value).startswith("alder bay.abc: ")
    assert "\n" not in str(caught.value)


lengths = st.builds(Fraction, st.integers(1, 12), st.sampled_from((1, 2, 4, 8)))
bars_of_notes = st.lists(
    st.lists(st.tuples(lengths, st.booleans()), min_size=1, max_size=8), min_size=1, max_size=4
).filter(lambda bars: any(struck for bar in bars for _, struck in bar))


@fewer
@given(bars_of_notes)
def test_what_is_written_is_read(tmp_path_factory: pytest.TempPathFactory, bars: list[list[tuple[F, bool]]]) -> None:
    """Any bars of notes and rests, each in a meter of its own, come back note for note."""
    music, at, expected = "", F(0), []
    for bar in bars:
        size = sum(length for length, _ in bar)
        music += f"[M:{(size * 16).numerator}/64]" if (size * 16) <= 64 else "[M:none]"
        for length, struck in bar:
            music += f"{'c' if struck else 'z'}{length.numerator}/{length.denominator}"
            expected += [(at, length)] if struck else []
            at += length
        music += "|"
    path = tmp_path_factory.mktemp("written") / "any.abc"
    line = read(path, tune(music, unit="1/4"))
    start = line.notes[0].onset - expected[0][0]
    assert [(note.onset - start, note.length) for note in line.notes] == expected


@fewer
@given(st.text(st.sampled_from('cdz|:[](){}<>-!3/2&^ .\n%VLM"~'), max_size=60))
def test_anything_is_read_or_refused(tmp_path_factory: pytest.TempPathFactory, music: str) -> None:
    """No text makes anything but a line or an error of ours."""
    path = tmp_path_factory.mktemp("any") / "any.abc"
    try:
        read(path, tune(music))
    except ReadError as error:
        assert str(error).startswith("any.abc: ")  # noqa: PT017
