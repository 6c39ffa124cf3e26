"""Paper: sizes, margins, prints."""

import pytest

from kitgen.errors import OptionError
from kitgen.write.paper import Paper


def test_sizes_are_those_of_the_standards() -> None:
    """US Letter is 8.5 by 11 inches; A4 is 210 by 297 millimetres (ISO 216)."""
    assert (Paper().width_pt / 72, Paper().height_pt / 72) == (8.5, 11)
    a4 = Paper("a4")
    assert (a4.width_pt * 25.4 / 72, a4.height_pt * 25.4 / 72) == pytest.approx((210, 297))


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_the_margin_holds_the_holes_of_a_binder(size: str) -> None:
    """Holes reach at most 18 mm from the edge: 12 mm to their centre and 3 mm more (ISO 838), and as much to spare."""
    paper = Paper(size)
    assert paper.left_pt * 25.4 / 72 > 18
    assert paper.left_pt + paper.music_width_pt + paper.right_pt == pytest.approx(paper.width_pt, abs=0.01)


def test_large_print_is_larger_in_notes_and_words() -> None:
    """Staff and text grow together; the music is as wide as before."""
    normal, large = Paper(), Paper(print="large")
    assert large.staff_pt / normal.staff_pt == pytest.approx(large.text_pt / normal.text_pt, rel=0.1)
    assert large.text_pt >= 14
    assert large.music_width_pt == normal.music_width_pt


def test_other_paper_is_refused() -> None:
    """What there is not is named with what there is."""
    with pytest.raises(OptionError, match="'legal'; there are letter, a4"):
        Paper("legal")
    with pytest.raises(OptionError, match="'tiny'; there are normal, large"):
        Paper(print="tiny")
