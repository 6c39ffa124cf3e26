"""Box notation of a line."""

import re
from fractions import Fraction

import pytest

from kitgen.errors import LineError
from kitgen.line import Line, Mark, Note, parse, render
from kitgen.time import Meter, Meters

F = Fraction


@pytest.mark.parametrize(
    ("text", "meter", "notes"),
    [
        ("x x x x", "4/4", "0+1 1+1 2+1 3+1"),
        ("x.x. xxx x--- ..x-", "4/4", "0+1/4 1/2+1/4 1+1/3 4/3+1/3 5/3+1/3 2+1 7/2+1/2"),
        ("x- -- -- --", "4/4", "0+4"),
        ("xxx xxx", "6/8", "0+1/2 1/2+1/2 1+1/2 3/2+1/2 2+1/2 5/2+1/2"),
        ("x xx x-x", "7/8", "0+1 1+1/2 3/2+1/2 2+1 3+1/2"),
        ("xxxxx .... x.. ..", "4/4", "0+1/5 1/5+1/5 2/5+1/5 3/5+1/5 4/5+1/5 2+1/3"),
        ("x|-", "1/4", "0+2"),
        ("x . | . x", "2/4", "0+1 3+1"),
    ],
)
def test_read(text: str, meter: str, notes: str) -> None:
    """A group is a beat divided by its characters; a note lasts its box and the holds after it, over barlines too."""
    found = [f"{note.onset}+{note.length}" for note in parse(text, meter, notation="boxes").notes]
    assert found == notes.split()


@pytest.mark.parametrize(
    ("line", "text"),
    [
        ("x- -x -- x-", "x- -x -- x-"),
        ("x--. .... ..x- ....", "x--. .. .x .."),
        ("x.x. xxx x--- ..x-", "x.x. xxx x- .x"),
        ("xxxxx x.xx x-- .", "xxxxx x.xx x- .."),
        ("X x X x | x . . X", "X x X x | x . . X"),
        ("....  .... .... ....", ". . . ."),
    ],
)
def test_the_canonical_text(line: str, text: str) -> None:
    """Printed, a beat has as few boxes as show every start and end, and barlines stand between bars."""
    assert str(parse(line, notation="boxes")) == text


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "x.x. q... x... x...",
            "unknown character 'q' in boxes; a box is x, X, - or ., spaces part beats (character 6 of",
        ),
        ("x.x. -... x... x...", "a hold '-' with no note before it to hold (character 6 of"),
        ("x.-. x... x... x...", "a hold '-' with no note before it to hold (character 3 of"),
        ("- x x x", "a hold '-' with no note before it to hold (character 1 of '- x x x')"),
        ("x x x", "bar 1 of 4/4 is 1 quarter too short in 'x x x'; fill it, change --meter, or use --pad"),
        ("x x x x x", "bar 2 of 4/4 is 3 quarters too short in 'x x x x x' (or the line 1 quarter too long)"),
        ("x x x | x x x x x", "bar 1 of 4/4 is 1 quarter too short (or 3 quarters too long) where its barline stands"),
        ("x x x x x | x x x", "bar 2 of 4/4 is 3 quarters too short (or 1 quarter too long) where its barline stands"),
        ("|", "bar 1 of 4/4 is 4 quarters too short"),
        ("x" * 961, "a beat of 961 boxes; at most 960 (character 1 of 'xxxx"),
    ],
    ids=[
        "unknown",
        "hold on",
        "hold after rest",
        "hold first",
        "short",
        "long",
        "early bar",
        "late bar",
        "no bar",
        "wide",
    ],
)
def test_what_is_wrong_and_where(text: str, said: str) -> None:
    """An error says what is wrong, at which character, and by how much a bar is short or long."""
    with pytest.raises(LineError, match=re.escape(said)):
        parse(text, notation="boxes")


def test_where_odd_bars_go_wrong_is_in_their_own_unit() -> None:
    """A 7/8 bar missing its last beat of three is three eighths short."""
    with pytest.raises(LineError, match="bar 1 of 7/8 is 3 eighths too short"):
        parse("x x", "7/8", notation="boxes")


@pytest.mark.parametrize(("text", "bars"), [("x", 1), ("x x x x x", 2), (". .", 1)])
def test_padding_fills_the_last_bar_with_rest(text: str, bars: int) -> None:
    """Padded, an unfinished last bar is filled with rest."""
    line = parse(text, notation="boxes", pad=True)
    assert line.span == 4 * bars
    assert parse(str(line)) == line


def test_padding_does_not_fill_an_inner_bar() -> None:
    """Padding fills the last bar only: a barline in the wrong place stays an error."""
    with pytest.raises(LineError, match="where its barline stands"):
        parse("x | x", notation="boxes", pad=True)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (Line((), Meters.of(Meter(4, 4)) + Meters.of(Meter(3, 4))), "a line whose meter changes cannot be typed as"),
        (Line((Note(F(0), F(1), graces=1),), Meters.of(Meter(4, 4))), "cannot carry the grace notes"),
        (Line((Note(F(0), F(1), sticking="R"),), Meters.of(Meter(4, 4))), "cannot carry the grace notes, stickings"),
        (Line((Note(F(0), F(1), mark=Mark.LONG),), Meters.of(Meter(4, 4))), "cannot carry .* or articulations"),
    ],
    ids=["meters", "graces", "sticking", "mark"],
)
@pytest.mark.parametrize("notation", ["boxes", "counts", "values"])
def test_what_no_notation_carries(line: Line, said: str, notation: str) -> None:
    """A line that a notation cannot carry is refused rather than printed without what it holds."""
    with pytest.raises(LineError, match=said):
        render(line, notation)


def test_beats_of_thousands_of_parts_are_refused() -> None:
    """A beat that would take more boxes than can be read back is refused with its place."""
    notes = tuple(Note(F(at), F(1, 1001)) for at in ("1/7", "1/11", "1/13"))
    with pytest.raises(LineError, match="bar 1, beat 1 would take 1001 boxes to show its notes; at most 960"):
        render(Line(notes, Meters.of(Meter(4, 4))))
