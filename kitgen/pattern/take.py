"""A recorded performance: free time, keys and velocities, the limb only where it can be known.

Conventions: times are floats in quarters of the recording's own tempo map, from the start of the file; tempi are
quarters a minute; velocities 1 to 127. Levels are told from velocities by the nearest of the usual ones (feather 28,
ghost 38, tap 58, normal 88, accent 115: common practice).
"""

import math
from bisect import bisect_left
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from kitgen.errors import PatternError
from kitgen.kit import Limb
from kitgen.pattern.hit import Level
from kitgen.time import Meter, Meters

_HIGHEST = (33, 48, 73, 101)  # the highest velocity of each level below accent: halfway to the next


def level_of(velocity: int) -> Level:
    """The level a velocity is nearest to.

    >>> [level_of(velocity).name for velocity in (28, 38, 58, 88, 115)]
    ['FEATHER', 'GHOST', 'TAP', 'NORMAL', 'ACCENT']
    """
    return Level(bisect_left(_HIGHEST, velocity) + 1)


@dataclass(frozen=True, slots=True)
class Stroke:
    """One recorded stroke.

    Args:
        time_quarters: when, in quarters from the start of the recording.
        key: MIDI key as recorded.
        velocity: 1 to 127.
        surface: label of the surface the key means, None where the key is unknown.
        limb: the limb, where it can be known.

    Raises:
        PatternError: a time before 0 or not finite, a key or velocity outside MIDI's.
    """

    time_quarters: float
    key: int
    velocity: int
    surface: str | None
    limb: Limb | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.time_quarters < math.inf:
            raise PatternError(f"a stroke at {self.time_quarters} quarters; a recording starts at 0")
        if not (0 <= self.key <= 127 and 1 <= self.velocity <= 127):
            raise PatternError(
                f"a stroke of key {self.key}, velocity {self.velocity}; keys are 0 to 127, velocities 1 to 127"
            )

    @property
    def label(self) -> str:
        """The surface, or the key where no surface is known: ``key 58``."""
        return self.surface or f"key {self.key}"

    @property
    def level(self) -> Level:
        """How loud it was."""
        return level_of(self.velocity)


@dataclass(frozen=True)
class Take:
    """Strokes in time order, with the tempo and meter the recording was made to.

    Args:
        strokes: the strokes, in any order; kept in order of time.
        tempo_bpm: quarters a minute, at the start.
        meter: the meter at the start.
        name: where it came from, for people.
        tempo_changes: later tempi, as (quarters from the start, quarters a minute), in order.
        meter_changes: later meters, as (quarters from the start, meter), in order.

    Raises:
        PatternError: a tempo that is not more than 0, changes out of order.
    """

    strokes: tuple[Stroke, ...]
    tempo_bpm: float
    meter: Meter
    name: str = ""
    tempo_changes: tuple[tuple[float, float], ...] = ()
    meter_changes: tuple[tuple[float, Meter], ...] = ()

    def __post_init__(self) -> None:
        ordered = sorted(self.strokes, key=lambda s: (s.time_quarters, s.key))
        object.__setattr__(self, "strokes", tuple(ordered))
        for tempo in (self.tempo_bpm, *(tempo for _, tempo in self.tempo_changes)):
            if not 0 < tempo < math.inf:
                raise PatternError(f"a take at {tempo} quarters a minute; a tempo is more than 0")
        for changes in (self.tempo_changes, self.meter_changes):
            places = [0.0, *(place for place, _ in changes)]
            if any(second <= first for first, second in pairwise(places)):
                raise PatternError(f"changes at {places[1:]} quarters; they stand in order, after the start")

    @cached_property
    def seconds_a_quarter(self) -> float:
        """Length of a quarter in seconds, at the start."""
        return 60 / self.tempo_bpm

    @cached_property
    def _tempi(self) -> tuple[tuple[float, float, float], ...]:
        """Runs of one tempo: start in quarters, start in seconds, seconds a quarter."""
        runs = [(0.0, 0.0, self.seconds_a_quarter)]
        for place, tempo in self.tempo_changes:
            start, passed_s, quarter_s = runs[-1]
            runs.append((place, passed_s + (place - start) * quarter_s, 60 / tempo))
        return tuple(runs)

    def seconds_at(self, quarters: float) -> float:
        """Seconds from the start of the recording to a place in quarters."""
        index = 0
        if self.tempo_changes:
            index = max(0, bisect_left(self._tempi, quarters, key=lambda run: run[0]) - 1)
        start, passed_s, quarter_s = self._tempi[index]
        return passed_s + (quarters - start) * quarter_s

    def meters_until(self, quarters: float) -> Meters:
        """Whole bars that reach past a place; a meter takes over at the barline nearest its change.

        Args:
            quarters: the place, in quarters from the start.
        """
        runs = Meters()
        changes = [*self.meter_changes, (math.inf, self.meter)]
        meter = self.meter
        for place, following in changes:
            room = min(place, quarters) - float(runs.span)
            bars = max(0, round(room / meter.span)) if place <= quarters else math.floor(room / meter.span) + 1
            runs += Meters.of(meter, max(0, bars))
            if place > quarters:
                break
            meter = following
        return runs
