"""A line to a finished pattern, against mido making the MIDI file of a page of that length."""

from collections.abc import Callable
from functools import partial

import pytest

from kitgen import Line, Pattern, pass_linear
from tests.bench.material import laid_over_samba, rhythm
from tests.bench.race import Race
from tests.bench.test_midi import mido_side


def passed_filled(line: Line) -> Pattern:
    """The line passed round four limbs, the places between filled."""
    return pass_linear(line, order="RH LH RF LF", gaps="filled")


@pytest.mark.parametrize("make", [laid_over_samba, passed_filled])
def test_a_line_to_a_pattern_takes_no_longer_than_mido(race: Race, make: Callable[[Line], Pattern]) -> None:
    """A line of sixteen bars becomes a pattern in no more time than mido takes to make a MIDI file of as many bars."""
    by_mido, _ = mido_side(laid_over_samba(rhythm()))
    assert make(rhythm()).span == rhythm().span

    race(
        f"line to pattern, {make.__name__}", lambda: partial(make, rhythm()), "mido, a page", lambda: by_mido, at_most=1
    )
