"""The built-in courses: complete, in order, one new element a page, all of it playable."""

import re
from functools import cache
from pathlib import Path

import pytest

import kitgen
from kitgen.course.plan import Plan
from kitgen.make.serial import Series, series_of
from kitgen.make.series_recipe import SeriesRecipe
from kitgen.page.progress import learned, new_in
from kitgen.pattern.playability import playability
from kitgen.read.plans import course_names, plan_named

COURSES = ("kit", "rhythm")
SIZES = {"rhythm": (60, 90), "kit": (60, 140)}


@cache
def plan(name: str) -> Plan:
    """A course's plan."""
    return plan_named(name).plan


@cache
def series(name: str) -> Series:
    """A course's pages."""
    return series_of(SeriesRecipe(plan=name), plan_named(name))


def test_there_are_two_courses() -> None:
    """The courses named here are those there are."""
    assert sorted(course_names()) == sorted(COURSES)


@pytest.mark.parametrize("name", COURSES)
def test_every_chapter_ends_with_long_rests_and_a_review(name: str) -> None:
    """Every chapter has goals, and asks for both pages at its end."""
    for chapter in plan(name).chapters:
        assert chapter.goals
        assert chapter.rests, chapter.title
        assert chapter.review, chapter.title


@pytest.mark.slow
@pytest.mark.parametrize("name", COURSES)
def test_each_page_brings_one_new_element(name: str) -> None:
    """From what is taken for granted on every page holds exactly one new thing; reviews none, rests none but a rest."""
    known = learned(series(name).known)
    for number, placed in enumerate(series(name).pages, start=1):
        new = new_in(placed.elements, known)
        if placed.kind == "review":
            assert new == (), (number, placed.page.title)
        elif placed.kind == "rests":
            assert all(element.startswith("rest ") for element in new), (number, new)
            assert len(new) <= 1
        else:
            assert len(new) == 1, (number, placed.page.title, new)
        known |= learned(placed.elements)


@pytest.mark.slow
@pytest.mark.parametrize("name", COURSES)
def test_courses_are_as_long_as_a_school_year_bears(name: str) -> None:
    """So many pages; a page of rests a chapter, and a review, or one for each feel there is, graded."""
    pages, chapters = series(name).pages, len(plan(name).chapters)
    least, most = SIZES[name]
    assert least <= len(pages) <= most
    kinds = [placed.kind for placed in pages]
    assert kinds.count("rests") == chapters
    assert chapters <= kinds.count("review") <= 1.5 * chapters
    assert all(bool(placed.page.grading) == (placed.kind == "review") for placed in pages)


@pytest.mark.slow
@pytest.mark.parametrize("name", COURSES)
def test_every_page_can_be_played_at_its_goal(name: str) -> None:
    """The player of the course plays every page, at its goal and at the top of its range."""
    for placed in series(name).pages:
        page, setup = placed.page, placed.setup
        for bpm in (page.tempo.goal, page.tempo.high):
            found = playability(page.pattern, setup.by, bpm * float(page.tempo.unit), hand=setup.hand)
            assert found == (), (page.title, bpm, found[0])


@pytest.mark.slow
@pytest.mark.parametrize("name", COURSES)
def test_no_two_pages_have_the_same_rows(name: str) -> None:
    """Pages differ, and so do the rows of each page."""
    patterns = [tuple(row.pattern for row in placed.page.rows) for placed in series(name).pages]
    assert len(set(patterns)) == len(patterns)
    assert all(len(set(rows)) == len(rows) for rows in patterns)


@pytest.mark.slow
@pytest.mark.parametrize("name", COURSES)
def test_titles_are_short(name: str) -> None:
    """A title fits on its line, and whole in the name of its file."""
    for placed in series(name).pages:
        assert len(placed.page.title) <= 45


@pytest.mark.slow
def test_rests_grow_longer_and_are_not_always_even() -> None:
    """Four bars, then six, then five; twelve bars and more in the end; some in other meters than four-four."""
    bars = [
        max(int(element.split()[1]) for element in placed.elements if element.endswith(" bars"))
        for placed in series("rhythm").pages
        if placed.kind == "rests"
    ]
    assert bars[:6] == [4, 6, 5, 8, 7, 12]
    assert all(max(bars[: index + 3]) > max(bars[:index]) for index in range(1, len(bars) - 3))
    assert len({placed.page.bars[0].meter for placed in series("rhythm").pages if placed.kind == "rests"}) >= 3


@pytest.mark.slow
def test_the_kit_course_builds_on_the_whole_rhythm_course() -> None:
    """What the one teaches the other takes for granted; long rests start again, over feet."""
    taught = learned(element for placed in series("rhythm").pages for element in placed.elements)
    rests = {element for element in taught if element.endswith(" bars")}
    assert taught - rests <= learned(series("kit").known)


@pytest.mark.slow
def test_compound_meters_may_come_before_triplets(tmp_path: Path) -> None:
    """As the course's own file says: with the cells they need, which triplets then need no more."""
    text = (Path(kitgen.__file__).parent / "course" / "courses" / "rhythm.toml").read_text("utf-8")
    head, *chapters = text.split("[[chapter]]")
    by_title = {re.findall('title = "(.*)"', chapter)[0]: chapter for chapter in chapters}
    moved = [f'    {{ cell = "{cell}", limb = "RH" }},\n' for cell in ("xxx", "x.x", "xx.")]
    for goal in moved:
        assert by_title["Eighth triplets"].count(goal) == 1
        by_title["Eighth triplets"] = by_title["Eighth triplets"].replace(goal, "")
    first = '    { meter = "6/8" },\n'
    by_title["Six eight"] = by_title["Six eight"].replace(first, first + "".join(moved))
    titles = list(by_title)
    titles.remove("Six eight")
    titles.insert(titles.index("Dotted quarters and ties") + 1, "Six eight")
    path = tmp_path / "early.toml"
    path.write_text("[[chapter]]".join([head, *(by_title[title] for title in titles)]), "utf-8")
    placed = series_of(SeriesRecipe(plan=str(path)), plan_named(str(path))).pages
    meters = [str(one.page.bars[0].meter) for one in placed]
    assert meters.index("6/8") < next(i for i, one in enumerate(placed) if "cell RH xxxx" in one.elements)
    assert len(placed) == len(series("rhythm").pages)
