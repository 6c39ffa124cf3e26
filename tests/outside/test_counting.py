"""Counting syllables against the published system and common practice.

Beat-function syllables: R. Hoffman, W. Pelto and J. W. White, "Takadimi: A Beat-Oriented System of Rhythm Pedagogy",
Journal of Music Theory Pedagogy 10 (1996): the beat is ta wherever it is, its half di, its quarters ka and mi, its
thirds ki and da, its sixths va and ma. Syllables for five and seven are from memory. Numbers: common practice.
"""

from fractions import Fraction

import pytest

from kitgen.pattern import parse_rows, render_rows
from kitgen.time import Meter, Meters, syllable

PUBLISHED = {
    1: "ta",
    2: "ta di",
    3: "ta ki da",
    4: "ta ka di mi",
    6: "ta va ki di da ma",
}
FROM_MEMORY = {5: "ta ka di mi ti", 7: "ta va ki di da ma ti"}
EVERY_BEAT = [("2/4", 0), ("4/4", 3), ("2/2", 1), ("3/8", 0), ("6/8", 1), ("12/8", 2), ("7/8", 0), ("7/8", 2)]


def said(meter: str, beat: int, parts: int, system: str) -> str:
    """What is said on a beat (from 0) of a meter, divided in so many parts."""
    one = Meters.of(Meter.parse(meter)).beats[beat]
    return " ".join(syllable(one, Fraction(place, parts), system=system) for place in range(parts))


@pytest.mark.parametrize(("meter", "beat"), EVERY_BEAT)
@pytest.mark.parametrize("parts", [*PUBLISHED, *FROM_MEMORY])
def test_beat_function_syllables(meter: str, beat: int, parts: int) -> None:
    """A place in the beat has its syllable by its function, whatever the meter and the number of the beat."""
    assert said(meter, beat, parts, "beat-function") == {**PUBLISHED, **FROM_MEMORY}[parts]


def test_one_place_one_syllable() -> None:
    """A place has one syllable however finely the beat is divided: the half is di among two, four and six."""
    for place, syllables in (
        (Fraction(1, 2), "di"),
        (Fraction(1, 3), "ki"),
        (Fraction(2, 3), "da"),
        (Fraction(0), "ta"),
    ):
        for parts in (2, 3, 4, 6):
            if (place * parts).denominator == 1:
                assert said("4/4", 0, parts, "beat-function").split()[int(place * parts)] == syllables


@pytest.mark.parametrize(
    ("meter", "beat", "parts", "words"),
    [
        ("4/4", 0, 2, "1 &"),
        ("4/4", 1, 4, "2 e & a"),
        ("4/4", 2, 3, "3 trip let"),
        ("2/2", 1, 4, "2 e & a"),
        ("6/8", 0, 3, "1 la li"),
        ("9/8", 2, 3, "3 la li"),
        ("7/8", 2, 3, "3 la li"),
    ],
)
def test_numbers(meter: str, beat: int, parts: int, words: str) -> None:
    """Numbers are said 1 &, 1 e & a, 1 trip let and, in beats of three units, 1 la li (common practice)."""
    assert said(meter, beat, parts, "numbers") == words


def test_cut_time_may_be_counted_in_quarters() -> None:
    """On pages of 2/2 counted in quarters the & of 2 is the fourth eighth (common practice for Latin styles)."""
    tumbao = parse_rows("RF bass ...x ..x.", "2/2")
    count, row = render_rows(tumbao, count_quarters=True).splitlines()[1:3]
    assert (count.split()[1:], row.split()[2:]) == (["1&2&", "3&4&"], ["...x", "..x."])
