"""Meters, their beats and groups, and the map of meters under a span."""

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import TimeError
from kitgen.time import Bar, Meter, Meters
from tests.strategies import any_meters, fewer, maps

F = Fraction


@pytest.mark.parametrize(
    ("text", "beats", "tempo_unit"),
    [
        ("2/4", "1 1", "1"),
        ("3/4", "1 1 1", "1"),
        ("4/4", "1 1 1 1", "1"),
        ("5/4", "1 1 1 1 1", "1"),
        ("2/2", "2 2", "2"),
        ("3/8", "3/2", "3/2"),
        ("1+1+1/8", "1/2 1/2 1/2", "1/2"),
        ("6/8", "3/2 3/2", "3/2"),
        ("9/8", "3/2 3/2 3/2", "3/2"),
        ("12/8", "3/2 3/2 3/2 3/2", "3/2"),
        ("5/8", "3/2 1", "1/2"),
        ("2+3/8", "1 3/2", "1/2"),
        ("7/8", "1 1 3/2", "1/2"),
        ("3+2+2/8", "3/2 1 1", "1/2"),
        ("8/8", "3/2 3/2 1", "1/2"),
        ("4/8", "1 1", "1"),
        ("6/16", "3/4 3/4", "3/4"),
    ],
)
def test_beats_of_usual_meters(text: str, beats: str, tempo_unit: str) -> None:
    """Beats and what the bpm counts are the trade's: 6/8 is two dotted quarters, 7/8 is 2+2+3 counted in eighths."""
    meter = Meter.parse(text)
    assert meter.beats == tuple(F(length) for length in beats.split())
    assert meter.tempo_unit == F(tempo_unit)


@pytest.mark.parametrize(
    ("text", "groups"),
    [
        ("4/4", (2, 2)),
        ("3/4", (3,)),
        ("5/4", (3, 2)),
        ("2+3/4", (2, 3)),
        ("7/4", (2, 2, 3)),
        ("6/8", (2,)),
        ("12/8", (2, 2)),
    ],
)
def test_beats_gather_in_groups(text: str, groups: tuple[int, ...]) -> None:
    """Beats belong together in groups: four as two and two, five as three and two unless said otherwise."""
    assert Meter.parse(text).beat_groups == groups


@pytest.mark.parametrize(
    ("text", "compound"), [("6/8", True), ("3/8", True), ("12/8", True), ("7/8", False), ("3/4", False)]
)
def test_compound_meters_have_beats_of_three(text: str, compound: bool) -> None:  # noqa: FBT001
    """A meter is compound if every beat is three of its units."""
    assert Meter.parse(text).is_compound is compound


@fewer
@given(any_meters)
def test_a_meter_reads_back(meter: Meter) -> None:
    """A meter printed is read back equal, its own grouping kept and the usual one left unsaid."""
    assert Meter.parse(str(meter)) == meter


@fewer
@given(any_meters)
def test_beats_fill_the_bar(meter: Meter) -> None:
    """Beats add up to the bar, and groups of beats to the beats."""
    assert sum(meter.beats) == meter.span
    assert sum(meter.beat_groups) == len(meter.beats)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("4", "cannot read '4' as a meter; write it like 4/4, 6/8 or 2+2+3/8"),
        ("", "cannot read '' as a meter"),
        ("four/4", "cannot read 'four/4' as a meter"),
        ("4/0", "cannot read '4/0' as a meter"),
        ("0/4", "cannot read '0/4' as a meter"),
        ("-3/4", "cannot read '-3/4' as a meter"),
        ("2+0/4", "cannot read '2+0/4' as a meter"),
        ("4/3", "no meter 4/3: above the line 1 to 64, below it one of 1, 2, 4, 8"),
        ("65/8", "no meter 65/8: above the line 1 to 64"),
    ],
)
def test_a_text_that_is_no_meter(text: str, said: str) -> None:
    """A text that is no meter is refused with what was given and what a meter looks like."""
    with pytest.raises(TimeError, match=re.escape(said)):
        Meter.parse(text)


def test_groups_must_add_up() -> None:
    """A grouping that does not add up is refused with the usual one."""
    with pytest.raises(TimeError, match=r"grouping 2\+2 does not add up to 7; 7/8 is usually 2\+2\+3"):
        Meter(7, 8, (2, 2))


def test_one_group_alone_says_nothing() -> None:
    """One group alone is no grouping: the meter is the usual one, and so prints and reads back equal."""
    assert Meter(5, 8, (5,)) == Meter(5, 8) == Meter.parse("5/8")


# ---- maps ------------------------------------------------------------------------------------------------------------


@fewer
@given(maps(max_runs=3, max_bars=2))
def test_bars_part_the_span(meters: Meters) -> None:
    """Bars follow one another from 0 to the span, numbered from 1, none longer than its meter."""
    edges = [bar.start for bar in meters.bars] + [meters.span]
    assert [bar.number for bar in meters.bars] == list(range(1, len(meters.bars) + 1))
    assert edges[0] == 0
    for bar, end in zip(meters.bars, edges[1:], strict=True):
        assert bar.end == end
        assert 0 < bar.length <= bar.meter.span


