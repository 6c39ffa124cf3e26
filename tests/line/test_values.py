"""Note values of a line."""

import re
from fractions import Fraction

import pytest

from kitgen.errors import LineError
from kitgen.line import Line, Note, parse, render
from kitgen.time import Meter, Meters

F = Fraction


@pytest.mark.parametrize(
    ("text", "meter", "notes"),
    [
        ("4 8 8 4. 8", "4/4", "0+1 1+1/2 3/2+1/2 2+3/2 7/2+1/2"),
        ("1", "4/4", "0+4"),
        ("2.", "3/4", "0+3"),
        ("4.. 16 2", "4/4", "0+7/4 7/4+1/4 2+2"),
        ("12 12 12 4r 2", "4/4", "0+1/3 1/3+1/3 2/3+1/3 2+2"),
        ("6 6 6 2", "4/4", "0+2/3 2/3+2/3 4/3+2/3 2+2"),
        ("20 20 20 20 20 2.", "4/4", "0+1/5 1/5+1/5 2/5+1/5 3/5+1/5 4/5+1/5 1+3"),
        ("[4 4] 2", "4/4", "0+2 2+2"),
        ("2 [2 | 1_ | 2] 2r", "4/4", "0+2 2+8"),
        ("r4 4 r2", "4/4", "1+1"),
        ("4. 8 8 8", "6/8", "0+3/2 3/2+1/2 2+1/2 5/2+1/2"),
        ("4 4 8 8 8", "7/8", "0+1 1+1 2+1/2 5/2+1/2 3+1/2"),
        ("2 2", "2/2", "0+2 2+2"),
    ],
)
def test_read(text: str, meter: str, notes: str) -> None:
    """Values are parts of a whole note, with dots, rests and ties; a tied note is one note."""
    assert [f"{note.onset}+{note.length}" for note in parse(text, meter, notation="values").notes] == notes.split()


def test_accents() -> None:
    """An accent may stand on a note or on any part of a tied one, and accents the whole."""
    assert parse("4! 4 [4 4!]", notation="values").accents == (F(0), F(2))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("4 4 4", "bar 1 of 4/4 is 1 quarter too short in '4 4 4'"),
        ("4 4 4 4 16", "bar 2 of 4/4 is 15 sixteenths too short in '4 4 4 4 16' (or the line 1 sixteenth too long)"),
        ("4 4 | 2", "bar 1 of 4/4 is 2 quarters too short (or 2 quarters too long) where its barline stands"),
        ("1 12", "bar 2 of 4/4 is 11/3 of a quarter too short in '1 12' (or the line 1/3 of a quarter too long)"),
        ("[4 4 2", "a tie '[' that is not ended by ']' (character 4 of"),
        ("[4 4_ 2", "a tie '[' that is not ended by ']'"),
        ("2 [2", "a tie '[' that is not ended by ']'"),
        ("[2 2r", "a tie '[' that is not ended by ']'"),
        ("4] 2.", "'4]' ends a tie that never began (character 1 of"),
        ("2 4_ 4]", "'4_' ends a tie that never began"),
        ("4r! 2.", "a rest is neither tied nor accented"),
        ("[4r 2.]", "a rest is neither tied nor accented"),
        ("4!! 2.", "a sign twice in '4!!'"),
        ("4 4q 2", "cannot read '4q' as a note value; write 4, 8., 12, 4r, [4 4], 8! (character 3 of"),
        ("x 2", "cannot read 'x' as a note value"),
        ("0 2", "no note value 0; 1 to 512, up to 3 dots (character 1 of"),
        ("513 2", "no note value 513; 1 to 512"),
        ("2....", "no note value 2....; 1 to 512, up to 3 dots"),
    ],
)
def test_what_is_wrong_and_where(text: str, said: str) -> None:
    """An error says what is wrong, at which character, and by how much a bar is short or long."""
    with pytest.raises(LineError, match=re.escape(said)):
        parse(text, notation="values")


def test_notes_break_at_barlines_and_ties_join_them() -> None:
    """Printed, a note over a barline is tied across it, and rests are broken there."""
    line = Line((Note(F(3), F(6), accent=True),), Meters.of(Meter(4, 4), 3))
    assert render(line, "values") == "2.r [4! 1_ 4] 2.r"


@pytest.mark.parametrize("length", ["1/1024", "1/521", "7/2048"])
def test_lengths_finer_than_any_value_are_refused(length: str) -> None:
    """A length that no values add up to is refused, with the shortest value there is."""
    with pytest.raises(
        LineError, match=f"a length of {length} quarters has no note values, the shortest of which is 512"
    ):
        render(Line((Note(F(0), F(length)),), Meters.of(Meter(4, 4))), "values")


def test_the_longest_bar_there_is() -> None:
    """A note of 64 whole notes is as many of the longest value as it takes, and reads back."""
    line = Line((Note(F(0), F(256)),), Meters.of(Meter(64, 1)))
    assert parse(render(line, "values"), Meter(64, 1), notation="values") == line
