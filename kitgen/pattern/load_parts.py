"""The parts of the coordination load that have to be done again and again, measured over the heaviest four beats.

Conventions: each measure sums over any four beats in a row, round and round, and takes the heaviest: a pattern is as
hard as its hardest place, and easy bars round it make it no easier. So a pattern repeated measures what it did, in
whatever bars it is written.
"""

from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise
from typing import TypeVar

from kitgen.kit import HATS
from kitgen.pattern.hit import Level
from kitgen.pattern.load_asked import NOTHING, Asked, Measured
from kitgen.pattern.load_rhythm import heaviest, rhythm_by_beat, unlike_next
from kitgen.pattern.load_view import Stroke

_T = TypeVar("_T")


def off_beat(asked: Asked) -> Measured:
    """Strokes off the beat, by place and limb, and by what holds them: the limb's own number, another limb."""
    grid, strokes, weights = asked.view.grid, asked.view.strokes, asked.weights
    kinds = {place: weights.at(place.share, in_threes=place.in_threes) for place in {s.place for s in strokes}}
    number = {(stroke.limb, stroke.beat): stroke.level for stroke in strokes if not stroke.place.above}
    together = {instant.tick for instant in asked.view.instants if len(instant.limbs) > 1}
    turns = _Turns(asked)
    by_beat, worst, most = [0.0] * len(grid.beats), strokes[:1], 0.0
    for stroke in strokes:
        if not stroke.place.above:
            continue
        cost = kinds[stroke.place] * asked.limb_weight[stroke.limb]
        if stroke.level <= number.get((stroke.limb, stroke.beat), 0):
            cost *= weights.after_own
        if stroke.level is Level.ACCENT:
            cost *= weights.accent
        cost *= weights.with_other if stroke.tick in together else turns.held(stroke)
        by_beat[stroke.beat] += cost
        if cost > most:
            worst, most = (stroke,), cost
    if not most:
        return NOTHING
    return Measured(heaviest(by_beat)[0], f"{worst[0].limb.words}, {asked.where(worst[0].tick)}")


class _Turns:
    """Which lone strokes come midway between two strokes of one other limb that goes faster than the beat."""

    def __init__(self, asked: Asked) -> None:
        self.grid, self.weights = asked.view.grid, asked.weights
        self.ticks = {limb: [stroke.tick for stroke in own] for limb, own in asked.view.by_limb.items()}

    def held(self, stroke: Stroke) -> float:
        """What is left of a lone stroke's cost."""
        beats, span, found = self.grid.beats, self.grid.span, 1.0
        beat_ticks = (beats[stroke.beat + 1] if stroke.beat + 1 < len(beats) else span) - beats[stroke.beat]
        for limb, ticks in self.ticks.items():
            if limb is stroke.limb:
                continue
            index = bisect_left(ticks, stroke.tick)
            after = (ticks[index] if index < len(ticks) else ticks[0] + span) - stroke.tick
            before = stroke.tick - (ticks[index - 1] if index else ticks[-1] - span)
            if before == after and before + after < beat_ticks:
                pair = limb is stroke.limb.mirrored
                found = min(found, self.weights.in_turn_pair if pair else self.weights.in_turn)
        return found


def unlike(asked: Asked) -> Measured:
    """In how many places the beats of each limb differ from their next three, loud and soft strokes apart."""
    size = len(asked.view.grid.beats)
    by_beat, worst, most = [0.0] * size, "", 0.0
    for limb, own in asked.view.by_limb.items():
        cells = [list[object]() for _ in range(size)]
        for stroke in own:
            cells[stroke.beat].append((stroke.place, stroke.level >= Level.NORMAL))
        weighed = [cost * asked.limb_weight[limb] for cost in unlike_next(cells)]
        by_beat = [sum(both) for both in zip(by_beat, weighed, strict=True)]
        value, start = heaviest(weighed)
        if value > most:
            worst, most = f"{limb.words}, from {asked.where(asked.view.grid.beats[start])}", value
    return Measured(heaviest(by_beat)[0], worst)


def rhythm(asked: Asked) -> Measured:
    """The load of the one rhythm that all limbs make together (:mod:`kitgen.pattern.load_rhythm`)."""
    grid = asked.view.grid
    whole = grid._replace(placed=tuple((instant.tick, instant.beat, instant.place) for instant in asked.view.instants))
    clock, differing = rhythm_by_beat(whole)
    value, start = heaviest([sum(both) for both in zip(clock, differing, strict=True)])
    return Measured(value, f"from {asked.where(grid.beats[start])}") if value else NOTHING


def loudness(asked: Asked) -> Measured:
    """Changes of level from one stroke of a limb to its next."""
    by_beat, worst, most = [0.0] * len(asked.view.grid.beats), "", 0
    for limb, own in asked.view.by_limb.items():
        changed = [following for stroke, following in turning(own) if stroke.level is not following.level]
        for stroke in changed:
            by_beat[stroke.beat] += 1
        if len(changed) > most:
            worst, most = f"{limb.words}, {asked.where(min(stroke.tick for stroke in changed))}", len(changed)
    return Measured(heaviest(by_beat)[0], worst)


def hat(asked: Asked) -> Measured:
    """Each time the hat is opened 2; and where it closes, on 1 nothing, on another beat 1, off the beat 2 more.

    Struck open and closed at one instant it is closed.
    """
    touched = [stroke for stroke in asked.view.strokes if stroke.surface in HATS or stroke.surface == "hat-foot"]
    shut = {stroke.tick for stroke in touched if stroke.surface != "open-hat"}
    moments = list({stroke.tick: stroke for stroke in touched}.values())
    by_beat, worst, most = [0.0] * len(asked.view.grid.beats), "", 0
    for stroke, following in turning(moments):
        if stroke.tick not in shut and following.tick in shut:
            number = asked.pattern.meters.beats[following.beat].number
            cost = 4 if following.place.above else 3 if number > 1 else 2
            by_beat[stroke.beat] += cost
            if cost > most:
                worst, most = f"open at {asked.where(stroke.tick)}", cost
    return Measured(heaviest(by_beat)[0], worst)


def strokes(asked: Asked) -> Measured:
    """How many strokes there are."""
    by_beat = [0.0] * len(asked.view.grid.beats)
    for stroke in asked.view.strokes:
        by_beat[stroke.beat] += 1
    value, start = heaviest(by_beat)
    return Measured(value, f"from {asked.where(asked.view.grid.beats[start])}") if value else NOTHING


def turning(items: Sequence[_T]) -> list[tuple[_T, _T]]:
    """Each with the one after it, the last with the first of the next time round."""
    return [*pairwise(items), (items[-1], items[0])] if items else []
