"""A pattern or line laid out for measuring its load: whole numbers instead of fractions, strokes by beat and instant.

Conventions: a tick is the longest time that goes a whole number of times into every onset and beat; everything goes
round, so that the last stroke is followed by the first of the next time through.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby
from math import gcd, lcm
from typing import NamedTuple

from kitgen.kit import Limb
from kitgen.pattern.hit import Level
from kitgen.pattern.value import Pattern
from kitgen.time import Meters
from kitgen.time.counting import in_threes


class Place(NamedTuple):
    """A place in a beat: its share of the full beat in lowest terms, and whether the beat is three units (6/8)."""

    above: int
    below: int
    in_threes: bool

    @property
    def share(self) -> Fraction:
        """The share of the beat, from 0 up to 1."""
        return Fraction(self.above, self.below)


class Stroke(NamedTuple):
    """One stroke: tick, index of its beat, place in that beat, limb, level, surface."""

    tick: int
    beat: int
    place: Place
    limb: Limb
    level: Level
    surface: str


class Instant(NamedTuple):
    """Everything struck at one tick."""

    tick: int
    beat: int
    place: Place
    limbs: frozenset[Limb]


class Grid(NamedTuple):
    """Onsets in ticks.

    Args:
        ticks: ticks a quarter.
        span: ticks in all.
        beats: the tick each beat starts at.
        placed: tick, index of the beat, and place of each onset.
    """

    ticks: int
    span: int
    beats: tuple[int, ...]
    placed: tuple[tuple[int, int, Place], ...]


def grid_of(onsets: Sequence[Fraction], meters: Meters) -> Grid:
    """Onsets in time order, inside the span of the meters, in ticks.

    >>> from kitgen.time import Meter
    >>> grid = grid_of([Fraction(0), Fraction(3, 2)], Meters.of(Meter(2, 4)))
    >>> grid.ticks, grid.beats, [(tick, beat, str(place.share)) for tick, beat, place in grid.placed]
    (2, (0, 2), [(0, 0, '0'), (3, 1, '1/2')])
    """
    ticks = lcm(
        meters.span.denominator, *{beat.start.denominator for beat in meters.beats}, *{at.denominator for at in onsets}
    )
    starts = [_ticks(beat.start, ticks) for beat in meters.beats]
    fulls = [(beat.full.denominator, beat.full.numerator * ticks, in_threes(beat)) for beat in meters.beats]
    places = dict[tuple[int, tuple[int, int, bool]], Place]()
    placed, index, last = list[tuple[int, int, Place]](), 0, len(starts) - 1
    for onset in onsets:
        tick = _ticks(onset, ticks)
        while index < last and starts[index + 1] <= tick:
            index += 1
        key = (tick - starts[index], fulls[index])
        if key not in places:
            places[key] = _place(*key)
        placed.append((tick, index, places[key]))
    return Grid(ticks, _ticks(meters.span, ticks), tuple(starts), tuple(placed))


def _place(after: int, full: tuple[int, int, bool]) -> Place:
    above, below, threes = full
    common = gcd(after * above, below)
    return Place(after * above // common, below // common, threes)


def _ticks(length: Fraction, ticks: int) -> int:
    return length.numerator * (ticks // length.denominator)


class View(NamedTuple):
    """A pattern in ticks: its grid, every stroke in order, every instant in order, and the strokes of each limb."""

    grid: Grid
    strokes: tuple[Stroke, ...]
    instants: tuple[Instant, ...]
    by_limb: dict[Limb, tuple[Stroke, ...]]

    def onset(self, tick: int) -> Fraction:
        """A tick in quarters."""
        return Fraction(tick, self.grid.ticks)


def view_of(pattern: Pattern) -> View:
    """The pattern in ticks."""
    grid = grid_of([hit.onset for hit in pattern.hits], pattern.meters)
    strokes = [
        Stroke(*placed, hit.limb, hit.level, hit.surface) for placed, hit in zip(grid.placed, pattern.hits, strict=True)
    ]
    instants = list[Instant]()
    for tick, group in groupby(strokes, key=lambda stroke: stroke.tick):
        together = tuple(group)
        limbs = frozenset(stroke.limb for stroke in together)
        instants.append(Instant(tick, together[0].beat, together[0].place, limbs))
    by_limb = {limb: tuple(stroke for stroke in strokes if stroke.limb is limb) for limb in pattern.limbs}
    return View(grid, tuple(strokes), tuple(instants), by_limb)
