"""The recipe of a grid: the command line that makes its pages again, one of them with ``--pages N``."""

from dataclasses import dataclass
from typing import ClassVar

from kitgen.make.recipe import Recipe


@dataclass(frozen=True, kw_only=True)
class GridRecipe(Recipe):
    """Everything that shapes the pages of ``kitgen grid``."""

    command: ClassVar[str] = "grid"

    moving: str
    under: str = "none"
    time: str = "none"
    cells: str = "16ths"
    span: int = 1
    order: str = "load"
    polyrhythm: bool = False
    row_bars: int = 4
    meter: str = "4/4"
    tempo: str | None = None
    swing: str | None = None
    swing_unit: int = 8
    kit: str = "standard"
    hand: str = "right"
    surface: str | None = None
    player: str = "school"
    allow_unplayable: bool = False
    tracks: str = "limb"
    seed: int = 0
    repeats: int | None = None
    title: str | None = None
    heading: str | None = None
    pages: str | None = None
