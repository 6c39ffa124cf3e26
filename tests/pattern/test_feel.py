"""Feels: even, swung by a ratio, swung by the tempo."""

import math
import re
from fractions import Fraction

import pytest
from hypothesis import given

from kitgen.errors import FeelError
from kitgen.kit import Limb
from kitgen.pattern import EVEN, Feel, Hit, Pattern, auto_ratio, performed, straighten, swing
from kitgen.time import Meter, Meters
from tests.strategies import feels, fewer

F = Fraction
RIDE = Pattern((Hit(F(0), Limb.RH, "ride"), Hit(F(1, 2), Limb.RH, "ride")), Meters.of(Meter(4, 4)))


@pytest.mark.parametrize(
    ("text", "unit", "feel"),
    [
        ("even", 8, EVEN),
        ("EVEN ", 16, EVEN),
        ("auto", 8, Feel(8, None)),
        ("auto", 16, Feel(16, None)),
        ("2:1", 8, Feel(8, F(2))),
        ("1.6:1", 16, Feel(16, F("1.6"))),
        ("3:2", 8, Feel(8, F(3, 2))),
        ("1:1", 8, Feel(8, F(1))),
        ("5:1", 8, Feel(8, F(5))),
    ],
)
def test_read(text: str, unit: int, feel: Feel) -> None:
    """A feel is read from even, auto, or long to short."""
    assert Feel.parse(text, unit=unit) == feel


@fewer
@given(feels)
def test_a_ratio_reads_back(feel: Feel) -> None:
    """A ratio printed, as a short decimal or as two numbers, is read back exactly."""
    if feel.unit:
        assert Feel.parse(feel.ratio_text, unit=feel.unit) == feel


@pytest.mark.parametrize(
    ("ratio", "text"),
    [("2", "2:1"), ("1.85", "1.85:1"), ("5/3", "5:3"), ("1", "1:1"), ("1.2345678", "6172839:5000000")],
)
def test_a_ratio_in_text(ratio: str, text: str) -> None:
    """A ratio is a short decimal to 1 where that is exact, else two whole numbers."""
    assert Feel(8, F(ratio)).ratio_text == text


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0:1", "a swing of 0:1 is shorter than 1:1; the first of a pair is the long one, 1:1 to 5:1"),
        ("1:2", "a swing of 1:2 is shorter than 1:1"),
        ("0.9:1", "a swing of 0.9:1 is shorter than 1:1"),
        ("6:1", "a swing ratio of 6:1 is outside 1:1 to 5:1, long to short; the widest measured is about 3.5:1"),
        ("1000:1", "outside 1:1 to 5:1"),
        ("nan", "cannot read 'nan' as a swing; write even, auto, or long:short such as 2:1 or 1.6:1"),
        ("nan:1", "cannot read 'nan:1' as a swing"),
        ("inf:1", "cannot read 'inf:1' as a swing"),
        ("2:0", "cannot read '2:0' as a swing"),
        ("-2:-1", "cannot read '-2:-1' as a swing"),
        ("-2:1", "cannot read '-2:1' as a swing"),
        ("2", "cannot read '2' as a swing"),
        ("2:", "cannot read '2:' as a swing"),
        (":", "cannot read ':' as a swing"),
        ("", "cannot read '' as a swing"),
        ("2:1:1", "cannot read '2:1:1' as a swing"),
        ("swung", "cannot read 'swung' as a swing"),
    ],
)
def test_a_swing_that_cannot_be(text: str, said: str) -> None:
    """A swing that cannot be is refused with what was given and what is allowed, as text and on a pattern."""
    with pytest.raises(FeelError, match=re.escape(said)):
        Feel.parse(text)
    with pytest.raises(FeelError, match=re.escape(said)):
        swing(RIDE, ratio=text)


@pytest.mark.parametrize(
    ("unit", "ratio", "said"),
    [
        (4, F(2), "swing unit 4; eighths (8) or sixteenths (16) swing"),
        (8, F(1, 2), "a swing ratio of 0.5:1 is outside 1:1 to 5:1"),
        (8, 1.6, "a swing ratio of 1.6; ratios are exact"),
        (8, math.nan, "a swing ratio of nan; ratios are exact"),
        (0, F(2), "an even feel has no ratio; give a unit (8 or 16) to swing"),
        (0, None, "an even feel has no ratio"),
    ],
)
def test_a_feel_that_cannot_be(unit: int, ratio: Fraction | None, said: str) -> None:
    """A feel that cannot be is refused with what was given and what is allowed."""
    with pytest.raises(FeelError, match=re.escape(said)):
        Feel(unit, ratio)


def test_a_whole_ratio_is_exact_too() -> None:
    """A whole number is a ratio."""
    assert Feel(8, 2) == Feel(8, F(2))  # type: ignore[arg-type]
    assert str(Feel(16, 3)) == "16 3:1"  # type: ignore[arg-type]


def test_even_has_no_pairs() -> None:
    """Only a swung feel has pairs: quarters of eighths, eighths of sixteenths."""
    assert (Feel(8, F(2)).pair, Feel(16, F(2)).pair) == (F(1), F(1, 2))
    with pytest.raises(FeelError, match="an even feel has no pairs"):
        _ = EVEN.pair


def test_auto_is_resolved_by_a_tempo() -> None:
    """Auto stays open until a tempo is known, a ratio stays what it is."""
    assert swing(RIDE).feel == Feel(8, None)
    assert swing(RIDE, tempo_bpm=190).feel == Feel(8, F("1.85"))
    assert swing(RIDE, ratio="2:1", tempo_bpm=190).feel == Feel(8, F(2))
    assert swing(RIDE, ratio=F(3), unit=16).feel == Feel(16, F(3))
    assert Feel(8, None).resolved(290) == Feel(8, F("1.15"))
    with pytest.raises(
        FeelError, match="swing auto takes its ratio from the tempo; give a tempo or a ratio such as 2:1"
    ):
        Feel(8, None).resolved(None)


@pytest.mark.parametrize("tempo", [0, -1, math.nan, math.inf], ids=repr)
def test_a_tempo_that_gives_no_ratio(tempo: float) -> None:
    """What is no tempo gives no ratio."""
    with pytest.raises(FeelError, match=f"takes its ratio from the tempo, and {tempo} quarters a minute is none"):
        auto_ratio(tempo)


def test_straighten_is_for_performances() -> None:
    """Only a performance can be straightened, and only by a ratio."""
    with pytest.raises(
        FeelError, match="this pattern is written even and swings 8 2:1; only a performance is straightened"
    ):
        straighten(swing(RIDE, ratio="2:1"))
    with pytest.raises(FeelError, match="give the feel a ratio to straighten"):
        straighten(RIDE, Feel(8, None))
    assert straighten(RIDE, EVEN) == RIDE
    assert performed(RIDE) == RIDE
