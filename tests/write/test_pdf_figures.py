"""Figures of notes in the head of a sheet."""

from fractions import Fraction

import pytest
from defusedxml.ElementTree import fromstring

from kitgen.pattern import Feel
from kitgen.time import unit_name
from kitgen.write.pdf_figures import note_figure, swing_figure


@pytest.mark.parametrize(
    ("unit", "dots", "flags", "stems"),
    [
        ("4", 0, 0, 0),
        ("3", 1, 0, 1),
        ("2", 0, 0, 1),
        ("3/2", 1, 0, 1),
        ("1", 0, 0, 1),
        ("3/8", 1, 2, 1),
        ("1/8", 0, 3, 1),
    ],
)
def test_a_note_has_the_parts_of_its_value(unit: str, dots: int, flags: int, stems: int) -> None:
    """A dot where it is dotted, a flag for each halving below a quarter, a stem below a whole note."""
    figure = note_figure(Fraction(unit))
    assert figure is not None
    names = [part.tag.rpartition("}")[2] for part in fromstring(figure.svg)]
    assert (names.count("circle"), names.count("path"), names.count("ellipse")) == (dots, flags + stems, 1)
    assert figure.alt == f"{unit_name(Fraction(unit))} note"


def test_a_length_that_is_no_note_has_no_figure() -> None:
    """Five eighths are no single note."""
    assert note_figure(Fraction(5, 2)) is None


def test_swing_is_shown_for_what_swings() -> None:
    """Eighths or sixteenths, and nothing where notes are even."""
    assert swing_figure(Feel()) is None
    for unit, words in ((8, "two eighths"), (16, "two sixteenths")):
        figure = swing_figure(Feel(unit, Fraction(2)))
        assert figure is not None
        assert figure.alt.startswith(words)
        assert len([part for part in fromstring(figure.svg) if part.tag.endswith("ellipse")]) == 4
