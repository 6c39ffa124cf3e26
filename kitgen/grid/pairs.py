"""A cell for two limbs: every way they can share it, from the plainest on.

The ways are a stated, finite list: together once a bar; together on every beat; the strokes in turn, either limb
first (a cell of one stroke beat by beat); one limb keeps the cell and the other plays the places it leaves, either way
round; four bars of four ways.
"""

from collections.abc import Iterator
from typing import NamedTuple

from kitgen.grid.cells import Cell
from kitgen.grid.laying import Bars, Parts


class Way(NamedTuple):
    """One row for two limbs: its label, and what both do."""

    label: str
    bars: Bars


def ways(cell: Cell, slots: int, *, first: str, second: str) -> Iterator[Way]:
    """Every way two limbs share a cell.

    Args:
        cell: the cell.
        slots: cells that fill a bar.
        first: name of the first limb.
        second: name of the other.
    """
    both: Parts = (cell, cell)
    if slots > 1:
        yield Way("together, once a bar on beat 1", [[both, *[(None, None)] * (slots - 1)]])
    yield Way("together, on every beat" if cell.span == 1 else "together, again and again", [[both] * slots])
    turns = _in_turn(cell, slots)
    kind = "stroke by stroke" if len(cell.places) > 1 else "beat by beat"
    yield Way(f"in turn {kind}, {first} first", [turns])
    yield Way(f"in turn {kind}, {second} first", [_swapped(turns)])
    rest = cell.complement()
    fills: list[Parts] = [(cell, rest)] * slots
    if rest is not None:
        yield Way(f"{first} has the cell, {second} plays what it leaves", [fills])
        yield Way(f"{second} has the cell, {first} plays what it leaves", [_swapped(fills)])
    last = [both] * slots
    if rest is not None:
        yield Way("four bars: together, in turn, filled, together", [last, turns, fills, last])
    else:
        yield Way("four bars: together, in turn, in turn, together", [last, turns, _swapped(turns), last])


def _in_turn(cell: Cell, slots: int) -> list[Parts]:
    """The strokes dealt out one by one; a single stroke goes from beat to beat."""
    if len(cell.places) > 1:
        return [(cell.dealt(0), cell.dealt(1))] * slots
    if slots == 1:
        return [(cell, None)]
    return [(cell, None) if slot % 2 == 0 else (None, cell) for slot in range(slots)]


def _swapped(parts: list[Parts]) -> list[Parts]:
    return [tuple(reversed(both)) for both in parts]
