"""Ways to divide beats evenly."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import TimeError
from kitgen.time import Meter, Meters, Subdivision
from tests.strategies import fewer

F = Fraction


@pytest.mark.parametrize(
    ("text", "meter", "slots"),
    [
        ("1", "4/4", "0 1 2 3"),
        ("2", "2/4", "0 1/2 1 3/2"),
        ("3", "2/4", "0 1/3 2/3 1 4/3 5/3"),
        ("3:2", "4/4", "0 2/3 4/3 2 8/3 10/3"),
        ("4:3", "3/4", "0 3/4 3/2 9/4"),
        ("3:2", "3/4", "0 2/3 4/3"),
        ("2", "6/8", "0 3/4 3/2 9/4"),
        ("2", "7/8", "0 1/2 1 3/2 2 11/4"),
        ("5:4", "3/4", ""),
    ],
)
def test_slots(text: str, meter: str, slots: str) -> None:
    """Beats are divided from each barline, so many at a time; beats left over in a bar are not divided."""
    assert Subdivision.parse(text).slots(Meters.of(Meter.parse(meter))) == tuple(F(slot) for slot in slots.split())


def test_slots_start_anew_at_the_barline() -> None:
    """In 3/4 three parts in two beats start again in the second bar, after the beat that was left over."""
    spans = Subdivision(3, 2).spans(Meters.of(Meter(3, 4), 2))
    assert [start for start, _ in spans] == [0, F(2, 3), F(4, 3), 3, F(11, 3), F(13, 3)]
    assert {length for _, length in spans} == {F(2, 3)}


@fewer
@given(st.integers(1, 64), st.integers(1, 64))
def test_a_subdivision_reads_back(parts: int, beats: int) -> None:
    """A subdivision printed is read back equal."""
    assert Subdivision.parse(str(Subdivision(parts, beats))) == Subdivision(parts, beats)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("three", "cannot read 'three' as a subdivision; write 4, or 3:2 for three in two beats"),
        ("3:x", "cannot read '3:x' as a subdivision"),
        ("1.5", r"cannot read '1\.5' as a subdivision"),
        ("", "cannot read '' as a subdivision"),
        ("0", "no subdivision 0:1; both numbers are 1 to 64"),
        ("65:2", "no subdivision 65:2; both numbers are 1 to 64"),
        ("3:0", "no subdivision 3:0"),
        ("-3", "no subdivision -3:1"),
    ],
)
def test_a_text_that_is_no_subdivision(text: str, said: str) -> None:
    """A text that is no subdivision is refused with what was given and what to write."""
    with pytest.raises(TimeError, match=said):
        Subdivision.parse(text)
