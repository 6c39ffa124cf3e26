"""Tours: every change there is, once where that can be, and never more slots than it takes."""

from collections import Counter, deque
from collections.abc import Sequence
from itertools import groupby, product
from random import Random
from statistics import mean

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kitgen.errors import OptionError
from kitgen.grid.tour_choice import load_of_change
from kitgen.grid.tours import Run, Tour, full_tour, ruled_tour, tour_in_doubles, tour_without_triples
from kitgen.grid.walks import closed_walk
from tests.strategies import fewer

SEEDS = st.integers(0, 2**32)
PULSES = st.lists(st.booleans(), min_size=1, max_size=16)
SIZES = st.sampled_from([(1, 1), (2, 1), (3, 1), (4, 1), (1, 8), (2, 8), (1, 16), (3, 4), (2, 3)])
Changes = set[tuple[int, int, int]]


def runs_of(sets: Sequence[int], limb: int) -> Counter[int]:
    """How many runs of strokes of each length a limb plays, round into the repeat."""
    struck = [mask >> limb & 1 for mask in sets]
    turn = struck.index(0)
    groups = groupby(struck[turn:] + struck[:turn])
    return Counter(len(list(run)) for stroke, run in groups if stroke)


# ---- every change once -----------------------------------------------------------------------------------------------


@fewer
@given(SIZES, SEEDS, PULSES)
def test_a_full_tour_meets_every_change_exactly_once(size: tuple[int, int], seed: int, pulse: list[bool]) -> None:
    """Whatever tours, over however many places, the changes of the closed walk are all there are, each once."""
    limbs, places = size
    tour = full_tour(limbs, places=places, seed=seed, pulse=pulse)
    every = list(product(range(places), range(1 << limbs), range(1 << limbs)))
    assert sorted(tour.changes) == every
    assert tour.met == tour.required == tour.bound == len(tour.sets) == places * 4**limbs


@fewer
@given(SIZES, SEEDS)
def test_a_tour_begins_with_the_tour_of_fewer_limbs(size: tuple[int, int], seed: int) -> None:
    """The first slots of a tour are the tour of all its limbs but the last, so that pages build on each other."""
    limbs, places = size
    assume(limbs > (2 if places == 1 else 1))
    before = full_tour(limbs - 1, places=places, seed=seed).sets
    assert full_tour(limbs, places=places, seed=seed).sets[: len(before)] == before


def test_how_long_tours_are() -> None:
    """Two, three and four limbs: 16, 64 and 256 slots; over an ostinato one free limb 4 turns of it, two 16."""
    assert [len(full_tour(limbs).sets) for limbs in (2, 3, 4)] == [16, 64, 256]
    for places in (4, 8, 16):
        assert [len(full_tour(limbs, places=places).sets) / places for limbs in (1, 2)] == [4, 16]


def test_the_seed_chooses() -> None:
    """A seed gives one tour, and different seeds many."""
    assert full_tour(4, seed=3) == full_tour(4, seed=3)
    assert len({full_tour(4, seed=seed).sets for seed in range(20)}) == 20


# ---- rules -----------------------------------------------------------------------------------------------------------


def shortest_by_search(allowed: Changes, starts: int) -> int | None:
    """Length of the shortest closed walk from a set over every change allowed, by looking at all; None if none is."""
    number = {change: bit for bit, change in enumerate(sorted(allowed))}
    everything = (1 << len(allowed)) - 1
    seen, waiting = {(starts, 0)}, deque([(starts, 0, 0)])
    while waiting:
        here, met, length = waiting.popleft()
        if here == starts and met == everything:
            return length
        for (_, one, other), bit in number.items():
            state = other, met | 1 << bit
            if one == here and state not in seen:
                seen.add(state)
                waiting.append((*state, length + 1))
    return None


@given(st.sets(st.tuples(st.just(0), st.integers(0, 3), st.integers(0, 3)), min_size=1, max_size=9), SEEDS)
def test_under_any_rule_no_walk_is_shorter(allowed: Changes, seed: int) -> None:
    """Two limbs under any rule: as long as the shortest walk among all walks there are, or refused where none is."""
    fewest = shortest_by_search(allowed, min(allowed)[1])
    try:
        tour = ruled_tour(2, lambda *change: change in allowed, seed=seed)
    except OptionError:
        assert fewest is None
        return
    assert len(tour.sets) == tour.bound == fewest
    assert set(tour.changes) == allowed
    assert tour.required == len(allowed)


