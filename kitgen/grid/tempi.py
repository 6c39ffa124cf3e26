"""Tempi of a grid's pages: slow starts, and goals where the style of what goes on begins.

Starts are 40 to 60, slower the finer the cells: slow is honest. Goals and ranges are those in which the styles are
written as grids write them, a quarter the beat, Latin feet in sixteenths or eighths (common practice). Where a cell
stands against what goes on, a page starts at 40 and is done at two thirds of that.
"""

from fractions import Fraction
from typing import NamedTuple

from kitgen.grid.against import clashes
from kitgen.grid.grids import Grid, Step
from kitgen.page import Tempo
from kitgen.pattern import Feel

_SLOWEST = 40
_STARTS = {2: 60, 3: 52, 4: 50, 5: 44, 6: 40}
SLOWEST_SWING = 60
"""Quarters a minute below which swung eighths fall apart (common practice)."""


class _Goal(NamedTuple):
    """Quarters a minute: where a page is done, and where its style ends."""

    goal: int
    high: int


_PLAIN, _COMPOUND = _Goal(90, 120), _Goal(66, 100)
_GOALS = {
    "samba": _Goal(88, 130),
    "bossa": _Goal(100, 160),
    "baiao": _Goal(88, 120),
    "tumbao": _Goal(100, 152),
    "songo": _Goal(92, 168),
    "ride-rock": _Goal(96, 150),
    "ride-swing": _Goal(100, 180),
    "ride-waltz": _Goal(110, 190),
}


def usual_tempo(step: Step, grid: Grid, feel: Feel) -> Tempo:
    """The tempi of a page when nobody says, counted in the meter's beat.

    Args:
        step: the page.
        grid: its grid.
        feel: how it is played; swung eighths fall apart when they are slow, so such a page starts at 60.
    """
    parts = step.cell.parts if step.cell is not None else 4
    unit = grid.meter.tempo_unit
    goal, high = _COMPOUND if unit == Fraction(3, 2) else _GOALS.get(_style(step, grid), _PLAIN)
    start = SLOWEST_SWING if feel.unit == 8 else _STARTS[parts]
    if step.cell is not None and clashes(step.cell, step.ground):
        start, goal, high = _SLOWEST, max(_SLOWEST, 2 * goal // 3 // 5 * 5), goal
    if unit == 2 and not step.ground.by_pulse:
        start, goal, high = max(_SLOWEST, start // 2), max(_SLOWEST, goal // 2), max(_SLOWEST, high // 2)
    low = start if feel.unit == 8 else _SLOWEST
    return Tempo(min(start, goal), goal, min(low, goal), high, unit)


def _style(step: Step, grid: Grid) -> str:
    """The ostinato whose style a page lives in: the swing ride's in swing time."""
    return "ride-swing" if grid.time == "swing" else step.ground.under
