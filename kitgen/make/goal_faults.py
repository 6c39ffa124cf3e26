"""What is wrong with a plan's goals, said for the teacher who wrote it: which goal, what is in the way, what to do."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from kitgen.course.lessons import lesson, wants
from kitgen.course.plan import Goal, Plan, Setup
from kitgen.errors import PlanError
from kitgen.make.goals import limbs_of
from kitgen.page import learned

_SHOWN = 6


def check_goals(plan: Plan, known: frozenset[str]) -> None:
    """Raise at goals that are known already, that come twice, or that a player or a kit lacks something for.

    Raises:
        PlanError: names the first of them.
    """
    first: dict[str, str] = {}
    for goal in (goal for chapter in plan.chapters for goal in chapter.goals):
        if not goal.element:
            continue
        if goal.element in known:
            raise PlanError(f"{goal.where}: {goal.element} is already in known; take it out of one of the two")
        if goal.element in first:
            raise PlanError(f"{goal.where}: {goal.element} is a goal twice, first in {first[goal.element]}; keep one")
        first[goal.element] = goal.where
        kind, label = goal.element.partition(" ")[0], goal.element.split()[-1]
        if kind == "sound" and label not in goal.setup.on:
            raise PlanError(
                f"{goal.where}: the {goal.setup.on.name} kit has no {label}; it has {', '.join(goal.setup.on.surfaces)}"
            )
        for limb in limbs_of(goal):
            if not goal.setup.by.plays(limb):
                raise PlanError(
                    f"{goal.where}: {goal.element} needs the {limb.words}, and {goal.setup.by.words} plays without it; "
                    "leave the goal out, or name another player"
                )


def contradictory(goals: Sequence[Goal]) -> str:
    """Goals that no order gives something new each."""
    names = "; ".join(f"{goal.where}: {goal.words}" for goal in goals)
    if len(goals) == 1:
        return f"{names} holds nothing that is not known before it; a page brings one new element"
    return (
        "these goals contradict each other, since in whatever order they come one of them holds nothing that the "
        f"others have not brought: {names}; leave one out, or give it something of its own"
    )


def brought_before(goal: Goal, brought: Mapping[str, str]) -> str:
    """A goal whose element another page has brought; ``brought`` says of each element for which goal it came."""
    by = next((who for element, who in brought.items() if goal.element in learned([element])), "what is known")
    return f'{goal.where}: {goal.element} is brought before it, for {by}; put it before that, or say order = "free"'


def comes_with(goal: Goal, needs: Collection[str]) -> str:
    """A goal whose element is taught by what it needs."""
    teacher = next(element for element in needs if goal.element in learned([element]) - {element})
    return (
        f"{goal.where}: {goal.element} takes {teacher}, not known by then, and comes with it; make {teacher} the goal, "
        "or name it in known"
    )


def nothing_new(goal: Goal, held: Collection[str], brought: Mapping[str, str]) -> str:
    """A goal whose pages hold only what is known, and after which goals that is so."""
    after = list(dict.fromkeys(who for element, who in brought.items() if element in held))[-3:]
    told = f" after {'; '.join(after)}" if after else ""
    return (
        f"{goal.where}: {goal.words} holds nothing that is not known{told}; put it earlier, "
        'say order = "free", or give it something new'
    )


def unreachable(goal: Goal, missing: Sequence[str], known: Collection[str]) -> str:
    """A goal that takes elements which no page can bring, what these would take, and what there is near them."""
    parts = [f"{element} ({_in_the_way(element, goal.setup, known)})" for element in missing[:3]]
    return (
        f"{goal.where}: {goal.words} cannot be reached: no page brings {'; nor '.join(parts)}; "
        "bring what is missing by goals before it, or name it in known"
    )


def _in_the_way(element: str, setup: Setup, known: Collection[str]) -> str:
    if besides := wants(element, known, setup):
        return f"would take {', '.join(besides)} besides"
    if lesson(element, known, replace(setup, player="advanced", own_player=None)) is not None:
        return f"too fast for {setup.by.words} however slow the page is"
    return f"{_takes(element)}known by then: {_near(element, known)}"


def _takes(element: str) -> str:
    """What kind of cells an element is made of, where it is made of cells."""
    kind, _, rest = element.partition(" ")
    parts = {"feel swing eighths": "2", "feel swing sixteenths": "4"}.get(element, "")
    if kind == "change":
        parts = rest.replace("-", " and in ")
    return f"it takes cells in {parts} parts; " if parts else ""


def _near(element: str, known: Collection[str]) -> str:
    """What is known of the kind and limb of an element, in few words."""
    words = element.split()
    stem = " ".join(words[:2]) + " " if words[0] in ("cell", "sound") else "cell "
    near = sorted(one for one in known if one.startswith(stem))
    if not near:
        return f"nothing of {stem.strip()}"
    return ", ".join(near[:_SHOWN]) + (" ..." if len(near) > _SHOWN else "")
