"""Any command's recipe read back, and its page made again.

Each command whose pages carry recipes stands in one table: where its recipe is, and what makes a page of its text.
"""

from importlib import import_module
from typing import NamedTuple

from kitgen.errors import KitgenError, ReadError
from kitgen.make.recipe import Recipe, command_of
from kitgen.page import Page


class _Maker(NamedTuple):
    """Where a command's recipe class and its ``remade`` are, as module and name."""

    recipe: tuple[str, str]
    made_in: str


_MAKERS = {
    "apply": _Maker(("kitgen.make.recipe", "ApplyRecipe"), "kitgen.make.applied"),
    "chart": _Maker(("kitgen.make.chart_recipe", "ChartRecipe"), "kitgen.make.charted"),
    "grid": _Maker(("kitgen.make.grid_recipe", "GridRecipe"), "kitgen.make.gridded"),
    "library": _Maker(("kitgen.make.library_recipe", "LibraryRecipe"), "kitgen.make.library"),
    "series": _Maker(("kitgen.make.series_recipe", "SeriesRecipe"), "kitgen.make.serial"),
    "tour": _Maker(("kitgen.make.tour_recipe", "TourRecipe"), "kitgen.make.toured"),
}


def recipe_in(text: str) -> Recipe | None:
    """The recipe a text is, of whatever command; None where it cannot be read."""
    maker = _MAKERS.get(command_of(text))
    if maker is None:
        return None
    module, name = maker.recipe
    kind: type[Recipe] = getattr(import_module(module), name)
    try:
        return kind.parse(text)
    except KitgenError:
        return None


def made_again(text: str) -> Page:
    """The page of a recipe that holds all it needs.

    Raises:
        ReadError: no recipe that can be made again, or one that needs a file.
    """
    maker = _MAKERS.get(command_of(text))
    if maker is None:
        raise ReadError(f"no recipe of a page: {text!r}; pages are made by kitgen {', '.join(_MAKERS)}")
    page: Page = import_module(maker.made_in).remade(text)
    return page
