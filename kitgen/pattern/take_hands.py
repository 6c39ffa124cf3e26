"""Which limb may have struck what in a recorded performance.

A recording says which pad was struck, not by whom. Feet are known by their pedals; hands are found as the cheapest way
through the whole take: each hand likes its usual surfaces, cannot strike again at once, needs time to travel, and in
a run on the drums the hands alternate. Limbs that the recording names are kept. Gaps in seconds, costs without unit.
Every cost is ours; the gaps follow the rates of one hand, about 7 strokes a second in general and 10 for the fastest
(S. Fujii and others, Neuroscience Letters 459, 2009).
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from kitgen.kit import SURFACES, Kit, Limb, kit
from kitgen.pattern.gestures import Gesture

_BEAM = 12
_DOUBLES = ((0.055, 14.0), (0.070, 6.0), (0.085, 2.0), (0.100, 0.8))
_GAPS = ((0.060, 14.0), (0.080, 8.0), (0.100, 4.0), (0.125, 1.6), (0.150, 0.5))
_TRAVELS = ((0.090, 3.0), (0.150, 1.5), (0.250, 0.4))
_RUN_S, _SAME_HAND_IN_RUN = 0.180, 1.0
_FAST_S = 0.160
_WRONG_HAND = {"long": 1.6, "open": 1.6, "short": 0.8}
_TOM, _HAT, _CROSS_STICK = 0.25, 1.6, 4.0
_GRACE_HAND_BUSY = 6.0
_HANDS_OF_ONE = ((Limb.RH,), (Limb.LH,))
_HANDS_OF_TWO = ((Limb.RH, Limb.LH), (Limb.LH, Limb.RH))
_DRUMS = frozenset(("snare", "rim-shot", "high-tom", "mid-tom", "floor-tom"))
_STANDARD = kit("standard")


@dataclass(frozen=True, slots=True)
class Placed:
    """A gesture on the page.

    Args:
        place: quarters from the start, exact.
        gesture: what was struck.
        limb: by which limb; None where no limb is left or the surface is unknown.
        extra: 0 for a stroke in a limb's row, else the number of the extra row it stands in.
    """

    place: Fraction
    gesture: Gesture
    limb: Limb | None
    extra: int = 0


_Last = tuple[float, str, bool]  # when, on what, and whether it followed fast on the one before


@dataclass(frozen=True, slots=True)
class _Way:
    """A way through the take so far: its cost, the hand of every gesture, and the last stroke of each hand."""

    cost: float
    hands: "tuple[Limb | None, _Way | None]"
    last: tuple[_Last, _Last]


def with_limbs(
    placed: Sequence[tuple[Fraction, Gesture]], seconds_at: Callable[[float], float], *, on: Kit = _STANDARD
) -> tuple[Placed, ...]:
    """Give every gesture a limb, or a place in an extra row where the limbs do not suffice.

    Args:
        placed: gestures with their places, in any order.
        seconds_at: seconds from the start to a place in quarters.
        on: the kit, whose hand setting says which hand usually plays what.
    """
    ordered = sorted(placed, key=lambda pair: (pair[0], -pair[1].main.velocity, pair[1].main.key))
    found: list[Placed] = []
    hands: list[list[tuple[Fraction, Gesture]]] = []
    for _, members in groupby(ordered, key=lambda pair: pair[0]):
        at_hand: list[tuple[Fraction, Gesture]] = []
        rest: list[tuple[Fraction, Gesture]] = []
        for place, gesture in members:
            if gesture.main.surface is None or SURFACES[gesture.main.surface].struck_by == "foot":
                rest.append((place, gesture))
            else:
                (at_hand if len(at_hand) < 2 else rest).append((place, gesture))
        found += _feet_and_extras(rest, on)
        if at_hand:
            hands.append(at_hand)
    found += _handed(hands, seconds_at, on)
    return tuple(sorted(found, key=lambda one: (one.place, one.limb is None, one.limb or 0, one.extra)))


def _feet_and_extras(rest: Sequence[tuple[Fraction, Gesture]], on: Kit) -> Iterator[Placed]:
    """One place: a stroke a foot, one for each unknown key; what is left over goes to extra rows."""
    taken: set[object] = set()
    extras: dict[str, int] = {}
    for place, gesture in rest:
        label = gesture.main.label
        limb = gesture.main.limb
        if limb is None and gesture.main.surface is not None and SURFACES[label].struck_by == "foot":
            limb = on.limb_for(label)
        owner: object = label if limb is None else limb
        is_hand = gesture.main.surface is not None and SURFACES[label].struck_by == "hand"
        if is_hand or owner in taken:
            extras[label] = extras.get(label, 0) + 1
            yield Placed(place, gesture, None, extras[label])
        else:
            taken.add(owner)
            yield Placed(place, gesture, limb)


def _handed(
    places: Sequence[Sequence[tuple[Fraction, Gesture]]], seconds_at: Callable[[float], float], on: Kit
) -> Iterator[Placed]:
    never = (-10.0, "", False)
    ways = [_Way(0.0, (None, None), (never, never))]
    for members in places:
        gestures = [gesture for _, gesture in members]
        times_s = [seconds_at(gesture.main.time_quarters) for gesture in gestures]
        steps = (_step(way, gestures, times_s, hands, on) for hands in _choices(gestures) for way in ways)
        cheapest: dict[tuple[_Last, _Last], _Way] = {}
        for way in sorted(steps, key=lambda way: way.cost):
            cheapest.setdefault(way.last, way)
        ways = list(cheapest.values())[:_BEAM]
    limbs: list[Limb] = []
    way = min(ways, key=lambda way: way.cost)
    while way.hands[0] is not None and way.hands[1] is not None:
        limbs.append(way.hands[0])
        way = way.hands[1]
    flat = [pair for members in places for pair in members]
    for (place, gesture), limb in zip(flat, reversed(limbs), strict=True):
        yield Placed(place, gesture, limb)


def _choices(gestures: Sequence[Gesture]) -> Sequence[tuple[Limb, ...]]:
    """Which hands may strike what stands on one place; a hand the recording names is kept."""
    ways: Sequence[tuple[Limb, ...]] = _HANDS_OF_ONE if len(gestures) == 1 else _HANDS_OF_TWO
    known = [gesture.main.limb for gesture in gestures]
    if not any(limb is not None for limb in known):
        return ways
    return [
        hands for hands in ways if all(limb in (None, hand) for limb, hand in zip(known, hands, strict=True))
    ] or ways


def _step(way: _Way, gestures: Sequence[Gesture], times_s: Sequence[float], hands: Sequence[Limb], on: Kit) -> _Way:
    cost, last, before = way.cost, list(way.last), max(way.last[0][0], way.last[1][0])
    chain = way
    for gesture, time_s, hand in zip(gestures, times_s, hands, strict=True):
        label = gesture.main.label
        then_s, then, fast = way.last[hand]
        gap_s = time_s - then_s
        cost += _usual(label, hand, on) + _under(_GAPS if fast or then != label else _DOUBLES, gap_s)
        if then != label:
            cost += _under(_TRAVELS, gap_s)
        in_run = len(gestures) == 1 and label in _DRUMS and time_s - before < _RUN_S
        if in_run and then_s == before:
            cost += _SAME_HAND_IN_RUN
        if gesture.graces and len(gestures) > 1:
            cost += _GRACE_HAND_BUSY
        last[hand] = (time_s, label, gap_s < _FAST_S)
        chain = _Way(cost, (hand, chain), (last[0], last[1]))
    return chain


def _under(steps: Sequence[tuple[float, float]], gap_s: float) -> float:
    return next((cost for limit_s, cost in steps if gap_s < limit_s), 0.0)


def _usual(label: str, hand: Limb, on: Kit) -> float:
    """What it costs to strike a surface with the hand that does not usually play it."""
    if on.limb_for(label) == hand:
        return 0.0
    if label.endswith("-tom"):
        return _TOM
    if label == "cross-stick":
        return _CROSS_STICK
    return _HAT if label == "closed-hat" else _WRONG_HAND[SURFACES[label].rings]
