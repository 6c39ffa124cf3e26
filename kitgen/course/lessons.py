"""The page that introduces one element: composed rows, laid on the kit, proved to bring that element and nothing else.

Every kind of element has its maker, which offers pages in turn, the fullest first; each is held against its notes
before it is given out, so that a page is either right or not there. Meters with unequal beats have no lesson.
"""

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import replace
from zlib import crc32

from kitgen.course.applications import application_pages
from kitgen.course.bars import Material
from kitgen.course.compose import composed, first_rows
from kitgen.course.figures import cell_figure
from kitgen.course.making import Offer, page_of
from kitgen.course.materials import known_material, material_for, ringing_material
from kitgen.course.parts import parts_pages, turns_pages
from kitgen.course.plan import Setup
from kitgen.course.rests import pages_of_rests
from kitgen.course.usage import contrast_pages, feel_pages, ornament_pages, ostinato_pages
from kitgen.course.ways import RINGING, Way, elements, way_of
from kitgen.course.words import instruction_of, title_of
from kitgen.errors import KitgenError
from kitgen.line import Line
from kitgen.page import Page
from kitgen.page.progress import OVER, learned, new_in
from kitgen.time import Meter

_FEWEST_ROWS = 3


def lesson(element: str, known: Collection[str], setup: Setup | None = None, *, seed: int = 0) -> Page | None:
    """The page that introduces an element to a class.

    Args:
        element: what is new, in its own words.
        known: what the class has learned before.
        setup: meter, tempo, kit, player, and how lines are laid.
        seed: of what is composed.

    Returns:
        a page on which exactly this element is new; None where there is none.

    Raises:
        KitgenError: a setup that cannot be.

    >>> page = lesson("cell RH xx", ["meter 4/4", "sound RH clap", "sound RF floor"], Setup(way="alone"))
    >>> page.title, len(page.rows)
    ('Eighths: 1 &', 6)
    """
    known, setup = learned(known), setup or Setup()
    if element in known:
        return None
    for page in offered(element, known, setup, seed):
        if _brings(page, element, known, setup):
            return page
        fewer = without_strange_rows(page, element, known, setup)
        if fewer is not None and _brings(fewer, element, known, setup):
            return fewer
    return None


def _brings(page: Page, element: str, known: Collection[str], setup: Setup) -> bool:
    return new_in(_held(page, element, setup), known) == (element,)


def without_strange_rows(page: Page, element: str, known: Collection[str], setup: Setup) -> Page | None:
    """A page without the rows that bring more than its element by themselves; None where too little is left."""
    rows = tuple(
        row for row in page.rows if set(new_in(_held(replace(page, rows=(row,)), element, setup), known)) <= {element}
    )
    return replace(page, rows=rows) if _FEWEST_ROWS <= len(rows) < len(page.rows) else None


def _held(page: Page, element: str, setup: Setup) -> tuple[str, ...]:
    return elements(page, setup.on, application_of(element))


def wants(element: str, known: Collection[str], setup: Setup | None = None, *, seed: int = 0) -> tuple[str, ...]:
    """What else would be new on the page about an element that holds least of it: what a class has to learn first.

    Returns:
        elements; empty where the lesson is there, and where there is no page about the element at all.
    """
    setup, known = setup or Setup(), learned(known)
    found = (
        new_in(_held(page, element, setup), known) for page in offered(element, learned([*known, element]), setup, seed)
    )
    fewest = min(found, key=len, default=())
    return tuple(other for other in fewest if other != element)


