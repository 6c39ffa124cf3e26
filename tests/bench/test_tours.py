"""The complete tour of four limbs, with its preference, against networkx's circuit on the same graph."""

from itertools import count

import networkx

from kitgen.grid.tours import full_tour
from tests.bench.race import Race, Turn


def test_a_tour_is_made_faster_than_a_circuit_of_networkx(race: Race) -> None:
    """Every change of four limbs in an order that reads well takes less than any order at all takes networkx."""
    graph: networkx.DiGraph[int] = networkx.DiGraph((here, there) for here in range(16) for there in range(16))
    seeds = count()

    def by_us() -> Turn:
        seed = next(seeds)
        return lambda: full_tour(4, seed=seed)

    def by_networkx() -> Turn:
        return lambda: list(networkx.eulerian_circuit(graph))

    assert full_tour(4).met == graph.number_of_edges() == len(by_networkx()())  # type: ignore[arg-type]  # a list
    race("tour of four limbs", by_us, "networkx, a circuit", by_networkx, at_most=1)
