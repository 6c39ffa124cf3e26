"""The line, the pulse and what goes with them, handed round the limbs."""

from collections.abc import Iterator
from fractions import Fraction

from kitgen.apply.groove import time_places
from kitgen.apply.layers import lost_graces, stroke, without_graces
from kitgen.apply.linear import linear_surfaces
from kitgen.apply.pulse import beginning, listed
from kitgen.apply.setting import Application, Made, Setting
from kitgen.kit import FEET, Limb
from kitgen.line import Line
from kitgen.pattern import Hit, Pattern
from kitgen.time import Bar, beats_of

_MOST_BARS = 96
_EIGHTH = Fraction(1, 2)
_Places = tuple[Fraction, ...]


def roles(line: Line, setting: Setting) -> Made:
    """Each limb has a role, and the roles go round until every order of the limbs has been played.

    The roles: the line; the pulse, every beat; the time, in eighths (quarters where the half is the beat, first and
    last of three in a line of triplets); the after-beats, 2 and 4. Two limbs have line and pulse; three have the time
    as well, or the after-beats where both feet take part; four have all.

    Said to a student: before you start a row, say which limb has which role; from row to row two limbs trade and the
    others keep what they have. Options: ``order``, the limbs that take part, in the order of the roles in the first
    row. Unless told these are snare hand, bass foot and the other hand (the hat foot for a player of one hand): six
    rows, a page to learn from; all four limbs make twenty-four. Each limb keeps to its own surface. A long line gives
    its first bars.

    Law: the rows are all orders of the limbs, each once, and a next row differs by two limbs; in every row each limb
    plays its role and nothing else; no hand is on the hat where the hat foot takes part.
    """
    limbs = setting.order or _usual_limbs(setting)
    orders = list(orders_of(limbs))
    line, notes = beginning(line, _MOST_BARS // len(orders))
    surfaces = linear_surfaces(setting.kit, limbs)
    others = _other_roles(line, limbs)
    rows = []
    for order in orders:
        hits = [stroke(note, order[0], surfaces[order[0]]) for note in line.notes]
        hits += (
            Hit(at, limb, surfaces[limb])
            for limb, (_, places) in zip(order[1:], others, strict=True)
            for at in places
        )  # fmt: skip
        names = sorted(zip(order, ("line", *(name for name, _ in others)), strict=True))
        label = ", ".join(f"{limb.name} {name}" for limb, name in names)
        rows.append((label, Pattern(tuple(without_graces(hits)), line.meters)))
    lost = (lost_graces(line, row) for _, row in rows)
    return Made(
        f"Roles in {listed([limb.name for limb in limbs])}",
        f"Every limb has a role: {listed(['the line', *(f'the {name}' for name, _ in others)])}. "
        "From row to row two limbs trade roles" + ("." if len(limbs) == 2 else ", and the others keep theirs."),
        tuple(rows),
        (*notes, *(("grace notes of the line left out in rows where no hand is free for them",) if any(lost) else ())),
    )


def _usual_limbs(setting: Setting) -> tuple[Limb, ...]:
    """Snare hand, bass foot, other hand; where a hand does not play, the hat foot if both feet do."""
    kit, plays = setting.kit, setting.player.plays
    hand = kit.limb_for("snare")
    if plays(hand) and plays(hand.mirrored):
        return hand, kit.bass_foot, hand.mirrored
    able = hand if plays(hand) else hand.mirrored
    return (able, kit.bass_foot, kit.hat_foot) if all(map(plays, FEET)) else (able, kit.bass_foot)


def orders_of(limbs: tuple[Limb, ...]) -> Iterator[tuple[Limb, ...]]:
    """All orders of limbs, the first one first, each next with two limbs swapped, the front one changing slowest.

    >>> [" ".join(limb.name for limb in order) for order in orders_of((Limb.LH, Limb.RF, Limb.RH))]
    ['LH RF RH', 'LH RH RF', 'RF RH LH', 'RF LH RH', 'RH LH RF', 'RH RF LH']
    """
    if len(limbs) < 2:
        yield limbs
        return
    now = limbs
    for front in limbs:
        if front != now[0]:
            now = tuple({now[0]: front, front: now[0]}.get(limb, limb) for limb in now)
        for rest in orders_of(now[1:]):
            now = (front, *rest)
            yield now


def _other_roles(line: Line, limbs: tuple[Limb, ...]) -> list[tuple[str, _Places]]:
    """What the limbs beside the line play, by name, in the order they take it."""
    pulse = ("pulse", tuple(beat.start for beat in line.meters.beats))
    after = ("after-beats", tuple(at for bar in line.meters.bars for at in _after_beats(bar)))
    places = tuple(time_places(line))
    eighths = len(places) * _EIGHTH == line.span and not any(at % _EIGHTH for at in places)
    time = ("eighths" if eighths else "time", places)
    both_feet = all(foot in limbs for foot in FEET)
    return [pulse, *{2: (), 3: (after if both_feet else time,), 4: (time, after)}[len(limbs)]]


def _after_beats(bar: Bar) -> Iterator[Fraction]:
    """The after-beats of a bar; where it has one beat, what follows its first unit, or its second half."""
    beats = beats_of(bar)
    if len(beats) > 1:
        yield from (at for at, after in beats if after)
        return
    units = bar.length / bar.meter.unit
    parts = int(units) if units.denominator == 1 and units > 1 else 2
    yield from (bar.start + bar.length * Fraction(k, parts) for k in range(1, parts))


APPLICATION = Application(
    "roles",
    "one limb",
    "the line and steady roles handed round the limbs, all orders of them",
    roles,
    uses=("order",),
)
