"""Beams level by level: begins, ends and hooks."""

from fractions import Fraction

import pytest

from kitgen.kit import Limb
from kitgen.pattern import Hit, Pattern
from kitgen.spell import Choices, spell
from kitgen.time import Meter, Meters
from tests.spell.reading import bars_of, of_section, on_snare

SIGNS = {"begin": "(", "continue": "-", "end": ")", "forward hook": ">", "backward hook": "<"}

CASES = [
    ("sixteenths", "xxxx", "1/4", "(( -- -- ))"),
    ("eighth and two sixteenths", "x.xx", "1/4", "( -( ))"),
    ("two sixteenths and eighth", "xxx.", "1/4", "(( -) )"),
    ("a hook forward", "xx..", "1/4", "(> )"),
    ("a hook back", "x..x", "1/4", "( )<"),
    ("hooks on both sides of an eighth", "xx.x", "1/4", "(> - )<"),
    ("a hook back inside a beat of three", "x..xx.", "3/8", "( -< )"),
    ("thirty-seconds break at the eighth", "xxxxxxxx", "1/4", "((( --- --- --) --( --- --- )))"),
    ("sixteenths of a half break at the quarter", "xxxxxxxx", "1/2", "(( -- -- -) -( -- -- ))"),
    ("eighths of a half do not", "xxxx", "1/2", "( - - )"),
    ("sixteenths in six do not", "xxxxxx", "3/8", "(( -- -- -- -- ))"),
    ("hooks of both halves of a sextuplet point forward", "xx.xx.", "1/4", "(> - -> )"),
    ("an eighth over the half of a sextuplet", "xxx.xx", "1/4", "(( -) - -( ))"),
    ("triplets", "xxx", "1/4", "( - )"),
    ("quintuplet", "xxxxx", "1/4", "(( -- -- -- ))"),
    ("nine thirty-seconds", "xxxxxxxxx", "1/4", "((( --- --- --- --- --- --- --- )))"),
    ("a lone eighth has a flag", ".x", "1/4", ""),
]


def beams_of(boxes: str, meter: str) -> str:
    """The beams of each note that has any."""
    events = spell(on_snare(boxes, meter)).measures[0].voices[0].events
    return " ".join("".join(SIGNS[beam] for beam in e.written.beams) for e in events if e.written.beams)


@pytest.mark.parametrize(("what", "boxes", "meter", "expected"), CASES, ids=[case[0] for case in CASES])
def test_levels(what: str, boxes: str, meter: str, expected: str) -> None:
    """A sign a level: ``(`` begins, ``-`` goes on, ``)`` ends, ``>`` and ``<`` are hooks."""
    assert beams_of(boxes, meter) == expected


def test_eighths_by_the_beat_on_request() -> None:
    """Instead of in fours."""
    assert bars_of("xx xx xx xx", choices=Choices(eighths="beats")) == "[8 8] [8 8] [8 8] [8 8]"


def test_mixed_beats_are_not_joined_in_fours() -> None:
    """A sixteenth anywhere in the half has its eighths by the beat."""
    assert bars_of("x.x. x.xx xx xx") == "[8 8] [8 16 16] [8 8 8 8]"
    assert bars_of("xx xxx xx xx") == "[8 8] 3:2([8 8 8]) [8 8 8 8]"


def test_a_tuplet_over_the_bar_has_beams_up_to_the_middle() -> None:
    """Nine over four beats: five start in the first half, four in the second."""
    hits = tuple(Hit(Fraction(4 * place, 9), Limb.LH, "snare") for place in range(9))
    section = spell(Pattern(hits, Meters.of(Meter(4, 4))))
    assert of_section(section) == [["9:8{[8 8 8 8 8] [8 8 8 8]}"]]
