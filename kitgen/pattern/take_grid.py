"""A whole performance onto a grid: its lean, its swing, and the division of every beat.

Conventions: times in quarters, lean and deviations in seconds, costs in nats as in :mod:`kitgen.pattern.quantise`. What
one beat costs is decided there; here a division is made as cheap as the performance makes it common, so that a take in
triplets stays in triplets. A swing is taken where lone strokes in the middle of a pair agree on one, where it explains
the whole clearly better, and where few beats are in threes; the places are then those of the even page.
"""

import math
from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from statistics import median

from kitgen.pattern.feel import EVEN, Feel
from kitgen.pattern.quantise import RARITIES, even_table, kind_of, misfit, nearest, rarity
from kitgen.time import Beat, Meters

_FIRST_SPREAD_S, _SPREADS_S = 0.018, (0.008, 0.025)
_GRACE_GAP_S, _GRACE_RISE = 0.080, 1.5
_SWUNG = {8: (0.53, 0.78), 16: (0.53, 0.70)}  # where the middle of a pair may sound: 1.15:1 to 3.5:1, to 2.3:1
_ODD_SIX = 2.0
_FEWEST_SWUNG = 8
_FEEL_COST = 10.0
_MOST_TERNARY = 0.25
_AS_USUAL, _AS_USUAL_SHARE = 6, 0.3

_Tables = Mapping[str, Mapping[int, tuple[float, ...]]]


@dataclass(frozen=True, slots=True)
class Onset:
    """Something heard: when (quarters), on what (onsets of one lane need places of their own), how loud (1 to 127)."""

    time_quarters: float
    lane: str
    velocity: int


@dataclass(frozen=True)
class Gridded:
    """Onsets with their places.

    Args:
        meters: the map of meters, long enough for every place.
        parts: how each beat is divided.
        feel: the swing with which the places were compared; places themselves are even.
        lean_s: how late (early if negative) the whole is, taken out before comparing.
        places: the place of each onset in quarters, in the order the onsets were given.
        off_s: how late each onset is at its place, lean taken out.
    """

    meters: Meters
    parts: tuple[int, ...]
    feel: Feel
    lean_s: float
    places: tuple[Fraction, ...]
    off_s: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class _BeatOnsets:
    """The onsets inside one beat: shares in order, and pairs of one lane as (first, second, what sharing costs)."""

    number: int
    kind: str
    length_s: float
    shares: tuple[float, ...]
    pairs: tuple[tuple[int, int, float], ...]


def quantised(
    onsets: Sequence[Onset], meters_until: Callable[[float], Meters], seconds_at: Callable[[float], float]
) -> Gridded:
    """Every onset of a performance on its likeliest place; none is dropped.

    Args:
        onsets: what was heard, in order of time.
        meters_until: whole bars reaching past a place in quarters.
        seconds_at: seconds from the start to a place in quarters.
    """
    last = onsets[-1].time_quarters if onsets else 0.0
    meters = meters_until(last + 2)  # room for one that belongs to the next bar
    clock = [(float(beat.start), seconds_at(float(beat.start))) for beat in meters.beats]
    clock.append((float(meters.span), seconds_at(float(meters.span))))
    lean_s = _first_lean([onset.time_quarters for onset in onsets], clock)
    spread_s = _FIRST_SPREAD_S
    kinds = [kind_of(beat) for beat in meters.beats]
    feel, parts = EVEN, (1,) * len(meters.beats)
    places: tuple[Fraction, ...] = ()
    off_s: tuple[float, ...] = ()
    for _ in range(2):
        beats = _beats_of(onsets, clock, lean_s, kinds)
        feel, parts = _best_feel(beats, meters, spread_s)
        places, off_s = _placed(onsets, clock, lean_s, meters, parts, feel)
        if not off_s:
            break
        shift = median(off_s)
        lean_s += shift
        off_s = tuple(off - shift for off in off_s)
        low, high = _SPREADS_S
        spread_s = min(max(1.4826 * median(map(abs, off_s)), low), high)
    meters = meters_until(float(max(places, default=0)))
    return Gridded(meters, parts[: len(meters.beats)], feel, lean_s, places, off_s)


