"""Where R and L are printed."""

import pytest

from kitgen.pattern import parse_rows
from kitgen.spell import Choices, spell
from kitgen.spell.stickings import take_turns


def letters(rows: str, stickings: str) -> str:
    """What is printed under the strokes of rows, in order."""
    section = spell(parse_rows(rows, meter="1/4"), Choices(stickings=stickings))
    events = (event for bar in section.measures for voice in bar.voices for event in voice.events)
    return "".join(stroke.sticking for event in events for stroke in event.strokes)


@pytest.mark.parametrize(
    ("rows", "turns"),
    [
        ("RH snare x.x.\nLH snare .x.x", True),  # nothing else says which hand
        ("RH snare x.x.\nLH snare x.x.", False),  # always together
        ("RH snare x.x.", False),  # one hand
        ("RH closed-hat x.x.\nLH snare .x.x", False),  # each on its own
        ("RH closed-hat x...\nRH snare ..x.\nLH snare .x.x", False),  # a fill out of time
        ("RH floor-tom x.x.\nLH high-tom .x.x", False),
        ("RH crash x...\nRH snare ..x.\nLH snare .x.x\nRF bass x...", True),
    ],
)
def test_hands_that_take_turns_on_a_drum_are_told(rows: str, *, turns: bool) -> None:
    """Common practice: a sticking stands where nothing else on the staff says which hand strikes."""
    assert take_turns(parse_rows(rows, meter="1/4")) is turns
    assert bool(letters(rows, "auto")) is turns
    assert letters(rows, "none") == ""
    assert len(letters(rows, "all")) == rows.count("x") - rows.count("RF bass x")
