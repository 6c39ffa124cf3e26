"""Lines as bit masks, in bulk: bit i is slot i, so that 0b0001 strikes the first slot.

Everything works on NumPy arrays in pieces that fit a processor's cache, and only what is kept becomes a line.
Filters are functions from masks to booleans; they combine with ``&``.
"""

from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from kitgen.errors import OptionError
from kitgen.line import Line
from kitgen.time import Meter, Meters

Masks = NDArray[np.uint32]
Filter = Callable[[Masks, int], NDArray[np.bool_]]
MOST_SLOTS = 30
_PIECE = 1 << 15


def all_masks(slots: int, *, piece: int = _PIECE) -> Iterator[Masks]:
    """Every mask of so many slots, from silence up, in pieces.

    Raises:
        OptionError: fewer than 1 or more than 30 slots.
    """
    check_slots(slots)
    total = 1 << slots
    for start in range(0, total, piece):
        yield np.arange(start, min(start + piece, total), dtype=np.uint32)


def check_slots(slots: int) -> None:
    """Raise unless so many slots can be gone through."""
    if not 1 <= slots <= MOST_SLOTS:
        raise OptionError(f"{slots} slots; 1 to {MOST_SLOTS} can be gone through one by one")


def rotated(masks: Masks, by: int, slots: int) -> Masks:
    """Every mask turned so that slot ``by`` becomes the first."""
    by %= slots
    if not by:
        return masks
    full = np.uint32((1 << slots) - 1)
    return ((masks >> np.uint32(by)) | (masks << np.uint32(slots - by))) & full


def reversed_masks(masks: Masks, slots: int) -> Masks:
    """Every mask backwards, the first slot staying first."""
    out = masks & np.uint32(1)
    for slot in range(1, slots):
        out |= ((masks >> np.uint32(slot)) & np.uint32(1)) << np.uint32(slots - slot)
    return out


def least_rotation(masks: Masks, slots: int) -> Masks:
    """For every mask the smallest number among its rotations: the necklace it belongs to."""
    least = masks.copy()
    turned = masks.copy()
    top = np.uint32(slots - 1)
    for _ in range(slots - 1):
        low = turned & np.uint32(1)
        turned >>= np.uint32(1)
        turned |= low << top
        np.minimum(least, turned, out=least)
    return least


def is_necklace(masks: Masks, slots: int) -> NDArray[np.bool_]:
    """True for masks that are the smallest of their rotations: one of each necklace."""
    smallest: NDArray[np.bool_] = least_rotation(masks, slots) == masks
    return smallest


def onsets_in(masks: Masks) -> NDArray[np.uint8]:
    """How many slots each mask strikes."""
    return np.bitwise_count(masks)


def density(least: int, most: int) -> Filter:
    """Masks with so many onsets."""

    def keep(masks: Masks, _slots: int) -> NDArray[np.bool_]:
        count = onsets_in(masks)
        return (count >= least) & (count <= most)

    return keep


def spaced(least: int) -> Filter:
    """Masks whose onsets are at least so many slots apart, round the barline too: what one limb can play."""

    def keep(masks: Masks, slots: int) -> NDArray[np.bool_]:
        clear = np.ones(masks.shape, dtype=np.bool_)
        for apart in range(1, min(least, slots)):
            clear &= (masks & rotated(masks, apart, slots)) == 0
        return clear

    return keep


def linear_with(others: Iterable[int]) -> Filter:
    """Masks that never strike with any of some other limbs' masks."""
    busy = np.uint32(0)
    for mask in others:
        busy |= np.uint32(mask)

    def keep(masks: Masks, _slots: int) -> NDArray[np.bool_]:
        free: NDArray[np.bool_] = (masks & busy) == 0
        return free

    return keep


def syncopated(least: int, most: int, weights: tuple[int, ...]) -> Filter:
    """Masks whose syncopation lies between two values; weights are the metric level of each slot, 0 the strongest."""

    def keep(masks: Masks, slots: int) -> NDArray[np.bool_]:
        found = syncopation(masks, slots, weights)
        return (found >= least) & (found <= most)

    return keep


