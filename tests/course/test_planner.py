"""The order of goals: the exact search against every order there is, the heuristic, and goals that contradict."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.course.planner import EXACT, Task, bridges_of, contradiction, order_of
from tests.strategies import elements, fewer

SAMBA, OVER = "ostinato samba", "cell LH x.xx over samba"


def task(*pages: str, load: float = 0.0) -> Task:
    """A goal of pages, each as its elements with semicolons between."""
    return Task(tuple(frozenset(page.split("; ")) for page in pages), load)


_pages = st.frozensets(elements(), min_size=1, max_size=4)
_tasks = st.lists(
    st.one_of(
        st.builds(Task, st.lists(_pages, min_size=1, max_size=2).map(tuple), st.sampled_from((0.0, 1.0, 2.0))),
        st.builds(lambda aim, page: Task((page | {aim},), aim=aim), elements(), _pages),
    ),
    max_size=5,
)


@fewer
@given(_tasks, st.frozensets(elements(), max_size=4))
def test_the_exact_search_finds_the_best_of_every_order(tasks: list[Task], known: frozenset[str]) -> None:
    """Fewest bridging pages of all orders, then lowest load first, then as written; no order where there is none."""
    costs = {
        order: cost
        for order in permutations(range(len(tasks)))
        if (cost := bridges_of([tasks[index] for index in order], known)) is not None
    }
    found = order_of(tasks, known)
    if not costs:
        assert len(found) < len(tasks)
    else:
        least = min(costs.values())
        best = [order for order, cost in costs.items() if cost == least]
        assert found == min(best, key=lambda order: [(tasks[index].load, index) for index in order])


@fewer
@given(_tasks, st.frozensets(elements(), max_size=4))
def test_a_contradiction_is_as_small_as_can_be(tasks: list[Task], known: frozenset[str]) -> None:
    """Its goals cannot be ordered, and without any one of them the others can."""
    stuck = [tasks[index] for index in contradiction(tasks, known)]
    assert bool(stuck) == (len(order_of(tasks, known)) < len(tasks))
    if stuck:
        assert len(order_of(stuck, known)) < len(stuck)
        for index in range(len(stuck)):
            others = stuck[:index] + stuck[index + 1 :]
            assert len(order_of(others, known)) == len(others)


@pytest.mark.parametrize(
    ("tasks", "known", "order", "bridges"),
    [
        ([task(f"{SAMBA}; {OVER}"), task(SAMBA)], [], (1, 0), 0),
        ([task(f"{SAMBA}; {OVER}")], [], (0,), 1),
        ([task("tie"), task("value half", load=-1)], [], (1, 0), 0),
        ([task("rest 8 bars"), task("rest 4 bars")], [], (1, 0), 0),
        ([task("rest 4 bars")], ["rest 8 bars"], (), None),
        ([task(SAMBA, f"{SAMBA}; {OVER}"), task("tie")], [], (0, 1), 0),
        ([task(SAMBA, f"{SAMBA}; {OVER}")], [SAMBA], (0,), 0),
        ([], ["tie"], (), 0),
        ([Task((frozenset({"tie", "value half"}),), aim="value half"), task("value half; value whole")], [], (0, 1), 1),
        ([Task((frozenset({"cell LH x", "sound LH snare"}),), aim="cell LH x")], [], (), None),
        ([Task((frozenset({"tie", "value half"}),), aim="tie")], ["tie"], (), None),
    ],
)
def test_orders(tasks: list[Task], known: list[str], order: tuple[int, ...], bridges: int | None) -> None:
    """What others stand on comes first; of a goal of several pages those that bring nothing new are passed over."""
    assert order_of(tasks, known) == order
    assert bridges_of(tasks if bridges is None else [tasks[index] for index in order], known) == bridges


def test_goals_that_hold_the_same_contradict_each_other() -> None:
    """Whichever of the two comes second has nothing new; the others are not blamed."""
    tasks = [task("tie"), task("value half; tie"), task("meter 3/4; value whole"), task("value whole; meter 3/4")]
    assert contradiction(tasks, []) == (2, 3)
    assert contradiction(tasks[:3], []) == ()


def test_many_goals_are_ordered_step_by_step() -> None:
    """Beyond the exact search a chain of goals, written backwards, still comes in the one order without bridges."""
    size = EXACT + 8
    names = [f"value {index}" for index in range(size)]
    tasks = [task("; ".join(names[: index + 1])) for index in reversed(range(size))]
    assert order_of(tasks, []) == tuple(reversed(range(size)))


@fewer
@given(st.lists(_pages, min_size=EXACT + 1, max_size=EXACT + 4))
def test_the_heuristic_orders_every_goal_or_says_where_it_ends(pages: list[frozenset[str]]) -> None:
    """What it gives is an order of different goals, each with something new."""
    tasks = [Task((page,)) for page in pages]
    order = order_of(tasks, [])
    assert len(set(order)) == len(order)
    assert bridges_of([tasks[index] for index in order], []) is not None
