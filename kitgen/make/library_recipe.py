"""The recipe of a library: the command line that makes its pages again, one of them with its section and tempo."""

from dataclasses import dataclass
from typing import ClassVar

from kitgen.make.recipe import PlayRecipe
from kitgen.styles.play_forms import USUAL_FORM
from kitgen.styles.playing import OWN

USUAL = "usual"


@dataclass(frozen=True, kw_only=True)
class LibraryRecipe(PlayRecipe):
    """Everything that shapes the pages of ``kitgen library``.

    ``style`` is names separated by commas, or ``all``; ``tempo`` counts the style's own unit; the usual ``click`` is
    the style's.
    """

    command: ClassVar[str] = "library"

    style: str
    section: str | None = None
    tempo: str | None = None
    form: str = USUAL_FORM
    ending: str = OWN
    clave: str | None = None
    without: str | None = None
    exact: bool = False
    kit: str = "standard"
    hand: str = "right"
    player: str = "advanced"
    tracks: str = "limb"
    seed: int = 0
    heading: str | None = None
    click: str = USUAL
