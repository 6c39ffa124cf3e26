"""Counting lines under conditions: against going through all of them, and drawing some without preference."""

from collections import Counter
from itertools import product

import pytest

from kitgen.errors import OptionError
from kitgen.grid.census import Census, counted, range_of, sampled

Line = tuple[int, ...]


def every_line(slots: int, limbs: int, *, together: bool) -> list[Line]:
    """All lines, a set of limbs a slot."""
    symbols = range(1 << limbs) if together else [0, *(1 << limb for limb in range(limbs))]
    return list(product(symbols, repeat=slots))


def strokes(line: Line) -> int:
    """Strokes of all limbs."""
    return sum(symbol.bit_count() for symbol in line)


def turns(line: Line) -> frozenset[Line]:
    """The turns of a line."""
    return frozenset(line[by:] + line[:by] for by in range(len(line)))


@pytest.mark.parametrize("together", [True, False])
@pytest.mark.parametrize(("slots", "limbs"), [(6, 1), (5, 2), (6, 2), (4, 3), (3, 4)])
def test_closed_forms_against_all_lines(slots: int, limbs: int, *, together: bool) -> None:
    """Lines, turns counted once, and both with so many strokes, are as many as there are."""
    lines = every_line(slots, limbs, together=together)
    some = [line for line in lines if 2 <= strokes(line) <= 4]
    rows = counted(Census(slots, limbs, together=together, density=(2, 4), rotations=False))
    numbers = [row.number for row in rows if row.what != "and backwards once"]
    assert numbers == [len(lines), len(set(map(turns, lines))), len(some), len(set(map(turns, some)))]
    assert not any("one by one" in row.how for row in rows)


def test_conditions_together() -> None:
    """Distance and density together are gone through one by one; distance alone has a closed form."""
    alone = counted(Census(8, apart=3))[-1]
    both = counted(Census(8, apart=3, density=(2, 2)))[-1]
    assert (alone.number, alone.how) == (1 + 8 + 12, "closed form for cyclic gaps")
    assert (both.number, both.how) == (12, "gone through one by one")
    assert counted(Census(8, apart=3, density=(2, 2), rotations=False))[-1].number == 2


def test_lines_without_syncopation() -> None:
    """Of the lines of four slots those in which no onset leads to a rest on a stronger place (by hand)."""
    smooth = {"....", "x...", "x.x.", "x.xx", "xxx.", "xxxx", "x..x"}
    census = Census(4, syncopation=(0, 0))
    assert counted(census)[-1].number == len(smooth)
    assert set(sampled(census, 7)) == smooth


@pytest.mark.parametrize(
    ("limbs", "together", "density", "rotations"),
    [
        (1, True, None, True),
        (1, True, (2, 2), False),
        (2, True, None, False),
        (2, False, (1, 2), True),
        (2, True, (2, 2), False),
    ],
)
def test_a_sample_prefers_nothing(
    limbs: int, density: tuple[int, int] | None, *, together: bool, rotations: bool
) -> None:
    """Over many seeds every line is drawn about equally often, and no other."""
    census = Census(3, limbs, together=together, density=density, rotations=rotations)
    many = counted(census)[-1].number
    drawn = Counter(line for seed in range(60 * many) for line in sampled(census, 1, seed=seed))
    assert len(drawn) == many
    assert max(drawn.values()) < 2 * min(drawn.values())
    assert len(set(sampled(census, many))) == many


def test_samples_are_boxes() -> None:
    """A row a limb, in groups of a beat."""
    (line,) = sampled(Census(16, 2, density=(32, 32)), 1)
    assert line == "xxxx xxxx xxxx xxxx\nxxxx xxxx xxxx xxxx"
    (three,) = sampled(Census(6, density=(6, 6)), 1)
    assert three == "xxx xxx"
    assert list(sampled(Census(40), 2, seed=1)) == list(sampled(Census(40), 2, seed=1))


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"slots": 0}, "--slots 0; 1 to 64"),
        ({"slots": 65}, "--slots 65"),
        ({"limbs": 5}, "--limbs 5; 1 to 4"),
        ({"limbs": 2, "apart": 2}, "are of one limb's line"),
        ({"limbs": 2, "syncopation": (0, 1)}, "are of one limb's line"),
        ({"apart": 17}, "--apart 17"),
        ({"slots": 40, "syncopation": (0, 1)}, "use --slots 24 or fewer"),
    ],
)
def test_what_cannot_be_counted(values: dict[str, object], words: str) -> None:
    """The number, what is allowed, and a way out."""
    with pytest.raises(OptionError, match=words):
        Census(**values)  # type: ignore[arg-type]  # the point is what may be wrong


@pytest.mark.parametrize("words", ["x", "3-", "-3", "5-3", "1.5", ""])
def test_ranges_that_cannot_be_read(words: str) -> None:
    """A number or two, the smaller first."""
    with pytest.raises(OptionError, match="--density"):
        range_of("--density", words)


@pytest.mark.parametrize("many", [0, 17, -1])
def test_more_than_there_are(many: int) -> None:
    """No more can be drawn than there are."""
    with pytest.raises(OptionError, match="there are 16 such lines"):
        list(sampled(Census(4), many))
