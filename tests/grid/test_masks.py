"""Lines as bit masks: rotation, filters and unbiased samples, against plain Python on small cycles."""

from collections import Counter
from collections.abc import Callable
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import OptionError
from kitgen.grid import masks
from kitgen.time import Meter


def turned(boxes: str, by: int) -> str:
    """Boxes from another slot on."""
    return boxes[by:] + boxes[:by]


@given(st.text("x.", min_size=1, max_size=14), st.integers(0, 30))
def test_turning_is_turning(boxes: str, by: int) -> None:
    """A mask rotated is its boxes rotated; the least rotation is the least of all of them; backwards keeps slot 0."""
    slots, mask = len(boxes), np.array([masks.mask_of(boxes)], dtype=np.uint32)
    assert masks.boxes_of(int(masks.rotated(mask, by, slots)[0]), slots) == turned(boxes, by % slots)
    every = [masks.mask_of(turned(boxes, turn)) for turn in range(slots)]
    assert int(masks.least_rotation(mask, slots)[0]) == min(every)
    assert bool(masks.is_necklace(mask, slots)[0]) is (min(every) == every[0])
    assert masks.boxes_of(int(masks.reversed_masks(mask, slots)[0]), slots) == boxes[0] + boxes[:0:-1]


def apart(boxes: str) -> int:
    """The fewest slots between neighbouring onsets, round the barline."""
    places = [slot for slot, box in enumerate(boxes) if box == "x"]
    gaps = [second - first for first, second in zip(places, [*places[1:], *places[:1]], strict=True)]
    return min((gap % len(boxes) or len(boxes) for gap in gaps), default=len(boxes))


@pytest.mark.parametrize(
    ("keep", "plain"),
    [
        (masks.density(2, 3), lambda boxes: 2 <= boxes.count("x") <= 3),
        (masks.spaced(3), lambda boxes: apart(boxes) >= 3),
        (masks.linear_with([masks.mask_of("x...x...")]), lambda boxes: boxes[0] == boxes[4] == "."),
    ],
    ids=["density", "spaced", "linear"],
)
def test_filters(keep: masks.Filter, plain: Callable[[str], bool]) -> None:
    """What passes a filter is what passes it said plainly, over all lines of eight slots."""
    kept = {int(mask) for piece in masks.matching(8, keep) for mask in piece}
    assert kept == {mask for mask in range(256) if plain(masks.boxes_of(mask, 8))}
    assert masks.count(8, keep) == len(kept)


def test_a_sample_prefers_nothing() -> None:
    """Lines of four slots with two onsets are drawn about equally often, never twice in a sample, and seeded."""
    keep = masks.density(2, 2)
    drawn = Counter(mask for seed in range(600) for mask in masks.sample(4, 2, keep, seed=seed))
    assert len(drawn) == 6
    assert max(drawn.values()) < 1.35 * min(drawn.values())
    assert masks.sample(16, 5, seed=3) == masks.sample(16, 5, seed=3)
    assert len(set(masks.sample(16, 500, rotations=False))) == 500
    with pytest.raises(OptionError, match="7 lines asked for, and 6 of 4 slots pass these filters"):
        masks.sample(4, 7, keep)


def test_a_mask_as_a_line() -> None:
    """A mask becomes a line of its slots; too many slots cannot be gone through."""
    line = masks.line_of(masks.mask_of("x..x..x."), 8, Meter(2, 4))
    assert line.onsets == (Fraction(0), Fraction(3, 4), Fraction(3, 2))
    assert line.span == 2
    with pytest.raises(OptionError, match="31 slots; 1 to 30"):
        next(masks.all_masks(31))
