"""Sheets as PDF: what stands on them, how they are divided, and that words are words."""

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitgen.errors import OptionError, WriteError
from kitgen.page import Row, Tempo
from kitgen.pattern import Feel
from kitgen.spell.choices import Choices
from kitgen.write import pdf_typst
from kitgen.write.paper import SIZES, Paper
from kitgen.write.pdf import sheets_pdf
from kitgen.write.text import CAUTION, READY
from tests.cli.running import environment
from tests.write.drawn import bars, page, sheet, text_of, texts


def close(words: str) -> str:
    """Words without white space."""
    return "".join(words.split())


def test_a_sheet_says_all_a_page_says() -> None:
    """Title, number, heading, instruction, notes, line, labels, times, keys, recipe, what is new and the caution."""
    whole = page(
        Row("first beats", bars(4), 4),
        title="On one",
        heading="Alder Bay Middle School",
        notes=("the ride stands in",),
        line="x--- ---- ---- ----",
        kernels=(Row("loop beat 1", bars(1)),),
        clave="3-2",
        recipe='kitgen apply "x---" --as limb  # kitgen 0.1.0',
    )
    said = text_of(whole, number=7, new=("meter 4/4",))
    ready = [words for line in READY for words in line]
    for words in (
        "7.On one", "Alder Bay Middle School", "Play the first beat.", "The ride stands in.", "x--- ---- ---- ----",
        "first beats", "play 4 times", "loop beat 1", "snare 38", "New here: 4/4", "3-2", "sheet 1 of 1", "Name",
        "Date", "bpm", "system0of0.", "loop0of0.", whole.recipe, CAUTION, *ready,
    ):  # fmt: skip
        assert close(words) in said, words


def test_tempi_are_all_there() -> None:
    """Start, goal and range, or one tempo; a unit no note stands for is said in words."""
    assert close("= 60") in (said := text_of(page()))
    assert close("GOAL 90 RANGE") in said
    assert close("50 to 120") in said
    single = text_of(page(tempo=Tempo.at(72, Fraction(3, 2))))
    assert "TEMPO" in single
    assert "GOAL" not in single
    assert close("72 5/2 of a quarters a minute") in text_of(page(tempo=Tempo.at(72, Fraction(5, 2))))


def test_swing_is_said_as_it_is_written() -> None:
    """A swung page has the feel in words and figures, and other words where its triplets are written out."""
    swung = page(Row("first beats", bars(4, Feel(8, Fraction(2)))))
    assert close("swing eighths 2:1") in text_of(swung)
    assert close("written even") in text_of(swung)
    written = "".join(texts(sheets_pdf([sheet(swung)], choices=Choices(swing="triplets"))))
    assert close("written as it sounds") in written


def test_a_page_to_be_graded_has_a_table_and_no_boxes() -> None:
    """Every criterion heads a column, every row's label a line."""
    graded = page(Row("one", bars(4)), Row("two", bars(4)), grading=("rhythm", "kept going"))
    said = text_of(graded)
    assert said.count("two") == 2
    assert "rhythm" in said
    assert close("kept going") in said
    assert close(READY[0][0]) not in said


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("print_size", ["normal", "large"])
def test_sheets_have_the_size_of_the_paper(size: str, print_size: str) -> None:
    """Every sheet is as large as its paper."""
    from io import BytesIO

    from pypdf import PdfReader

    paper = Paper(size, print_size)
    made = sheets_pdf([sheet(page(Row("long", bars(60))))], paper)
    for one in PdfReader(BytesIO(made)).pages:
        assert (float(one.mediabox.width), float(one.mediabox.height)) == pytest.approx(
            (paper.width_pt, paper.height_pt), abs=0.1
        )


@pytest.mark.parametrize("systems", range(1, 24))
def test_a_label_stands_with_its_first_system_and_no_system_stands_alone(systems: int) -> None:
    """However long two rows are: labels stand with music, and a broken row has two systems at its start and end."""
    long = page(Row("the first row", bars(4 * systems)), Row("the second row", bars(4 * systems)))
    pages = texts(sheets_pdf([sheet(long)]))
    for index, label in enumerate(("thefirstrow", "thesecondrow")):
        here = [text for text in pages if f"of{index}." in text]
        assert f"{label}system0of{index}." in here[0] or close(label) in here[0]
        assert sum(close(label) in text for text in pages) == 1
        if systems > 1:
            assert min(here[0].count(f"of{index}."), here[-1].count(f"of{index}.")) > 1
        assert sum(text.count(f"of{index}.") for text in pages) == systems


def test_a_row_of_less_than_half_a_sheet_is_never_broken() -> None:
    """Five systems that do not fit under the first row begin a new sheet together."""
    pages = texts(sheets_pdf([sheet(page(Row("one", bars(16)), Row("two", bars(20)), Row("three", bars(20))))]))
    for index in range(3):
        assert sum(f"of{index}." in text for text in pages) == 1


def test_a_page_of_two_sheets_goes_on_with_a_running_head() -> None:
    """The second sheet says which page it belongs to; the foot is on both."""
    pages = texts(sheets_pdf([sheet(page(Row("long", bars(60)), recipe="kitgen x"), 4)]))
    assert len(pages) > 1
    assert close("4. On one, continued") in pages[1]
    assert close("4. On one, continued") not in pages[0]
    for number, text in enumerate(pages, start=1):
        assert f"sheet{number}of{len(pages)}" in text
        assert close(CAUTION) in text
        assert close("kitgen x") in text


def test_what_nearly_fits_is_put_on_one_sheet() -> None:
    """Short rows stand side by side before a second sheet is begun."""
    short = page(*(Row(f"row {number}", bars(1)) for number in range(12)))
    assert len(texts(sheets_pdf([sheet(short, width=150)]))) == 1
    assert len(texts(sheets_pdf([sheet(short, width=400)]))) == 2


