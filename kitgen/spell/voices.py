"""Which limbs share a voice.

``hands-feet``: hands with stems up, feet with stems down. ``one``: everything in one voice with stems up, for linear
pages and fills. ``time-line``: the hand that keeps time above, everything else below. ``auto`` is one voice where hands
and feet both play and no two limbs ever meet on the page, else hands and feet. Common practice.
"""

from collections.abc import Collection, Iterable
from itertools import pairwise
from typing import NamedTuple

from kitgen.errors import UnknownNameError
from kitgen.kit import FEET, HAND_LIMBS, LIMBS, Limb
from kitgen.pattern import Pattern

LAYOUTS = ("auto", "hands-feet", "one", "time-line")
TIME_KEEPERS = frozenset(
    ("ride", "ride-bell", "closed-hat", "open-hat", "cowbell", "wood-block", "tambourine", "floor-shell")
)


class Staffed(NamedTuple):
    """A voice: its number, its stems, its limbs."""

    number: int
    stem: str
    limbs: tuple[Limb, ...]


ONE = (Staffed(1, "up", LIMBS),)
"""Everything in one voice."""
_HANDS_FEET = (Staffed(1, "up", HAND_LIMBS), Staffed(2, "down", FEET))


def layout_of(patterns: Iterable[Pattern], layout: str) -> str:
    """The layout of rows that are to look alike: what was asked for, or what ``auto`` makes of them together.

    Raises:
        UnknownNameError: no such layout.
    """
    if layout not in LAYOUTS:
        raise UnknownNameError("layout", layout, LAYOUTS)
    if layout != "auto":
        return layout
    rows = [pattern.hits for pattern in patterns]
    kinds = {hit.limb.is_hand for hits in rows for hit in hits}
    meet = any(first.onset == second.onset for hits in rows for first, second in pairwise(hits))
    return "one" if len(kinds) == 2 and not meet else "hands-feet"


def voices_of(pattern: Pattern, layout: str = "auto") -> tuple[Staffed, ...]:
    """The voices of a row.

    Args:
        pattern: the row.
        layout: one of ``LAYOUTS``.

    Raises:
        UnknownNameError: no such layout.
    """
    chosen = layout_of((pattern,), layout)
    if chosen == "one":
        return ONE
    if chosen == "time-line" and (time := _time_hand(pattern)) is not None:
        return (Staffed(1, "up", (time,)), Staffed(2, "down", tuple(limb for limb in LIMBS if limb != time)))
    return _HANDS_FEET


def _time_hand(pattern: Pattern) -> Limb | None:
    """The hand with more strokes on what keeps time; the right one of two alike."""
    counts = {hand: sum(h.limb == hand and h.surface in TIME_KEEPERS for h in pattern.hits) for hand in HAND_LIMBS}
    best = max(HAND_LIMBS, key=lambda hand: counts[hand])
    return best if counts[best] else None


def apart(voice: Staffed, playing: Collection[Limb]) -> tuple[Staffed, ...]:
    """A voice that its limbs cannot share, as one voice each: the second one below, if it was above."""
    own = [limb for limb in voice.limbs if limb in playing]
    stems = (voice.stem, "down", "up", "down")
    return tuple(Staffed(voice.number + 2 * index, stems[index], (limb,)) for index, limb in enumerate(own))