def offered(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:
    """Pages about an element that may hold nothing else that is new, the fullest first; known has what it teaches."""
    kind, _, rest = element.partition(" ")
    maker = _MAKERS.get(kind)
    if kind == "meter":
        setup = replace(setup, meter=rest)
    if maker is None or len(set(Meter.parse(setup.meter).beats)) > 1:
        return
    try:
        yield from maker(element, known, setup, seed + crc32(element.encode()))
    except KitgenError:
        return


def application_of(element: str) -> str | None:
    """The application a page about an element is made with, where it is about one."""
    kind, _, name = element.partition(" ")
    return name if kind == "application" else None


# ---- makers ----------------------------------------------------------------------------------------------------------


def _of_figures(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:
    """Pages of figures that bring the element, with as much beside them as goes with it."""
    meter = Meter.parse(setup.meter)
    for way in _ways(element, known, setup):
        for beside in (2, 1, 0):
            material = material_for(element, way, meter, known, seed, beside=beside)
            if material is None:
                break
            yield from _pages(element, Offer(way, composed(material, seed)), setup)


def _of_rests(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:
    """Pages about a rest inside a beat, or about one of many bars."""
    bars = element.removesuffix(" bars").removeprefix("rest ")
    if bars.isdecimal():
        yield from pages_of_rests(int(bars), known, setup, seed)
    else:
        yield from _of_figures(element, known, setup, seed)


def _of_known(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:
    """Pages of what is known, in a new meter or on a new sound: the beat in front, the rest beside it."""
    meter = Meter.parse(setup.meter)
    given, sound = learned([*known, element]), element.startswith("sound ")
    finest = 2 if sound else 4
    for way in _ways(element, known, setup):
        if sound and way.name == "alone":
            yield from _pages(element, Offer(way, first_rows(meter)), setup)
        for held in (True, False) if sound and element.split()[-1] in RINGING else ():
            ringing = Offer(replace(way, held=held), composed(ringing_material(meter, lengths=held), seed))
            yield from _pages(element, ringing, setup)
        for beside in (2, 1, 0):
            material = known_material(way, meter, given, seed, beside=beside, finest=finest, on_number=sound)
            if material is not None:
                material = _the_beat_first(material, _fullest(way, meter, given))
                yield from _pages(element, Offer(way, composed(material, seed)), setup)


def _fullest(way: Way, meter: Meter, known: Collection[str]) -> Line | None:
    """In a compound meter the full beat, where that is known."""
    return cell_figure("xxx", meter) if meter.is_compound and way.cell("xxx") in known else None


def _the_beat_first(material: Material, full: Line | None) -> Material:
    """The beat in the place of what is new, struck once, or full where that is given."""
    first = full or material.pulse
    if first is None:
        return material._replace(called="")
    others = tuple(figure for figure in (*material.new, *material.known) if figure != first)
    return material._replace(new=(first,), known=others, called="")


def _pages(element: str, offer: Offer, setup: Setup) -> Iterator[Page]:
    meter = Meter.parse(setup.meter)
    page = page_of(offer, setup, title_of(element, offer.way, meter), instruction_of(element, offer.way, meter))
    if page is not None:
        yield page


def _ways(element: str, known: Collection[str], setup: Setup) -> Iterator[Way]:
    """How an element's lines are laid; with their written lengths where it is about those."""
    kind, _, rest = element.partition(" ")
    if kind == "cell":
        own, _, over = rest.partition(OVER)
        voice, boxes = own.split()
        way = way_of(setup, voice, known, over=over, sticking="alternating" if boxes == "x" else "natural")
    elif kind == "sound":
        limb, label = rest.split()
        way = way_of(setup, limb, known, surface=label)
    else:
        way = way_of(setup, None, known)
    if way is not None:
        yield replace(way, held=kind in ("value", "tie", "rest"))


_Maker = Callable[[str, Collection[str], Setup, int], Iterator[Page]]
_MAKERS: Mapping[str, _Maker] = {
    "cell": _of_figures,
    "value": _of_figures,
    "tie": _of_figures,
    "rest": _of_rests,
    "change": _of_figures,
    "against": _of_figures,
    "meter": _of_known,
    "sound": _of_known,
    "ostinato": ostinato_pages,
    "application": application_pages,
    "feel": feel_pages,
    "ornament": ornament_pages,
    "contrast": contrast_pages,
    "parts": parts_pages,
    "turns": turns_pages,
}
