"""A speller that thinks of nothing but one beat at a time, to count symbols against.

Each beat is divided in as few parts as hold its strokes. From its start on, each stroke and each silence takes the
longest plain value that is aligned (starts a whole number of times its own length into its unit) and has room; no dots,
no ties; one number where the parts are no plain values, which are thirteen at most.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from math import lcm

from kitgen.time import Beat, Meters

_MOST_PARTS, _NO_SPELLING = 13, 1000


def symbols_of_bar(meters: Meters, bar: int, onsets: Sequence[Fraction]) -> int:
    """Symbols of one bar of one voice."""
    return sum(_of_beat(beat, onsets) for beat in meters.beats if beat.bar == bar)


def _of_beat(beat: Beat, onsets: Sequence[Fraction]) -> int:
    places = [(onset - beat.start) / beat.length for onset in onsets if beat.start <= onset < beat.end]
    units = beat.length.numerator
    parts = lcm(units, *(place.denominator for place in places))
    edges = sorted({0, parts, *(int(place * parts) for place in places)})
    a_unit = parts // units
    number = 0 if a_unit & (a_unit - 1) == 0 else 1
    if number and parts > _MOST_PARTS:
        return _NO_SPELLING
    return number + sum(_aligned(first, last, parts if number else a_unit) for first, last in pairwise(edges))


def _aligned(start: int, end: int, unit: int) -> int:
    """How many aligned plain values there are from one part to another."""
    count = 0
    while start < end:
        length = 1
        while start % unit % (2 * length) == 0 and start % unit + 2 * length <= unit and start + 2 * length <= end:
            length *= 2
        start, count = start + length, count + 1
    return count
