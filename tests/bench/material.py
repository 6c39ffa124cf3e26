"""What the benches work on: pages of any length with 25 hits a bar, on sixteenths, in all four limbs.

Everything is made anew at each call, so that nothing a value remembers of itself is there beforehand.
"""

from fractions import Fraction

from kitgen import Line, Meters, Page, Pattern, Row, in_limb, ostinato
from kitgen.page import Tempo

BARS = 16
HITS_A_BAR = 25


def rhythm(bars: int = BARS) -> Line:
    """A line of eighths and sixteenths, nine notes a bar."""
    return Line.parse("1 & 2 e & a 3 4 &") * bars


def laid_over_samba(line: Line) -> Pattern:
    """The line in the left hand over quarters in the right and a samba in the feet."""
    return in_limb(line, "LH", "snare") | in_limb(Line.parse("1 2 3 4"), "RH", "ride") | ostinato("samba")


def unused(pattern: Pattern) -> Pattern:
    """The pattern again, with a map of meters that has not worked out its bars and beats yet."""
    return Pattern(pattern.hits, Meters(pattern.meters.runs), pattern.feel)


def page_of(pattern: Pattern) -> Page:
    """A page of one row."""
    row = Row("line in LH", unused(pattern))
    return Page("Left hand over samba", "Start the samba, then add the line.", (row,), Tempo.at(96, Fraction(1)))
