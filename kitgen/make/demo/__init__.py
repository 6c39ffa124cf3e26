"""The demonstration: a small series on the material of an invented school, Alder Bay Middle School.

Two lines are read from files beside this one, a march for snare drum and a trumpet part of the jazz band, both
written for it.
"""

from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import ClassVar

from kitgen.line import Line
from kitgen.make.applied import page_of
from kitgen.make.recipe import ApplyRecipe, PageRecipe
from kitgen.page import Page
from kitgen.read.lines import bytes_of, read_line

TITLE = "Alder Bay Middle School: one line, many ways onto the kit"
MARCH = "breakwater-march.musicxml"
TRUMPET = "ferry-landing.mid"
CHART = "ferry-at-six.toml"

_EIGHTHS = "1 & 2 3 & 4 | 1 2 & 3 4"
_SIXTEENTHS = "x.xx x.x. x..x x--- | x.xx x.x. .xx. x---"
_COMPING = "(1) & 2 (3) & 4 | 1 (2) & (3) 4"
_RESTS = "1 2 & 3 4 | (1) | (1) | (1) | 1 & 2 3 4"

_PAGES: tuple[tuple[str, dict[str, object]], ...] = (
    (_EIGHTHS, {"as_": "alone"}),
    (_EIGHTHS, {"as_": "no-kit"}),
    (_EIGHTHS, {"as_": "hands"}),
    (_EIGHTHS, {"as_": "limb", "limb": "LH", "under": "quarters"}),
    (_EIGHTHS, {"as_": "limb", "limb": "LH", "under": "quarters-hat-2-4"}),
    (_EIGHTHS, {"as_": "limb", "limb": "RF", "under": "ride-rock"}),
    (_EIGHTHS, {"as_": "groove"}),
    (_SIXTEENTHS, {"as_": "hands"}),
    (_SIXTEENTHS, {"as_": "stream"}),
    (_EIGHTHS, {"as_": "rudiment", "rudiment": "single-paradiddle"}),
    (_SIXTEENTHS, {"as_": "limb", "limb": "LH", "under": "samba"}),
    (_SIXTEENTHS, {"as_": "linear"}),
    (_SIXTEENTHS, {"as_": "linear", "gaps": "filled", "order": "RH,LH,RF,LF"}),
    (_SIXTEENTHS, {"as_": "groove"}),
    (_SIXTEENTHS, {"as_": "hip-hop", "tempo": "76..92"}),
    (_EIGHTHS, {"as_": "long-short"}),
    (_SIXTEENTHS, {"as_": "fill", "fill": "2-beats"}),
    (_EIGHTHS, {"as_": "latin"}),
    (_COMPING, {"as_": "swing", "tempo": "112..132"}),
    (_EIGHTHS, {"as_": "trade"}),
    (MARCH, {"as_": "hands"}),
    (MARCH, {"as_": "linear", "order": "RH,LH,RF"}),
    (TRUMPET, {"as_": "long-short", "tempo": "88..120:8"}),
    (TRUMPET, {"as_": "figures", "tempo": "88..120:8"}),
    (_EIGHTHS, {"as_": "displace"}),
    (_EIGHTHS, {"as_": "subdivide"}),
    (_EIGHTHS, {"as_": "against", "against": "3:2", "meter": "4/4"}),
    (_RESTS, {"as_": "alone"}),
)


@dataclass(frozen=True, kw_only=True)
class DemoRecipe(PageRecipe):
    """How the pages of ``kitgen demo`` look; which they are is fixed."""

    command: ClassVar[str] = "demo"


USUAL = DemoRecipe()


def demo_pages(looks: DemoRecipe = USUAL) -> tuple[tuple[Page, ApplyRecipe, Line], ...]:
    """The pages of the demonstration, each with its recipe and line."""
    pages = []
    words_of_looks = {name: word for name, word in asdict(looks).items() if name != "sums"}
    for words, options in _PAGES:
        path = Path(__file__).with_name(words)
        source = read_line(str(path) if words in (MARCH, TRUMPET) else words)
        recipe = replace(ApplyRecipe(line=source.words, as_="alone", sums=source.sums), **options)  # type: ignore[arg-type]  # own table
        title = _titled(page_of(recipe, source.line), words)
        recipe = replace(recipe, title=title, **words_of_looks)
        pages.append((page_of(recipe, source.line), recipe, source.line))
    return tuple(pages)


def demo_files() -> dict[str, bytes]:
    """The files its lines are read from, so that its recipes work where it is written, and a band chart to try."""
    return {name: bytes_of(Path(__file__).with_name(name)) for name in (MARCH, TRUMPET, CHART)}


def _titled(page: Page, words: str) -> str:
    """The page's title, with the name of the piece where the line is from one."""
    names = {MARCH: "Breakwater March", TRUMPET: "Ferry Landing, trumpet part", _RESTS: "Counting through rests"}
    if words in names:
        return f"{names[words]}: {page.title}"
    return f"{page.title} (sixteenths)" if words == _SIXTEENTHS else page.title
