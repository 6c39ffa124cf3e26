"""A page of long rests: counting through them while the pulse goes on, and coming in right.

Rests are written out bar by bar, so that they can be counted on the page. Four bars first, then six, then eight. Each
row plays two bars, rests, and comes in again: on 1, then later in the bar, then after two rests. The way to count (the
number of the bar on 1) is common practice.
"""

from collections.abc import Collection, Iterator

from kitgen.apply import OSTINATOS
from kitgen.course.bars import Material, bar_of, turned
from kitgen.course.compose import Composed
from kitgen.course.making import Offer, page_of
from kitgen.course.materials import known_material
from kitgen.course.phrases import landed
from kitgen.course.plan import Setup
from kitgen.course.ways import HANDS, Way, elements, way_of
from kitgen.line import Line
from kitgen.page import Page
from kitgen.page.progress import learned, new_in
from kitgen.time import Meter

BARS = (4, 6, 8)
"""How long the rests of the first such page of a course are, of the second, and of all that follow."""

_CLAPPED, _IN_HANDS = 4, 2
"""Into how many parts a beat is divided at most: where hands change, fewer, since the counting is the task."""
_ENOUGH = ("x", "xx")
"""The cells to be known over feet before a page of rests stands over them."""
_LATE = {1: (), 2: (1,), 3: (1, 2)}
"""By beats of a bar, after how many of them a late entry comes; in longer bars after two, one or three."""


def rests_page(known: Collection[str], setup: Setup | None = None, *, seed: int = 0, number: int = 0) -> Page | None:
    """The page of long rests at the end of a chapter.

    Args:
        known: what the class has learned.
        setup: meter, tempo, kit, player, and how lines are laid.
        seed: of what is composed.
        number: how many such pages came before it in the course; rests grow longer with it.

    Returns:
        a page on which nothing is new but the length of its rests; None where the class knows nothing to play.

    >>> page = rests_page(["meter 4/4", "sound RH clap", "sound RF floor"], Setup(way="alone"))
    >>> page.title, [len(row.pattern.meters.bars) for row in page.rows]
    ('Long rests: 4 bars', [8, 8, 13])
    """
    setup, known = setup or Setup(), learned(known)
    bars = BARS[min(number, len(BARS) - 1)]
    pages = pages_of_rests(bars, known, setup, seed)
    return next((page for page in pages if _nothing_else(page, bars, known, setup)), None)


def _nothing_else(page: Page, bars: int, known: Collection[str], setup: Setup) -> bool:
    return set(new_in(elements(page, setup.on), known)) <= {f"rest {bars} bars"}


def pages_of_rests(bars: int, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:
    """Pages with rests of so many bars, the fullest first; known has what it teaches."""
    meter = Meter.parse(setup.meter)
    for way in _ways(setup, known, seed):
        finest = 3 if meter.is_compound else _CLAPPED if way.name == "alone" else _IN_HANDS
        for beside in (2, 1, 0):
            material = known_material(way, meter, known, seed, beside=beside, finest=finest)
            page = None if material is None else _page(way, material, bars, setup, seed)
            if page is not None:
                yield page


def _ways(setup: Setup, known: Collection[str], seed: int) -> Iterator[Way]:
    """The lines of the setup, over feet that keep the pulse where the class knows hands over them."""
    own = way_of(setup, None, known)
    if own is None:
        return
    if own.voice == HANDS:
        feet = [way for name in OSTINATOS if (way := way_of(setup, HANDS, known, over=name)) is not None]
        usable = [way for way in feet if {way.cell(boxes) for boxes in _ENOUGH} <= {*known}]
        yield from turned(usable, seed)[:2]
    yield own


def _page(way: Way, material: Material, bars: int, setup: Setup, seed: int) -> Page | None:
    rows = tuple(_rows(material, bars, seed))
    going = "The foot goes on" if way.name == "alone" else "The feet go on" if way.over else "The beat goes on"
    return page_of(
        Offer(way, rows),
        setup,
        f"Long rests: {bars} bars",
        f"Count the rests by the number of the bar: {_counted(material.beats, bars)}; then come in. {going}.",
    )


def _rows(material: Material, bars: int, seed: int) -> Iterator[Composed]:
    """Two bars, the rest, and in again: on 1, later in the bar, after two rests."""
    on_one = list(_on_one(material, seed))
    if not on_one or material.rest is None:
        return
    first, second = on_one[0], on_one[min(1, len(on_one) - 1)]
    last = landed(material, second, seed // 2) or second
    beats = material.beats
    rest = material.rest * (beats * bars)
    yield Composed(f"{bars} bars rest, in on 1", first + second + rest + first + last)
    for late in turned(_LATE.get(beats, (2, 1, 3)), seed // 3)[:1]:
        entry = _late(material, seed, late)
        yield Composed(f"{bars} bars rest, in on {late + 1}", second + first + rest + entry + last)
    shorter = material.rest * (beats * BARS[0])
    yield Composed(f"two rests of {BARS[0]} bars, in on 1", first + last + shorter + second + shorter + first + last)


def _on_one(material: Material, seed: int) -> Iterator[Line]:
    """Bars that start on 1, each another."""
    found = dict[Line, None]()
    for plan in turned(("NKNP", "KNKP", "NNKP", "PNPK", "PKPN", "PPNP", "PP"), seed):
        bar = bar_of(material, plan)
        if bar is not None and bar.notes and bar.notes[0].onset == 0:
            found[bar] = None
    yield from found


def _late(material: Material, seed: int, beats: int) -> Line:
    """A bar that is silent for so many beats, then plays on the next."""
    assert material.rest is not None
    left = material.beats - beats
    found = (bar_of(material, plan, left) for plan in turned(("NK", "KN", "NP", "PN", "PP"), seed))
    ends = (end for end in found if end is not None and end.notes and end.notes[0].onset == 0)
    return material.rest * beats + next(ends, material.rest * left)


def _counted(beats: int, bars: int) -> str:
    """The counts of the bars of a rest, those of a long one by its first and last."""

    def bar(number: int) -> str:
        return " ".join(map(str, (number, *range(2, beats + 1))))

    if bars <= BARS[0]:
        return f'"{", ".join(map(bar, range(1, bars + 1)))}"'
    return f'"{bar(1)}, {bar(2)}, {bar(3)}" and so on to "{bar(bars)}"'
