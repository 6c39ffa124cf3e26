"""Named checks of what a drummer expects of a groove, each a function of a pattern and of what it is held against.

A check returns what it found, in order of place; nothing found is an empty tuple. Onsets in quarters.
"""

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType
from typing import NamedTuple

from kitgen.errors import UnknownNameError
from kitgen.kit import PLAYERS, Player
from kitgen.pattern.clave import Agreement, agreement, clave, clave_cycle, swapped
from kitgen.pattern.hit import Hit, Level
from kitgen.pattern.playability import playability
from kitgen.pattern.value import Pattern
from kitgen.time import Bar, Meter, backbeats_in, count_name

_CRASHES = frozenset(("crash", "crash-2", "splash", "china"))
_SNARES = frozenset(("snare", "rim-shot"))
_PLACES_A_BEAT = 4
_RATES = frozenset(("two", "few", "sustained"))


class Fault(NamedTuple):
    """Something a drummer would hear as wrong.

    Args:
        rule: name of the check.
        onset: where, in quarters from the start of the pattern.
        words: a sentence with bar and count, and a way out.
    """

    rule: str
    onset: Fraction
    words: str


@dataclass(frozen=True, slots=True)
class Terms:
    """What a pattern is held against.

    Args:
        half_time: the backbeat is in the middle of the bar.
        player: who plays.
        pace: quarters a minute.
        clave: the side that was declared, ``3-2`` or ``2-3``; None where none was.
        kind: the clave it is a side of, ``son`` or ``rumba``.
    """

    half_time: bool = False
    player: Player = PLAYERS["school"]
    pace: float = 60.0
    clave: str | None = None
    kind: str = "son"


_USUAL = Terms()


def backbeat(pattern: Pattern, terms: Terms = _USUAL) -> tuple[Fault, ...]:
    """The snare is accented on every backbeat a bar has: 2 and 4, or where half time puts it.

    In meters whose beats do not go in twos (3/4, 5/4, 7/8) drummers differ, and one of the bar's backbeats is enough. A
    rim shot counts as the snare; a cross-stick need not be accented.
    """
    struck = {
        hit.onset
        for hit in pattern.hits
        if (hit.surface in _SNARES and hit.level is Level.ACCENT)
        or (hit.surface == "cross-stick" and hit.level >= Level.NORMAL)
    }
    found = []
    for bar in pattern.meters.bars:
        back = backbeats_in(bar, half_time=terms.half_time)
        missing = [at for at in back if at not in struck]
        if len(missing) == len(back) or set(bar.meter.beat_groups) == {2}:
            found += missing
    words = "no accent of the snare on the backbeat; put one there"
    return tuple(_fault("backbeat", pattern, at, words) for at in found)


def snare_for_bass(pattern: Pattern, terms: Terms = _USUAL) -> tuple[Fault, ...]:
    """No bass under the snare's backbeat: the snare says it alone."""
    back = set(_backbeats(pattern, terms))
    snares = {hit.onset for hit in pattern.hits if hit.surface in _SNARES and hit.level is Level.ACCENT} & back
    return tuple(
        _fault("snare-for-bass", pattern, at, "bass under the snare's backbeat; leave the bass out there")
        for at in _struck(pattern, "bass")
        if at in snares
    )


def crash_carried(pattern: Pattern, _terms: Terms = _USUAL) -> tuple[Fault, ...]:
    """Every crash, splash and china has bass or snare under it."""
    carrying = {hit.onset for hit in pattern.hits if hit.surface == "bass" or hit.surface in _SNARES}
    return tuple(
        _fault("crash-carried", pattern, hit.onset, f"{hit.surface} with neither bass nor snare under it; add the bass")
        for hit in pattern.hits
        if hit.surface in _CRASHES and hit.onset not in carrying
    )


