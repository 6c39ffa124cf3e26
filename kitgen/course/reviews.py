"""The page at the end of a chapter that can be graded: rows from all of it, and nothing new.

A row is a phrase from each of the chapter's pages, or from as many of them, evenly spread, as a page holds. What has
another feel, or beats of another value, or cannot be read beside the others, stands on a page of its own. What is
graded is what adjudication forms have (common practice): rhythm, tempo, coordination, sound, and going on after a slip.
"""

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from kitgen.course.making import page_with
from kitgen.course.plan import Setup
from kitgen.course.ways import ALONE, elements
from kitgen.errors import KitgenError
from kitgen.kit import Limb
from kitgen.page import Page, Row, Tempo
from kitgen.page.progress import learned, new_in
from kitgen.pattern import Feel, Pattern

CRITERIA = ("rhythm", "steady tempo", "counting and coordination", "sound and dynamics", "kept going")
_MOST = 8
_TIMES, _PHRASE, _LONGEST = 2, 4, 8
_SOLO = " of solo"


def review_page(
    known: Collection[str],
    pages: Sequence[Page],
    setup: Setup | None = None,
    *,
    title: str = "",
) -> Page | None:
    """The first page to be graded at the end of a chapter; see :func:`review_pages`."""
    return next(iter(review_pages(known, pages, setup, title=title)), None)


def review_pages(
    known: Collection[str],
    pages: Sequence[Page],
    setup: Setup | None = None,
    *,
    title: str = "",
) -> tuple[Page, ...]:
    """The pages to be graded at the end of a chapter: one for each feel and value of the beat, most rows first.

    Args:
        known: what the class has learned, the chapter included.
        pages: the chapter's pages.
        setup: tempo, kit and player.
        title: of the chapter.

    Returns:
        pages with nothing new; none where the chapter gives no row.
    """
    setup, known = setup or Setup(), learned(known)
    found = list[Page]()
    for rows in _kinds([row for page in pages for row in _row_of(page)]):
        left = _spread([row for row in rows if _nothing_new([row], setup, known)])
        while left:
            chosen = _together(left, setup, known)
            left = [row for row in left if row not in chosen]
            number = f" {len(found) + 1}" if found else ""
            page = _page(_told_alike(chosen), setup, f"Review{number}: {title}" if title else f"Review{number}")
            found += [page] if page is not None else []
    return tuple(found)


def _together(rows: Sequence[Row], setup: Setup, known: Collection[str]) -> list[Row]:
    """The first of some rows, and all that bring nothing new beside it; hands may be read as one on one page alone."""
    if _nothing_new(_told_alike(rows), setup, known):
        return list(rows)
    chosen = [rows[0]]
    for row in rows[1:]:
        if _nothing_new(_told_alike([*chosen, row]), setup, known):
            chosen.append(row)
    return chosen


def _nothing_new(rows: Sequence[Row], setup: Setup, known: Collection[str]) -> bool:
    try:
        page = Page("Review", "", tuple(rows), Tempo.at(60, Fraction(1)))
    except KitgenError:
        return False
    return not new_in(elements(page, setup.on), known)


def _page(rows: Sequence[Row], setup: Setup, title: str) -> Page | None:
    return page_with(
        rows,
        setup,
        title,
        "Play each row without stopping, at one tempo for the whole page. Every row is graded.",
        grading=CRITERIA,
    )


def _row_of(page: Page) -> Iterator[Row]:
    """A row of a page, called like the page: its last phrase, twice where that is short; the first if all are long.

    Of trading it is both, the time and the solo.
    """
    if page.grading:
        return
    own = page.rows[1:] if len(page.rows) > 1 and page.rows[0].label == ALONE else page.rows
    feel = Feel(page.feel.unit, None) if page.feel.unit else page.feel
    if own[-1].label.endswith(_SOLO):
        yield from (Row(f"{page.title}, {row.label}", row.pattern.with_feel(feel)) for row in own[-2:])
        return
    row = next((row for row in reversed(own) if len(row.pattern.meters.bars) <= _LONGEST), own[0])
    yield Row(page.title, row.pattern.with_feel(feel), 1 if len(row.pattern.meters.bars) >= _PHRASE else _TIMES)


def _kinds(rows: Sequence[Row]) -> Iterator[list[Row]]:
    """Rows that can stand on one page: of one feel, counted in one note value; the most first."""
    for kind, _ in Counter(_kind(row) for row in rows).most_common():
        seen = dict[object, Row]()
        for row in rows:
            if _kind(row) == kind:
                seen.setdefault(row.pattern, row)
        yield list(seen.values())


def _kind(row: Row) -> tuple[Feel, object]:
    return row.pattern.feel, row.pattern.meters.bars[0].meter.tempo_unit


def _told_alike(rows: Sequence[Row]) -> list[Row]:
    """Rows with every length told, where one of them tells any, so that a stroke looks alike all over the page."""
    telling = {hit.limb for row in rows for hit in row.pattern.hits if hit.length is not None and not hit.ornament}
    return [replace(row, pattern=_told(row.pattern, telling)) for row in rows]


def _told(pattern: Pattern, telling: Collection[Limb]) -> Pattern:
    """A pattern in which the strokes of some limbs last to the next one, or to their beat's end, unless they say so."""
    hits = []
    for limb in pattern.limbs:
        own = [hit for hit in pattern.hits if hit.limb == limb]
        following = [*(hit.onset for hit in own[1:]), pattern.span]
        for hit, after in zip(own, following, strict=True):
            untold = limb in telling and hit.length is None and hit.ornament is None
            end = min(after, pattern.meters.beat_at(hit.onset).end)
            hits.append(replace(hit, length=end - hit.onset) if untold else hit)
    return pattern.with_hits(hits)


def _spread(rows: Sequence[Row]) -> list[Row]:
    """At most a page of rows, evenly spread, the last one among them."""
    if len(rows) <= _MOST:
        return list(rows)
    places = [round(index * (len(rows) - 1) / (_MOST - 1)) for index in range(_MOST)]
    return [rows[place] for place in places]
