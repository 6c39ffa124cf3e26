"""Looking ahead in a chapter, so that easier cells of a limb come before harder ones.

A cell that a later goal would need a bridge for anyway, and that is easier than what comes now, is brought now: it
costs no page more. What a later goal is for is left to it.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from kitgen.course.teaching import cell_order, own_cell, teaching_order
from kitgen.make.goals import Candidate, with_needs
from kitgen.page import learned, new_in


def easier_first(one: Candidate, later: Sequence[Candidate], known: Collection[str]) -> Iterator[tuple[str, Candidate]]:
    """Cells to be brought before a goal, easier ones of its limbs over the same, each with the later goal it is for.

    Args:
        one: the goal that comes next.
        later: those after it, in order.
        known: what has been learned.
    """
    if not any(goal.goal.line for goal in later):
        return
    now = _held(one)
    hardest: dict[str, tuple[int | str, ...]] = {}
    for boxes, whose in map(own_cell, new_in(now, known)):
        if boxes:
            hardest[whose] = max(hardest.get(whose, ()), cell_order(boxes))
    by_then, wanted, kept = learned([*known, *now]), dict[str, Candidate](), set[str]()
    for goal in later:
        held = _held(goal)
        new = sorted(new_in(held, by_then), key=lambda element: teaching_order(element, goal.goal.setup.on))
        kept |= set(new) if goal.goal.grid else {goal.goal.element or "".join(new[-1:])}
        wanted |= {element: goal for element in new if element not in wanted}
        by_then |= learned(held)
    cells = [element for element in wanted if element not in kept and own_cell(element)[0]]
    for element in sorted(cells, key=lambda element: cell_order(own_cell(element)[0])):
        boxes, whose = own_cell(element)
        if cell_order(boxes) < hardest.get(whose, ()):
            yield element, wanted[element]


def _held(one: Candidate) -> frozenset[str]:
    return one.needs.union(*(with_needs(held) for _, held in one.pages))


def in_usual_order(goals: Sequence[Candidate]) -> list[Candidate]:
    """Candidates whose tasks are as hard as they are, but for cells of one limb over the same: easier as counted.

    The loads of these are given out again, the least to the cell that is usually taught first.
    """
    kin: dict[str, list[int]] = {}
    for index, one in enumerate(goals):
        if one.goal.element.startswith("cell "):
            kin.setdefault(own_cell(one.goal.element)[1], []).append(index)
    eased = list(goals)
    for alike in kin.values():
        by_cell = sorted(alike, key=lambda index: cell_order(own_cell(goals[index].goal.element)[0]))
        loads = sorted(goals[index].task.load for index in alike)
        for index, load in zip(by_cell, loads, strict=True):
            eased[index] = replace(goals[index], task=goals[index].task._replace(load=load))
    return eased
