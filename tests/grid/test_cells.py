"""Cells: every one of a kind once, in order, in any meter whose beats they fit, and what they are called."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import KitgenError, OptionError, UnknownNameError
from kitgen.grid.cells import KINDS, Cell, cells_of, parts_of, said
from kitgen.line import cells as lines_of_cells
from kitgen.time import Meter
from tests.strategies import any_meters

FOUR = Meter(4, 4)


@given(st.sampled_from(KINDS), any_meters, st.sampled_from((1, 2)))
def test_every_cell_comes_once(kind: str, meter: Meter, span: int) -> None:
    """All ways to strike the places of a beat, or of two that differ, none twice, the even first; or why not."""
    try:
        found = cells_of(kind, meter, span=span)
    except OptionError:
        return
    parts = parts_of(kind, meter)
    assert len(found) == len(set(found)) == 2 ** (parts * span) - (1 if span == 1 else 2**parts)
    assert all((cell.parts, cell.span) == (parts, span) for cell in found)
    assert len(meter.beats) % span == 0
    even = [cell.is_even(meter) for cell in found]
    assert even == sorted(even, reverse=True)
    assert found[0].is_number
    if span == 1:
        assert found[sum(even) - 1] == Cell(("x" * parts,))
        begins = [cell.starts_on_number for cell in found]
        assert begins == sorted(begins, reverse=True)
    else:
        strokes = [len(cell.places) for cell in found]
        assert strokes == sorted(strokes)


@pytest.mark.parametrize(("kind", "parts"), [("8ths", 2), ("triplets", 3), ("16ths", 4), ("quintuplets", 5)])
def test_cells_of_a_quarter_are_those_of_lines(kind: str, parts: int) -> None:
    """The cells a grid goes through are those that lines of one beat can be."""
    assert sorted(cell.places for cell in cells_of(kind, FOUR)) == sorted(line.onsets for line in lines_of_cells(parts))


@pytest.mark.parametrize(
    ("kind", "meter", "order"),
    [
        ("8ths", "4/4", "1|1 &|&"),
        ("triplets", "4/4", "1|1 trip let|1 let|1 trip|trip let|let|trip"),
        ("8ths", "6/8", "1|1 la li|1 li|1 la|la li|li|la"),
    ],
)
def test_the_traditional_order(kind: str, meter: str, order: str) -> None:
    """The number, the half, the full beat; what begins on the number; what begins off it (common practice)."""
    where = Meter.parse(meter)
    assert [said(cell, where) for cell in cells_of(kind, where)] == order.split("|")


@pytest.mark.parametrize(
    ("kind", "meter", "even"),
    [
        ("sextuplets", "4/4", ["x.....", "x..x..", "x.x.x.", "xxxxxx"]),
        ("quintuplets", "4/4", ["x....", "xxxxx"]),
        ("16ths", "6/8", ["x.....", "x.x.x.", "xxxxxx"]),
    ],
)
def test_even_cells(kind: str, meter: str, even: list[str]) -> None:
    """What divides the beat evenly comes first, from few to many; a beat of threes is not halved."""
    where = Meter.parse(meter)
    assert [str(cell) for cell in cells_of(kind, where) if cell.is_even(where)] == even
    assert [str(cell) for cell in cells_of(kind, where)][: len(even)] == even


@pytest.mark.parametrize(
    ("meter", "kind", "parts"),
    [("4/4", "8ths", 2), ("2/2", "8ths", 4), ("6/8", "8ths", 3), ("12/8", "16ths", 6), ("5/4", "triplets", 3)],
)
def test_a_kind_is_a_note_value(meter: str, kind: str, parts: int) -> None:
    """Eighths and sixteenths stay what they are; the beat holds as many of them as it is long."""
    assert parts_of(kind, Meter.parse(meter)) == parts


@pytest.mark.parametrize(
    ("kind", "meter", "span", "words"),
    [
        ("16ths", "2/2", 1, "16ths do not fit: a beat of 2/2 lasts 8 of them, and a cell has 2 to 6; use --cells 8ths"),
        ("triplets", "6/8", 1, "a beat of 6/8 is in threes already and holds no triplets; use --cells 8ths or 16ths"),
        ("8ths", "7/8", 1, "the beats of 7/8 are not of one length"),
        ("8ths", "3/8", 1, "cells of 1 beat need bars of two beats or more; 3/8 has 1"),
        ("8ths", "3/4", 2, "cells of 2 beats need bars of an even number of beats; 3/4 has 3"),
        ("sextuplets", "4/4", 2, "there are 4032 cells of 2 beats in sextuplets in 4/4, more than 255"),
        ("16ths", "4/4", 3, "--span 3; a cell spans 1 beat or 2"),
    ],
)
def test_a_cell_that_does_not_fit(kind: str, meter: str, span: int, words: str) -> None:
    """The error says what the meter holds instead."""
    with pytest.raises(OptionError) as caught:
        cells_of(kind, Meter.parse(meter), span=span)
    assert words in str(caught.value)


def test_a_kind_there_is_not() -> None:
    """The nearest name is given."""
    with pytest.raises(UnknownNameError, match="did you mean triplets"):
        cells_of("triplet", FOUR)


@pytest.mark.parametrize("beats", [(), ("....",), ("x..", "x."), ("xo",), ("",)])
def test_what_is_no_cell(beats: tuple[str, ...]) -> None:
    """A cell is boxes of one length with a stroke among them."""
    with pytest.raises(KitgenError, match="a cell is boxes"):
        Cell(beats)


def of_parts(parts: int) -> st.SearchStrategy[tuple[str, ...]]:
    """Boxes of one beat or two."""
    beat = st.text("x.", min_size=parts, max_size=parts)
    return st.lists(beat, min_size=1, max_size=2).map(tuple)


drawn_cells = st.integers(1, 6).flatmap(of_parts).filter(lambda beats: "x" in "".join(beats)).map(Cell)


@given(drawn_cells)
def test_what_a_cell_leaves_and_what_two_limbs_share(cell: Cell) -> None:
    """A cell and its complement fill every place and never meet; strokes dealt to two are the cell."""
    every = {Fraction(slot, cell.parts) for slot in range(cell.parts * cell.span)}
    rest = cell.complement()
    left = set(rest.places) if rest is not None else set()
    assert left | set(cell.places) == every
    assert not left & set(cell.places)
    dealt = [part.places for part in (cell.dealt(0), cell.dealt(1)) if part is not None]
    assert sorted(place for places in dealt for place in places) == list(cell.places)
    assert abs(len(dealt[0]) - (len(dealt[1]) if len(dealt) > 1 else 0)) <= 1


@pytest.mark.parametrize(
    ("beats", "meter", "words"),
    [
        (("xxxx",), "4/4", "1 e & a"),
        (("..xx",), "4/4", "& a"),
        ((".x.",), "4/4", "trip"),
        (("x.x",), "6/8", "1 li"),
        (("x....x",), "6/8", "x....x"),
        (("x.x.x",), "4/4", "x.x.x"),
        ((".x", ".x"), "4/4", "(1) & (2) &"),
        (("x..", ".x."), "4/4", "1 (2) trip"),
    ],
)
def test_a_cell_is_called_by_its_counts(beats: tuple[str, ...], meter: str, words: str) -> None:
    """Counts where every place has one, else boxes; the silent number of a second beat in parentheses."""
    assert said(Cell(beats), Meter.parse(meter)) == words


@pytest.mark.parametrize(
    ("beats", "meter", "words"),
    [("x.x.x.", "4/4", "triplets"), ("x..x..", "4/4", "8ths"), ("x.....", "4/4", "quarters"), ("xx....", "4/4", "")],
)
def test_a_sextuplet_that_is_something_plainer(beats: str, meter: str, words: str) -> None:
    """A sextuplet cell that triplets or eighths can write is told so."""
    assert Cell((beats,)).plain(Meter.parse(meter)) == words
    assert Cell((beats,)).plain(Meter(6, 8)) == ""
