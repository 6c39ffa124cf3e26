"""A tour proved from its notes: every change that its recipe requires is met, and no rule broken.

Nothing is taken from what the page says of itself but its recipe, which tells the limbs, the slots, the ostinato and
the rules; sets, changes and runs are read from the strokes.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby

from kitgen.errors import KitgenError
from kitgen.grid.tour_pages import Sheet, sheet_makers
from kitgen.grid.tour_plan import TourPlan, over_ground, set_words, sets_in
from kitgen.grid.tours import Run, Tour
from kitgen.kit import KITS, PLAYERS, kit, player
from kitgen.make.gridded import numbers_of
from kitgen.make.tour_recipe import TourRecipe
from kitgen.make.toured import plan_of
from kitgen.page import Page
from kitgen.pattern import project
from kitgen.time import count_name

_MOST_IN_A_ROW = {Run.ONCE: 1, Run.TWICE: 2}
_TIMES = ("never", "once", "twice")


def tour_findings(page: Page) -> Iterator[str]:
    """What is missing from a page whose recipe is of ``kitgen tour``, or should not be in it; nothing of other pages.

    A page for a player of a file's own cannot be proved where the file decides what is left out.
    """
    try:
        sheet = _sheet(TourRecipe.parse(page.recipe))
    except KitgenError:
        return
    if sheet is None or sheet.plan is None:
        return
    plan = sheet.plan
    stray = next((hit for hit in page.pattern.hits if hit.limb in plan.limbs and hit.onset % plan.slot), None)
    if stray is not None:
        where = count_name(page.pattern.meters, stray.onset)
        yield f"{where}: the {stray.limb.words} strikes between slots, so that this is no tour of {plan.subdivision}"
        return
    yield from _of_ground(page, plan)
    sets = sets_in(plan, page.pattern)
    if sheet.tour is None:
        yield from _of_sets(plan, sets)
    else:
        yield from _of_changes(plan, sheet.tour, sets)


def _sheet(recipe: TourRecipe) -> Sheet | None:
    """The sheet of a page's recipe; None where a file would have to be read."""
    if recipe.playable and recipe.player not in PLAYERS:
        return None
    there = kit(recipe.kit if recipe.kit in KITS else "standard", hand=recipe.hand)
    by = player(recipe.player if recipe.player in PLAYERS else "school")
    makers = sheet_makers(plan_of(recipe, on=there, by=by))
    numbers = numbers_of(recipe.pages, len(makers))
    return makers[numbers[0] - 1]() if len(numbers) == 1 else None


def _of_ground(page: Page, plan: TourPlan) -> Iterator[str]:
    """The ostinato, which every row keeps from its first bar to its last."""
    if not plan.under_one:
        return
    kept = over_ground(plan, (), len(page.bars))
    if project(page.pattern, *kept.limbs).hits != kept.hits:
        yield f"{plan.ground.title}: not kept throughout, so that places of it are others than the proof says"


def _of_sets(plan: TourPlan, sets: tuple[int, ...]) -> Iterator[str]:
    missing = sorted(set(range(1, 1 << len(plan.limbs))) - set(sets))
    if missing:
        what = "1 set of limbs is" if len(missing) == 1 else f"{len(missing)} sets of limbs are"
        yield f"{what} not on the page, the first {set_words(missing[0], plan.limbs)}"


def _of_changes(plan: TourPlan, tour: Tour, sets: tuple[int, ...]) -> Iterator[str]:
    """Changes that are missing, that should not be there, or that come twice where once would do; runs too long."""
    played = replace(tour, sets=sets)
    required = set(tour.changes)
    missing = sorted(required - set(played.changes))
    if missing:
        are = "change is" if len(missing) == 1 else "changes are"
        yield f"{len(missing)} of {tour.required} {are} not met, the first {_change_words(missing[0], plan, tour)}"
    if others := sorted(set(played.changes) - required):
        yield f"{len(others)} changes are against its rules, the first {_change_words(others[0], plan, tour)}"
    if not missing:
        yield from _of_length(tour, played)
    most = {limb: _MOST_IN_A_ROW.get(run) for limb, run in zip(plan.limbs, plan.runs, strict=True)}
    for bit, (limb, limit) in enumerate(most.items()):
        if limit is not None and _longest_run(sets, bit) > limit:
            yield f"the {limb.words} strikes more than {_TIMES[limit]} in a row"


def _of_length(tour: Tour, played: Tour) -> Iterator[str]:
    """A page of more slots than its tour, or where the tour has each change once, of changes that come oftener."""
    often = set(Counter(played.changes).values())
    if len(played.sets) % len(tour.sets) or (len(tour.sets) == tour.bound == tour.required and len(often) > 1):
        yield (
            f"{len(played.sets)} slots in which some changes come more often than others, so that it is not the "
            f"shortest; {len(tour.sets)} would do"
        )


def _change_words(change: tuple[int, int, int], plan: TourPlan, tour: Tour) -> str:
    place, here, there = change
    where = f" at place {place + 1} of {plan.ground.title}" if tour.places > 1 else ""
    return f"from {set_words(here, plan.limbs)} to {set_words(there, plan.limbs)}{where}"


def _longest_run(sets: tuple[int, ...], bit: int) -> int:
    """The longest run of strokes of one limb, round into the repeat."""
    struck = [mask >> bit & 1 for mask in (*sets, *sets)]
    return max((len(list(run)) for stroke, run in groupby(struck) if stroke), default=0)
