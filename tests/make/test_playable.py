"""A page's tempi against its player: lowered where nobody asked for them, refused with ways out that are true."""

from dataclasses import replace
from fractions import Fraction

import pytest

from kitgen.errors import RefusedError
from kitgen.kit import PLAYERS
from kitgen.line import parse
from kitgen.make.applied import page_of
from kitgen.make.playable import fitted
from kitgen.make.recipe import ApplyRecipe
from kitgen.page import Page, Tempo
from kitgen.pattern import Pattern, parse_rows
from kitgen.pattern.playability import playability
from kitgen.write.text import tempo_words

F = Fraction
SIXTEENTHS = parse_rows("RH closed-hat xxxx xxxx xxxx xxxx")


def page(line: str, **options: object) -> Page:
    """The page of a line in 4/4."""
    return page_of(replace(ApplyRecipe(line=line, as_="groove"), **options), parse(line))  # type: ignore[arg-type]  # fields by name


def refusal(pattern: Pattern, bpm: float, name: str) -> str:
    """Why a pattern is refused at a tempo asked for."""
    with pytest.raises(RefusedError) as caught:
        fitted(pattern, Tempo.at(bpm, F(1)), player=PLAYERS[name], hand="right", said=True, allow=False)
    return str(caught.value)


def test_a_better_player_is_named_only_where_that_helps() -> None:
    """Who is offered can play it: the next better player, the best, or nobody."""
    assert "--player school can play it" in refusal(SIXTEENTHS, 80, "beginner")
    assert "--player advanced can play it" in refusal(SIXTEENTHS, 115, "beginner")
    assert "--player" not in refusal(SIXTEENTHS, 300, "beginner")
    assert "--player" not in refusal(SIXTEENTHS, 300, "advanced")
    for bpm, name in ((80, "school"), (115, "advanced")):
        assert not playability(SIXTEENTHS, PLAYERS[name], bpm, hand="right")


def test_a_refusal_counts_in_plain_words() -> None:
    """The tempo that would do is in the page's own unit, and other limits passed are counted."""
    drums = parse_rows("RH closed-hat xxxx xxxx; RF bass xxxx xxxx", "2/2")
    with pytest.raises(RefusedError, match=r"1 more limit is passed; --tempo \d+ \(halves\) is slow enough") as caught:
        fitted(drums, Tempo.at(100, F(2)), player=PLAYERS["school"], hand="right", said=True, allow=False)
    assert "halfs" not in str(caught.value)


def test_a_lowered_goal_is_a_multiple_of_five() -> None:
    """A goal nobody asked for is lowered to a number of a metronome, unless the page makes no sense so slow."""
    six = parse_rows("RH closed-hat xxxxxx xxxxxx xxxxxx xxxxxx")
    usual, school = Tempo(50, 90, 40, 120), PLAYERS["school"]
    lowered = fitted(six, usual, player=school, hand="right", said=False, allow=False)
    assert lowered.tempo == Tempo(50, 65, 40, 65)
    assert lowered.notes == ("goal lowered to 65 for the school player: the right hand needs time",)
    assert fitted(six, usual, player=school, hand="right", said=False, allow=False, least=66).tempo.goal == 66
    assert "--tempo 66 (quarters) is slow enough" in refusal(six, 90, "school")


def test_one_tempo_is_printed_once() -> None:
    """Where start and goal have come to be one number, it stands once, with the range."""
    assert tempo_words(Tempo(47, 47, 40, 47)) == "47 quarters a minute, range 40 to 47"
    assert tempo_words(Tempo(60, 90, 60, 90)) == "60 to 90 quarters a minute"
    assert tempo_words(Tempo.at(90, F(2))) == "90 halves a minute"


def test_swung_eighths_are_not_lowered_below_60() -> None:
    """A swing that only fits a player below 60 is refused, since swung eighths fall apart; one asked for is kept."""
    line = "xxxx xxxx xxxx xxxx"
    beginner = {"as_": "swing", "player": "beginner"}
    with pytest.raises(RefusedError, match=r"--tempo \d+ \(quarters\) is slow enough"):
        page(line, **beginner)
    slow = page(line, **beginner, tempo="40")
    assert slow.tempo.goal == 40
    assert any("sixteenths are carried along with the swung eighths" in note for note in slow.notes)
    assert not any("sixteenths" in note for note in page("xx xx xx xx", as_="swing").notes)


def test_straight_hip_hop_speaks_of_no_late_sixteenths() -> None:
    """Played even, nothing comes late, and the instruction does not say so."""
    assert "come a little late" in page("x.xx xx.x ..x. x...", as_="hip-hop").instruction
    for words in ("even", "1:1"):
        assert "late" not in page("x.xx xx.x ..x. x...", as_="hip-hop", swing=words, swing_unit=16).instruction
