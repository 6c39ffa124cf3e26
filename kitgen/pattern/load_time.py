"""The parts of the coordination load that come from time itself: speed, meter, and m against n."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations, product
from math import lcm
from typing import NamedTuple

from kitgen.kit import Limb, player
from kitgen.pattern.load_asked import NOTHING, Asked, Measured
from kitgen.pattern.load_parts import turning
from kitgen.pattern.load_view import Stroke


class _Run(NamedTuple):
    """Strokes of one limb at one gap."""

    start: int
    end: int
    gap: int


def speed(asked: Asked) -> Measured:
    """For each limb the square of its working gap over its shortest mean of two gaps; 0 where no pace is given.

    The working gap is what a school player can sustain.
    """
    if asked.pace is None or not asked.view.strokes:
        return NOTHING
    usual = player("school")
    ms = 60_000 / asked.pace / asked.view.grid.ticks
    costs = dict[Limb, tuple[float, float]]()
    for limb, own in asked.view.by_limb.items():
        shortest = min((one + other) / 2 for one, other in turning(_gaps(own, asked.view.grid.span))) * ms
        working = (usual.hand if limb.is_hand else usual.foot).sustained
        costs[limb] = ((working / shortest) ** 2, shortest)
    worst = max(costs, key=lambda limb: costs[limb][0])
    return Measured(sum(cost for cost, _ in costs.values()), f"{worst.words}, a stroke every {costs[worst][1]:.0f} ms")


def meter(asked: Asked) -> Measured:
    """Lengths of beat, sizes of group and meters, beyond the first of each: 0 for 4/4, 1 for 5/4 and 7/8."""
    kinds = list(dict.fromkeys(meter for meter, _ in asked.pattern.meters.runs))
    beats = {beat for kind in kinds for beat in kind.beats}
    groups = sum(len(set(kind.beat_groups)) - 1 for kind in kinds)
    value = groups + max(len(beats) - 1, 0) + max(len(kinds) - 1, 0)
    return Measured(value, ", ".join(map(str, kinds))) if value else NOTHING


def cross(asked: Asked) -> Measured:
    """Pairs of limbs that strike evenly m against n, for a whole turn of both at least: the smaller number, once each.

    The smaller number is also how many different gaps the two make between them.
    """
    span = asked.view.grid.span
    runs = {limb: list(_even_runs(own, span)) for limb, own in asked.view.by_limb.items()}
    found = dict[tuple[Limb, Limb, Fraction], int]()
    for one, other in combinations(runs, 2):
        for ratio, tick in _crossings(runs[one], runs[other], span):
            found.setdefault((one, other, ratio), tick)
    if not found:
        return NOTHING
    one, other, ratio = max(found, key=lambda key: _smaller(key[2]))
    where = asked.where(found[one, other, ratio])
    words = f"{one.words} {ratio.numerator} against {other.words} {ratio.denominator}, {where}"
    return Measured(sum(_smaller(ratio) for _, _, ratio in found), words)


def _smaller(ratio: Fraction) -> int:
    return min(ratio.numerator, ratio.denominator)


def _crossings(one: list[_Run], other: list[_Run], span: int) -> Iterator[tuple[Fraction, int]]:
    """Strokes of the one to strokes of the other, and where, wherever two even runs cross for a whole turn of both."""
    for gap, gap_2 in product({run.gap for run in one}, {run.gap for run in other}):
        both = lcm(gap, gap_2)
        if both in (gap, gap_2):
            continue
        long, long_2 = (
            [run for run in runs if run.gap == own and run.end - run.start >= both]
            for runs, own in ((one, gap), (other, gap_2))
        )
        for run, run_2 in product(long, long_2):
            for turn in (-span, 0, span):
                first = max(run.start, run_2.start + turn)
                if min(run.end, run_2.end + turn) - first >= both:
                    yield Fraction(gap_2, gap), first % span


def _even_runs(own: tuple[Stroke, ...], span: int) -> Iterator[_Run]:
    """Runs of one gap, two gaps or more; what is even all the way round runs without end."""
    gaps = _gaps(own, span)
    if len(set(gaps)) == 1:
        yield _Run(-span, span * span, gaps[0])
        return
    turned = next(index for index in range(len(gaps)) if gaps[index] != gaps[index - 1])
    first = 0
    ordered = gaps[turned:] + gaps[:turned]
    tick = own[turned].tick
    for index, gap in enumerate(ordered):
        if index + 1 == len(ordered) or ordered[index + 1] != gap:
            count = index + 1 - first
            if count > 1:
                yield _Run(tick, tick + count * gap, gap)
            first, tick = index + 1, tick + count * gap


def _gaps(own: tuple[Stroke, ...], span: int) -> list[int]:
    """Ticks from each stroke to the next, the last to the first of the next time round."""
    return [(following.tick - stroke.tick - 1) % span + 1 for stroke, following in turning(own)]
