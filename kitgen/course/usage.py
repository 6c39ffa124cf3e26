"""Pages for what is no figure: an ostinato, a feel, an ornament, soft and loud.

Each offers pages in turn, the fullest first; which of them is right is found from their notes by whoever asked.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from kitgen.apply.ostinatos import short_name
from kitgen.apply.setting import SWUNG
from kitgen.course.compose import composed
from kitgen.course.figures import cell_figure
from kitgen.course.making import Offer, page_of, page_with, tempered
from kitgen.course.materials import known_material, plain_material
from kitgen.course.plan import Setup
from kitgen.course.ways import HANDS, Way, hand_to_hand, kept_at_once, ostinatos_named, way_of
from kitgen.course.words import capital, instruction_of, title_of
from kitgen.line import Line
from kitgen.page import Page, Row
from kitgen.page.progress import learned
from kitgen.pattern import EVEN, Feel, Ornament, Pattern, mirror, parse_rows, project
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
        capital(short_name(element.partition(" ")[2]) if len(fits) > 1 else fits[0][1].title),
        f"Keep it going until it runs by itself. {first}; then talk while you play.",
        notes=[
            capital(item.words) for _, item in fits if len(fits) == 1 and "," in item.words and item.words != item.title
        ],
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
            rows = _on_both_hands([replace(row, pattern=_with(ornament, row.pattern)) for row in page.rows], way)
            played = tempered(replace(page, rows=rows), setup)
            if played is not None:
                yield played


def _on_both_hands(rows: Sequence[Row], way: Way) -> tuple[Row, ...]:
    """Rows of an ornament, the first of them for the other hand and from hand to hand as well."""
    first, *others = rows
    lead = way.setting.kit.lead
    turned, in_turn = mirror(first.pattern), hand_to_hand(first.pattern, lead)
    if turned == first.pattern or in_turn == first.pattern:
        return tuple(rows)
    return (
        first,
        replace(first, label=f"in the {lead.mirrored.words}", pattern=turned),
        replace(first, label="from hand to hand", pattern=in_turn),
        *others,
    )


def _with(ornament: Ornament, pattern: Pattern) -> Pattern:
    """A pattern with one ornament in the place of every other."""
    return pattern.with_hits(replace(hit, ornament=ornament) if hit.ornament else hit for hit in pattern.hits)


def contrast_pages(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:
    """Accents in a stream of soft strokes, on the beat and beside it; or ghost notes between accents."""
    if element.endswith("ghost"):
        yield from _ghost_pages(known, setup)
        return
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


def _ghost_pages(known: Collection[str], setup: Setup) -> Iterator[Page]:
    """Ghost notes of the hand that has the backbeat: on the beat first, then later in it where the hand knows that."""
    hand, meter = setup.on.weak, Meter.parse(setup.meter)
    beats = len(meter.beats)
    late = [cell for cell in ("...x", ".x") if f"cell {hand.name} {cell}" in known]
    if beats < 2:  # no room for both
        return

    def row(label: str, *bars: str, times: int = 1) -> Row:
        whole = (" ".join((bar.split() * beats)[:beats]) for bar in bars)
        return Row(label, parse_rows(f"{hand.name} snare {' | '.join(whole)}", meter), times)

    ending = " ".join(["X", *["."] * (beats - 1)])
    rows = [
        row("the accents", ". X", times=4),
        row("ghost notes on the other beats", "g X", times=4),
        row("accent first", "X g", times=4),
        row("two bars: three ghost notes, then two", "g g g X", "g X", times=2),
    ]
    for cell in late[::-1]:
        ghost = cell.replace("x", "g")
        rows.append(row(f"the ghost note {'on &' if cell == '.x' else 'on a'}", f"{ghost} X", times=4))
        rows.append(
            row(f"two bars: {'on &' if cell == '.x' else 'on a'}, then on the beat", f"{ghost} X", "g X", times=2)
        )
    soft = late[0].replace("x", "g") if late else "g"
    rows.append(row("a b a, ending", f"{soft} X", "g X" if late else "X g", f"{soft} X", ending))
    unlike = {one.pattern: one for one in reversed(rows)}
    page = page_with(
        tuple(reversed(unlike.values())),
        setup,
        "Ghost notes",
        "The stick hardly leaves the head for a ghost note and comes from high up for an accent. Keep them far apart.",
    )
    if page is not None:
        yield page


def _pages(element: str, offer: Offer, setup: Setup) -> Iterator[Page]:
    meter = Meter.parse(setup.meter)
    page = page_of(offer, setup, title_of(element, offer.way, meter), instruction_of(element, offer.way, meter))
    if page is not None:
        yield page
