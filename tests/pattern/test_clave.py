"""The clave as exact onsets, its sides, and how agreement with a side is counted."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import OptionError
from kitgen.pattern.clave import (
    KINDS,
    SIDES,
    Agreement,
    agreement,
    bell,
    clave,
    clave_cycle,
    clave_span,
    side_of,
    swapped,
)
from kitgen.time import Meter, Meters
from tests.strategies import any_meters, maps

F = Fraction
FOUR, CUT, SIX = Meter(4, 4), Meter(2, 2), Meter(6, 8)
CLAVE_METERS = st.sampled_from((FOUR, CUT, Meter(2, 4), SIX, Meter(12, 8)))
kinds, sides = st.sampled_from(KINDS), st.sampled_from(SIDES)


def cycles(meter: Meter, times: int = 1) -> Meters:
    """So many claves of a meter."""
    span = clave_span(meter)
    assert span is not None
    return Meters(((meter, span * times),))


def onsets_of(boxes: str, span: int) -> list[Fraction]:
    """Where x stands in boxes that fill a span."""
    plain = "".join(char for char in boxes if char in "x.")
    return [F(span * index, len(plain)) for index, char in enumerate(plain) if char == "x"]


@pytest.mark.parametrize(
    ("kind", "side", "meter", "boxes"),
    [
        ("son", "3-2", FOUR, "x..x..x. ..x.x..."),
        ("son", "2-3", CUT, "..x.x... x..x..x."),
        ("rumba", "3-2", CUT, "x..x...x ..x.x..."),
        ("rumba", "2-3", FOUR, "..x.x... x..x...x"),
        ("son", "3-2", SIX, "x.x.x. .x.x.."),
        ("rumba", "2-3", SIX, ".x.x.. x.x..x"),
    ],
)
def test_claves_in_bars(kind: str, side: str, meter: Meter, boxes: str) -> None:
    """Two bars of 4/4 or cut time are sixteen eighths, of 6/8 twelve."""
    assert list(clave(kind, side, meter)) == onsets_of(boxes, 6 if meter == SIX else 8)


@given(kinds, CLAVE_METERS)
def test_swapping_the_side_swaps_the_halves(kind: str, meter: Meter) -> None:
    """Each side is the other, half a clave later, and swapping twice is nothing."""
    span = clave_span(meter)
    assert span is not None
    for side in SIDES:
        turned = sorted((at + span / 2) % span for at in clave(kind, side, meter))
        assert turned == list(clave(kind, swapped(side), meter))
        assert swapped(swapped(side)) == side
    three = [at for at in clave(kind, "3-2", meter) if at < span / 2]
    assert len(three) == 3


@given(kinds, sides, CLAVE_METERS, st.integers(1, 3))
def test_a_clave_agrees_with_itself(kind: str, side: str, meter: Meter, times: int) -> None:
    """All strokes of a clave lie on its side, so that is its side, also several times over."""
    over = cycles(meter, times)
    strokes = [at + cycles(meter).span * turn for turn in range(times) for at in clave(kind, side, meter)]
    counts = agreement(strokes, over, kind=kind)
    assert counts is not None
    assert counts.on(side) == 5 * times
    assert side_of(strokes, over, kind=kind) == side


@given(CLAVE_METERS, st.lists(st.integers(0, 15), max_size=12), kinds)
def test_turned_by_half_the_counts_change_places(meter: Meter, places: list[int], kind: str) -> None:
    """A rhythm half a clave later agrees with the other side as much as it did with the first."""
    over = cycles(meter)
    strokes = [F(place) * over.span / (12 if meter.denominator == 8 else 16) % over.span for place in places]
    later = [(at + over.span / 2) % over.span for at in strokes]
    first, second = agreement(strokes, over, kind=kind), agreement(later, over, kind=kind)
    assert first is not None
    assert second == Agreement(first.two_three, first.three_two)
    side, turned = side_of(strokes, over, kind=kind), side_of(later, over, kind=kind)
    assert (turned == swapped(side)) if side != "either" else (turned == "either")


@given(CLAVE_METERS, st.lists(st.integers(0, 15), max_size=12), kinds, st.integers(2, 4))
def test_several_times_through_the_side_is_the_same(meter: Meter, places: list[int], kind: str, times: int) -> None:
    """A rhythm repeated keeps its side, its accents too; the counts are as many times as large."""
    over = cycles(meter)
    strokes = [F(place) * over.span / (12 if meter.denominator == 8 else 16) % over.span for place in places]
    again = [at + over.span * turn for turn in range(times) for at in strokes]
    accents = [at for at in again if at % over.span in strokes[:2]]
    assert side_of(again, over * times, kind=kind, accents=accents) == side_of(
        strokes, over, kind=kind, accents=strokes[:2]
    )
    once, more = agreement(strokes, over, kind=kind), agreement(again, over * times, kind=kind)
    assert once is not None
    assert more == Agreement(once.three_two * times, once.two_three * times)


def test_a_line_that_turns_has_no_side() -> None:
    """Four bars whose first two go with 3-2 and whose last two go with 2-3 have no side, whatever the sum."""
    four = Meters.of(FOUR, 4)
    turning = [*clave("son", "3-2"), *(at + 8 for at in clave("son", "2-3")[:3])]
    assert side_of(turning, four) == "either"
    assert side_of([*clave("son", "3-2"), F(8), F(9)], four) == "3-2"


@given(CLAVE_METERS, st.lists(st.integers(0, 7), max_size=8))
def test_what_repeats_every_bar_has_no_side(meter: Meter, places: list[int]) -> None:
    """A rhythm whose halves are alike goes with either side, whatever is accented."""
    over = cycles(meter)
    half = over.span / 2
    strokes = [F(place) * half / 8 + start for place in places for start in (F(0), half)]
    assert side_of(strokes, over) == "either"
    assert side_of(strokes, over, accents=strokes) == "either"


def test_two_strokes_more_decide() -> None:
    """Two more on one side decide, one more does not."""
    two = Meters.of(FOUR, 2)
    assert Agreement(3, 1).side == "3-2"
    assert Agreement(1, 3).side == "2-3"
    assert Agreement(2, 1).side == "either"
    son = clave("son")
    assert side_of(son[:1], two) == "either"  # the first stroke alone: one against none
    assert side_of(son[1:3], two) == "3-2"


def test_the_and_of_2_decides_ties_only() -> None:
    """Where counts tie an accented or lone "& of 2" marks its half; both halves, or a count that decides, leave it."""
    two = Meters.of(FOUR, 2)
    lone = onsets_of("...x.... x.......", 8)
    assert agreement(lone, two) == Agreement(1, 1)
    assert side_of(lone, two) == "3-2"
    assert side_of([(at + 4) % 8 for at in lone], two) == "2-3"
    crowded = onsets_of("..xx.... x.......", 8)  # one stroke on 3-2, two on 2-3
    assert side_of(crowded, two) == "either"
    even = onsets_of("..xxx... x..x....", 8)
    assert agreement(even, two) == Agreement(1, 4)
    assert side_of(even, two, accents=[F(3, 2)]) == "2-3"
    crowd = onsets_of(".xxx..x. .xxx....", 8)
    counts = agreement(crowd, two)
    assert counts == Agreement(3, 2)
    tied = onsets_of(".xxx.... .xxx....", 8)
    assert side_of(tied, two) == "either"
    assert side_of(tied, two, accents=[F(11, 2)]) == "2-3"
    tumbao = onsets_of("...x..x. ...x..x.", 8)
    assert side_of(tumbao, two) == "either"


@given(any_meters)
def test_meters_without_a_clave(meter: Meter) -> None:
    """Other meters have none: no span, no counts, no side, and asking for its strokes says which have."""
    if clave_span(meter) is not None:
        assert len(clave("son", "3-2", meter)) == 5
        return
    over = Meters.of(meter, 2)
    assert agreement([F(0)], over) is None
    assert side_of([F(0)], over) == "either"
    with pytest.raises(OptionError, match="4/4, 2/2, 2/4, 6/8 and 12/8 have"):
        clave("son", "3-2", meter)


@given(maps())
def test_the_clave_has_to_come_round(meters: Meters) -> None:
    """A map that is no whole number of claves, or changes its clave, has none."""
    cycle = clave_cycle(meters)
    spans = {clave_span(meter) for meter, _ in meters.runs}
    if cycle is None:
        assert len(spans) > 1 or None in spans or all(span is not None and meters.span % span for span in spans)
    else:
        assert spans == {cycle}
        assert meters.span % cycle == 0


def test_the_bell() -> None:
    """Seven strokes in twelve; all of the rumba clave's lie on it, on either side; other meters are refused."""
    for side in SIDES:
        assert set(clave("rumba", side, SIX)) <= set(bell(side))
    assert len(bell()) == 7
    with pytest.raises(OptionError, match="6/8 or 12/8, not 4/4"):
        bell("3-2", FOUR)


def test_names_that_do_not_exist() -> None:
    """A clave or side that is none is refused with those there are."""
    with pytest.raises(OptionError, match="one of son, rumba"):
        clave("bossa")
    with pytest.raises(OptionError, match="one of 3-2, 2-3"):
        clave("son", "4-1")
    with pytest.raises(OptionError, match="one of 3-2, 2-3"):
        swapped("either")


def test_the_mambo_bell_goes_with_both() -> None:
    """The mambo bell lies as much on one side of the son clave as on the other (common practice)."""
    mambo = onsets_of("x.x.xxxx .xxxx.xx", 8)
    counts = agreement(mambo, Meters.of(CUT, 2))
    assert counts is not None
    assert abs(counts.three_two - counts.two_three) < 2
