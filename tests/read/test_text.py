"""Pages of text: reading what was written gives the page back, and what cannot be read is said by name and place."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import KitgenError, OptionError, PatternError, ReadError
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import EVEN, Feel, Pattern, parse_rows
from kitgen.read.text import page_of_text
from kitgen.time import Meter, Meters
from kitgen.write.text import page_text
from tests.strategies import any_meters, feels, maps, patterns, ratios, whole_maps

F = Fraction
WORDS = st.text(st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp")), max_size=30)
BINARY_AND_THREES = (1, 2, 3, 4, 6)


@st.composite
def tempi(draw: st.DrawFn) -> Tempo:
    """Any start, goal and range, of any meter's beat."""
    bpm = st.one_of(st.integers(20, 400), st.floats(20, 400))
    low, start, goal, high = sorted(draw(st.tuples(bpm, bpm, bpm, bpm)))
    unit = draw(any_meters).tempo_unit
    try:
        return Tempo(start, goal, low, high, unit)
    except OptionError:  # slower than a MIDI file can say
        return Tempo(start, goal, low, high)


@st.composite
def pages(draw: st.DrawFn) -> Page:
    """Pages of up to three rows, with any words, tempi and feels, under any meters, a single row also of short bars."""
    feel, several = draw(feels), draw(st.booleans())
    over = whole_maps(max_runs=2, max_bars=1) if several else maps(max_runs=2)
    row = st.tuples(WORDS, patterns(over=over, parts=BINARY_AND_THREES, lengths=True))
    rows = draw(st.lists(row, min_size=1, max_size=3 if several else 1))
    kernels = draw(st.lists(row, max_size=2)) if several else []
    times = st.integers(1, 5) if several else st.just(1)
    return Page(
        draw(WORDS),
        draw(WORDS),
        tuple(Row(label, p.with_feel(feel), draw(times)) for label, p in rows),
        draw(tempi()),
        draw(WORDS),
        tuple(draw(st.lists(WORDS, max_size=2))),
        draw(st.booleans()),
        draw(st.sampled_from((None, "3-2", "2-3"))),
        draw(WORDS),
        tuple(Row(label, p.with_feel(feel), draw(times)) for label, p in kernels),
        draw(WORDS),
        tuple(draw(st.lists(WORDS.filter(lambda words: ";" not in words), max_size=2))),
    )


@given(pages())
def test_every_page_comes_back(page: Page) -> None:
    """Law 8: a page read from its own text is equal: words, tempi, feel, notes, meters, every stroke."""
    try:
        text = page_text(page)
    except PatternError as error:  # more boxes in a beat than can be read
        assert "at most 960" in str(error)  # noqa: PT017
        return
    assert page_of_text(text, "a file") == page


@given(ratios, st.sampled_from((8, 16)))
def test_every_swing_comes_back(ratio: Fraction, unit: int) -> None:
    """The feel's line holds the ratio exactly."""
    page = Page("a", "", (Row("b", parse_rows("RF bass x x x x", feel=Feel(unit, ratio))),), Tempo.at(90, F(1)))
    assert page_of_text(page_text(page), "a file").feel == Feel(unit, ratio)


@given(st.text(max_size=200))
def test_any_text_is_a_page_or_an_error(text: str) -> None:
    """Whatever is typed, reading ends in a page or in an error of the package's own."""
    try:
        page_of_text(text, "typed")
    except KitgenError as error:
        assert "\n" not in str(error)  # noqa: PT017


def test_a_page_is_headed_by_words_and_values() -> None:
    """The text of a page: headings, then each row under its label, ending in one newline."""
    page = Page(
        "Quarters",
        "Play them.",
        (Row("feet", parse_rows("RF bass x x x x; LF hat-foot . x . x")),),
        Tempo(60, 90, 40, 120),
        "kitgen 0 apply 'x x x x' --as limb",
        ("one thing left out",),
        clave="2-3",
    )
    assert page_text(page) == (
        "title: Quarters\n"
        "do: Play them.\n"
        "meter: 4/4\n"
        "tempo: 60 to 90 quarters a minute, range 40 to 120\n"
        "feel: even\n"
        "counting: the beats (quarter)\n"
        "clave: 2-3\n"
        "note: one thing left out\n"
        "letters: X accent, x stroke, t tap, g ghost, f feather, - held, . silent; 1tl is 1 trip let, 1li is 1 la li\n"
        "midi keys: bass 36, hat-foot 44\n"
        "recipe: kitgen 0 apply 'x x x x' --as limb\n"
        "\n"
        "row: feet\n"
        "count        1 2 3 4\n"
        "RF bass      x x x x\n"
        "LF hat-foot  . x . x\n"
        "\n"
        "name: ____________________________  date: ____________  bpm: ________\n"
        "ready: [ ] from memory   [ ] cold start, all limbs at once   [ ] soft and loud\n"
        "ready: [ ] entered from plain time   [ ] kept going after a slip\n"
    )


