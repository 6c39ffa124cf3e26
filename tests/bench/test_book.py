"""A book of fifty pages, engraved and set, against the engraver and the setter doing as much and nothing else.

The floor draws the very documents our engraving draws, on one toolkit, and sets the very pictures one under the other,
a page a sheet, with no word but a title. Every turn has pictures of its own, since the setter remembers those it met.
"""

import json
from collections.abc import Callable
from functools import cache, partial
from itertools import count
from typing import Any

import pytest

from kitgen.make.serial import series_of
from kitgen.make.series_recipe import SeriesRecipe
from kitgen.page import Page
from kitgen.read.plans import plan_named
from kitgen.write import engraving
from kitgen.write.engraving import engrave
from kitgen.write.paper import Paper
from kitgen.write.pdf import Sheet, sheets_pdf
from tests.bench.race import Race, Turn

PAPER = Paper()
RECIPE = "kitgen series rhythm --pages 1-50  # kitgen 0.1.0"
PLAIN = b"""#let pages = json(bytes(sys.inputs.pages))
#set page(width: 612pt, height: 792pt, margin: 50pt)
#set text(font: "Libertinus Serif", size: 10.5pt)
#for page in pages {
  pagebreak(weak: true)
  heading(page.title)
  for one in page.pictures { image(bytes(one), format: "svg", alt: "music") }
}
"""
Call = tuple[str, tuple[Any, ...]]
_turns = count(1)


@cache
def pages() -> tuple[Page, ...]:
    """The first fifty pages of the rhythm course, with all that pages work out of themselves."""
    series = series_of(SeriesRecipe.parse(RECIPE), plan_named("rhythm"))
    assert all(placed.page.bars for placed in series.pages)
    return tuple(placed.page for placed in series.pages)


def sheets(staff_pt: float) -> list[Sheet]:
    """The pages engraved, nothing remembered from before."""
    engraving._MEMORY.clear()
    return [
        Sheet(page, engrave(page, width_pt=PAPER.music_width_pt, staff_pt=staff_pt), number)
        for number, page in enumerate(pages(), start=1)
    ]


def book() -> Turn:
    """A turn of ours: pictures and book."""
    staff_pt = PAPER.staff_pt + next(_turns) / 1000

    def made() -> bytes:
        return sheets_pdf(sheets(staff_pt), PAPER, title="Rhythm", chapters=[("First", 1), ("Second", 25)])

    return made


def bare(calls: list[Call], pictures: list[dict[str, Any]]) -> Turn:
    """A turn of the floor."""
    import typst
    import verovio

    own = f"<!-- {next(_turns)} --></svg>"
    data = json.dumps([one | {"pictures": [svg.replace("</svg>", own) for svg in one["pictures"]]} for one in pictures])
    toolkit, setter = verovio.toolkit(), typst.Compiler(ignore_system_fonts=True)

    def made() -> object:
        for name, values in calls:
            getattr(toolkit, name)(*values)
        return setter.compile(PLAIN, format="pdf", sys_inputs={"pages": data})

    return made


@pytest.fixture
def calls(monkeypatch: pytest.MonkeyPatch) -> list[Call]:
    """What our engraving asks of the engraver for these pages."""
    import verovio

    asked: list[Call] = []

    def told(name: str, real: Callable[..., object]) -> Callable[..., object]:
        def call(toolkit: object, *values: object) -> object:
            asked.append((name, values))
            return real(toolkit, *values)

        return call

    with monkeypatch.context() as patch:
        for name in ("setOptions", "loadData", "redoLayout", "renderToSVG"):
            patch.setattr(verovio.toolkit, name, told(name, getattr(verovio.toolkit, name)))
        sheets(PAPER.staff_pt)
    return asked


def test_a_book_costs_half_as_much_again_as_its_engraving_and_setting(race: Race, calls: list[Call]) -> None:
    """Spelling, documents, layout, words, contents and tags together add no more than half."""
    drawn = [
        {
            "title": one.page.title,
            "pictures": [
                picture.svg
                for row in (*one.engraving.rows, *one.engraving.kernels)
                for picture in row.systems
            ] + [picture.svg for picture in one.engraving.key],
        }
        for one in sheets(PAPER.staff_pt)
    ]  # fmt: skip
    race(
        "book of 50 pages",
        book,
        "bare Verovio and Typst",
        partial(bare, calls, drawn),
        at_most=1.5,
        rounds=5,
    )
