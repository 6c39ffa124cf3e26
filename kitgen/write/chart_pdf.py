"""A chart as PDF, set by Typst from ``chart.typ``, and as one picture."""

from collections.abc import Sequence
from typing import Any

from kitgen.spell.chart import ChartScore
from kitgen.styles.chart import Chart
from kitgen.time import unit_names
from kitgen.write.chart_pictures import EngravedSystem
from kitgen.write.paper import USUAL_PAPER, Paper
from kitgen.write.pdf_figures import note_figure
from kitgen.write.pdf_letters import Letters, literal
from kitgen.write.pdf_typst import typeset
from kitgen.write.text import CAUTION

_RECIPE_SIZE, _WIDE_EM = 0.6, 0.602


def chart_pdf(
    chart: Chart,
    score: ChartScore,
    systems: Sequence[EngravedSystem],
    paper: Paper = USUAL_PAPER,
    *,
    recipe: str = "",
    heading: str = "",
) -> bytes:
    """A chart as the bytes of a PDF.

    Args:
        chart: the chart.
        score: how it is written.
        systems: its systems, engraved as wide as the paper's music.
        paper: what it is printed on.
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
    data: dict[str, Any] = {
        "paper": _lengths(paper),
        "title": letters.printable(chart.title),
        "words": letters.printable(chart.words),
        "heading": letters.printable(heading or chart.band),
        "description": literal(recipe),
        "recipe": _wrapped(letters.printable(recipe), paper),
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
                "starts": bool(one.mark),
            }
            for one in systems
        ],
        "form": letters.printable(_form(chart)),
    }
    data["pictures"] = list(pictures)
    return typeset(data, system_fonts=letters.system_fonts, template="chart.typ")


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
