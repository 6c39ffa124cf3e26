"""What the benches work on: pages of any length with 25 hits a bar, on sixteenths, in all four limbs.

Everything is made anew at each call, so that nothing a value remembers of itself is there beforehand.
"""

from fractions import Fraction
from itertools import cycle

from kitgen import Level, Line, Meters, Page, Pattern, Row, in_limb, ostinato
from kitgen.page import Tempo
from kitgen.pattern.sticking import Stroke
from kitgen.time import Meter

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


def free_strokes(bars: int) -> list[Stroke]:
    """Twenty-five strokes a bar that any hand may play, sixteenth triplets round the drums, some of them accents."""
    drums = cycle(("snare", "snare", "high-tom", "snare", "mid-tom", "floor-tom", "snare"))
    places = [Fraction(place, 6) for place in range(24)] + [Fraction(47, 12)]
    return [
        Stroke(4 * bar + place, next(drums), Level.ACCENT if place.denominator == 1 else Level.TAP)
        for bar in range(bars)
        for place in places
    ]


def four_four(bars: int) -> Meters:
    """So many bars, whose beats have not been worked out yet."""
    return Meters.of(Meter(4, 4), bars)
