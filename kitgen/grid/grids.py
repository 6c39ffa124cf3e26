"""Grids: every cell for a moving limb, or for two, against what goes on under it; one new cell a page.

Conventions: a grid is steps in order, a page each. For each ostinato come the pages that build it up, then for each
moving limb its cells, then for each pair of limbs. Cells come by the coordination load of the cell on every beat over
the rest (:func:`kitgen.pattern.load.load_of`), equals in the traditional order; or in that order alone.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from kitgen.errors import OptionError, RefusedError, UnknownNameError
from kitgen.grid.cells import Cell, cells_of
from kitgen.grid.ground import Ground, ground_of
from kitgen.grid.kernels import LimbSet, collisions
from kitgen.grid.laying import Voice, cell_on_every_beat, voices
from kitgen.kit import Kit, Limb
from kitgen.pattern.load import load_of
from kitgen.time import Meter

ORDERS = ("load", "traditional")
FREE = "free"
_MOST_ROW_BARS = 16
_PLACES = 6  # decimals to which two loads are told apart


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
        fresh: sets of limbs that strike together for the first time here.
    """

    ground: Ground
    layer: int = 0
    voices: tuple[Voice, ...] = ()
    cell: Cell | None = None
    known: tuple[Cell, ...] = ()
    fresh: tuple[LimbSet, ...] = ()


def steps_of(grid: Grid) -> tuple[Step, ...]:
    """The pages of a grid, in order.

    Raises:
        RefusedError: the ground does not fit the meter or the kit, or holds a moving limb; OptionError: cells that do
            not fit the meter; and other KitgenErrors for names there are not.

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
        moving = grid.moving or tuple((limb,) for limb in Limb if limb not in ground.pattern.limbs)
        if not moving:
            raise RefusedError(f"{ground.title} leave no limb free; choose another --under, or --time none")
        for limbs in moving:
            ground.check_free(limbs, on=grid.kit)
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


def _of_limbs(grid: Grid, ground: Ground, who: tuple[Voice, ...], cells: Sequence[Cell]) -> Iterator[Step]:
    """The cells of one moving limb, or of two, in order."""
    patterns = {cell: cell_on_every_beat(cell, ground, who) for cell in cells}
    order = list(cells)
    if grid.order == "load":
        kinds = list(dict.fromkeys(cell.parts for cell in cells))
        order.sort(key=lambda cell: (kinds.index(cell.parts), round(load_of(patterns[cell]).total, _PLACES)))
    known, met = list[Cell](), set[LimbSet]()
    moving = [voice.limb for voice in who]
    for cell in order:
        fresh = tuple(limbs for limbs in collisions(patterns[cell], moving) if limbs not in met)
        yield Step(ground, 0, who, cell, tuple(known), fresh)
        known.append(cell)
        met.update(fresh)
