"""The parts of the coordination load that are learned once: counted once each, however long the pattern."""

from collections import Counter
from math import log2

from kitgen.pattern.load_asked import NOTHING, Asked, Measured, limbs_said
from kitgen.pattern.load_parts import turning
from kitgen.time.counting import syllable


def together(asked: Asked) -> Measured:
    """The different sets of limbs that strike at one instant."""
    found = {instant.limbs for instant in asked.view.instants}
    return Measured(len(found), f"{_most_said(max(map(len, found)))} at once") if found else NOTHING


def _most_said(count: int) -> str:
    return ("one limb", "two limbs", "three limbs", "all four limbs")[count - 1]


def places(asked: Asked) -> Measured:
    """The different sets of limbs, each at each place of the beat it comes at."""
    found = {(instant.place, instant.limbs): instant for instant in reversed(asked.view.instants)}
    if not found:
        return NOTHING
    many = Counter(place for place, _ in found)
    place = max(many, key=lambda place: (many[place], -place.share))
    first = min(instant.tick for (at, _), instant in found.items() if at == place)
    beat = asked.pattern.meters.beat_at(asked.view.onset(first))
    said = f'the "{syllable(beat, place.share)}"' if place.above else "the number"
    return Measured(len(found), f"{many[place]} of them on {said}")


def changes(asked: Asked) -> Measured:
    """The different changes from one set of limbs to the next, by the time between."""
    span = asked.view.grid.span
    moves = [
        (instant.limbs, following.limbs, (following.tick - instant.tick - 1) % span + 1)
        for instant, following in turning(asked.view.instants)
    ]
    if not moves:
        return NOTHING
    many = Counter(moves)
    one, other, _ = min(many, key=lambda move: (many[move], -len(move[0] ^ move[1])))
    return Measured(len(many), f"{limbs_said(one)} to {limbs_said(other)} is the rarest")


def limbs(asked: Asked) -> Measured:
    """The limbs that play."""
    playing = asked.view.by_limb
    return Measured(len(playing), limbs_said(playing)) if playing else NOTHING


def adrift(asked: Asked) -> Measured:
    """The limbs that never strike a number, by their weights."""
    found = [limb for limb, own in asked.view.by_limb.items() if all(stroke.place.above for stroke in own)]
    return Measured(sum(asked.limb_weight[limb] for limb in found), limbs_said(found)) if found else NOTHING


def cycle(asked: Asked) -> Measured:
    """How many times the beats double before everything repeats: 0 for one beat, 2 for four, 3 for eight."""
    beats = [list[object]() for _ in asked.view.grid.beats]
    for stroke in asked.view.strokes:
        beats[stroke.beat].append((stroke.place, stroke.limb, stroke.level, stroke.surface))
    size = len(beats)
    turns = (turn for turn in range(1, size + 1) if size % turn == 0 and beats[turn:] == beats[: size - turn])
    period = next(turns, 1)
    if period == 1:
        return NOTHING
    return Measured(log2(period), f"{period} beats before it repeats")


def new(asked: Asked) -> Measured:
    """Sets of two limbs or more that the series has not met, by their limbs beyond the first; 0 outside a series."""
    if asked.met is None:
        return NOTHING
    found = {
        instant.limbs: instant.tick
        for instant in reversed(asked.view.instants)
        if len(instant.limbs) > 1 and instant.limbs not in asked.met
    }
    if not found:
        return NOTHING
    first = min(found, key=lambda limbs: found[limbs])
    return Measured(sum(len(limbs) - 1 for limbs in found), f"{limbs_said(first)}, {asked.where(found[first])}")
