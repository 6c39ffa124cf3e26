"""Sheets as PDF: one page a teacher hands out, or a book of them, set by Typst from ``sheet.typ``.

Conventions: the same sheets give the same bytes. Fonts are inside, every picture has words for those who cannot see it,
the document is tagged and its text can be searched: titles, counts and recipes among it. Words are set literally; what
no font can show is printed as its number (:mod:`kitgen.write.pdf_letters`).
"""

from collections.abc import Mapping, Sequence

from kitgen.errors import OptionError
from kitgen.spell.choices import USUAL, Choices
from kitgen.write.paper import USUAL_PAPER, Paper
from kitgen.write.pdf_data import Data, Sheet, SheetData
from kitgen.write.pdf_letters import literal
from kitgen.write.pdf_typst import typeset
from kitgen.write.text import CAUTION

__all__ = ["Sheet", "sheets_pdf"]


def sheets_pdf(
    sheets: Sequence[Sheet],
    paper: Paper = USUAL_PAPER,
    *,
    title: str = "",
    chapters: Sequence[tuple[str, int]] = (),
    heading: str = "",
    keys: Mapping[str, int] | None = None,
    choices: Choices = USUAL,
) -> bytes:
    """The sheets in order, each page beginning on a sheet of its own.

    Args:
        sheets: pages with their pictures, engraved as wide as the paper's music.
        paper: what they are printed on.
        title: makes it a book, with a title page and contents.
        chapters: titles of chapters, each with the number of its first page, in order.
        heading: the teacher's own heading, for the title page.
        keys: MIDI keys by surface, where not General MIDI's.
        choices: how the pages are written.

    Raises:
        OptionError: no sheets.
        WriteError: it cannot be set.
    """
    if not sheets:
        raise OptionError("a PDF of no pages was asked for; it has at least one")
    gathered = SheetData(paper, keys, triplets=choices.swing == "triplets")
    pages = [gathered.sheet(sheet) for sheet in sheets]
    firsts = _chapters(gathered, chapters, sheets)
    for number, page in enumerate(pages):
        page["chapter"] = firsts.get(number)
    first = sheets[0].page
    data: Data = {
        "paper": paper.lengths,
        "title": literal(title or first.title),
        "book": None if not title else {"title": gathered.words(title), "heading": gathered.words(heading)},
        "chapters": bool(title and firsts),
        "caution": CAUTION,
        "description": literal(first.recipe) if len(sheets) == 1 else "",
        "sheets": pages,
        "pictures": list(gathered.pictures),
    }
    return typeset(data, system_fonts=gathered.letters.system_fonts)


def _chapters(gathered: SheetData, chapters: Sequence[tuple[str, int]], sheets: Sequence[Sheet]) -> dict[int, str]:
    """Chapter titles by the place of the first sheet that belongs to them; those with no sheet are left out."""
    ends = [*(number for _, number in chapters), None][1:]
    firsts = {}
    for (title, start), end in zip(chapters, ends, strict=bool(chapters)):
        places = [
            place for place, sheet in enumerate(sheets) if sheet.number >= start and (end is None or sheet.number < end)
        ]
        if places:
            firsts[places[0]] = gathered.words(title)
    return firsts
