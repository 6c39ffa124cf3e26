"""Telling the notations apart, and what they share."""

import pytest

from kitgen.errors import LineError, UnknownNameError
from kitgen.line import NOTATIONS, Line, counted_not_valued, notation_of, parse, render
from kitgen.time import Meter


@pytest.mark.parametrize(
    ("text", "meter", "notation"),
    [
        ("x.x. xxx x--- ..x-", "4/4", "boxes"),
        (". . . .", "4/4", "boxes"),
        ("X | x", "1/4", "boxes"),
        ("1 & 2", "4/4", "counts"),
        ("1 + 2", "4/4", "counts"),
        ("1 trip let", "4/4", "counts"),
        ("1 la li", "6/8", "counts"),
        ("(1) 2", "4/4", "counts"),
        ("& a", "4/4", "counts"),
        ("1 2 3 4", "4/4", "counts"),
        ("1 2! 3 4", "4/4", "counts"),
        ("1 2 3 4 | 1 2 3 4", "4/4", "counts"),
        ("1", "3/4", "counts"),
        ("1", "4/4", "values"),
        ("4 4 4 4", "4/4", "values"),
        ("4! 4 2", "4/4", "values"),
        ("1 | 2 2", "4/4", "values"),
        ("4 4r 2", "4/4", "values"),
        ("[4 4] 2", "4/4", "values"),
        ("4. 8 2", "4/4", "values"),
        ("4. 4.", "6/8", "values"),
    ],
)
def test_told_apart_by_what_is_in_it(text: str, meter: str, notation: str) -> None:
    """A typed line is told by what is in it; bare numbers are note values if they fill whole bars, else counts."""
    assert notation_of(text, Meter.parse(meter)) == notation


def test_twelve_bars_of_quarters_are_counts() -> None:
    """Barlines keep long rows of counts from adding up to whole bars of note values by chance."""
    line = Line.parse("1 2 3 4", notation="counts") * 12
    text = render(line, "counts")
    assert notation_of(text, Meter(4, 4)) == "counts"
    assert parse(text) == line


@pytest.mark.parametrize("text", ["", "  ", "\n\t"])
@pytest.mark.parametrize("notation", [None, *NOTATIONS])
def test_an_empty_line(text: str, notation: str | None) -> None:
    """An empty line is refused with an example of each notation."""
    with pytest.raises(
        LineError, match=r'the line is empty; type one like "x.x. xxx x--- ..x-", "1 & 2 e & a 3 4" or "4 8'
    ):
        parse(text, notation=notation)


@pytest.mark.parametrize(
    ("given", "near"), [("box", "boxes"), ("count", "counts"), ("value", "values"), ("valeus", "values")]
)
def test_an_unknown_notation(given: str, near: str) -> None:
    """A notation that does not exist is refused with the nearest that does, in reading and in printing."""
    with pytest.raises(UnknownNameError, match=f"no notation is called '{given}'; did you mean {near}"):
        parse("x x x x", notation=given)
    with pytest.raises(UnknownNameError, match=f"no notation is called '{given}'; did you mean {near}"):
        render(Line.parse("x x x x"), given)


def test_nothing_near_lists_all() -> None:
    """Where nothing is near, all names are listed."""
    with pytest.raises(UnknownNameError, match="no notation is called 'zzz'; there are: boxes, counts, values"):
        parse("x x x x", notation="zzz")


def test_the_meter_is_a_value_or_text() -> None:
    """A meter may be given as text."""
    assert Line.parse("xxx xxx", "6/8") == Line.parse("xxx xxx", Meter(6, 8))


def test_one_line_in_three_notations() -> None:
    """One line typed in each notation is one line."""
    assert parse("x- xx .x x-") == parse("1 2 & (3) & 4") == parse("4 8 8 8r 8 4")


def test_bare_numbers_that_are_neither() -> None:
    """Bare numbers that cannot be counts are refused with what they lack as note values too."""
    said = (
        r"count 8 in 4/4, .*; as note values: bar 1 of 4/4 is 1 quarter too short in '4 8 8 4'.*\(--notation values\)"
    )
    with pytest.raises(LineError, match=said):
        parse("4 8 8 4")
    with pytest.raises(LineError, match=r"count 8 in 4/4, [^;]*; change --meter, or start the next bar with \|[^;]*$"):
        parse("4 8 8 4", notation="counts")


@pytest.mark.parametrize(
    ("text", "notation", "remarked"),
    [
        ("4 2 2 4", None, True),
        ("2 2 4", None, True),
        ("1 2 3 4", None, False),
        ("4 2 2 4", "counts", False),
        ("2 & 4", None, False),
        ("4 4 2", None, False),
        ("x x x x", None, False),
    ],
)
def test_a_remark_where_counts_look_like_values(text: str, notation: str | None, remarked: bool) -> None:  # noqa: FBT001
    """Bare numbers read as counts that look like note values are remarked on, unless the notation was said."""
    remarks = counted_not_valued(text, "4/4", notation)
    assert bool(remarks) is remarked
    assert all(f"'{text}' was read as counts (beats struck); as note values: bar " in remark for remark in remarks)
