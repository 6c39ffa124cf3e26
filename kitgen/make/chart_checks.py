"""Findings of ``kitgen check`` about a chart: what its player cannot play of it as it is played out."""

from collections.abc import Iterator
from pathlib import Path

from kitgen.kit import PLAYERS, Player
from kitgen.make.chart_recipe import ChartRecipe
from kitgen.make.charted import charted
from kitgen.make.checks import check_page
from kitgen.read.charts import read_chart
from kitgen.spell.chart import spell_chart


def check_chart(path: Path, by: Player | None = None) -> Iterator[str]:
    """Findings about a chart's file, played out and written.

    Args:
        path: the file.
        by: who has to be able to play it; a school player when left out.

    Raises:
        ReadError: it is no chart; SpellingError: it cannot be written.
    """
    source = read_chart(path)
    player = by or PLAYERS["school"]
    made = charted(source.chart, ChartRecipe(chart=source.words, sums=source.sums), player)
    spell_chart(source.chart, made.fills)
    yield from source.remarks
    yield from check_page(made.page, player)
