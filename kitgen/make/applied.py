"""Lines through applications into pages."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import fields, replace
from fractions import Fraction
from typing import NamedTuple, Protocol

from kitgen.apply import APPLICATIONS, Made, Setting, application, apply, check_under, known_ostinatos
from kitgen.errors import FeelError, KitgenError, LineError, OptionError, ReadError, RefusedError, TimeError
from kitgen.kit import KITS, Kit, Limb, Player, kit, player
from kitgen.line import Line, parse, render
from kitgen.make.again import made_again, recipe_in
from kitgen.make.playable import fitted
from kitgen.make.recipe import OPTIONS, ApplyRecipe, option_of
from kitgen.make.valued import AS_PLAYED, check_values, in_page_values
from kitgen.page import Page, Row, Tempo, elements_of
from kitgen.page.value import USUAL_TEMPO
from kitgen.pattern import Feel, Pattern
from kitgen.pattern.swing import played_onsets, with_threes_written
from kitgen.time import bpm_value
from kitgen.time.ladder import USUAL_STEP, WIDEST_STEP, ladder

_MARKS = "marks"
_LONGEST_LINE = 72
_SLOWEST_SWING = 60.0
"""Quarters a minute below which swung eighths fall apart; common practice."""
_HALF = Fraction(1, 2)
_AS_GIVEN = tuple(
    item.name for item in fields(Setting) if item.name in set(OPTIONS) - {"kit", "limb", "order", "player"}
)
"""Options a setting takes as the recipe has them."""
_SPEAK_OF_VALUES = frozenset(("displace", "subdivide", "value"))
"""Applications whose titles and labels name note values."""
_SETTINGS = (*_AS_GIVEN, "limb", "order")


class Swinging(Protocol):
    """A recipe that says how its pages swing."""

    @property
    def swing(self) -> str | None:
        """``even``, ``2:1``, ``auto``, or None for what is usual."""


class Refused(NamedTuple):
    """An application that did not take the line, and why."""

    name: str
    why: str


def page_of(recipe: ApplyRecipe, line: Line, *, on: Kit | None = None, by: Player | None = None) -> Page:
    """The page a recipe makes of a line.

    Args:
        recipe: the recipe; its words shape the page.
        line: the line it names.
        on: the kit it names, where that is not built in.
        by: the player it names, where that is not built in.

    Raises:
        RefusedError: the line does not suit the application, or its player cannot play it; other KitgenErrors for
            options that cannot be.
    """
    unit = line.meters.bars[0].meter.tempo_unit
    asked = tempo_of(recipe.tempo, unit)
    setting = setting_of(recipe, on, by)
    pace = (asked.start if recipe.tempo is None else asked.goal) * float(unit)
    asked_feel = None if recipe.swing is None else Feel.parse(recipe.swing, unit=recipe.swing_unit)
    straight = asked_feel is not None and (not asked_feel.unit or asked_feel.ratio == 1)
    setting = replace(setting, pace=pace, straight=straight, turn=None if recipe.bars is None else line.span)
    line = repeated(line, recipe.bars)
    check_under(recipe.under, line.meters)
    made = apply(line, recipe.as_, setting)
    tempo = _counted(asked, made)
    feel = feel_of(recipe, made)
    if recipe.write_values != AS_PLAYED:
        _check_words(recipe)
        feel = feel.resolved(tempo.quarters)  # what sounds the same has the swing it had
    if made.speed != 1 and feel.unit:
        raise RefusedError(
            f"{recipe.as_} writes the line in other values, and swung they would no longer sound as the line does; "
            "leave --swing away"
        )
    cut_time = any(meter.denominator == 2 for meter, _ in line.meters.runs)
    page = Page(
        made.title + setting.kit.hand_words if recipe.title is None else recipe.title,
        made.instruction,
        _rows(made, feel),
        tempo,
        str(recipe),
        made.notes,
        made.count_quarters and cut_time,
        made.clave,
        line_words(line),
        heading=recipe.heading or "",
    )
    page = in_page_values(page, recipe.write_values)
    fit = fitted(
        page.pattern,
        page.tempo,
        player=setting.player,
        hand=setting.kit.hand,
        said=recipe.tempo is not None,
        allow=recipe.allow_unplayable,
        least=_SLOWEST_SWING if page.feel.unit == 8 else 0.0,
    )
    settled = page.feel.resolved(fit.tempo.quarters)
    if settled != page.feel:
        page = replace(page, rows=_rows(made, settled))
    page = replace(page, tempo=fit.tempo, notes=(*page.notes, *carried(page.pattern), *fit.notes))
    _check_feel(page)
    return page


def _rows(made: Made, feel: Feel) -> tuple[Row, ...]:
    return tuple(Row(label, with_threes_written(pattern.with_feel(feel))) for label, pattern in made.rows)


def carried(pattern: Pattern) -> tuple[str, ...]:
    """What a page says of sixteenths between swung eighths."""
    if pattern.feel.unit != 8 or not any(
        (hit.onset * 4).denominator == 1 and hit.onset % _HALF for hit in pattern.hits
    ):
        return ()
    return ("the sixteenths are carried along with the swung eighths and come out long and short; play them lightly",)


def _counted(asked: Tempo, made: Made) -> Tempo:
    """The tempo as the page counts it: in the value its own meter counts, as many times as fast as it is written."""
    unit = made.rows[0][1].meters.bars[0].meter.tempo_unit
    times = asked.unit * made.speed / unit
    if times == 1:
        return replace(asked, unit=unit)
    start, goal, low, high = (float(bpm * times) for bpm in (asked.start, asked.goal, asked.low, asked.high))
    try:
        return Tempo(start, goal, low, high, unit)
    except KitgenError as error:
        raise RefusedError(
            f"this page counts {float(times):g} times as fast as the line, from {start:g} to {goal:g}: {error}; "
            "choose another --tempo"
        ) from error


def line_words(line: Line) -> str:
    """The line itself in boxes, with its true lengths, where it is short and plain enough for one line of a page."""
    try:
        words = render(line)
    except LineError:
        return ""
    return words if len(words) <= _LONGEST_LINE else ""


def remade(recipe_text: str) -> Page:
    """The page of a recipe that holds its line.

    Raises:
        ReadError: not such a recipe, or its line is in a file.
    """
    recipe = ApplyRecipe.parse(recipe_text)
    if recipe.from_file:
        raise ReadError(f"the line or kit of this recipe is in a file: {recipe}; make it from there")
    return page_of(recipe, parse(recipe.line, recipe.meter))


def pages_of(
    recipe: ApplyRecipe, names: Iterable[str], line: Line, *, on: Kit | None = None, by: Player | None = None
) -> tuple[tuple[Page, ...], tuple[Refused, ...]]:
    """A page for each application that takes the line, and the refusals of the others."""
    if recipe.swing is not None:
        Feel.parse(recipe.swing, unit=recipe.swing_unit)  # a wrong ratio is a wrong option, not a refusal
    pages, refused = [], []
    for name in names:
        try:
            pages.append(page_of(replace(recipe, as_=name), line, on=on, by=by))
        except (RefusedError, FeelError) as error:
            refused.append(Refused(name, str(error)))
    return tuple(pages), tuple(refused)


def check_settings(
    recipe: ApplyRecipe, names: Sequence[str], line: Line, *, on: Kit | None = None, by: Player | None = None
) -> None:
    """Raise where a setting cannot be, or was chosen for one application that does not heed it.

    Raises:
        KitgenError: the setting's own error; OptionError: names the option, and the applications that heed it.
    """
    check_values(recipe.write_values)
    setting_of(recipe, on, by)
    check_under(recipe.under, line.meters)
    if len(names) == 1:
        _check_uses(recipe, names[0])


def _check_words(recipe: ApplyRecipe) -> None:
    """Raise where a page in other values would still speak of those it had."""
    if recipe.as_ in _SPEAK_OF_VALUES:
        raise RefusedError(
            f"the page of {recipe.as_} speaks of its own note values, which would no longer be true; leave "
            "--write-values away, or type the line in the values wanted"
        )


def _check_uses(recipe: ApplyRecipe, name: str) -> None:
    chosen = application(name)
    usual = Setting()
    for setting in _SETTINGS:
        value = getattr(recipe, setting)
        if value not in (None, getattr(usual, setting)) and setting not in chosen.uses:
            others = [other.name for other in APPLICATIONS.values() if setting in other.uses]
            raise OptionError(f"{option_of(setting)} means nothing to --as {name}; it is for {', '.join(others)}")


def setting_of(recipe: ApplyRecipe, on: Kit | None, by: Player | None) -> Setting:
    """The setting a recipe's words ask for."""
    order = None
    if recipe.order is not None:
        order = tuple(Limb.parse(word) for word in recipe.order.replace(",", " ").split())
    return Setting(
        kit=on or kit(recipe.kit, hand=recipe.hand),
        player=by or player(recipe.player),
        limb=Limb.parse(recipe.limb) if recipe.limb else None,
        order=order,
        **{name: getattr(recipe, name) for name in _AS_GIVEN},
    )


