"""The recipe of a chart: the command line that makes it again from its file."""

from dataclasses import dataclass
from typing import ClassVar

from kitgen.make.recipe import Recipe


@dataclass(frozen=True, kw_only=True)
class ChartRecipe(Recipe):
    """Everything that shapes what ``kitgen chart`` writes.

    ``chart`` is the name of the chart's file.
    """

    command: ClassVar[str] = "chart"
    argument: ClassVar[str | None] = "chart"

    chart: str
    player: str = "school"
    hand: str = "right"
    seed: int = 0
    tracks: str = "limb"
    heading: str | None = None
    paper: str = "letter"
    print_size: str = "normal"
    click: str = "beats"
    count_in: str = "usual"
    mute: str | None = None
    from_: str | None = None
    font: str | None = None
    rate: int = 48000
    click_apart: bool = False
