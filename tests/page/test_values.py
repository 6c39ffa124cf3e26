"""Pages, rows and tempi as values: canonical, compared by value, refused where they cannot be."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import OptionError, PatternError, TimeError
from kitgen.kit import Limb
from kitgen.page import Page, Row, Tempo, slug_of
from kitgen.pattern import Feel, Hit, Pattern, parse_rows
from kitgen.time import Meter, Meters

F = Fraction
FOUR = Meters.of(Meter(4, 4))
BEATS = parse_rows("RF bass x x x x")


def page_of(*rows: Pattern) -> Page:
    """A page of these rows."""
    return Page("a page", "Play.", tuple(Row(f"row {n}", p) for n, p in enumerate(rows, start=1)), Tempo.at(90, F(1)))


# ---- tempo -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("bpm", [20, 400, 63.5, "63.25", "90"])
def test_a_tempo_is_20_to_400(bpm: float | str) -> None:
    """Tempi are taken as numbers or text, from 20 to 400; a whole one is an int."""
    tempo = Tempo.at(bpm, F(1))
    assert tempo.start == tempo.goal == tempo.low == tempo.high == float(bpm)
    assert isinstance(Tempo.at("90", F(1)).start, int)


@pytest.mark.parametrize("bpm", [0, -5, 19.999, 401, float("nan"), float("inf"), "fast", ""])
def test_other_tempi_are_refused(bpm: float | str) -> None:
    """What is outside, or no number, is refused with what is allowed."""
    with pytest.raises(TimeError, match="it is 20 to 400 beats a minute"):
        Tempo.at(bpm, F(1))


def test_three_tempi_are_in_order() -> None:
    """The goal is at or above the start and inside the range."""
    assert Tempo(60, 90, 40, 120).quarters == 60
    with pytest.raises(OptionError, match="goal of 60 bpm is below the start of 90"):
        Tempo(90, 60, 40, 120)
    with pytest.raises(OptionError, match="goal of 90 bpm is outside the range 40 to 80"):
        Tempo(60, 90, 40, 80)


def test_a_tempo_counts_its_unit() -> None:
    """Quarters a minute are counted from the unit: 80 dotted quarters are 120 quarters."""
    assert Tempo.at(80, F(3, 2)).quarters == 120
    assert Tempo.at(80, F(1, 2)).quarters == 40


def test_a_tempo_a_midi_file_cannot_hold_is_refused() -> None:
    """20 thirty-second notes a minute are more microseconds a quarter than three bytes hold; the least is said."""
    with pytest.raises(OptionError, match=r"20 thirty-seconds a minute are slower .* start at 29 or more"):
        Tempo.at(20, F(1, 8))
    assert Tempo.at(29, F(1, 8)).quarters == pytest.approx(3.625)


# ---- pages -----------------------------------------------------------------------------------------------------------


def test_a_page_has_rows_that_last() -> None:
    """A page without rows, or with a row of nothing, cannot be."""
    with pytest.raises(PatternError, match="has no rows"):
        page_of()
    with pytest.raises(PatternError, match="lasts nothing"):
        page_of(Pattern((), Meters()))


def test_a_page_has_one_feel() -> None:
    """Rows of two feels cannot share a page."""
    with pytest.raises(PatternError, match="mixes feels; one feel a page"):
        page_of(BEATS, BEATS.with_feel(Feel(8, F(2))))
    assert page_of(BEATS.with_feel(Feel(8, F(2)))).feel == Feel(8, F(2))


def test_several_rows_are_whole_bars() -> None:
    """Where there are several rows each is whole bars, so that each begins on a barline."""
    half = Pattern((), FOUR.cut(F(0), F(2)))
    assert len(page_of(half).bars) == 1
    with pytest.raises(PatternError, match=r"row 'row 1' .* ends inside a bar"):
        page_of(half, BEATS)


def test_rows_follow_one_another() -> None:
    """The page's pattern is its rows in turn; each row knows its bars."""
    waltz = parse_rows("RF bass x . .; LF hat-foot . x x", "3/4")
    page = page_of(BEATS, waltz, BEATS * 2)
    assert page.pattern == BEATS + waltz + BEATS * 2
    assert [(row.label, first, bars) for row, first, bars in page.row_bars()] == [
        ("row 1", 1, 1),
        ("row 2", 2, 1),
        ("row 3", 3, 2),
    ]
    assert [str(bar.meter) for bar in page.bars] == ["4/4", "3/4", "4/4", "4/4"]


