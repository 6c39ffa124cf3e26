"""The division of every beat of a performance: what one explains, made as cheap as the performance makes it common.

Conventions: shares of a beat from 0 up to 1, costs in nats as in :mod:`kitgen.pattern.quantise`, which says what the
onsets of one beat cost on the places of one division.
"""

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kitgen.pattern.feel import Feel
from kitgen.pattern.quantise import RARITIES, even_table, misfit, nearest, rarity

_ODD_SIX = 2.0
_AS_USUAL, _AS_USUAL_SHARE = 6, 0.3

Tables = Mapping[str, Mapping[int, tuple[float, ...]]]
"""The places of each division as shares of the beat, by the kind of beat."""


@dataclass(frozen=True, slots=True)
class BeatOnsets:
    """The onsets inside one beat: shares in order, and pairs of one lane as (first, second, what sharing costs)."""

    number: int
    kind: str
    length_s: float
    shares: tuple[float, ...]
    pairs: tuple[tuple[int, int, float], ...]


def tables_of(feel: Feel) -> Tables:
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


def divided(beats: Sequence[BeatOnsets], count: int, tables: Tables, spread_s: float) -> tuple[tuple[int, ...], float]:
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
    beats: Sequence[BeatOnsets], costs: Sequence[Mapping[int, float]], prior: Mapping[str, Mapping[int, float]]
) -> list[int]:
    return [
        min(own, key=lambda parts: own[parts] + usual[parts])
        for own, usual in ((own, prior[beat.kind]) for beat, own in zip(beats, costs, strict=True))
    ]


def _adapted(beats: Sequence[BeatOnsets], chosen: Sequence[int]) -> dict[str, dict[int, float]]:
    """Rarities from how often each division was chosen, pulled towards the usual ones."""
    seen = Counter((beat.kind, parts) for beat, parts in zip(beats, chosen, strict=True))
    weight = _AS_USUAL + _AS_USUAL_SHARE * len(chosen)
    found = {}
    for kind in RARITIES:
        usual = {parts: math.exp(-rarity(parts, kind)) for parts in RARITIES[kind]}
        scale, total = weight / sum(usual.values()), weight + sum(seen[kind, parts] for parts in usual)
        found[kind] = {parts: -math.log((seen[kind, parts] + scale * usual[parts]) / total) for parts in usual}
    return found


def _cost(beat: BeatOnsets, table: Sequence[float], spread_s: float) -> float:
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
