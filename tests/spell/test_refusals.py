"""What cannot be written is refused in words that say where, why and what instead."""

from fractions import Fraction

import pytest

from kitgen.errors import FeelError, KitgenError
from kitgen.kit import Limb
from kitgen.line import Line, Note
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Feel, Hit, Pattern
from kitgen.spell import SpellingError, in_values, spell, spell_line, spell_page
from kitgen.time import Meter, Meters

FOUR = Meter(4, 4)


def struck(*places: str, meters: Meters | None = None) -> Pattern:
    """The snare at some places."""
    hits = tuple(Hit(Fraction(place), Limb.LH, "snare") for place in places)
    return Pattern(hits, meters or Meters.of(FOUR, 2))


def test_it_is_one_of_our_errors() -> None:
    """So that no traceback reaches anybody."""
    assert issubclass(SpellingError, KitgenError)
    assert issubclass(SpellingError, ValueError)


def test_seventeen_in_a_beat() -> None:
    """Says bar and count, what is allowed, and the nearest division with how far it moves a note."""
    with pytest.raises(SpellingError) as caught:
        spell(struck("0", "101/17"))
    assert str(caught.value) == (
        'bar 2, count "2": notes that start or end at 16/17 of the beat cannot be written exactly in one voice; values '
        "go down to 128ths, tuplets up to 13 parts; the nearest that can be written is 16 to the beat, which moves a "
        "note by 1/272 of the beat at most"
    )


def test_finer_than_a_128th() -> None:
    """A 64th of a beat is one step too fine."""
    with pytest.raises(SpellingError, match=r'bar 1, count "1": .* at 1/64 of the beat .* which moves a note by'):
        spell(struck("0", "1/64"))


def test_what_is_offered_can_be_written() -> None:
    """A quarter of a 64th is too short; the nearest there is are 128ths in threes, which can be written."""
    meters = Meters.of(Meter(2, 64, (1, 1)))
    with pytest.raises(SpellingError, match=r"at 1/4 of the beat .* is 3 to the beat, which moves a note by 1/12"):
        spell(struck("1/64", meters=meters))
    assert spell(struck("1/48", meters=meters))


def test_a_tuplet_above_thirteen() -> None:
    """Fourteen parts that are no two sevens are fourteen; those that are two sevens are written."""
    assert spell(struck("0", "1/14", "1/2"))
    with pytest.raises(SpellingError, match=r"at 1/15, 1/3, 2/5 of the beat"):
        spell(struck("0", "1/15", "1/3", "2/5"))


def test_a_bar_that_ends_inside_a_triplet() -> None:
    """A cut beat has no value."""
    with pytest.raises(SpellingError, match=r'bar 1, count "2": the bar ends 1/3 of a quarter into this beat'):
        spell(struck("0", meters=Meters(((FOUR, Fraction(4, 3)),))))


def test_a_roll_that_ends_nowhere() -> None:
    """The end of a held sound counts as well."""
    hit = Hit(Fraction(0), Limb.LH, "snare", length=Fraction(18, 17))
    with pytest.raises(SpellingError, match=r'bar 1, count "2": notes that start or end at 1/17 of the beat'):
        spell(Pattern((hit,), Meters.of(FOUR)))


def test_the_row_is_named_on_a_page() -> None:
    """Where a page has several."""
    rows = (Row("easy", struck("0")), Row("hard", struck("1/17")))
    with pytest.raises(SpellingError, match=r"""^row 'hard', bar 1, count "1": """):
        spell_page(Page("Two", "Play.", rows, Tempo.at(60, Fraction(1))))


def test_a_line_says_the_same() -> None:
    """Bar and count of the note that cannot be written."""
    line = Line((Note(Fraction(5), Fraction(3, 17)),), Meters.of(FOUR, 2))
    with pytest.raises(SpellingError, match=r'bar 2, count "2": notes that start or end at 3/17 of the beat'):
        spell_line(line)


def test_quarters_do_not_swing() -> None:
    """Swung eighths in twice the values have no name; in half they are swung sixteenths."""
    swung = struck("0", "1/2").with_feel(Feel(8, Fraction(2)))
    with pytest.raises(FeelError, match="eighths or sixteenths swing"):
        in_values(swung, Fraction(2))
    assert in_values(swung, Fraction(1, 2)).feel == Feel(16, Fraction(2))
