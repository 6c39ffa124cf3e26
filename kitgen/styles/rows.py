"""Box rows of a style held to its bar before they are read: every bar whole, every group as long as its beat has boxes.

The row grammar (:mod:`kitgen.pattern.boxes`) takes a group of any length as a division of its beat, so a character too
few would be read as another rhythm. A style says how many boxes a beat has, and a row that differs is an error.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from kitgen.pattern import EVEN, Feel, Level, Pattern, parse_rows
from kitgen.time import Meter

_CHARS = frozenset((*(level.char for level in Level), "-", "."))
_READ_OVER = frozenset(("count", "rest"))


@dataclass(frozen=True, slots=True)
class Grid:
    """The bar that rows are held to.

    Args:
        meter: the meter.
        boxes: boxes of each beat of a bar.
        also: other lengths a group may have, for tuplets.
        feel: the feel of the patterns.
    """

    meter: Meter
    boxes: tuple[int, ...]
    also: tuple[int, ...] = ()
    feel: Feel = EVEN


class RowFault(NamedTuple):
    """What is wrong in a row.

    Args:
        line: which line of the text it is, from 0.
        words: row, bar and beat, what is there and what is expected.
    """

    line: int
    words: str


class _Row(NamedTuple):
    line: int
    head: str
    bars: tuple[tuple[str, ...], ...]


def row_fault(text: str, grid: Grid, *, short: bool = False) -> RowFault | None:
    """The first thing wrong with the lengths or characters of rows; None where nothing is.

    Args:
        text: the rows.
        grid: the bar they are held to.
        short: they may be fewer beats than a bar, which then lie at its end.
    """
    for block in _blocks(text):
        first = block[0]
        for row in block:
            if len(row.bars) != len(first.bars):
                return RowFault(
                    row.line,
                    f"row {row.head!r} has {_number(len(row.bars), 'bar')} where {first.head!r} has {len(first.bars)}",
                )
            found = _bars_fault(row, grid, len(first.bars[0]) if short and len(first.bars) == 1 else None)
            if found:
                return RowFault(row.line, f"row {row.head!r}, {found}")
    return None


def rows_pattern(text: str, grid: Grid, *, short: bool = False) -> tuple[Pattern, Fraction]:
    """Rows as a pattern of whole bars, and where in its first bar it begins, in quarters.

    Raises:
        PatternError, KitError: rows that cannot be read; lengths are asked of :func:`row_fault` before.
    """
    blocks = list(_blocks(text))
    beats = grid.meter.beats
    given = len(blocks[0][0].bars[0]) if blocks else len(beats)
    missing = len(beats) - given if short and len(blocks) == 1 and len(blocks[0][0].bars) == 1 else 0
    if not missing:
        return parse_rows(text, grid.meter, feel=grid.feel), Fraction(0)
    silent = ["." * grid.boxes[index] for index in range(missing)]
    lines = [" ".join([row.head, *silent, *row.bars[0]]) for row in blocks[0]]
    lines += [line for line in map(str.strip, text.splitlines()) if line.startswith("lengths ")]
    return parse_rows(lines, grid.meter, feel=grid.feel), sum(beats[:missing], Fraction(0))


def _blocks(text: str) -> Iterator[list[_Row]]:
    """The rows of each block of lines; a blank line parts blocks, and lines that are no rows are left out."""
    block: list[_Row] = []
    for number, line in enumerate(text.splitlines()):
        words = line.replace("|", " | ").split()
        if not words and block:
            yield block
            block = []
        elif words and words[0] != "lengths" and words[0].lower() not in _READ_OVER:
            block.append(_Row(number, " ".join(words[:2]), _bars(words[2:])))
    if block:
        yield block


def _bars(groups: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    bars: list[list[str]] = [[]]
    for group in groups:
        if group == "|":
            bars.append([])
        else:
            bars[-1].append(group)
    if len(bars) > 1 and not bars[-1]:
        bars.pop()
    return tuple(map(tuple, bars))


def _bars_fault(row: _Row, grid: Grid, short: int | None) -> str:
    """What is wrong in a row's bars; ``short`` is how many beats its block has where that may be less than a bar."""
    whole = len(grid.meter.beats)
    expected = whole if short is None or not 0 < short < whole else short
    for number, bar in enumerate(row.bars, start=1):
        if len(bar) != expected:
            what = f"a bar of {grid.meter}" if expected == whole else "the first row"
            return f"bar {number}: {_number(len(bar), 'beat')}; {what} has {expected}"
        for beat, group in enumerate(bar, start=whole - expected + 1):
            allowed = (grid.boxes[beat - 1], *grid.also)
            if len(group) not in allowed:
                named = " or ".join(map(str, dict.fromkeys(allowed)))
                return (
                    f"bar {number}, beat {beat}: {group!r} is {_number(len(group), 'box', 'boxes')}; expected {named}"
                )
            if strange := _strange(group, _CHARS):
                return f"bar {number}, beat {beat}: unknown character {strange!r}; boxes are X x t g f - and ."
    return ""


def _strange(group: str, allowed: Collection[str]) -> str:
    return next((char for char in group if char not in allowed), "")


def _number(count: int, one: str, several: str = "") -> str:
    return f"{count} {one if count == 1 else several or f'{one}s'}"
