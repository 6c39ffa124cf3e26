"""The rows of a page for a new cell: alone, beside cells that are known, and in phrases.

A row is bars of cells, one after the other, each bar filled; None is a cell's time in which the moving limb rests.
Composed, not sprinkled: a figure is repeated and then varied, a new cell comes once, comes back, takes over, and lands
on a number at the end. What is chosen by chance (which known cells come back, and in which form) depends
on a seed alone.
"""

from collections.abc import Mapping, Sequence
from random import Random
from typing import NamedTuple

from kitgen.grid.cells import Cell

Bar = tuple[Cell | None, ...]
_NEW, _FIRST, _SECOND, _LAST = "n", "a", "b", "l"

_MIXED = {
    4: ("aaba aanb bana nnnl", "abna abna bbnn nanl", "anab anab nbna annl", "naab naab nanb bnnl"),
    3: ("abn abn ban nnl", "anb anb bna anl", "nab nab nba bnl"),
    2: ("an an bn nl", "na na nb nl", "an bn na nl"),
    1: ("a n b l", "n a n l"),
}
"""Four bars of two known cells and the new one, by cells a bar: said twice, answered, and taken over by the new; the
last cell is the number alone."""

_WITH_ONE = {4: ("aaan aaan anan nnnl",), 3: ("aan aan nan nnl",), 2: ("an an na nl",), 1: ("a n n l",)}


class Phrase(NamedTuple):
    """One row before it is laid on limbs.

    Args:
        label: what it is, for the student.
        bars: what each bar holds.
    """

    label: str
    bars: tuple[Bar, ...]


class Names(NamedTuple):
    """What a page calls things.

    Args:
        cells: cells by their counts; one that is not there is called by its boxes.
        starts: the counts on which cells start in a bar.
        time: what a bar without the moving limb is: time, or rest where nothing else plays.
    """

    cells: Mapping[Cell, str]
    starts: Sequence[str]
    time: str = "time"

    def at(self, cell: Cell, slots: Sequence[int]) -> str:
        """Where a cell is played: on some numbers, or in their beats where it starts off them."""
        word = "on" if cell.starts_on_number else "in"
        return f"{word} beat{'s' if len(slots) > 1 else ''} {' and '.join(self.starts[slot] for slot in slots)}"

    def cell(self, cell: Cell) -> str:
        """A cell's name in quotes."""
        return f'"{self.cells.get(cell, str(cell))}"'


def phrases(new: Cell, known: Sequence[Cell], slots: int, random: Random, names: Names) -> tuple[Phrase, ...]:
    """The rows that introduce a cell, no two alike.

    Args:
        new: the new cell.
        known: cells that are known, the latest last.
        slots: cells that fill a bar.
        random: chooses.
        names: what the page calls things.
    """
    fitting = [cell for cell in known if cell.span == new.span and (cell.parts == new.parts or cell.is_number)]
    rows = [*_alone(new, slots, names, by_itself=not fitting), *_beside(new, fitting, slots, random, names)]
    found: dict[tuple[Bar, ...], Phrase] = {}
    for row in (*rows, *_in_phrases(new, fitting, slots, random, names)):
        found.setdefault(_turned(row.bars), row)
    return tuple(found.values())


def _alone(new: Cell, slots: int, names: Names, *, by_itself: bool) -> list[Phrase]:
    """Once a bar, on every beat; where nothing is known yet to go with it, also here and there."""
    once: Bar = (new, *[None] * (slots - 1))
    rows = [Phrase(f"once a bar, {names.at(new, (0,))}", (once,))] if slots > 1 else []
    if by_itself:
        for at in ((0, 2), (1, 3)) if slots >= 4 else ((1,), (0, 1))[: slots - 1]:
            bar = tuple(new if slot in at else None for slot in range(slots))
            rows.append(Phrase(names.at(new, at), (bar,)))
    every = f"{'on' if new.starts_on_number else 'in'} every beat" if new.span == 1 else "again and again"
    return [*rows[:1], Phrase(every, ((new,) * slots,)), *rows[1:]]


def _beside(new: Cell, known: Sequence[Cell], slots: int, random: Random, names: Names) -> list[Phrase]:
    """In turn with one or two known cells, then four bars of them."""
    if not known:
        return []
    first = known[-1]
    rows = [_in_turn(first, new, slots, names)]
    last = next((cell for cell in known if cell.is_number), first)
    lands = f", ending on {names.starts[-1]}" if last.is_number else ""
    if len(known) == 1:
        cells = {_NEW: new, _FIRST: first, _LAST: last}
        return [*rows, _spelt(_form(_WITH_ONE, slots, random), cells, f"four bars of both{lands}")]
    second = random.choice(known[:-1])
    rows.append(_in_turn(new, second, slots, names))
    third = random.choice([cell for cell in known if cell != second])
    cells = {_NEW: new, _FIRST: third, _SECOND: second, _LAST: last}
    label = f"four bars with {names.cell(third)} and {names.cell(second)}{lands}"
    return [*rows, _spelt(_form(_MIXED, slots, random), cells, label)]


def _in_turn(first: Cell, second: Cell, slots: int, names: Names) -> Phrase:
    """Two cells beat by beat; where a bar holds an odd number of them, the second twice at its end."""
    bar = tuple(first if slot % 2 == 0 and (slot < slots - 1 or slots % 2 == 0) else second for slot in range(slots))
    label = f"{names.cell(first)} and {names.cell(second)} in turn"
    return Phrase(label, (bar,) if slots > 1 else ((first,), (second,)))


def _in_phrases(new: Cell, known: Sequence[Cell], slots: int, random: Random, names: Names) -> list[Phrase]:
    """Three bars of time and one of the cell; one and one; every second bar, known cells between."""
    rest, full = (None,) * slots, (new,) * slots
    rows = [
        Phrase(f"3 + 1: three bars of {names.time}, one of the cell", (rest, rest, rest, full)),
        Phrase(f"1 + 1: one bar of {names.time}, one of the cell", (rest, full)),
    ]
    if not known:
        once: Bar = (new, *[None] * (slots - 1))
        return [*rows, Phrase("once in one bar, all through the next", (once, full))]
    between = [known[-1], random.choice(known)]
    others = list(dict.fromkeys(between))
    bars = tuple(bar for cell in others for bar in ((cell,) * slots, full))
    said = " and ".join(map(names.cell, others))
    return [*rows, Phrase(f"every second bar, {said} between", bars)]


def _form(forms: Mapping[int, Sequence[str]], slots: int, random: Random) -> str:
    """A form for bars of so many cells, longer ones put together; only the very last cell lands."""
    if slots in forms:
        return random.choice(forms[slots])
    halves = (_form(forms, 3, random).replace(_LAST, _NEW).split(), _form(forms, slots - 3, random).split())
    return " ".join(head + tail for head, tail in zip(*halves, strict=True))


def _spelt(form: str, cells: dict[str, Cell], label: str) -> Phrase:
    return Phrase(label, tuple(tuple(cells[letter] for letter in bar) for bar in form.split()))


def _turned(bars: tuple[Bar, ...]) -> tuple[Bar, ...]:
    """A row as it is heard over four bars, the same for a bar and for four of it."""
    return bars * (4 // len(bars)) if len(bars) in (1, 2) else bars
