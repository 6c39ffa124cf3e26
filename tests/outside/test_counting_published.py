"""Counts against the On-Line Encyclopedia of Integer Sequences, and against going through everything.

A000031 (binary necklaces) and A000029 (binary bracelets), n = 1 to 24; necklaces of 8 by onsets by Burnside's lemma;
cyclic words without two neighbouring onsets are Lucas numbers; de Bruijn: a cycle over all pairs of k symbols has k^2.
"""

from __future__ import annotations

import networkx
import pytest

from kitgen.errors import OptionError
from kitgen.grid import counting, masks
from kitgen.grid.tours import Tour, full_tour, ruled_tour, tour_in_doubles, tour_without_triples

A000031 = (
    2, 3, 4, 6, 8, 14, 20, 36, 60, 108, 188, 352, 632, 1182, 2192, 4116, 7712, 14602, 27596, 52488, 99880, 190746,
    364724, 699252,
)  # fmt: skip
A000029 = (
    2, 3, 4, 6, 8, 13, 18, 30, 46, 78, 126, 224, 380, 687, 1224, 2250, 4112, 7685, 14310, 27012, 50964, 96909, 184410,
    352698,
)  # fmt: skip


def test_necklaces_and_bracelets() -> None:
    """A000031 and A000029 (OEIS)."""
    assert tuple(counting.necklaces(slots) for slots in range(1, 25)) == A000031
    assert tuple(counting.bracelets(slots) for slots in range(1, 25)) == A000029


def test_by_onsets() -> None:
    """Necklaces of 8 and 16 slots by onsets (Burnside's lemma; binomials for lines)."""
    assert [counting.necklaces(8, onsets) for onsets in range(9)] == [1, 1, 4, 7, 10, 7, 4, 1, 1]
    assert [counting.necklaces(16, onsets) for onsets in range(6)] == [1, 1, 8, 35, 116, 273]
    assert counting.lines(16, 8) == 12870


@pytest.mark.parametrize("slots", [4, 8, 12, 16])
def test_going_through_them_all(slots: int) -> None:
    """One of each necklace is found by bit masks: 6, 36, 352, 4116 (A000031)."""
    assert masks.count(slots, rotations=False) == A000031[slots - 1]


def test_no_neighbours() -> None:
    """Cyclic words without two neighbouring onsets: Lucas numbers from n = 2, here from 2 to 9 (arithmetic)."""
    assert [counting.with_gaps(slots, 2) for slots in range(2, 10)] == [3, 4, 7, 11, 18, 29, 47, 76]
    assert [masks.count(slots, masks.spaced(2)) for slots in range(2, 10)] == [3, 4, 7, 11, 18, 29, 47, 76]
    assert counting.with_gaps(16, 3) == masks.count(16, masks.spaced(3))


def closed_walk(tour: Tour) -> networkx.MultiDiGraph[tuple[int, int]]:
    """A tour as networkx sees it: an edge a change, from (place, set) to (place, set)."""
    graph: networkx.MultiDiGraph[tuple[int, int]] = networkx.MultiDiGraph()
    sets = tour.sets
    for index, here in enumerate(sets):
        there = sets[(index + 1) % len(sets)]
        graph.add_edge((index % tour.places, here), ((index + 1) % tour.places, there))
    return graph


@pytest.mark.parametrize(("limbs", "slots"), [(1, 4), (2, 16), (3, 64), (4, 256)])
def test_full_tours(limbs: int, slots: int) -> None:
    """Every ordered pair of sets once: a de Bruijn cycle of k^2 slots over k sets (definition; networkx confirms)."""
    tour = full_tour(limbs)
    graph = closed_walk(tour)
    assert len(tour.sets) == tour.required == tour.met == tour.bound == slots
    assert networkx.is_eulerian(graph)
    assert len(set(graph.edges())) == slots


@pytest.mark.parametrize(("free", "turns"), [(1, 4), (2, 16)])
def test_tours_over_an_ostinato(free: int, turns: int) -> None:
    """Every change of the free limbs at every place of an ostinato of eight: 4 turns for one limb, 16 for two."""
    tour = full_tour(free, places=8)
    assert len(tour.sets) == 8 * turns == tour.met
    assert networkx.is_eulerian(closed_walk(tour))


def test_no_limb_three_times() -> None:
    """In doubles the bound of 256 is met and every limb plays in twos; the varied walk is longer and meets all too."""
    for tour in (tour_in_doubles(4), tour_without_triples(4)):
        assert tour.met == tour.required == 256
        for limb in range(4):
            struck = [mask >> limb & 1 for mask in tour.sets] * 2
            assert (1, 1, 1) not in zip(struck, struck[1:], struck[2:], strict=False)
    assert len(tour_in_doubles(4).sets) == 256
    assert len(tour_without_triples(4).sets) > 256


def test_rules() -> None:
    """Without silent slots 225 changes in 225 slots; a change that leads nowhere back is refused."""
    tour = ruled_tour(4, lambda _place, here, there: bool(here and there))
    assert (tour.required, tour.met, len(tour.sets)) == (225, 225, 225)
    with pytest.raises(OptionError, match=r"no way leads back|cannot be reached"):
        ruled_tour(1, lambda _place, here, there: (here, there) == (0, 1))
    one_way = ruled_tour(2, lambda _place, here, there: not (here == 3 and there == 0))
    assert one_way.met == one_way.required == 15
    assert len(one_way.sets) == one_way.bound == 17  # two changes again: from 3 to 0 by way of another (arithmetic)
