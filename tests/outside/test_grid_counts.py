"""How many cells and lines there are, and what falls together over traditional feet, against outside facts.

Cells of a beat: all ways to strike n places but none, 2^n - 1; their order is common practice. Necklaces of 2, 3 and 4
symbols: A000031, A001867 and A001868 of the On-Line Encyclopedia of Integer Sequences (the last two from memory).
Lines with so many strokes: binomial coefficients. Cyclic lines whose strokes are not neighbours: Lucas numbers.
Standard first feet of a grid: common practice.
"""

from math import comb

import pytest

from kitgen.grid.cells import cells_of
from kitgen.grid.census import Census, counted
from kitgen.grid.grids import Grid, steps_of
from kitgen.grid.kernels import together_notes
from kitgen.grid.laying import cell_on_every_beat
from kitgen.kit import Limb, kit
from kitgen.time import Meter

FOUR = Meter(4, 4)
A000031 = (2, 3, 4, 6, 8, 14, 20, 36, 60, 108, 188, 352, 632, 1182, 2192, 4116)
A001867 = (3, 6, 11, 24, 51, 130, 315, 834)
A001868 = (4, 10, 24, 70, 208, 700, 2344, 8230)
LUCAS = (3, 4, 7, 11, 18, 29, 47, 76, 123, 199, 322)

SIXTEENTHS = (
    "1", "1 &", "1 e & a",
    "1 & a", "1 e &", "1 e a", "1 a", "1 e",
    "e & a", "& a", "e &", "e a", "&", "a", "e",
)  # fmt: skip
"""An order in which teachers go through them: the full beat early, then what is left of it; the number first (common
practice; others go by the number of strokes)."""


@pytest.mark.parametrize(
    ("kind", "count"), [("8ths", 3), ("triplets", 7), ("16ths", 15), ("quintuplets", 31), ("sextuplets", 63)]
)
def test_how_many_cells_a_beat_has(kind: str, count: int) -> None:
    """2^n - 1: 3 of eighths, 7 of triplets, 15 of sixteenths, 31 of fives and 63 of sixes (arithmetic)."""
    assert len(cells_of(kind, FOUR)) == count


def test_the_traditional_order_of_sixteenths() -> None:
    """The number, the half and the full beat, then the permutations of it (common practice)."""
    places = {"1": 0, "e": 1, "&": 2, "a": 3}
    expected = [
        "".join("x" if slot in {places[w] for w in words.split()} else "." for slot in range(4)) for words in SIXTEENTHS
    ]
    assert [str(cell) for cell in cells_of("16ths", FOUR)] == expected


def number(census: Census, what: str) -> int:
    """The number of the row that is called so."""
    return next(row.number for row in counted(census) if row.what.startswith(what))


def test_necklaces() -> None:
    """Turns counted once: A000031 for one limb, A001867 for two never at once, A001868 for two (OEIS)."""
    once = "turns of one another once"
    assert tuple(number(Census(n, rotations=False), once) for n in range(1, 17)) == A000031
    linear = tuple(number(Census(n, 2, together=False, rotations=False), once) for n in range(1, 9))
    assert linear == A001867
    assert tuple(number(Census(n, 2, rotations=False), once) for n in range(1, 9)) == A001868


def test_all_lines_and_pairs_of_limbs() -> None:
    """65,536 lines of sixteen slots, 4^16 for two limbs, 3^16 if they never meet (arithmetic)."""
    assert number(Census(16), "lines") == 65_536
    assert number(Census(16, 2), "lines") == 4_294_967_296
    assert number(Census(16, 2, together=False), "lines") == 43_046_721


@pytest.mark.parametrize("strokes", [0, 1, 5, 8, 16])
def test_lines_by_strokes(strokes: int) -> None:
    """Binomial coefficients: n choose k for one limb, 2n choose k for two, n choose k times 2^k if never at once."""
    assert number(Census(16, density=(strokes, strokes)), "with") == comb(16, strokes)
    assert number(Census(16, 2, density=(strokes, strokes)), "with") == comb(32, strokes)
    linear = Census(16, 2, together=False, density=(strokes, strokes))
    assert number(linear, "with") == comb(16, strokes) * 2**strokes


def test_lines_without_neighbours() -> None:
    """Lucas numbers, from two slots on (arithmetic)."""
    assert tuple(number(Census(n, apart=2), "with") for n in range(2, 13)) == LUCAS


@pytest.mark.parametrize(
    ("under", "boxes", "words"),
    [
        ("samba", "x..x", {"left hand and bass on every number and every a"}),
        ("samba", "..x.", {"left hand and hat foot on every &"}),
        ("quarters-hat-2-4", "x...", {"left hand and bass on 1 and 3", "left hand, bass and hat foot on 2 and 4"}),
        ("bossa", "x...", {"left hand and bass on 1 and 3", "left hand and hat foot on 2 and 4"}),
        ("tumbao", "..x.", {"left hand and bass on the & of 2"}),
        ("tumbao", "x...", {"left hand and hat foot on 2", "left hand, bass and hat foot on 4"}),
        ("baiao", "...x", {"left hand and bass on the a of 1 and the a of 3"}),
    ],
)  # fmt: skip
def test_what_meets_the_feet(under: str, boxes: str, words: set[str]) -> None:
    """Where the hand and the traditional feet strike together (common practice: read off the feet's rows)."""
    grid = Grid(FOUR, kit("standard"), ((Limb.LH,),), (under,))
    step = next(one for one in steps_of(grid) if str(one.cell) == boxes)
    assert step.cell is not None
    said = together_notes(cell_on_every_beat(step.cell, step.ground, step.voices), [Limb.LH])
    assert {note.removeprefix("together, no flam: ") for note in said} == words


@pytest.mark.parametrize(
    "under",
    [
        "quarters",
        "hat-quarters",
        "hat-2-4",
        "bass-1-3-hat-2-4",
        "quarters-hat-2-4",
        "samba",
        "bossa",
        "baiao",
        "tumbao",
        "songo",
    ],
)
def test_the_standard_first_feet_have_their_grids(under: str) -> None:
    """Every standard ostinato of the feet has a grid of sixteen pages for the left hand (common practice)."""
    assert len(steps_of(Grid(FOUR, kit("standard"), ((Limb.LH,),), (under,)))) == 16
