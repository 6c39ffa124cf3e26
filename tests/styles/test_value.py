"""Styles as values: what cannot be built, and which pattern keeps time when."""

from dataclasses import replace
from pathlib import Path

import pytest

from kitgen.errors import OptionError, PatternError, TimeError, UnknownNameError
from kitgen.read.styles import style_named
from kitgen.styles import FORMS, Role, TempoRange
from kitgen.time import Meter
from tests.styles.making import style_of


def test_what_is_no_style_cannot_be_built(tmp_path: Path) -> None:
    """A style without a groove, of two names, another meter, or words there are not is refused."""
    style = style_of(tmp_path)
    groove, fill, _ = style.patterns
    for change, error in (
        ({"patterns": (fill,)}, PatternError),
        ({"patterns": (groove, groove)}, PatternError),
        ({"meter": Meter(3, 4)}, PatternError),
        ({"sticks": ("spoons",)}, UnknownNameError),
        ({"forms": ("sonata",)}, UnknownNameError),
        ({"micro": "late"}, UnknownNameError),
        ({"count_in_bars": 3}, OptionError),
        ({"phrase_bars": (0,)}, OptionError),
    ):
        with pytest.raises(error):
            replace(style, **change)


def test_what_is_no_pattern_cannot_be_built(tmp_path: Path) -> None:
    """A pattern that strikes nothing, before it begins, or lands nowhere is refused."""
    groove = style_of(tmp_path).groove
    with pytest.raises(PatternError, match="strikes nothing"):
        replace(groove, pattern=groove.pattern.with_hits(()))
    with pytest.raises(PatternError, match="before it begins"):
        replace(groove, starts=groove.pattern.span / 2)
    with pytest.raises(UnknownNameError, match="landing"):
        replace(groove, lands="somewhere")
    with pytest.raises(UnknownNameError, match="section"):
        replace(groove, sections=("chorrus",))


@pytest.mark.parametrize(("low", "high", "error"), [(120, 80, OptionError), (5, 80, TimeError), (80, 900, TimeError)])
def test_a_range_goes_up(low: int, high: int, error: type[Exception]) -> None:
    """A range of tempi is slowest first, and can be played to."""
    with pytest.raises(error):
        TempoRange(low, high)


def test_time_is_found_for_tempo_and_section() -> None:
    """The samba's full ride gives way to the thinned one when it gets fast, and the bridge has its own."""
    samba = style_named("samba")
    assert samba.time_at(100).name == "groove"
    assert samba.time_at(128).name == "thin-ride"
    assert samba.time_at(100, section="bridge").name == "bell"
    assert samba.time_at(100, section="verse").name == "groove"


def test_fills_come_shortest_first() -> None:
    """Fills are given in the order of their lengths."""
    lengths = [fill.length for fill in style_named("rock").fills]
    assert lengths == sorted(lengths)


def test_a_pattern_is_found_by_name(tmp_path: Path) -> None:
    """A pattern's name finds it, and another names the nearest."""
    style = style_of(tmp_path)
    assert style.named("fill").role is Role.FILL
    with pytest.raises(UnknownNameError, match="did you mean groove"):
        style.named("grove")


def test_forms_have_the_lengths_they_are_known_for() -> None:
    """Bars of the usual forms: 12 of the blues, 32 of the song forms and of trading (common practice)."""
    assert {name: FORMS[name].bars for name in ("12-bar-blues", "16-bar", "aaba", "abac", "trading-fours")} == {
        "12-bar-blues": 12, "16-bar": 16, "aaba": 32, "abac": 32, "trading-fours": 32,
    }  # fmt: skip
    assert [section.name for section in FORMS["aaba"].sections] == ["A", "A", "bridge", "A"]
