"""A recorded performance with every stroke on its likeliest place, and as a pattern where it is clean enough."""

from dataclasses import dataclass

from kitgen.errors import PatternError
from kitgen.pattern.feel import Feel
from kitgen.pattern.gestures import gestures_of, merged
from kitgen.pattern.hit import Hit
from kitgen.pattern.take import Take
from kitgen.pattern.take_grid import Onset, quantised
from kitgen.pattern.take_hands import Placed, with_limbs
from kitgen.pattern.value import Pattern
from kitgen.time import Meters, count_name


@dataclass(frozen=True)
class Transcription:
    """A take with every stroke placed.

    Args:
        placed: the gestures, by place, with limbs or extra rows.
        meters: whole bars that hold them.
        parts: how each beat is divided.
        feel: the swing they were played with.
        lean_ms: how late (early if negative) the whole is against the recording's beats.
        off_ms: how late each gesture is at its place, the lean taken out, in order of time.
        tempo_bpm: quarters a minute, at the start.
    """

    placed: tuple[Placed, ...]
    meters: Meters
    parts: tuple[int, ...]
    feel: Feel
    lean_ms: float
    off_ms: tuple[float, ...]
    tempo_bpm: float

    @property
    def usual_feel(self) -> Feel:
        """The feel with the swing that is usual at the tempo, by published medians (:mod:`kitgen.pattern.feel`)."""
        return Feel(self.feel.unit, None).resolved(self.tempo_bpm) if self.feel.unit else self.feel

    @property
    def strokes(self) -> int:
        """How many recorded strokes it holds."""
        return sum(one.gesture.size for one in self.placed)


def transcribed(take: Take) -> Transcription:
    """Put a take on its likeliest grid and give its strokes limbs."""
    gestures = gestures_of(take.strokes, take.seconds_at)
    onsets = [Onset(one.main.time_quarters, one.lane, one.main.velocity) for one in gestures]
    grid = quantised(onsets, take.meters_until, take.seconds_at)
    placed = with_limbs(merged(gestures, grid.places, take.seconds_at), take.seconds_at)
    off_ms = tuple(1000 * off for off in grid.off_s)
    return Transcription(placed, grid.meters, grid.parts, grid.feel, 1000 * grid.lean_s, off_ms, take.tempo_bpm)


def take_pattern(take: Take) -> Pattern:
    """A take as a pattern, where it is clean enough to be one.

    Bounces are kept as a buzz, without their number.

    Raises:
        PatternError: a stroke of an unknown key, or more strokes at one place than there are limbs for; says where.
    """
    found = transcribed(take)
    return Pattern(tuple(_hit(one, found.meters) for one in found.placed), found.meters, found.feel)


def _hit(one: Placed, meters: Meters) -> Hit:
    gesture, where = one.gesture, count_name(meters, one.place)
    if one.gesture.main.surface is None:
        raise PatternError(f"{gesture.main.label} at {where} is no known surface; choose another pad map")
    if one.limb is None:
        raise PatternError(f"no limb is left for the {gesture.main.label} at {where}")
    return Hit(one.place, one.limb, gesture.main.label, gesture.main.level, gesture.ornament)
