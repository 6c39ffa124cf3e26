"""The order of a plan's goals, so that each page brings one new element and bridging pages are few.

What is known after some goals is all that they hold, in whatever order they came and by whatever bridges; so the cost
of the rest depends on the set of goals done, and the cheapest order is found over sets. A page that holds k elements
not yet known takes k - 1 bridging pages before it; a page that holds none is out of order.

Up to ``EXACT`` goals the search is exact: fewest bridging pages, then the lowest load first, then as written. Beyond
it goes step by step: next is a goal that leaves each of the others something new, of these one with fewest bridging
pages, then lowest load, then as written. Sets of elements are bits of whole numbers here.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from math import inf
from typing import NamedTuple

from kitgen.page.progress import learned, new_in, taught_by

EXACT = 12
"""How many goals are ordered by exact search."""


class Task(NamedTuple):
    """A goal as its order is found.

    Args:
        pages: of each page in turn, its elements and whatever these can only be learned on top of.
        load: how hard it is; goals that cost the same come by it.
        aim: the element that the goal is about, which it alone may bring; empty where anything new will do.
    """

    pages: tuple[frozenset[str], ...]
    load: float = 0.0
    aim: str = ""


def order_of(tasks: Sequence[Task], known: Collection[str]) -> tuple[int, ...]:
    """The order of tasks, as indices; shorter than the tasks where the last of them would hold nothing new.

    Args:
        tasks: the goals.
        known: what has been learned before them.

    >>> feet, cell = frozenset({"ostinato samba"}), frozenset({"ostinato samba", "cell LH x.xx over samba"})
    >>> order_of([Task((cell,)), Task((feet,))], ())
    (1, 0)
    """
    space = _Space(tasks, known)
    return _exact(space) if len(tasks) <= EXACT else _step_by_step(space)


def bridges_of(tasks: Iterable[Task], known: Collection[str]) -> int | None:
    """How many bridging pages tasks take in this order; None where one of them would hold nothing new."""
    now, total = learned(known), 0
    for task in tasks:
        taught = False
        if task.aim and task.aim not in new_in(task.pages[0], now):
            return None
        for page in task.pages:
            if new := new_in(page, now):
                taught, total = True, total + len(new) - 1
                now |= learned(page)
        if not taught:
            return None
    return total


def contradiction(tasks: Sequence[Task], known: Collection[str]) -> tuple[int, ...]:
    """A smallest set of tasks, as indices, that no order gives something new each; empty if there is none.

    Smallest: without any one of them the others can be ordered.
    """
    kept = list(range(len(tasks)))
    if len(order_of(tasks, known)) == len(tasks):
        return ()
    for index in list(kept):
        fewer = [tasks[other] for other in kept if other != index]
        if len(order_of(fewer, known)) < len(fewer):
            kept.remove(index)
    return tuple(kept)


class _Space:
    """Tasks as bits: which elements each page holds that are not known at the start, and what each teaches."""

    def __init__(self, tasks: Sequence[Task], known: Collection[str]) -> None:
        self.tasks = tasks
        start = learned(known)
        names = sorted({element for task in tasks for page in task.pages for element in page} - start)
        bit = {name: 1 << index for index, name in enumerate(names)}
        self.teaches = [sum(bit[less] for less in taught_by(name) if less in bit and less != name) for name in names]
        self.learned = [sum(bit[less] for less in learned([name]) if less in bit) for name in names]
        self.pages = [[sum(bit[name] for name in page if name in bit) for page in task.pages] for task in tasks]
        self.gains = [self._closed(pages) for pages in self.pages]
        self.aims = [bit.get(task.aim, -1) if task.aim else 0 for task in tasks]

    def _closed(self, pages: Iterable[int]) -> int:
        held = 0
        for page in pages:
            held |= page
        for index in _bits(held):
            held |= self.learned[index]
        return held

    def cost(self, index: int, known: int) -> float:
        """Bridging pages a task takes; infinitely many where it holds nothing new."""
        total, taught, aim = 0, False, self.aims[index]
        if aim < 0 or aim & known:
            return inf
        for page in self.pages[index]:
            fresh = page & ~known
            if fresh:
                less = 0
                for element in _bits(fresh):
                    less |= self.teaches[element]
                if aim & less:
                    return inf
                total += (fresh & ~less).bit_count() - 1
                taught = True
                known |= self._closed([page]) if len(self.pages[index]) > 1 else 0
        return total if taught else inf


def _bits(number: int) -> Iterator[int]:
    while number:
        low = number & -number
        yield low.bit_length() - 1
        number ^= low


def _exact(space: _Space) -> tuple[int, ...]:
    """Over sets of tasks done: the least cost of the rest, from the whole set down; then forward along it."""
    size = len(space.tasks)
    known = [0] * (1 << size)
    for done in range(1, 1 << size):
        low = done & -done
        known[done] = known[done ^ low] | space.gains[low.bit_length() - 1]
    rest = [0.0] * (1 << size)
    costs: list[tuple[tuple[float, int], ...]] = [()] * (1 << size)
    for done in range((1 << size) - 2, -1, -1):
        left = _bits(~done & ((1 << size) - 1))
        costs[done] = tuple((space.cost(index, known[done]) + rest[done | 1 << index], index) for index in left)
        rest[done] = min(costs[done])[0]
    order, done = list[int](), 0
    while len(order) < size and rest[done] < inf:
        _, index = min((space.tasks[index].load, index) for cost, index in costs[done] if cost == rest[done])
        order.append(index)
        done |= 1 << index
    return tuple(order)


def _step_by_step(space: _Space) -> tuple[int, ...]:
    order, left, known = list[int](), list(range(len(space.tasks))), 0
    while left:
        ready = [
            (_left_empty(space, left, index, known), cost, space.tasks[index].load, index)
            for index in left
            if (cost := space.cost(index, known)) < inf
        ]
        if not ready:
            break
        index = min(ready)[-1]
        order.append(index)
        left.remove(index)
        known |= space.gains[index]
    return tuple(order)


def _left_empty(space: _Space, left: Sequence[int], index: int, known: int) -> int:
    """How many of the other tasks could not come after one."""
    after = known | space.gains[index]
    return sum(1 for other in left if other != index and space.cost(other, after) == inf)
