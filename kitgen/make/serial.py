"""A plan into a series of pages, each with exactly one element that was not met before.

Goals come in the order the planner finds. Before a goal whose page holds more than one new element come bridging pages,
each of which brings one of them and says what it is for. A chapter may end with a page of long rests, which may bring a
longer rest and nothing else, and a page to be graded, which brings nothing.
"""

from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

from kitgen.apply.registry import application
from kitgen.course.plan import Plan, Setup
from kitgen.course.turned import turned_round, with_setup
from kitgen.errors import OptionError, PlanError, ReadError
from kitgen.make.gridded import numbers_of
from kitgen.make.series_recipe import SeriesRecipe
from kitgen.make.series_run import Placed, Told, run_of
from kitgen.make.set_ups import NAMES
from kitgen.page import Page
from kitgen.read.kits import kit_named
from kitgen.read.plans import PlanFile, plan_named
from kitgen.read.players import player_named
from kitgen.read.toml_files import is_file


class Series(NamedTuple):
    """Pages in order.

    Args:
        title: of the whole.
        known: what is taken for granted.
        pages: every page, or those asked for, with recipes and heading.
        numbers: of each page, its number in the whole series.
        of: how many pages the whole series has.
        remarks: what was bridged and left out, a sentence each.
        chapters: title and number of the first page of each chapter of the whole series.
    """

    title: str
    known: tuple[str, ...]
    pages: tuple[Placed, ...]
    numbers: tuple[int, ...]
    of: int
    remarks: tuple[str, ...]
    chapters: tuple[tuple[str, int], ...]

    @property
    def unbroken(self) -> bool:
        """True if no page is left out between the first and the last, so that each builds on those before it."""
        return self.numbers == tuple(range(self.numbers[0], self.numbers[-1] + 1))


def series_of(recipe: SeriesRecipe, source: PlanFile, told: Told | None = None) -> Series:
    """The series a recipe asks for.

    Args:
        recipe: the recipe.
        source: the plan it names.
        told: is told of each page as it is made.

    Raises:
        PlanError: goals that contradict each other, or that no page can bring; other KitgenErrors for options that
            cannot be.
    """
    plan = _with_options(source.plan, recipe)
    try:
        known, placed, remarks, chapters = run_of(plan, told)
    except PlanError as error:
        raise PlanError(f"{source.words}, {error}") from None
    numbers = numbers_of(recipe.pages, len(placed))
    if recipe.as_ is not None:
        application(recipe.as_)
        numbers = tuple(number for number in numbers if placed[number - 1].application == recipe.as_)
        if not numbers:
            made = sorted({one.application for one in placed if one.application})
            raise OptionError(f"--as {recipe.as_}: none of these pages is one; there are {', '.join(made) or 'none'}")
    before = {element for one in placed[: numbers[0] - 1] for element in one.elements}
    pages = tuple(_finished(placed[number - 1], number, recipe, plan) for number in numbers)
    return Series(plan.title, tuple(sorted({*known, *before})), pages, numbers, len(placed), remarks, chapters)


def _with_options(plan: Plan, recipe: SeriesRecipe) -> Plan:
    """The plan with what the recipe says instead; said to be for the other hand it is turned round."""
    changes: dict[str, object] = {}
    if recipe.hand is not None and (recipe.hand == "left") != (plan.setup.hand == "left"):
        plan = turned_round(plan)
    if recipe.kit is not None or recipe.hand is not None:
        name = recipe.kit or plan.setup.kit
        hand = recipe.hand or plan.setup.hand
        own = kit_named(name, hand=recipe.hand) if recipe.kit else replace(plan.setup.on, hand=hand)
        changes |= {"kit": name, "hand": own.hand, "own_kit": own if is_file(name) else None}
    if recipe.player is not None:
        own_player = player_named(recipe.player)
        changes |= {"player": recipe.player, "own_player": own_player if is_file(recipe.player) else None}
    plan = with_setup(plan, **changes)
    heading = plan.heading if recipe.heading is None else recipe.heading
    return replace(plan, heading=heading, seed=plan.seed if recipe.seed is None else recipe.seed)


def _finished(one: Placed, number: int, recipe: SeriesRecipe, plan: Plan) -> Placed:
    """A page with its recipe and heading; who plays it, and on what, in the recipe where all of the plan is alike."""
    setups = {setup for chapter in plan.chapters for setup in (chapter.setup, *(g.setup for g in chapter.goals))}
    own = {name: getattr(one.setup, name) for name in NAMES if getattr(recipe, name) is None}
    own = {name: value for name, value in own.items() if value != getattr(Setup(), name) and not is_file(value)}
    alike = {name for name in own if len({getattr(setup, name) for setup in (plan.setup, *setups)}) == 1}
    said = {name: value for name, value in own.items() if name in alike}
    page = replace(one.page, recipe=str(replace(recipe, pages=str(number), as_=one.application, **said)))
    set_up = () if said.keys() == own.keys() else tuple(own.items())
    return one._replace(page=replace(page, heading=plan.heading), set_up=set_up)


@lru_cache(maxsize=4)
def _series_again(recipe: SeriesRecipe) -> Series:
    return series_of(recipe, plan_named(recipe.plan))


def remade(text: str) -> Page:
    """The page of a recipe that holds all it needs.

    Raises:
        ReadError: not such a recipe, not of one page, or its plan is in a file.
    """
    recipe = SeriesRecipe.parse(text)
    if recipe.from_file or is_file(recipe.plan):
        raise ReadError(f"the plan of this recipe is in a file: {recipe}; make it from there")
    number = recipe.pages or ""
    if not number.isdecimal():
        raise ReadError(f"this recipe makes more than one page: {recipe}; name one with --pages")
    whole = _series_again(replace(recipe, pages=None, as_=None))
    if not 1 <= int(number) <= len(whole.pages):
        raise ReadError(f"this series has pages 1 to {len(whole.pages)}: {recipe}")
    return whole.pages[int(number) - 1].page
