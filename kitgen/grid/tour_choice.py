"""Which of many tours: the one that reads well.

A tour is made slot by slot, and of the changes still to be met the one that costs least is next:

- 1 for each limb that strikes, 1 more for each that strikes twice in a row, 1 more for each that strikes a third time,
  and 2 for a third rest in a row, so that what is light comes early and long runs and long rests are few;
- on a beat, 12 for silence and 3 where the first limb does not strike, so that beats are heard and the limb named first
  marks them; silence falls between beats. Over an ostinato, where every set comes at every place equally often, beats
  are as other slots, and silence costs as much as one limb, so that rests and strokes mix;
- 1.5 less for going back to the set before, so that a change and its return stand together;
- a part of 1 by chance, which the seed decides.

The tour starts on beat 1 with the first limb alone and comes back to it. First every change of the first two limbs is
met, in a closed walk of its own, then all others of the first three, then of four: a student who plays the first bar of
a tour of sixteenths in 4/4 plays all that two limbs can do, and after four bars all that three can. What is left for
the end is heavy: sets of many limbs, struck again. These costs are a judgement, not a measurement.
"""

from collections.abc import Sequence
from functools import lru_cache
from random import Random

from kitgen.grid.walks import Choose

_SILENT_BEAT, _NO_LEADER, _THIRD, _THIRD_REST, _RETURN, _REST = 12.0, 3.0, 1.0, 2.0, 1.5, 1.0
_STILL = -1
_BETWEEN, _BEAT, _ANYWHERE = range(3)

PULSE = (True, False, False, False)
"""Which slots are beats, where nobody says: sixteenths of a quarter."""


def load_of_change(here: int, there: int) -> int:
    """How much a change asks: limbs that strike, and again those that have just struck; sets are masks.

    >>> load_of_change(0b01, 0b10), load_of_change(0b01, 0b01), load_of_change(0b11, 0b11)
    (1, 2, 4)
    """
    return there.bit_count() + (here & there).bit_count()


def chooser(sets: Sequence[int], *, seed: int = 0, pulse: Sequence[bool] = PULSE) -> Choose:
    """The preference, for a walk over nodes.

    Args:
        sets: of each node the limbs that strike, as a mask.
        seed: decides among what costs the same.
        pulse: which slots are beats, from the first on and over again; empty where beats do not matter.
    """
    size = 1 << max(sets).bit_length()
    costs = _with_chance(seed)
    thirds = _thirds(size)
    kinds = tuple(_BEAT if beat else _BETWEEN for beat in pulse) or (_ANYWHERE,)
    length = len(kinds)

    def choose(step: int, before: int, here: int, ways: list[int]) -> int:
        own, back = sets[here], sets[before] if before >= 0 else -1
        row = costs[kinds[step % length]][own]
        third = thirds[own & back if own or back else _STILL] if before >= 0 else thirds[0]
        best = min(ways, key=lambda way: row[sets[way]] + third[sets[way]])
        if back == own or back < 0:
            return best
        least = row[sets[best]] + third[sets[best]] + _RETURN
        for way in ways:
            if sets[way] == back and row[back] + third[back] < least:
                return way
        return best

    return choose


def _plain_cost(here: int, there: int, kind: int) -> float:
    cost = float(load_of_change(here, there))
    if kind == _BEAT and not there & 1:
        cost += _NO_LEADER if there else _SILENT_BEAT
    return cost + _REST * (kind == _ANYWHERE and not there)


@lru_cache(maxsize=1)
def _plain() -> tuple[float, ...]:
    """The cost of every change by kind of slot, by set, by following set; chance left out."""
    return tuple(_plain_cost(here, there, kind) for kind in range(3) for here in range(16) for there in range(16))


@lru_cache(maxsize=8)
def _with_chance(seed: int) -> list[list[list[float]]]:
    """The same with a part of 1 by chance."""
    chance = Random(seed).random
    flat = [cost + chance() for cost in _plain()]
    rows = [flat[at : at + 16] for at in range(0, len(flat), 16)]
    return [rows[:16], rows[16:32], rows[32:]]


@lru_cache(maxsize=4)
def _thirds(size: int) -> list[list[float]]:
    """What a third slot in a row costs, by the limbs of the two before, by following set; two rests last."""
    struck = [[_THIRD * (twice & there).bit_count() for there in range(size)] for twice in range(size)]
    return [*struck, [0.0 if there else _THIRD_REST for there in range(size)]]
