"""A line with its true lengths."""

from fractions import Fraction

import pytest

from kitgen.line import Line, Mark, Note
from kitgen.spell import Choices, spell_line
from kitgen.time import Meter, Meters
from tests.spell.reading import of_voice

LENGTHS = [
    ("values as they were typed", "4. 8 4 8 8r", "4/4", "4. 8 4 8 8r"),
    ("a half on 2 may last over the middle", "4 2 4", "4/4", "4 2 4"),
    ("a dotted half too", "2. 4", "4/4", "2. 4"),
    ("off the beat it is tied at the beat", "8 4 4 4 8", "4/4", "8 8 ~8 8 ~8 8 ~8 8"),
    ("a tie over the barline", "4 4 4 [4 | 2] 2r", "4/4", "4 4 4 4 | ~2 2r"),
    ("a dotted quarter on 2 shows the middle", "4 4. 8r 4r", "4/4", "4 4 ~8 8r 4r"),
    ("short notes keep their rests", "8 8r 8 8r 4 4r", "4/4", "8 8r 8 8r 4 4r"),
    ("sixteenths", "16 8 16 4 2", "4/4", "16 8 16 4 2"),
    ("triplets", "12 12 12 6 12 2", "4/4", "8 8 8 4 8 2"),
    ("a quarter triplet over two beats", "6 6 6 2", "4/4", "4 4 4 2"),
    ("tied out of a triplet", "12 12 [12 4] 4 4", "4/4", "8 8 8 ~4 4 4"),
    ("a bar of rest", "4 4 4 4 | 1r", "4/4", "4 4 4 4 | 1r"),
    ("six eight", "4. 4 8", "6/8", "4. 4 8"),
    ("over the beat of six eight with a tie", "2 4", "6/8", "4. ~8 4"),
    ("seven eight", "4 4 4.", "7/8", "4 4 4."),
    ("a breve in four halves", "0", "4/2", "0"),
]


def words_of(line: Line) -> str:
    """Its bars as text, without beams and tuplets."""
    bars = (of_voice(measure.voices[0]) for measure in spell_line(line).measures)
    text = " | ".join(bars)
    for sign in ("3:2(", "3:2{", "[", "]", ")", "}"):
        text = text.replace(sign, "")
    return text


@pytest.mark.parametrize(("what", "values", "meter", "expected"), LENGTHS, ids=[case[0] for case in LENGTHS])
def test_true_lengths(what: str, values: str, meter: str, expected: str) -> None:
    """As few values as say them with the beat to be seen."""
    line = Line((Note(Fraction(0), Fraction(8)),), Meters.of(Meter(4, 2))) if values == "0" else None
    assert words_of(line or Line.parse(values, meter, notation="values")) == expected


def test_what_a_line_carries() -> None:
    """Accents, articulations, grace notes and stickings stand where the note starts."""
    quarter = Fraction(1)
    notes = (
        Note(Fraction(0), Fraction(3, 2), accent=True, mark=Mark.LONG, graces=1, sticking="R"),
        Note(Fraction(5, 2), quarter, mark=Mark.SHORT, graces=3, sticking="L"),
    )
    score = spell_line(Line(notes, Meters.of(Meter(4, 4))))
    first, second, tied = (e.strokes[0] for e in score.measures[0].voices[0].events if e.strokes)
    assert (first.accent, first.mark, len(first.graces), first.sticking) == (True, Mark.LONG, 1, "R")
    assert (second.accent, second.mark, len(second.graces), second.sticking) == (False, Mark.SHORT, 3, "L")
    assert (tied.tie, tied.graces, tied.sticking) == ("stop", (), "")
    assert (first.limb, first.surface, first.place) == (None, "", "B4")
    assert [grace.beams[0] for grace in second.graces] == ["begin", "continue", "end"]


def test_a_line_is_counted() -> None:
    """Under each note."""
    (measure,) = spell_line(Line.parse("1 & (2) & 3 4"), Choices(counts="numbers")).measures
    assert [count.said for count in measure.counts] == ["1", "&", "2", "&", "3", "4"]
