"""Long patterns and lines cost in proportion to their length: counted in calls, not in seconds."""

import sys
from collections.abc import Callable
from fractions import Fraction

import pytest

from kitgen.kit import Limb
from kitgen.line import Line, parse, render
from kitgen.pattern import Feel, Hit, Pattern, parse_rows, performed, project_line, render_rows, reverse, straighten
from kitgen.time import Meter, Meters

SWING = Feel(8, Fraction(2))
SWEEP = Pattern((Hit(Fraction(0), Limb.LH, "snare", length=Fraction(2)),), Meters.of(Meter(4, 4)))
GROOVE = parse_rows("RH ride x.xx x.xx x.xx x.xx; RF bass x... x... x..x x...; LF hat-foot .. x. .. x.") | SWEEP
LINE = Line.parse("x.x. xxx x--- ..x-")


def calls_of(work: Callable[[], object]) -> int:
    """How many Python calls some work makes."""
    count = 0

    def counted(_frame: object, event: str, _argument: object) -> None:
        nonlocal count
        count += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(counted)
    try:
        work()
    finally:
        sys.setprofile(before)
    return count


def rows(bars: int) -> Callable[[], object]:
    """Printing and reading the rows of so many bars."""
    p = GROOVE * bars
    return lambda: parse_rows(render_rows(p))


def changing(bars: int) -> Callable[[], object]:
    """Printing and reading rows under a meter that changes every bar."""
    p = (GROOVE + parse_rows("RF bass x . .", "3/4")) * bars
    return lambda: parse_rows(render_rows(p))


def played(bars: int) -> Callable[[], object]:
    """Performing and straightening so many bars."""
    p = (GROOVE * bars).with_feel(SWING)
    return lambda: straighten(performed(p), SWING)


def combined(bars: int) -> Callable[[], object]:
    """Repeating, layering, displacing and reversing so many bars."""
    bare = Pattern(tuple(hit for hit in GROOVE.hits if hit.length is None), GROOVE.meters)
    return lambda: reverse(((bare * bars) | SWEEP.with_hits(())) >> Fraction(1, 3))


def read_back(notation: str) -> Callable[[int], Callable[[], object]]:
    """Printing and reading a line of so many bars in a notation."""

    def made(bars: int) -> Callable[[], object]:
        line = (Line.parse("1 & 2 e & a 3 4 trip let") if notation == "counts" else LINE) * bars
        return lambda: parse(render(line, notation), notation=notation)

    return made


def long_and_short(bars: int) -> Callable[[], object]:
    """Telling long from short in a line projected out of so many bars."""
    p = GROOVE * bars

    def work() -> object:
        line = project_line(p, "RH")
        return [line.is_long(note) for note in line.notes]

    return work


@pytest.mark.parametrize(
    "made",
    [rows, changing, played, combined, read_back("boxes"), read_back("counts"), read_back("values"), long_and_short],
    ids=["rows", "changing rows", "swing", "algebra", "boxes", "counts", "values", "long and short"],
)
def test_eight_times_as_long_is_no_more_than_ten_times_the_work(made: Callable[[int], Callable[[], object]]) -> None:
    """Work grows with the length of the music, not with its square."""
    small, large = calls_of(made(8)), calls_of(made(64))
    assert large < 10 * small


def test_sixteen_hundred_bars() -> None:
    """A pattern of 1,600 bars is repeated, printed and read back equal."""
    long = parse_rows("RF bass x x x x; LF hat-foot . x . x") * 1600
    assert long.span == 6400
    assert parse_rows(render_rows(long, counts=False)) == long
