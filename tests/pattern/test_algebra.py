"""The named operations on patterns."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import KitError, PatternError, UnknownNameError
from kitgen.kit import Limb
from kitgen.pattern import (
    Hit,
    Level,
    Pattern,
    mirror,
    orchestrate,
    over,
    parse_rows,
    project,
    project_line,
    reverse,
    silence,
    stretch,
    tile,
)
from kitgen.time import Meter, Meters
from tests.strategies import fewer, maps, patterns

F = Fraction
GROOVE = parse_rows("RH closed-hat x.x. x.x. x.x. x.x.; LH snare .... X..g .g.. X...; RF bass x... .... x.x. ....")


def test_arguments_are_never_changed() -> None:
    """Every operation leaves the pattern it is given as it was."""
    before = (GROOVE.hits, GROOVE.meters, GROOVE.feel)
    for made in (GROOVE * 2, GROOVE >> 1, reverse(GROOVE), mirror(project(GROOVE, "RH")), stretch(GROOVE, 2)):
        assert made is not GROOVE
    assert (GROOVE.hits, GROOVE.meters, GROOVE.feel) == before


@fewer
@given(patterns(lengths=True), st.lists(st.sampled_from(Limb)))
def test_projections_part_the_pattern(p: Pattern, limbs: list[Limb]) -> None:
    """What some limbs play and what the others play are, together, the pattern."""
    own = project(p, *limbs)
    others = project(p, *(limb for limb in Limb if limb not in limbs))
    assert set(own.limbs) <= set(limbs)
    assert own | others == p


def test_projecting_reads_limbs_as_text() -> None:
    """A limb may be given by its letters; what is none is refused."""
    assert project(GROOVE, "rh", Limb.RF).limbs == (Limb.RH, Limb.RF)
    with pytest.raises(UnknownNameError, match="no limb is called 'hand'"):
        project(GROOVE, "hand")


def test_the_line_of_a_limb() -> None:
    """The line of a limb has its strokes of a level at least, accents kept, notes to the next or the beat's end."""
    assert str(project_line(GROOVE, "LH")) == ".. X--x .x-- X-"
    assert str(project_line(GROOVE, "LH", softest=Level.TAP)) == ". X . X"
    assert str(project_line(GROOVE, "RF")) == "x- .. xx .."


@fewer
@given(patterns())
def test_the_line_of_all_limbs_has_every_onset(p: Pattern) -> None:
    """With no limb named the line has every onset, accented where any limb accents."""
    line = project_line(p)
    assert line.onsets == p.onsets
    assert set(line.accents) == {hit.onset for hit in p.hits if hit.level is Level.ACCENT}
    assert line.meters == p.meters


@fewer
@given(maps(), st.integers(1, 4))
def test_tiling_fills_a_map(meters: Meters, times: int) -> None:
    """A pattern tiled into a map it divides is repeated, and barred by the map."""
    p = Pattern((Hit(F(0), Limb.RF, "bass"),), meters)
    assert tile(p, meters * times) == p * times
    wide = Meters(((Meter(64, 1), meters.span * times),))
    assert tile(p, wide).meters == wide
    assert tile(p, wide).hits == (p * times).hits


def test_tiling_that_does_not_fit() -> None:
    """A pattern that does not go into a map is refused with both lengths, nothing goes into nothing."""
    with pytest.raises(
        PatternError, match="a pattern of 4 quarters does not go a whole number of times into 6 quarters"
    ):
        tile(GROOVE, Meters.of(Meter(3, 4), 2))
    with pytest.raises(PatternError, match="a pattern of 0 quarters does not go"):
        tile(silence(), Meters.of(Meter(3, 4)))


def test_over_to_where_they_meet() -> None:
    """Three beats over four meet after three bars; going there repeats each as often as it takes."""
    three = Pattern((Hit(F(0), Limb.LH, "cowbell"),), Meters(((Meter(4, 4), F(3)),)))
    both = over(three, project(GROOVE, "RF"), to_lcm=True)
    assert both.span == 12
    assert len([hit for hit in both.hits if hit.limb is Limb.LH]) == 4


def test_reversing_keeps_the_downbeat() -> None:
    """Backwards, the downbeat stays and the last stroke comes second."""
    p = parse_rows("RF bass x... .... .... ...x")
    assert reverse(p).onsets == (F(0), F(1, 4))


@pytest.mark.parametrize(
    ("by", "said"), [(0, "by 0; a factor is more than 0"), (F(-1, 2), "by -1/2; a factor is more")]
)
def test_a_stretch_of_nothing(by: Fraction | int, said: str) -> None:
    """A factor of 0 or less is refused."""
    with pytest.raises(PatternError, match=f"cannot stretch {said}"):
        stretch(GROOVE, by)


def test_a_stretch_that_is_not_exact() -> None:
    """A factor that is not exact is refused."""
    with pytest.raises(PatternError, match=r"cannot stretch by 0\.5; a factor is exact: give a Fraction or an int"):
        stretch(silence(Meter(4, 4)), 0.5)  # type: ignore[arg-type]


def test_other_surfaces_by_name() -> None:
    """A mapping re-voices the surfaces it names, in the limbs it concerns."""
    on_ride = orchestrate(GROOVE, {"closed-hat": "ride", "snare": "cross-stick"}, "RH")
    assert {hit.surface for hit in on_ride.hits} == {"ride", "snare", "bass"}
    assert [(hit.onset, hit.level) for hit in on_ride.hits] == [(hit.onset, hit.level) for hit in GROOVE.hits]


def test_other_surfaces_in_turn() -> None:
    """A sequence re-voices strokes in turn, starting over when it runs out."""
    round_the_kit = orchestrate(project(GROOVE, "RH"), ("snare", "mid-tom", "floor-tom"))
    assert [hit.surface for hit in round_the_kit.hits][:5] == ["snare", "mid-tom", "floor-tom", "snare", "mid-tom"]


def test_other_surfaces_that_are_none() -> None:
    """Surfaces that do not exist, on either side, none at all, and a pedal for a hand are refused."""
    with pytest.raises(UnknownNameError, match="no surface is called 'snair'; did you mean snare"):
        orchestrate(GROOVE, {"snair": "ride"})
    with pytest.raises(UnknownNameError, match="no surface is called 'rid'; did you mean ride"):
        orchestrate(GROOVE, {"snare": "rid"})
    with pytest.raises(PatternError, match="no surfaces for the strokes to take in turn; name one or more"):
        orchestrate(GROOVE, [])
    with pytest.raises(KitError, match=r"the left hand \(LH\) cannot play bass"):
        orchestrate(GROOVE, {"snare": "bass"})
