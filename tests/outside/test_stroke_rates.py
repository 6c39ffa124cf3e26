"""The built-in players against published rates of one hand.

One hand tapping a rhythm: 5 to 7 strokes a second in general, 10 (a gap of 100 ms) for the fastest drummer: S. Fujii,
K. Kudo, T. Ohtsuki and S. Oda, "Tapping performance and underlying wrist muscle activity of non-drummers, drummers,
and the world's fastest drummer", Neuroscience Letters 459, 2009; S. Fujii and T. Moritani, "Spike shape analysis of
surface electromyographic activity in wrist flexor and extensor muscles of the world's fastest drummer", Neuroscience
Letters 514, 2012 (values as in their abstracts; titles from memory). No published rate of a foot or of a rebound double
was found, so those are common practice alone.
"""

from fractions import Fraction

import pytest

from kitgen.kit import PLAYERS, Limb
from kitgen.pattern import Hit, Pattern
from kitgen.pattern.playability import playability
from kitgen.time import Meter, Meters

GENERAL_PER_SECOND = (5, 7)
FASTEST_PER_SECOND, FASTEST_GAP_MS = 10, 100

# The fastest a limit allows, in quarters a minute: sixteenths on one hand 15 times its strokes a second, eighths 30
# times; sixteenths from hand to hand as eighths on one.
FASTEST_BPM = {5: (75, 150, 150), 7: (105, 210, 210), 10: (150, 300, 300)}


def rate(name: str) -> float:
    """Strokes a second one hand of a built-in player keeps up."""
    return 1000 / PLAYERS[name].hand.sustained


def test_the_fastest_gap_is_the_fastest_rate() -> None:
    """100 ms a stroke are 10 strokes a second, as published."""
    assert 1000 / FASTEST_GAP_MS == FASTEST_PER_SECOND


def test_sustained_rates_lie_where_they_should() -> None:
    """Beginner below what people do in general, school inside it, advanced between it and the fastest drummer."""
    slow, fast = GENERAL_PER_SECOND
    assert rate("beginner") < slow
    assert slow < rate("school") < fast
    assert fast < rate("advanced") < FASTEST_PER_SECOND
    assert (rate("beginner"), round(rate("school"), 1), rate("advanced")) == (4, 6.7, 8)


@pytest.mark.parametrize("name", list(PLAYERS))
def test_nobody_sustains_what_the_fastest_drummer_does(name: str) -> None:
    """No limb of a built-in player keeps up the record; a foot is never faster than a hand (common practice)."""
    who = PLAYERS[name]
    assert who.hand.sustained > FASTEST_GAP_MS
    assert who.foot.sustained > who.hand.sustained


@pytest.mark.parametrize("per_second", FASTEST_BPM)
def test_tempi_that_follow_from_a_rate(per_second: int) -> None:
    """The arithmetic of strokes a second, note values and beats a minute."""
    sixteenths, eighths, alternating = FASTEST_BPM[per_second]
    assert (60 * per_second / 4, 60 * per_second / 2) == (sixteenths, eighths)
    assert alternating == eighths


def stream(parts: int, limbs: tuple[Limb, ...]) -> Pattern:
    """A bar of even strokes on the snare, so many a quarter, the limbs in turn."""
    hits = [Hit(Fraction(index, parts), limbs[index % len(limbs)], "snare") for index in range(4 * parts)]
    return Pattern(tuple(hits), Meters.of(Meter(4, 4)))


@pytest.mark.parametrize("name", list(PLAYERS))
@pytest.mark.parametrize(
    ("parts", "limbs", "times"),
    [(4, (Limb.RH,), 15), (2, (Limb.RH,), 30), (4, (Limb.RH, Limb.LH), 30)],
    ids=["sixteenths", "eighths", "alternating"],
)
def test_players_stop_at_the_tempo_of_their_rate(name: str, parts: int, limbs: tuple[Limb, ...], times: int) -> None:
    """A stream is playable up to the tempo that its rate works out to, and not above."""
    limit = times * rate(name)
    assert not playability(stream(parts, limbs), PLAYERS[name], limit * 0.999)
    above = playability(stream(parts, limbs), PLAYERS[name], limit * 1.01)
    assert {finding.rule for finding in above} == {"sustained"}


@pytest.mark.parametrize(("name", "low", "high"), [("beginner", 0, 5), ("school", 5, 7), ("advanced", 7, 10)])
def test_sixteenths_on_one_hand(name: str, low: int, high: int) -> None:
    """The tempo of a player's sixteenths lies between those of the published rates around it."""
    tempi = {0: 0, **{per_second: bpm[0] for per_second, bpm in FASTEST_BPM.items()}}
    assert tempi[low] < 15 * rate(name) < tempi[high]
