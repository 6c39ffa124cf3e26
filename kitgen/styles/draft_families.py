"""Families of bars that are alike, and what the bars of a family have in common.

A stroke is common to bars when more than half of them have it; its limb, level, ornament and length are the usual ones.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from statistics import median_low

from kitgen.kit import Limb
from kitgen.pattern import Hit, Level
from kitgen.styles.draft_bars import Played, ended, kind_of

_MOST_COMPARED = 240

Likenesses = Mapping[int, Mapping[int, float]]
"""How alike bars are, by the numbers of both."""


def sampled(bars: Sequence[Played]) -> Sequence[Played]:
    """As many bars as are compared at most, from the whole of a long take."""
    return bars[:: max(1, -(-len(bars) // _MOST_COMPARED))]


def compared(bars: Sequence[Played]) -> Likenesses:
    """How alike every bar is to every other, and to itself."""
    found: dict[int, dict[int, float]] = {bar.number: {bar.number: 1.0} for bar in bars}
    for one, other in combinations(bars, 2):
        found[one.number][other.number] = found[other.number][one.number] = one.likeness(other)
    return found


def families(
    bars: Sequence[Played], likenesses: Likenesses, *, most: int, least_alike: float
) -> Iterator[tuple[Played, ...]]:
    """Bars that are alike, the most common first; in each the most typical first, and what is like it.

    Args:
        bars: the bars.
        likenesses: how alike they are, from :func:`compared`.
        most: how many families to find.
        least_alike: how alike to the most typical one the others of a family are, at least.
    """
    left = list(bars)
    for _ in range(most):
        if not left:
            return
        standing = {}
        for bar in left:
            near = [share for other in left if (share := likenesses[bar.number][other.number]) >= least_alike]
            standing[bar.number] = (len(near), sum(near), -bar.number)
        typical = max(left, key=lambda bar: standing[bar.number])
        alike = [bar for bar in left if likenesses[typical.number][bar.number] >= least_alike]
        yield (typical, *(bar for bar in alike if bar is not typical))
        left = [bar for bar in left if likenesses[typical.number][bar.number] < least_alike]


def common(bars: Sequence[Played]) -> tuple[Hit, ...]:
    """What most of some bars have: each stroke by the limb, at the level and with the ornament it usually has there.

    Args:
        bars: alike bars; of fewer than three the first is taken as it is.
    """
    if len(bars) < 3:
        return bars[0].hits
    votes: dict[tuple[Fraction, str, int], list[Hit]] = defaultdict(list)
    for bar in bars:
        seen: Counter[tuple[Fraction, str]] = Counter()
        for hit in bar.hits:
            place = (hit.onset, kind_of(hit.surface))
            votes[(*place, seen[place])].append(hit)
            seen[place] += 1
    kept: dict[tuple[Fraction, Limb], Hit] = {}
    for _, hits in sorted(votes.items(), key=lambda item: (-len(item[1]), item[0])):
        if 2 * len(hits) <= len(bars):
            continue
        limb = Counter(hit.limb for hit in hits).most_common(1)[0][0]
        if (hits[0].onset, limb) in kept and limb.is_hand:
            limb = limb.mirrored
        if (hits[0].onset, limb) not in kept:
            kept[hits[0].onset, limb] = _usual(hits, limb)
    return tuple(_fitted(hit, kept) for hit in kept.values())


def _usual(hits: Sequence[Hit], limb: Limb) -> Hit:
    surface = Counter(hit.surface for hit in hits).most_common(1)[0][0]
    ornament = Counter(hit.ornament for hit in hits).most_common(1)[0][0]
    length = Counter(hit.length for hit in hits).most_common(1)[0][0]
    level = Level(median_low(hit.level for hit in hits))
    return Hit(hits[0].onset, limb, surface, level, ornament if limb.is_hand else None, length)


def _fitted(hit: Hit, kept: Mapping[tuple[Fraction, Limb], Hit]) -> Hit:
    """A stroke among the others: no flam whose other hand is busy, no sound into the limb's next stroke."""
    if hit.ornament is not None and hit.ornament.has_graces and (hit.onset, hit.limb.mirrored) in kept:
        hit = replace(hit, ornament=None)
    following = [onset for onset, limb in kept if limb is hit.limb and onset > hit.onset]
    return ended(hit, min(following)) if following else hit
