"""A whole performance onto a grid: its lean, its swing, and the division of every beat.

Conventions: times in quarters, lean and deviations in seconds, costs in nats as in :mod:`kitgen.pattern.quantise`.
Beats are divided as the performance makes divisions common (:mod:`kitgen.pattern.take_division`), so that a take in
triplets stays in triplets. A swing is taken where the strokes speak for one (:mod:`kitgen.pattern.take_swing`), where
it explains the whole clearly better, and where few beats are in threes; the places are then those of the even page.
"""

import math
from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from statistics import median

from kitgen.pattern.feel import EVEN, Feel
from kitgen.pattern.quantise import kind_of, nearest
from kitgen.pattern.take_division import BeatOnsets, divided, tables_of
from kitgen.pattern.take_swing import swings_of
from kitgen.time import Beat, Meters

_FIRST_SPREAD_S, _SPREADS_S = 0.018, (0.008, 0.025)
_GRACE_GAP_S, _GRACE_RISE = 0.080, 1.5
_FEEL_COST, _LITTLE_WORSE = 10.0, 1.1
_CYMBALS = frozenset(("ride", "ride-bell", "closed-hat", "open-hat"))
_MOST_TERNARY = 0.25


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
        cymbal = _beats_of(_time_keeping(onsets), clock, lean_s, kinds)
        feel, parts = _best_feel(beats, cymbal, meters, spread_s)
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
) -> list[BeatOnsets]:
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
        found.append(BeatOnsets(index, kinds[index], lengths[index], shares, pairs))
    return found


def _sharing_cost(first: tuple[float, Onset], second: tuple[float, Onset], beat_s: float) -> float:
    """What it costs to put two strokes on one place: little where they sound like a grace note and its stroke."""
    gap_s = (second[0] - first[0]) * beat_s
    if gap_s > _GRACE_GAP_S:
        return 15.0
    return 2.0 if second[1].velocity >= _GRACE_RISE * first[1].velocity else 5.0


def _best_feel(
    beats: Sequence[BeatOnsets], cymbal: Sequence[BeatOnsets], meters: Meters, spread_s: float
) -> tuple[Feel, tuple[int, ...]]:
    """The feel, and with it the division of every beat, that explains the whole best, or the cymbal that keeps time.

    A swing of eighths that makes the cymbal clearly plainer is taken although the whole is a little worse for it: the
    cymbal tells how the time is felt, and over it other voices may play straight.
    """
    count = len(meters.beats)
    best, chosen, even_cost = EVEN, *divided(beats, count, tables_of(EVEN), spread_s)
    cost = even_cost
    if any(length != 1 for meter, _ in meters.runs for length in meter.beats):
        return best, chosen
    for feel in swings_of([beat.shares for beat in beats]):
        parts, swung_cost = divided(beats, count, tables_of(feel), spread_s)
        if feel.unit == 8 and swung_cost <= _LITTLE_WORSE * even_cost:
            swung_cost = min(swung_cost, cost + _saved(feel, cymbal, count, spread_s))
        ternary = sum(parts[beat.number] in (3, 6) for beat in beats)
        moved = sum(parts[beat.number] in ((2, 4, 8) if feel.unit == 8 else (4, 8)) for beat in beats)
        if swung_cost + _FEEL_COST < cost and ternary <= _MOST_TERNARY * (ternary + moved):
            best, chosen, cost = feel, parts, swung_cost + _FEEL_COST
    return best, chosen


def _saved(feel: Feel, cymbal: Sequence[BeatOnsets], count: int, spread_s: float) -> float:
    """What the cymbal that keeps time costs more under a feel than even; less than 0 where it is plainer so."""
    return divided(cymbal, count, tables_of(feel), spread_s)[1] - divided(cymbal, count, tables_of(EVEN), spread_s)[1]


def _time_keeping(onsets: Sequence[Onset]) -> list[Onset]:
    """The strokes of the cymbal that is struck most."""
    struck = Counter(onset.lane for onset in onsets if onset.lane in _CYMBALS)
    return [onset for onset in onsets if struck and onset.lane == struck.most_common(1)[0][0]]


def _placed(
    onsets: Sequence[Onset],
    clock: Sequence[tuple[float, float]],
    lean_s: float,
    meters: Meters,
    parts: Sequence[int],
    feel: Feel,
) -> tuple[tuple[Fraction, ...], tuple[float, ...]]:
    tables, beats = tables_of(feel), meters.beats
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
