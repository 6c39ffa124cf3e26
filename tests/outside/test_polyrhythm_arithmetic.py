"""Even strokes against even strokes, and beats against a bar, held against arithmetic and published boxes.

Arithmetic: m and n even strokes in one bar stand on the lcm(m, n) counts of it, every lcm/m-th and every lcm/n-th; they
share gcd(m, n) of them, so m + n - gcd(m, n) counts are struck. b beats over a bar of a beats meet it after lcm(a, b)
beats. The counts said aloud for two against three and three against four are common practice. Boxes, one character a
unit of time: G. T. Toussaint, "The Euclidean Algorithm Generates Traditional Musical Rhythms", Bridges 2005 (four in
twelve; three in eight, the tresillo).
"""

from fractions import Fraction
from itertools import product
from math import gcd, lcm

import pytest

from kitgen.apply import Setting, apply
from kitgen.apply.against import composite
from kitgen.line import Line, parse
from kitgen.pattern import Pattern
from kitgen.time import Meter, Meters

NUMBERS = range(2, 10)
PAIRS = [(m, n) for m, n in product(NUMBERS, NUMBERS) if m % n and n % m]
OVER = [(bar, beats) for bar, beats in product(range(2, 8), range(1, 16)) if bar % beats and beats % bar]


def in_hands(pattern: Pattern) -> set[Fraction]:
    """Where either hand strikes."""
    return {hit.onset for hit in pattern.hits if hit.limb.is_hand}


def boxes(pattern: Pattern, units: int) -> str:
    """What the hands strike as boxes, so many to the whole pattern."""
    struck = in_hands(pattern)
    return "".join("x" if pattern.span * Fraction(k, units) in struck else "." for k in range(units))


def together(m: int, n: int, meter: str) -> Pattern:
    """M against n in one bar."""
    bar = Line((), Meters.of(Meter.parse(meter)))
    return apply(bar, "against", Setting(against=f"{m}:{n}")).rows[-1][1]


@pytest.mark.parametrize(
    ("m", "n", "counts", "size"),
    [
        (2, 3, (1, 3, 4, 5), 6),
        (3, 2, (1, 3, 4, 5), 6),
        (3, 4, (1, 4, 5, 7, 9, 10), 12),
        (4, 3, (1, 4, 5, 7, 9, 10), 12),
    ],
)
def test_counts_said_aloud(m: int, n: int, counts: tuple[int, ...], size: int) -> None:
    """Two against three is 1 3 4 5 of six, three against four 1 4 5 7 9 10 of twelve (common practice)."""
    assert composite(m, n) == (counts, size)
    for meter in ("3/4", "4/4", "6/8", "7/8"):
        row = boxes(together(m, n, meter), size)
        assert tuple(k + 1 for k, box in enumerate(row) if box == "x") == counts


@pytest.mark.parametrize(("m", "n"), PAIRS)
def test_strokes_that_differ(m: int, n: int) -> None:
    """Of m against n, m + n - gcd(m, n) strokes differ, all on the lcm(m, n) counts of the bar (arithmetic)."""
    counts, size = composite(m, n)
    assert size == lcm(m, n)
    assert len(counts) == m + n - gcd(m, n)
    pattern = together(m, n, "4/4")
    assert in_hands(pattern) == {Fraction(4 * (count - 1), size) for count in counts}
    assert len([hit for hit in pattern.hits if hit.limb.is_hand]) == m + n


@pytest.mark.parametrize(("m", "n"), PAIRS)
def test_a_composite_reads_the_same_backwards(m: int, n: int) -> None:
    """From the 1, m against n is the same forwards and backwards: k*lcm/m and -k*lcm/m are both struck (arithmetic)."""
    row = boxes(together(m, n, "4/4"), lcm(m, n))
    assert row[1:] == row[:0:-1]


def test_four_in_twelve() -> None:
    """Four even strokes in a bar of twelve eighths are the box of four in twelve (Toussaint 2005)."""
    line = Line.parse("x.. ... ... ...", "12/8")
    (_, pattern) = apply(line, "against", Setting(against="4")).rows[1]
    assert boxes(pattern, 12) == "x..x..x..x.."


def test_three_eighths_over_four_quarters_begin_as_the_tresillo() -> None:
    """Three eighths, the first struck, over 4/4: the first bar is the tresillo (Toussaint 2005), then its rotations."""
    tresillo = "x..x..x."
    row = boxes(apply(parse("x..", "3/8"), "over-bar").rows[-1][1], 24)
    bars = [row[:8], row[8:16], row[16:]]
    assert bars[0] == tresillo
    assert bars == [tresillo, ".x..x..x", "..x..x.."]
    assert row == "x.." * 8


@pytest.mark.parametrize(("bar", "beats"), OVER)
def test_where_beats_meet_the_bar(bar: int, beats: int) -> None:
    """Beats over a bar of quarters meet it after lcm of both, where neither fits the other (arithmetic)."""
    line = Line.of_onsets(map(Fraction, range(bar * 15)), Meters.of(Meter(bar, 4), 15))
    pattern = apply(line, "over-bar", Setting(beats=beats)).rows[-1][1]
    assert pattern.span == lcm(bar, beats)
    assert len(pattern.meters.bars) == lcm(bar, beats) // bar
