"""The recipe of a series: the command line that makes its pages again, one of them with ``--pages N``."""

from dataclasses import dataclass
from typing import ClassVar

from kitgen.make.recipe import PlayRecipe


@dataclass(frozen=True, kw_only=True)
class SeriesRecipe(PlayRecipe):
    """Everything that shapes the pages of ``kitgen series``.

    ``plan`` is a course's name, or that of the plan's file. What else is said takes the place of what the plan says.
    """

    command: ClassVar[str] = "series"
    argument: ClassVar[str | None] = "plan"

    plan: str
    heading: str | None = None
    kit: str | None = None
    hand: str | None = None
    player: str | None = None
    seed: int | None = None
    tracks: str = "limb"
    repeats: int | None = None
    pages: str | None = None
    as_: str | None = None
