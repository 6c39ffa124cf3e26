"""Closed walks: every edge as often as it stands, whatever the preference; walks of just so many steps."""

from collections import Counter
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import OptionError
from kitgen.grid.walks import Edge, balance, closed_walk, is_closed, lost, repeats, wander, way_to


@st.composite
def closed_edges(draw: st.DrawFn) -> list[Edge]:
    """The edges of a closed walk from node 0, in any order: some stand several times, some are loops."""
    nodes = [0, *draw(st.lists(st.integers(0, 6), max_size=40)), 0]
    return draw(st.permutations(list(pairwise(nodes))))


def steps_of(walk: list[int]) -> list[Edge]:
    """The edges a closed walk goes over."""
    return list(pairwise([*walk, walk[0]]))


@given(closed_edges(), st.integers(0, 999))
def test_any_preference_walks_every_edge(edges: list[Edge], seed: int) -> None:
    """Whichever way is chosen at each node, the walk starts at the start and goes over every edge as often as given."""
    random = Random(seed)
    walk = closed_walk(edges, 0, lambda _step, _before, _here, ways: random.choice(ways), seed=seed)
    assert walk[0] == 0
    assert Counter(steps_of(walk)) == Counter(edges)


@given(closed_edges())
def test_the_preference_is_told_where_the_walk_is(edges: list[Edge]) -> None:
    """It hears the number of the step, the node before, the node here, and only ways that are left there."""
    told: list[tuple[int, int, int]] = []
    left = Counter(edges)

    def choose(step: int, before: int, here: int, ways: list[int]) -> int:
        told.append((step, before, here))
        assert all(left[here, way] for way in ways)
        left[here, ways[0]] -= 1
        return ways[0]

    walk = closed_walk(edges, 0, choose, steps=7)
    for step, before, here in told:
        assert walk[step - 8] == here
        assert before == (walk[step - 9] if step > 8 else -1)


@given(st.lists(st.tuples(st.integers(0, 4), st.integers(0, 4)), min_size=1, max_size=12))
def test_repeats_balance(edges: list[Edge]) -> None:
    """What is gone over again makes ways in and out equal at each node, out of edges there are; or none can."""
    try:
        again = repeats(edges)
    except OptionError:
        assert not is_closed(edges, edges[0][0])
        return
    assert set(again) <= set(edges)
    assert not any(balance([*edges, *again]).values())
    assert again == [] or any(balance(edges).values())


def test_what_is_lost() -> None:
    """Nodes that the start does not lead to, or that do not lead back to it."""
    edges = [(0, 1), (1, 0), (2, 0), (1, 3), (4, 4)]
    assert lost(edges, 0) == {2, 3, 4}
    assert is_closed([(0, 1), (1, 0)], 0)
    assert not is_closed([(0, 1), (1, 0), (4, 4)], 0)


@given(closed_edges(), st.integers(0, 30))
def test_a_walk_of_just_so_many_steps(edges: list[Edge], length: int) -> None:
    """As long as asked, closed, on edges there are; None only if no such walk exists, by counting all walks."""
    walk = wander(edges, 0, length, lambda _step, _before, _here, ways: ways[0])
    ends = {0}
    for _ in range(length):
        ends = {there for here, there in edges if here in ends}
    assert (walk is None) is (0 not in ends)
    if walk:
        assert len(walk) == length
        assert set(steps_of(walk)) <= set(edges)


def test_a_walk_goes_over_other_edges_first() -> None:
    """Eight steps among three nodes without loops go over six edges before one comes again."""
    edges = [(here, there) for here in range(3) for there in range(3) if here != there]
    walk = wander(edges, 0, 8, lambda _step, _before, _here, ways: ways[0])
    assert walk is not None
    assert len(set(steps_of(walk))) >= 5


@pytest.mark.parametrize(("here", "way"), [(0, [1, 2, 3]), (2, [3]), (3, [])])
def test_the_way_to_an_edge(here: int, way: list[int]) -> None:
    """A shortest way that ends with the edge looked for; none where it cannot be reached."""
    ways = [[0, 1], [2], [3], []]
    assert way_to(ways, here, lambda one, other: (one, other) == (2, 3)) == way
