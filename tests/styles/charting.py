"""Charts for tests: sections and figures in few words."""

from pathlib import Path
from typing import Any

from kitgen.line import Line
from kitgen.read.styles import style_named
from kitgen.styles.chart import Chart, Figure
from kitgen.styles.chart_form import ChartForm
from kitgen.styles.chart_section import ChartSection

FERRY = Path(__file__).parents[2] / "kitgen" / "make" / "demo" / "ferry-at-six.toml"
"""The chart of the invented school's jazz band."""


def section(mark: str, bars: int, style: str = "swing", bpm: float = 132, **more: Any) -> ChartSection:
    """A section in a style, at so many of its units a minute."""
    found = style_named(style)
    stops, rests = (frozenset(more.pop(name, ())) for name in ("stops", "rests"))
    pace = bpm * float(found.tempo.unit)
    return ChartSection(mark, bars, found, found.meter, pace, stops=stops, rests=rests, **more)


def form(*sections: ChartSection) -> ChartForm:
    """A form."""
    return ChartForm(sections)


def chart(*sections: ChartSection, figures: tuple[tuple[int, str, str], ...] = ()) -> Chart:
    """A chart with figures as (bar, who, line)."""
    meter = sections[0].meter
    made = tuple(Figure(bar, Line.parse(line, meter, pad=True), who) for bar, who, line in figures)
    return Chart("Low Water", "Alder Bay Middle School jazz band", form(*sections), made)


def played(of: ChartForm) -> str:
    """The passages in letters and bars: ``A1-6,9-10 B1-8``."""
    return " ".join(f"{of.sections[one.section].mark}{_runs(one.bars)}" for one in of.passages)


def _runs(bars: tuple[int, ...]) -> str:
    runs: list[list[int]] = []
    for bar in bars:
        if runs and bar == runs[-1][-1] + 1:
            runs[-1].append(bar)
        else:
            runs.append([bar])
    return ",".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)
