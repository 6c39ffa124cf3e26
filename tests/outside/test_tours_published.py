"""Tours against what is published of de Bruijn sequences and Eulerian circuits, and against networkx.

Counts: T. van Aardenne-Ehrenfest and N. G. de Bruijn, Circuits and trees in oriented linear graphs, 1951 (the BEST
theorem, with C. A. B. Smith and W. T. Tutte), as numbers (k!)^(k^(n-1)) / k^n of cyclic sequences in which each word of
n letters out of k comes once; binary ones are OEIS A016031, the first of them A166315. A tour of sets is such a
sequence with n = 2: k is the number of sets.
"""

from collections.abc import Sequence
from itertools import product
from math import factorial
from random import Random

import networkx
import pytest

from kitgen.grid.tours import full_tour, ruled_tour, tour_in_doubles
from kitgen.grid.walks import Edge, closed_walk

LENGTHS = {2: 4, 4: 16, 8: 64, 16: 256}
"""k^2 for 1, 2, 3 and 4 limbs: words of two letters out of k."""


def turned(sequence: Sequence[int]) -> tuple[int, ...]:
    """The least of a cyclic sequence's turns, which stands for all of them."""
    doubled = [*sequence, *sequence]
    return min(tuple(doubled[start : start + len(sequence)]) for start in range(len(sequence)))


def circuits_met(edges: list[Edge], start: int, tries: int) -> set[tuple[int, ...]]:
    """The different circuits that walks by chance come upon."""
    random = Random(2)
    return {
        turned(closed_walk(edges, start, lambda _step, _before, _here, ways: random.choice(ways), seed=seed))
        for seed in range(tries)
    }


def cyclic_words(letters: int, length: int) -> int:
    """How many cyclic sequences hold each word of a length once: (k!)^(k^(n-1)) / k^n."""
    return int(factorial(letters) ** letters ** (length - 1) // letters**length)


@pytest.mark.parametrize(("limbs", "sets"), [(1, 2), (2, 4), (3, 8), (4, 16)])
@pytest.mark.parametrize("make", [full_tour, tour_in_doubles])
def test_a_tour_is_as_long_as_a_de_bruijn_sequence(limbs: int, sets: int, make: object) -> None:
    """A cyclic sequence of k letters that holds each word of two has k^2 letters (checks: debruijn.length)."""
    tour = make(limbs)  # type: ignore[operator]  # one of the two functions named above
    assert len(tour.sets) == LENGTHS[sets]
    words = {(here, there) for _, here, there in tour.changes}
    assert words == set(product(range(sets), repeat=2))


def test_one_limb_has_one_tour() -> None:
    """Of two letters and words of two there is one cyclic sequence, 0011 (OEIS A166315, n = 2: binary value 3)."""
    assert {turned(full_tour(1, seed=seed).sets) for seed in range(50)} == {(0, 0, 1, 1)}


@pytest.mark.parametrize(
    ("sets", "loops", "count"),
    [
        (2, True, 1),  # de Bruijn: k = 2, n = 2
        (3, True, 24),  # de Bruijn: k = 3, n = 2
        (3, False, 3),  # circuits of the complete directed graph of 3 without loops
        (4, False, 256),  # and of 4
    ],
)
def test_the_walk_can_come_upon_every_circuit(sets: int, loops: bool, count: int) -> None:  # noqa: FBT001  a table's
    """By chance at each step and for the last ways, all circuits come that the BEST theorem counts, and no other."""
    edges = [(here, there) for here in range(sets) for there in range(sets) if loops or here != there]
    if loops:
        assert cyclic_words(sets, 2) == count
    assert len(circuits_met(edges, 0, tries=40 * count)) == count


def test_words_of_three_are_tours_over_pairs() -> None:
    """Binary words of three (OEIS A016031: two sequences, the first 00010111): edges are words, nodes their pairs."""
    edges = [(word >> 1, word & 0b11) for word in range(8)]
    met = circuits_met(edges, 0, tries=50)
    assert len(met) == cyclic_words(2, 3) == 2
    assert (0, 0, 0, 1, 0, 1, 1, 1) in {turned([node >> 1 for node in walk]) for walk in met}


@pytest.mark.parametrize("limbs", [1, 2, 3, 4])
@pytest.mark.parametrize("places", [1, 4])
@pytest.mark.parametrize("silence", [True, False])
def test_networkx_agrees_that_a_tour_is_an_eulerian_circuit(limbs: int, places: int, silence: bool) -> None:  # noqa: FBT001  a table's
    """The tour's changes are the edges of a graph that networkx, which made nothing of it, says is Eulerian."""
    tour = ruled_tour(limbs, None if silence else lambda _place, here, there: bool(here and there), places=places)
    graph: networkx.MultiDiGraph[tuple[int, int]] = networkx.MultiDiGraph()
    for place, here, there in tour.changes:
        graph.add_edge((place, here), ((place + 1) % places, there))
    sets = range(1 << limbs) if silence else range(1, 1 << limbs)
    assert networkx.is_eulerian(graph)
    assert graph.number_of_edges() == len(tour.sets)
    assert set(graph.edges()) == {
        ((place, here), ((place + 1) % places, there)) for place in range(places) for here in sets for there in sets
    }


@pytest.mark.parametrize("seed", range(20))
def test_networkx_finds_no_cheaper_repeats(seed: int) -> None:
    """What a rule makes a tour go over again costs as little as matching the surplus of ways in and out can cost.

    Route inspection: M. Guan, Graphic programming using odd or even points, 1962; for directed graphs J. Edmonds and
    E. L. Johnson, Matching, Euler tours and the Chinese postman, 1973.
    """
    random = Random(seed)
    allowed = {(here, there) for here, there in product(range(8), repeat=2) if here == there or random.random() < 0.6}
    graph: networkx.DiGraph[int] = networkx.DiGraph(allowed)
    if not networkx.is_strongly_connected(graph):
        pytest.skip("this draw leaves a set that cannot be reached")
    far = dict(networkx.all_pairs_shortest_path_length(graph))
    short = [node for node in graph for _ in range(graph.in_degree(node) - graph.out_degree(node))]
    spare = [node for node in graph for _ in range(graph.out_degree(node) - graph.in_degree(node))]
    pairs: networkx.Graph[tuple[str, int]] = networkx.Graph()
    for one, node in enumerate(short):
        pairs.add_weighted_edges_from(
            (("in", one), ("out", other), far[node][there]) for other, there in enumerate(spare)
        )
    matched = networkx.min_weight_matching(pairs)
    cost = sum(pairs.edges[edge]["weight"] for edge in matched)
    tour = ruled_tour(3, lambda _place, here, there: (here, there) in allowed, seed=seed)
    assert len(matched) == len(short)
    assert len(tour.sets) == len(allowed) + cost