@st.composite
def rules(draw: st.DrawFn) -> tuple[int, int, Changes]:
    """Limbs, places and the changes that are left when some are taken away."""
    limbs, places = draw(st.sampled_from([(2, 1), (3, 1), (4, 1), (2, 4), (1, 8), (3, 2)]))
    every = list(product(range(places), range(1 << limbs), range(1 << limbs)))
    gone = draw(st.sets(st.sampled_from(every), max_size=len(every) // 4))
    return limbs, places, set(every) - gone


@fewer
@given(rules(), SEEDS, st.integers(1, 20))
def test_under_rules_everything_allowed_and_nothing_else(ruled: tuple[int, int, Changes], seed: int, bars: int) -> None:
    """Every change allowed is met, none that is not; the walk is no longer than its bound but to fill whole bars."""
    limbs, places, allowed = ruled
    whole = bars * places
    try:
        tour = ruled_tour(limbs, lambda *change: change in allowed, places=places, seed=seed, whole=whole)
    except OptionError:
        return
    assert set(tour.changes) == allowed
    assert len(tour.sets) % whole == 0
    exact = ruled_tour(limbs, lambda *change: change in allowed, places=places, seed=seed)
    assert len(exact.sets) == exact.bound == tour.bound >= len(allowed)
    assert tour.sets[: len(exact.sets)] == exact.sets


@pytest.mark.parametrize(("limbs", "slots"), [(2, 9), (3, 49), (4, 225)])
def test_no_silent_slot(limbs: int, slots: int) -> None:
    """Without silence there are 3, 7 or 15 sets and so 9, 49 or 225 changes, each once."""
    tour = ruled_tour(limbs, lambda _place, here, there: bool(here and there))
    assert all(tour.sets)
    assert tour.met == len(tour.sets) == slots


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        (lambda _place, here, there: here < there, "lead where no way leads back"),
        (lambda _place, here, there: here == there, "cannot be reached from the others"),
        (lambda _place, _here, _there: False, "leave no change"),
    ],
)
def test_rules_that_no_walk_can_keep(rule: object, message: str) -> None:
    """Rules under which changes cannot be met in one exercise are refused in words."""
    with pytest.raises(OptionError, match=message):
        ruled_tour(3, rule)  # type: ignore[arg-type]  # lambdas of the table above


@pytest.mark.parametrize("limbs", [0, 5])
def test_limbs_that_nobody_has(limbs: int) -> None:
    """One to four limbs tour."""
    for make in (full_tour, tour_in_doubles, tour_without_triples):
        with pytest.raises(OptionError, match="1 to 4 can tour"):
            make(limbs)


# ---- how often in a row ----------------------------------------------------------------------------------------------


@fewer
@given(st.lists(st.sampled_from(Run), min_size=1, max_size=4), SEEDS)
def test_limits_to_runs_leave_the_bound(runs: list[Run], seed: int) -> None:
    """However often each limb may strike in a row: every change that leaves, once; a limb held to two plays in twos."""
    tour = ruled_tour(len(runs), runs=runs, seed=seed)
    allowed = {
        (0, here, there)
        for here, there in product(range(1 << len(runs)), repeat=2)
        if not any(run is Run.ONCE and here & there & 1 << limb for limb, run in enumerate(runs))
    }
    assert set(tour.changes) == allowed
    assert len(tour.sets) == len(allowed) == tour.required == tour.bound
    for limb, run in enumerate(runs):
        if run is not Run.ANY:
            assert set(runs_of(tour.sets, limb)) == {1 if run is Run.ONCE else 2}


@pytest.mark.parametrize("seed", range(4))
def test_ones_and_twos_are_longer_and_varied(seed: int) -> None:
    """Without threes but not in twos alone: all 256 changes, more slots, and ones and twos in every limb."""
    tour = tour_without_triples(4, seed=seed, whole=16)
    assert tour.met == tour.required == tour.bound == 256
    assert 256 < len(tour.sets) <= 400
    assert len(tour.sets) % 16 == 0
    for limb in range(4):
        runs = runs_of(tour.sets, limb)
        assert set(runs) == {1, 2}
        assert min(runs.values()) >= 20


# ---- what reads well -------------------------------------------------------------------------------------------------


def loads(tour: Tour) -> list[int]:
    """The load of each change of a tour, in order."""
    return [load_of_change(here, there) for _, here, there in tour.changes]


@pytest.mark.parametrize("limbs", [3, 4])
@pytest.mark.parametrize("seed", range(8))
def test_a_tour_reads_well(limbs: int, seed: int) -> None:
    """It starts on beat 1 with the first limb alone, strikes every beat, marks most, and grows heavier."""
    tour = full_tour(limbs, seed=seed)
    assert tour.sets[0] == 1
    beats = tour.sets[::4]
    assert all(beats)
    assert mean(mask & 1 for mask in beats) >= 0.75
    half = len(tour.sets) // 2
    assert mean(loads(tour)[:half]) < 0.75 * mean(loads(tour)[half:])


def test_a_tour_reads_better_than_circuits_without_preference() -> None:
    """Beside twenty circuits chosen by chance: more beats struck, more of them marked, and the load goes up."""
    changes = [(here, there) for here in range(16) for there in range(16)]
    chance = Random(1)
    plain = [
        closed_walk(changes, 1, lambda _step, _before, _here, ways: chance.choice(ways), seed=seed)
        for seed in range(20)
    ]

    def seen(sets: Sequence[int]) -> tuple[float, float, float]:
        own = [load_of_change(here, there) for here, there in zip(sets, (*sets[1:], sets[0]), strict=True)]
        rise = mean(own[128:]) - mean(own[:128])
        return mean(map(bool, sets[::4])), mean(mask & 1 for mask in sets[::4]), rise

    others = [seen(sets) for sets in plain]
    for place, value in enumerate(seen(full_tour(4).sets)):
        assert value > max(other[place] for other in others)


def test_the_load_of_a_change() -> None:
    """More limbs are more, and a limb that has just struck is more again; silence asks nothing."""
    assert load_of_change(0b1111, 0) == 0
    assert load_of_change(0, 0b11) < load_of_change(0b01, 0b11) < load_of_change(0b11, 0b11)


@pytest.mark.parametrize("seed", range(6))
def test_over_an_ostinato_rests_are_spread(seed: int) -> None:
    """One limb over eight places never rests, nor plays, longer than a bar of sixteenths less a beat."""
    sets = full_tour(1, places=8, seed=seed).sets
    assert max(runs_of(sets, 0)) <= 12
    assert max(runs_of([1 - mask for mask in sets], 0)) <= 12
