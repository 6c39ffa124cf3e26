"""Phrases of a style: time for so many bars, a fill at the end, and what comes on the 1 after it.

Conventions: a phrase lasts whole bars of one meter; a fill replaces the end of the time from where it begins, and a
hand on its way to it leaves out the stroke it has no time for, as players do; what a phrase begins with (a crash, where
the fill before it lands on one) is part of the phrase, so that a phrase that is repeated has it at the right place.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from kitgen.errors import PatternError
from kitgen.kit import Limb, Player
from kitgen.pattern import EVEN, Feel, Hit, Level, Pattern
from kitgen.pattern.swing import played_onsets
from kitgen.styles.parts import StylePattern
from kitgen.time import Meters

_MINUTE_MS = 60_000


def cut(pattern: Pattern, start: Fraction, end: Fraction) -> Pattern:
    """The part of a pattern of one meter from ``start`` and before ``end``, in quarters; what is held past it ends.

    Raises:
        PatternError: several meters, or a part that is not inside.

    >>> from kitgen.pattern import parse_rows
    >>> len(cut(parse_rows("RF bass x x x x"), Fraction(1), Fraction(3)).hits)
    2
    """
    meter = pattern.meters.only
    if meter is None or not 0 <= start < end <= pattern.span:
        raise PatternError(f"cannot cut {start} to {end} quarters out of {pattern.span} under one meter")
    inside = (_until(hit, end) for hit in pattern.hits if start <= hit.onset < end)
    hits = tuple(hit.at(hit.onset - start) for hit in inside) if start else tuple(inside)
    return Pattern(hits, Meters(((meter, end - start),)), pattern.feel)


def time_for(time: Pattern, bars: int) -> Pattern:
    """A pattern of one meter played over and over for so many bars, cut where they end."""
    span = bars * time.meters.bars[0].length
    turns = -(-span // time.span)
    whole = time * int(turns)
    return whole if whole.span == span else cut(whole, Fraction(0), span)


class Room(NamedTuple):
    """The time a hand needs to cross the kit.

    Args:
        quarters: how long that is, in quarters as they are played.
        feel: how the music swings at its tempo: what a gap lasts is told by where strokes are played.
    """

    quarters: Fraction
    feel: Feel = EVEN


NO_ROOM = Room(Fraction(0))


def room_for(player: Player, pace: float, feel: Feel = EVEN) -> Room:
    """What a hand needs to cross the kit.

    Args:
        player: who plays.
        pace: quarters a minute.
        feel: how it swings; ``auto`` takes its ratio from the pace.
    """
    return Room(Fraction(player.across) * Fraction(pace) / _MINUTE_MS, feel.resolved(pace))


def phrase(time: Pattern, fill: StylePattern, bars: int, *, room: Room = NO_ROOM) -> Pattern:
    """Time with a fill at its end.

    Args:
        time: what keeps time.
        fill: the fill; an ending is put there in the same way.
        bars: bars of the whole.
        room: what a hand needs on its way to the fill; what it would strike elsewhere within it is left out.

    Raises:
        PatternError: the fill is longer than the phrase.
    """
    if fill.bars > bars:
        raise PatternError(f"{fill.name!r} lasts {fill.bars} bars and a phrase {bars}; give it a longer phrase")
    whole = time_for(time, bars)
    offset = whole.span - fill.pattern.span
    begins = offset + fill.starts
    placed = [hit.at(hit.onset + offset) for hit in fill.pattern.hits]
    before = [_until(hit, begins) for hit in whole.hits if hit.onset < begins]
    return whole.with_hits([*_in_time(before, placed, whole, room), *placed])


def entered(intro: StylePattern, time: Pattern, bars: int, *, room: Room = NO_ROOM) -> Pattern:
    """An intro or pickup, and so many bars of time after it.

    Args:
        intro: the intro.
        time: what keeps time.
        bars: bars of time.
        room: what a hand needs on its way to the time; what it would strike elsewhere within it is left out.
    """
    whole = intro.pattern + time_for(time, bars)
    span = intro.pattern.span
    before, after = ([hit for hit in whole.hits if (hit.onset < span) is early] for early in (True, False))
    return whole.with_hits([*_in_time(before, after, whole, room), *after])


def _in_time(before: Sequence[Hit], after: Sequence[Hit], whole: Pattern, room: Room) -> Iterator[Hit]:
    """The strokes of ``before`` after which a hand is in time for its first one of ``after``, as both are played."""
    if not room.quarters:
        yield from before
        return
    to = {hit.limb: hit for hit in reversed(after) if hit.limb.is_hand}
    played, _ = played_onsets(whole.with_hits([*before, *after]).with_feel(room.feel))
    for hit in before:
        following = to.get(hit.limb, hit)
        if hit.surface == following.surface or played[following.onset] - played[hit.onset] >= room.quarters:
            yield hit


def landed(time: Pattern, lands: str, fill: Pattern | None = None) -> Pattern:
    """Time entered from a fill: with a crash and the bass under it on 1, as it is, or with nothing.

    The hand that keeps time takes the crash; a right hand where none plays there. A feathered bass on 1 gives way where
    the fill has just ended on the bass.

    Args:
        time: the time that is entered.
        lands: ``crash``, ``time`` or ``silence``.
        fill: what comes before, if that is known.

    >>> from kitgen.pattern import parse_rows
    >>> [hit.surface for hit in landed(parse_rows("RH ride x x x x"), "crash").hits][:2]
    ['crash', 'bass']
    """
    if lands == "silence":
        return time.with_hits(())
    if lands == "crash":
        return time.with_hits(_crashed(time))
    kicked = fill is not None and any(
        hit.surface == "bass" and hit.level >= Level.NORMAL and fill.span - hit.onset < fill.meters.beats[-1].length
        for hit in fill.hits
    )
    return time.with_hits(hit for hit in time.hits if not (kicked and _feathered_one(hit)))


def _feathered_one(hit: Hit) -> bool:
    return not hit.onset and hit.surface == "bass" and hit.level is Level.FEATHER


def _crashed(time: Pattern) -> Iterator[Hit]:
    yield Hit(Fraction(0), Limb.RH, "crash", Level.ACCENT)
    first = {hit.limb: hit for hit in time.hits if not hit.onset}
    bass = first.get(Limb.RF)
    level = Level.NORMAL if bass is None else max(bass.level, Level.NORMAL)
    yield Hit(Fraction(0), Limb.RF, "bass", level)
    yield from (hit for hit in time.hits if hit.onset or hit.limb not in (Limb.RH, Limb.RF))


def _until(hit: Hit, end: Fraction) -> Hit:
    if hit.length is None or hit.onset + hit.length <= end:
        return hit
    return replace(hit, length=end - hit.onset)