@fewer
@given(maps(max_runs=3, max_bars=2))
def test_beats_part_the_bars(meters: Meters) -> None:
    """Beats follow one another through every bar, numbered from 1; only the last of a short bar may be cut."""
    for bar in meters.bars:
        beats = [beat for beat in meters.beats if beat.bar == bar.number]
        assert [beat.number for beat in beats] == list(range(1, len(beats) + 1))
        assert [bar.start, *(beat.end for beat in beats)] == [*(beat.start for beat in beats), bar.end]
        assert [beat.full for beat in beats] == list(bar.meter.beats[: len(beats)])
        assert all(beat.length == beat.full for beat in beats[:-1])
        assert beats[-1].length <= beats[-1].full


@fewer
@given(maps(max_runs=3), st.fractions(0, 1, max_denominator=48))
def test_the_beat_at_an_instant_holds_it(meters: Meters, share: Fraction) -> None:
    """The beat at an instant is the one that starts at or before it and ends after it."""
    at = meters.span * share
    if at < meters.span:
        beat = meters.beat_at(at)
        assert beat.start <= at < beat.end
        assert meters.beats[meters.beat_index(at)] == beat


@fewer
@given(maps())
def test_every_beat_is_found_at_its_start(meters: Meters) -> None:
    """Each beat is the one found at its start."""
    assert tuple(meters.beat_at(beat.start) for beat in meters.beats) == meters.beats


@fewer
@given(maps(max_runs=3), st.fractions(0, 1, max_denominator=48))
def test_a_map_cut_in_two_is_whole_together(meters: Meters, share: Fraction) -> None:
    """The parts before and after any instant, put together, are the map."""
    at = meters.span * share
    assert meters.cut(F(0), at) + meters.cut(at, meters.span) == meters
    assert meters.cut(F(0), at).span == at


@fewer
@given(maps(max_runs=3))
def test_a_map_cut_at_its_barlines_is_its_bars(meters: Meters) -> None:
    """Each bar cut out of a map is a map of that bar."""
    for bar in meters.bars:
        assert meters.cut(bar.start, bar.end).bars == (Bar(1, F(0), bar.length, bar.meter),)


@fewer
@given(any_meters, st.integers(0, 5))
def test_so_many_bars_are_whole(meter: Meter, bars: int) -> None:
    """So many bars of a meter are as many whole bars, and only of that meter."""
    meters = Meters.of(meter, bars)
    assert len(meters.bars) == bars
    assert meters.whole
    assert meters.span == bars * meter.span
    assert meters.only == (meter if bars else None)


def test_neighbours_of_one_meter_are_joined() -> None:
    """Two halves of a bar make a bar, so equal maps are equal however they were put together."""
    half = Meters(((Meter(4, 4), F(2)),))
    assert not half.whole
    assert half + half == Meters.of(Meter(4, 4)) == half * 2
    assert hash(half * 2) == hash(Meters.of(Meter(4, 4)))


def test_a_short_bar_cuts_its_last_beat() -> None:
    """A bar of 4/4 that lasts two and a half quarters has a third beat of half a quarter."""
    meters = Meters(((Meter(4, 4), F(5, 2)),))
    assert [beat.length for beat in meters.beats] == [1, 1, F(1, 2)]


@pytest.mark.parametrize("onset", [F(-1), F(4), F(9)])
def test_no_beat_outside_the_span(onset: Fraction) -> None:
    """An instant outside the span has no beat, and the error names both."""
    with pytest.raises(TimeError, match=f"instant {onset} lies outside the span 0 to 4 quarters"):
        Meters.of(Meter(4, 4)).beat_at(onset)


def test_lengths_of_a_map_are_checked() -> None:
    """A length below 0, a length that is not exact and a number of repeats below 0 are refused."""
    with pytest.raises(TimeError, match="a span of -1 quarters cannot be"):
        Meters(((Meter(4, 4), F(-1)),))
    with pytest.raises(TimeError, match=r"a span of 0\.5; lengths are exact"):
        Meters(((Meter(4, 4), 0.5),))  # type: ignore[arg-type]
    with pytest.raises(TimeError, match="cannot be repeated -1 times; 0 or more"):
        Meters.of(Meter(4, 4)) * -1


@pytest.mark.parametrize(
    "operate", [lambda m: m + 1, lambda m: m * 1.5, lambda m: m * "2"], ids=["add", "half", "text"]
)
def test_what_is_no_operand_is_a_type_error(operate: object) -> None:
    """An operand that makes no sense is left to Python, which raises TypeError."""
    with pytest.raises(TypeError):
        operate(Meters.of(Meter(4, 4)))  # type: ignore[operator]


def test_a_map_in_words() -> None:
    """A map says its runs in bars."""
    assert str(Meters.of(Meter(4, 4), 2) + Meters(((Meter(6, 8), F(3, 2)),))) == "2 x 4/4, 1/2 x 6/8"
    assert str(Meters()) == "nothing"
