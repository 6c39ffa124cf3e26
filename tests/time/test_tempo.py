"""Tempo: what a bpm counts, and which can be played to."""

import math
from fractions import Fraction

import pytest

from kitgen.errors import TimeError
from kitgen.time import BPM_RANGE, bpm_value, unit_name


@pytest.mark.parametrize(
    ("given", "bpm"), [(20, 20), (400, 400), ("60", 60), ("92.5", 92.5), (120.0, 120), (" 80 ", 80)]
)
def test_a_tempo_is_a_number(given: float | str, bpm: float) -> None:
    """A tempo is read from a number or its text; whole ones are whole."""
    value = bpm_value(given)
    assert value == bpm
    assert isinstance(value, int) is (bpm == int(bpm))


@pytest.mark.parametrize(
    "given",
    [0, -60, 19.99, 401, 400.5, math.nan, math.inf, -math.inf, "nan", "inf", "0", "fast", "", "1e9", "60..90"],
    ids=repr,
)
def test_a_tempo_that_cannot_be(given: float | str) -> None:
    """A tempo that is no number or outside 20 to 400 is refused with what was given and the range."""
    with pytest.raises(TimeError) as caught:
        bpm_value(given)
    assert str(caught.value) == f"a tempo of {given} cannot be played to; it is 20 to 400 beats a minute"


def test_the_range() -> None:
    """Tempi reach from 20 to 400."""
    assert BPM_RANGE == (20, 400)


@pytest.mark.parametrize(
    ("length", "name"),
    [
        ("1", "quarter"),
        ("3/2", "dotted quarter"),
        ("2", "half"),
        ("1/2", "eighth"),
        ("1/4", "sixteenth"),
        ("5/2", "5/2 of a quarter"),
    ],
)
def test_a_unit_has_a_name(length: str, name: str) -> None:
    """Note values are named as the trade names them, others as shares of a quarter."""
    assert unit_name(Fraction(length)) == name
