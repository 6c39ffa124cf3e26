"""Pages that introduce an application: a composed line goes through it, the richest that brings nothing else first.

Time is tried with lines a bass would play, a jazz ride with lines a left hand would comp, a fill with full bars (common
practice, in 4/4); everything else with phrases of eighths.
"""

from collections.abc import Collection, Iterator

from kitgen.apply import APPLICATIONS, Setting, apply
from kitgen.course.bars import Material, joined, turned
from kitgen.course.compose import composed
from kitgen.course.figures import cell_figure, silent_beat
from kitgen.course.making import page_with
from kitgen.course.plan import Setup
from kitgen.errors import KitgenError
from kitgen.line import Line, render
from kitgen.page import Page, Row
from kitgen.time import Meter

_TRIES = 2
_BASS = ("x- .x x- ..", "x- .. xx ..", "xx .. x- ..", "x- .x .x ..", "x- .. x- .x")
_COMPING = ("x- .x .. ..", ".. .x x- ..", "x- .. .x ..", ".. x- .. .x", "x- .. .. .x")
_FULL = ("xx xx xx x-", "x- xx xx x-", "xx x- xx x-", "xx xx x- xx")
_LINES = {
    "groove": _BASS, "hip-hop": _BASS, "swing": _COMPING, "fill": _FULL, "solo": _FULL, "trade": _FULL,
}  # fmt: skip
_FOUR_FOUR = Meter(4, 4)


def application_pages(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:  # noqa: ARG001
    """Pages with a line on them as it was typed, laid by the application an element names."""
    name = element.partition(" ")[2]
    if name not in APPLICATIONS:
        return
    meter, setting = Meter.parse(setup.meter), Setting(kit=setup.on, player=setup.by)
    for line in (*_phrases_of(_LINES.get(name, ()), meter, seed), *lines_of_eighths(meter, seed)):
        try:
            made = apply(line, name, setting)
        except KitgenError:
            continue
        rows = [Row(label, pattern.with_feel(made.feel)) for label, pattern in made.rows]
        page = page_with(rows, setup, made.title, made.instruction, notes=made.notes, line=render(line))
        if page is not None:
            yield page


def _phrases_of(bars: tuple[str, ...], meter: Meter, seed: int) -> Iterator[Line]:
    """Phrases a a b a of bars typed as boxes, another bar in front each time; none under another meter."""
    if meter != _FOUR_FOUR:
        return
    for turn in range(len(bars)):
        first, second, *_ = (Line.parse(text, meter) for text in turned(bars, seed + turn))
        yield joined([first, first, second, first])


def lines_of_eighths(meter: Meter, seed: int) -> tuple[Line, ...]:
    """Lines to try an application with: phrases and bars of eighths, then ever plainer ones, each once."""
    pulse, rest = cell_figure("x", meter), silent_beat(meter)
    found = dict[Line, None]()
    for boxes in (("xx", ".x"), (".x", "x"), ("x",)):
        first, *others = (cell_figure(cell, meter) for cell in boxes)
        for turn in range(_TRIES):
            rows = composed(Material(meter, (first,), tuple(others), pulse, rest), seed + turn)
            found |= dict.fromkeys(row.line for row in reversed(rows) if len(row.line.meters.bars) in (2, 4))
    return tuple(sorted(found, key=lambda line: (-len(line.meters.bars), line.onsets[0])))
