"""Grids: every cell for a moving limb, or for two, against what goes on under it; one new cell a page.

Conventions: a grid is steps in order, a page each. For each ostinato come the pages that build it up, then for each
moving limb its cells, then for each pair of limbs. Either cells come in the traditional order
(:mod:`kitgen.grid.cells`), or its even ones do (``1``, ``1 &``, ``1 e & a``), which are the reference, and the others
by the coordination load of the cell on every beat over the rest (:func:`kitgen.pattern.load.load_of`), those within 2
per cent of each other in the traditional order. For that both hands weigh the same, so that where the notes are the
same both have one order.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NamedTuple

from kitgen.errors import OptionError, RefusedError, UnknownNameError
from kitgen.grid.against import Wanted, check_apart
from kitgen.grid.cells import Cell, cells_of
from kitgen.grid.ground import Ground, ground_of
from kitgen.grid.kernels import Meeting, meetings
from kitgen.grid.laying import Voice, cell_on_every_beat, voices
from kitgen.kit import Kit, Limb
from kitgen.pattern import Pattern
from kitgen.pattern.load import load_of
from kitgen.pattern.load_weights import USUAL_WEIGHTS
from kitgen.time import Meter

ORDERS = ("load", "traditional")
FREE = "free"
_MOST_ROW_BARS = 16
_ALIKE = 1.02  # loads so near to each other are as good as equal
_HANDS_ALIKE = replace(USUAL_WEIGHTS, left_hand=USUAL_WEIGHTS.right_hand)


@dataclass(frozen=True)
class Grid:
    """What a grid is of.

    Args:
        meter: the meter; a cell spans its beat.
        kit: the kit, with its hands.
        moving: limbs that move, one or a pair at a time; empty for each limb that is free.
        under: ostinatos by name or as rows; ``none`` for none.
        kinds: kinds of cells, see :data:`kitgen.grid.cells.KINDS`.
        time: how a hand keeps time, one of :data:`kitgen.grid.ground.TIMES`.
        span: beats a cell lasts, 1 or 2.
        surface: what the moving limbs strike; each its usual one when None.
        order: one of ``ORDERS``.
        row_bars: bars a row is played, its pattern repeated, 1 to 16.
        seed: chooses which known cells come back.
        straight: nothing swings, whatever the ostinato usually does.
        polyrhythm: cells may stand against what goes on, as 3 against 2.

    Raises:
        OptionError: no ostinato, no kind, or rows of too few or too many bars; UnknownNameError: no such order.
    """

    meter: Meter
    kit: Kit
    moving: tuple[tuple[Limb, ...], ...] = ()
    under: tuple[str, ...] = ("none",)
    kinds: tuple[str, ...] = ("16ths",)
    time: str = "none"
    span: int = 1
    surface: str | None = None
    order: str = "load"
    row_bars: int = 4
    seed: int = 0
    straight: bool = False
    polyrhythm: bool = False

    def __post_init__(self) -> None:
        if self.order not in ORDERS:
            raise UnknownNameError("order", self.order, list(ORDERS))
        if not 1 <= self.row_bars <= _MOST_ROW_BARS:
            raise OptionError(f"--row-bars {self.row_bars}; a row is played 1 to {_MOST_ROW_BARS} bars")
        if not self.under or not self.kinds:
            raise OptionError("a grid has an ostinato (or none) and a kind of cells; see kitgen grid --help")

    @property
    def slots(self) -> int:
        """Cells that fill a bar."""
        return len(self.meter.beats) // self.span


class Step(NamedTuple):
    """One page of a grid.

    Args:
        ground: what goes on.
        layer: for a page that builds the ground up, how many layers it has by then; 0 for a page of a cell.
        voices: the moving limbs and what they strike.
        cell: the new cell.
        known: cells these limbs know by then, the latest last.
        fresh: limbs that strike together for the first time at a place of the beat.
    """

    ground: Ground
    layer: int = 0
    voices: tuple[Voice, ...] = ()
    cell: Cell | None = None
    known: tuple[Cell, ...] = ()
    fresh: tuple[Meeting, ...] = ()


def steps_of(grid: Grid) -> tuple[Step, ...]:
    """The pages of a grid, in order.

    Raises:
        RefusedError: the ground does not fit the meter or the kit, holds a moving limb, or the cells stand against it;
            OptionError: cells that do not fit the meter; and other KitgenErrors for names there are not.

    >>> from kitgen.kit import kit
    >>> grid = Grid(Meter(4, 4), kit("standard"), ((Limb.LH,),), ("samba",))
    >>> len(steps_of(grid))
    16
    """
    cells = cells_in(grid)
    threes = not grid.straight and any(cell.parts not in (1, 2, 4) for cell in cells)
    found = list[Step]()
    for under in grid.under:
        ground = ground_of(under, grid.meter, grid.kit, time=grid.time, threes=threes)
        moving = grid.moving or tuple((limb,) for limb in _led(grid.kit) if limb not in ground.pattern.limbs)
        if not moving:
            raise RefusedError(f"{ground.title} leave no limb free; choose another --under, or --time none")
        for limbs in moving:
            ground.check_free(limbs, on=grid.kit)
        if not grid.polyrhythm:
            movers = frozenset(limb for limbs in moving for limb in limbs)
            check_apart(cells, ground, Wanted(grid.meter, grid.kit, grid.time, threes, movers))
        found += (Step(ground, layer=count) for count in range(1, len(ground.layers) + 1))
        for limbs in sorted(moving, key=len):
            found += _of_limbs(grid, ground, voices(limbs, grid.kit, grid.surface), cells)
    return tuple(found)


def cells_in(grid: Grid) -> tuple[Cell, ...]:
    """The cells of a grid in the traditional order, each once however many kinds it belongs to.

    Raises:
        UnknownNameError, OptionError: no such kind, or it does not fit the meter.
    """
    found = dict[tuple[Fraction, ...], Cell]()
    for kind in grid.kinds:
        for cell in cells_of(kind, grid.meter, span=grid.span):
            found.setdefault(cell.places, cell)
    return tuple(found.values())


def _led(on: Kit) -> tuple[Limb, ...]:
    """The limbs of a kit, the leading hand and the bass foot first."""
    return on.lead, on.weak, on.bass_foot, on.hat_foot


def _of_limbs(grid: Grid, ground: Ground, who: tuple[Voice, ...], cells: Sequence[Cell]) -> Iterator[Step]:
    """The cells of one moving limb, or of two, in order."""
    patterns = {cell: cell_on_every_beat(cell, ground, who) for cell in cells}
    known, met = list[Cell](), set[Meeting]()
    moving = [voice.limb for voice in who]
    for cell in cells if grid.order == "traditional" else _by_load(grid, patterns):
        fresh = tuple(meeting for meeting in meetings(patterns[cell], moving) if meeting not in met)
        yield Step(ground, 0, who, cell, tuple(known), fresh)
        known.append(cell)
        met.update(fresh)


def _by_load(grid: Grid, patterns: Mapping[Cell, Pattern]) -> Iterator[Cell]:
    """Of each kind the even cells, then the others by load."""
    for parts in dict.fromkeys(cell.parts for cell in patterns):
        kind = [cell for cell in patterns if cell.parts == parts]
        yield from (cell for cell in kind if cell.is_even(grid.meter))
        waiting = [cell for cell in kind if not cell.is_even(grid.meter)]
        loads = {cell: load_of(patterns[cell], weights=_HANDS_ALIKE).total for cell in waiting}
        while waiting:
            most = _ALIKE * min(loads[cell] for cell in waiting)
            first = next(cell for cell in waiting if loads[cell] <= most)
            yield first
            waiting.remove(first)
