"""Which hand plays which stroke: the sticking of least cost over a whole page, exactly.

The cost of a stroke depends on each hand's last two strokes, as far as they lie within ``_Costs.horizon`` of it, so
dynamic programming over what the hands last did finds the least cost there is. What is counted:

- rate: a hand faster than it can sustain; far too fast counts so much that any other way is taken
- travel: a hand that moves between surfaces in little time
- crossing: hands past each other
- double, triple: one hand twice or three times in a row at speed
- lead: the natural hand not kept: right on the numbers and left on what falls between, as the stream runs, but a
  drum between two strokes of one-handed time on a cymbal is for the hand that does not keep time
- reach: a surface on the other hand's side; a cymbal more than a drum, so that running strokes alternate round the
  drums, while a cymbal keeps its hand unless that becomes too fast
- absent, stays: a hand that does not play, or leaves the one surface it keeps to
- grace, bounce, room: what flams and drags ask of the other hand, diddles and buzzes of their own

Costs are whole numbers. For a left-handed player everything is mirrored, so that the sticking is the mirror image.
"""

from collections.abc import Iterable, Sequence
from copy import copy
from fractions import Fraction
from itertools import product
from math import lcm
from typing import NamedTuple

from kitgen.errors import PatternError
from kitgen.kit import HATS, PLAYERS, SURFACES, Limb, Player
from kitgen.kit.places import BOUNCING, PLACES, crossed, side_of, steps
from kitgen.line.stream import natural_hands
from kitgen.pattern.hit import Hit, Level, Ornament
from kitgen.time import Meters, count_name

_MINUTE_US = 60_000_000
_GRACE_US = 35_000
_CANNOT = 1000
_NEAR_US = 2
"""Microseconds a gap may fall short of a limit: rounding, not playing."""
_NEVER = -1
_TIME = HATS | {"ride", "ride-bell"}
_ACROSS = {label: 9 if row.rings == "long" else 1 for label, row in SURFACES.items()} | dict.fromkeys(HATS, 5)
"""What it costs to reach a surface across the kit, by its label: a cymbal more than a drum."""
_AGAINST_LEAD = (3, 4)
"""Right where left is natural, and left where right is."""
_CROSSED, _PAST = 5, 1
_PAST_CM = 20


class Stroke(NamedTuple):
    """A stroke of a hand, before it is said which hand.

    Args:
        onset: quarters from the start of the pattern.
        surface: label of what is struck.
        level: how loud.
        ornament: flam, drag, diddle or buzz.
    """

    onset: Fraction
    surface: str
    level: Level = Level.NORMAL
    ornament: Ornament | None = None


class Choice(NamedTuple):
    """What one stroke of a hand costs.

    Args:
        hit: the stroke.
        costs: (what is counted, cost) pairs, none of them 0.
    """

    hit: Hit
    costs: tuple[tuple[str, int], ...]

    @property
    def total(self) -> int:
        """The sum of its costs."""
        return sum(cost for _, cost in self.costs)


class _Touch(NamedTuple):
    """What one hand does at one instant."""

    surface: str
    ornament: Ornament | None


_Both = tuple[_Touch | None, _Touch | None]
"""What the right and the left hand do at one instant."""
_Reasons = list[tuple[str, int]]


class _Event(NamedTuple):
    """An instant at which hands strike, in microseconds; every way to share its strokes; its natural hand, 0 right.

    ``room`` is what graces before it may take, 0 where it has none.
    """

    us: int
    ways: tuple[_Both, ...]
    natural: int
    room: int


_Done = tuple[int, int, int, int]
"""What a hand last did: the event and the way of its last stroke, the event of the one before, how many in a row.

An event out of reach is ``_NEVER``; in a row counts the hand's last events without one it rested in, 2 at most.
"""
_State = tuple[_Done, _Done]
_NOTHING: _Done = (_NEVER, 0, _NEVER, 0)


