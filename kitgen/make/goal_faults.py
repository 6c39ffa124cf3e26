"""What is wrong with a plan's goals, said for the teacher who wrote it: which goal, what is in the way, what to do."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from kitgen.course.lessons import lesson
from kitgen.course.plan import Goal, Plan, Setup
from kitgen.course.ways import ostinatos_named
from kitgen.errors import KitgenError, PlanError
from kitgen.kit import HAND_LIMBS, Limb
from kitgen.make.goals import besides_of, limbs_of
from kitgen.page import learned
from kitgen.page.progress import OVER, WITH

_SHOWN = 6
_METERS = ("4/4", "3/4", "2/4", "6/8", "12/8")


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
        _check_sound(goal, plan)
        _check_ostinatos(goal)
        for limb in limbs_of(goal):
            if not goal.setup.by.plays(limb):
                raise PlanError(
                    f"{goal.where}: {goal.element} needs the {limb.words}, and {goal.setup.by.words} plays without it; "
                    "leave the goal out, or name another player"
                )


def _check_sound(goal: Goal, plan: Plan) -> None:
    """Raise at a sound that the kit has not, naming all such of the plan.

    Raises:
        PlanError: says what the kit has, and what to do.
    """
    if not _lacks(goal):
        return
    there = goal.setup.on
    goals = [one for chapter in plan.chapters for one in chapter.goals if one.setup.on == there and _lacks(one)]
    lacking = ", ".join(dict.fromkeys(one.element.split()[-1] for one in goals))
    raise PlanError(
        f"{goal.where}: the {there.name} kit has no {lacking}; it has "
        f"{', '.join(there.surfaces)}; name another kit, or leave those goals out in a plan of your own"
    )


def _lacks(goal: Goal) -> bool:
    return goal.element.startswith("sound ") and goal.element.split()[-1] not in goal.setup.on


def _check_ostinatos(goal: Goal) -> None:
    """Raise at ostinatos that do not fit the goal's meter, or that hold the limb which is to play over them.

    Raises:
        PlanError: says which meter would do, or which limbs are free.
    """
    names = WITH.join(ostinatos_of(goal.element))
    own = goal.element.partition(" ")[2] if goal.element.startswith("cell ") else ""
    if not names:
        return
    try:
        kept = [pattern for pattern, _ in ostinatos_named(names, goal.setup)]
    except KitgenError as error:
        meter = next((meter for meter in _METERS if _fits(names, replace(goal.setup, meter=meter))), None)
        told = f'{names} does not fit {goal.setup.meter}; give the goal meter = "{meter}"' if meter else str(error)
        raise PlanError(f"{goal.where}: {told}") from error
    held = {limb for pattern in kept for limb in pattern.limbs}
    asked = HAND_LIMBS if own.startswith("hands ") else [Limb[name] for name in own.split(" ")[0].split("+") if name]
    for limb in asked:
        if limb in held:
            free = ", ".join(f"{other.words} ({other.name})" for other in Limb if other not in held) or "no limb"
            raise PlanError(
                f"{goal.where}: {goal.element}: the {limb.words} ({limb.name}) is busy, {names} holds it; "
                f"free over it: {free}"
            )


def ostinatos_of(element: str) -> tuple[str, ...]:
    """The names of the ostinatos of an element.

    >>> ostinatos_of("cell LH x over hat-2-4 with ride-rock"), ostinatos_of("tie")
    (('hat-2-4', 'ride-rock'), ())
    """
    kind, _, rest = element.partition(" ")
    names = rest if kind == "ostinato" else rest.partition(OVER)[2] if kind == "cell" else ""
    return tuple(names.split(WITH)) if names else ()


def _fits(names: str, setup: Setup) -> bool:
    """True where ostinatos fit the meter and the kit of a setup."""
    try:
        return bool(ostinatos_named(names, setup))
    except KitgenError:
        return False


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
    if besides := besides_of(element, known, setup):
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