def hat_closed(pattern: Pattern, _terms: Terms = _USUAL) -> tuple[Fault, ...]:
    """An open hat is closed by a closed stroke or the foot by the end of its bar or within two beats, round the loop.

    The stroke on 1 of the next bar is in time. Open and closed never sound at one instant.
    """
    closing = list(dict.fromkeys(hit.onset for hit in pattern.hits if hit.surface in ("closed-hat", "hat-foot")))
    together = set(closing)
    found = []
    for hit in pattern.hits:
        if hit.surface != "open-hat":
            continue
        if hit.onset in together:
            words = "the hat open and closed at once; take one of the two strokes away"
            found.append(_fault("hat-closed", pattern, hit.onset, words))
            continue
        beat = pattern.meters.beat_at(hit.onset)
        latest = max(pattern.meters.bars[beat.bar - 1].end, hit.onset + 2 * beat.full)
        following = next((at for at in closing if at > hit.onset), closing[0] + pattern.span if closing else None)
        if following is None or following > latest:
            words = "the open hat is not closed within two beats; add a closed stroke or the hat foot after it"
            found.append(_fault("hat-closed", pattern, hit.onset, words))
    return tuple(found)


def foot_limit(pattern: Pattern, terms: Terms = _USUAL) -> tuple[Fault, ...]:
    """The bass foot within what the player can do at the pace: one gap, three or four in a row, the mean of a bar.

    Swung patterns are tested as played, and round into their repeat. The worst place of each kind is told.
    """
    return tuple(
        Fault("foot-limit", found.onset, str(found))
        for found in playability(pattern, terms.player, terms.pace)
        if found.rule in _RATES and not found.limb.is_hand and _plays_bass(pattern, found.limb)
    )


def _plays_bass(pattern: Pattern, limb: int) -> bool:
    return any(hit.limb == limb and hit.surface == "bass" for hit in pattern.hits)


def space(pattern: Pattern, _terms: Terms = _USUAL) -> tuple[Fault, ...]:
    """The bass leaves air: no more than half of a bar's places, and a beat that goes by in any two bars.

    A place is a quarter of a beat (a sixteenth in 4/4), and half the unit where eighths or shorter are counted. A beat
    goes by where one bass stroke is a whole beat or more from the next (of a beat of three units, two), so that bass on
    every beat has air and a stream without a hole has not. A pattern of one bar is heard round its loop.
    """
    bars, struck = pattern.meters.bars, _struck(pattern, "bass")
    found = []
    for bar in bars:
        inside = between(struck, bar.start, bar.end)
        if len(inside) > most_strokes(bar):
            words = f"{len(inside)} bass strokes in this bar; leave some out, {most_strokes(bar)} leave air"
            found.append(_fault("space", pattern, inside[0], words))
    for first, second in two_bars(bars):
        if not has_air(struck, first, second, pattern.span):
            words = "no beat goes by without the bass in two bars; leave out what falls inside one beat"
            found.append(_fault("space", pattern, first.start, words))
    return tuple(sorted(found, key=lambda fault: fault.onset))


def most_strokes(bar: Bar, share: Fraction = Fraction(1, 2)) -> int:
    """How many bass strokes leave air in a bar: a share of its places, rounded, at least one."""
    return max(1, int(bar.length / place_of(bar.meter) * share + Fraction(1, 2)))


def place_of(meter: Meter) -> Fraction:
    """The place a groove is counted in, in quarters: a quarter of the beat, or half a unit from eighths down."""
    return meter.unit / 2 if meter.denominator >= 8 else meter.unit / _PLACES_A_BEAT


def two_bars(bars: Sequence[Bar]) -> Iterator[tuple[Bar, Bar]]:
    """Every bar with the next; a lone bar with itself."""
    yield from pairwise(bars) if len(bars) > 1 else ((bar, bar) for bar in bars)


def between(struck: Sequence[Fraction], start: Fraction, end: Fraction) -> Sequence[Fraction]:
    """Of strokes in order those from ``start`` and before ``end``."""
    return struck[bisect_left(struck, start) : bisect_left(struck, end)]


