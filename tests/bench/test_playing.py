"""Who can play it and with which hand: against mido making the page's MIDI."""

from functools import partial

from kitgen.kit import Limb, player
from kitgen.pattern import Hit, Pattern
from kitgen.pattern.findings import Finding
from kitgen.pattern.playability import playability
from kitgen.pattern.sticking import stick
from kitgen.write.midi import loop
from tests.bench.floors import mido_making
from tests.bench.material import BARS, HITS_A_BAR, four_four, free_strokes, laid_over_samba, page_of, rhythm, unused
from tests.bench.race import Race

PACE = 96.0
SCHOOL = player("school")
DATA = loop(page_of(laid_over_samba(rhythm())))


def sticking(bars: int) -> partial[tuple[Hit, ...]]:
    """One search for the hands of so many bars, ready to run."""
    return partial(stick, free_strokes(bars), four_four(bars), pace=PACE, player=SCHOOL)


def look(pattern: Pattern) -> partial[tuple[Finding, ...]]:
    """One look at what the player can play of a pattern, ready to run."""
    return partial(playability, unused(pattern), SCHOOL, PACE)


def test_playability_takes_no_longer_than_mido(race: Race) -> None:
    """Whether sixteen bars of 400 hits can be played is known in no more time than mido takes to make their MIDI."""
    pattern = laid_over_samba(rhythm())
    assert len(pattern.hits) == BARS * HITS_A_BAR

    race("playability", lambda: look(pattern), "mido, same page", lambda: mido_making(DATA), at_most=1)


def test_sticking_takes_at_most_five_times_as_long_as_mido(race: Race) -> None:
    """Hands for 400 strokes are found in no more than five times what mido takes to make a page of 400 hits."""
    assert len(free_strokes(BARS)) == BARS * HITS_A_BAR

    race("sticking", lambda: sticking(BARS), "mido, page of 400", lambda: mido_making(DATA), at_most=5)


def test_the_strokes_leave_nothing_to_one_hand() -> None:
    """The search is given work: both hands play, and the cost of the way found is not that of strict alternation."""
    hits = sticking(2)()
    assert {hit.limb for hit in hits} == {Limb.RH, Limb.LH}
