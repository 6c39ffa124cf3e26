"""All pages of a folder in one PDF."""

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING, NamedTuple

from kitgen.page.value import slug_of
from kitgen.write.page_files import Manner, paper_of

if TYPE_CHECKING:
    from kitgen.write.pdf import Sheet


class Book(NamedTuple):
    """The book of a folder: its file's name and bytes."""

    name: str
    data: bytes


def bound(
    sheets: Sequence["Sheet"],
    manner: Manner,
    *,
    title: str,
    chapters: Sequence[tuple[str, int]] = (),
    taken: Collection[str] = (),
) -> Book:
    """Sheets as a book that is named by its title.

    Args:
        sheets: the pages with their pictures, one at least.
        manner: how they are written.
        title: of the book.
        chapters: title and number of the first page of each.
        taken: names of other files.

    Raises:
        WriteError: it cannot be set.
    """
    from kitgen.spell.choices import USUAL
    from kitgen.write.pdf import sheets_pdf  # what sets pages is loaded where a book is asked for

    name = f"{slug_of(title)}.pdf"
    headings = {sheet.page.heading for sheet in sheets}
    data = sheets_pdf(
        sheets,
        paper_of(manner),
        title=title,
        chapters=chapters,
        heading=headings.pop() if len(headings) == 1 else "",
        keys=manner.keys,
        choices=manner.choices or USUAL,
    )
    return Book(f"book-{name}" if name in taken else name, data)
