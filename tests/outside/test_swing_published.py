"""Swing against published measurements.

Ratio by tempo: medians over 1,106 trio tracks of working drummers, computed from the tables published with H. Cheston,
J. L. Schlichting, I. Cross and P. M. C. Harrison, "Jazz Trio Database: Automated Annotation of Jazz Piano Trio
Recordings Processed Using Audio Source Separation", Transactions of the International Society for Music Information
Retrieval, 2024. Sixteenths: A. V. Frane, "Swing Rhythm in Classic Drum Breaks From Hip-Hop's Breakbeat Canon", Music
Perception 34(3), 2017. Widest: A. Friberg and A. Sundstrom, "Swing Ratios and Ensemble Timing in Jazz Performance",
Music Perception 19(3), 2002. Ratio as first part of the beat to second: F. Benadon, "Slicing the Beat", Ethnomusicology
50(1), 2006.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.kit import Limb
from kitgen.pattern import Feel, Hit, Pattern, auto_ratio, performed, straighten, swing
from kitgen.time import Meter, Meters
from tests.strategies import fewer

F = Fraction

MEDIANS = {
    110: "2.16", 130: "2.14", 150: "2.05", 170: "1.91", 190: "1.85", 210: "1.65", 230: "1.55", 250: "1.35", 270: "1.27",
    290: "1.15",
}  # fmt: skip
ROUNDED = {
    110: "2.15", 130: "2.15", 150: "2.05", 170: "1.9", 190: "1.85", 210: "1.65", 230: "1.55", 250: "1.35", 270: "1.25",
    290: "1.15",
}  # fmt: skip

# Where the offbeat of a pair falls, as a share of it: ratio/(1+ratio).
OFFBEATS = {
    "1": 0.5, "1.2": 0.545455, "1.3": 0.565217, "1.5": 0.6, "2": 0.666667, "2.5": 0.714286, "3": 0.75, "3.5": 0.777778,
}  # fmt: skip


@pytest.mark.parametrize("tempo", MEDIANS)
def test_auto_is_the_median_of_the_tempo(tempo: int) -> None:
    """At each measured tempo auto is the published median, rounded to 0.05."""
    assert auto_ratio(tempo) == F(ROUNDED[tempo])
    assert abs(auto_ratio(tempo) - F(MEDIANS[tempo])) <= F("0.025")


@pytest.mark.parametrize("tempo", [20, 60, 100, 109.9])
def test_below_the_slowest_its_ratio_is_held(tempo: float) -> None:
    """Below the slowest measured tempo its ratio is held."""
    assert auto_ratio(tempo) == F("2.15")


@pytest.mark.parametrize("tempo", [290.1, 300, 400])
def test_above_the_fastest_its_ratio_is_held(tempo: float) -> None:
    """Above the fastest measured tempo its ratio is held."""
    assert auto_ratio(tempo) == F("1.15")


@pytest.mark.parametrize(("tempo", "ratio"), [(200, "1.75"), (160, "2"), (180, "1.9"), (240, "1.45"), (280, "1.2")])
def test_between_it_is_interpolated(tempo: int, ratio: str) -> None:
    """Between two measured tempi the ratio lies on the line between them, rounded to 0.05."""
    assert auto_ratio(tempo) == F(ratio)


@fewer
@given(st.floats(20, 400), st.floats(20, 400))
def test_it_falls_as_the_tempo_rises(one: float, other: float) -> None:
    """The faster the tempo, the smaller (or equal) the ratio; it is a multiple of 0.05 within what was measured."""
    slow, fast = sorted((one, other))
    assert auto_ratio(slow) >= auto_ratio(fast)
    assert (auto_ratio(slow) * 20).denominator == 1
    assert 1 < auto_ratio(fast) < F("3.5")


@pytest.mark.parametrize("tempo", [60, 90, 160, 300])
def test_sixteenths_do_not_follow_the_tempo(tempo: int) -> None:
    """Sixteenths swing 1.2:1, the median of the breaks, at every tempo: no correlation was found."""
    assert auto_ratio(tempo, unit=16) == F("1.2")


@pytest.mark.parametrize("ratio", OFFBEATS)
@pytest.mark.parametrize("unit", [8, 16])
def test_where_the_offbeat_falls(ratio: str, unit: int) -> None:
    """Performed, the offbeat of a pair falls on ratio/(1+ratio) of it, of eighths and of sixteenths."""
    feel = Feel(unit, F(ratio))
    written = Pattern((Hit(feel.pair / 2, Limb.RH, "ride"),), Meters.of(Meter(4, 4)), feel)
    (onset,) = performed(written).onsets
    assert float(onset / feel.pair) == pytest.approx(OFFBEATS[ratio], abs=5e-7)


@pytest.mark.parametrize(("upbeat", "ratio"), [("1/2", "1"), ("3/4", "3"), ("2/3", "2"), ("7/9", "7/2")])
def test_the_ratio_is_first_part_to_second(upbeat: str, ratio: str) -> None:
    """A ratio is the first part of the beat divided by the second, as it is defined where it was measured."""
    at = F(upbeat)
    feel = Feel(8, F(ratio))
    assert at / (1 - at) == feel.ratio
    played = Pattern((Hit(at, Limb.RH, "ride"),), Meters.of(Meter(4, 4)))
    assert straighten(played, feel).onsets == (F(1, 2),)


def test_the_widest_measured_can_be_asked_for() -> None:
    """The widest ratio measured, 3.5:1 near 120, can be asked for at any tempo."""
    ride = Pattern((Hit(F(1, 2), Limb.RH, "ride"),), Meters.of(Meter(4, 4)))
    assert performed(swing(ride, ratio="3.5:1", tempo_bpm=120)).onsets == (F(7, 9),)
