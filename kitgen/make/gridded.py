"""Grids into pages: a recipe's words to a grid, and its steps to pages with tempi and recipes of their own."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import NamedTuple

from kitgen.apply import check_under
from kitgen.errors import OptionError, RefusedError
from kitgen.grid.grids import FREE, Grid, Step, steps_of
from kitgen.grid.sheets import sheet_of
from kitgen.grid.tempi import SLOWEST_SWING, usual_tempo
from kitgen.kit import Kit, Limb, Player, kit, player
from kitgen.make.applied import carried, tempo_of
from kitgen.make.grid_recipe import GridRecipe
from kitgen.make.playable import fitted
from kitgen.page import Page, felt
from kitgen.pattern import Feel
from kitgen.pattern.swing import played_onsets
from kitgen.time import Meter, Meters


def grid_of(recipe: GridRecipe, *, on: Kit | None = None) -> Grid:
    """The grid a recipe's words ask for.

    Args:
        recipe: the recipe.
        on: the kit it names, where that is not built in.

    Raises:
        KitgenError: words that cannot be read.
    """
    meter = Meter.parse(recipe.meter)
    under = tuple(part.strip() for part in recipe.under.split(",") if part.strip())
    for one in under:
        check_under(one, Meters.of(meter))
    return Grid(
        meter,
        on or kit(recipe.kit, hand=recipe.hand),
        moving_of(recipe.moving),
        tuple(dict.fromkeys(under)),
        tuple(dict.fromkeys(part.strip() for part in recipe.cells.split(",") if part.strip())),
        recipe.time,
        recipe.span,
        recipe.surface,
        recipe.order,
        recipe.row_bars,
        recipe.seed,
        straight=recipe.swing is not None and not Feel.parse(recipe.swing, unit=recipe.swing_unit).unit,
        polyrhythm=recipe.polyrhythm,
    )


def moving_of(words: str) -> tuple[tuple[Limb, ...], ...]:
    """The limbs that move, one by one or in pairs; empty for each one that is free.

    >>> moving_of("LH,RH+LH") == ((Limb.LH,), (Limb.RH, Limb.LH)), moving_of("free")
    (True, ())

    Raises:
        UnknownNameError: no such limb; OptionError: none at all.
    """
    if words.strip().lower() == FREE:
        return ()
    found = [tuple(Limb.parse(limb) for limb in one.split("+")) for one in words.split(",") if one.strip()]
    if not found:
        raise OptionError("--moving names no limb; name one (LH), several in turn (RH,LH), a pair (RH+LH), or free")
    return tuple(dict.fromkeys(found))


def title_of(recipe: GridRecipe) -> str:
    """What a series is called when nobody says."""
    who = "every free limb" if not moving_of(recipe.moving) else recipe.moving.upper().replace(",", ", ")
    over = "" if recipe.under == "none" else f" over {recipe.under.replace(',', ', ')}"
    return f"Grid: {who}{over}, {recipe.cells.replace(',', ', ')}"


def numbers_of(words: str | None, count: int) -> tuple[int, ...]:
    """The pages asked for, from 1: all, one (``3``) or a range (``3-6``).

    >>> numbers_of("3-5", 16), numbers_of("2", 16), len(numbers_of(None, 16))
    ((3, 4, 5), (2,), 16)

    Raises:
        OptionError: no such pages.
    """
    if words is None:
        return tuple(range(1, count + 1))
    first, dash, last = words.partition("-")
    if not first.strip().isdecimal() or (dash and not last.strip().isdecimal()):
        raise OptionError(f"--pages {words}: a page's number, or a range such as 3-6")
    low, high = int(first), int(last) if dash else int(first)
    if not 1 <= low <= high <= count:
        turned = f"; did you mean {high}-{low}?" if 1 <= high < low <= count else ""
        raise OptionError(f"--pages {words}: there are pages 1 to {count}{turned}")
    return tuple(range(low, high + 1))


def chapters_of(steps: Sequence[Step], numbers: Sequence[int]) -> tuple[tuple[str, int], ...]:
    """What a grid goes through, where several limbs move in turn or over several grounds: title and first page of each.

    Args:
        steps: the steps.
        numbers: of each, the number of its page.
    """
    found: dict[tuple[str, tuple[Limb, ...]], int] = {}
    for step, number in zip(steps, numbers, strict=True):
        found.setdefault((step.ground.short, tuple(voice.limb for voice in step.voices)), number)
    if len([limbs for _, limbs in found if limbs]) < 2:
        return ()
    return tuple((_chapter(over, limbs), number) for (over, limbs), number in found.items())


def _chapter(over: str, limbs: Sequence[Limb]) -> str:
    who = " and ".join(limb.words for limb in limbs)
    title = " over ".join(part for part in (who, over) if part)
    return title[0].upper() + title[1:]


class Gridded(NamedTuple):
    """The pages of a grid, the steps they are of, and their numbers in the whole."""

    pages: tuple[Page, ...]
    steps: tuple[Step, ...]
    numbers: tuple[int, ...]


def gridded(
    recipe: GridRecipe,
    *,
    on: Kit | None = None,
    by: Player | None = None,
    told: Callable[[int, int], None] | None = None,
) -> Gridded:
    """The pages of a recipe.

    Args:
        recipe: the recipe.
        on: the kit it names, where that is not built in.
        by: the player it names, where that is not built in.
        told: is told how many pages are made, and of how many.

    Raises:
        RefusedError: the ground holds a moving limb or does not fit, or a page cannot be played at the tempo asked
            for; other KitgenErrors for options that cannot be.
    """
    grid = grid_of(recipe, on=on)
    steps = steps_of(grid)
    numbers = numbers_of(recipe.pages, len(steps))
    pages = []
    for done, number in enumerate(numbers, start=1):
        pages.append(_page(recipe, grid, steps[number - 1], number, by or player(recipe.player)))
        if told is not None:
            told(done, len(numbers))
    return Gridded(tuple(pages), tuple(steps[number - 1] for number in numbers), numbers)


def remade(text: str) -> Page:
    """The page of a recipe that holds all it needs.

    Raises:
        ReadError: not such a recipe, not of one page, or its kit or player is in a file.
    """
    return GridRecipe.parse(text).only(lambda recipe: gridded(recipe).pages)


def _page(recipe: GridRecipe, grid: Grid, step: Step, number: int, by: Player) -> Page:
    """One page, its tempi held against its player."""
    sheet, said = sheet_of(step, grid), recipe.tempo is not None
    feel = step.ground.feel_for(recipe.swing, recipe.swing_unit)
    asked = tempo_of(recipe.tempo, grid.meter.tempo_unit) if said else usual_tempo(step, grid, feel)
    page = Page(
        sheet.title + grid.kit.hand_words,
        sheet.instruction,
        felt(sheet.rows, feel),
        asked,
        str(replace(recipe, pages=str(number))),
        sheet.notes,
        kernels=felt(sheet.kernels, feel),
        heading=recipe.heading or "",
    )
    try:
        fit = fitted(
            page.pattern,
            asked,
            player=by,
            hand=grid.kit.hand,
            said=said,
            allow=recipe.allow_unplayable,
            least=SLOWEST_SWING if feel.unit == 8 else 0.0,
        )
    except RefusedError as error:
        raise RefusedError(f"page {number} ({page.title}): {error}") from None
    page = replace(page, tempo=fit.tempo, notes=(*sheet.notes, *carried(page.pattern), *fit.notes))
    settled = feel.resolved(fit.tempo.quarters)
    if settled.unit:
        page = replace(page, rows=felt(sheet.rows, settled), kernels=felt(sheet.kernels, settled))
        played_onsets(page.pattern)  # a meter that cannot swing is told now, not while writing
    return page
