"""The recipe of a grid: the command line that makes its pages again, one of them with ``--pages N``."""

from dataclasses import dataclass
from typing import ClassVar

from kitgen.make.exercise_recipe import ExerciseRecipe


@dataclass(frozen=True, kw_only=True)
class GridRecipe(ExerciseRecipe):
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
