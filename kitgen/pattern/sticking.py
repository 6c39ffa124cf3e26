"""Which hand plays which stroke: the sticking of least cost over a whole page, exactly.

The cost of a stroke depends on each hand's last two strokes, as far as they lie within ``_Costs.horizon`` of it, so
dynamic programming over what the hands last did finds the least cost there is. What is counted:

- rate: a hand faster than it can sustain; far too fast counts so much that any other way is taken
- travel: a hand that moves between surfaces in little time
- crossing: hands past each other
- double, triple: one hand twice or three times in a row at speed
- lead: the natural hand of a place in the stream (right on the numbers, left on what falls between) not kept
- reach: a surface on the other hand's side
- grace, bounce, room: what flams and drags ask of the other hand, diddles and buzzes of their own

Costs are whole numbers. For a left-handed player everything is mirrored, so that the sticking is the mirror image.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from kitgen.errors import PatternError
from kitgen.kit import PLAYERS, Limb, Player
from kitgen.kit.places import PLACES, crossed, side_of, steps
from kitgen.line.stream import natural_hands
from kitgen.pattern.hit import Hit, Level, Ornament
from kitgen.time import Meters, count_name

_MINUTE_US = 60_000_000
_GRACE_US = 35_000
_CANNOT = 1000
_NEAR_US = 2
"""Microseconds a gap may fall short of a limit: rounding, not playing."""
_NEVER = -1
_HATS = frozenset(("closed-hat", "open-hat"))


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
    """An instant at which hands strike, in microseconds; every way to share its strokes; its natural hand, 0 right."""

    us: int
    ways: tuple[_Both, ...]
    natural: int


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
    costs = _Costs(pace, player, hand, (*strokes, *settled))
    onsets, events = _events(strokes, settled, meters, costs)
    waiting: dict[tuple[Fraction, str], list[Stroke]] = {}
    for stroke in sorted(strokes, key=lambda stroke: stroke.level):
        waiting.setdefault((stroke.onset, stroke.surface), []).append(stroke)
    taken = {(hit.onset, hit.limb) for hit in settled}
    hits = []
    for onset, way in zip(onsets, _Search(events, costs).least(), strict=True):
        for limb, touch in zip(costs.hands, way, strict=True):
            if touch is not None and (not taken or (onset, limb) not in taken):
                stroke = waiting[onset, touch.surface].pop()
                hits.append(Hit(onset, limb, stroke.surface, stroke.level, stroke.ornament))
    return tuple(hits)


def explained(
    hits: Iterable[Hit], meters: Meters, *, pace: float, player: Player = PLAYERS["school"], hand: str = "right"
) -> tuple[Choice, ...]:
    """What each stroke of the hands costs as it is, in time order; arguments as :func:`stick`."""
    own = [hit for hit in hits if hit.limb.is_hand]
    if not own:
        return ()
    costs = _Costs(pace, player, hand, own)
    onsets, events = _events((), own, meters, costs)
    struck = {(hit.onset, hit.limb): hit for hit in own}
    search = _Search(events, costs)
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
    naturals = natural_hands(onsets, meters)
    events = []
    for onset, natural in zip(onsets, naturals, strict=True):
        right, left = fixed.get(onset, (None, None))
        ways = _ways(right, left, free.get(onset, []))
        if not ways:
            many = len(free.get(onset, ())) + (right is not None) + (left is not None)
            raise PatternError(
                f"{count_name(meters, onset)}: {many} strokes for the hands at once"
                + (", one with grace notes of the other hand" if many == 2 else "")
                + "; a player has two hands: leave one out or give it to a foot"
            )
        us = onset.numerator * costs.quarter_us // onset.denominator
        events.append(_Event(us, ways, "RL".index(natural)))
    return onsets, events


def _ways(right: _Touch | None, left: _Touch | None, free: list[_Touch]) -> tuple[_Both, ...]:
    """Every way to give free strokes to the hands that are not held; graces need the other hand empty."""
    found: list[_Both]
    if not free:
        return ((right, left),)
    if len(free) == 1:
        (one,) = free
        found = [(one, left)] if right is None else []
        found += [(right, one)] if left is None else []
    elif len(free) == 2 and right is left is None:
        found = [(free[0], free[1]), (free[1], free[0])]
    else:
        found = []
    return tuple(way for way in found if not _graces_meet(way))


def _graces_meet(way: _Both) -> bool:
    first, second = way
    return (
        first is not None
        and second is not None
        and any(touch.ornament is not None and touch.ornament.has_graces for touch in (first, second))
    )


class _Search:
    """The cheapest way through all events, and what one way costs."""

    def __init__(self, events: Sequence[_Event], costs: "_Costs") -> None:
        self.events, self.costs = events, costs
        self.us = [event.us for event in events]
        self.known: dict[tuple[int, ...], tuple[int, ...]] = {}
        numbers: dict[object, int] = {None: _NEVER}
        self.touches = [
            [tuple(numbers.setdefault(touch, len(numbers)) for touch in way) for way in event.ways] for event in events
        ]
        """Each way's touches as numbers, the same for the same touch; so are the shapes of events."""
        self.shapes = [numbers.setdefault((event.ways, event.natural), len(numbers)) for event in events]

    def least(self) -> list[_Both]:
        """The cheapest ways, one an event."""
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
        _, step = min(states.values(), key=lambda state: state[0])
        found = []
        for event, taken in zip(reversed(self.events), reversed(trail), strict=True):
            step, way = taken[step]
            found.append(event.ways[way])
        return found[::-1]

    def within(self, done: _Done, number: int) -> _Done:
        """What a hand did, without what is out of reach of an event."""
        last, way, before, row = done
        oldest = self.us[number] - self.costs.horizon
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
        return found

    def _touch(self, done: _Done, side: int) -> _Touch:
        touch = self.events[done[0]].ways[done[1]][side]
        assert touch is not None
        return touch


