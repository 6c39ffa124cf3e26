"""A chart played out as a page: a row a passage of its form, its tempi, and what there is to say of it."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from kitgen.errors import ReadError, UnknownNameError
from kitgen.kit import PLAYERS, Player
from kitgen.make.chart_recipe import ChartRecipe
from kitgen.page import Page, Tempo, TempoChange
from kitgen.pattern.playability import playability
from kitgen.styles.chart import Chart
from kitgen.styles.chart_performance import Performance, performance, written_fills
from kitgen.styles.chart_words import decisions

HANDS = ("right", "left")


class Charted(NamedTuple):
    """A chart as it is played.

    Args:
        page: the performance.
        decisions: what is done about each figure and at each end of a section, and why.
        fills: written bars in which a fill begins, with where.
    """

    page: Page
    decisions: tuple[str, ...]
    fills: Mapping[int, Fraction]


def charted(chart: Chart, recipe: ChartRecipe, player: Player = PLAYERS["school"]) -> Charted:
    """A chart played out.

    Args:
        chart: the chart.
        recipe: says the hands, which fills come first, and what heads the page.
        player: who plays.

    Raises:
        UnknownNameError: a hand setting charts are not played with.
    """
    if recipe.hand not in HANDS:
        raise UnknownNameError("hand setting of a chart", recipe.hand, HANDS)
    made = performance(chart, player=player, hand=recipe.hand, turn=recipe.seed)
    first = chart.form.sections[0]
    unit = first.meter.tempo_unit
    tempi = tuple(TempoChange(bar, _bpm(quarters, unit)) for bar, quarters in made.tempi)
    page = Page(
        chart.title + (", left-handed" if recipe.hand == "left" else ""),
        "Time comes first; set up and kick what the full band plays, and keep the form.",
        made.rows,
        Tempo.at(_bpm(first.tempo, unit), unit),
        str(recipe),
        (),
        count_quarters=all(section.style.count_quarters for section in chart.form.sections),
        heading=recipe.heading or chart.band,
        tempo_changes=tempi,
    )
    return Charted(
        replace(page, notes=tuple(_notes(page, made, player, recipe.hand))),
        decisions(made.play),
        written_fills(made.play),
    )


def remade(text: str) -> Page:
    """A chart is in a file, so that its recipe alone makes nothing.

    Raises:
        ReadError: always; says what to do.
    """
    raise ReadError(f"the chart of this recipe is in a file: {text}; make it from there with kitgen chart")


def _bpm(quarters: float, unit: Fraction) -> float:
    return round(quarters / float(unit), 2)


def _notes(page: Page, made: Performance, player: Player, hand: str) -> Iterator[str]:
    if made.mixed:
        yield (
            "sections of different feel: those that swing are written as they sound, in triplets, and even where they "
            "swing less than 3:2"
        )
    play = made.play
    for index, row in enumerate(page.rows):
        found = playability(row.pattern, player, play.section(index).tempo, hand=hand, loops=False)
        if found:
            worst = min(found, key=lambda finding: finding.share)
            yield f"{row.label}, not for {player.words} as it stands: {worst.what}"
