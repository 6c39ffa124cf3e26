"""What colours a part of a form: the ride hand moved, hats closed, the bass in two, bars of solo. Common practice."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from kitgen.kit import Limb
from kitgen.pattern import Hit, Level, Pattern
from kitgen.pattern.quality import faults
from kitgen.styles.parts import StylePattern
from kitgen.styles.phrases import time_for

_MOVED = {
    "closed-hat": "ride",
    "ride": "ride-bell",
    "ride-bell": "ride",
    "floor-shell": "cowbell",
    "cowbell": "ride-bell",
}


def moved_ride(pattern: Pattern) -> Pattern:
    """The hand that keeps time moved to the next cymbal, as at a bridge; a hand that has open hats as well stays.

    >>> from kitgen.pattern import parse_rows
    >>> [hit.surface for hit in moved_ride(parse_rows("RH closed-hat x x x x")).hits][:1]
    ['ride']
    """
    own = {hit.surface for hit in pattern.hits if hit.limb is Limb.RH}
    if "open-hat" in own or not own & _MOVED.keys():
        return pattern
    return pattern.with_hits(
        replace(hit, surface=_MOVED.get(hit.surface, hit.surface)) if hit.limb is Limb.RH else hit
        for hit in pattern.hits
    )


def hats_closed(pattern: Pattern) -> Pattern:
    """The hats that nothing closes in time stay closed, as on the way to a fill or to a silence.

    >>> from kitgen.pattern import parse_rows
    >>> [hit.surface for hit in hats_closed(parse_rows("RH open-hat x . . .")).hits]
    ['closed-hat']
    """
    left_open = {fault.onset for fault in faults(pattern, ("hat-closed",))}
    if not left_open:
        return pattern
    return pattern.with_hits(
        replace(hit, surface="closed-hat") if hit.surface == "open-hat" and hit.onset in left_open else hit
        for hit in pattern.hits
    )


def thinned_to_two(pattern: Pattern) -> Pattern:
    """Time in two: the bass on the first beat of every half bar and nowhere else, as loud as the ride hand.

    >>> from kitgen.pattern import parse_rows
    >>> [hit.onset for hit in thinned_to_two(parse_rows("RF bass f f f f")).hits]
    [Fraction(0, 1), Fraction(2, 1)]
    """
    others = [hit for hit in pattern.hits if hit.surface != "bass"]
    starts = _group_starts(pattern)
    return pattern.with_hits([*others, *(Hit(at, Limb.RF, "bass", _in_two(pattern)) for at in starts)])


def _in_two(pattern: Pattern) -> Level:
    """What the ride hand strikes most often, but no accent: soft under brushes."""
    levels = Counter(hit.level for hit in pattern.hits if hit.limb is Limb.RH)
    usual = max(levels, key=lambda level: (levels[level], level), default=Level.NORMAL)
    return min(max(usual, Level.TAP), Level.NORMAL)


def _group_starts(pattern: Pattern) -> list[Fraction]:
    starts = []
    for bar in pattern.meters.bars:
        place = bar.start
        beats = iter(bar.meter.beats)
        for size in bar.meter.beat_groups:
            starts.append(place)
            place += sum((next(beats) for _ in range(size)), Fraction(0))
    return starts


def soloed(time: Pattern, fills: Sequence[StylePattern], bars: int) -> Pattern:
    """Bars of solo made of fills that last whole bars, the last of them at the end; time where none fits.

    Args:
        time: what keeps time, for what no fill fills.
        fills: fills in the order they are played; the last one ends it, however long.
        bars: how long the solo is.
        room: what a hand needs on its way to a fill.
    """
    last = fills[-1]
    pieces: list[Pattern] = []
    left = bars - last.bars
    while left > 0:
        fitting = [item for item in fills if item.bars <= left]
        if not fitting:
            pieces.append(time_for(time, left))
            break
        item = fitting[len(pieces) % len(fitting)]
        pieces.append(item.pattern)
        left -= item.bars
    whole = last.pattern
    for piece in reversed(pieces):
        whole = piece + whole
    return whole
