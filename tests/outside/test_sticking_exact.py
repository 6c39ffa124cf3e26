"""The sticking found is the cheapest there is: held against every sticking of short lines.

Each of twelve slots is silent, a right or a left: 3^12 = 531,441 lines with a sticking (arithmetic). The other side is
plain enumeration, scored by the published cost of a finished page, and, for some, by a second count written here.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product
from random import Random
from typing import NamedTuple

import pytest

from kitgen.kit import Limb, LimbProfile, Player, player
from kitgen.pattern import Hit, Level, Ornament
from kitgen.pattern.sticking import Stroke, explained, stick, sticking_cost
from kitgen.time import Meter, Meters

SLOTS = 12
THREE_FOUR = Meters.of(Meter(3, 4))
DRUMS = (
    "snare",
    "high-tom",
    "snare",
    "floor-tom",
    "mid-tom",
    "snare",
    "snare",
    "crash",
    "snare",
    "mid-tom",
    "ride",
    "snare",
)
SCHOOL = player("school")
HANDS = (Limb.RH, Limb.LH)
PACES = (70.0, 130.0)


def strokes_of(mask: int, drums: Sequence[str]) -> list[Stroke]:
    """The strokes of a line of twelve sixteenths."""
    return [Stroke(Fraction(slot, 4), drums[slot]) for slot in range(SLOTS) if mask >> slot & 1]


def every_sticking(strokes: Sequence[Stroke]) -> Iterator[tuple[Hit, ...]]:
    """All ways to share the strokes between two hands."""
    for hands in product(HANDS, repeat=len(strokes)):
        yield tuple(Hit(stroke.onset, hand, stroke.surface) for stroke, hand in zip(strokes, hands, strict=True))


def cost(hits: Sequence[Hit], pace: float) -> int:
    """What a finished sticking costs."""
    return sticking_cost(hits, THREE_FOUR, pace=pace, player=SCHOOL)


def agree(mask: int, drums: Sequence[str], pace: float) -> int:
    """Hold one line's sticking against all of its stickings; how many there are."""
    strokes = strokes_of(mask, drums)
    found = cost(stick(strokes, THREE_FOUR, pace=pace, player=SCHOOL), pace)
    least = min(cost(hits, pace) for hits in every_sticking(strokes))
    assert found == least, f"{mask:012b} at {pace}: {found}, and {least} would do"
    return 1 << len(strokes)


def test_a_sample_of_lines() -> None:
    """Lines drawn at random, on one drum and round the drums, slow and fast."""
    random = Random(4)
    for mask in random.sample(range(1 << SLOTS), 12):
        agree(mask, random.choice((("snare",) * SLOTS, DRUMS)), random.choice(PACES))


@pytest.mark.sweep
@pytest.mark.parametrize("pace", PACES)
def test_every_line(pace: float) -> None:
    """All lines of twelve slots with all their stickings, 3^12 of them."""
    assert sum(agree(mask, DRUMS, pace) for mask in range(1 << SLOTS)) == 3**SLOTS


def test_costs_counted_a_second_time() -> None:
    """Natural hands and doubles on one drum, counted here from the definition, on every sticking of some lines."""
    pace, quick_ms = 130.0, SCHOOL.rates(Limb.RH).sustained * 5 / 4
    for mask in (0b1011, 0b110111, 0b101101101101):
        strokes = strokes_of(mask, ("snare",) * SLOTS)
        for hits in every_sticking(strokes):
            choices = explained(hits, THREE_FOUR, pace=pace, player=SCHOOL)
            for index, choice in enumerate(choices):
                costs = dict(choice.costs)
                hit, slot = choice.hit, int(choice.hit.onset * 4)
                natural = Limb.RH if slot % 2 == 0 else Limb.LH
                assert costs.get("lead", 0) == (0 if hit.limb is natural else 4 if hit.limb is Limb.LH else 3)
                before = choices[index - 1].hit if index else None
                again = before is not None and before.limb is hit.limb
                near = before is not None and float(hit.onset - before.onset) * 60_000 / pace < quick_ms
                assert ("double" in costs) is (again and near)


# ---- harder lines ----------------------------------------------------------------------------------------------------