def syncopation(masks: Masks, slots: int, weights: tuple[int, ...]) -> NDArray[np.int32]:
    """Longuet-Higgins and Lee's syncopation of every mask, played round and round.

    A rest or held place stronger than the onset it follows adds the difference of their levels (H. C. Longuet-Higgins
    and C. S. Lee, "The Rhythmic Interpretation of Monophonic Music", Music Perception 1(4), 1984).
    """
    if len(weights) != slots:
        raise OptionError(f"{len(weights)} weights for {slots} slots; one a slot")
    level = np.array(weights, dtype=np.int32)
    total = np.zeros(masks.shape, dtype=np.int32)
    # the weakest level met since the last onset, going round once to know how the bar begins
    before = np.full(masks.shape, -1, dtype=np.int32)
    strongest = np.full(masks.shape, np.iinfo(np.int32).max, dtype=np.int32)
    for turn in range(2):
        for slot in range(slots):
            struck = (masks >> np.uint32(slot)) & np.uint32(1) == 1
            if turn:
                ends = struck & (before >= 0)
                total += np.where(ends, np.maximum(before - strongest, 0), 0)
            before = np.where(struck, level[slot], before)
            strongest = np.where(struck, level[slot], np.minimum(strongest, level[slot]))
    return total


def matching(slots: int, *filters: Filter, rotations: bool = True) -> Iterator[Masks]:
    """Masks that pass every filter, in pieces; one of each necklace where rotations are not told apart."""
    for masks in all_masks(slots):
        kept = masks
        for keep in filters:
            kept = kept[keep(kept, slots)]
        if not rotations:
            kept = kept[is_necklace(kept, slots)]
        if len(kept):
            yield kept


def count(slots: int, *filters: Filter, rotations: bool = True) -> int:
    """How many masks pass every filter."""
    return sum(len(masks) for masks in matching(slots, *filters, rotations=rotations))


def sample(slots: int, many: int, *filters: Filter, rotations: bool = True, seed: int = 0) -> list[int]:
    """So many different masks that pass every filter, each set of them as likely as any other.

    Every mask is looked at once (reservoir of the smallest random keys), so that no kind is preferred.

    Raises:
        OptionError: fewer than that pass.
    """
    random = np.random.default_rng(seed)
    keys, found, seen = np.empty(0), np.empty(0, dtype=np.uint32), 0
    for masks in matching(slots, *filters, rotations=rotations):
        seen += len(masks)
        keys = np.concatenate([keys, random.random(len(masks))])
        found = np.concatenate([found, masks])
        if len(keys) > many:
            lowest = np.argpartition(keys, many)[:many] if many else np.empty(0, dtype=np.intp)
            keys, found = keys[lowest], found[lowest]
    if seen < many:
        raise OptionError(f"{many} lines asked for, and {seen} of {slots} slots pass these filters; ask for fewer")
    return [int(mask) for mask in found[np.argsort(keys)]]


def boxes_of(mask: int, slots: int) -> str:
    """A mask as boxes, the first slot first.

    >>> boxes_of(0b0101, 4)
    'x.x.'
    """
    return "".join("x" if mask >> slot & 1 else "." for slot in range(slots))


def mask_of(boxes: str) -> int:
    """Boxes as a mask.

    >>> mask_of("x.x.")
    5
    """
    return sum(1 << slot for slot, box in enumerate(boxes) if box in "xX")


def line_of(mask: int, slots: int, meter: Meter, *, slot: Fraction = Fraction(1, 4)) -> Line:
    """A mask as a line of so many slots under a meter, each note to the next or its beat's end."""
    meters = Meters(((meter, slot * slots),))
    return Line.of_onsets((slot * index for index in range(slots) if mask >> index & 1), meters)


def lines_of(masks: Iterable[int], slots: int, meter: Meter, *, most: int | None = None) -> list[Line]:
    """Masks as lines, the first so many of them."""
    return [line_of(mask, slots, meter) for mask in islice(masks, most)]