def _first_lean(times: Sequence[float], clock: Sequence[tuple[float, float]]) -> float:
    """The median lateness of the onsets that are near a beat."""
    starts = [start for start, _ in clock]
    near = []
    for time in times:
        index = nearest(starts, time)
        neighbour = index + 1 if index + 1 < len(clock) else index - 1
        beat_quarters = abs(starts[neighbour] - starts[index])
        beat_s = abs(clock[neighbour][1] - clock[index][1])
        late = (time - starts[index]) / beat_quarters
        if abs(late) < 0.15:
            near.append(late * beat_s)
    return median(near) if near else 0.0


def _share(time: float, clock: Sequence[tuple[float, float]], lean_s: float) -> tuple[int, float, float]:
    """Beat index, share of it, and the beat's length in seconds, of a time once the lean is taken out."""
    index = min(max(bisect_left(clock, (time, math.inf)) - 1, 0), len(clock) - 2)
    (start, start_s), (end, end_s) = clock[index], clock[index + 1]
    share = (time - start) / (end - start) - lean_s / (end_s - start_s)
    if share < 0 < index:
        index -= 1
        length_s = clock[index + 1][1] - clock[index][1]
        return index, 1 + share * (end_s - start_s) / length_s, length_s
    if share >= 1 and index < len(clock) - 2:
        return index + 1, (share - 1) * (end_s - start_s) / (clock[index + 2][1] - end_s), clock[index + 2][1] - end_s
    return index, max(share, 0.0), end_s - start_s


def _beats_of(
    onsets: Sequence[Onset], clock: Sequence[tuple[float, float]], lean_s: float, kinds: Sequence[str]
) -> list[_BeatOnsets]:
    inside: dict[int, list[tuple[float, Onset]]] = {}
    lengths: dict[int, float] = {}
    for onset in onsets:
        index, share, lengths[index] = _share(onset.time_quarters, clock, lean_s)
        inside.setdefault(index, []).append((share, onset))
    found = []
    for index, members in sorted(inside.items()):
        by_lane: dict[str, list[int]] = {}
        for position, (_, onset) in enumerate(members):
            by_lane.setdefault(onset.lane, []).append(position)
        pairs = tuple(
            (first, second, _sharing_cost(members[first], members[second], lengths[index]))
            for lane in by_lane.values()
            for first, second in pairwise(lane)
        )
        shares = tuple(share for share, _ in members)
        found.append(_BeatOnsets(index, kinds[index], lengths[index], shares, pairs))
    return found


def _sharing_cost(first: tuple[float, Onset], second: tuple[float, Onset], beat_s: float) -> float:
    """What it costs to put two strokes on one place: little where they sound like a grace note and its stroke."""
    gap_s = (second[0] - first[0]) * beat_s
    if gap_s > _GRACE_GAP_S:
        return 15.0
    return 2.0 if second[1].velocity >= _GRACE_RISE * first[1].velocity else 5.0


def _best_feel(beats: Sequence[_BeatOnsets], meters: Meters, spread_s: float) -> tuple[Feel, tuple[int, ...]]:
    """The feel, and with it the division of every beat, that explains the whole best."""
    count = len(meters.beats)
    best, divided, cost = EVEN, *_divided(beats, count, _tables(EVEN), spread_s)
    if any(length != 1 for meter, _ in meters.runs for length in meter.beats):
        return best, divided
    for feel in _swings(beats):
        parts, swung_cost = _divided(beats, count, _tables(feel), spread_s)
        ternary = sum(parts[beat.number] in (3, 6) for beat in beats)
        moved = sum(parts[beat.number] in ((2, 4, 8) if feel.unit == 8 else (4, 8)) for beat in beats)
        if swung_cost + _FEEL_COST < cost and ternary <= _MOST_TERNARY * (ternary + moved):
            best, divided, cost = feel, parts, swung_cost + _FEEL_COST
    return best, divided


def _swings(beats: Sequence[_BeatOnsets]) -> list[Feel]:
    """The swing of eighths and of sixteenths that lone strokes in the middle of a pair speak for."""
    found = []
    for unit, (low, high) in _SWUNG.items():
        pairs = unit // 8
        middles = []
        for beat in beats:
            for pair in range(pairs):
                inside = [share * pairs - pair for share in beat.shares]
                inside = [place for place in inside if 0.15 < place < 0.9]
                if inside and max(inside) - min(inside) < 0.1:
                    middles += [place for place in inside if 0.4 < place < 0.8]
        if len(middles) >= _FEWEST_SWUNG and low <= (middle := median(middles)) <= high:
            found.append(Feel(unit, Fraction(round(20 * middle / (1 - middle)), 20)))
    return found


