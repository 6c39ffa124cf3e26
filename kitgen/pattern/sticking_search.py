"""The cheapest way through all instants, exactly, by dynamic programming over what each hand did last.

The cost of a way depends on the pasts of the two hands alone: the last thing each touched, and when it touched
something the two times before that, as far as these can still matter. Two ways to come to the same pasts cost the same
from there on, so that keeping the cheapest of them loses nothing, and since pasts do not grow the work is linear in the
instants. Pasts are numbered, since they come again all the time.

Graces count as something the other hand touches. The mean of three strokes of a hand in a row, and of four, is counted
in full; that over a bar is not, since it would have to look back further than pasts do.
"""

from collections.abc import Sequence
from itertools import pairwise

from kitgen.kit.places import BOUNCING
from kitgen.pattern.hit import Ornament
from kitgen.pattern.sticking_costs import Contact, Costs, Past, Pasts, Reasons
from kitgen.pattern.sticking_events import Both, Event
from kitgen.pattern.sticking_limits import NEAR_US, HandLimits

_NOTHING = 0
"""The number of the past of a hand that did nothing lately."""


class Search:
    """All events, and the costs of their ways.

    Args:
        events: in time order, one or more.
        costs: what counts.
    """

    def __init__(self, events: Sequence[Event], costs: Costs) -> None:
        self.events, self.costs = events, costs
        self.pasts = [Past()]
        self.numbers = {self.pasts[_NOTHING]: _NOTHING}
        touches = {touch for event in events for touch in event.ways[0] if touch is not None}
        diddles = any(touch.ornament is Ornament.DIDDLE for touch in touches)
        unsprung = any(touch.surface not in BOUNCING for touch in touches)
        self.horizon = max(_horizon(own, diddles=diddles, unsprung=unsprung) for own in costs.each)

    def least(self) -> tuple[int, list[int]]:
        """The least cost, and the way of each event that it takes, by its number."""
        known: dict[object, dict[Pair, tuple[int, ...]]] = {}
        moves: dict[object, tuple[_Moves, _Moves]] = {}
        states: dict[Pair, tuple[int, int]] = {(_NOTHING, _NOTHING): (0, -1)}
        trail: list[list[tuple[int, int]]] = []
        for event, following in pairwise([*self.events, self.events[-1]]):
            gap, room = following.us - event.us, following.room
            shape = event[1:]  # events that are alike cost the same after the same pasts
            costs = known.setdefault(shape, {})
            rights, lefts = moves.setdefault((shape, gap, room), ({}, {}))
            ways = range(len(event.ways))
            reached: dict[Pair, tuple[int, int]] = {}
            taken: list[tuple[int, int]] = []
            for pair, (cost, step) in states.items():
                more = costs.get(pair)
                if more is None:
                    more = costs[pair] = self._sums(event, pair)
                first, second = pair
                right, left = rights.get(first), lefts.get(second)
                if right is None:
                    right = rights[first] = self._moves(0, first, event, gap, room)
                if left is None:
                    left = lefts[second] = self._moves(1, second, event, gap, room)
                for way in ways:
                    to = right[way], left[way]
                    total = cost + more[way]
                    best = reached.get(to)
                    if best is None or total < best[0]:
                        reached[to] = (total, len(taken))
                        taken.append((step, way))
            trail.append(taken)
            states = reached
        least, step = min(states.values(), key=lambda state: state[0])
        found = []
        for taken in reversed(trail):
            step, way = taken[step]
            found.append(way)
        return least, found[::-1]

    def reasons(self) -> list[tuple[Reasons, Reasons]]:
        """What the first way of each event costs each hand, and why."""
        found, pair = [], (_NOTHING, _NOTHING)
        for event, following in pairwise([*self.events, self.events[-1]]):
            found.append(self.costs.of(event, 0, self._pasts(pair)))
            gap, room = following.us - event.us, following.room
            right, left = (self._moves(side, pair[side], event, gap, room) for side in (0, 1))
            pair = right[0], left[0]
        return found

    def _pasts(self, pair: "Pair") -> Pasts:
        return self.pasts[pair[0]], self.pasts[pair[1]]

    def _sums(self, event: Event, pair: "Pair") -> tuple[int, ...]:
        """What each way of an event costs after two pasts."""
        costs = (self.costs.of(event, way, self._pasts(pair)) for way in range(len(event.ways)))
        return tuple(sum(cost for own in both for _, cost in own) for both in costs)

    # ---- what a hand remembers ---------------------------------------------------------------------------------------

    def _moves(self, side: int, number: int, event: Event, gap: int, room: int) -> tuple[int, ...]:
        """The past of a hand after each way of an event, as seen ``gap`` later, where graces may take ``room``."""
        past, own = self.pasts[number], self.costs.each[side]
        found = []
        for both in event.ways:
            contact = _contact(both, side)
            later = _later(past, gap) if contact is None else self._touching(own, past, contact, event, gap)
            later = self._within(own, later, room)
            found.append(self.numbers.setdefault(later, len(self.pasts)))
            if found[-1] == len(self.pasts):
                self.pasts.append(later)
        return tuple(found)

    def _touching(self, own: HandLimits, past: Past, contact: Contact, event: Event, gap: int) -> Past:
        """The past of a hand that touches something at an event, as seen ``gap`` later."""
        lead = event.leads(contact.ornament)[1] if contact.grace else 0
        since, before, third = lead + gap, 0, 0
        if past.last is not None:
            before, third = past.gap + gap, past.before and past.before + gap
            if past.last.ornament is Ornament.DIDDLE and not past.last.grace:
                before, third = before - min(self.costs.eighth, past.gap - lead) // 2, before
        if third and (third - since < 2 * own.few - NEAR_US or not _fourth(own, third - before, third - since)):
            third = 0
        return Past(contact, since, before, third, 0 if contact.grace else min(past.row + 1, 2))

    def _within(self, own: HandLimits, past: Past, room: int) -> Past:
        """A past without what does not matter any more, to strokes or to graces as much as ``room`` before them."""
        last, gap, before, third, row = past
        if gap - room >= self.horizon:
            return self.pasts[_NOTHING]
        if before - room >= 2 * own.few and not _fourth(own, before - gap, before - room):
            before = 0
        if third - room >= 3 * own.few:
            third = 0
        return Past(last, gap, before, third, row if gap < own.quick else 0)


