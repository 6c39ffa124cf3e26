"""Charts as pages, and what check says of them."""

from pathlib import Path

import pytest

from kitgen.errors import ReadError, UnknownNameError
from kitgen.kit import PLAYERS, player
from kitgen.make.again import made_again, recipe_in
from kitgen.make.chart_checks import check_chart
from kitgen.make.chart_recipe import ChartRecipe
from kitgen.make.charted import charted
from kitgen.make.checks import check_page, check_path
from kitgen.page import TempoChange
from tests.styles.charting import FERRY, chart, section

RECIPE = ChartRecipe(chart="low-water.toml")


def test_the_page_of_a_chart() -> None:
    """Title, band, a row a passage, tempi in the first section's beats."""
    of = chart(section("A", 4, times=2), section("B", 4, "samba", 100))
    page = charted(of, RECIPE).page
    assert (page.title, page.heading) == ("Low Water", "Alder Bay Middle School jazz band")
    assert [row.label for row in page.rows] == ["A, time 1", "A, time 2", "B"]
    assert page.tempo_changes == (TempoChange(9, 200),)
    assert page.notes[0].startswith("sections of different feel")


def test_what_is_too_fast_is_said() -> None:
    """A section a player cannot play is named on the page, and found by check at its own tempo."""
    of = chart(section("A", 4, "samba", 88), section("B", 4, "samba", 128))
    page = charted(of, RECIPE, PLAYERS["school"]).page
    assert any(note.startswith("B, not for the school player as it stands") for note in page.notes)
    assert any("256" in words or "128" in words for words in check_page(page, PLAYERS["school"]))
    assert list(check_page(charted(of, RECIPE, PLAYERS["advanced"]).page, PLAYERS["advanced"])) == []


def test_a_recipe_needs_its_file() -> None:
    """It is read back, and says that the chart is in a file."""
    text = str(ChartRecipe(chart="low-water.toml", hand="left", sums=("low-water.toml sha256:" + "0" * 64,)))
    assert recipe_in(text) == ChartRecipe.parse(text)
    with pytest.raises(ReadError, match="the chart of this recipe is in a file"):
        made_again(text)


def test_hands() -> None:
    """Charts are played right- or left-handed."""
    of = chart(section("A", 4))
    assert charted(of, ChartRecipe(chart="x.toml", hand="left")).page.title == "Low Water, left-handed"
    with pytest.raises(UnknownNameError, match="right"):
        charted(of, ChartRecipe(chart="x.toml", hand="rihgt"))


def test_check_of_a_charts_file(tmp_path: Path) -> None:
    """The band's chart is sound; one too fast for its style and its player is not."""
    assert check_path(FERRY) == ()
    path = tmp_path / "fast.toml"
    path.write_text('title = "x"\nstyle = "swing"\ntempo = 290\n[[section]]\nmark = "A"\nbars = 4\n', "utf-8")
    found = list(check_chart(path, player("beginner")))
    assert found[0] == "section A: Swing at 290; it lives at 84 to 220 quarters a minute"
    assert any("needs" in words for words in found[1:])
