"""What lengths show beyond cells: long values, ties, rests inside a beat, from a line or from held strokes."""

import pytest
from hypothesis import given

from kitgen.errors import LineError
from kitgen.kit import Limb
from kitgen.line import Line, parse, render
from kitgen.page import Page, Row, Tempo, elements_of
from kitgen.page.written import held_elements, written_elements
from kitgen.pattern import Hit, Pattern
from kitgen.time import Meter
from tests.strategies import lines, said_lines


@pytest.mark.parametrize(
    ("values", "meter", "found"),
    [
        ("4 4 8 8 16 16 16 16", "4/4", set()),
        ("2 4 4", "4/4", {"value half"}),
        ("1", "4/4", {"value whole"}),
        ("2. 4", "4/4", {"value dotted-half"}),
        ("4. 8 4 4", "4/4", {"value dotted-quarter"}),
        ("8 4 8 4 4", "4/4", {"tie"}),
        ("8 4. 4 4", "4/4", {"tie"}),
        ("4 4 4 [4 | 2] 2", "4/4", {"tie", "value half"}),
        ("[2 8] 8 4", "4/4", {"tie", "value half"}),
        ("8 8r 8 8r 2r", "4/4", {"rest eighth"}),
        ("8r 8 8r 8 4 4", "4/4", set()),
        ("16 16r 8r 4 2r", "4/4", {"rest eighth"}),
        ("16 16r 16 16r 4 4 4r", "4/4", set()),
        ("16 16r 16 16 4 4 4r", "4/4", set()),
        ("12 12r 12r 4 2r", "4/4", set()),
        ("4. 8 4r", "6/8", {"rest quarter"}),
        ("2.", "6/8", {"value dotted-half"}),
        ("8 4r 4.", "6/8", {"rest quarter"}),
        ("2 2", "2/2", set()),
        ("1", "2/2", {"value whole"}),
    ],
)
def test_what_a_line_shows(values: str, meter: str, found: set[str]) -> None:
    """Values longer than a beat, ties however they are written, rests of an eighth or more after a stroke."""
    line = parse(values, Meter.parse(meter), notation="values", pad=True)
    assert written_elements(render(line), Meter.parse(meter)) == found


@given(said_lines())
def test_a_line_that_lasts_to_the_next_note_shows_nothing_more(line: Line) -> None:
    """Notes that last to the next, or to the end of their beat, are all in their cells."""
    assert written_elements(render(line), line.meters.bars[0].meter) == frozenset()


@given(lines(accents=False))
def test_held_strokes_say_what_their_line_says(line: Line) -> None:
    """Strokes that carry a line's lengths give the elements of the line in boxes; without lengths they give none."""
    hits = [Hit(note.onset, Limb.LH, "snare", length=note.length) for note in line.notes]
    bare = [Hit(note.onset, Limb.LH, "snare") for note in line.notes]
    assert held_elements(hits, line.meters) == written_elements(render(line), line.meters.bars[0].meter)
    assert held_elements(bare, line.meters) == frozenset()


def test_a_page_has_the_elements_of_its_line() -> None:
    """What the line of a page shows is among the page's elements; a line that is none is an error that says where."""
    line = parse("2 4 4", Meter(4, 4))
    row = Row("the line", Pattern(tuple(Hit(note.onset, Limb.LH, "snare") for note in line.notes), line.meters))
    page = Page("a page", "", (row,), Tempo.at(60, Meter(4, 4).unit), line=render(line))
    assert "value half" in elements_of(page)
    with pytest.raises(LineError, match="unknown character 'q'"):
        elements_of(Page("a page", "", (row,), page.tempo, line="q x x x"))
