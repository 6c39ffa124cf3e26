"""Count notation of a line."""

import re
from fractions import Fraction

import pytest

from kitgen.errors import LineError
from kitgen.line import Line, parse, render
from kitgen.time import Meter, Meters

F = Fraction


@pytest.mark.parametrize(
    ("text", "meter", "notes"),
    [
        ("1 2 3 4", "4/4", "0+1 1+1 2+1 3+1"),
        ("1 & 2 e & a 3 4 &", "4/4", "0+1/2 1/2+1/2 1+1/4 5/4+1/4 3/2+1/4 7/4+1/4 2+1 3+1/2 7/2+1/2"),
        ("1 2& 3e&a 4", "4/4", "0+1 1+1/2 3/2+1/2 2+1/4 9/4+1/4 5/2+1/4 11/4+1/4 3+1"),
        ("1 trip let", "4/4", "0+1/3 1/3+1/3 2/3+1/3"),
        ("(2) & 4", "4/4", "3/2+1/2 3+1"),
        ("1 4 2", "4/4", "0+1 3+1 5+1"),
        ("1 1 1", "4/4", "0+1 4+1 8+1"),
        ("1 | (1) | 3", "4/4", "0+1 10+1"),
        ("1 + 2 and 3", "4/4", "0+1/2 1/2+1/2 1+1/2 3/2+1/2 2+1"),
        ("1 la li 2", "6/8", "0+1/2 1/2+1/2 1+1/2 3/2+3/2"),
        ("1 & a 2 a", "6/8", "0+1/2 1/2+1/2 1+1/2 3/2+1 5/2+1/2"),
        ("1 li 4", "12/8", "0+1 1+1/2 9/2+3/2"),
        ("1 & 2 e 3 la li", "7/8", "0+1/2 1/2+1/2 1+1/4 5/4+3/4 2+1/2 5/2+1/2 3+1/2"),
        ("1 la 2 & 3", "3+2+2/8", "0+1/2 1/2+1 3/2+1/2 2+1/2 5/2+1"),
        ("1 & 2", "2/2", "0+1 1+1 2+2"),
        ("1 E & A", "4/4", "0+1/4 1/4+1/4 1/2+1/4 3/4+1/4"),
        ("10", "12/4", "9+1"),
    ],
)
def test_read(text: str, meter: str, notes: str) -> None:
    """Counts are read as they are said; a note lasts to the next one or its beat's end; a lower number starts a bar."""
    line = parse(text, meter, notation="counts")
    assert [f"{note.onset}+{note.length}" for note in line.notes] == notes.split()
    assert line.meters.whole


def test_accents() -> None:
    """A mark after a count accents it."""
    assert parse("1! & 2 e! & a", notation="counts").accents == (F(0), F(5, 4))


@pytest.mark.parametrize(
    ("text", "meter", "said"),
    [
        (
            "1 2 5",
            "4/4",
            "count 5 in 4/4, which has beats 1 to 4; change --meter, or start the next bar with | (character 5",
        ),
        (
            "1 3",
            "6/8",
            "count 3 in 6/8, which is counted 1 to 2, the units as 1 la li (1 & in twos) (character 3 of '1 3')",
        ),
        ("0 1", "4/4", "count 0 in 4/4, which has beats 1 to 4"),
        ("4", "7/8", "count 4 in 7/8, which is counted 1 to 3, the units as 1 la li"),
        ("1 q", "4/4", "unknown character 'q' in counts; write numbers, e & a, trip let, (2) for a silent one"),
        ("1 2 (3", "4/4", "'(' without its partner"),
        ("1 2) 3", "4/4", "')' without its partner (character 4 of"),
        ("((1", "4/4", "'(' without its partner (character 2 of"),
        ("! 1", "4/4", "an accent '!' with no struck count before it"),
        ("(1)! 2", "4/4", "an accent '!' with no struck count before it"),
        ("1 & e", "4/4", "'e' comes too late in its beat: e & a, trip let go in order (character 5 of"),
        ("1 a &", "4/4", "'&' comes too late in its beat"),
        ("1 e", "6/8", "'e' in a beat of three; its places are la li (or & a)"),
        ("1 e & let", "4/4", "bar 1, beat 1 of '1 e & let' mixes e & a with trip let; type such a beat as boxes"),
        ("1 | 1 | 3 trip a", "4/4", "bar 3, beat 3 of '1 | 1 | 3 trip a' mixes e & a with trip let"),
    ],
)
def test_what_is_wrong_and_where(text: str, meter: str, said: str) -> None:
    """An error says what is wrong, at which character or beat, and what is allowed."""
    with pytest.raises(LineError, match=re.escape(said)):
        parse(text, meter, notation="counts")


@pytest.mark.parametrize(
    ("text", "meter", "printed"),
    [
        ("1 2& 3e&a 4", "4/4", "1 2 & 3 e & a 4"),
        ("(2) & 4", "4/4", "(2) & 4"),
        ("1 2 | (1) | 4", "4/4", "1 2 | (1) | 4"),
        ("1 & a 2", "6/8", "1 la li 2"),
        ("1 1", "2/2", "1 (&) | 1"),
        ("1", "4/4", "1 (&)"),
        ("1! 1", "4/4", "1! (&) | 1"),
        ("1 2 3 4", "4/4", "1 2 3 4"),
    ],
)
def test_the_canonical_text(text: str, meter: str, printed: str) -> None:
    """Printed, a silent beat is said before what follows it, and a silent & keeps bare numbers from being values."""
    line = parse(text, meter, notation="counts")
    assert render(line, "counts") == printed
    assert parse(printed, meter) == line


@pytest.mark.parametrize(
    ("boxes", "meter", "said"),
    [
        ("xxxxx . . .", "4/4", "counts have no syllable for 1/5 of a beat; use boxes"),
        (".x...... . . .", "4/4", "counts have no syllable for 1/8 of a beat; use boxes"),
        ("x. . . .", "4/4", "counts cannot say the lengths of this line; use boxes or note values"),
        ("x- -- x .", "4/4", "counts cannot say the lengths of this line"),
        ("xx .", "6/8", "counts cannot say the lengths of this line"),
    ],
)
def test_what_counts_cannot_say(boxes: str, meter: str, said: str) -> None:
    """A place without a syllable, and a length other than to the next note or beat, are refused with the way out."""
    with pytest.raises(LineError, match=re.escape(said)):
        render(parse(boxes, meter, notation="boxes"), "counts")


def test_no_bars_no_counts() -> None:
    """A line with no bars has no counts."""
    with pytest.raises(LineError, match="a line with no bars has no counts"):
        render(Line((), Meters()), "counts")


@pytest.mark.parametrize("meter", ["2/4", "3/4", "4/4", "5/4", "2/2", "6/8", "9/8", "12/8", "5/8", "7/8"])
def test_every_beat_of_every_usual_meter(meter: str) -> None:
    """All numbers of a meter, said in order, strike its beats, and read back."""
    one = Meter.parse(meter)
    said = " ".join(str(number) for number in range(1, len(one.beats) + 1))
    line = parse(said, meter, notation="counts")
    assert line.onsets == tuple(beat.start for beat in Meters.of(one).beats)
    assert parse(render(line, "counts"), meter) == line
