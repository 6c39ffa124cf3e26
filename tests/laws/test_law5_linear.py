"""Law 5: linear passing never puts two limbs at one instant, and projecting the result back gives the line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import pass_linear
from kitgen.kit import Limb
from kitgen.line import Line
from kitgen.pattern import Level, Pattern, project_line
from tests.strategies import fewer, lines, maps

orders = st.lists(st.sampled_from(Limb), min_size=1, max_size=5).map(tuple)
gaps = st.sampled_from(("left", "filled"))


def alone(pattern: Pattern) -> bool:
    """True if no two limbs strike at one instant."""
    return len(pattern.onsets) == len(pattern.hits)


@given(lines(), orders, gaps)
def test_never_two_limbs_at_one_instant(line: Line, order: tuple[Limb, ...], gaps: str) -> None:
    """Law 5: no two limbs strike at one instant, whatever the order and whether gaps are filled."""
    assert alone(pass_linear(line, order=order, gaps=gaps))


@given(lines(), orders, gaps)
def test_projected_back_it_is_the_line(line: Line, order: tuple[Limb, ...], gaps: str) -> None:
    """Law 5: the strokes above a tap, projected to a line, have the line's onsets, accents and meters."""
    back = project_line(pass_linear(line, order=order, gaps=gaps), softest=Level.NORMAL)
    assert back.onsets == line.onsets
    assert back.accents == line.accents
    assert back.meters == line.meters


@fewer
@given(lines(maps()), orders, gaps)
def test_holds_under_any_meters(line: Line, order: tuple[Limb, ...], gaps: str) -> None:
    """Law 5: changes of meter and short bars do not break it."""
    passed = pass_linear(line, order=order, gaps=gaps)
    assert alone(passed)
    assert project_line(passed, softest=Level.NORMAL).onsets == line.onsets


@fewer
@given(lines(), orders)
def test_limbs_come_in_order(line: Line, order: tuple[Limb, ...]) -> None:
    """Law 5: with gaps left, stroke n is played by limb n of the order, over and over."""
    passed = pass_linear(line, order=order)
    assert [hit.limb for hit in passed.hits] == [order[n % len(order)] for n in range(len(line.notes))]


@fewer
@given(lines(), orders)
def test_filled_gaps_make_one_stream(line: Line, order: tuple[Limb, ...]) -> None:
    """Law 5: filled gaps add only taps, every place of the line is kept, and limbs come in order through it all."""
    filled = pass_linear(line, order=order, gaps="filled")
    assert set(line.onsets) <= set(filled.onsets)
    assert {hit.level for hit in filled.hits if hit.onset not in line.onsets} <= {Level.TAP}
    assert [hit.limb for hit in filled.hits] == [order[n % len(order)] for n in range(len(filled.hits))]


@pytest.mark.parametrize(
    "order", ["RH LH RF", "rh,lh,rf", (Limb.RH, Limb.LH, Limb.RF)], ids=["words", "commas", "limbs"]
)
def test_an_order_is_words_or_limbs(order: str | tuple[Limb, ...]) -> None:
    """Law 5: an order given as text or as limbs is the same order, and a plain quarter line goes round it."""
    passed = pass_linear(Line.parse("1 2 3 4", notation="counts"), order=order)
    assert [hit.limb.name for hit in passed.hits] == ["RH", "LH", "RF", "RH"]
