"""The sticking found is the cheapest there is: held against every sticking of lines in twelve slots.

Each of twelve slots is silent, a right or a left: 3^12 = 531,441 lines with a sticking (arithmetic). The other side is
plain enumeration, scored by the published cost of a finished page, and, for some, by a second count written here.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product
from random import Random

import pytest

from kitgen.kit import Limb, player
from kitgen.pattern import Hit
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
PACES = (70.0, 130.0)


def strokes_of(mask: int, drums: Sequence[str]) -> list[Stroke]:
    """The strokes of a line of twelve sixteenths."""
    return [Stroke(Fraction(slot, 4), drums[slot]) for slot in range(SLOTS) if mask >> slot & 1]


def every_sticking(strokes: Sequence[Stroke]) -> Iterator[tuple[Hit, ...]]:
    """All ways to share the strokes between two hands."""
    for hands in product((Limb.RH, Limb.LH), repeat=len(strokes)):
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
