"""A cell for two limbs: every way they can share it, from the plainest on.

The ways are a stated, finite list: together once a bar; together on every beat; the strokes in turn, either limb
first (a cell of one stroke beat by beat); one limb keeps the cell and the other plays the places it leaves, either way
round; four bars of four ways, which end on a number. Each limb's own grid comes before.
"""

from collections.abc import Iterator
from typing import NamedTuple

from kitgen.grid.cells import Cell
from kitgen.grid.laying import Bars, Parts


class Way(NamedTuple):
    """One row for two limbs: its label, and what both do."""

    label: str
    bars: Bars


def ways(cell: Cell, slots: int, *, first: str, second: str, last: Cell | None = None) -> Iterator[Way]:
    """Every way two limbs share a cell.

    Args:
        cell: the cell.
        slots: cells that fill a bar.
        first: name of the first limb.
        second: name of the other.
        last: what four bars end with, the number alone; the cell itself when None.
    """
    both: Parts = (cell, cell)
    if slots > 1:
        yield Way(
            f"together, once a bar {'on' if cell.starts_on_number else 'in'} beat 1",
            [[both, *[(None, None)] * (slots - 1)]],
        )
    every = f"{'on' if cell.starts_on_number else 'in'} every beat" if cell.span == 1 else "again and again"
    yield Way(f"together, {every}", [[both] * slots])
    turns = _in_turn(cell, slots)
    kind = "stroke by stroke" if len(cell.places) > 1 else "beat by beat"
    yield Way(f"in turn {kind}, {first} first", [turns])
    yield Way(f"in turn {kind}, {second} first", [_swapped(turns)])
    rest = cell.complement()
    fills: list[Parts] = [(cell, rest)] * slots
    if rest is not None:
        yield Way(f"{first} has the cell, {second} plays what it leaves", [fills])
        yield Way(f"{second} has the cell, {first} plays what it leaves", [_swapped(fills)])
    one: list[Parts] = [both] * slots
    end: list[Parts] = [*one[:-1], (last or cell, last or cell)]
    if rest is not None:
        yield Way("four bars: together, in turn, filled, together", [one, turns, fills, end])
    else:
        yield Way("four bars: together, in turn, in turn, together", [one, turns, _swapped(turns), end])


def _in_turn(cell: Cell, slots: int) -> list[Parts]:
    """The strokes dealt out one by one; a single stroke goes from beat to beat."""
    if len(cell.places) > 1:
        return [(cell.dealt(0), cell.dealt(1))] * slots
    if slots == 1:
        return [(cell, None)]
    return [(cell, None) if slot % 2 == 0 else (None, cell) for slot in range(slots)]


def _swapped(parts: list[Parts]) -> list[Parts]:
    return [tuple(reversed(both)) for both in parts]
