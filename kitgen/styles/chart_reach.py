"""What a limb has no time for: strokes of the time too near a kick or set-up of the same limb are left out."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from operator import attrgetter

from kitgen.kit import Limb, Player
from kitgen.pattern import Hit, Pattern
from kitgen.pattern.quality import faults

_TOGETHER = frozenset(("snare", "cross-stick", "rim-shot", "high-tom", "mid-tom"))
"""Surfaces that are each other's neighbours."""


def reached(
    hits: Iterable[Hit],
    meant: Collection[tuple[Fraction, Limb]],
    seconds: Callable[[Iterable[Fraction]], dict[Fraction, float]],
    player: Player,
    edges: Collection[Fraction] = (),
) -> Iterator[Hit]:
    """Hits in order, without those of the time that their limb cannot reach beside what is meant; lengths cut to fit.

    Args:
        hits: every stroke.
        meant: kicks, set-ups and caught notes, by place and limb; none of them is left out.
        seconds: when strokes sound.
        player: who plays.
        edges: where other time begins; a hand on its way to it leaves out the stroke before, as players do.
    """
    every = sorted(hits, key=lambda hit: (hit.onset, hit.limb))
    when = seconds({hit.onset for hit in every})
    by_limb = defaultdict[Limb, list[Hit]](list)
    for hit in every:
        by_limb[hit.limb].append(hit)
    kept: list[Hit] = []
    for limb, own in by_limb.items():
        stays: list[Hit] = []
        for hit in own:
            if stays and _too_near(stays[-1], hit, when, player):
                first, second = ((one.onset, limb) in meant for one in (stays[-1], hit))
                if first and not second:
                    continue
                if not first and (second or any(stays[-1].onset < edge <= hit.onset for edge in edges)):
                    stays.pop()
            stays.append(hit)
        kept += [_cut(hit, following) for hit, following in pairwise([*stays, None]) if hit is not None]
    yield from sorted(kept, key=lambda hit: (hit.onset, hit.limb))


def _too_near(first: Hit, second: Hit, when: dict[Fraction, float], player: Player) -> bool:
    gap = 1000 * (when[second.onset] - when[first.onset])
    if first.surface == second.surface:
        return gap < player.rates(first.limb).two
    near = first.surface in _TOGETHER and second.surface in _TOGETHER
    return gap < player.travel(first.limb, across=not near)


def _cut(hit: Hit, following: Hit | None) -> Hit:
    if hit.length is None or following is None or hit.onset + hit.length <= following.onset:
        return hit
    return replace(hit, length=following.onset - hit.onset)


def hats_closed(pattern: Pattern) -> tuple[Hit, ...]:
    """Hits in which open hats that nothing closes in time are closed ones."""
    found = {fault.onset for fault in faults(pattern, ("hat-closed",))}
    return tuple(
        replace(hit, surface="closed-hat") if hit.surface == "open-hat" and hit.onset in found else hit
        for hit in pattern.hits
    )


def feet_relieved(
    hits: Iterable[Hit],
    kicks: Collection[Fraction],
    seconds: Callable[[Iterable[Fraction]], dict[Fraction, float]],
    player: Player,
) -> list[Hit]:
    """Hits in which the snare takes a kick of the bass that would come too soon after another, where a hand is free.

    Args:
        hits: every stroke, right-handed.
        kicks: where the full ensemble is kicked.
        seconds: when strokes sound.
        player: who plays.
    """
    every = {(hit.onset, hit.limb): hit for hit in hits}
    feet = sorted((hit for hit in every.values() if hit.surface == "bass"), key=attrgetter("onset"))
    when = seconds({hit.onset for hit in feet})
    before: Hit | None = None
    for hit in feet:
        soon = before is not None and 1000 * (when[hit.onset] - when[before.onset]) < player.rates(hit.limb).two
        free = hit.onset in kicks and (hit.onset, Limb.LH) not in every
        if soon and free:
            del every[hit.onset, hit.limb]
            every[hit.onset, Limb.LH] = Hit(hit.onset, Limb.LH, "snare", hit.level)
        else:
            before = hit
    return list(every.values())


def lightly(
    time: Iterable[Hit],
    caught: Iterable[Hit],
    seconds: Callable[[Iterable[Fraction]], dict[Fraction, float]],
    player: Player,
) -> list[Hit]:
    """Time with one section's notes caught, but those that a limb has no time for: they are not needed.

    Args:
        time: the strokes before they were caught.
        caught: the strokes with them.
        seconds: when strokes sound.
        player: who plays.
    """
    known, every = set(time), sorted(caught, key=attrgetter("onset"))
    when = seconds({hit.onset for hit in every})
    kept: list[Hit] = []
    last: dict[Limb, Hit] = {}
    for hit in every:
        before = last.get(hit.limb)
        if before is not None and hit not in known and _too_near(before, hit, when, player):
            continue
        if before is not None and before not in known and _too_near(before, hit, when, player):
            kept.remove(before)
        kept.append(hit)
        last[hit.limb] = hit
    return kept
