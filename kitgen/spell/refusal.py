"""Rhythms that cannot be written, and the nearest that can."""

from collections.abc import Iterable
from fractions import Fraction
from typing import NamedTuple

from kitgen.errors import KitgenError
from kitgen.spell.cells import spell_beat
from kitgen.spell.gaps import FREE, Gap
from kitgen.spell.ticks import MOST_PARTS, in_ticks, odd_part
from kitgen.time import Beat

_GRIDS = (*range(1, MOST_PARTS + 1), 16, 24, 32)


class SpellingError(KitgenError, ValueError):
    """A rhythm that no note values write exactly; says where, why, and what could be written instead."""


class Unspellable(Exception):  # noqa: N818  a signal inside this room, turned into an error that names the bar
    """No spelling; carries where in its bar the beat starts that has none, in ticks."""

    def __init__(self, beat_start: int) -> None:
        super().__init__(beat_start)
        self.beat_start = beat_start


class Grid(NamedTuple):
    """So many parts to a beat, and how far the farthest note would have to move, as a part of the beat."""

    parts: int
    off: Fraction


def nearest_grid(places: Iterable[Fraction], length: Fraction = Fraction(1)) -> Grid:
    """The division of a beat that can be written and that some places in it come nearest to.

    Args:
        places: as parts of the beat, 0 up to 1; where that can be helped no two of them fall on one place.
        length: of the beat, in quarters.

    >>> nearest_grid([Fraction(0), Fraction(16, 17)])
    Grid(parts=16, off=Fraction(1, 272))
    """
    given = sorted(set(places))

    def cost(parts: int) -> tuple[int, Fraction]:
        moved = [Fraction(round(place * parts), parts) for place in given]
        off = max((abs(to - place) for to, place in zip(moved, given, strict=True)), default=Fraction(0))
        return len(given) - len(set(moved)), off

    best = min((parts for parts in _GRIDS if _is_written(parts, length)), key=cost)
    return Grid(best, cost(best)[1])


def _is_written(parts: int, length: Fraction) -> bool:
    """True if a beat can be written with a stroke on each of so many parts."""
    places = [in_ticks(length * k / parts) for k in range(parts)]
    units, unit = odd_part(in_ticks(length) or 0)
    gaps = tuple(Gap(place, FREE) for place in places if place is not None)
    return len(gaps) == parts and spell_beat(units, unit, 0, gaps) is not None


def no_spelling(beat: Beat, edges: Iterable[Fraction]) -> SpellingError:
    """The error for a beat that cannot be spelled.

    Args:
        beat: the beat.
        edges: where its notes start and end, in quarters from the start of the map.
    """
    where = f'bar {beat.bar}, count "{beat.number}"'
    ticks = in_ticks(beat.length)
    if ticks is None or not odd_part(ticks)[0]:
        return SpellingError(
            f"{where}: the bar ends {beat.length} of a quarter into this beat, and no note values write that; "
            f"fill the bar of {beat.meter}, or let it end where a 128th or longer ends"
        )
    places = [(edge - beat.start) / beat.length for edge in edges if beat.start <= edge < beat.end]
    grid = nearest_grid(places, beat.length)
    said = ", ".join(str(place) for place in sorted(set(places)) if place)
    moved = f", which moves a note by {grid.off} of the beat at most" if grid.off else ""
    return SpellingError(
        f"{where}: notes that start or end at {said} of the beat cannot be written exactly in one voice; values go "
        f"down to 128ths, tuplets up to {MOST_PARTS} parts; the nearest that can be written is {grid.parts} to the "
        f"beat{moved}"
    )
