"""What a grid takes for granted, so that each of its pages brings exactly one new element.

Taken for granted are meters, feels, sounds, and how beats are divided: whoever begins a grid has met those by
themselves. Of several elements that are new at once a page is for its own cell (or the ostinato it builds up), and the
others are taken for granted as well: a cell may happen to be an ostinato that has a name, or to meet what goes on
stroke for stroke. Whether one new element a page is left is then proved, not assumed.
"""

from collections.abc import Sequence
from typing import NamedTuple

from kitgen.grid.cells import Cell
from kitgen.grid.grids import Step
from kitgen.page.progress import learned, new_in

_BEFOREHAND = ("meter", "feel", "sound", "change", "against")
_FOR = ("ostinato", "cell", "sound")


class Granted(NamedTuple):
    """What is known beforehand, and whether each page then has exactly one new element."""

    known: tuple[str, ...]
    one_new: bool


def granted(pages: Sequence[tuple[str, ...]], steps: Sequence[Step]) -> Granted:
    """What is known beforehand.

    Pages of cells of two beats, and of two limbs that are not the hands, put together what is known already: every
    cell is then taken for granted, and no page claims a new one.

    Args:
        pages: the elements of each page.
        steps: the steps the pages are of.
    """
    known = {element for page in pages for element in page if element.split()[0] in _BEFOREHAND}
    practice = any(_practises(step) for step in steps)
    met = set[str]()
    for page, step in zip(pages, steps, strict=True):
        fresh = new_in(page, learned(known | met))
        if practice and step.cell is not None:
            known.update(fresh)
        elif fresh:
            known |= set(fresh) - {min(fresh, key=lambda element: _what_for(element, step))}
        else:
            known -= _only_new(page, step, known, met)
        met.update(page)
    return Granted(tuple(sorted(known)), not practice and _in_order(pages, known))


def _practises(step: Step) -> bool:
    limbs = [voice.limb for voice in step.voices]
    return step.cell is not None and (
        step.cell.span > 1 or (len(limbs) > 1 and not all(limb.is_hand for limb in limbs))
    )


def _what_for(element: str, step: Step) -> tuple[int, int, str]:
    """How likely a page is for an element: its own cell first, else the richest ostinato, the fullest cell, a sound."""
    kind, _, rest = element.partition(" ")
    own = rest.partition(" over ")[0].split()
    if step.cell is not None and kind == "cell" and own[-1] == shortest(step.cell):
        voice = "+".join(voice.limb.name for voice in sorted(step.voices))
        return (-1, own[0] != voice, element)
    return (_FOR.index(kind) if kind in _FOR else len(_FOR), -element.count(" with ") - len(own[-1]), element)


def shortest(cell: Cell) -> str:
    """A cell of one beat on the fewest boxes that show it, as elements name it.

    >>> shortest(Cell(("x.x.",))), shortest(Cell(("..x.",))), shortest(Cell(("x..x",)))
    ('xx', '.x', 'x..x')
    """
    boxes = cell.beats[0]
    for parts in range(1, cell.parts):
        step, over = divmod(cell.parts, parts)
        if not over and boxes.count("x") == boxes[::step].count("x"):
            return boxes[::step]
    return boxes


def _only_new(page: Sequence[str], step: Step, known: set[str], met: set[str]) -> set[str]:
    """An element first met on a page that is new there once it is not taken for granted; none where there is none."""
    for element in sorted((set(page) & known) - met, key=lambda one: _what_for(one, step)):
        if new_in(page, learned((known - {element}) | met)) == (element,):
            return {element}
    return set()


def _in_order(pages: Sequence[tuple[str, ...]], known: set[str]) -> bool:
    met = set[str]()
    for page in pages:
        if len(new_in(page, learned(known | met))) != 1:
            return False
        met.update(page)
    return True
