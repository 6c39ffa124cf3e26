"""A line to a finished pattern, against mido making the MIDI file of a page of that length."""

from collections.abc import Callable
from functools import partial

import pytest

from kitgen import Line, Pattern, pass_linear
from kitgen.write.midi import loop
from tests.bench.floors import mido_making
from tests.bench.material import laid_over_samba, page_of, rhythm
from tests.bench.race import Race


def passed_filled(line: Line) -> Pattern:
    """The line passed round four limbs, the places between filled."""
    return pass_linear(line, order="RH LH RF LF", gaps="filled")


@pytest.mark.parametrize("make", [laid_over_samba, passed_filled])
def test_a_line_to_a_pattern_takes_no_longer_than_mido(race: Race, make: Callable[[Line], Pattern]) -> None:
    """A line of sixteen bars becomes a pattern in no more time than mido takes to make a MIDI file of as many bars."""
    by_mido = mido_making(loop(page_of(laid_over_samba(rhythm()))))
    what = f"line to pattern, {make.__name__}"
    assert make(rhythm()).span == rhythm().span

    race(what, lambda: partial(make, rhythm()), "mido, a page", lambda: by_mido, at_most=1)
