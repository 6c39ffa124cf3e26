"""Tours: the shortest closed walk through every change from one set of limbs to another.

What limbs do in a slot is a set, written as a mask (bit i is limb i of those that tour; 0 is silence). A change is a
pair of sets in neighbouring slots, the last slot and the first among them. Under an ostinato of so many places a change
belongs to the place it starts from. Where every set may follow every other the shortest tour meets each change exactly
once: an Eulerian circuit (of the de Bruijn graph of sets, for a tour without ostinato). Under rules that take changes
away it may have to go over some of them again (:mod:`kitgen.grid.walks`). Among many tours the preference of
:mod:`kitgen.grid.tour_choice` takes one that reads well.

A limb held to one stroke, or two, in a row is followed through its strokes. Where the most is two, a tour of no more
slots than changes still exists, but every limb then plays in twos throughout: a limb changes from out to out, from out
to in, from in to in and from in to out equally often, so that of its runs of strokes, none longer than two, none can be
shorter.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from itertools import product

from kitgen.errors import OptionError
from kitgen.grid.tour_choice import PULSE, chooser
from kitgen.grid.walks import Choose, Edge, closed_walk, is_closed, lost, repeats, wander, way_to

MOST_LIMBS = 4
_MOST_FILLED = 8
Rule = Callable[[int, int, int], bool]
"""May a set follow another, from this place on: (place, from, to)."""


class Run(Enum):
    """How often a limb may strike in a row, as moves among its states: 0 out, 1 its first stroke, 2 its second."""

    ANY = "any"
    TWICE = "twice"
    ONCE = "once"

    @property
    def moves(self) -> dict[int, tuple[int, ...]]:
        """Where each state leads; a limb of ``TWICE`` always goes on to its second stroke."""
        return _MOVES[self]


_MOVES: dict[Run, dict[int, tuple[int, ...]]] = {
    Run.ANY: {0: (0, 1), 1: (0, 1)},
    Run.TWICE: {0: (0, 1), 1: (2,), 2: (0,)},
    Run.ONCE: {0: (0, 1), 1: (0,)},
}


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
    def changes(self) -> tuple[tuple[int, int, int], ...]:
        """Every change as (place, from, to), round into the repeat."""
        following = (*self.sets[1:], *self.sets[:1])
        return tuple(
            (slot % self.places, here, there)
            for slot, (here, there) in enumerate(zip(self.sets, following, strict=True))
        )

    @property
    def met(self) -> int:
        """Different changes met."""
        return len(set(self.changes))

    @property
    def proof(self) -> str:
        """The line that stands on the page.

        >>> full_tour(2).proof
        'changes required 16, met 16, in 16 slots; no exercise holds them in fewer than 16'
        """
        return (
            f"changes required {self.required}, met {self.met}, in {len(self.sets)} slots; "
            f"no exercise holds them in fewer than {self.bound}"
        )


def full_tour(limbs: int, *, places: int = 1, seed: int = 0, pulse: Sequence[bool] = PULSE, whole: int = 1) -> Tour:
    """The shortest tour in which any set may follow any other: each change exactly once.

    Args:
        limbs: how many limbs tour, 1 to 4.
        places: places of the ostinato under it.
        seed: chooses among tours that read as well.
        pulse: which slots are beats, from the first on and over again.
        whole: fill it up to a whole number of times so many slots.

    >>> [len(full_tour(limbs).sets) for limbs in (1, 2, 3, 4)]
    [4, 16, 64, 256]
    >>> len(full_tour(2, places=8).sets) // 8
    16
    """
    return ruled_tour(limbs, places=places, seed=seed, pulse=pulse, whole=whole)


def tour_in_doubles(limbs: int, *, seed: int = 0, pulse: Sequence[bool] = PULSE, whole: int = 1) -> Tour:
    """Every change exactly once, no limb three times in a row: every limb then plays in twos throughout.

    >>> len(tour_in_doubles(4).sets)
    256
    """
    return ruled_tour(limbs, runs=(Run.TWICE,) * limbs, seed=seed, pulse=pulse, whole=whole)


def ruled_tour(
    limbs: int,
    rule: Rule | None = None,
    *,
    runs: Sequence[Run] = (),
    places: int = 1,
    seed: int = 0,
    pulse: Sequence[bool] = PULSE,
    whole: int = 1,
) -> Tour:
    """The shortest tour through every change that rules allow.

    Args:
        limbs: how many limbs tour, 1 to 4.
        rule: the changes there are; all unless given.
        runs: how often each limb may strike in a row; as often as it likes unless given.
        places: places of the ostinato under it.
        seed: chooses among tours that read as well.
        pulse: which slots are beats, from the first on and over again.
        whole: fill it up to a whole number of times so many slots, going over changes again at its end.

    Raises:
        OptionError: too many limbs, or rules under which some allowed changes can never be reached from others.

    >>> len(ruled_tour(2, lambda place, here, there: bool(here and there)).sets)
    9
    """
    _check(limbs)
    sets, edges = _graph(limbs, rule, runs or (Run.ANY,) * limbs, places)
    if not edges:
        raise OptionError("these rules leave no change between limbs; relax a rule")
    start = _start(sets, edges, len(sets) // places)
    again = repeats(edges)
    if gone := lost(edges, start):
        names = len({sets[node] for node in gone})
        raise OptionError(
            f"under these rules {names} set{'s' if names > 1 else ''} of limbs cannot be reached from the others and "
            "come back, so no exercise holds every change; relax a rule"
        )
    choose = chooser(sets, seed=seed, pulse=pulse if places == 1 else ())
    walk = _staged(sets, edges, again, start, choose, fewest=2 if places == 1 else 1, seed=seed)
    required = len({(here // (len(sets) // places), sets[here], sets[there]) for here, there in edges})
    tour = Tour(limbs, places, (), required, len(walk))
    walk += _filling(edges, start, len(walk), whole, choose)
    return replace(tour, sets=tuple(sets[node] for node in walk))


def tour_without_triples(limbs: int, *, seed: int = 0, pulse: Sequence[bool] = PULSE, whole: int = 1) -> Tour:
    """Every change at least once, no limb three times in a row, ones and twos mixed: longer, and more varied.

    Made by going on to the change not yet met that costs least, or by a shortest way to one; it is not the shortest
    there is. That one is :func:`tour_in_doubles`.

    >>> tour = tour_without_triples(2)
    >>> tour.met, tour.bound, len(tour.sets) > 16
    (16, 16, True)
    """
    _check(limbs)
    moves = {0: (0, 1), 1: (0, 2), 2: (0,)}
    sets, edges = _states((moves,) * limbs)
    ways: list[list[int]] = [[] for _ in sets]
    for here, there in edges:
        ways[here].append(there)
    start = _start(sets, edges, len(sets))
    choose = chooser(sets, seed=seed, pulse=pulse)
    required = len({(sets[here], sets[there]) for here, there in edges})
    walk = _to_what_is_left(sets, ways, start, choose)
    walk += _filling(edges, start, len(walk), whole, choose)
    return Tour(limbs, 1, tuple(sets[node] for node in walk), required, required)


# ---- the graph and the walk ------------------------------------------------------------------------------------------


def _check(limbs: int) -> None:
    if not 1 <= limbs <= MOST_LIMBS:
        raise OptionError(f"a tour of {limbs} limbs; 1 to {MOST_LIMBS} can tour")


def _graph(limbs: int, rule: Rule | None, runs: Sequence[Run], places: int) -> tuple[list[int], list[Edge]]:
    """The set of each node, and the edges; a node is a place and the states of the limbs there."""
    if len(runs) != limbs:
        raise OptionError(f"{len(runs)} limits for {limbs} limbs; one a limb")
    sets, edges = _states([run.moves for run in runs])
    size = len(sets)
    if places == 1 and rule is None:
        return sets, edges
    return sets * places, [
        (place * size + here, (place + 1) % places * size + there)
        for place in range(places)
        for here, there in edges
        if rule is None or rule(place, sets[here], sets[there])
    ]


def _states(moves: Sequence[dict[int, tuple[int, ...]]]) -> tuple[list[int], list[Edge]]:
    """The set of each state of all limbs together, and the moves between states."""
    states = list(product(*moves))
    number = {state: index for index, state in enumerate(states)}
    sets = [sum(1 << limb for limb, stroke in enumerate(state) if stroke) for state in states]
    edges = [
        (index, number[following])
        for index, state in enumerate(states)
        for following in product(*(own[stroke] for own, stroke in zip(moves, state, strict=True)))
    ]
    return sets, edges


def _start(sets: Sequence[int], edges: Iterable[Edge], size: int) -> int:
    """Where a tour starts: at the first place, with the first limb alone if that can be, else with a light set."""
    nodes = {here for here, _ in edges if here < size}
    return min(nodes, key=lambda node: (not sets[node], sets[node] != 1, sets[node].bit_count(), sets[node], node))


def _staged(
    sets: Sequence[int],
    edges: Sequence[Edge],
    again: Sequence[Edge],
    start: int,
    choose: Choose,
    *,
    fewest: int,
    seed: int,
) -> list[int]:
    """A closed walk over all edges: first those of the fewest limbs, then of one more, where each part closes."""
    stages: dict[int, list[Edge]] = {}
    for here, there in edges:
        stages.setdefault(max(fewest, (sets[here] | sets[there]).bit_length()), []).append((here, there))
    stages[max(stages)] += again
    walk, waiting = list[int](), list[Edge]()
    for _, stage in sorted(stages.items()):
        waiting += stage
        if is_closed(waiting, start):
            walk += closed_walk(waiting, start, choose, steps=len(walk), seed=seed, straight=True)
            waiting = []
    return closed_walk([*edges, *again], start, choose, seed=seed, straight=True) if waiting else walk


def _filling(edges: Sequence[Edge], start: int, slots: int, whole: int, choose: Choose) -> list[int]:
    """What is gone over again so that a tour fills bars: a closed walk of the slots that are missing."""
    missing = -slots % whole
    for more in range(missing, missing + whole * _MOST_FILLED, whole):
        if (walk := wander(edges, start, more, choose, steps=slots)) is not None:
            return walk
    raise OptionError(
        f"under these rules no exercise fills bars of {whole} slots; choose another --meter, or relax a rule"
    )


def _to_what_is_left(sets: Sequence[int], ways: Sequence[Sequence[int]], start: int, choose: Choose) -> list[int]:
    """A closed walk that goes on, step by step, to a change of sets not yet met, or by a shortest way to one."""
    left = {(sets[here], sets[there]) for here, leads in enumerate(ways) for there in leads}
    walk, here = [start], start
    while left:
        fresh = [there for there in ways[here] if (sets[here], sets[there]) in left]
        lively = [there for there in fresh if any((sets[there], sets[more]) in left for more in ways[there])]
        if fresh:
            way = [choose(len(walk), walk[-2] if len(walk) > 1 else -1, here, lively or fresh)]
        else:
            way = way_to(ways, here, lambda one, other: (sets[one], sets[other]) in left)
        for there in way:
            left.discard((sets[here], sets[there]))
            walk.append(there)
            here = there
    if here != start:
        walk += way_to(ways, here, lambda _one, other: other == start)
    return walk[:-1]
