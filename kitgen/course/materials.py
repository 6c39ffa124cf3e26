"""What a lesson is composed of: the figures that bring an element, and those the class knows that go beside them.

Which figure brings which element is asked of the notes it becomes (:func:`kitgen.course.ways.line_elements`), so that
nothing here has to agree with how elements are named.
"""

from collections.abc import Collection, Iterator, Sequence
from itertools import combinations

from kitgen.course.bars import Material, size_of, turned
from kitgen.course.figures import (
    cell_figure,
    cut_short,
    even_bars,
    held_figures,
    likeness,
    side_by_side,
    silent_beat,
    suits,
)
from kitgen.course.ways import Way, line_elements
from kitgen.line import Line
from kitgen.line.stream import parts_struck
from kitgen.page.progress import new_in
from kitgen.time import Meter

_NEAR, _FINEST = 4, 64
_BESIDE = 2


def material_for(
    element: str, way: Way, meter: Meter, known: Collection[str], seed: int, *, beside: int = _BESIDE
) -> Material | None:
    """What a page for an element is composed of; None where no figure brings it and nothing else.

    Args:
        element: a cell, a value, a tie, a rest inside a beat, a change of division, or a rhythm against the pulse.
        way: how its lines are laid.
        meter: of its bars; its beats are equal.
        known: what the class has learned, with all that it teaches.
        seed: chooses among what could stand beside it.
        beside: how many known figures stand beside it at most.
    """
    plain = plain_material(way, meter, known)
    if plain.pulse is None and element == way.cell("x"):
        plain = plain._replace(pulse=cell_figure("x", meter))
    new = tuple(
        figure for figure in _candidates(element, way, meter, known) if _is_of(element, figure, way, plain, known)
    )
    if not new:
        return None
    finest = max(parts_struck(new[0])) if element.startswith("change ") else _FINEST
    return plain._replace(new=new, known=chosen_beside(new[0], element, way, plain, known, seed, beside, finest))


def plain_material(way: Way, meter: Meter, known: Collection[str]) -> Material:
    """The pulse, where its cell is known, and rest."""
    pulse = cell_figure("x", meter) if way.cell("x") in known else None
    return Material(meter, (), (), pulse, silent_beat(meter), lengths=way.held)


def known_material(
    way: Way,
    meter: Meter,
    known: Collection[str],
    seed: int,
    *,
    beside: int = 3,
    finest: int = _FINEST,
    on_number: bool = False,
) -> Material | None:
    """Material of nothing new, some of what the class knows in front; None where it knows no figure.

    Args:
        way: how its lines are laid.
        meter: of its bars.
        known: what the class has learned, with all that it teaches.
        seed: chooses among it.
        beside: how many figures stand beside the one in front at most.
        finest: into how many parts a beat is divided at most.
        on_number: only what starts on the number.
    """
    plain = plain_material(way, meter, known)
    pool = [
        figure
        for figure in _pool(way, meter, known)
        if _even_enough(figure, way, finest)
        and not (on_number and figure.notes[0].onset)
        and not brings(figure, way, plain, known)
    ]
    if plain.pulse is None and not pool:
        return None
    pool.sort(key=lambda figure: not figure.notes or figure.notes[0].onset > 0)
    first = turned(pool[:_NEAR], seed)[0] if pool else plain.pulse
    assert first is not None
    near = chosen_beside(first, "", way, plain, known, seed, beside, finest)
    if on_number:
        near = tuple(figure for figure in near if not figure.notes[0].onset)
    return plain._replace(new=(first,), known=near)


def ringing_material(meter: Meter, *, lengths: bool) -> Material:
    """Notes for a cymbal that rings: one a bar, and two where the bar has halves.

    Args:
        meter: of its bars.
        lengths: their lengths are shown.
    """
    held = held_figures(meter)[: max(len(meter.beats) - 1, 0)]
    whole = [figure for figure in held if size_of(figure) == len(meter.beats)] or [cell_figure("x", meter)]
    halves = [figure for figure in held if 2 * size_of(figure) == len(meter.beats)]
    return Material(meter, tuple(whole), tuple(halves), None, silent_beat(meter), "let it ring", lengths)


def _is_of(element: str, figure: Line, way: Way, plain: Material, known: Collection[str]) -> bool:
    """True if a figure, played twice, holds an element, and nothing else that is new."""
    found = line_elements(way, in_bars((figure,), plain) * 2)
    return found is not None and element in found and set(new_in(found, known)) <= {element}


def brings(figure: Line, way: Way, plain: Material, known: Collection[str]) -> tuple[str, ...]:
    """What is new in a figure laid in whole bars, or a word that it cannot be laid."""
    found = line_elements(way, in_bars((figure,), plain))
    return ("nothing that can be played",) if found is None else new_in(found, known)


