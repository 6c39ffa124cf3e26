"""Pages for what is no figure: an ostinato, a feel, an ornament, soft and loud.

Each offers pages in turn, the fullest first; which of them is right is found from their notes by whoever asked.
"""

from collections.abc import Collection, Iterator
from dataclasses import replace

from kitgen.apply import OSTINATOS
from kitgen.apply.setting import SWUNG
from kitgen.course.compose import composed
from kitgen.course.figures import cell_figure
from kitgen.course.making import Offer, page_of, page_with, tempered
from kitgen.course.materials import known_material, plain_material
from kitgen.course.plan import Setup
from kitgen.course.ways import HANDS, Way, kept_at_once, ostinatos_named, way_of
from kitgen.course.words import capital, instruction_of, title_of
from kitgen.line import Line
from kitgen.page import Page, Row
from kitgen.page.progress import learned
from kitgen.pattern import EVEN, Feel, Ornament, Pattern, project
from kitgen.time import Meter

_ALONE_TIMES = 8
_TRIES = 2


def ostinato_pages(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:  # noqa: ARG001
    """An ostinato alone, or two of them together, and on the side what to loop first."""
    fits = ostinatos_named(element.partition(" ")[2], setup)
    feel = SWUNG if any(item.swings for _, item in fits) else EVEN
    whole = kept_at_once([pattern for pattern, _ in fits])
    if len(fits) > 1:
        parts = [Row(f"{item.words}, to loop", pattern.with_feel(feel)) for pattern, item in fits]
    else:
        parts = [Row(f"{limb.words} alone, to loop", project(whole, limb).with_feel(feel)) for limb in whole.limbs]
    first = "First each part alone, then together" if len(parts) > 1 else "Listen to it"
    page = page_with(
        [Row("the ostinato", whole.with_feel(feel), _ALONE_TIMES)],
        setup,
        capital(" with ".join(item.title for _, item in reversed(fits))),
        f"Keep it going until it runs by itself. {first}; then talk while you play.",
        notes=[capital(item.words) for _, item in fits if item.words not in (item.title, OSTINATOS[item.name].title)],
        kernels=parts if len(parts) > 1 else (),
    )
    if page is not None:
        yield page


def feel_pages(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:
    """Known lines, swung."""
    unit = 8 if element.endswith("eighths") else 16
    way = way_of(setup, None, known)
    if way is None:
        return
    way = replace(way, feel=Feel(unit, None))
    meter, most = Meter.parse(setup.meter), unit // 4
    first, given = cell_figure("x" * most, meter), learned([*known, element])
    for beside in (2, 1, 0):
        material = known_material(way, meter, given, seed, beside=beside, finest=most)
        if material is not None:
            material = material._replace(new=(first,), called="swung")
            yield from _pages(element, Offer(way, composed(material, seed)), setup)


def ornament_pages(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:
    """Known lines on one drum, the ornament on the beat."""
    ornament = next((one for one in Ornament if one.value == element.partition(" ")[2]), None)
    way = way_of(setup, HANDS, known)
    if way is None or ornament is None:
        return
    meter = Meter.parse(setup.meter)
    graced = tuple(
        Line((replace(figure.notes[0], graces=1), *figure.notes[1:]), figure.meters)
        for figure in (cell_figure("x", meter), cell_figure("xx", meter))
    )
    for fewer in (False, True):
        material = known_material(way, meter, known, seed, beside=1, finest=2)
        if material is None:
            return
        material = material._replace(new=graced[:1] if fewer else graced, known=material.new, called="the ornament")
        for page in _pages(element, Offer(way, composed(material, seed)), setup):
            rows = tuple(replace(row, pattern=_with(ornament, row.pattern)) for row in page.rows)
            played = tempered(replace(page, rows=rows), setup)
            if played is not None:
                yield played


def _with(ornament: Ornament, pattern: Pattern) -> Pattern:
    """A pattern with one ornament in the place of every other."""
    return pattern.with_hits(replace(hit, ornament=ornament) if hit.ornament else hit for hit in pattern.hits)


def contrast_pages(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:
    """Accents in a stream of soft strokes, on the beat and beside it."""
    way = way_of(setup, HANDS, known)
    if way is None:
        return
    meter = Meter.parse(setup.meter)
    stream = Way("stream", HANDS, replace(way.setting, under=None))
    material = plain_material(way, meter, known)
    if material.pulse is None:
        return
    late = tuple(cell_figure(boxes, meter) for boxes in (".x",) if way.cell("xx") in known)
    for beside in (late, ()):
        offer = material._replace(new=(material.pulse,), known=beside, called="accents")
        yield from _pages(element, Offer(stream, composed(offer, seed)), setup)


def _pages(element: str, offer: Offer, setup: Setup) -> Iterator[Page]:
    meter = Meter.parse(setup.meter)
    page = page_of(offer, setup, title_of(element, offer.way, meter), instruction_of(element, offer.way, meter))
    if page is not None:
        yield page