Pair = tuple[int, int]
"""The pasts of the first and the other hand, by number."""
_Moves = dict[int, tuple[int, ...]]
"""The past of a hand after each way of an event, by its past before."""


def _contact(both: Both, side: int) -> Contact | None:
    """What a hand touches in a way: its own stroke, or the graces to the other's."""
    touch, other = both[side], both[1 - side]
    if touch is not None:
        return Contact(*touch)
    return Contact(*other, grace=True) if other is not None and other.graced else None


def _later(past: Past, gap: int) -> Past:
    """The past of a hand that does nothing at an event, as seen ``gap`` later."""
    if past.last is None:
        return past
    return Past(past.last, past.gap + gap, past.before and past.before + gap, past.third and past.third + gap)


def _fourth(own: HandLimits, first_gap: int, since: int) -> bool:
    """True if four strokes in a row can be too fast, ``since`` the first of them, the third just now or to come.

    Only where the first gap is short, and the fourth stroke comes no sooner than any can.
    """
    return first_gap < own.few and since < 3 * own.few - own.least


def _horizon(own: HandLimits, *, diddles: bool, unsprung: bool) -> int:
    """How long a hand's last contact can matter to what either hand does, by what there is to play."""
    far = max(own.two, own.travel[2]) * 5 // 4 + 1
    return max(own.quick * (2 if unsprung else 1), 2 * own.few, far * (2 if diddles else 1))
