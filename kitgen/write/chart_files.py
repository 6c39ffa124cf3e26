"""The files of a chart as it is read: MusicXML, a picture, a PDF; by name."""

from collections.abc import Collection, Mapping
from fractions import Fraction
from typing import NamedTuple

from kitgen.page.value import slug_of
from kitgen.styles.chart import Chart
from kitgen.write.paper import USUAL_PAPER, Paper

CHART_KINDS = ("musicxml", "mxl", "svg", "pdf")
"""Kinds of file a chart is written as."""
CHART_WORDS = {
    "musicxml": "the chart to read (MusicXML)",
    "mxl": "the chart to read (MusicXML, compressed)",
    "svg": "the chart to read (picture, SVG)",
    "pdf": "the chart to print (PDF)",
}
"""What a chart's files are, by kind."""
_SMALLER = 0.86
"""A chart's staff beside that of a sheet to practise from: parts for a stand have more systems on a page."""


class ChartWork(NamedTuple):
    """What a chart's files are made of.

    Args:
        chart: the chart.
        kinds: what to write, of ``CHART_KINDS``.
        fills: written bars in which a fill begins, with where.
        recipe: the line that makes it again.
        heading: the teacher's own, instead of the band.
        paper: what it is printed on.
    """

    chart: Chart
    kinds: Collection[str]
    fills: Mapping[int, Fraction]
    recipe: str = ""
    heading: str = ""
    paper: Paper = USUAL_PAPER


def chart_files(work: ChartWork) -> dict[str, bytes]:
    """The files of a chart by name.

    Raises:
        SpellingError: a rhythm no note values write.
        WriteError: it cannot be drawn or set.
    """
    if not set(work.kinds) & set(CHART_KINDS):
        return {}
    from kitgen.spell.chart import spell_chart  # spelling and engraving are loaded where they are asked for

    chart, stem = work.chart, slug_of(work.chart.title)
    score = spell_chart(chart, work.fills)
    made: dict[str, bytes] = {}
    if {"musicxml", "mxl"} & set(work.kinds):
        from kitgen.write.chart_musicxml import chart_musicxml
        from kitgen.write.musicxml_zip import compressed

        data = chart_musicxml(chart, score, recipe=work.recipe, heading=work.heading)
        made |= {f"{stem}.musicxml": data} if "musicxml" in work.kinds else {}
        made |= {f"{stem}.mxl": compressed(data)} if "mxl" in work.kinds else {}
    if {"svg", "pdf"} & set(work.kinds):
        from kitgen.write.chart_pdf import chart_pdf
        from kitgen.write.chart_pictures import engraved_chart, key_pictures
        from kitgen.write.chart_svg import chart_svg

        width, staff = work.paper.music_width_pt, work.paper.staff_pt * _SMALLER
        systems = engraved_chart(score, width_pt=width, staff_pt=staff)
        made |= {f"{stem}.svg": chart_svg(chart, systems)} if "svg" in work.kinds else {}
        if "pdf" in work.kinds:
            key = key_pictures(score, width_pt=width, staff_pt=staff)
            made[f"{stem}.pdf"] = chart_pdf(
                chart, score, systems, work.paper, key=key, recipe=work.recipe, heading=work.heading
            )
    return made
