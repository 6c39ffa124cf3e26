"""What a plan's goals take: their pages where those are fixed, and the elements these hold.

A goal of an element has no page of its own before its turn: the page is composed from what is known then. What it
takes is that element, and what has to be known before a page can bring it alone.
"""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, fields

from kitgen.apply import OSTINATOS, ostinato
from kitgen.apply.limb import usual_surface
from kitgen.apply.ostinatos import set_for
from kitgen.course.lessons import lesson, wants
from kitgen.course.naming import needs_of
from kitgen.course.plan import Goal, Setup
from kitgen.course.planner import Task
from kitgen.course.ways import elements, way_of
from kitgen.errors import KitgenError, PlanError, UnknownNameError
from kitgen.kit import Limb, surface
from kitgen.make.applied import page_of
from kitgen.make.grid_recipe import GridRecipe
from kitgen.make.gridded import gridded
from kitgen.make.recipe import ApplyRecipe
from kitgen.page import Page, learned
from kitgen.pattern.load import load_of

_GRID_OPTIONS = {item.name for item in fields(GridRecipe)} - {"pages", "heading", "sums", "title", "tracks", "repeats"}

_OF_KNOWN = ("meter", "value", "tie", "rest", "feel", "ornament", "contrast")
"""Kinds of element whose pages are made of what is known already."""


@dataclass(frozen=True)
class Candidate:
    """A goal with its pages.

    Args:
        goal: the goal.
        pages: its pages, with the elements of each; none where they are composed in their turn.
        needs: an element, and what has to be known before it whatever else is.
        task: what it takes, for the planner.
        application: what its pages count as an application of.
    """

    goal: Goal
    pages: tuple[tuple[Page, frozenset[str]], ...]
    needs: frozenset[str]
    task: Task
    application: str | None = None


def candidate(goal: Goal, sounds: Collection[str], *, known: Collection[str] | None = None) -> Candidate:
    """A goal with its pages and what they take.

    Args:
        goal: the goal.
        sounds: the sounds that are known at the start, or that other goals of the plan bring.
        known: what has been learned before its chapter, where its order is free: what a page about an element takes
            besides, and how hard pages are, is then worked out as well.

    Raises:
        PlanError: its line cannot be laid so, or its grid cannot be; says where the goal is and why.
    """
    if goal.element:
        needs = frozenset(_needs(goal, sounds))
        task = Task((needs,), aim=goal.element) if known is None else _task_of(goal, needs, known)
        return Candidate(goal, (), needs, task, _application_of(goal))
    try:
        pages = _line_pages(goal) if goal.line is not None else _grid_pages(goal)
        application = str(goal.options["as_"]) if goal.line is not None else None
        made = tuple((page, frozenset(elements(page, goal.setup.on, application))) for page in pages)
    except KitgenError as error:
        raise PlanError(f"{goal.where}: {error}") from error
    rows = [row for page in pages for row in page.rows] if known is not None else []
    hardest = max((load_of(row.pattern).total for row in rows), default=0.0)
    return Candidate(goal, made, frozenset(), Task(tuple(with_needs(held) for _, held in made), hardest), application)


def _task_of(goal: Goal, needs: frozenset[str], known: Collection[str]) -> Task:
    """What a page about an element takes of a class that knows so much, and how hard its hardest row is."""
    before = learned([*known, *(needs - {goal.element})])
    besides = besides_of(goal.element, before, goal.setup)
    page = lesson(goal.element, learned([*before, *besides]), goal.setup)
    rows = page.rows if page is not None else ()
    hardest = max((load_of(row.pattern).total for row in rows), default=0.0)
    return Task((with_needs([*needs, *besides]),), hardest, goal.element)


def _application_of(goal: Goal) -> str | None:
    kind, _, name = goal.element.partition(" ")
    return name if kind == "application" else None


def _line_pages(goal: Goal) -> tuple[Page, ...]:
    assert goal.line is not None
    line, words = goal.line
    setup = goal.setup
    wanted = {"tempo": setup.tempo, "swing": setup.swing, "swing_unit": setup.swing_unit, "surface": setup.surface}
    shared = {"line": words, "meter": setup.meter, "kit": setup.kit, "hand": setup.hand, "player": setup.player}
    recipe = ApplyRecipe(**{**shared, **wanted, **goal.options})  # type: ignore[arg-type]  # read as their own types
    return (page_of(recipe, line, on=setup.on, by=setup.by),)


