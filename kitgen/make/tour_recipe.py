"""The recipe of a tour: the command line that makes its pages again, one of them with ``--pages N``."""

from dataclasses import dataclass
from typing import ClassVar

from kitgen.make.exercise_recipe import ExerciseRecipe


@dataclass(frozen=True, kw_only=True)
class TourRecipe(ExerciseRecipe):
    """Everything that shapes the pages of ``kitgen tour``; limbs left out are those that are free."""

    command: ClassVar[str] = "tour"

    limbs: str | None = None
    under: str = "none"
    subdivision: str | None = None
    no_silence: bool = False
    no_triples: bool = False
    playable: bool = False
