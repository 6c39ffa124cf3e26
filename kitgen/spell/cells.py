"""What is written inside one beat.

Notes: an aligned plain value; one with a dot that fills the first or the last three quarters of an aligned stretch
(dotted eighth and sixteenth, sixteenth and dotted eighth); the middle half of one (sixteenth, eighth, sixteenth). In a
beat of units (the dotted quarter's eighths) notes that start on a unit may last over others; from the middle of one a
note may last to the middle of the next, and from the middle of the beat to its end. Rests: aligned plain values, and
dotted ones at the start of such a stretch; of three units the first two may be one rest. Four even strokes in a dotted
beat are dotted values. Everything else is a tuplet, of the beat or of an aligned part of it. Common practice.
"""

from collections.abc import Iterator
from functools import lru_cache

from kitgen.spell.gaps import SILENT, TIED, Gaps
from kitgen.spell.search import Step, fewest, single_steps, step_of
from kitgen.spell.ticks import SHORTEST, WRITTEN
from kitgen.spell.tuplets import tuplet_step

_SMALLEST_SHARE = 8


@lru_cache(maxsize=16384)
def spell_beat(units: int, unit: int, start: int, gaps: Gaps) -> Step | None:
    """The spelling of a beat from some place in it to its end; None if there is none.

    Args:
        units: how many units the beat has, an odd number.
        unit: their length, a plain value, in ticks.
        start: where to start, in ticks from the beat's own start.
        gaps: what happens, in ticks from the beat's own start.
    """
    plain = all(at % SHORTEST == 0 for at, _ in gaps)

    def steps(at: int, kind: str, until: int) -> Iterator[Step]:
        if kind == SILENT:
            yield from single_steps(at, kind, until, lambda a, length: _rest_may(a, length, units, unit))
        else:
            yield from single_steps(at, kind, until, lambda a, length: _note_may(a, length, units, unit))
        if not plain:
            yield from _tuplets(gaps, at, units, unit)
        elif at == 0 and units == 3:
            yield from _quarters(gaps, 3 * unit)

    return fewest(gaps, start, units * unit, steps)


def _note_may(at: int, length: int, units: int, unit: int) -> bool:
    within_unit = at % unit
    if units == 1 or within_unit + length <= unit:
        return _shows_halves(within_unit, length)
    if not within_unit:
        return length % unit == 0 or 2 * length == 3 * unit
    return 2 * within_unit == unit and (length == unit or 2 * length == units * unit == 2 * at)


def _shows_halves(at: int, length: int) -> bool:
    """True for an aligned value, one on the last three quarters of an aligned stretch, or on its middle half."""
    if WRITTEN[length][1]:
        quarter = length // 3
        return at % (4 * quarter) in (0, quarter)
    return at % length == 0 or at % (2 * length) == length // 2


def _rest_may(at: int, length: int, units: int, unit: int) -> bool:
    within_unit, dots = at % unit, WRITTEN[length][1]
    if units > 1 and length > unit:
        if length == units * unit:
            return at == 0
        first_two = length == 2 * unit and at % length == 0
        return first_two and (units == 3 or at + length < units * unit)
    return within_unit + length <= unit and within_unit % (length * 4 // 3 if dots else length) == 0


def _tuplets(gaps: Gaps, at: int, units: int, unit: int) -> Iterator[Step]:
    """Tuplets of aligned parts of the beat that start here, the shortest first, and of the whole beat."""
    sizes = [unit // share for share in (_SMALLEST_SHARE, 4, 2, 1) if unit % (share * SHORTEST) == 0]
    if units > 1:
        sizes.append(units * unit)
    for size in sizes:
        if at % size == 0 and (step := tuplet_step(gaps, at, at + size)):
            yield step


def _quarters(gaps: Gaps, size: int) -> Iterator[Step]:
    """Four even strokes in a beat of three units, as dotted values."""
    part = size // 4
    even = part in WRITTEN and [at for at, _ in gaps] == list(range(0, size, part))
    if even and all(kind not in (SILENT, TIED) for _, kind in gaps):
        singles = [step_of(at, part, kind) for at, kind in gaps]
        yield Step(sum(step.cost for step in singles), size, tuple(step.pieces[0] for step in singles))