def _grid_pages(goal: Goal) -> tuple[Page, ...]:
    for key in goal.options:
        if key not in _GRID_OPTIONS:
            names = sorted(name.replace("_", "-") for name in _GRID_OPTIONS)
            raise UnknownNameError("option of a grid", key.replace("_", "-"), names)
    if "moving" not in goal.options:
        raise PlanError('a grid says which limb moves, such as moving = "LH"')
    setup = goal.setup
    wanted = {"tempo": setup.tempo, "swing": setup.swing, "swing_unit": setup.swing_unit, "surface": setup.surface}
    shared = {"meter": setup.meter, "kit": setup.kit, "hand": setup.hand, "player": setup.player}
    recipe = GridRecipe(**{**shared, **wanted, **goal.options})  # type: ignore[arg-type]  # held against its fields above
    return gridded(recipe, on=setup.on, by=setup.by).pages


# ---- what elements take ----------------------------------------------------------------------------------------------


def with_needs(held: Iterable[str]) -> frozenset[str]:
    """Elements, and what has to be known before each of them."""
    found = set(held)
    waiting = list(found)
    while waiting:
        more = set(needs_of(waiting.pop())) - found
        found |= more
        waiting += more
    return frozenset(found)


def limbs_of(goal: Goal) -> tuple[Limb, ...]:
    """The limbs that the element of a goal names, or that an ostinato it names holds."""
    words = set(goal.element.replace("+", " ").split())
    held = {
        limb
        for name in words & OSTINATOS.keys()
        if goal.element.startswith(("cell ", "ostinato "))
        for limb in set_for(goal.setup.on, ostinato(name)).limbs
    }
    return tuple(limb for limb in Limb if limb.name in words or limb in held)


def besides_of(element: str, known: Collection[str], setup: Setup) -> tuple[str, ...]:
    """What a class has to learn before a page about an element can be made.

    What that page holds besides; where there is no such page at all, a sound to play it on, or the beat itself.
    """
    if found := wants(element, known, setup):
        return found
    kind, _, rest = element.partition(" ")
    missing = set[str]()
    if kind == "cell":
        missing.update(_sounds_for(rest.split()[0], setup, [one for one in known if one.startswith("sound ")]))
    elif kind in _OF_KNOWN and (way := way_of(setup, None, known)) is not None:
        missing.add(way.cell("x"))
    return tuple(sorted(missing - {element, *known}))


def _needs(goal: Goal, sounds: Collection[str]) -> Iterator[str]:
    """The element of a goal, what it needs, its meter, and a sound for each limb that plays it."""
    kind, _, rest = goal.element.partition(" ")
    yield from with_needs([goal.element])
    if kind != "meter":
        yield f"meter {goal.setup.meter}"
    if kind == "cell":
        yield from _sounds_for(rest.split()[0], goal.setup, sounds)
    if kind in ("parts", "turns"):
        for voice in rest.split("+"):
            yield from _sounds_for(voice, goal.setup, sounds)


def _sounds_for(voice: str, setup: Setup, sounds: Collection[str]) -> Iterator[str]:
    """Sounds a voice can play its cells on: the one it is to have, else one it has, else its usual one."""
    if voice == "hands":
        both = [{sound.split()[2] for sound in sounds if sound.startswith(f"sound {limb} ")} for limb in ("RH", "LH")]
        if not both[0] & both[1]:
            yield from (f"sound {limb} {setup.surface or 'snare'}" for limb in ("RH", "LH"))
        return
    chosen = setup.surface
    for limb in voice.split("+"):
        if chosen is not None and (surface(chosen).struck_by == "hand") == Limb[limb].is_hand:
            yield f"sound {limb} {chosen}"
        elif not any(sound.startswith(f"sound {limb} ") for sound in sounds):
            yield f"sound {limb} {usual_surface(Limb[limb], setup.on)}"