def has_air(struck: Sequence[Fraction], first: Bar, second: Bar, span: Fraction) -> bool:
    """True if a beat (the shortest of these bars) goes by from stroke to stroke, or to the edge, within two bars.

    Args:
        struck: the strokes, in order.
        first: the first of the bars.
        second: the bar after it, or the same where there is but one.
        span: of the whole; two bars that are all there is are heard round their loop.
    """
    start, end = first.start, second.end
    inside = between(struck, start, end)
    if not inside:
        return True
    round_the_loop = end - start == span
    edges = [*inside, inside[0] + span] if round_the_loop else [start, *inside, end]
    return any(later - earlier >= shortest_beat(first, second) for earlier, later in pairwise(edges))


def shortest_beat(first: Bar, second: Bar) -> Fraction:
    """The beat that has to go by in two bars, in quarters: the shortest of theirs, of a beat of three units two."""
    return min(_goes_by(first.meter), _goes_by(second.meter))


def _goes_by(meter: Meter) -> Fraction:
    threes = meter.denominator >= 8
    return min(2 * meter.unit if threes and beat == 3 * meter.unit else beat for beat in meter.beats)


def clave_side(pattern: Pattern, terms: Terms = _USUAL) -> tuple[Fault, ...]:
    """A pattern of two bars does not go against the clave that was declared.

    Told only where at least two strokes more lie on the other side. A tie is nothing, one bar by itself has no side,
    and a pattern under a meter without a clave has none. Strokes of the hands count (of the feet where no hand plays),
    each limb's for itself, ghost notes not.
    """
    if terms.clave is None or pattern.span != clave_cycle(pattern.meters):
        return ()
    heard = [hit for hit in pattern.hits if hit.level > Level.GHOST]
    played: list[Hit] = [hit for hit in heard if hit.limb.is_hand] or heard
    counts = agreement((hit.onset for hit in played), pattern.meters, kind=terms.kind)
    other = swapped(terms.clave)
    if counts is None or counts.side != other:
        return ()
    return (_against(pattern, played, counts, terms.clave, terms.kind),)


def _against(pattern: Pattern, played: Sequence[Hit], counts: Agreement, side: str, kind: str) -> Fault:
    other, meter = swapped(side), pattern.meters.runs[0][0]
    own, theirs = (set(clave(kind, one, meter)) for one in (side, other))
    at = next(hit.onset for hit in played if hit.onset in theirs - own)
    words = (
        f"against the {side} {kind} clave: {counts.on(other)} strokes lie on {other} and {counts.on(side)} on {side}, "
        f"this one first; swap the two bars, or call it {other}"
    )
    return _fault("clave-side", pattern, at, words)


Rule = Callable[[Pattern, Terms], tuple[Fault, ...]]

RULES: MappingProxyType[str, Rule] = MappingProxyType(
    {
        "backbeat": backbeat,
        "snare-for-bass": snare_for_bass,
        "crash-carried": crash_carried,
        "hat-closed": hat_closed,
        "foot-limit": foot_limit,
        "space": space,
        "clave-side": clave_side,
    }
)


def faults(pattern: Pattern, rules: Iterable[str] = tuple(RULES), terms: Terms = _USUAL) -> tuple[Fault, ...]:
    """What some checks find in a pattern, check after check.

    Args:
        pattern: the pattern, with its feel.
        rules: names of checks; all when left out.
        terms: what it is held against.

    Raises:
        UnknownNameError: no such check.

    >>> from kitgen.pattern import parse_rows
    >>> [fault.rule for fault in faults(parse_rows("RH crash x . . .; LH snare . X . X"))]
    ['crash-carried']
    """
    found: list[Fault] = []
    for name in rules:
        if name not in RULES:
            raise UnknownNameError("check", name, list(RULES))
        found += RULES[name](pattern, terms)
    return tuple(found)


def _backbeats(pattern: Pattern, terms: Terms) -> list[Fraction]:
    return [at for bar in pattern.meters.bars for at in backbeats_in(bar, half_time=terms.half_time)]


def _struck(pattern: Pattern, label: str) -> list[Fraction]:
    return list(dict.fromkeys(hit.onset for hit in pattern.hits if hit.surface == label))


def _fault(rule: str, pattern: Pattern, at: Fraction, words: str) -> Fault:
    return Fault(rule, at, f"{count_name(pattern.meters, at)}: {words}")
