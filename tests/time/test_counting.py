"""How places in the bar are said."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import UnknownNameError
from kitgen.time import SYSTEMS, Meter, Meters, count_name, syllable
from tests.strategies import any_meters, fewer, maps

F = Fraction


@pytest.mark.parametrize(
    ("meter", "beat", "parts", "said"),
    [
        ("4/4", 1, 1, "1"),
        ("4/4", 3, 2, "3 &"),
        ("4/4", 2, 4, "2 e & a"),
        ("4/4", 4, 3, "4 trip let"),
        ("4/4", 1, 6, "1 ta trip & let ta"),
        ("4/4", 2, 5, "2 2 3 4 5"),
        ("4/4", 1, 7, "1 2 3 4 5 6 7"),
        ("4/4", 1, 9, "1 2 3 trip 5 6 let 8 9"),
        ("2/2", 2, 4, "2 e & a"),
        ("6/8", 2, 3, "2 la li"),
        ("12/8", 4, 3, "4 la li"),
        ("7/8", 1, 2, "1 &"),
        ("7/8", 3, 3, "3 la li"),
        ("3/4", 3, 3, "3 trip let"),
    ],
)
def test_numbers(meter: str, beat: int, parts: int, said: str) -> None:
    """Beats are counted 1 e & a, 1 trip let, in beats of three units 1 la li, fives numbered through."""
    one = Meters.of(Meter.parse(meter)).beats[beat - 1]
    assert [syllable(one, F(place, parts)) for place in range(parts)] == said.split()


@fewer
@given(any_meters, st.sampled_from(range(1, 10)), st.sampled_from(SYSTEMS))
def test_no_syllable_twice_in_a_beat(meter: Meter, parts: int, system: str) -> None:
    """After the beat itself no syllable stands twice in an even division, where the system has one."""
    for beat in Meters.of(meter).beats:
        said = [syllable(beat, F(place, parts), system=system) for place in range(1, parts)]
        named = [word for word in said if word not in ("ta", "")]
        assert len(set(named)) == len(named)


def test_an_unknown_system_is_named() -> None:
    """A counting system that does not exist is refused with the nearest that do."""
    beat = Meters.of(Meter(4, 4)).beats[0]
    with pytest.raises(UnknownNameError, match="no counting system is called 'number'; did you mean numbers"):
        syllable(beat, F(0), system="number")


@pytest.mark.parametrize(
    ("meter", "onset", "said"),
    [
        ("4/4", "0", 'bar 1, count "1"'),
        ("4/4", "13/2", 'bar 2, count "& of 3"'),
        ("4/4", "15/4", 'bar 1, count "a of 4"'),
        ("4/4", "1/3", 'bar 1, count "trip of 1"'),
        ("6/8", "1/2", 'bar 1, count "la of 1"'),
        ("6/8", "5/2", 'bar 1, count "li of 2"'),
        ("2/2", "1", 'bar 1, count "& of 1"'),
        ("4/4", "6/5", 'bar 1, count "2" and 1/5 of the beat'),
        ("4/4", "1/8", 'bar 1, count "1" and 1/8 of the beat'),
        ("4/4", "5/6", 'bar 1, count "1" and 5/6 of the beat'),
    ],
)
def test_where_an_instant_is(meter: str, onset: str, said: str) -> None:
    """An instant is named by bar and count as a person says it, or by its share of the beat where none is said."""
    assert count_name(Meters.of(Meter.parse(meter), 2), F(onset)) == said


def test_a_cut_beat_is_counted_as_the_whole_would_be() -> None:
    """In a short bar that cuts its beat the count goes by the full beat: a quarter of it is e, not &."""
    meters = Meters(((Meter(4, 4), F(1, 2)),))
    assert count_name(meters, F(1, 4)) == 'bar 1, count "e of 1"'
    eighths = Meters(((Meter(6, 8), F(1)),))
    assert count_name(eighths, F(1, 2)) == 'bar 1, count "la of 1"'


@fewer
@given(maps(), st.data())
def test_names_differ_where_instants_do(meters: Meters, data: st.DataObject) -> None:
    """Two instants of one beat on one division never have one name."""
    beat = data.draw(st.sampled_from(meters.beats))
    parts = data.draw(st.integers(1, 9))
    names = [count_name(meters, beat.start + beat.length * F(place, parts)) for place in range(parts)]
    assert len(set(names)) == parts
    assert all(name.startswith(f'bar {beat.bar}, count "') for name in names)
