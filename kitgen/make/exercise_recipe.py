"""What the recipes of exercises made of no line have in common; apart, since a page of a line does not need it."""

from dataclasses import dataclass

from kitgen.make.recipe import PlayRecipe


@dataclass(frozen=True, kw_only=True)
class ExerciseRecipe(PlayRecipe):
    """What exercises that are made of no line have in common: how they are played, by whom and on what."""

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
