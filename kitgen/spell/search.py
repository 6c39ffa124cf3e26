"""The spelling with the fewest symbols of all that are legal: a shortest way from the start of a stretch to its end.

A symbol is a head (or chord), a rest, a dot, a tie or a tuplet's number. Of spellings with equally many the one with
the fewest pieces is taken, which since the strokes are given is the one with the fewest rests; then the first found.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from kitgen.spell.gaps import SILENT, TIED, Gaps, gap_at
from kitgen.spell.ticks import LENGTHS, WRITTEN

SYMBOL, _PIECE = 1_000, 1


class Ratio(NamedTuple):
    """A tuplet while it is searched for: from start to end, ``actual`` parts of a type in the time of ``normal``."""

    start: int
    end: int
    actual: int
    normal: int
    type: str


class Piece(NamedTuple):
    """A note, a tied continuation or a rest: its place and end, how it is written, its tuplet."""

    start: int
    end: int
    type: str
    dots: int
    is_rest: bool
    struck: bool
    ratio: Ratio | None = None

    def moved(self, by: int) -> "Piece":
        """The same, later by so many ticks."""
        ratio = self.ratio and self.ratio._replace(start=self.ratio.start + by, end=self.ratio.end + by)
        return self._replace(start=self.start + by, end=self.end + by, ratio=ratio)


class Step(NamedTuple):
    """A stretch that is spelled, up to ``end``: what it costs, and its pieces counted from the start of the search."""

    cost: int
    end: int
    pieces: tuple[Piece, ...]


Steps = Callable[[int, str, int], Iterable[Step]]
"""The steps there are from a place, given what is there and until where."""


def fewest(gaps: Gaps, start: int, end: int, steps: Steps) -> Step | None:
    """The steps of least cost from start to end as one; None if no steps lead there.

    Args:
        gaps: what happens between.
        start: in ticks, as the gaps are.
        end: where to go.
        steps: the steps there are from a place; each ends later.
    """
    best: dict[int, Step | None] = {end: Step(0, end, ())}

    def best_from(at: int) -> Step | None:
        if at not in best:
            found: Step | None = None
            for step in steps(at, *gap_at(gaps, at, end)):
                rest = best_from(step.end)
                if rest is not None and (found is None or step.cost + rest.cost < found.cost):
                    found = Step(step.cost + rest.cost, end, step.pieces + rest.pieces)
            best[at] = found
        return best[at]

    return best_from(start)


def single_steps(at: int, kind: str, until: int, may: Callable[[int, int], bool]) -> Iterator[Step]:
    """Every note value that may stand at a place and ends where what is there does, or before."""
    for length in LENGTHS:
        if length > until - at:
            break
        if may(at, length):
            yield step_of(at, length, kind)


def step_of(at: int, length: int, kind: str) -> Step:
    """A note, a tied note or a rest from a place for so many ticks, which are a note value."""
    name, dots = WRITTEN[length]
    return Step(price(dots, kind), at + length, (Piece(at, at + length, name, dots, *_states(kind)),))


def price(dots: int, kind: str) -> int:
    """What a note, a tied note or a rest costs."""
    return SYMBOL * (1 + dots + (kind == TIED)) + _PIECE


def _states(kind: str) -> tuple[bool, bool]:
    """Whether it is a rest, and whether it is struck."""
    return kind == SILENT, kind not in (SILENT, TIED)
