"""Lines made by rule."""

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import LineError
from kitgen.line import cells, evenly, rests
from kitgen.time import Meter
from tests.strategies import any_meters, fewer


@fewer
@given(st.integers(1, 24), st.integers(0, 23), any_meters, st.integers(1, 3), st.integers(-30, 30))
def test_evenly_spread(slots: int, fewer: int, meter: Meter, bars: int, turn: int) -> None:
    """Spread strokes are as many as asked for, gaps round the bar differ by one slot at most, and turning rotates."""
    onsets = max(1, slots - fewer)
    line = evenly(onsets, slots, meter=meter, bars=bars, turn=turn)
    assert len(line.notes) == onsets
    assert line.span == meter.span * bars
    places = [onset * slots / line.span for onset in line.onsets]
    gaps = {
        (following - place) % slots or slots for place, following in zip(places, places[1:] + places[:1], strict=True)
    }
    assert max(gaps) - min(gaps) <= 1
    unturned = {
        (onset * slots / line.span - turn) % slots for onset in evenly(onsets, slots, meter=meter, bars=bars).onsets
    }
    assert set(places) == unturned


@pytest.mark.parametrize(("onsets", "slots"), [(0, 8), (9, 8), (-1, 4)])
def test_too_many_or_too_few_strokes(onsets: int, slots: int) -> None:
    """More strokes than slots, or none, are refused."""
    with pytest.raises(LineError, match=f"cannot spread {onsets} strokes over {slots} slots; 1 to {slots} fit"):
        evenly(onsets, slots)


@pytest.mark.parametrize("parts", range(1, 7))
def test_cells_are_every_way_to_strike_a_beat(parts: int) -> None:
    """There are as many cells as ways to strike some of a beat's parts, all different, few strokes first."""
    made = cells(parts)
    assert len(set(made)) == len(made) == 2**parts - 1
    assert {cell.onsets for cell in made} == {
        tuple(
            place
            for place, struck in zip(evenly(parts, parts, meter=Meter(1, 4)).onsets, choice, strict=True)
            if struck
        )
        for choice in product((0, 1), repeat=parts)
        if any(choice)
    }
    assert [len(cell.notes) for cell in made] == sorted(len(cell.notes) for cell in made)


def test_cells_of_three() -> None:
    """The seven triplet cells come with early strokes first."""
    assert [str(cell) for cell in cells(3)] == ["x", ".x-", "..x", "xx-", "x-x", ".xx", "xxx"]


@pytest.mark.parametrize("parts", [0, 10, -1])
def test_cells_of_no_beat(parts: int) -> None:
    """A beat is divided in one to nine."""
    with pytest.raises(LineError, match=f"no cells of {parts} parts; a beat is divided in 1 to 9"):
        cells(parts)


def test_rests() -> None:
    """A rest of so many bars is a line of nothing."""
    assert rests(Meter(3, 4), 2).rests == ((Fraction(0), Fraction(6)),)
    with pytest.raises(LineError, match="a rest of 0 bars cannot be counted; 1 or more"):
        rests(bars=0)
