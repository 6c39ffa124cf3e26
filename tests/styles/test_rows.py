"""Rows of a style held to its bar."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.pattern import parse_rows
from kitgen.styles.rows import Grid, row_fault, rows_pattern
from kitgen.time import Meter

FOUR = Grid(Meter(4, 4), (2, 2, 2, 2))


@pytest.mark.parametrize(
    "rows",
    [
        "RH ride x. xx x. xx",
        "RH ride x. xx x. xx | xx xx xx xx",
        "RH ride x. xx x. xx |",
        "LH snare x. .. .. ..\nflam LH x. .. .. ..",
        "count 1 2 3 4\nRH ride xx xx xx xx",
        "LH snare x- -- -. ..\nlengths LH snare",
        "RH ride xx xx xx xx\n\nRH ride x. x. x. x.",
    ],
)
def test_whole_rows_are_right(rows: str) -> None:
    """Rows that fill their bars with the boxes there are have no fault, and are read as ever."""
    assert row_fault(rows, FOUR) is None
    assert rows_pattern(rows, FOUR) == (parse_rows(rows), Fraction(0))


@pytest.mark.parametrize(
    ("rows", "line", "words"),
    [
        ("RH ride x. xx x. xxx", 0, "beat 4: 'xxx' is 3 boxes; expected 2"),
        ("RH ride xx xx xx xx\nLH snare .. X. ..", 1, "row 'LH snare', bar 1: 3 beats"),
        ("RH ride xx xx xx xx | xx xx xx", 0, "bar 2: 3 beats; a bar of 4/4 has 4"),
        ("RH ride xx xx xx xx\n\nLH snare .. y. .. ..", 2, "bar 1, beat 2: unknown character 'y'"),
        ("meter 3/4\nRH ride xx xx xx", 0, "row 'meter 3/4'"),
    ],
)
def test_a_wrong_row_is_told_with_its_line(rows: str, line: int, words: str) -> None:
    """The first fault is told: which line, row, bar and beat, what is there and what is expected."""
    fault = row_fault(rows, FOUR)
    assert fault is not None
    assert fault.line == line
    assert words in fault.words


def test_short_rows_are_alike() -> None:
    """Rows of part of a bar are equally long, and are allowed where they are asked for only."""
    assert row_fault("RH snare xx xx", FOUR) is not None
    assert row_fault("RH snare xx xx\nLH snare ..", FOUR, short=True) is not None
    assert row_fault("RH snare xx xx\nLH high-tom .. ..", FOUR, short=True) is None


@given(groups=st.lists(st.sampled_from(("xx", "x.", ".x", "X.")), min_size=1, max_size=4))
def test_short_rows_lie_at_the_end(groups: list[str]) -> None:
    """Rows of some beats are the end of a whole bar, wherever they begin."""
    pattern, starts = rows_pattern(f"RH snare {' '.join(groups)}", FOUR, short=True)
    assert pattern.span == 4
    assert starts == 4 - len(groups)
    assert len(pattern.hits) == sum(char != "." for group in groups for char in group)
    assert pattern.hits[0].onset >= starts
