"""The rhythm load: what a beat and its neighbours cost, and what a rest does not."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.line import Line, measures
from kitgen.pattern.load_rhythm import heaviest, rhythm_load, unlike_next
from kitgen.time import Meter, Meters
from tests.strategies import fewer, lines, whole_maps

BAR = Meters.of(Meter(4, 4))


def load(boxes: str, meter: str = "4/4") -> tuple[float, float]:
    """Clock and unlike beats of a line of boxes, rounded."""
    found = rhythm_load(Line.parse(boxes, meter, notation="boxes"))
    return found.clock, round(found.unlike, 2)


@pytest.mark.parametrize(
    ("boxes", "expected"),
    [
        ("x x x x", (0, 0)),
        ("xx xx xx xx", (0, 0)),
        ("xxx xxx xxx xxx", (0, 0)),
        ("xxxxx xxxxx xxxxx xxxxx", (0, 0)),
        (".x .x .x .x", (16, 0)),
        ("x. .x x. .x", (8, round(4 * 2 * 2 / 3, 2))),
        ("x. .x .. x.", (8, round(14 / 3, 2))),
        ("x... .x.. ..x. ...x", (12, 8)),
    ],
)
def test_what_speaks_against_the_beat(boxes: str, expected: tuple[float, float]) -> None:
    """A silent number costs 4, a struck one without accent 1; unlike beats their mean distance, worked out by hand."""
    assert load(boxes) == expected


def test_an_unaccented_number_costs_one() -> None:
    """In a run of five from the & of 1 the number 2 is neither first nor last, so it is heard unaccented."""
    assert load("..xx xxx. x... x...")[0] == 4 + 1


def test_a_rest_is_no_load() -> None:
    """Bars of rest after a stroke on a number speak against nothing; a stroke held over a number does."""
    four, held = (Line.parse(text, notation="boxes") for text in ("x x x x", "x x x .x"))
    rest = Line((), BAR * 4)
    assert rhythm_load(four + rest).clock == 0
    assert rhythm_load(held + rest).clock == 8
    assert rhythm_load(rest).total == 0
    assert rhythm_load(Line((), Meters())).total == 0


def test_as_hard_as_its_hardest_bar() -> None:
    """Easy bars before a hard one make it no easier."""
    easy, hard = (Line.parse(text, notation="boxes") for text in ("x. x. x. x.", "x.xx .xx. .x.x x..."))
    assert rhythm_load(easy * 4 + hard).clock >= rhythm_load(hard).clock > 0


@given(st.lists(st.integers(1, 15), min_size=4, max_size=4))
def test_the_clock_of_busy_bars_is_the_published_score(cells: list[int]) -> None:
    """Where every beat is struck the clock is the score of a clock of four from the first (Povel and Essens 1985)."""
    struck = [4 * beat + slot for beat, cell in enumerate(cells) for slot in range(4) if cell >> slot & 1]
    line = Line.of_onsets([Fraction(slot, 4) for slot in struck], BAR)
    found = rhythm_load(line)
    assert found.clock == measures.clock_score(struck, 16, 4, place=0)
    apart = sum((one ^ other).bit_count() for one in cells for other in cells)
    assert found.unlike == pytest.approx(apart / 3)


@fewer
@given(lines(whole_maps(max_bars=2)), st.integers(2, 3))
def test_repeating_changes_nothing(line: Line, times: int) -> None:
    """A line played so many times is the load it was; accents and lengths are no part of it."""
    assert rhythm_load(line * times) == rhythm_load(line)
    assert rhythm_load(Line.of_onsets(line.onsets, line.meters)) == rhythm_load(line)
    assert min(rhythm_load(line)) >= 0


@given(st.lists(st.frozensets(st.integers(0, 3)), min_size=1, max_size=12))
def test_unlike_next_by_the_plain_rule(cells: list[frozenset[int]]) -> None:
    """The mean of three differences, round and round, is what it is said to be."""
    size = len(cells)
    plain = [
        sum(len(cell ^ cells[(beat + later) % size]) for later in (1, 2, 3)) / 3 for beat, cell in enumerate(cells)
    ]
    assert unlike_next(cells) == plain


@given(st.lists(st.integers(0, 9), min_size=1, max_size=12))
def test_heaviest_is_the_most_of_four_in_a_row(costs: list[int]) -> None:
    """No four in a row sum to more, and the beat named starts four that sum to it."""
    most, start = heaviest([float(cost) for cost in costs])
    sums = [sum(costs[(first + later) % len(costs)] for later in range(4)) for first in range(len(costs))]
    assert most == max(sums) == sums[start]
