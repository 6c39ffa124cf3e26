"""Tours into pages: a recipe's words to a plan, the plan's sheets to pages with tempi and recipes."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from kitgen.apply import Setting, check_under
from kitgen.apply.limb import limb_surface, usual_surface
from kitgen.apply.ostinatos import OSTINATOS
from kitgen.errors import OptionError, RefusedError
from kitgen.grid.ground import Ground, ground_of
from kitgen.grid.tour_pages import EVEN_SLOTS, Sheet, sheet_makers
from kitgen.grid.tour_plan import TourPlan, slot_of
from kitgen.grid.tour_rules import runs_at, slot_ms
from kitgen.grid.tours import Run
from kitgen.kit import Kit, Limb, Player, kit, player
from kitgen.make.applied import carried, tempo_of
from kitgen.make.gridded import numbers_of
from kitgen.make.playable import fitted
from kitgen.make.tour_recipe import TourRecipe
from kitgen.page import Page, Tempo, felt
from kitgen.time import Meter, Meters

_SWUNG_SLOTS = "let every pair swing alike"
_SLOTS_A_MINUTE, _SLOWEST, _FASTEST_START, _GOAL, _HIGH = 200, 40, 60, 1.4, 1.8
_THREES = ("triplets", "sextuplets")


def plan_of(recipe: TourRecipe, *, on: Kit | None = None, by: Player | None = None) -> TourPlan:
    """The tour a recipe's words ask for.

    Args:
        recipe: the recipe.
        on: the kit it names, where that is not built in.
        by: the player it names, where that is not built in.

    Raises:
        RefusedError: the ostinato holds a limb, does not fit, or a limb cannot keep up; other KitgenErrors for words
            that cannot be read.
    """
    meter, there = Meter.parse(recipe.meter), on or kit(recipe.kit, hand=recipe.hand)
    who = by or player(recipe.player)
    check_under(recipe.under, Meters.of(meter))
    ground = ground_of(recipe.under, meter, there, threes=recipe.subdivision in _THREES)
    usual = "8ths" if ground.feel.unit or meter.denominator != 4 else "16ths"
    limbs = _limbs(recipe, ground, there, who)
    ground.check_free(limbs, on=there)
    plan = TourPlan(
        meter,
        limbs,
        _surfaces(recipe, limbs, ground, there),
        ground,
        recipe.subdivision or usual,
        not recipe.no_silence,
        varied=recipe.no_triples,
        seed=recipe.seed,
    )
    runs = [Run.TWICE if recipe.no_triples else Run.ANY] * len(limbs)
    if recipe.playable:
        at_tempo = runs_at(limbs, who, _slot_ms(recipe, plan))
        runs = [min(pair, key=_STRICTEST.index) for pair in zip(runs, at_tempo, strict=True)]
    return replace(plan, runs=tuple(runs))


_STRICTEST = (Run.ONCE, Run.TWICE, Run.ANY)


class Toured(NamedTuple):
    """The pages of a recipe, and the number of each among all pages of its tour."""

    pages: tuple[Page, ...]
    numbers: tuple[int, ...]


def toured(recipe: TourRecipe, *, on: Kit | None = None, by: Player | None = None) -> Toured:
    """The pages of a recipe.

    Args:
        recipe: the recipe.
        on: the kit it names, where that is not built in.
        by: the player it names, where that is not built in.

    Raises:
        RefusedError: the tour does not fit, or a page cannot be played at the tempo asked for; other KitgenErrors for
            options that cannot be.
    """
    plan = plan_of(recipe, on=on, by=by)
    makers = sheet_makers(plan)
    numbers = numbers_of(recipe.pages, len(makers))
    there, who = on or kit(recipe.kit, hand=recipe.hand), by or player(recipe.player)
    return Toured(tuple(_page(recipe, plan, makers[number - 1](), number, there, who) for number in numbers), numbers)


def remade(text: str) -> Page:
    """The page of a recipe that holds all it needs.

    Raises:
        ReadError: not such a recipe, not of one page, or its kit or player is in a file.
    """
    return TourRecipe.parse(text).only(lambda recipe: toured(recipe).pages)


def usual_tempo(subdivision: str, meter: Meter) -> Tempo:
    """Where a tour starts and what it aims at where nobody says: slow is honest, about 200 slots a minute at first.

    >>> usual_tempo("16ths", Meter(4, 4))
    Tempo(start=50, goal=70, low=40, high=90, unit=Fraction(1, 1))
    """
    unit = meter.tempo_unit
    scale = 2 if unit < 1 else 1
    wanted = float(_SLOTS_A_MINUTE * slot_of(subdivision, meter) / unit)
    start = min(_FASTEST_START * scale, max(_SLOWEST * scale, wanted))
    return Tempo(round(start), round(start * _GOAL), _SLOWEST * scale, round(start * _HIGH), unit)


# ---- the parts of a plan ---------------------------------------------------------------------------------------------


def _limbs(recipe: TourRecipe, ground: Ground, on: Kit, by: Player) -> tuple[Limb, ...]:
    """The limbs named, or those that are free and play: the hand that rides first, the hat foot last."""
    if recipe.limbs is not None:
        return tuple(Limb.parse(word) for word in recipe.limbs.split(",") if word.strip())
    usual = (on.lead, on.weak, on.bass_foot, on.hat_foot)
    free = tuple(limb for limb in usual if limb not in ground.pattern.limbs and by.plays(limb))
    if not free:
        raise RefusedError(f"{ground.title} leaves no limb free; choose another --under")
    return free


def _surfaces(recipe: TourRecipe, limbs: Sequence[Limb], ground: Ground, on: Kit) -> tuple[str, ...]:
    """What each limb strikes: what was named, else its usual one; without a ride the snare, where the foot has the hat.

    Raises:
        OptionError: a surface named for no limb, or for one that does not tour.
    """
    named = surfaces_named(recipe.surface, limbs)
    hat = on.hat_foot in (*limbs, *ground.pattern.limbs)
    found = []
    for limb in limbs:
        label = named.get(limb, usual_surface(limb, on))
        if limb not in named and label == "closed-hat" and hat:
            label = "snare"
        found.append(limb_surface(limb, Setting(kit=on, surface=label)))
    return tuple(found)


def surfaces_named(words: str | None, limbs: Sequence[Limb]) -> Mapping[Limb, str]:
    """Surfaces by limb from ``RH=ride-bell,LH=floor-tom``; a label alone is for the only limb that tours.

    >>> surfaces_named("RH=snare", (Limb.RH, Limb.LH))[Limb.RH]
    'snare'

    Raises:
        OptionError: a surface without a limb, or for one that does not tour.
    """
    if words is None:
        return {}
    found = {}
    for part in (part.strip() for part in words.split(",") if part.strip()):
        name, equals, label = part.partition("=")
        if not equals and len(limbs) > 1:
            raise OptionError(f"--surface {words}: say which limb, such as {limbs[0].name}={name}")
        limb = Limb.parse(name) if equals else limbs[0]
        if limb not in limbs:
            raise OptionError(
                f"--surface {words}: {limb.name} does not tour; {', '.join(own.name for own in limbs)} do"
                if len(limbs) > 1
                else f"--surface {words}: {limb.name} does not tour, only {limbs[0].name} does"
            )
        found[limb] = label.strip() if equals else name
    return found


def _slot_ms(recipe: TourRecipe, plan: TourPlan) -> float:
    """The shortest slot at the goal tempo, in milliseconds."""
    tempo = _asked(recipe, plan)
    slots = [index * plan.slot for index in range(plan.bar)]
    pace = tempo.goal * float(tempo.unit)
    return slot_ms(slots, plan.meter, plan.ground.feel_for(recipe.swing, recipe.swing_unit).resolved(pace), pace)


def _asked(recipe: TourRecipe, plan: TourPlan) -> Tempo:
    if recipe.tempo is None:
        return usual_tempo(plan.subdivision, plan.meter)
    return tempo_of(recipe.tempo, plan.meter.tempo_unit)


# ---- the page --------------------------------------------------------------------------------------------------------


def _page(recipe: TourRecipe, plan: TourPlan, sheet: Sheet, number: int, on: Kit, by: Player) -> Page:
    """A sheet with its tempi, held against the player."""
    said, unit = recipe.tempo is not None, plan.meter.tempo_unit
    feel = plan.ground.feel_for(recipe.swing, recipe.swing_unit)
    asked = tempo_of(None, unit) if sheet.tour is None and not said else _asked(recipe, plan)
    recipe = replace(recipe, limbs=",".join(limb.name for limb in plan.limbs), pages=str(number))
    page = Page(
        sheet.title + on.hand_words,
        sheet.instruction if not feel.unit else sheet.instruction.replace(EVEN_SLOTS, _SWUNG_SLOTS),
        felt(sheet.rows, feel),
        asked,
        str(recipe),
        count_quarters=_by_quarters(recipe, plan.meter),
        kernels=felt(sheet.kernels, feel),
        heading=recipe.heading or "",
    )
    try:
        fit = fitted(page.pattern, asked, player=by, hand=on.hand, said=said, allow=recipe.allow_unplayable)
    except RefusedError as error:
        way = "" if recipe.playable or sheet.tour is None else ", or leave such changes out with --playable"
        raise RefusedError(f"page {number} ({page.title}): {error}{way}") from error
    settled = feel.resolved(fit.tempo.quarters)
    return replace(
        page,
        rows=felt(sheet.rows, settled),
        kernels=felt(sheet.kernels, settled),
        tempo=fit.tempo,
        notes=(*sheet.notes, *plan.ground.notes, *carried(page.pattern), *fit.notes),
    )


def _by_quarters(recipe: TourRecipe, meter: Meter) -> bool:
    """True over Latin feet in cut time, whose pages count quarters."""
    item = OSTINATOS.get(recipe.under)
    return item is not None and item.latin and meter.denominator == 2
