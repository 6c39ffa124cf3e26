"""A plan changed as a whole: with another kit or player, or turned round for the other hand."""

from collections.abc import Callable
from dataclasses import replace

from kitgen.course.naming import mirrored
from kitgen.course.plan import Goal, Known, KnownLine, Plan, Setup


def with_setup(plan: Plan, **changes: object) -> Plan:
    """A plan with some of the setup of everything in it changed."""
    if not changes:
        return plan

    def changed(setup: Setup) -> Setup:
        return replace(setup, **changes)  # type: ignore[arg-type]  # fields of a setup

    return _all_goals(replace(plan, setup=changed(plan.setup)), lambda goal: replace(goal, setup=changed(goal.setup)))


def turned_round(plan: Plan) -> Plan:
    """A plan for the other hand: what it knows and what its goals name, left and right swapped."""
    return _all_goals(replace(plan, known=tuple(map(_known_turned, plan.known))), _goal_turned)


def _known_turned(known: Known) -> Known:
    if isinstance(known, str):
        return mirrored(known)
    if isinstance(known, KnownLine):
        return replace(known, voice=mirrored(known.voice))
    return replace(known, plan=turned_round(known.plan))


def _goal_turned(goal: Goal) -> Goal:
    options = {key: mirrored(value) if isinstance(value, str) else value for key, value in goal.options.items()}
    return replace(goal, element=mirrored(goal.element), options=options)


def _all_goals(plan: Plan, change: Callable[[Goal], Goal]) -> Plan:
    """A plan with every goal changed, and each chapter's setup as that of a goal would be."""
    chapters = []
    for chapter in plan.chapters:
        setup = change(Goal("", setup=chapter.setup)).setup
        chapters.append(replace(chapter, setup=setup, goals=tuple(map(change, chapter.goals))))
    return replace(plan, chapters=tuple(chapters))