def test_a_book_has_a_title_page_contents_and_chapters() -> None:
    """Contents name every page with its sheet; the outline holds chapters, and pages under them."""
    from io import BytesIO

    from pypdf import PdfReader

    sheets = [sheet(page(title=f"Page of {word}"), number) for number, word in enumerate(("one", "two", "three"), 5)]
    made = sheets_pdf(sheets, title="First book", heading="Alder Bay", chapters=[("Feet", 5), ("Hands", 7)])
    pages = texts(made)
    assert len(pages) == 5
    for words in ("First book", "Alder Bay", "3 pages", CAUTION):
        assert close(words) in pages[0]
    for words in ("Contents", "Feet", "5.Page of one 3", "6.Page of two 4", "Hands", "7.Page of three 5"):
        assert close(words) in pages[1]
    outline: list[Any] = PdfReader(BytesIO(made)).outline
    flat: list[Any] = [
        [one["/Title"] for one in entry] if isinstance(entry, list) else entry["/Title"] for entry in outline
    ]
    assert flat == [
        "Contents", "Feet", ["5. Page of one", "6. Page of two"], "Hands", ["7. Page of three"]
    ]  # fmt: skip


def test_chapters_without_pages_are_left_out() -> None:
    """A book of some pages of a series shows the chapters these belong to."""
    sheets = [sheet(page(), number) for number in (4, 9)]
    said = "".join(texts(sheets_pdf(sheets, title="Some", chapters=[("A1", 1), ("B2", 5), ("C3", 8)])))
    assert "A1" in said
    assert "B2" not in said
    assert "C3" in said


@pytest.mark.parametrize(
    "words",
    [
        '#include "x"', "*bold* _thin_ $x$", "<b>&amp;</b>", "A\\nb \\ c", "= head", "`raw` // no /* no */ @ref <key>",
        "-- --- ... 'q' \"q\" ~", "[x] {y} #let z = 1;", "\\u{1F600} #panic()", "50% off",
    ],
)  # fmt: skip
def test_markup_is_set_literally(words: str) -> None:
    """Words that would mean something in a page's source stand as they are, wherever they are given."""
    made = page(
        Row(words, bars(4)), title=words, heading=words, instruction=words, notes=(words,), recipe=words, line=words
    )
    book = sheets_pdf([sheet(made, new=(words,))], title=words, heading=words, chapters=[(words, 1)])
    pages = texts(book)
    assert pages[0].count(close(words)) == 2
    assert pages[1].count(close(words)) == 2
    assert pages[2].count(close(words)) == 9


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=60).filter(lambda text: len(text.splitlines()) < 2))
def test_any_words_can_be_set(words: str) -> None:
    """No characters whatever keep a sheet from being made."""
    made = page(Row(words, bars(1)), title=words, heading=words, notes=(words,), recipe=words, line=words)
    assert sheets_pdf([sheet(made)], title=words or "x").startswith(b"%PDF-")


@pytest.mark.parametrize("letters", [40, 400, 4000])
def test_a_recipe_of_any_length_is_found(letters: int) -> None:
    """Without white space the text of the sheets contains the recipe, wherever its lines are broken."""
    recipe = f'kitgen apply "{"x.x. xxxx " * (letters // 10)}" --as groove  # kitgen 0.1.0'
    assert close(recipe) in text_of(page(recipe=recipe))
    assert close(recipe) in text_of(page(recipe=recipe.replace(" ", "")))


def test_four_hundred_bars_are_set() -> None:
    """A row of a hundred systems goes on for as many sheets as it takes."""
    pages = texts(sheets_pdf([sheet(page(Row("long", bars(400))))]))
    assert sum(text.count("of0.") for text in pages) == 100


def test_the_same_sheets_give_the_same_bytes_in_another_process() -> None:
    """Twice here and once elsewhere: one file."""
    made = sheets_pdf([sheet(page())], title="Book")
    assert made == sheets_pdf([sheet(page())], title="Book")
    code = (
        "import sys, hashlib; from tests.write.drawn import page, sheet; from kitgen.write.pdf import sheets_pdf;"
        "sys.stdout.buffer.write(sheets_pdf([sheet(page())], title='Book'))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, env=environment(), timeout=60, check=True)
    assert done.stdout == made


def test_threads_may_set_sheets_at_once() -> None:
    """Four threads ask for the same sheet and get the same bytes."""
    made = sheets_pdf([sheet(page())])
    with ThreadPoolExecutor(4) as threads:
        assert set(threads.map(lambda _: sheets_pdf([sheet(page())]), range(8))) == {made}


def test_no_sheets_are_refused() -> None:
    """A PDF has a page at least."""
    with pytest.raises(OptionError, match="at least one"):
        sheets_pdf([])


def test_what_typst_cannot_do_is_an_error_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault of the template, or fonts that cannot be read, are told in one line."""
    monkeypatch.setattr(pdf_typst, "_template", lambda _name: b'#panic("no")')
    with pytest.raises(WriteError, match=r"cannot be set: .*leave pdf and book out") as caught:
        sheets_pdf([sheet(page())])
    assert "\n" not in str(caught.value)


def test_a_missing_engine_is_an_error_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the package that sets pages the message says what to install."""
    pdf_typst._compiler.cache_clear()
    monkeypatch.setitem(sys.modules, "typst", None)
    try:
        with pytest.raises(WriteError, match="needs the package typst"):
            sheets_pdf([sheet(page())])
    finally:
        pdf_typst._compiler.cache_clear()
