"""A chart as PDF, set by Typst from ``chart.typ``, and as one picture."""

from collections.abc import Sequence
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
_ABOVE_MARK, _ABOVE_SYSTEM, _SHARES = 1.1, 0.45, (1.0, 0.8, 0.6, 0.4, 0.2, 0.0)
"""Space above a system with a mark and one without, in sizes of the text, and the shares of it that may be left."""
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
        "paper": _lengths(paper) | {"bottom": bottom},
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
                "above": round(above, 2),
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


def _spaces(systems: Sequence[EngravedSystem], key: Sequence[Picture], paper: Paper, bottom: float) -> list[float]:
    """The space above each system: as few sheets as can be, on each as much of the usual space as there is.

    Of ways that take as many sheets the one is best by which most of them begin with a mark.
    """
    usual = [(_ABOVE_MARK if one.mark else _ABOVE_SYSTEM) * paper.text_pt for one in systems]
    end = sum(_KEY_LINE * paper.text_pt + one.height_pt for one in key) + _AFTER * paper.text_pt
    heights = [*(one.picture.height_pt for one in systems), end]
    room = paper.height_pt - paper.top_pt - bottom - _SPARE
    rooms = [room - _HEAD * paper.text_pt, *[room] * len(heights)]
    found = [_sheets(heights, [share * one for one in usual], rooms) for share in _SHARES]
    starts = [bool(one.mark) for one in systems] + [True]

    def parted(places: Sequence[int]) -> tuple[int, int]:
        return places[-1], sum(a != b and not starts[at] for at, (a, b) in enumerate(pairwise(places), start=1))

    places = min(found, key=parted)
    spaces: list[float] = []
    for sheet in range(places[-1] + 1):
        own = [index for index, place in enumerate(places) if place == sheet]
        left = rooms[sheet] - sum(heights[index] for index in own)
        wanted = sum(usual[index] for index in own[1:] if index < len(usual)) or 1.0
        share = max(0.0, min(1.0, left / wanted))
        spaces += [share * usual[index] for index in own if index < len(usual)]
    return spaces


def _sheets(heights: Sequence[float], above: Sequence[float], rooms: Sequence[float]) -> list[int]:
    """On which sheet each system falls with so much space above it, and what stands after them last."""
    places, used = list[int](), 0.0
    for height, space in zip(heights, [*above, 0.0], strict=True):
        sheet = places[-1] if places else 0
        if places and used + space + height > rooms[sheet]:
            sheet, used = sheet + 1, height
        else:
            used += (space if places else 0.0) + height
        places.append(sheet)
    return places


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


def _lengths(paper: Paper) -> dict[str, float]:
    return {
        "width": paper.width_pt,
        "height": paper.height_pt,
        "left": paper.left_pt,
        "right": paper.right_pt,
        "top": paper.top_pt,
        "music": paper.music_width_pt,
        "text": paper.text_pt,
    }


def _wrapped(words: str, paper: Paper) -> list[str]:
    most = int(paper.music_width_pt / (_WIDE_EM * _RECIPE_SIZE * paper.text_pt))
    return [words[at : at + most] for at in range(0, len(words), most)]