def stick(
    strokes: Sequence[Stroke],
    meters: Meters,
    *,
    pace: float,
    player: Player = PLAYERS["school"],
    hand: str = "right",
    held: Sequence[Hit] = (),
) -> tuple[Hit, ...]:
    """Hands for strokes, at least cost over all of them; of equal ones the first in natural order.

    Args:
        strokes: what the hands strike, in any order.
        meters: the meters they stand under.
        pace: quarters a minute.
        player: who plays.
        hand: hand setting of the kit: ``right``, ``left`` or ``open``.
        held: strokes whose hand is settled; those of feet do not matter.

    Returns:
        a hit a stroke, without the held ones, in time order, the lead hand first.

    Raises:
        PatternError: an instant with more strokes than hands.

    >>> from kitgen.time import Meter
    >>> run = [Stroke(Fraction(n, 4), "snare") for n in range(4)]
    >>> [hit.limb.name for hit in stick(run, Meters.of(Meter(1, 4)), pace=90)]
    ['RH', 'LH', 'RH', 'LH']
    """
    if not strokes:
        return ()
    settled = [hit for hit in held if hit.limb.is_hand]
    rules = _Costs(pace, player, hand)
    onsets, events = _events(strokes, settled, meters, rules)
    among = _by_place([*(stroke.surface for stroke in strokes), *(hit.surface for hit in settled)])
    searches = [_Search(events, rules.at_home(home)).least() for home in rules.homes(among, among)]
    _, ways = min(searches, key=lambda found: found[0])
    waiting: dict[tuple[Fraction, _Touch], list[Stroke]] = {}
    for stroke in sorted(strokes, key=lambda stroke: stroke.level):
        waiting.setdefault((stroke.onset, _Touch(stroke.surface, stroke.ornament)), []).append(stroke)
    taken = {(hit.onset, hit.limb) for hit in settled}
    hits = []
    for onset, way in zip(onsets, ways, strict=True):
        for limb, touch in zip(rules.hands, way, strict=True):
            if touch is not None and (not taken or (onset, limb) not in taken):
                stroke = waiting[onset, touch].pop()
                hits.append(Hit(onset, limb, stroke.surface, stroke.level, stroke.ornament))
    return tuple(hits)


def explained(
    hits: Iterable[Hit], meters: Meters, *, pace: float, player: Player = PLAYERS["school"], hand: str = "right"
) -> tuple[Choice, ...]:
    """What each stroke of the hands costs as it is, in time order; arguments as :func:`stick`."""
    own = [hit for hit in hits if hit.limb.is_hand]
    if not own:
        return ()
    costs = _Costs(pace, player, hand)
    onsets, events = _events((), own, meters, costs)
    struck = {(hit.onset, hit.limb): hit for hit in own}
    right, left = (
        _by_place([hit.surface for hit in own if hit.limb == limb or (hit.ornament and hit.ornament.has_graces)])
        for limb in costs.hands
    )
    search = _Search(events, costs.at_home(next(iter(costs.homes(right[:1], left[:1])))))
    choices: list[Choice] = []
    state: _State = (_NOTHING, _NOTHING)
    for number, onset in enumerate(onsets):
        state = search.within(state[0], number), search.within(state[1], number)
        for limb, reasons in zip(costs.hands, search.reasons(state, number, 0), strict=True):
            if (onset, limb) in struck:
                choices.append(Choice(struck[onset, limb], tuple(reasons)))
        state = search.after(state, number, 0)
    return tuple(sorted(choices, key=lambda choice: (choice.hit.onset, choice.hit.limb)))


def sticking_cost(
    hits: Iterable[Hit], meters: Meters, *, pace: float, player: Player = PLAYERS["school"], hand: str = "right"
) -> int:
    """What the hands of a pattern cost altogether; arguments as :func:`stick`."""
    return sum(choice.total for choice in explained(hits, meters, pace=pace, player=player, hand=hand))


