"""A recorded performance: free time, keys and velocities, the limb only where it can be known.

Conventions: times are floats in quarters of the recording's own tempo map, from the start of the file.
"""

from dataclasses import dataclass
from functools import cached_property

from kitgen.kit import Limb
from kitgen.time import Meter


@dataclass(frozen=True, slots=True)
class Stroke:
    """One recorded stroke.

    Args:
        time_quarters: when, in quarters from the start of the recording.
        key: MIDI key as recorded.
        velocity: 1 to 127.
        surface: label of the surface the key means, None where the key is unknown.
        limb: the limb, where it can be known.
    """

    time_quarters: float
    key: int
    velocity: int
    surface: str | None
    limb: Limb | None = None


@dataclass(frozen=True)
class Take:
    """Strokes in time order, with the tempo and meter the recording was made to.

    Args:
        strokes: the strokes, in any order; kept in order of time.
        tempo_bpm: quarters a minute, at the start.
        meter: the meter.
        name: where it came from, for people.
    """

    strokes: tuple[Stroke, ...]
    tempo_bpm: float
    meter: Meter
    name: str = ""

    def __post_init__(self) -> None:
        ordered = sorted(self.strokes, key=lambda s: (s.time_quarters, s.key))
        object.__setattr__(self, "strokes", tuple(ordered))

    @cached_property
    def seconds_a_quarter(self) -> float:
        """Length of a quarter in seconds."""
        return 60 / self.tempo_bpm
