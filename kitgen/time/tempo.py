"""Tempo in beats a minute of the meter's own beat."""

import math
from fractions import Fraction

from kitgen.errors import TimeError

BPM_RANGE = (20, 400)

_UNIT_NAMES = {
    Fraction(4): "whole",
    Fraction(3): "dotted half",
    Fraction(2): "half",
    Fraction(3, 2): "dotted quarter",
    Fraction(1): "quarter",
    Fraction(3, 4): "dotted eighth",
    Fraction(1, 2): "eighth",
    Fraction(3, 8): "dotted sixteenth",
    Fraction(1, 4): "sixteenth",
    Fraction(3, 16): "dotted thirty-second",
    Fraction(1, 8): "thirty-second",
    Fraction(1, 16): "sixty-fourth",
}


def unit_name(length: Fraction) -> str:
    """The note value a bpm counts, in words: ``quarter``, ``dotted quarter``, ``half``.

    >>> unit_name(Fraction(3, 2))
    'dotted quarter'
    """
    return _UNIT_NAMES.get(length, f"{length} of a quarter")


def unit_names(length: Fraction) -> str:
    """As :func:`unit_name`, for several: ``quarters``, ``halves``."""
    name = unit_name(length)
    return f"{name.removesuffix('half')}halves" if name.endswith("half") else f"{name}s"


def bpm_value(given: float | str) -> float:
    """A tempo as a number, checked, to a hundredth.

    Raises:
        TimeError: not a number, or outside 20 to 400.
    """
    try:
        bpm = float(given)
    except ValueError:
        bpm = math.nan
    low, high = BPM_RANGE
    if not low <= bpm <= high:
        raise TimeError(f"a tempo of {given} cannot be played to; it is {low} to {high} beats a minute")
    return int(bpm) if bpm == int(bpm) else round(bpm, 2)
