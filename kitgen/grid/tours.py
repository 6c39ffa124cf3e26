"""Tours: the shortest closed walk through every change from one set of limbs to another.

What limbs do in a slot is a set, written as a mask (bit i is limb i of those that tour; 0 is silence). A change is a
pair of sets in neighbouring slots. Under an ostinato of so many places a change belongs to the place it starts from.
Where every set may follow every other the shortest tour meets each change exactly once: an Eulerian circuit (of the
de Bruijn graph of sets, for a tour without ostinato), found in one pass by Hierholzer's way. Under rules that take
changes away it may have to go over some of them again; which, is a least-cost flow (route inspection), so that the
tour is as short as can be.
"""

from collections import deque
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import product
from random import Random

from kitgen.errors import OptionError

_MOST_LIMBS = 4
Rule = Callable[[int, int, int], bool]
"""May a set follow another, from this place on: (place, from, to)."""


@dataclass(frozen=True)
class Tour:
    """A closed walk through every change that is required.

    Args:
        limbs: how many limbs tour.
        places: places of the ostinato it goes over; 1 where there is none.
        sets: what strikes in each slot, as masks.
        required: changes that have to be met.
        bound: the fewest slots any such walk could have: one a change, and where ways in and out of a set differ in
            number, those of the least-cost flow besides.
    """

    limbs: int
    places: int
    sets: tuple[int, ...]
    required: int
    bound: int

    @property
    def met(self) -> int:
        """Different changes met, round into the repeat."""
        return len({(index % self.places, here, there) for index, (here, there) in enumerate(self._pairs())})

    @property
    def proof(self) -> str:
        """The line that stands on the page."""
        slots = len(self.sets)
        return (
            f"changes required {self.required}, met {self.met}, in {slots} slots; no exercise does it in fewer than "
            f"{self.bound}"
        )

    def _pairs(self) -> Iterable[tuple[int, int]]:
        return zip(self.sets, (*self.sets[1:], *self.sets[:1]), strict=True)


def full_tour(limbs: int, *, places: int = 1, seed: int = 0) -> Tour:
    """The shortest tour in which any set may follow any other: each change exactly once.

    Args:
        limbs: how many limbs tour, 1 to 4.
        places: places of the ostinato under it.
        seed: chooses among many tours.

    >>> [len(full_tour(limbs).sets) for limbs in (1, 2, 3, 4)]
    [4, 16, 64, 256]
    >>> len(full_tour(2, places=4).sets) // 4
    16
    """
    return ruled_tour(limbs, lambda _place, _here, _there: True, places=places, seed=seed)


def ruled_tour(limbs: int, rule: Rule, *, places: int = 1, seed: int = 0) -> Tour:
    """The shortest tour through every change a rule allows.

    Raises:
        OptionError: too many limbs, or a rule under which some allowed changes can never be reached from others.
    """
    if not 1 <= limbs <= _MOST_LIMBS:
        raise OptionError(f"a tour of {limbs} limbs; 1 to {_MOST_LIMBS} can tour")
    sets = 1 << limbs
    edges = [
        (place * sets + here, (place + 1) % places * sets + there)
        for place, here, there in product(range(places), range(sets), range(sets))
        if rule(place, here, there)
    ]
    if not edges:
        raise OptionError("these rules leave no change between limbs; allow some")
    walk = _closed_walk(edges, seed, size=places * sets)
    return Tour(limbs, places, tuple(node % sets for node in walk), len(edges), len(walk))


def tour_in_doubles(limbs: int, *, seed: int = 0) -> Tour:
    """Every change exactly once, no limb three times in a row: every limb then plays in twos throughout.

    The states are each limb out, on its first stroke, or on its second: 3 a limb, 81 for four; a limb on its first
    goes on to its second, one on its second rests, so that there are 4 moves a limb, 256 for four.
    """
    return _by_strokes(limbs, {0: (0, 1), 1: (2,), 2: (0,)}, seed)