def _tables(feel: Feel) -> _Tables:
    """Where the places of each division sound under a feel, by the kind of beat; threes stay where they are."""
    even = {kind: {parts: even_table(parts) for parts in usual} for kind, usual in RARITIES.items()}
    if feel.ratio is None or not feel.unit:
        return even
    middle = float(feel.ratio / (1 + feel.ratio))
    pairs = feel.unit // 8

    def swung(share: float) -> float:
        pair, inside = divmod(share * pairs, 1)
        return (pair + (inside * 2 * middle if inside < 0.5 else middle + (inside - 0.5) * 2 * (1 - middle))) / pairs

    simple = even["simple"]
    return even | {
        "simple": {
            parts: table if parts % 3 == 0 else tuple(swung(share) for share in table)
            for parts, table in simple.items()
        }
    }


def _divided(
    beats: Sequence[_BeatOnsets], count: int, tables: _Tables, spread_s: float
) -> tuple[tuple[int, ...], float]:
    """The division of every beat, with rarities as this very performance comes to have them; and the cost of it all."""
    costs = [{parts: _cost(beat, table, spread_s) for parts, table in tables[beat.kind].items()} for beat in beats]
    prior = {kind: {parts: rarity(parts, kind) for parts in usual} for kind, usual in RARITIES.items()}
    for _ in range(2):
        prior = _adapted(beats, _cheapest(beats, costs, prior))
    chosen = _cheapest(beats, costs, prior)
    divided, total = [1] * count, 0.0
    for beat, own, parts in zip(beats, costs, chosen, strict=True):
        divided[beat.number] = parts
        total += own[parts] + prior[beat.kind][parts]
    return tuple(divided), total


def _cheapest(
    beats: Sequence[_BeatOnsets], costs: Sequence[Mapping[int, float]], prior: Mapping[str, Mapping[int, float]]
) -> list[int]:
    return [
        min(own, key=lambda parts: own[parts] + usual[parts])
        for own, usual in ((own, prior[beat.kind]) for beat, own in zip(beats, costs, strict=True))
    ]


def _adapted(beats: Sequence[_BeatOnsets], chosen: Sequence[int]) -> dict[str, dict[int, float]]:
    """Rarities from how often each division was chosen, pulled towards the usual ones."""
    seen = Counter((beat.kind, parts) for beat, parts in zip(beats, chosen, strict=True))
    weight = _AS_USUAL + _AS_USUAL_SHARE * len(chosen)
    found = {}
    for kind in RARITIES:
        usual = {parts: math.exp(-rarity(parts, kind)) for parts in RARITIES[kind]}
        scale, total = weight / sum(usual.values()), weight + sum(seen[kind, parts] for parts in usual)
        found[kind] = {parts: -math.log((seen[kind, parts] + scale * usual[parts]) / total) for parts in usual}
    return found


def _cost(beat: _BeatOnsets, table: Sequence[float], spread_s: float) -> float:
    cost = misfit(beat.shares, table, beat_s=beat.length_s, spread_s=spread_s)
    if beat.kind == "simple" and len(table) == 7 and _is_odd_six({nearest(table, share) for share in beat.shares}):
        cost += _ODD_SIX
    for first, second, sharing in beat.pairs:
        if nearest(table, beat.shares[first]) == nearest(table, beat.shares[second]):
            cost += sharing
    return cost


def _is_odd_six(steps: set[int]) -> bool:
    """True for the middle of the beat and a third of it with no sixth between: seldom meant, often a late sixteenth."""
    return 3 in steps and not steps.isdisjoint((2, 4)) and steps.isdisjoint((1, 5))


def _placed(
    onsets: Sequence[Onset],
    clock: Sequence[tuple[float, float]],
    lean_s: float,
    meters: Meters,
    parts: Sequence[int],
    feel: Feel,
) -> tuple[tuple[Fraction, ...], tuple[float, ...]]:
    tables, beats = _tables(feel), meters.beats
    kinds = [kind_of(beat) for beat in beats]
    places, off_s = [], []
    for onset in onsets:
        index, share, length_s = _share(onset.time_quarters, clock, lean_s)
        table = tables[kinds[index]][parts[index]]
        step = nearest(table, share)
        places.append(_place(beats[index], step, parts[index]))
        off_s.append((share - table[step]) * length_s)
    return tuple(places), tuple(off_s)


def _place(beat: Beat, step: int, parts: int) -> Fraction:
    return beat.start + beat.length * Fraction(step, parts)
