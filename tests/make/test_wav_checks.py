"""How long a page lasts: its bars at its tempi, in seconds."""

from fractions import Fraction

import pytest

from kitgen.make.wav_checks import page_seconds
from kitgen.page import Page, Row, Tempo
from kitgen.page.value import TempoChange
from kitgen.pattern import parse_rows


def page_of(bpm: float, unit: Fraction, meter: str, rows: str, *changes: TempoChange) -> Page:
    """A page of one row played twice."""
    row = Row("a row", parse_rows(rows, meter), 2)
    return Page("a page", "", (row,), Tempo.at(bpm, unit), tempo_changes=changes)


@pytest.mark.parametrize(
    ("page", "seconds"),
    [
        (page_of(60, Fraction(1), "4/4", "RH ride x x x x"), 8),
        (page_of(120, Fraction(3, 2), "6/8", "RH ride x.. x.."), 6 * 0.333333),
        (page_of(60, Fraction(1), "4/4", "RH ride x x x x", TempoChange(2, 120)), 6),
        (page_of(97, Fraction(1), "4/4", "RH ride x x x x"), 8 * 0.618557),
    ],
    ids=("quarters", "dotted quarters", "another tempo in bar 2", "a quarter of whole microseconds"),
)
def test_a_page_lasts_as_long_as_its_bars(page: Page, seconds: float) -> None:
    """Bars at the tempo they are played at, each quarter as long as a MIDI file says."""
    assert page_seconds(page) == pytest.approx(seconds, abs=1e-9)
