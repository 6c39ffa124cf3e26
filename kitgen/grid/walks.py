"""Closed walks over every edge of a graph: whether there is one, what has to be gone over again, and the walk itself.

A walk is made step by step, so that any preference may choose the next step: for every node but the start one way out
is kept for last, the first step of a shortest way to the start. Whatever is chosen otherwise, the walk then ends where
it began with every edge used (the trees of last ways of van Aardenne-Ehrenfest and de Bruijn, Circuits and trees in
oriented linear graphs, 1951). Where ways in and out of a node differ in number some edges have to be gone over again;
which, is a least-cost flow (route inspection: M. Guan, Graphic programming using odd or even points, 1962).

Conventions: nodes are whole numbers from 0; an edge is (from, to), and stands as often as it is to be walked.
"""

from collections import deque
from collections.abc import Callable, Iterable, Sequence
from random import Random

from kitgen.errors import OptionError

Edge = tuple[int, int]
Choose = Callable[[int, int, int, list[int]], int]
"""Which way to go: (number of the step, the node before, the node here, ways left), one of the ways."""


def closed_walk(
    edges: Iterable[Edge], start: int, choose: Choose, *, steps: int = 0, seed: int = 0, straight: bool = False
) -> list[int]:
    """The nodes of a closed walk over every edge, from the start.

    Args:
        edges: as many into each node as out of it, all of them reached from the start: see :func:`is_closed`.
        start: the node it starts from and comes back to.
        choose: the preference.
        steps: steps made before it.
        seed: which ways are kept for last; by chance at every step, every closed walk there is can come.
        straight: keep the way straight to the start for last where there is one.

    >>> closed_walk([(0, 1), (1, 0), (0, 0), (1, 1)], 0, lambda step, before, here, ways: min(ways))
    [0, 0, 1, 1]
    """
    ways: dict[int, list[int]] = {}
    for here, there in edges:
        ways.setdefault(here, []).append(there)
    kept = _last_ways(ways, start, seed, straight=straight)
    for node, there in kept.items():
        ways[node].remove(there)
    walk, before, here = list[int](), -1, start
    while True:
        walk.append(here)
        left = ways.get(here, ())
        if left:
            there = choose(steps + len(walk), before, here, left)
            left.remove(there)
        elif here in kept:
            there = kept.pop(here)
        else:
            return walk[:-1]
        before, here = here, there


def _last_ways(ways: dict[int, list[int]], start: int, seed: int, *, straight: bool) -> dict[int, int]:
    """For every node but the start a way out, so that following them leads to the start; any such ways may come.

    From each node some way or other is gone until one is met that has its way; loops gone in between fall away, since
    the last choice at each node holds (D. B. Wilson, Generating random spanning trees more quickly than the cover
    time, 1996).
    """
    pick = Random(seed).choice
    kept, joined = dict[int, int](), {start}
    for origin in ways:
        node = origin
        while node not in joined:
            kept[node] = start if straight and start in ways[node] else pick(ways[node])
            node = kept[node]
        node = origin
        while node not in joined:
            joined.add(node)
            node = kept[node]
    return kept


def is_closed(edges: Sequence[Edge], start: int) -> bool:
    """True if one closed walk from the start goes over every edge once."""
    return not any(balance(edges).values()) and not lost(edges, start)


def balance(edges: Iterable[Edge]) -> dict[int, int]:
    """How many more edges lead out of each node than into it."""
    more: dict[int, int] = {}
    for here, there in edges:
        more[here] = more.get(here, 0) + 1
        more[there] = more.get(there, 0) - 1
    return more


def lost(edges: Sequence[Edge], start: int) -> frozenset[int]:
    """The nodes of some edges that the start does not lead to, or that do not lead to it."""
    ways: dict[int, list[int]] = {}
    back: dict[int, list[int]] = {}
    for here, there in edges:
        ways.setdefault(here, []).append(there)
        back.setdefault(there, []).append(here)
    nodes = set(ways) | set(back)
    return frozenset(nodes - (_reached(ways, start) & _reached(back, start)))


def _reached(ways: dict[int, list[int]], start: int) -> set[int]:
    seen, waiting = {start}, [start]
    while waiting:
        for node in ways.get(waiting.pop(), ()):
            if node not in seen:
                seen.add(node)
                waiting.append(node)
    return seen


def repeats(edges: Sequence[Edge]) -> list[Edge]:
    """The fewest edges to go over again so that as many lead into each node as out of it.

    Raises:
        OptionError: some edge leads where no way leads back.

    >>> repeats([(0, 1), (0, 2), (1, 0), (2, 1)])
    [(1, 0)]
    """
    more = balance(edges)
    if not any(more.values()):
        return []
    import networkx  # only rules that unbalance a tour need a flow

    graph: networkx.DiGraph[int] = networkx.DiGraph()
    for node, count in sorted(more.items()):
        graph.add_node(node, demand=count)
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
    return sorted((here, there) for here, ways in flow.items() for there, times in ways.items() for _ in range(times))


def wander(edges: Iterable[Edge], start: int, length: int, choose: Choose, *, steps: int = 0) -> list[int] | None:
    """The nodes of a closed walk of just so many steps, which goes over no edge again before it has to.

    Args:
        edges: the edges it may use, each as often as it likes.
        start: the node it starts from and comes back to.
        length: how many steps.
        choose: the preference among the ways used least.
        steps: steps made before it.

    Returns:
        The nodes, the start first; None where no such walk exists.
    """
    ways: dict[int, set[int]] = {}
    for here, there in edges:
        ways.setdefault(here, set()).add(there)
    homing = [{start}]
    for _ in range(length):
        homing.append({here for here, leads in ways.items() if not homing[-1].isdisjoint(leads)})
    if start not in homing[length]:
        return None
    used: dict[Edge, int] = {}
    walk, before, here = list[int](), -1, start
    for left in range(length - 1, -1, -1):
        walk.append(here)
        leads = sorted(ways[here] & homing[left])
        fewest = min(used.get((here, there), 0) for there in leads)
        fresh = [there for there in leads if used.get((here, there), 0) == fewest]
        there = choose(steps + len(walk), before, here, fresh)
        used[here, there] = fewest + 1
        before, here = here, there
    return walk


def way_to(ways: Sequence[Sequence[int]], here: int, goal: Callable[[int, int], bool]) -> list[int]:
    """A shortest way whose last step (from, to) is a goal: the nodes after the first; empty where there is none."""
    came, waiting = {here: here}, deque([here])
    while waiting:
        node = waiting.popleft()
        for there in ways[node]:
            if goal(node, there):
                way = [there]
                while node != here:
                    way.append(node)
                    node = came[node]
                return way[::-1]
            if there not in came:
                came[there] = node
                waiting.append(there)
    return []