def repeated(line: Line, bars: int | None) -> Line:
    """The line repeated and cut to so many bars."""
    if bars is None:
        return line
    if not 1 <= bars <= 400:
        raise OptionError(f"--bars {bars}; a page has 1 to 400 bars")
    own = len(line.meters.bars)
    return (line * -(-bars // own)).measures(1, bars)


def feel_of(recipe: ApplyRecipe, made: Made) -> Feel:
    """The feel asked for; left unsaid, ``auto`` for what is always swung, else even."""
    if recipe.swing is not None:
        return Feel.parse(recipe.swing, unit=recipe.swing_unit)
    return made.feel


def tempo_of(words: str | None, unit: Fraction) -> Tempo:
    """One tempo (``96``), or start and goal (``60..100``); the usual one if unsaid.

    A step (``60..100:5``) concerns the play-along alone.
    """
    if words is None:
        start, goal, low, high = USUAL_TEMPO
        scale = 2 if unit < 1 else 1
        return Tempo(start * scale, goal * scale, low * scale, high * scale, unit)
    low_word, dots, rest = words.partition("..")
    if not dots and (match := re.fullmatch(r"\s*([\d.]+)\s*-\s*([\d.]+)\s*", words)):
        raise OptionError(f"--tempo {words}: write a range with two dots, {match[1]}..{match[2]}")
    if not dots:
        return Tempo.at(words, unit)
    slow, fast = bpm_value(low_word), bpm_value(rest.partition(":")[0])
    if fast < slow:
        raise OptionError(f"--tempo {words} goes down; write the slower tempo first")
    return Tempo(slow, fast, slow, fast, unit)


def canonical_tempo(words: str | None) -> str | None:
    """A tempo option as recipes hold it: ``96.0`` is ``96``, ``60..90:5`` is ``60..90``.

    >>> canonical_tempo("96.0"), canonical_tempo("60..90.5:5"), canonical_tempo("60..90:10")
    ('96', '60..90.5', '60..90:10')
    """
    if words is None:
        return None
    tempo = tempo_of(words, Fraction(1))
    if ".." not in words:
        return f"{tempo.start}"
    ladder_of(words)
    step = words.partition(":")[2].strip().lower() or f"{USUAL_STEP}"
    step = step if step == _MARKS else f"{float(step):g}"
    return f"{tempo.start}..{tempo.goal}" + ("" if step == f"{USUAL_STEP}" else f":{step}")


def ladder_of(words: str | None) -> tuple[float, ...]:
    """The tempi of a range, from start to goal by its step, 5 unless it names one; empty where there is no range.

    >>> ladder_of("60..80:10"), ladder_of("60..68"), ladder_of("60..68:marks"), ladder_of("96")
    ((60, 70, 80), (60, 65, 68), (60, 63, 66, 68), ())

    Raises:
        OptionError: a range that goes down, or a step outside 1 to 10; TimeError: a tempo outside 20 to 400.
    """
    if words is None or ".." not in words:
        return ()
    span, colon, step_word = words.partition(":")
    start, goal = (bpm_value(word) for word in span.split("..", 1))
    if goal < start:
        raise OptionError(f"--tempo {words} goes down; write the slower tempo first")
    try:
        step = None if step_word.strip().lower() == _MARKS else float(step_word) if colon else USUAL_STEP
        return ladder(start, goal, step)
    except (ValueError, TimeError):
        raise OptionError(
            f"--tempo {words}: a step of {step_word!r}; steps are 1 to {WIDEST_STEP} beats a minute, "
            f"or {_MARKS} for those of a metronome"
        ) from None


def counted_on(page: Page, ladder: tuple[float, ...]) -> tuple[float, ...]:
    """The tempi of a ladder as a page counts them, which may be written in other values than its line."""
    if not ladder or ladder[0] == page.tempo.start:
        return ladder
    return tuple(bpm_value(bpm * page.tempo.start / ladder[0]) for bpm in ladder)


def following_feel(recipe: Swinging, page: Page) -> Feel | None:
    """The feel whose ratio follows the tempo of a play-along, if the page's swing is ``auto`` and in its own values."""
    own_values = getattr(recipe, "write_values", AS_PLAYED) == AS_PLAYED
    if not page.feel.unit or recipe.swing not in (None, "auto") or not own_values:
        return None
    return Feel(page.feel.unit, None)


def pickup_of(line: Line, page: Page) -> bool:
    """True if a page starts with the pickup of its line."""
    return line.pickup and len(page.rows) == 1


def elements_in(page: Page, on: Kit | None = None) -> tuple[str, ...]:
    """The elements of a page of an applied line: its notes', and its application where its recipe makes it again."""
    ostinatos = known_ostinatos(page.pattern.meters, on or _kit_of(page))
    return elements_of(page, ostinatos=ostinatos, application=verified_application(page))


def recipe_of(page: Page) -> ApplyRecipe | None:
    """The recipe a page carries; None where it carries none that can be read."""
    try:
        return ApplyRecipe.parse(page.recipe)
    except KitgenError:
        return None


def _kit_of(page: Page) -> Kit:
    """The kit a page's recipe names, if it is built in; else the standard one, in the hands it names."""
    recipe = recipe_in(page.recipe)
    name, hand = getattr(recipe, "kit", None), getattr(recipe, "hand", None)
    try:
        return kit(name if name in KITS else "standard", hand=hand or "right")
    except KitgenError:
        return kit("standard")


def verified_application(page: Page) -> str | None:
    """The application a page's recipe names, if making it again gives the same notes.

    A recipe whose line, kit or plan is in a file cannot be made again from its text and counts as it stands.
    """
    recipe = recipe_in(page.recipe)
    name: str | None = getattr(recipe, "as_", None)
    if recipe is None or name is None or recipe.from_file:
        return name
    try:
        same = made_again(page.recipe).pattern == page.pattern
    except KitgenError:
        return None
    return name if same else None


def _check_feel(page: Page) -> None:
    """Raise now, not while writing, if the page's meter cannot swing."""
    played_onsets(page.pattern, tempo_bpm=page.tempo.quarters)
