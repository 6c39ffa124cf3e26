"""The recipe of a library: the command line that makes its pages again, one of them with its section and tempo."""

from dataclasses import dataclass
from typing import ClassVar

from kitgen.make.recipe import PageRecipe
from kitgen.styles.play_forms import USUAL_FORM
from kitgen.styles.playing import OWN


@dataclass(frozen=True, kw_only=True)
class LibraryRecipe(PageRecipe):
    """Everything that shapes the pages of ``kitgen library``.

    ``style`` is names separated by commas, or ``all``; ``tempo`` counts the style's own unit.
    """

    command: ClassVar[str] = "library"

    style: str
    section: str | None = None
    tempo: str | None = None
    form: str = USUAL_FORM
    ending: str = OWN
    without: str | None = None
    exact: bool = False
    player: str = "advanced"
    tracks: str = "limb"
    seed: int = 0
    heading: str | None = None
