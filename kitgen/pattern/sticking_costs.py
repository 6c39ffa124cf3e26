"""What a stroke of a hand costs, and why: whole numbers, by what that hand and the other one did last.

What is counted:

- rate: a hand faster than it can sustain; one gap, or the mean of three or four strokes in a row, too short to play
- travel: a hand that moves between surfaces in little time
- crossing: hands past each other, soon after each other or at once
- double, triple: one hand twice or three times in a row at speed; dearer where no stick bounces back, as the second
  of two strokes in a run of both hands
- lead: the natural hand not kept
- reach: a surface on the other hand's side; a cymbal more than a drum, so that running strokes alternate round the
  drums, while a cymbal keeps its hand unless that becomes too fast
- absent, stays: a hand that does not play, or leaves the one surface it keeps to
- grace: flams and drags take the other hand, which has to be free, get there and get on
- bounce, room: diddles, buzzes and drags need a rebound, and time for it

What cannot be played counts so much that any other way is taken. All is said for a right-handed player.
"""

from typing import NamedTuple

from kitgen.kit import HATS, SURFACES
from kitgen.kit.places import BOUNCING, PLACES, crossed, side_of, steps
from kitgen.pattern.hit import Ornament
from kitgen.pattern.sticking_events import Event, Touch
from kitgen.pattern.sticking_limits import NEAR_US, HandLimits, Limits

CANNOT = 1000
_ACROSS = {label: 9 if row.rings == "long" else 1 for label, row in SURFACES.items()} | dict.fromkeys(HATS, 5)
"""What it costs to reach a surface across the kit, by its label: a cymbal more than a drum."""
_AGAINST_LEAD = (3, 4)
"""Right where left is natural, and left where right is."""
_CROSSED, _PAST = 5, 1
_PAST_CM = 20
_FAST = 4
_DOUBLE, _UNSPRUNG, _TRIPLE = 3, 7, 6
"""A double, one in a run of both hands where nothing bounces, and what a third stroke adds."""
_DRAGS = BOUNCING | {"rim-shot"}
"""Surfaces whose strokes can have a drag; that of a rim shot is played on the head."""

Reasons = list[tuple[str, int]]
"""What is counted, and how much."""


class Contact(NamedTuple):
    """What a hand did when it last touched a surface: a stroke, or the graces to a stroke of the other hand."""

    surface: str
    ornament: Ornament | None
    grace: bool = False


class Past(NamedTuple):
    """What a hand has done, as seen from an instant: microseconds since, 0 where it is too long ago to matter.

    Args:
        last: what it did last; None where that is too long ago.
        gap: since then.
        before: since it touched something before that.
        third: since the time before that, where four in a row may be too fast though three are not.
        row: its strokes in a row at the last instants, at speed, 2 at most; graces are none.
    """

    last: Contact | None = None
    gap: int = 0
    before: int = 0
    third: int = 0
    row: int = 0


Pasts = tuple[Past, Past]
"""What the first and the other hand have done."""


