"""What of a line the bass takes: as much as the foot can play and a groove can bear, the strongest places first.

The order: what the line accents, then beats 1 and 3 (the first of each group), the other beats, the "&", the places
after it that lead to the next beat, the places before it; what leads into a backbeat last among its like. Bars that
are alike are thinned alike.
"""

from bisect import bisect_left, insort
from collections.abc import Collection, Iterable, Sequence
from fractions import Fraction
from typing import NamedTuple

from kitgen.apply.setting import Setting
from kitgen.errors import RefusedError
from kitgen.kit import Rates
from kitgen.pattern import EVEN, Feel, Hit, Level, Pattern
from kitgen.pattern.quality import between, has_air, most_strokes, shortest_beat, two_bars
from kitgen.pattern.swing import played_onsets
from kitgen.time import Bar, Meters, beats_of

_MINUTE_MS = 60_000
_ROUNDING = 1e-9
_SAME_BAR = 1e-6
_SIMPLE, _THREES = {Fraction(1, 2): 2}, {Fraction(2, 3): 2, Fraction(1, 3): 3}
_WEIGHTS = (8, 4, 2, 1, 1)
_ACCENTED = 16

_Rank = tuple[bool, bool, int, bool]
_Bar = tuple[object, ...]


class Thinned(NamedTuple):
    """What the bass keeps.

    Args:
        hits: the strokes kept, in time order.
        too_fast: how many were left out because the foot could not play them.
        for_air: how many were left out so that the groove has air.
    """

    hits: list[Hit]
    too_fast: int
    for_air: int

    def notes(self, setting: Setting, share: str = "half") -> tuple[str, ...]:
        """What the page says of it, a sentence each."""
        said = []
        if self.too_fast:
            said.append(
                f"{_count(self.too_fast)} of the line left out: too fast for the bass foot of the "
                f"{setting.player.name} player at {setting.pace:g} quarters a minute; accents and beats stay first"
            )
        if self.for_air:
            said.append(
                f"{_count(self.for_air)} of the line left out so that the bass leaves air: {share} of a bar's places "
                "at most, and a beat that goes by in two bars"
            )
        return tuple(said)


def _count(number: int) -> str:
    return f"{number} note{'s' if number > 1 else ''}"


def thinned(
    wanted: Sequence[Hit],
    meters: Meters,
    setting: Setting,
    *,
    beside: Sequence[Hit] = (),
    back: Collection[Fraction] = (),
    feel: Feel = EVEN,
    share: Fraction | None = None,
) -> Thinned:
    """Strokes of the bass foot, thinned to what the player's foot can do at the pace, and then to leave air.

    Args:
        wanted: the strokes of the bass; feathered ones give way first and are not counted.
        meters: the map they stand under.
        setting: says who plays and how fast.
        beside: what the other limbs play, which decides how a swung pair is played.
        back: the backbeats.
        feel: how it is played.
        share: the most of a bar's places the bass may take; None leaves air out of it.

    Raises:
        RefusedError: nothing could be kept.
    """
    if not wanted:
        return Thinned([], 0, 0)
    ranks = {hit.onset: _rank(hit, meters, back) for hit in wanted}
    kinds = _kinds(wanted, meters)
    kept = _within_reach(wanted, ranks, kinds, meters, setting, beside, feel)
    if not kept:
        raise RefusedError(
            f"nothing of this line is slow enough for the bass foot of the {setting.player.name} player at "
            f"{setting.pace:g} quarters a minute; choose a slower --tempo, or use --as hands"
        )
    airy = kept if share is None else _with_air(kept, ranks, kinds, meters, share)
    told = [sum(hit.level is not Level.FEATHER for hit in hits) for hits in (wanted, kept, airy)]
    return Thinned(airy, told[0] - told[1], told[1] - told[2])


def _rank(hit: Hit, meters: Meters, back: Collection[Fraction]) -> _Rank:
    """How easily a stroke is missed, the least first."""
    beat = meters.beat_at(hit.onset)
    place = (hit.onset - beat.start) / beat.full
    leads = False
    if not place:
        after = dict(beats_of(meters.bars[beat.bar - 1]))
        base = 1 if after[beat.start] else 0
    else:
        threes = beat.meter.denominator >= 8 and beat.full == 3 * beat.meter.unit
        base = (_THREES if threes else _SIMPLE).get(place, 3 if place > Fraction(1, 2) else 4)
        leads = base >= 3 and beat.end in back
    return hit.level is Level.FEATHER, hit.level is not Level.ACCENT, base, leads


def _kinds(wanted: Sequence[Hit], meters: Meters) -> dict[Fraction, tuple[_Bar, Fraction]]:
    """For each stroke what its bar is like, and its place in the bar; bars that are alike are one kind."""
    places: dict[int, list[Hit]] = {}
    for hit in wanted:
        places.setdefault(meters.beat_at(hit.onset).bar, []).append(hit)
    kinds = {}
    for number, hits in places.items():
        bar = meters.bars[number - 1]
        like = (bar.meter, bar.length, *((hit.onset - bar.start, hit.level) for hit in hits))
        kinds.update({hit.onset: (like, hit.onset - bar.start) for hit in hits})
    return kinds


# ---- what the foot can do --------------------------------------------------------------------------------------------