ROUND = ("snare", "snare", "high-tom", "mid-tom", "floor-tom", "ride", "crash", "closed-hat", "cross-stick")
HANDED = ("right", "left", "open")


class Harder(NamedTuple):
    """A short line round the kit, and who plays it."""

    strokes: tuple[Stroke, ...]
    held: tuple[Hit, ...]
    pace: float
    who: Player
    hand: str


def player_with(*profiles: tuple[Limb, LimbProfile]) -> Player:
    """The school player with something special about limbs."""
    return Player("one", SCHOOL.hand, SCHOOL.foot, SCHOOL.next_drum, SCHOOL.across, profiles)


STAYS, SINGLE = LimbProfile(travels=False), LimbProfile(single=True)
WHO = (
    SCHOOL,
    player("beginner"),
    player("advanced"),
    player_with((Limb.LH, STAYS)),
    player_with((Limb.RH, STAYS), (Limb.LH, STAYS)),
    player_with((Limb.RH, LimbProfile(slow=1.5)), (Limb.LH, SINGLE)),
    player_with((Limb.LH, LimbProfile(absent=True))),
)


def harder(random: Random) -> Harder:
    """Up to seven strokes on a fine grid: ornaments, two at once, strokes whose hand is settled."""
    grid = random.choice((Fraction(1, 3), Fraction(1, 4), Fraction(1, 6), Fraction(1, 8)))
    strokes, held = [], []
    for place in sorted(random.sample(range(9), random.randint(3, 6))):
        at, kind = grid * place, random.random()
        if kind < 0.15:
            held.append(Hit(at, random.choice(HANDS), random.choice(ROUND)))
        if 0.1 < kind < 0.3:
            strokes.append(Stroke(at, random.choice(ROUND)))
        if kind > 0.2:
            ornament = random.choice((None, None, None, *Ornament)) if kind > 0.3 else None
            strokes.append(Stroke(at, random.choice(ROUND), Level.NORMAL, ornament))
    pace = random.choice((60.0, 90.0, 140.0))
    return Harder(tuple(strokes), tuple(held), pace, random.choice(WHO), random.choice(HANDED))


def every_sharing(strokes: Sequence[Stroke], held: Sequence[Hit]) -> Iterator[tuple[Hit, ...]]:
    """All ways to give strokes to the hands that have nothing else to do there, no grace to a hand that strikes."""
    for hands in product(HANDS, repeat=len(strokes)):
        hits = [
            *held,
            *(
                Hit(one.onset, limb, one.surface, one.level, one.ornament)
                for one, limb in zip(strokes, hands, strict=True)
            ),
        ]
        struck = {(hit.onset, hit.limb) for hit in hits}
        alone = all(
            (hit.onset, hit.limb.mirrored) not in struck for hit in hits if hit.ornament and hit.ornament.has_graces
        )
        if alone and len(struck) == len(hits):
            yield tuple(hits)


def holds(line: Harder) -> bool:
    """Hold the sticking of a harder line against all of its stickings; False where there is nothing to choose."""

    def cost(hits: Sequence[Hit]) -> int:
        return sticking_cost(hits, THREE_FOUR, pace=line.pace, player=line.who, hand=line.hand)

    least = min(map(cost, every_sharing(line.strokes, line.held)), default=None)
    if least is None or not line.strokes:
        return False
    hits = stick(line.strokes, THREE_FOUR, pace=line.pace, player=line.who, hand=line.hand, held=line.held)
    assert sorted((hit.onset, hit.surface) for hit in hits) == sorted(one[:2] for one in line.strokes)
    found = cost([*line.held, *hits])
    assert found == least, f"{line}: {found}, and {least} would do"
    return True


@pytest.mark.slow
def test_harder_lines() -> None:
    """Several surfaces, ornaments, two at once, held strokes, hands that stay, stay single, are slow or absent."""
    random = Random(11)
    assert sum(holds(harder(random)) for _ in range(300)) > 250


@pytest.mark.sweep
def test_many_harder_lines() -> None:
    """The same, ten thousand times."""
    random = Random(12)
    assert sum(holds(harder(random)) for _ in range(10_000)) > 8_000
