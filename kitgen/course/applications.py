"""Pages that introduce an application: a composed line goes through it, the richest that brings nothing else first.

Time is tried with lines a bass would play, a jazz ride with lines a left hand would comp, a fill with full bars (common
practice, in 4/4), gaps with lines that leave none after their last note; everything else with phrases of eighths.
A page has what is kept by itself, the line by itself, a bar to loop, and the whole.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from kitgen.apply import APPLICATIONS, Setting, apply
from kitgen.course.bars import Material, joined, turned
from kitgen.course.compose import composed
from kitgen.course.figures import cell_figure, silent_beat
from kitgen.course.making import page_with
from kitgen.course.plan import Setup
from kitgen.course.ways import ALONE, HANDS, line_elements, way_of
from kitgen.errors import KitgenError
from kitgen.kit import Limb
from kitgen.line import Line, render
from kitgen.page import Page, Row, felt
from kitgen.page.progress import new_in
from kitgen.pattern import Pattern
from kitgen.time import Bar, Meter, Meters

_TRIES = 2
_BASS = ("x- .x x- ..", "x- .. xx ..", "xx .. x- ..", "x- .x .x ..", "x- .. x- .x")
_COMPING = ("x- .x .. ..", ".. .x x- ..", "x- .. .x ..", ".. x- .. .x", "x- .. .. .x")
_FULL = ("xx xx xx x-", "x- xx xx x-", "xx x- xx x-", "xx xx x- xx")
_GAPS = ("x- xx x- xx", "xx .x xx xx", ".x xx x- xx", "xx x- .x xx")
_LINES = {
    "between": _GAPS, "groove": _BASS, "hip-hop": _BASS, "swing": _COMPING,
    "fill": _FULL, "solo": _FULL, "trade": _FULL,
}  # fmt: skip
_FOUR_FOUR = Meter(4, 4)
_TITLES = {"between": "Bass in the gaps"}
_FIRST = {"groove": ("RF",), "hip-hop": ("RF",), "swing": ("LH",)}
"""Who plays the line by itself before anyone else is asked: who plays it in the application."""
_STEADY = (ALONE, "time alone")
_SOLO = " of solo"
_FEW, _LOOPED, _LEAST_BARS, _ALONE_BARS = 2, 4, 8, 4


def application_pages(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:
    """Pages with a line on them as it was typed, laid by the application an element names."""
    name = element.partition(" ")[2]
    if name not in APPLICATIONS:
        return
    meter, setting = Meter.parse(setup.meter), Setting(kit=setup.on, player=setup.by)
    for line in (*_phrases_of(_LINES.get(name, ()), meter, seed), *lines_of_eighths(meter, seed)):
        if name == "between" and line.notes[-1].onset < line.meters.beats[-1].start:
            continue  # the gaps would run on by themselves
        try:
            made = apply(line, name, setting)
        except KitgenError:
            continue
        rows = [Row(label, pattern.with_feel(made.feel)) for label, pattern in made.rows]
        title = _TITLES.get(name, made.title)
        work = worked_up(rows, _alone(line, name, known, setup), fill=name == "fill")
        page = page_with(work, setup, title, made.instruction, notes=made.notes, line=render(line))
        if page is not None:
            yield page


def worked_up(rows: Sequence[Row], alone: Sequence[Row], *, fill: bool = False) -> list[Row]:
    """Rows of an application as a page's worth of work: the line by itself, a bar of it to loop, the whole of it twice.

    Args:
        rows: the application's; where there are many they are a page's worth already.
        alone: the line by itself, none where nothing known can play it.
        fill: the last two bars are to loop, else the fullest.
    """
    feel = rows[0].pattern.feel
    before = felt(alone, feel)
    kept, moving = [row for row in rows if row.label in _STEADY], [row for row in rows if row.label not in _STEADY]
    if len(moving) > _FEW:
        return [*kept, *before, *moving]
    whole = moving[-1]
    bars = whole.pattern.meters.bars
    fullest = [*bars[-2:]] if fill else [_fullest(whole.pattern)]
    loop = [_looped(whole, fullest)] if len(bars) > len(fullest) else []
    if len(moving) == 1:
        moving = [replace(whole, times=max(2, _LEAST_BARS // len(bars)))]
    return [*kept, *before, *loop, *moving]


def _fullest(pattern: Pattern) -> Bar:
    """The bar with most strokes, the first of such."""
    return max(
        pattern.meters.bars,
        key=lambda bar: (sum(bar.start <= hit.onset < bar.end for hit in pattern.hits), -bar.number),
    )


def _looped(row: Row, bars: Sequence[Bar]) -> Row:
    """Bars that follow one another by themselves; what is held over their end is cut there."""
    first, last = bars[0], bars[-1]
    hits = (
        replace(hit, onset=hit.onset - first.start, length=hit.length and min(hit.length, last.end - hit.onset))
        for hit in row.pattern.hits
        if first.start <= hit.onset < last.end
    )
    words = f"bar {first.number}" if first is last else f"bars {first.number} and {last.number}"
    words += " of the solo" if row.label.endswith(_SOLO) else ""
    loop = Pattern(tuple(hits), Meters.of(first.meter, len(bars)), row.pattern.feel)
    return Row(f"{words}, over and over", loop, _LOOPED // len(bars))


def _alone(line: Line, name: str, known: Collection[str], setup: Setup) -> list[Row]:
    """The line by itself, of a fill its bar alone, by whatever plays it in a way the class knows."""
    voices = (*_FIRST.get(name, ()), HANDS, *(limb.name for limb in Limb))
    if name == "fill":
        line = line.measures(len(line.meters.bars), len(line.meters.bars))
    for way in (way_of(setup, voice, known) for voice in dict.fromkeys(voices)):
        found = None if way is None else line_elements(way, line)
        if way is not None and found is not None and not new_in(found, known):
            return [Row("the line alone, counted", way.lay(line), max(1, _ALONE_BARS // len(line.meters.bars)))]
    return []


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