class _Foot:
    """The strokes a foot has taken on so far, in milliseconds round the loop."""

    def __init__(self, rates: Rates, span: float, longest_bar: float) -> None:
        self.rates, self.span, self.longest = rates, span, longest_bar
        self.strokes: list[tuple[float, float]] = []

    def takes(self, added: Iterable[tuple[float, float]]) -> bool:
        """Strokes as (when, length of their bar) taken on, if the foot can play them with the rest."""
        before, added = list(self.strokes), list(added)
        for stroke in added:
            insort(self.strokes, stroke)
        if all(self._playable_around(stroke) for stroke in added):
            return True
        self.strokes = before
        return False

    def _at(self, index: int) -> float:
        turn, place = divmod(index, len(self.strokes))
        return self.strokes[place][0] + turn * self.span

    def _playable_around(self, stroke: tuple[float, float]) -> bool:
        """Every run of strokes that could hold this one, or end with it, is slow enough."""
        size = len(self.strokes)
        here = bisect_left(self.strokes, stroke)
        index, before = here, self._at(here - 1)
        while index > here - size and before - self._at(index) <= self.longest * (1 + _SAME_BAR):
            if not self._slow_enough(index):
                return False
            index -= 1
        return True

    def _slow_enough(self, first: int) -> bool:
        now = self._at(first)
        two, few, sustained = (
            limit * (1 - _ROUNDING) for limit in (self.rates.two, self.rates.few, self.rates.sustained)
        )
        if self._at(first + 1) - now < two:
            return False
        if self._at(first + 2) - now < 2 * few or self._at(first + 3) - now < 3 * few:
            return False
        bar, last = self.strokes[first % len(self.strokes)][1] * (1 - _SAME_BAR), first + 1
        while self._at(last) - now < bar:
            last += 1
        return self._at(last) - now >= sustained * (last - first)


def _within_reach(
    wanted: Sequence[Hit],
    ranks: dict[Fraction, _Rank],
    kinds: dict[Fraction, tuple[_Bar, Fraction]],
    meters: Meters,
    setting: Setting,
    beside: Sequence[Hit],
    feel: Feel,
) -> list[Hit]:
    """The strokes a foot can play, taken on from the strongest; again where leaving some out changes the swing."""
    quarter = _MINUTE_MS / setting.pace
    rates = setting.player.rates(wanted[0].limb)
    longest = float(max(bar.length for bar in meters.bars)) * quarter
    kept = sorted(wanted, key=lambda hit: hit.onset)
    while kept:
        when = _played(kept, meters, beside, feel, setting.pace)
        groups: dict[tuple[_Bar, Fraction], list[Hit]] = {}
        for hit in kept:
            groups.setdefault(kinds[hit.onset], []).append(hit)
        order = sorted(groups.values(), key=lambda group: (ranks[group[0].onset], kinds[group[0].onset][1]))
        foot = _Foot(rates, float(meters.span) * quarter, longest)
        taken = {
            hit.onset
            for group in order
            if foot.takes(
                (when[hit.onset] * quarter, float(meters.bars[meters.beat_at(hit.onset).bar - 1].length) * quarter)
                for hit in group
            )
            for hit in group
        }
        fewer = [hit for hit in kept if hit.onset in taken]
        if len(fewer) == len(kept) or not feel.unit:
            return fewer
        kept = fewer
    return kept


def _played(
    hits: Sequence[Hit], meters: Meters, beside: Sequence[Hit], feel: Feel, pace: float
) -> dict[Fraction, float]:
    if not feel.unit:
        return {hit.onset: float(hit.onset) for hit in hits}
    moves, _ = played_onsets(Pattern((*hits, *beside), meters, feel), tempo_bpm=pace)
    return {hit.onset: float(moves[hit.onset]) for hit in hits}


# ---- what a groove can bear ------------------------------------------------------------------------------------------


def _with_air(
    hits: Sequence[Hit],
    ranks: dict[Fraction, _Rank],
    kinds: dict[Fraction, tuple[_Bar, Fraction]],
    meters: Meters,
    share: Fraction,
) -> list[Hit]:
    """Strokes such that no bar holds more than its share, and in any two bars a beat goes by."""
    struck = [hit.onset for hit in hits]
    lost = {
        at
        for bar in meters.bars
        for at in sorted(between(struck, bar.start, bar.end), key=lambda at: (ranks[at], at))[
            most_strokes(bar, share) :
        ]
    }
    struck = [at for at in struck if at not in lost]
    for first, second in two_bars(meters.bars):
        if not has_air(struck, first, second, meters.span):
            hole = min(
                (found for bar in dict.fromkeys((first, second)) for found in _holes(bar, first, second, struck)),
                key=lambda at: sum(_weight(ranks[onset]) for onset in at),
            )
            alike = {kinds[at] for at in hole}
            struck = [at for at in struck if kinds[at] not in alike]
    kept = set(struck)
    return [hit for hit in hits if hit.onset in kept]


def _holes(bar: Bar, first: Bar, second: Bar, struck: Sequence[Fraction]) -> list[list[Fraction]]:
    """What would have to go for a beat to go by, for every place in a bar where it could begin."""
    beat = shortest_beat(first, second)
    inside = between(struck, bar.start, bar.end)
    begins = [at for at in dict.fromkeys((bar.start, *inside)) if at + beat <= bar.end]
    return [[at for at in inside if begin < at < begin + beat] for begin in begins]


def _weight(rank: _Rank) -> int:
    return _WEIGHTS[rank[2]] + (0 if rank[1] else _ACCENTED)
