"""The instants at which hands strike: every way to share their strokes, the natural hand, the room for graces.

The natural hand is the one the running stream gives (right on the numbers, left on what falls between), but a drum
between two strokes of one-handed time on a cymbal is for the hand that does not keep time.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from math import lcm
from typing import NamedTuple

from kitgen.errors import PatternError
from kitgen.kit import HATS
from kitgen.kit.places import BOUNCING, PLACES, steps
from kitgen.line.stream import natural_hands
from kitgen.pattern.hit import Hit, Ornament
from kitgen.pattern.sticking_limits import NEAR_US, Limits
from kitgen.time import Meters, count_name

GRACE_US = 35_000
_TIME = HATS | {"ride", "ride-bell"}


class Touch(NamedTuple):
    """What one hand does at one instant."""

    surface: str
    ornament: Ornament | None

    @property
    def graced(self) -> bool:
        """True where the other hand plays graces before it."""
        return self.ornament is not None and self.ornament.has_graces


Both = tuple[Touch | None, Touch | None]
"""What the first and the other hand do at one instant."""


class Event(NamedTuple):
    """An instant at which hands strike.

    Args:
        us: when, in microseconds.
        ways: every way to share its strokes.
        natural: its natural hand, 0 the first.
        room: microseconds that graces before it may take, 0 where it has none.
    """

    us: int
    ways: tuple[Both, ...]
    natural: int
    room: int

    def leads(self, ornament: Ornament | None) -> tuple[int, int]:
        """How long before its stroke the first grace of an ornament is, and the last."""
        if ornament is Ornament.FLAM:
            return (min(self.room, GRACE_US),) * 2
        return min(self.room, 2 * GRACE_US), min(self.room // 2, GRACE_US)


def events_of(
    free: Sequence[tuple[Fraction, Touch]], held: Sequence[Hit], meters: Meters, limits: Limits
) -> tuple[list[Fraction], list[Event]]:
    """Every instant at which a hand strikes, in time order, as onsets and as events.

    Args:
        free: strokes that either hand may play.
        held: strokes whose hand is settled.
        meters: the meters they stand under.
        limits: who plays, and how fast.

    Raises:
        PatternError: a stroke outside the span of the meters, or more strokes at once than there are hands.
    """
    given: dict[Fraction, list[Touch]] = {}
    for onset, touch in free:
        given.setdefault(onset, []).append(touch)
    fixed: dict[Fraction, list[Touch | None]] = {}
    for hit in held:
        fixed.setdefault(hit.onset, [None, None])[limits.limbs.index(hit.limb)] = Touch(hit.surface, hit.ornament)
    down = lcm(*{onset.denominator for onset in (*given, *fixed)})
    onsets = sorted({*given, *fixed}, key=lambda onset: onset.numerator * (down // onset.denominator))
    _check_span(onsets, meters)
    shares = []
    for onset in onsets:
        first, second = fixed.get(onset, (None, None))
        ways = _ways(first, second, given.get(onset, []))
        if not ways:
            many = len(given.get(onset, ())) + (first is not None) + (second is not None)
            raise PatternError(_too_many(many, onset, meters))
        shares.append(ways)
    times = [limits.us(onset) for onset in onsets]
    naturals = _naturals(times, shares, ["RL".index(hand) for hand in natural_hands(onsets, meters)], limits)
    gaps = [8 * GRACE_US, *(second - first for first, second in pairwise(times))]
    rooms = map(_room, shares, gaps)
    return onsets, [Event(*event) for event in zip(times, shares, naturals, rooms, strict=True)]


def _check_span(onsets: Sequence[Fraction], meters: Meters) -> None:
    for onset in (onsets[0], onsets[-1]):
        if not 0 <= onset < meters.span:
            raise PatternError(
                f"a stroke of a hand at {onset} quarters; these meters last from 0 to {meters.span}: "
                "give meters for all of it, or leave it out"
            )


def _too_many(count: int, onset: Fraction, meters: Meters) -> str:
    return (
        f"{count_name(meters, onset)}: {count} strokes for the hands at once"
        + (", one with grace notes of the other hand" if count == 2 else "")
        + "; a player has two hands: leave one out or give it to a foot"
    )


def _ways(first: Touch | None, second: Touch | None, free: list[Touch]) -> tuple[Both, ...]:
    """Every way to give free strokes to the hands that are not held; graces need the other hand empty."""
    found: list[Both]
    if not free:
        return ((first, second),)
    free = sorted(free, key=_from_right)
    if len(free) == 1:
        (one,) = free
        found = [(one, second)] if first is None else []
        found += [(first, one)] if second is None else []
    elif len(free) == 2 and first is second is None:
        found = [(free[0], free[1]), (free[1], free[0])]
    else:
        found = []
    return tuple(way for way in found if None in way or not any(touch.graced for touch in way if touch))


def _from_right(touch: Touch) -> tuple[bool, int, str, str]:
    """Puts what the right hand would rather have first: the snare is the left's beside another drum."""
    across, away = PLACES[touch.surface]
    return not (across or away), -across, touch.surface, touch.ornament.value if touch.ornament else ""


def _room(ways: tuple[Both, ...], gap: int) -> int:
    """What graces may take of the gap since the hands last struck: a quarter of it, as much as a drag needs at most."""
    graced = any(touch is not None and touch.graced for touch in ways[0])
    return min(gap // 4, 2 * GRACE_US) if graced else 0


# ---- the natural hand ------------------------------------------------------------------------------------------------


def _naturals(times: Sequence[int], shares: Sequence[tuple[Both, ...]], stream: list[int], limits: Limits) -> list[int]:
    """The natural hand of each instant: as the stream runs, but drums between time are the other hand's.

    Time in strokes too quick for one hand is alternated, and so is the drum between.
    """
    keeping = [_keeping(ways[0], limits) for ways in shares]
    found = list(stream)
    for index in range(1, len(times) - 1):
        hand, before, after = keeping[index - 1], times[index - 1], times[index + 1]
        if (
            hand is not None
            and hand == keeping[index + 1]
            and _one_drum(shares[index][0])
            and max(times[index] - before, after - times[index]) <= limits.quarter_us + NEAR_US
            and after - before >= 2 * limits.each[hand].quick - NEAR_US
        ):
            found[index] = 1 - hand
    return found


def _keeping(way: Both, limits: Limits) -> int | None:
    """The hand that keeps time at an instant, if one does, whichever way its strokes are shared."""
    hands = {
        int(limits.open_handed and touch.surface in HATS)
        for touch in way
        if touch is not None and touch.surface in _TIME
    }
    return hands.pop() if len(hands) == 1 else None


def _one_drum(way: Both) -> bool:
    """True for a single stroke at the place of a drum."""
    own = [touch for touch in way if touch is not None]
    return len(own) == 1 and any(not steps(own[0].surface, drum) for drum in BOUNCING)
