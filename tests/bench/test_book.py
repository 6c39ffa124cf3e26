"""A book of fifty pages against the engraver and the setter alone on the same inputs.

Ours makes everything a folder with a book has: MIDI to loop and to play along, MusicXML, a picture a page and one PDF.
The floor draws the very documents our engraving draws, on one toolkit, and sets the very source and data our book is
set from. Every turn has pictures of its own, since the setter remembers those it met.
"""

import json
from collections.abc import Callable, Iterator
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
from kitgen.write.midi import loop, play_along
from kitgen.write.musicxml import page_musicxml
from kitgen.write.paper import Paper
from kitgen.write.pdf import Sheet, sheets_pdf
from kitgen.write.svg import page_svg
from tests.bench.race import Race, Turn

PAPER = Paper()
RECIPE = "kitgen series rhythm --pages 1-50  # kitgen 0.1.0"
Call = tuple[str, tuple[Any, ...]]
_turns = count(1)


@cache
def pages() -> tuple[Page, ...]:
    """The first fifty pages of the rhythm course, with all that pages work out of themselves."""
    series = series_of(SeriesRecipe.parse(RECIPE), plan_named("rhythm"))
    assert all(placed.page.bars for placed in series.pages)
    return tuple(placed.page for placed in series.pages)


def sheets(staff_pt: float) -> Iterator[Sheet]:
    """The pages engraved one after the other, nothing remembered from before."""
    engraving._MEMORY.clear()
    for number, page in enumerate(pages(), start=1):
        yield Sheet(page, engrave(page, width_pt=PAPER.music_width_pt, staff_pt=staff_pt), number)


def bound(of: list[Sheet]) -> bytes:
    """The book of some sheets."""
    return sheets_pdf(of, PAPER, title="Rhythm", chapters=[("First", 1), ("Second", 25)])


def book() -> Turn:
    """A turn of ours: every file of every page, and the book."""
    staff_pt = PAPER.staff_pt + next(_turns) / 1000

    def made() -> object:
        engraved, files = [], []
        for one in sheets(staff_pt):
            page = one.page
            files.append((loop(page), play_along(page), page_musicxml(page), page_svg(page, one.engraving)))
            engraved.append(one)
        return files, bound(engraved)

    return made


def bare(calls: list[Call], source: bytes, words: dict[str, str], options: dict[str, Any]) -> Turn:
    """A turn of the floor."""
    import typst
    import verovio

    own = json.dumps(f"<!-- {next(_turns)} --></svg>")[1:-1]
    words = {name: text.replace("</svg>", own) for name, text in words.items()}
    toolkit, setter = verovio.toolkit(), typst.Compiler(ignore_system_fonts=True)

    def made() -> object:
        for name, values in calls:
            getattr(toolkit, name)(*values)
        return setter.compile(source, sys_inputs=words, **options)

    return made


def told(asked: list[Call], name: str, real: Callable[..., object]) -> Callable[..., object]:
    """A method that notes what it is asked before it does it."""

    def call(own: object, *values: object) -> object:
        asked.append((name, values))
        return real(own, *values)

    return call


@pytest.fixture
def calls(monkeypatch: pytest.MonkeyPatch) -> list[Call]:
    """What our engraving asks of the engraver for these pages."""
    import verovio

    asked: list[Call] = []
    with monkeypatch.context() as patch:
        for name in ("setOptions", "loadData", "redoLayout", "renderToSVG"):
            patch.setattr(verovio.toolkit, name, told(asked, name, getattr(verovio.toolkit, name)))
        list(sheets(PAPER.staff_pt))
    return asked


@pytest.fixture
def setting(monkeypatch: pytest.MonkeyPatch) -> tuple[bytes, dict[str, str], dict[str, Any]]:
    """What our book asks of the setter: source, data, options."""
    from kitgen.write import pdf_typst

    asked: list[tuple[bytes, dict[str, str], dict[str, Any]]] = []

    class Noting:
        def compile(self, source: bytes, *, sys_inputs: dict[str, str], **options: Any) -> bytes:
            asked.append((source, sys_inputs, options))
            return b""

    with monkeypatch.context() as patch:
        patch.setattr(pdf_typst, "_compiler", lambda **_: Noting())
        bound(list(sheets(PAPER.staff_pt)))
    return asked[0]


def test_a_book_costs_half_as_much_again_as_its_engraving_and_setting(
    race: Race, calls: list[Call], setting: tuple[bytes, dict[str, str], dict[str, Any]]
) -> None:
    """Spelling, documents, pictures, MIDI, MusicXML and layout together add no more than about half.

    Measured 1.39 to 1.5; the rest is room for a busy machine.
    """
    race(
        "book of 50 pages, with MIDI, MusicXML and SVG",
        book,
        "bare Verovio and Typst on the same",
        partial(bare, calls, *setting),
        at_most=1.6,
        rounds=5,
    )
