"""Which hand plays which stroke: the sticking of least cost over a whole page, exactly.

What counts is in :mod:`kitgen.pattern.sticking_costs`, how the least is found in
:mod:`kitgen.pattern.sticking_search`. For a left-handed player everything is mirrored, so that the sticking is the
mirror image.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import product
from typing import NamedTuple

from kitgen.kit import PLAYERS, Player, surface
from kitgen.kit.places import PLACES
from kitgen.pattern.hit import Hit, Level, Ornament
from kitgen.pattern.sticking_costs import Costs
from kitgen.pattern.sticking_events import Touch, events_of
from kitgen.pattern.sticking_limits import Limits
from kitgen.pattern.sticking_search import Search
from kitgen.time import Meters


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
        PatternError: a stroke outside the meters, an instant with more strokes than hands, or a pace that is none.
        KitError: a surface that no hand strikes; UnknownNameError: no such surface or hand setting.

    >>> from kitgen.time import Meter
    >>> run = [Stroke(Fraction(n, 4), "snare") for n in range(4)]
    >>> [hit.limb.name for hit in stick(run, Meters.of(Meter(1, 4)), pace=90)]
    ['RH', 'LH', 'RH', 'LH']
    """
    if not strokes:
        return ()
    limits = Limits.of(pace, player, hand)
    labels = [stroke.surface for stroke in strokes]
    for label in dict.fromkeys(labels):
        surface(label).check_limb(limits.limbs[0])
    settled = [hit for hit in held if hit.limb.is_hand]
    free = [(stroke.onset, Touch(stroke.surface, stroke.ornament)) for stroke in strokes]
    onsets, events = events_of(free, settled, meters, limits)
    among = _by_place([*labels, *(hit.surface for hit in settled)])
    searches = (Search(events, Costs(limits, home)).least() for home in _homes(limits, among, among))
    _, ways = min(searches, key=lambda found: found[0])
    waiting: dict[tuple[Fraction, Touch], list[Stroke]] = {}
    for stroke in sorted(strokes, key=lambda stroke: stroke.level):
        waiting.setdefault((stroke.onset, Touch(stroke.surface, stroke.ornament)), []).append(stroke)
    taken = {(hit.onset, hit.limb) for hit in settled}
    hits = []
    for onset, event, way in zip(onsets, events, ways, strict=True):
        for limb, touch in zip(limits.limbs, event.ways[way], strict=True):
            if touch is not None and (not taken or (onset, limb) not in taken):
                stroke = waiting[onset, touch].pop()
                hits.append(Hit(onset, limb, stroke.surface, stroke.level, stroke.ornament))
    return tuple(hits)


def explained(
    hits: Iterable[Hit], meters: Meters, *, pace: float, player: Player = PLAYERS["school"], hand: str = "right"
) -> tuple[Choice, ...]:
    """What each stroke of the hands costs as it is, in time order; arguments and errors as :func:`stick`."""
    own = [hit for hit in hits if hit.limb.is_hand]
    if not own:
        return ()
    limits = Limits.of(pace, player, hand)
    onsets, events = events_of((), own, meters, limits)
    struck = {(hit.onset, hit.limb): hit for hit in own}
    right, left = (
        _by_place([hit.surface for hit in own if hit.limb == limb or (hit.ornament and hit.ornament.has_graces)])
        for limb in limits.limbs
    )
    home = next(iter(_homes(limits, right[:1], left[:1])))
    choices = [
        Choice(struck[onset, limb], tuple(reasons))
        for onset, both in zip(onsets, Search(events, Costs(limits, home)).reasons(), strict=True)
        for limb, reasons in zip(limits.limbs, both, strict=True)
        if (onset, limb) in struck
    ]
    return tuple(sorted(choices, key=lambda choice: (choice.hit.onset, choice.hit.limb)))


def sticking_cost(
    hits: Iterable[Hit], meters: Meters, *, pace: float, player: Player = PLAYERS["school"], hand: str = "right"
) -> int:
    """What the hands of a pattern cost altogether; arguments and errors as :func:`stick`."""
    return sum(choice.total for choice in explained(hits, meters, pace=pace, player=player, hand=hand))


def _homes(limits: Limits, right: Sequence[str], left: Sequence[str]) -> Iterable[tuple[str | None, str | None]]:
    """Every pair of surfaces, out of some, that hands could keep to; None where a hand travels.

    A hand that stays has one home for the whole page, so that each is a search of its own, and the cheapest counts.
    """
    none: tuple[str | None, ...] = (None,)
    first, second = limits.each
    return product(right if first.stays and right else none, left if second.stays and left else none)


def _by_place(labels: Sequence[str]) -> list[str]:
    """One surface of each place among some, the most struck place first."""
    counts: dict[tuple[int, int], list[str]] = {}
    for label in labels:
        counts.setdefault(PLACES[label], []).append(label)
    return [own[0] for own in sorted(counts.values(), key=lambda own: (-len(own), list(PLACES).index(own[0])))]
