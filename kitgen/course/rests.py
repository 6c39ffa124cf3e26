"""A page of long rests: counting through them while the pulse goes on, and coming in right.

Rests are written out bar by bar, so that they can be counted on the page: four bars first, then longer ones and ones of
odd numbers, in the meters that are known, over what the chapter's pages keep. Each row plays two bars, rests, and comes
in again: on 1, then later in the bar, then after two rests. The way to count (the number of the bar on 1) is common
practice.
"""

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from kitgen.apply import OSTINATOS
from kitgen.course.bars import Material, bar_of, joined, turned
from kitgen.course.compose import Composed
from kitgen.course.making import Offer, page_of
from kitgen.course.materials import known_material
from kitgen.course.phrases import landed
from kitgen.course.plan import Setup
from kitgen.course.ways import HANDS, Way, elements, way_of
from kitgen.errors import KitgenError
from kitgen.line import Line
from kitgen.page import Page
from kitgen.page.progress import WITH, learned, new_in
from kitgen.time import Meter

BARS = (4, 6, 5, 8, 7, 12, 9, 10, 16, 11, 14)
"""How long the rests of the first such page of a course are, of the second and so on; see :func:`length_of`."""
_AGAIN = 3
_METERS = {1: "3/4", 3: "6/8"}
"""Of four pages, which stand in another meter."""
_LONG = 10
"""From more bars than these on a page has one such rest in each of two rows, and no third."""
_VOICES = (HANDS, "LH", "RF")
"""Who plays over what the chapter keeps, the first that can."""

_CLAPPED, _IN_HANDS = 4, 2
"""Into how many parts a beat is divided at most: where hands change, fewer, since the counting is the task."""
_ENOUGH = ("x", "xx")
"""The cells to be known over feet before a page of rests stands over them."""
_LATE = {1: (), 2: (1,), 3: (1, 2)}
"""By beats of a bar, after how many of them a late entry comes; in longer bars after two, one or three."""


def rests_page(
    known: Collection[str],
    setup: Setup | None = None,
    *,
    seed: int = 0,
    number: int = 0,
    pages: Sequence[Page] = (),
) -> Page | None:
    """The page of long rests at the end of a chapter.

    Args:
        known: what the class has learned.
        setup: meter, tempo, kit, player, and how lines are laid.
        seed: of what is composed.
        number: how many such pages came before it in the course; their length and meter go by it.
        pages: the chapter's pages; what they keep goes on under the rests.

    Returns:
        a page on which nothing is new but the length of its rests; None where the class knows nothing to play.

    >>> page = rests_page(["meter 4/4", "sound RH clap", "sound RF floor"], Setup(way="alone"))
    >>> page.title, [len(row.pattern.meters.bars) for row in page.rows]
    ('Long rests: 4 bars', [8, 8, 13])
    """
    setup, known = setup or Setup(), learned(known)
    bars = length_of(number)
    kept = _kept(pages, setup)
    first = {f"ostinato {name}" for name in kept[:1]}
    for meter in _meters(setup, known, number):
        for page in pages_of_rests(bars, known, replace(setup, meter=meter), seed, kept):
            own = meter == setup.meter or first <= {*elements(page, setup.on)}
            if own and _nothing_else(page, bars, known, setup):
                return page
    return None


def length_of(number: int) -> int:
    """Bars of rest on a page that so many came before; after the last of them they go round without the first three.

    >>> [length_of(number) for number in (0, 1, 2, 10, 11)]
    [4, 6, 5, 14, 8]
    """
    return BARS[number] if number < len(BARS) else BARS[_AGAIN + (number - _AGAIN) % (len(BARS) - _AGAIN)]


def _meters(setup: Setup, known: Collection[str], number: int) -> tuple[str, ...]:
    """The meters to try: now and then another one that is known, else the chapter's."""
    other = _METERS.get(number % 4, setup.meter)
    usable = f"meter {other}" in known and setup.meter not in _METERS.values()
    return (other, setup.meter) if usable else (setup.meter,)


def _nothing_else(page: Page, bars: int, known: Collection[str], setup: Setup) -> bool:
    return set(new_in(elements(page, setup.on), known)) <= {f"rest {bars} bars"}


def pages_of_rests(
    bars: int, known: Collection[str], setup: Setup, seed: int, kept: Sequence[str] = ()
) -> Iterator[Page]:
    """Pages with rests of so many bars, over one of these ostinatos if that is known, the fullest first.

    Known has what it teaches.
    """
    meter = Meter.parse(setup.meter)
    for way in _ways(setup, known, seed, kept):
        finest = 3 if meter.is_compound else _CLAPPED if way.name == "alone" else _IN_HANDS
        for beside in (2, 1, 0):
            material = known_material(way, meter, known, seed, beside=beside, finest=finest)
            page = None if material is None else _page(way, material, bars, setup, seed)
            if page is not None:
                yield page


def _ways(setup: Setup, known: Collection[str], seed: int, kept: Sequence[str]) -> Iterator[Way]:
    """The lines of the setup, over what the chapter keeps, or feet the class knows hands over."""
    own = way_of(setup, None, known)
    if own is None:
        return
    if own.voice == HANDS:
        for name in kept:
            over = [way for voice in _VOICES if (way := _over(setup, voice, known, name)) is not None]
            yield from over[:1]
        usable = [way for name in OSTINATOS if (way := _over(setup, HANDS, known, name)) is not None]
        yield from turned(usable, seed)[:2]
    yield own


def _over(setup: Setup, voice: str, known: Collection[str], name: str) -> Way | None:
    """A voice over an ostinato, where the class knows enough of that."""
    try:
        way = way_of(setup, voice, known, over=name)
    except KitgenError:
        return None
    return way if way is not None and {way.cell(boxes) for boxes in _ENOUGH} <= {*known} else None


def _kept(pages: Sequence[Page], setup: Setup) -> list[str]:
    """The ostinatos of pages, those that most of them keep first."""
    found = Counter(
        element.removeprefix("ostinato ")
        for page in pages
        for element in elements(page, setup.on)
        if element.startswith("ostinato ")
    )
    return sorted(found, key=lambda name: (-found[name], -name.count(WITH), name))


def _page(way: Way, material: Material, bars: int, setup: Setup, seed: int) -> Page | None:
    rows = tuple(_rows(material, bars, seed))
    kept = "Time goes on" if "ride" in way.over else "The feet go on"
    going = "The foot goes on" if way.name == "alone" else kept if way.over else "The beat goes on"
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
    if bars > _LONG:
        return
    short, longer = BARS[0], min(bars, BARS[0] + 1)
    words = f"two rests of {short} bars" if short == longer else f"rests of {short} and {longer} bars"
    played = (first, last, material.rest * (beats * short), second, material.rest * (beats * longer), first, last)
    yield Composed(f"{words}, in on 1", joined(played))


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
