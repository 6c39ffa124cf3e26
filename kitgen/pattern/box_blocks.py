"""Box rows laid out as text, in blocks of bars that fit a width: broken at barlines, or between beats if need be."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from kitgen.pattern.hit import Ornament
from kitgen.time import Meter, Meters

_BARS_A_BLOCK = 4
_ORNAMENTS = tuple(ornament.value for ornament in Ornament)


class BoxRow(NamedTuple):
    """One row: what stands before it, and its groups beat by beat."""

    head: str
    groups: tuple[str, ...]


def in_blocks(meters: Meters, rows: Sequence[BoxRow], width: int, meter: Meter | None, told: Sequence[str] = ()) -> str:
    """Rows as blocks of bars that fit a width, a row that is silent in a later block left out of it.

    Args:
        meters: the bars.
        rows: the rows, the first of which says how wide each beat is.
        width: columns to keep within; a single beat may be wider.
        meter: the meter the reader will assume.
        told: heads of rows all of whose strokes have lengths.
    """
    margin = max(len(row.head) for row in rows) + 2
    blocks = []
    barred = [(row.head, _bars(meters, row)) for row in rows]
    cuts = {beat.bar: beat.length for beat in meters.beats if beat.length != beat.full}
    for block in _blocks(meters, barred[0][1], width - margin):
        first, last = block.first, block.last
        lines = []
        if meters.bars[first].meter != meter:
            meter = meters.bars[first].meter
            lines.append(f"meter {meter}")
        opens = first == 0 and not block.start
        for head, bars in barred:
            shown = block.of(bars)
            if head == "count" or (opens and head.split()[0] not in _ORNAMENTS) or set(shown) - set(". |"):
                lines.append(f"{head:<{margin}}{shown}")
        if all(line.startswith(("count", "meter")) for line in lines):
            silent = "".join(char if char in " |" else "." for char in block.of(barred[0][1]))
            lines.append(f"{'rest':<{margin}}{silent}")
        if told and opens:
            lines.append(f"{'lengths':<{margin}}{', '.join(told)}")
        if (cut := cuts.get(meters.bars[last - 1].number)) and block.ends:
            lines.append(f"last beat {cut}")
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks)


class _Block(NamedTuple):
    """Bars (first, past the last) that stand beneath one another; of one bar that is too wide some beats alone."""

    first: int
    last: int
    start: int = 0
    past: int | None = None

    @property
    def ends(self) -> bool:
        """True if its last bar ends with it."""
        return self.past is None

    def of(self, bars: Sequence[str]) -> str:
        """What it shows of a row."""
        if self.start or self.past is not None:
            return " ".join(bars[self.first].split(" ")[self.start : self.past])
        return " | ".join(bars[self.first : self.last])


def _bars(meters: Meters, row: BoxRow) -> list[str]:
    numbers = (beat.bar for beat in meters.beats)
    paired = zip(numbers, row.groups, strict=True)
    return [" ".join(group for _, group in members) for _, members in groupby(paired, key=lambda pair: pair[0])]


def _blocks(meters: Meters, bars: Sequence[str], room: int) -> Iterator[_Block]:
    """Blocks of bars that fit the width and keep one meter, at most four, a short bar alone; a bar too wide in parts.

    Where the width ends a run after three bars it has two, so that phrases start at the margin.
    """
    here, widths = meters.bars, [len(bar) for bar in bars]
    first = 0
    while first < len(widths):
        past = first + 1
        while (
            past < len(widths) and here[past].meter == here[first].meter and here[past].length == here[past].meter.span
        ):
            if past - first == _BARS_A_BLOCK:
                break
            if sum(widths[first : past + 1]) + 3 * (past - first) > room:
                past -= (past - first) % 2 if past - first > 1 else 0
                break
            past += 1
        yield from _parted(first, past, bars[first], room)
        first = past


def _parted(first: int, past: int, bar: str, room: int) -> Iterator[_Block]:
    """A block; where it is of one bar too wide, as many as it takes, broken between beats."""
    if past - first > 1 or len(bar) <= room:
        yield _Block(first, past)
        return
    start, width = 0, -1
    groups = [len(group) for group in bar.split(" ")]
    for index, group in enumerate(groups):
        if index > start and width + 1 + group > room:
            yield _Block(first, past, start, index)
            start, width = index, -1
        width += 1 + group
    yield _Block(first, past, start)
