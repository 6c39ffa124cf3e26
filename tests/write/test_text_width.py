"""Pages of text fit a terminal of 80 columns, whatever application made them."""

import pytest

from kitgen.apply import APPLICATIONS
from kitgen.line import parse, render
from kitgen.make.applied import pages_of
from kitgen.make.recipe import ApplyRecipe
from kitgen.pattern import parse_rows
from kitgen.read.text import page_of_text
from kitgen.write.text import page_text

HEADS = ("row:", "kernel:", "play:", "lengths ")


@pytest.mark.parametrize(
    ("line", "meter"),
    [
        ("x.x. xxxx x--- ..x- | xxxxxx x... ..xx x.x.", "4/4"),
        ("x.. xxx x.x .xx", "12/8"),
        ("xxxxx x.x.x .x... xxxxxxx", "4/4"),
        ("x....... x.x.x.x. .......x xxxx", "4/4"),
    ],
)
def test_rows_fit_eighty_columns(line: str, meter: str) -> None:
    """Every row of boxes of every application fits, its columns line up with the counts, and the page reads back."""
    made = parse(line, meter)
    recipe = ApplyRecipe(line=render(made), as_="all", meter=meter)
    pages, _ = pages_of(recipe, list(APPLICATIONS), made)
    assert pages
    for page in pages:
        text = page_text(page)
        rows = text[text.index("\nrow: ") :].splitlines()
        assert [row for row in rows if len(row) > 80 and not row.startswith(HEADS)] == []
        assert page_of_text(text, "page").pattern == page.pattern


def test_a_wide_bar_on_a_page_reads_back() -> None:
    """A bar of ninety boxes stands in parts on its page, and is the same bar when the page is read."""
    rows = parse_rows(f"RH ride {' '.join(['x' * 15] * 6)}; RF bass x x x x x x", "6/4")
    text = page_text(pages_of(ApplyRecipe(line="x . . .", as_="alone"), ["alone"], parse("x . . ."))[0][0])
    page = page_of_text(text, "page")
    from dataclasses import replace

    wide = replace(page, rows=(replace(page.rows[0], pattern=rows),), line="")
    assert max(map(len, page_text(wide).partition("\nrow: ")[2].splitlines())) <= 80
    assert page_of_text(page_text(wide), "page").pattern == rows
