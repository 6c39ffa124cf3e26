"""Whole numbers for places and lengths while a bar is being spelled, and the note values there are.

Conventions: a tick is so short that every note value down to the 128th, and every tuplet of up to 13 parts of any of
them, is a whole number of ticks; what is not cannot be written. A value is written with one dot at most.
"""

from fractions import Fraction
from math import lcm

MOST_PARTS = 13
"""Parts of the widest tuplet that is written."""
TICKS = 32 * lcm(*range(1, MOST_PARTS + 1))
"""Ticks of a quarter."""
SHORTEST = TICKS // 32
"""A 128th."""

_TYPES = ("128th", "64th", "32nd", "16th", "eighth", "quarter", "half", "whole", "breve", "long")

PLAIN: dict[int, str] = {SHORTEST << power: name for power, name in enumerate(_TYPES)}
"""The plain note values by length in ticks; names as in MusicXML."""
WRITTEN: dict[int, tuple[str, int]] = {length: (name, 0) for length, name in PLAIN.items()} | {
    length * 3 // 2: (name, 1) for length, name in PLAIN.items() if length > SHORTEST
}
"""Every value by length in ticks, as (type, dots), the shortest first."""
WRITTEN = dict(sorted(WRITTEN.items()))
LENGTHS = tuple(WRITTEN)

FLAGS: dict[str, int] = {"eighth": 1, "16th": 2, "32nd": 3, "64th": 4, "128th": 5}
"""Flags, or beams, of the values that have any."""


def in_ticks(place: Fraction) -> int | None:
    """A place or length in ticks; None where it is no whole number of them.

    >>> in_ticks(Fraction(1, 3)) * 3 == TICKS, in_ticks(Fraction(1, 17))
    (True, None)
    """
    down = place.denominator
    return None if TICKS % down else place.numerator * (TICKS // down)


def in_quarters(ticks: int) -> Fraction:
    """Ticks in quarters."""
    return Fraction(ticks, TICKS)


def odd_part(length: int) -> tuple[int, int]:
    """A length as (k, unit): k units of the longest plain value that divides it, k odd; (0, 0) if it is not exact.

    >>> odd_part(TICKS) == (1, TICKS), odd_part(3 * TICKS // 2) == (3, TICKS // 2), odd_part(TICKS // 3)
    (True, True, (0, 0))
    """
    shortest, rest = divmod(length, SHORTEST)
    if rest or not shortest:
        return 0, 0
    two = shortest & -shortest
    return shortest // two, two * SHORTEST