class Costs:
    """What the ways of an event cost.

    Args:
        limits: what the hands can do.
        home: the surface each hand keeps to; None where it travels.
    """

    def __init__(self, limits: Limits, home: tuple[str | None, str | None] = (None, None)) -> None:
        self.limits, self.each, self.home = limits, limits.each, home
        self.eighth = limits.quarter_us // 2

    def of(self, event: Event, way: int, pasts: Pasts) -> tuple[Reasons, Reasons]:
        """What a way of an event costs each hand, and why."""
        both = event.ways[way]
        found: tuple[Reasons, Reasons] = ([], [])
        for side, touch in enumerate(both):
            if touch is None:
                continue
            other, reasons = both[1 - side], found[side]
            reasons += self._alone(side, touch)
            if other is None and event.natural != side:
                reasons.append(("lead", _AGAINST_LEAD[side]))
            if touch.ornament is not None:
                reasons += self._dressed(side, touch, touch.ornament)
            past = pasts[1 - side]
            reasons += self._after(side, touch, pasts[side])
            reasons += self._repeated(side, touch, pasts[side], past)
            if past.last is not None:
                reasons += self._beside(side, touch.surface, past.last.surface, past.gap)
            if touch.graced:
                reasons += self._grace(1 - side, touch, past, event) if other is None else [("grace", CANNOT)]
        first, second = both
        if first is not None and second is not None:
            found[0].extend(self._beside(0, first.surface, second.surface, 0))
        return found

    def _alone(self, side: int, touch: Touch) -> Reasons:
        """What a stroke costs wherever the hands come from."""
        found: Reasons = []
        if not self.each[side].plays:
            found.append(("absent", CANNOT))
        if self._leaves(side, touch):
            found.append(("stays", CANNOT))
        where = side_of(touch.surface)
        if touch.surface in HATS:
            where = -1 if self.limits.open_handed else 1
        if where and (where > 0) != (side == 0):
            found.append(("reach", _ACROSS[touch.surface]))
        return found

    def _leaves(self, side: int, touch: Touch) -> bool:
        """True for a hand that keeps to one surface, on another."""
        home = self.home[side]
        return home is not None and steps(home, touch.surface) > 0

    # ---- ornaments ---------------------------------------------------------------------------------------------------

    def _dressed(self, side: int, touch: Touch, ornament: Ornament) -> Reasons:
        """What an ornament costs wherever it stands."""
        found: Reasons = []
        if ornament is not Ornament.FLAM:
            doer = self.each[1 - side if ornament is Ornament.DRAG else side]
            unsprung = doer.rebound is None or touch.surface not in _DRAGS
            if doer.single or (ornament is Ornament.DRAG and unsprung):
                found.append(("bounce", CANNOT))
        if ornament.has_graces:
            if not self.each[1 - side].plays or self._leaves(1 - side, touch):
                found.append(("grace", CANNOT))
        elif self.eighth < _room(self.each[side], touch) - NEAR_US:
            found.append(("room", CANNOT))
        return found

    def _grace(self, side: int, touch: Touch, past: Past, event: Event) -> Reasons:
        """What the graces of a hand to a stroke of the other cost by what it did before."""
        if past.last is None:
            return []
        lead, shortest = event.leads(touch.ornament)
        own, apart = self.each[side], steps(past.last.surface, touch.surface)
        now = past._replace(
            gap=past.gap - lead,
            before=past.before and past.before - shortest,
            third=past.third and past.third - shortest,
        )
        need = max(own.two, own.travel[apart]) if apart else 0
        left = self._left(past.last, now.gap)
        rushed = _rushed(own, touch, now)
        if rushed or _fills(past.last, own) > now.gap + NEAR_US or left < need - NEAR_US:
            return [("grace", CANNOT * max(rushed, 1))]
        return [("grace", 1)] if 4 * left < 5 * need else []

    def _left(self, last: Contact, gap: int) -> int:
        """What is left of a gap for going elsewhere: a diddle is still there for half an eighth, or half the gap."""
        return gap - min(self.eighth, gap) // 2 if last.ornament is Ornament.DIDDLE else gap

    # ---- one hand ----------------------------------------------------------------------------------------------------

    def _after(self, side: int, touch: Touch, past: Past) -> Reasons:
        """What a stroke costs by what the same hand did before."""
        found: Reasons = []
        own, last, gap = self.each[side], past.last, past.gap
        if last is None:
            return found
        if _fills(last, own) > gap + NEAR_US or (
            touch.ornament is Ornament.DIDDLE and gap + self.eighth // 2 < 2 * own.few - NEAR_US
        ):
            found.append(("room", CANNOT))
        if rushed := _rushed(own, touch, past):
            found.append(("grace" if last.grace else "rate", CANNOT * rushed))
        elif gap < own.sustained - NEAR_US and not last.grace:
            found.append(("rate", _FAST))
        if apart := steps(last.surface, touch.surface):
            need, left = max(own.two, own.travel[apart]), self._left(last, gap)
            if left < need - NEAR_US:
                found.append(("grace" if last.grace else "travel", CANNOT))
            elif 4 * left < 5 * need and not last.grace:
                found.append(("travel", 1 if apart == 1 else 3))
        return found

    # ---- both hands --------------------------------------------------------------------------------------------------

    def _repeated(self, side: int, touch: Touch, past: Past, other: Past) -> Reasons:
        """What a second or third stroke of one hand in a row costs.

        More where nothing bounces and the hands had been taking turns, no slower than now.
        """
        quick, last, gap = self.each[side].quick, past.last, past.gap
        if last is None or not past.row or gap >= quick:
            return []
        unsprung = touch.surface not in BOUNCING and not steps(last.surface, touch.surface)
        in_turn = other.last is not None and gap - NEAR_US <= other.gap - gap < quick
        found = [("double", _UNSPRUNG if unsprung and in_turn else _DOUBLE)]
        return [*found, ("triple", _TRIPLE)] if past.row > 1 else found

    def _beside(self, side: int, surface: str, other: str, gap: int) -> Reasons:
        """What a stroke costs because of where the other hand was ``gap`` ago, or is at the same instant."""
        right, left = (surface, other) if side == 0 else (other, surface)
        if gap >= 2 * self.limits.near:
            return []
        if crossed(right, left):
            return [("crossing", CANNOT if gap < self.limits.near - NEAR_US else _CROSSED)]
        past = PLACES[left][0] - PLACES[right][0] >= _PAST_CM and right not in HATS
        return [("crossing", _PAST)] if past else []


def _room(own: HandLimits, touch: Touch) -> int:
    """The least an eighth may last for a diddle or buzz to fit in."""
    if touch.ornament is Ornament.BUZZ:
        return own.few
    return 2 * (own.rebound if own.rebound is not None and touch.surface in BOUNCING else own.two)


def _fills(last: Contact, own: HandLimits) -> int:
    """How long a stroke with a diddle or a buzz takes before its hand may touch anything again."""
    if last.grace or last.ornament is None or last.ornament.has_graces:
        return 0
    return own.few if last.ornament is Ornament.BUZZ else 2 * own.few


def _rushed(own: HandLimits, touch: Touch, past: Past) -> int:
    """How badly a hand has no time to strike: 2 for a gap too short, 1 for three in a row or, failing these, four.

    The second of two strokes on one drum may be the bounce of the first, if there was a whole stroke before. Of lines
    that nobody can play, hands that take turns have no gap too short, so that turns cost least there too.
    """
    least, last = own.two, past.last
    if (
        last is not None
        and own.rebound is not None
        and last.surface in BOUNCING
        and touch.surface in BOUNCING
        and not steps(last.surface, touch.surface)
        and (not past.before or past.before - past.gap >= own.two - NEAR_US)
    ):
        least = own.rebound
    two, three = past.gap < least - NEAR_US, 0 < past.before < 2 * own.few - NEAR_US
    return 2 * two + three or int(0 < past.third < 3 * own.few - NEAR_US)
