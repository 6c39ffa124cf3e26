"""How hard a rhythm is to hold, limbs apart: how it goes against its beat, and how unlike its beats are.

Two things of equal rank, since either alone makes a rhythm hard: a beat that nothing marks has to be kept in the head,
and beats that are all different have to be learned one by one. For each beat

- *clock*: what speaks against the beat: 4 where its number is silent, 1 where it is struck but heard unaccented, the
  accents being those of strokes that are all alike;
- *unlike*: in how many places it differs from each of the next three beats, on average (places struck in only one of
  the two).

The rhythm load is the sum of both over the heaviest four beats in a row; there is no number in it to choose. A bar of
four beats has the clock score of its own beat, plus how far its beats are from one another.

Differences from the source of the clock: the beat is given by the meter and not looked for; a silent number speaks
against the beat only if its beat is struck later or the beat before ended off it, so that a long rest is no load; and
strokes on numbers alone are all accented, however many follow each other.

Held against 59 rhythms that listeners rated (35 and 24), it ranks them better than every published measure we have, on
both sets: Spearman .77 and .30, where the best of sixteen others on each set reach .74 and .08
(``tests/outside/test_rated_rhythms.py``). Over 24 rhythms .30 may still be chance.

Sources: D.-J. Povel and P. Essens, "Perception of Temporal Patterns", Music Perception 2(4), 1985, for the clock and
its 4 and 1; R. W. Hamming, 1950, for the distance. That the two are added as equals is ours.
"""

from collections.abc import Collection, Sequence
from typing import NamedTuple

from kitgen.line import Line
from kitgen.line.measures import accents
from kitgen.pattern.load_view import Grid, grid_of

_SILENT, _UNACCENTED = 4, 1
WINDOW = 4
"""Beats looked at together: a bar of the commonest meter."""


class RhythmLoad(NamedTuple):
    """The two halves of a rhythm load, over its heaviest four beats."""

    clock: float
    unlike: float

    @property
    def total(self) -> float:
        """Both together, to six places, so that equal rhythms tie."""
        return round(self.clock + self.unlike, 6)


def rhythm_load(line: Line) -> RhythmLoad:
    """How hard a line's rhythm is to hold.

    >>> rhythm_load(Line.parse("1 2 3 4", notation="counts"))
    RhythmLoad(clock=0, unlike=0.0)
    >>> rhythm_load(Line.parse("1 & 2& 4")).total
    9.666667
    """
    clock, differing = rhythm_by_beat(grid_of(line.onsets, line.meters))
    _, start = heaviest([one + other for one, other in zip(clock, differing, strict=True)])
    there = [(start + later) % len(clock) for later in range(WINDOW)] if clock else []
    return RhythmLoad(sum(clock[beat] for beat in there), sum(differing[beat] for beat in there))


def rhythm_by_beat(grid: Grid) -> tuple[list[float], list[float]]:
    """For each beat what speaks against it, and how unlike the next three it is."""
    cells = [set[object]() for _ in grid.beats]
    for _, beat, place in grid.placed:
        cells[beat].add(place)
    return _clock(grid), unlike_next(cells)


def _clock(grid: Grid) -> list[float]:
    if not grid.placed:
        return [0.0] * len(grid.beats)
    ticks = [tick for tick, _, _ in grid.placed]
    struck, loud = set(ticks), set(ticks if _only_beats(grid) else accents(ticks, grid.span))
    played = {beat for _, beat, _ in grid.placed}
    held = {beat + 1 for _, beat, place in grid.placed if place.above}
    if len(grid.beats) in held:
        held.add(0)
    found = list[float]()
    for beat, tick in enumerate(grid.beats):
        if tick in struck:
            found.append(0 if tick in loud else _UNACCENTED)
        else:
            found.append(_SILENT if beat in played or beat in held else 0)
    return found


def _only_beats(grid: Grid) -> bool:
    return not any(place.above for _, _, place in grid.placed)


def unlike_next(cells: Sequence[Collection[object]]) -> list[float]:
    """For each beat the mean number of members in which it differs from the next three, round and round.

    Three, so that in a bar of four every beat is held against all others; and what repeats itself sooner is more alike.

    >>> unlike_next(["ab", "ab", "ab", "a"])
    [0.3333333333333333, 0.3333333333333333, 0.3333333333333333, 1.0]
    """
    sets = [frozenset(cell) for cell in cells]
    kinds = list(dict.fromkeys(sets))
    apart = [[len(one ^ other) for other in kinds] for one in kinds]
    kind = [kinds.index(cell) for cell in sets]
    size = len(sets)
    return [
        sum(apart[own][kind[(beat + later) % size]] for later in range(1, WINDOW)) / (WINDOW - 1)
        for beat, own in enumerate(kind)
    ]


def heaviest(by_beat: Sequence[float]) -> tuple[float, int]:
    """The greatest sum over four beats in a row, round and round, and the beat it starts at; the first of equals.

    >>> heaviest([1, 0, 2]), heaviest([0, 0, 0, 5, 1, 0])
    ((5, 2), (6, 1))
    """
    if not by_beat:
        return 0.0, 0
    size = len(by_beat)
    endless = [*by_beat, *(by_beat[index % size] for index in range(WINDOW - 1))]
    sums = [sum(endless[start : start + WINDOW]) for start in range(size)]
    most = max(sums)
    return most, sums.index(most)
