"""The recipe of a tour: the command line that makes its pages again, one of them with ``--pages N``."""

from dataclasses import dataclass
from typing import ClassVar

from kitgen.make.recipe import Recipe


@dataclass(frozen=True, kw_only=True)
class TourRecipe(Recipe):
    """Everything that shapes the pages of ``kitgen tour``; limbs left out are those that are free."""

    command: ClassVar[str] = "tour"

    limbs: str | None = None
    under: str = "none"
    subdivision: str | None = None
    no_silence: bool = False
    no_triples: bool = False
    playable: bool = False
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