def tour_without_triples(limbs: int, *, seed: int = 0) -> Tour:
    """Every move of limbs that play once or twice in a row, never three times: longer, and more varied."""
    return _by_strokes(limbs, {0: (0, 1), 1: (0, 2), 2: (0,)}, seed)


def _by_strokes(limbs: int, moves: dict[int, tuple[int, ...]], seed: int) -> Tour:
    if not 1 <= limbs <= _MOST_LIMBS:
        raise OptionError(f"a tour of {limbs} limbs; 1 to {_MOST_LIMBS} can tour")
    number = {state: index for index, state in enumerate(product(range(3), repeat=limbs))}
    edges = [
        (index, number[following])
        for state, index in number.items()
        for following in product(*(moves[stroke] for stroke in state))
    ]
    walk = _closed_walk(edges, seed, size=len(number))
    masks = [sum(1 << limb for limb, stroke in enumerate(state) if stroke) for state in number]
    return Tour(limbs, 1, tuple(masks[node] for node in walk), 4**limbs, 4**limbs)


# ---- closed walks ----------------------------------------------------------------------------------------------------


def _closed_walk(edges: Sequence[tuple[int, int]], seed: int, *, size: int) -> list[int]:
    """The shortest closed walk over every edge, as the nodes it passes; it starts at its first in order of number."""
    following: list[list[int]] = [[] for _ in range(size)]
    balance = [0] * size
    for here, there in edges:
        following[here].append(there)
        balance[here] += 1
        balance[there] -= 1
    if any(balance):
        for path, times in _repeats(edges, balance).items():
            following[path[0]] += [path[1]] * times
    start = min(here for here, _ in edges)
    _check_joined(following, edges, start)
    random = Random(seed)
    for own in following:
        _in_reading_order(own, random)
    return _circuit(following, start)


def _in_reading_order(own: list[int], random: Random) -> None:
    """Order the ways out of a node so that small sets come early in the walk, equals by chance.

    A circuit takes the last of a list first, and what it leaves for later closes loops that are put in behind.
    """
    random.shuffle(own)
    own.sort(key=lambda node: -node.bit_count())


def _circuit(following: list[list[int]], start: int) -> list[int]:
    """Hierholzer's circuit over every edge once; the lists are used up."""
    stack, walk = [start], list[int]()
    while stack:
        ways = following[stack[-1]]
        if ways:
            stack.append(ways.pop())
        else:
            walk.append(stack.pop())
    walk.reverse()
    return walk[:-1]


def _check_joined(following: Sequence[Sequence[int]], edges: Sequence[tuple[int, int]], start: int) -> None:
    """Raise unless every edge can be reached from the start and leads back to it."""
    back: dict[int, list[int]] = {}
    for here, leads in enumerate(following):
        for there in leads:
            back.setdefault(there, []).append(here)
    nodes = {node for edge in edges for node in edge}
    there_and_back = (dict(enumerate(following)), back)
    for ways in there_and_back:
        seen, waiting = {start}, deque([start])
        while waiting:
            for node in ways.get(waiting.popleft(), ()):
                if node not in seen:
                    seen.add(node)
                    waiting.append(node)
        if lost := sorted(nodes - seen):
            raise OptionError(
                f"under these rules {len(lost)} sets of limbs cannot be reached from the others and come back, so no "
                "exercise holds every change; relax a rule"
            )


def _repeats(edges: Sequence[tuple[int, int]], balance: Sequence[int]) -> dict[tuple[int, int], int]:
    """Edges to go over again so that as many lead into each node as out of it, as few as can be."""
    import networkx  # only rules that unbalance a tour need a flow

    graph: networkx.DiGraph[int] = networkx.DiGraph()
    for node, more in enumerate(balance):
        graph.add_node(node, demand=more)
    for here, there in edges:
        if here != there:
            graph.add_edge(here, there, weight=1)
    try:
        _, flow = networkx.network_simplex(graph)
    except networkx.NetworkXUnfeasible:
        raise OptionError(
            "under these rules some changes lead where no way leads back, so no exercise holds every change; "
            "relax a rule"
        ) from None
    return {(here, there): times for here, ways in flow.items() for there, times in ways.items() if times}