def test_a_page_says_what_is_repeated_looped_and_graded() -> None:
    """A heading, rows played several times, kernels after the rows, and a line of places for grades a row."""
    feet = parse_rows("RF bass x x x x; LF hat-foot . x . x")
    page = Page(
        "Review",
        "Play them.",
        (Row("feet", feet, 4), Row("the feet again, once through and with a label that is long", feet)),
        Tempo.at(90, F(1)),
        kernels=(Row("the foot alone", parse_rows("RF bass x", Meter(1, 4)), 2),),
        heading="Alder Bay Middle School, percussion",
        grading=("rhythm", "steady tempo"),
    )
    text = page_text(page)
    assert "\nheading: Alder Bay Middle School, percussion\n" in text
    assert "\ngrading: 1 rhythm; 2 steady tempo\n" in text
    assert "\nrow: feet\nplay: 4 times\ncount        1 2 3 4\n" in text
    assert "\nkernel: the foot alone\nplay: 2 times\nmeter 1/4\n" in text
    assert "\ngrade: feet                                  1 ___  2 ___\n" in text
    assert "\ngrade: the feet again, once through and ...  1 ___  2 ___\n" in text
    assert "ready:" not in text
    assert "new:" not in text
    assert page_of_text(text, "a file") == page
    assert page.pattern.span == 20
    assert [(first, bars) for _, first, bars in page.row_bars()] == [(1, 4), (5, 1)]


@pytest.mark.parametrize("words", ["often", "0 times", "100 times", "4"])
def test_times_that_cannot_be_read_are_said(words: str) -> None:
    """What stands after play: is a number of times, under a row."""
    for text in (f"row: a\nplay: {words}\nRF bass x x x x", f"play: {words}\nrow: a\nRF bass x x x x"):
        with pytest.raises(ReadError, match="stands under a row and is like: play: 4 times"):
            page_of_text(text, "page.txt")


def test_bare_rows_make_a_page() -> None:
    """Box rows alone are a page of one row, in 4/4, at 90."""
    page = page_of_text("RF bass x..x x..x x..x x..x\nLF hat-foot ..x. ..x. ..x. ..x.\n", "samba")
    assert (page.title, page.rows[0].label, page.tempo.start) == ("samba", "samba", 90)
    assert (page.feel, page.pattern.meters) == (EVEN, Meters.of(Meter(4, 4)))
    assert len(page.pattern.hits) == 12


def test_headings_are_enough_without_a_row_heading() -> None:
    """Rows under headings but without a label are refused, since they would be lost."""
    with pytest.raises(ReadError, match="before the first 'row:' is no heading"):
        page_of_text("title: a\nRF bass x x x x\nrow: b\nRF bass x x x x", "file.txt")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("meter: 4/5\nrow: a\nRF bass x", "no meter 4/5"),
        ("meter: four\nrow: a\nRF bass x", "cannot read 'four' as a meter"),
        (
            "feel: swung\nrow: a\nRF bass x x x x",
            "cannot read the feel 'swung'; it is even, or like: swing eighths 2:1",
        ),
        ("feel: swing eighths 9:1\nrow: a\nRF bass x x x x", "outside 1:1 to 5:1"),
        (
            "tempo: fast\nrow: a\nRF bass x x x x",
            "cannot read the tempo 'fast'; it is like: 60 to 90 quarters a minute",
        ),
        ("tempo: 1.2.3 to 9 quarters a minute, range 1 to 9\nrow: a\nRF bass x x x x", "cannot read the tempo"),
        ("tempo: 60 to 90 quarks a minute, range 40 to 120\nrow: a\nRF bass x", "cannot read the tempo"),
        ("tempo: 10 to 90 quarters a minute, range 10 to 120\nrow: a\nRF bass x x x x", "20 to 400 beats a minute"),
        ("tempo: 90 to 60 quarters a minute, range 40 to 120\nrow: a\nRF bass x x x x", "below the start"),
        ("title: a\ntitle: b\nrow: a\nRF bass x x x x", "'title' stands twice"),
        ("row: a\nRF bass x x x\nLF hat-foot x x x x", "row 'RF bass' has 3 beats where the others have 4"),
        ("row: a\nRF bass x x q x", "bar 1, beat 3: unknown character 'q'"),
        ("row: a\nRF kettle x x x x", "no surface is called 'kettle'"),
        ("row: a\nRH bass x x x x", r"the right hand \(RH\) cannot play bass"),
        ("row: a\nRH ride x x x x\nRH snare . . x .", 'would play ride and snare at bar 1, count "3"'),
        ("row: a\n", "no rows; a row is a limb, a surface and its boxes"),
        ("", "no rows"),
    ],
)
def test_what_cannot_be_read_is_said(text: str, message: str) -> None:
    """Each error names the file, the place, and what is allowed."""
    with pytest.raises(ReadError, match=message) as caught:
        page_of_text(text, "page.txt")
    assert str(caught.value).startswith("page.txt: ")


@pytest.mark.parametrize("words", ["two\nlines", "two\rlines", "two\x0blines", "two\u2028lines", "two\x85lines"])
def test_a_text_of_two_lines_is_no_title(words: str) -> None:
    """What would read back as two lines cannot be a title, an instruction, a label, a note or a recipe."""
    silent = Pattern((), Meters.of(Meter(4, 4)))
    page = Page("a", "b", (Row("c", silent),), Tempo.at(90, F(1)), "d")
    changes: dict[str, Any] = dict.fromkeys(("title", "instruction", "recipe", "line", "heading"), words)
    changes |= dict.fromkeys(("notes", "grading"), (words,))
    changes |= {name: (Row(words, silent),) for name in ("rows", "kernels")}
    for name, value in changes.items():
        with pytest.raises(PatternError, match="is one line"):
            replace(page, **{name: value})


def test_what_is_new_is_said_and_read_over() -> None:
    """A page of a series says what it brings, in words; the notes say it too, so a reader does not need it."""
    page = Page("a", "b", (Row("c", parse_rows("RF bass x x x x")),), Tempo.at(90, F(1)))
    text = page_text(page, new=("cell LH x.xx over samba",))
    assert "\nnew: LH x.xx over samba\n" in text
    assert "\nnew: nothing\n" in page_text(page, new=())
    assert page_of_text(text, "a file") == page
