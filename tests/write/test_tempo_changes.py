"""A page whose tempo changes on the way: in its MIDI files, in its text, and what cannot be."""

from fractions import Fraction

import mido
import pytest

from kitgen.errors import PatternError, ReadError, TimeError
from kitgen.page import Page, Row, Tempo, TempoChange
from kitgen.pattern import parse_rows
from kitgen.read.text import page_of_text
from kitgen.write.index import _facts
from kitgen.write.midi import PlayAlong, loop, play_along
from kitgen.write.text import page_text
from tests.write.heard import load

BAR = parse_rows("RH ride x. x. x. x.", "4/4")


def page(*changes: tuple[int, float], unit: Fraction = Fraction(1)) -> Page:
    """Two rows of two bars, at 120."""
    rows = (Row("A", BAR * 2), Row("B", BAR * 2))
    return Page("On", "", rows, Tempo.at(120, unit), "", tempo_changes=tuple(TempoChange(*one) for one in changes))


def tempi(data: bytes) -> list[tuple[float, int]]:
    """Where the tempo is set, in bars from the start, and what it is in quarters."""
    midi = load(data)
    found, now = list[tuple[float, int]](), 0
    for message in midi.tracks[0]:
        now += message.time
        if message.type == "set_tempo":
            found.append((now / 4 / midi.ticks_per_beat, round(mido.tempo2bpm(message.tempo))))
    return found


def test_in_the_loop() -> None:
    """Each change stands at its bar."""
    assert tempi(loop(page((3, 90), (4, 60)))) == [(0, 120), (2, 90), (3, 60)]


def test_in_halves() -> None:
    """A change counts the page's unit."""
    assert tempi(loop(page((3, 90), unit=Fraction(2)))) == [(0, 240), (2, 180)]


def test_each_time_through() -> None:
    """After the count-in the page begins at its own tempo again each time; a slower time is slower throughout."""
    assert tempi(play_along(page((3, 90)), PlayAlong(2))) == [(0, 120), (3, 90), (5, 120), (7, 90)]
    slower = tempi(play_along(page((3, 90)), PlayAlong(1, (60, 120))))
    assert slower == [(0, 60), (3, 45), (5, 120), (7, 90)]


def test_from_a_later_row() -> None:
    """Begun after a change, the play-along is at the tempo there."""
    assert tempi(play_along(page((3, 90), (4, 60)), PlayAlong(1, start="B"))) == [(0, 90), (2, 60)]


def test_as_text() -> None:
    """The text names the bar and is read back."""
    made = page((3, 90), (4, 60.5))
    assert "change: 90 quarters a minute from bar 3\nchange: 60.5 quarters a minute from bar 4\n" in page_text(made)
    assert page_of_text(page_text(made), "x") == made
    with pytest.raises(ReadError, match="'change: faster' is like"):
        page_of_text(page_text(made).replace("90 quarters a minute from bar 3", "faster"), "x")


@pytest.mark.parametrize("changes", [((1, 90),), ((5, 90),), ((3, 90), (3, 60)), ((4, 90), (3, 60))])
def test_bars_in_order(changes: tuple[tuple[int, float], ...]) -> None:
    """A change comes in a bar after the first, once, in order."""
    with pytest.raises(PatternError, match="stand in order, in bars 2 to 4"):
        page(*changes)


def test_a_tempo_nobody_plays() -> None:
    """The limits of any tempo hold."""
    with pytest.raises(TimeError, match="20 to 400"):
        page((3, 4000))


def test_in_the_index() -> None:
    """The facts of a page name each change with its bar."""
    assert "120 quarters a minute, 90 quarters a minute from bar 3; " in _facts(page((3, 90)))
