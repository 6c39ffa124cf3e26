"""Our PDFs read by a reader we did not write (pypdf): fonts, tags, words for pictures, outline, searchable text.

What is looked for stands in ISO 32000-1:2008, Document management, Portable document format, part 1: embedded fonts in
9.9, the catalogue's language and marking in 14.8 and 14.9.2, alternate descriptions in 14.9.3, outlines in 12.3.3.
That a whole file keeps the rules for readers who do not use their eyes (ISO 14289-1, PDF/UA-1) is checked by the
engine that sets it, which refuses what does not.
"""

from collections.abc import Iterator
from functools import cache
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from kitgen.make.again import made_again
from kitgen.page import Page
from kitgen.spell.choices import Choices
from kitgen.write.engraving import engrave
from kitgen.write.paper import Paper
from kitgen.write.pdf import Sheet, sheets_pdf

RECIPES = (
    'kitgen apply "x.x. xxxx x... x.x." --as groove  # kitgen 0.1.0',
    'kitgen apply "1 & 2 e & a 3 4 &" --as limb --limb LH --under samba  # kitgen 0.1.0',
    'kitgen apply "1 & 2 & 3 & 4 &" --as groove --swing 2:1  # kitgen 0.1.0',
)
COUNTS = Choices(counts="numbers", stickings="all")


@cache
def book() -> bytes:
    """Three pages as a book, with counts under the notes."""
    return sheets_pdf(
        [sheet(made_again(recipe), number) for number, recipe in enumerate(RECIPES, start=1)],
        title="Alder Bay: first pages",
        chapters=[("Grooves", 1), ("Swing", 3)],
        choices=COUNTS,
    )


def sheet(page: Page, number: int = 1) -> Sheet:
    """A page and its pictures."""
    paper = Paper()
    return Sheet(page, engrave(page, COUNTS, width_pt=paper.music_width_pt, staff_pt=paper.staff_pt), number)


@cache
def read() -> PdfReader:
    """The book, read."""
    return PdfReader(BytesIO(book()))


def objects() -> Iterator[dict[str, Any]]:
    """Every dictionary of the file."""
    reader = read()
    size: Any = reader.trailer["/Size"]
    for number in range(1, size):
        found: Any = reader.get_object(number)
        if isinstance(found, dict):
            yield found


def test_every_font_is_inside() -> None:
    """Each font descriptor has its font program, so the sheet prints the same everywhere."""
    descriptors = [one for one in objects() if one.get("/Type") == "/FontDescriptor"]
    assert len(descriptors) > 2
    assert all({"/FontFile", "/FontFile2", "/FontFile3"} & one.keys() for one in descriptors)


def test_the_document_says_what_it_is() -> None:
    """Its title is in its metadata and shown by readers, its language is English, and it is tagged."""
    catalogue: Any = read().trailer["/Root"]
    metadata = read().metadata
    assert metadata is not None
    assert metadata.title == "Alder Bay: first pages"
    assert catalogue["/Lang"] == "en"
    assert catalogue["/MarkInfo"]["/Marked"]
    assert catalogue["/StructTreeRoot"]["/Type"] == "/StructTreeRoot"
    assert catalogue["/ViewerPreferences"]["/DisplayDocTitle"]


def test_every_picture_has_words() -> None:
    """Each figure of the structure has an alternate description; systems are described by their rows."""
    figures = [one for one in objects() if one.get("/S") == "/Figure"]
    assert len(figures) > 6
    described = [str(one["/Alt"]) for one in figures]
    assert all(described)
    assert any(words.startswith("groove, 1 bar") and "closed-hat" in words for words in described)
    assert "key to the heads" in described
    assert "quarter note" in described


@pytest.mark.parametrize("place", range(3))
def test_text_is_found(place: int) -> None:
    """Title, recipe and what is counted under the notes come out of the page as text."""
    page = made_again(RECIPES[place])
    found = "".join(read().pages[2 + place].extract_text().split())
    for words in (page.title, page.instruction, page.recipe, "1"):
        assert "".join(words.split()) in found


def test_counts_under_the_notes_are_text() -> None:
    """The first page's counts stand in its text in their order."""
    found = read().pages[2].extract_text().split()
    counted = [word for word in found if word in ("1", "e", "&", "a", "2", "3", "4")]
    assert {"1", "e", "&", "a", "2", "3", "4"} <= set(counted)


def test_it_keeps_the_rules_of_accessible_documents() -> None:
    """The engine found nothing to refuse, so the file says that it keeps PDF/UA-1."""
    assert b"pdfuaid" in book()


def test_nothing_points_outside() -> None:
    """No link to an address, no script, no file inside."""
    data = b"".join(repr(one).encode() for one in objects())
    for word in (b"/URI", b"/JavaScript", b"/EmbeddedFile", b"/Launch"):
        assert word not in data
