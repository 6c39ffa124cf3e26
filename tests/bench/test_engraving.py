"""Engraving pages against the engraver alone: loading the same documents and rendering them, nothing else."""

from functools import partial

import pytest

from kitgen.page import Page
from kitgen.spell import Choices
from kitgen.write import engraving, engraving_svg
from kitgen.write.engraving import engrave
from kitgen.write.engraving_mei import Document
from tests.bench.material import laid_over_samba, page_of, rhythm
from tests.bench.race import Race, Turn

WIDTH_PT, STAFF_PT = 520.0, 20.0
ASKED = list[tuple[Document, tuple[float, ...]]]


def page(bars: int) -> Page:
    """A page with 25 hits a bar."""
    return page_of(laid_over_samba(rhythm(bars)))


def asked_for(bars: int, how: Choices) -> ASKED:
    """The documents that a page is engraved from, and the widths of their systems."""
    found: ASKED = []

    def noted(document: Document, widths: tuple[float, ...]) -> tuple[list[engraving_svg.Drawn], list[bool]]:
        found.append((document, widths))
        return engraving_svg.drawn(document, widths)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engraving, "drawn", noted)
        engraving._MEMORY.clear()
        engrave(page(bars), how, width_pt=WIDTH_PT, staff_pt=STAFF_PT)
    return found


def alone(asked: ASKED) -> None:
    """The engraver's own work: options, load, render each page."""
    toolkit = engraving_svg._toolkit()
    for document, widths in asked:
        options = engraving_svg._OPTIONS | {"pageWidth": int(widths[0] * engraving_svg.SPACE / 10)}
        toolkit.setOptions(options)
        toolkit.loadData(document.mei)
        for number in range(1, len(widths) + 1):
            toolkit.renderToSVG(number)


def ready(bars: int, how: Choices) -> Turn:
    """A page nobody has engraved yet."""
    engraving._MEMORY.clear()
    return partial(engrave, page(bars), how, width_pt=WIDTH_PT, staff_pt=STAFF_PT)


@pytest.mark.parametrize(
    ("bars", "how"),
    [(16, Choices()), (16, Choices(stickings="all", counts="numbers")), (64, Choices())],
)
def test_engraving_costs_little_more_than_the_engraver(race: Race, bars: int, how: Choices) -> None:
    """From the page to its pictures, spelled, written, drawn and made plain."""
    asked = asked_for(bars, how)
    words = " with words" if how.counts else ""
    race(
        f"engraving {bars} bars{words}",
        partial(ready, bars, how),
        "the engraver alone",
        lambda: partial(alone, asked),
        at_most=1.3,
        rounds=7,
    )


def test_an_equal_page_is_not_engraved_again(race: Race) -> None:
    """A page whose rows are remembered, beside one whose rows are new."""

    def again() -> Turn:
        ready(16, Choices())()
        return partial(engrave, page(16), width_pt=WIDTH_PT, staff_pt=STAFF_PT)

    race("engraving again", again, "engraving", partial(ready, 16, Choices()), at_most=0.5, rounds=7)