def test_what_is_held_past_a_row_is_cut_where_the_next_begins() -> None:
    """A hold over a row's end wraps where the row stands alone, and ends with the row where another follows."""
    held = Pattern((Hit(F(3), Limb.LH, "snare", length=F(2)), Hit(F(2), Limb.LH, "snare")), FOUR)
    assert page_of(held).pattern == held
    lengths = [hit.length for hit in page_of(held, BEATS).pattern.hits if hit.limb is Limb.LH]
    assert lengths == [None, F(1)]


def test_pages_are_values() -> None:
    """Equal pages are equal and hash the same; space around texts is no difference; arguments are not changed."""
    page = page_of(BEATS, BEATS)
    assert page == page_of(BEATS, BEATS)
    assert hash(page) == hash(page_of(BEATS, BEATS))
    assert replace(page, title="  a page ") == page
    assert Row(" a row ", BEATS) == Row("a row", BEATS)
    assert page != replace(page, count_quarters=True)
    with pytest.raises(AttributeError):
        page.title = "another"  # type: ignore[misc]  # the point of the test


# ---- slugs -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("title", "slug"),
    [
        ("Linear: RH, LH, RF (gaps filled)", "linear-rh-lh-rf-gaps-filled"),
        ("Pâté à la crème", "pate-a-la-creme"),
        ("  ", "page"),
        ("../../etc/passwd", "etc-passwd"),
        ("日本", "page"),
        ("a" * 100, "a" * 60),
        ("CON", "con"),
        ('Left hand "e & a" over samba feet', "left-hand-e-and-a-over-samba-feet"),
    ],
)
def test_slugs(title: str, slug: str) -> None:
    """A title as a file name: plain small letters, digits and hyphens."""
    assert slug_of(title) == slug


@given(st.text(max_size=80))
def test_a_slug_is_always_a_safe_file_name(title: str) -> None:
    """Whatever the title, its slug is one to sixty characters that no file system objects to."""
    slug = slug_of(title)
    assert 1 <= len(slug) <= 60
    assert set(slug) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert not slug.startswith("-")
    assert not slug.endswith("-")


def test_a_row_is_played_as_often_as_it_says() -> None:
    """A row played twice is twice as long on the page; not at all, or too often, it is refused."""
    page = Page("a page", "Play.", (Row("a", BEATS, 2), Row("b", BEATS)), Tempo.at(90, F(1)))
    assert page.pattern == BEATS * 3
    assert [(first, bars) for _, first, bars in page.row_bars()] == [(1, 2), (3, 1)]
    for times in (0, -1, 65):
        with pytest.raises(PatternError, match="a row is played 1 to 64"):
            Row("a", BEATS, times)


def test_kernels_are_no_part_of_what_is_played() -> None:
    """A kernel stands beside the rows: it has no bars on the page, but it has to be a pattern of the page's feel."""
    kernel = Row("a beat", parse_rows("RF bass x", Meter(1, 4)))
    page = replace(page_of(BEATS), kernels=(kernel,))
    assert page.pattern == BEATS
    with pytest.raises(PatternError, match="mixes feels"):
        replace(page, kernels=(Row("b", kernel.pattern.with_feel(Feel(8, F(2)))),))
    with pytest.raises(PatternError, match="lasts nothing"):
        replace(page, kernels=(Row("c", Pattern((), Meters())),))


def test_a_criterion_has_no_semicolon() -> None:
    """Criteria stand on one line with semicolons between them."""
    with pytest.raises(PatternError, match="no semicolon"):
        replace(page_of(BEATS), grading=("rhythm; tempo",))