class _Costs:
    """What a stroke costs, for a right-handed player; left-handed ones are mirrored on the way in and out."""

    def __init__(self, pace: float, player: Player, hand: str, strokes: Sequence[Stroke | Hit]) -> None:
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
        self.travel = [
            (0, _us(player.travel(limb, across=False)), _us(player.travel(limb, across=True))) for limb in self.hands
        ]
        self.home = [None if player.profile(limb).travels else _home(limb, strokes) for limb in self.hands]
        self.quick = [own * 5 // 4 for own in self.sustained]
        self.horizon = max(*self.quick, *(2 * few for few in self.few), *(way[2] * 5 // 4 for way in self.travel))

    def of(self, side: int, touch: _Touch, *, alone: bool, natural: int) -> _Reasons:
        """What a stroke costs by itself."""
        found: _Reasons = []
        if not self.plays[side]:
            found.append(("absent", _CANNOT))
        home = self.home[side]
        if home is not None and steps(home, touch.surface):
            found.append(("stays", _CANNOT))
        if alone and natural != side:
            found.append(("lead", 2 if side else 1))
        if touch.surface in _HATS:
            reach = 2 if side != self.open else 0
        else:
            where = side_of(touch.surface)
            reach = 1 if where and (where > 0) != (side == 0) else 0
        if reach:
            found.append(("reach", reach))
        if touch.ornament in (Ornament.DIDDLE, Ornament.DRAG):
            doer = side if touch.ornament is Ornament.DIDDLE else 1 - side
            if self.single[doer] or (touch.ornament is Ornament.DRAG and self.rebound[doer] is None):
                found.append(("bounce", _CANNOT))
        if touch.ornament is not None and touch.ornament.has_graces and not self.plays[1 - side]:
            found.append(("grace", _CANNOT))
        return found

    def after(self, side: int, touch: _Touch, was: _Touch, gap: int, before: int | None, row: int) -> _Reasons:
        """What a stroke costs because of the same hand's last one, ``gap`` ago, and the one ``before`` that."""
        found = self._bounced(side, was.ornament, gap)
        two, rebound = self.two[side], self.rebound[side]
        least = two
        if rebound is not None and was.surface == touch.surface and (before is None or before - gap >= two - _NEAR_US):
            least = rebound
        if gap < least - _NEAR_US or (before is not None and before < 2 * self.few[side] - _NEAR_US):
            found.append(("rate", _CANNOT))
        elif gap < self.sustained[side] - _NEAR_US:
            found.append(("rate", 4))
        if apart := steps(was.surface, touch.surface):
            need = max(two, self.travel[side][apart])
            if gap < need - _NEAR_US:
                found.append(("travel", _CANNOT))
            elif 4 * gap < 5 * need:
                found.append(("travel", 1 if apart == 1 else 3))
        if row and gap < self.quick[side]:
            found.append(("double", 3))
            found += [("triple", 6)] if row > 1 else []
        return found

    def _bounced(self, side: int, ornament: Ornament | None, gap: int) -> _Reasons:
        """What the room for a diddle or buzz costs, up to the same hand's next stroke."""
        if ornament is Ornament.DIDDLE:
            short = min(gap, self.quarter_us // 2) // 2 < (self.rebound[side] or self.two[side]) - _NEAR_US
        else:
            short = ornament is Ornament.BUZZ and gap < self.few[side] - _NEAR_US
        return [("room", _CANNOT)] if short else []

    def beside(self, side: int, touch: _Touch, was: _Touch, gap: int) -> _Reasons:
        """What a stroke costs because of where the other hand was ``gap`` ago, which also plays its graces."""
        found: _Reasons = []
        right, left = (touch.surface, was.surface) if side == 0 else (was.surface, touch.surface)
        if crossed(right, left):
            found.append(("crossing", 20))
        elif PLACES[right][0] < PLACES[left][0] - 5 and right not in _HATS:
            found.append(("crossing", 2))
        if touch.ornament is not None and touch.ornament.has_graces:
            count = 1 if touch.ornament is Ornament.FLAM else 2
            apart = steps(was.surface, touch.surface)
            need = max(self.two[1 - side], self.travel[1 - side][apart])
            if gap - _GRACE_US * count < need - _NEAR_US:
                found.append(("grace", 50))
            elif apart:
                found.append(("grace", 1))
        return found


def _us(ms: float) -> int:
    return round(ms * 1000)


def _home(limb: Limb, strokes: Sequence[Stroke | Hit]) -> str:
    """The surface of a hand that does not travel: what it holds, else what is struck most, else the first of those."""
    own = [item.surface for item in strokes if isinstance(item, Hit) and item.limb == limb]
    among = own or [item.surface for item in strokes]
    return max(sorted(set(among), key=list(PLACES).index), key=among.count)
