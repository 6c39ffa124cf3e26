"""A chart as PDF, set by Typst from ``chart.typ``, and as one picture."""

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import ceil
from typing import Any

from kitgen.spell.chart_score import ChartScore
from kitgen.styles.chart import Chart
from kitgen.time import unit_names
from kitgen.write.chart_pictures import EngravedSystem
from kitgen.write.engraving_svg import Picture
from kitgen.write.paper import USUAL_PAPER, Paper
from kitgen.write.pdf_figures import note_figure
from kitgen.write.pdf_letters import Letters, literal
from kitgen.write.pdf_typst import typeset
from kitgen.write.text import CAUTION

_RECIPE_SIZE, _WIDE_EM = 0.6, 0.602
_ABOVE_MARK, _ABOVE_SYSTEM = 1.6, 1.0
"""Space above a system with a mark and one without, in sizes of the text."""
_STEPS, _LEAST, _ENOUGH = 10, 2, 6
"""Steps in which that space is compared: no sheet has less than the least, and from enough on marks matter more."""
_HEAD, _KEY_LINE, _AFTER, _SPARE = 6.2, 1.2, 4.6, 4.0
"""Height of the head, of a line of the key beside its picture, of words at the end, in the same; points to spare."""
_FOOT_LINE, _FOOT_SIZE, _FOOT_ROOM, _LETTER = 0.9, 0.66, 26.0, 0.45
"""A line of the foot and the size of its words, in sizes of the text; room around it, in points; width of a letter."""


def chart_pdf(
    chart: Chart,
    score: ChartScore,
    systems: Sequence[EngravedSystem],
    paper: Paper = USUAL_PAPER,
    *,
    key: Sequence[Picture] = (),
    recipe: str = "",
    heading: str = "",
) -> bytes:
    """A chart as the bytes of a PDF.

    Args:
        chart: the chart.
        score: how it is written.
        systems: its systems, engraved as wide as the paper's music.
        paper: what it is printed on.
        key: the surfaces of its grooves on the staff.
        recipe: the line that makes it again.
        heading: the teacher's own heading, instead of the band.

    Raises:
        WriteError: it cannot be set.
    """
    letters = Letters()
    pictures: dict[str, int] = {}
    bpm, unit = score.bars[0].tempo or (0, chart.form.sections[0].meter.tempo_unit)
    figure = note_figure(unit)
    feel = chart.form.sections[0].style.feel
    printed = _wrapped(letters.printable(recipe), paper)
    bottom = _bottom(paper, len(printed))
    data: dict[str, Any] = {
        "paper": paper.lengths | {"bottom": bottom},
        "title": letters.printable(chart.title),
        "words": letters.printable(chart.words),
        "heading": letters.printable(heading or chart.band),
        "description": literal(recipe),
        "recipe": printed,
        "caution": CAUTION,
        "tempo": f"{bpm:g}" + ("" if figure else f" {unit_names(unit)} a minute"),
        "feel": {8: "swung eighths", 16: "swung sixteenths"}.get(feel.unit, ""),
        "note": None
        if figure is None
        else {"picture": pictures.setdefault(figure.svg, 0), "height": figure.height_em, "alt": figure.alt},
        "systems": [
            {
                "picture": pictures.setdefault(one.picture.svg, len(pictures)),
                "width": round(one.picture.width_pt, 2),
                "height": round(one.picture.height_pt, 2),
                "alt": literal(_alt(one)),
                "above": None if above is None else round(above, 2),
            }
            for one, above in zip(systems, _spaces(systems, key, paper, bottom), strict=True)
        ],
        "key": [
            {
                "picture": pictures.setdefault(one.svg, len(pictures)),
                "width": round(one.width_pt, 2),
                "height": round(one.height_pt, 2),
                "alt": "key to the heads",
            }
            for one in key
        ],
        "form": letters.printable(_form(chart)),
    }
    data["pictures"] = list(pictures)
    return typeset(data, system_fonts=letters.system_fonts, template="chart.typ")


def _bottom(paper: Paper, lines: int) -> float:
    """The margin below, which holds the foot: the caution, and so many lines of recipe."""
    across = paper.music_width_pt / (paper.text_pt * _FOOT_SIZE * _LETTER)
    return max(paper.top_pt, _FOOT_ROOM + (ceil(len(CAUTION) / across) + lines) * _FOOT_LINE * paper.text_pt)


def _spaces(
    systems: Sequence[EngravedSystem], key: Sequence[Picture], paper: Paper, bottom: float
) -> list[float | None]:
    """The space above each system, None for the first of a sheet.

    As few sheets as leave enough of it, and then as much of it on each as can be.

    Of ways that leave as much the one is best by which most sheets begin with a mark.
    """
    usual = [(_ABOVE_MARK if one.mark else _ABOVE_SYSTEM) * paper.text_pt for one in systems] + [0.0]
    end = sum(_KEY_LINE * paper.text_pt + one.height_pt for one in key) + _AFTER * paper.text_pt
    heights = [*(one.picture.height_pt for one in systems), end]
    room = paper.height_pt - paper.top_pt - bottom - _SPARE

    def share(first: int, after: int) -> float:
        """The share of the usual space that is left on a sheet from one system to before another."""
        left = room - (0.0 if first else _HEAD * paper.text_pt) - sum(heights[first:after])
        return min(1.0, left / (sum(usual[first + 1 : after]) or 1.0)) if left >= 0 or after == first + 1 else -1.0

    spaces: list[float | None] = [None] * len(heights)
    for first, after in pairwise(_sheets(len(heights), share, [bool(one.mark) for one in systems] + [False])):
        for index in range(first + 1, after):
            spaces[index] = max(0.0, share(first, after)) * usual[index]
    return spaces[:-1]


def _sheets(many: int, share: Callable[[int, int], float], marks: Sequence[bool]) -> tuple[int, ...]:
    """With which of so many pieces each sheet begins, and how many there are."""
    ways: dict[int, tuple[int, int, int, tuple[int, ...]]] = {0: (_ENOUGH, 0, _STEPS, (0,))}
    while True:
        longer: dict[int, tuple[int, int, int, tuple[int, ...]]] = {}
        for first, (_, starts, space, sheets) in ways.items():
            for after in range(first + 1, many + 1):
                own = share(first, after)
                if own < 0:
                    break
                begins = starts + (after < many and marks[after])
                least = min(space, int(own * _STEPS))
                way = (min(least, _ENOUGH), begins, least, (*sheets, after))
                longer[after] = max(way, longer.get(after, way))
        if many in longer and (longer[many][0] >= _LEAST or len(longer[many][3]) > many):
            return longer[many][3]
        ways = longer


def _alt(one: EngravedSystem) -> str:
    bars = f"bar {one.first}" if one.first == one.last else f"bars {one.first} to {one.last}"
    return f"{one.mark}, {bars}" if one.mark else bars


def _form(chart: Chart) -> str:
    """The sections in the order they are played; empty where that is the order they are written in."""
    passages = chart.form.passages
    marks = [chart.form.sections[one.section].mark for one in passages]
    if marks == [one.mark for one in chart.form.sections]:
        return ""
    return ", ".join(marks)


def _wrapped(words: str, paper: Paper) -> list[str]:
    most = int(paper.music_width_pt / (_WIDE_EM * _RECIPE_SIZE * paper.text_pt))
    return [words[at : at + most] for at in range(0, len(words), most)]
