"""What a player's limits make of a tour: limbs held to so many strokes in a row can be played at that tempo."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import RefusedError
from kitgen.grid.tour_rules import run_of, runs_at, slot_ms
from kitgen.grid.tours import Run
from kitgen.kit import PLAYERS, Limb, player
from kitgen.pattern import EVEN, Feel, Hit, Pattern
from kitgen.pattern.playability import playability
from kitgen.time import Meter, Meters

DENSEST = {Run.ANY: (True,), Run.TWICE: (True, True, False), Run.ONCE: (True, False)}
SURFACES = {Limb.RH: "ride", Limb.LH: "snare", Limb.RF: "bass", Limb.LF: "hat-foot"}


@given(
    st.sampled_from(sorted(PLAYERS)),
    st.sampled_from(Limb),
    st.integers(60, 400),
    st.integers(4, 20),
)
def test_what_a_limb_is_held_to_it_can_play(name: str, limb: Limb, gap_ms: int, slots: int) -> None:
    """The densest strokes a limb may then have, in bars of any number of sixteenths, are within its limits."""
    run = run_of(player(name).rates(limb), gap_ms)
    if run is None:
        return
    struck, bars = DENSEST[run], len(DENSEST[run])
    hits = tuple(
        Hit(Fraction(slot, 4), limb, SURFACES[limb]) for slot in range(slots * bars) if struck[slot % len(struck)]
    )
    pattern = Pattern(hits, Meters.of(Meter(slots, 16), bars))
    assert playability(pattern, player(name), 60_000 / (4 * gap_ms)) == ()


@pytest.mark.parametrize("limb", Limb)
def test_it_is_held_no_tighter_than_it_has_to_be(limb: Limb) -> None:
    """A little faster than a limit allows, the player cannot play what the limit would leave."""
    for rates, run, more in ((player("school").rates(limb), Run.ANY, 1.0), (player("school").rates(limb), Run.ONCE, 2)):
        gap = rates.sustained / more
        assert run_of(rates, gap) is run
        assert run_of(rates, gap - 1) is not run


def test_slots_in_milliseconds() -> None:
    """The shortest slot of a bar as it is played: sixteenths at 60 are a quarter of a second, swung eighths less."""
    eighths = [Fraction(slot, 2) for slot in range(8)]
    assert slot_ms([Fraction(slot, 4) for slot in range(16)], Meter(4, 4), EVEN, 60) == 250
    assert slot_ms(eighths, Meter(4, 4), EVEN, 60) == 500
    assert slot_ms(eighths, Meter(4, 4), Feel(8, Fraction(2)), 60) == pytest.approx(1000 / 3)


def test_a_limb_that_cannot_keep_up() -> None:
    """Where even every second slot is too fast the limb is named, with what it needs and ways out."""
    with pytest.raises(RefusedError, match=r"right foot \(RF\) of the school player needs 220 ms.*slower --tempo"):
        runs_at((Limb.RH, Limb.RF), player("school"), 105)
    assert runs_at((Limb.RH, Limb.RF), player("school"), 150) == (Run.ANY, Run.ONCE)