def in_bars(figures: Sequence[Line], plain: Material) -> Line:
    """Figures one after the other, the last bar filled with the pulse, or with rest where there is none."""
    line = figures[0]
    for figure in figures[1:]:
        line += figure
    missing = -size_of(line) % plain.beats
    filler = plain.pulse if plain.pulse is not None else plain.rest
    return line if filler is None or not missing else line + filler * missing


def _candidates(element: str, way: Way, meter: Meter, known: Collection[str]) -> Iterator[Line]:
    """Figures that may bring an element, the plainest first."""
    kind, _, rest = element.partition(" ")
    if kind == "cell":
        boxes = rest.split()[1]
        if element == way.cell(boxes) and suits(boxes, meter):
            yield cell_figure(boxes, meter)
    elif kind in ("value", "tie"):
        yield from held_figures(meter)
    elif kind == "rest":
        yield from cut_short([cell_figure(boxes, meter) for boxes in _cells(way, meter, known)], meter)
    elif kind == "change":
        yield from side_by_side(_fullest(way, meter, known))
    elif kind == "against":
        yield from even_bars(meter)


def _cells(way: Way, meter: Meter, known: Collection[str]) -> list[str]:
    """The cells a class knows in a way and that a meter is written in, the plainest first."""
    start, _, end = way.cell("?").partition("?")
    cells = [text[len(start) : len(text) - len(end)] for text in known if text.startswith(start) and text.endswith(end)]
    return sorted((boxes for boxes in cells if not set(boxes) - set("x.") and suits(boxes, meter)), key=_plainness)


def _plainness(boxes: str) -> tuple[int, int, str]:
    return len(boxes), -boxes.count("x"), boxes.replace("x", "!")


def _fullest(way: Way, meter: Meter, known: Collection[str]) -> list[Line]:
    """For each way to divide a beat the known cell with most strokes."""
    by_parts: dict[int, str] = {}
    for boxes in _cells(way, meter, known):
        by_parts.setdefault(len(boxes), boxes)
    return [cell_figure(boxes, meter) for parts, boxes in by_parts.items() if parts > 1]


def _pool(way: Way, meter: Meter, known: Collection[str]) -> list[Line]:
    """Every figure that may stand beside another: known cells, and held and shortened notes where lengths are shown."""
    cells = [cell_figure(boxes, meter) for boxes in _cells(way, meter, known)]
    if not way.held:
        return [figure for figure in cells if figure != cell_figure("x", meter)]
    one_bar = [figure for figure in held_figures(meter) if size_of(figure) <= len(meter.beats)]
    short = cut_short([cell_figure("x", meter)], meter)
    return [figure for figure in (*cells, *one_bar, *short) if figure != cell_figure("x", meter)]


def chosen_beside(
    new: Line,
    element: str,
    way: Way,
    plain: Material,
    known: Collection[str],
    seed: int,
    most: int,
    finest: int = _FINEST,
) -> tuple[Line, ...]:
    """Known figures that go beside a new one and beside each other, near relations first."""
    with_new = {*known, element}
    pool = [
        figure
        for figure in _pool(way, plain.meter, known)
        if figure != new
        and _even_enough(figure, way, finest)
        and _fits(new, figure)
        and not brings(figure, way, plain, known)
    ]
    pool.sort(key=lambda figure: (not _plain_relation(new, figure), *likeness(new, figure)))
    chosen = list[Line]()
    for figure in (*turned(pool[:_NEAR], seed), *pool[_NEAR:]):
        if len(chosen) == most:
            break
        beside = [new, *chosen, figure]
        if all(not brings(first + second, way, plain, with_new) for first, second in combinations(beside, 2)):
            chosen.append(figure)
    return tuple(chosen)


def _even_enough(figure: Line, way: Way, finest: int) -> bool:
    """True where a figure divides its beats no finer than asked, and in halves and quarters alone where they swing."""
    parts = parts_struck(figure)
    return max(parts) <= finest and not (way.feel.unit and any(count & (count - 1) for count in parts))


def _fits(new: Line, figure: Line) -> bool:
    """True where a figure is no longer than the new one, or than half a bar."""
    return size_of(figure) <= max(size_of(new), 2)


def _plain_relation(new: Line, figure: Line) -> bool:
    """True for the beat all of whose places are struck, in the new figure's own division or half of it."""
    own, (parts, *others) = max(parts_struck(new)), parts_struck(figure)
    return not others and len(figure.notes) == parts and parts > 1 and own % parts == 0