def _events(
    strokes: Sequence[Stroke], held: Sequence[Hit], meters: Meters, costs: "_Costs"
) -> tuple[list[Fraction], list[_Event]]:
    """Every instant at which a hand strikes, with the ways to share its strokes between the hands."""
    free: dict[Fraction, list[_Touch]] = {}
    for stroke in strokes:
        free.setdefault(stroke.onset, []).append(_Touch(stroke.surface, stroke.ornament))
    fixed: dict[Fraction, list[_Touch | None]] = {}
    for hit in held:
        fixed.setdefault(hit.onset, [None, None])[costs.hands.index(hit.limb)] = _Touch(hit.surface, hit.ornament)
    down = lcm(*{onset.denominator for onset in (*free, *fixed)})
    onsets = sorted({*free, *fixed}, key=lambda onset: onset.numerator * (down // onset.denominator))
    shares = []
    for onset in onsets:
        right, left = fixed.get(onset, (None, None))
        ways = _ways(right, left, free.get(onset, []))
        if not ways:
            many = len(free.get(onset, ())) + (right is not None) + (left is not None)
            raise PatternError(
                f"{count_name(meters, onset)}: {many} strokes for the hands at once"
                + (", one with grace notes of the other hand" if many == 2 else "")
                + "; a player has two hands: leave one out or give it to a foot"
            )
        shares.append(ways)
    times = [onset.numerator * costs.quarter_us // onset.denominator for onset in onsets]
    naturals = costs.naturals(times, shares, ["RL".index(hand) for hand in natural_hands(onsets, meters)])
    events, before = [], times[0] - 8 * _GRACE_US
    for us, ways, natural in zip(times, shares, naturals, strict=True):
        graced = any(touch is not None and _graced(touch) for touch in ways[0])
        events.append(_Event(us, ways, natural, min((us - before) // 4, 2 * _GRACE_US) if graced else 0))
        before = us
    return onsets, events


def _by_place(labels: Sequence[str]) -> list[str]:
    """One surface of each place among some, the most struck place first."""
    counts: dict[tuple[int, int], list[str]] = {}
    for label in labels:
        counts.setdefault(PLACES[label], []).append(label)
    return [own[0] for own in sorted(counts.values(), key=lambda own: (-len(own), list(PLACES).index(own[0])))]


def _ways(right: _Touch | None, left: _Touch | None, free: list[_Touch]) -> tuple[_Both, ...]:
    """Every way to give free strokes to the hands that are not held; graces need the other hand empty."""
    found: list[_Both]
    if not free:
        return ((right, left),)
    free = sorted(free, key=_from_right)
    if len(free) == 1:
        (one,) = free
        found = [(one, left)] if right is None else []
        found += [(right, one)] if left is None else []
    elif len(free) == 2 and right is left is None:
        found = [(free[0], free[1]), (free[1], free[0])]
    else:
        found = []
    return tuple(way for way in found if not _graces_meet(way))


def _from_right(touch: _Touch) -> tuple[bool, int, str, str]:
    """Puts what the right hand would rather have first: the snare is the left's beside another drum."""
    across, away = PLACES[touch.surface]
    return not (across or away), -across, touch.surface, touch.ornament.value if touch.ornament else ""


def _graced(touch: _Touch) -> bool:
    return touch.ornament is not None and touch.ornament.has_graces


def _graces_meet(way: _Both) -> bool:
    first, second = way
    return first is not None and second is not None and (_graced(first) or _graced(second))


class _Search:
    """The cheapest way through all events, and what one way costs."""

    def __init__(self, events: Sequence[_Event], costs: "_Costs") -> None:
        self.events, self.costs = events, costs
        self.us = [event.us for event in events]
        self.horizon = costs.horizon + (2 * _GRACE_US if any(event.room for event in events) else 0)
        self.known: dict[tuple[int, ...], tuple[int, ...]] = {}
        numbers: dict[object, int] = {None: _NEVER}
        self.touches = [
            [tuple(numbers.setdefault((touch, event.room), len(numbers)) for touch in way) for way in event.ways]
            for event in events
        ]
        """Each way's touches as numbers, the same for what costs the same; so are the shapes of events."""
        self.shapes = [numbers.setdefault(event[1:], len(numbers)) for event in events]

    def least(self) -> tuple[int, list[_Both]]:
        """The least cost, and the ways that have it, one an event."""
        states: dict[_State, tuple[int, int]] = {(_NOTHING, _NOTHING): (0, _NEVER)}
        trail: list[list[tuple[int, int]]] = []
        for number, event in enumerate(self.events):
            ways = [(way, right is not None, left is not None) for way, (right, left) in enumerate(event.ways)]
            following: dict[_State, tuple[int, int]] = {}
            taken: list[tuple[int, int]] = []
            for (first, second), (cost, step) in states.items():
                right, left = self.within(first, number), self.within(second, number)
                more = self._costs_from(right, left, number)
                for way, with_right, with_left in ways:
                    total = cost + more[way]
                    reached = (
                        (number, way, right[0], 2 if right[3] else 1) if with_right else (*right[:3], 0),
                        (number, way, left[0], 2 if left[3] else 1) if with_left else (*left[:3], 0),
                    )
                    best = following.get(reached)
                    if best is None or total < best[0]:
                        following[reached] = (total, len(taken))
                        taken.append((step, way))
            trail.append(taken)
            states = following
        least, step = min(states.values(), key=lambda state: state[0])
        found = []
        for event, taken in zip(reversed(self.events), reversed(trail), strict=True):
            step, way = taken[step]
            found.append(event.ways[way])
        return least, found[::-1]

    def within(self, done: _Done, number: int) -> _Done:
        """What a hand did, without what is out of reach of an event."""
        last, way, before, row = done
        oldest = self.us[number] - self.horizon
        if last < 0 or self.us[last] <= oldest:
            return _NOTHING
        return done if before < 0 or self.us[before] > oldest else (last, way, _NEVER, row)

    def after(self, state: _State, number: int, way: int) -> _State:
        """What the hands last did once an event has been played in one of its ways."""
        right, left = (
            (*done[:3], 0) if touch is None else (number, way, done[0], min(done[3] + 1, 2))
            for done, touch in zip(state, self.events[number].ways[way], strict=True)
        )
        return right, left

    def _costs_from(self, right: _Done, left: _Done, number: int) -> tuple[int, ...]:
        """The cost of each way of an event; what was counted once is known for every place that is alike."""
        us, now = self.us, self.us[number]
        last, way, before, row = right
        first = (self.touches[last][way][0], now - us[last]) if last >= 0 else (_NEVER, 0)
        alike = (*first, now - us[before] if before >= 0 else 0, row)
        last, way, before, row = left
        second = (self.touches[last][way][1], now - us[last]) if last >= 0 else (_NEVER, 0)
        key = (self.shapes[number], *alike, *second, now - us[before] if before >= 0 else 0, row)
        found = self.known.get(key)
        if found is None:
            ways = range(len(self.events[number].ways))
            found = tuple(sum(c for own in self.reasons((right, left), number, way) for _, c in own) for way in ways)
            self.known[key] = found
        return found

    def reasons(self, state: _State, number: int, way: int) -> tuple[_Reasons, _Reasons]:
        """What a way costs each hand, and why."""
        event, both = self.events[number], self.events[number].ways[way]
        found: tuple[_Reasons, _Reasons] = ([], [])
        for side, touch in enumerate(both):
            if touch is None:
                continue
            own, other = state[side], state[1 - side]
            found[side].extend(self.costs.of(side, touch, alone=both[1 - side] is None, natural=event.natural))
            if own[0] >= 0:
                before = event.us - self.us[own[2]] if own[2] >= 0 else None
                was, gap = self._touch(own, side), event.us - self.us[own[0]]
                found[side].extend(self.costs.after(side, touch, was, gap, before, own[3]))
            if other[0] >= 0:
                was, gap = self._touch(other, 1 - side), event.us - self.us[other[0]]
                found[side].extend(self.costs.beside(side, touch, was, gap))
                if _graced(touch):
                    found[side].extend(self.costs.before_grace(side, touch, was, gap - _leads(touch, event)[0]))
                if _graced(was) and own[0] < other[0]:
                    gap += _leads(was, self.events[other[0]])[1]
                    found[side].extend(self.costs.after_grace(side, touch, was, gap))
        first, second = both
        if first is not None and second is not None:
            found[0].extend(self.costs.beside(0, first, second, 0))
        return found

    def _touch(self, done: _Done, side: int) -> _Touch:
        touch = self.events[done[0]].ways[done[1]][side]
        assert touch is not None
        return touch


def _leads(touch: _Touch, event: _Event) -> tuple[int, int]:
    """How long before its stroke the first grace is, and the last."""
    if touch.ornament is Ornament.FLAM:
        return (min(event.room, _GRACE_US),) * 2
    return min(event.room, 2 * _GRACE_US), min(event.room // 2, _GRACE_US)


class _Costs:
    """What a stroke costs, for a right-handed player; left-handed ones are mirrored on the way in and out."""

    def __init__(self, pace: float, player: Player, hand: str) -> None:
        self.quarter_us = round(_MINUTE_US / pace)
        self.open = hand == "open"
        self.hands = (Limb.LH, Limb.RH) if hand == "left" else (Limb.RH, Limb.LH)
        rates = [player.rates(limb) for limb in self.hands]
        self.two, self.few, self.sustained = (
            [_us(getattr(own, name)) for own in rates] for name in ("two", "few", "sustained")
        )
        self.rebound = [None if own.rebound is None else _us(own.rebound) for own in rates]
        self.plays = [player.plays(limb) for limb in self.hands]
        self.single = [player.profile(limb).single for limb in self.hands]
        self.stays = [player.plays(limb) and not player.profile(limb).travels for limb in self.hands]
        self.travel = [
            (0, _us(player.travel(limb, across=False)), _us(player.travel(limb, across=True))) for limb in self.hands
        ]
        self.home: tuple[str | None, str | None] = (None, None)
        self.near = _us(player.hand.few)
        self.quick = [own * 5 // 4 for own in self.sustained]
        self.horizon = max(*self.quick, *(2 * few for few in self.few), *(way[2] * 5 // 4 for way in self.travel))

    def homes(self, right: Sequence[str], left: Sequence[str]) -> Iterable[tuple[str | None, str | None]]:
        """Every pair of surfaces, out of some, that hands could keep to; None where a hand travels."""
        none: tuple[str | None, ...] = (None,)
        return product(right if self.stays[0] and right else none, left if self.stays[1] and left else none)

    def at_home(self, home: tuple[str | None, str | None]) -> "_Costs":
        """The same with a surface to keep to for hands that do not travel."""
        if home == self.home:
            return self
        costs = copy(self)
        costs.home = home
        return costs

    def naturals(self, times: Sequence[int], shares: Sequence[tuple[_Both, ...]], stream: Sequence[int]) -> list[int]:
        """The natural hand of each event: as the stream runs, but drums between time are the other hand's.

        Time in strokes too quick for one hand is alternated, and so is the drum between.
        """
        keeping = [self._keeping(ways[0]) for ways in shares]
        found = list(stream)
        for index in range(1, len(times) - 1):
            own = [touch for touch in shares[index][0] if touch is not None]
            hand, before, after = keeping[index - 1], times[index - 1], times[index + 1]
            if (
                hand is not None
                and hand == keeping[index + 1]
                and len(own) == 1
                and any(not steps(own[0].surface, drum) for drum in BOUNCING)
                and max(times[index] - before, after - times[index]) <= self.quarter_us + _NEAR_US
                and after - before >= 2 * self.quick[hand] - _NEAR_US
            ):
                found[index] = 1 - hand
        return found

    def _keeping(self, way: _Both) -> int | None:
        """The hand that keeps time at an event, if one does."""
        for touch in way:
            if touch is not None and touch.surface in _TIME:
                return int(self.open and touch.surface in HATS)
        return None

    def of(self, side: int, touch: _Touch, *, alone: bool, natural: int) -> _Reasons:
        """What a stroke costs by itself."""
        found: _Reasons = []
        if not self.plays[side]:
            found.append(("absent", _CANNOT))
        home = self.home[side]
        if home is not None and steps(home, touch.surface):
            found.append(("stays", _CANNOT))
        if alone and natural != side:
            found.append(("lead", _AGAINST_LEAD[side]))
        where = side_of(touch.surface)
        if touch.surface in HATS:
            where = -1 if self.open else 1
        if where and (where > 0) != (side == 0):
            found.append(("reach", _ACROSS[touch.surface]))
        if touch.ornament is not None:
            found += self._dressed(side, touch, touch.ornament)
        return found

    def _dressed(self, side: int, touch: _Touch, ornament: Ornament) -> _Reasons:
        """What an ornament costs wherever it stands."""
        found: _Reasons = []
        if ornament is not Ornament.FLAM:
            doer = 1 - side if ornament is Ornament.DRAG else side
            if self.single[doer] or (ornament is Ornament.DRAG and self.rebound[doer] is None):
                found.append(("bounce", _CANNOT))
        if ornament.has_graces:
            home = self.home[1 - side]
            if not self.plays[1 - side] or (home is not None and steps(home, touch.surface)):
                found.append(("grace", _CANNOT))
        elif self.quarter_us // 2 < self._room(side, touch) - _NEAR_US:
            found.append(("room", _CANNOT))
        return found

    def _room(self, side: int, touch: _Touch) -> int:
        """The least an eighth may last for a diddle or buzz to fit in."""
        if touch.ornament is Ornament.BUZZ:
            return self.few[side]
        rebound = self.rebound[side]
        return 2 * (rebound if rebound is not None and touch.surface in BOUNCING else self.two[side])

    def after(self, side: int, touch: _Touch, was: _Touch, gap: int, before: int | None, row: int) -> _Reasons:
        """What a stroke costs because of the same hand's last one, ``gap`` ago, and the one ``before`` that."""
        found: _Reasons = []
        two, few, rebound = self.two[side], self.few[side], self.rebound[side]
        strokes = {Ornament.DIDDLE: 2, Ornament.BUZZ: 1}.get(was.ornament, 0) if was.ornament else 0
        if gap < strokes * few - _NEAR_US:
            found.append(("room", _CANNOT))
        apart = steps(was.surface, touch.surface)
        least = two
        if rebound is not None and not apart and touch.surface in BOUNCING:
            least = rebound if before is None or before - gap >= two - _NEAR_US else two
        if gap < least - _NEAR_US or (before is not None and before < 2 * few - _NEAR_US):
            found.append(("rate", _CANNOT))
        elif gap < self.sustained[side] - _NEAR_US:
            found.append(("rate", 4))
        if apart:
            need = max(two, self.travel[side][apart])
            if gap < need - _NEAR_US:
                found.append(("travel", _CANNOT))
            elif 4 * gap < 5 * need:
                found.append(("travel", 1 if apart == 1 else 3))
        if row and gap < self.quick[side]:
            found.append(("double", 3))
            found += [("triple", 6)] if row > 1 else []
        return found

    def beside(self, side: int, touch: _Touch, was: _Touch, gap: int) -> _Reasons:
        """What a stroke costs because of where the other hand was ``gap`` ago."""
        right, left = (touch.surface, was.surface) if side == 0 else (was.surface, touch.surface)
        if gap >= 2 * self.near:
            return []
        if crossed(right, left):
            return [("crossing", _CANNOT if gap < self.near - _NEAR_US else _CROSSED)]
        past = PLACES[left][0] - PLACES[right][0] > _PAST_CM and right not in HATS
        return [("crossing", _PAST)] if past else []

    def before_grace(self, side: int, touch: _Touch, was: _Touch, gap: int) -> _Reasons:
        """What graces by the other hand cost because of its last stroke, ``gap`` before them."""
        apart = steps(was.surface, touch.surface)
        if gap < max(self.two[1 - side], self.travel[1 - side][apart]) - _NEAR_US:
            return [("grace", _CANNOT)]
        return [("grace", 1)] if apart else []

    def after_grace(self, side: int, touch: _Touch, was: _Touch, gap: int) -> _Reasons:
        """What a stroke costs because of a grace of the same hand, ``gap`` ago, to a stroke of the other."""
        need = max(self.two[side], self.travel[side][steps(was.surface, touch.surface)])
        return [("grace", _CANNOT)] if gap < need - _NEAR_US else []


def _us(ms: float) -> int:
    return round(ms * 1000)
