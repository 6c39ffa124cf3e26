"""Repeats, endings and jumps are played out when asked, in the order common practice gives them."""

from fractions import Fraction
from pathlib import Path

import pytest

from kitgen.errors import ReadError
from kitgen.line import Line
from tests.read.musicxml_text import END, START, barline, note, read, score


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a test writes its score."""
    return tmp_path / "alder bay.musicxml"


def numbered(*signs: str) -> str:
    """A score of one bar a sign, bar n marked by n sixteenths at its start, 4/4."""
    return score([sign + n * note(1) + (note(16 - n)) for n, sign in enumerate(signs)])


def order(line: Line) -> str:
    """The bars of such a score in the order they are played."""
    bars = line.meters.bars
    return "".join(str(sum(bar.start <= onset < bar.end for onset in line.onsets) - 1) for bar in bars)


def ending(number: str, *, last: bool = False) -> str:
    """A one-bar ending, with a repeat unless it is the last."""
    right = f'<ending number="{number}" type="stop"/>' + ("" if last else '<repeat direction="backward"/>')
    return barline("left", f'<ending number="{number}" type="start"/>') + barline("right", right)


def sound(**marks: str) -> str:
    """A sign that says what it means for playing."""
    return "<direction><sound " + " ".join(f'{name}="{value}"' for name, value in marks.items()) + "/></direction>"


@pytest.mark.parametrize(
    ("signs", "played"),
    [
        (("", "", ""), "012"),
        (("", END, ""), "01012"),
        (("", START, END, ""), "012123"),
        (("", END, "", END), "01012323"),
        (("", barline("right", '<repeat direction="backward" times="3"/>')), "010101"),
        (("", ending("1"), ending("2", last=True), ""), "01023"),
        (("", ending("1, 2"), ending("3", last=True), ""), "0101023"),
        (("", START, ending("1"), ending("2"), ""), "012134"),
        (("", END, ending("2", last=True), ""), "010123"),
        (("", sound(fine="yes"), sound(dacapo="yes")), "01201"),
        (("", sound(segno="a"), sound(tocoda="b"), sound(dalsegno="a"), sound(coda="b")), "0123124"),
        (("", END, sound(fine="yes"), sound(dacapo="yes")), "010123012"),
        (("", ending("1"), ending("2", last=True), sound(dacapo="yes", fine="yes")), "01023023"),
    ],
)
def test_unfolding(path: Path, signs: tuple[str, ...], played: str) -> None:
    """Repeats, endings and jumps are played out when asked, and only then."""
    text = numbered(*signs)
    assert order(read(path, text, unfold=True)) == played
    assert order(read(path, text)) == "".join(map(str, range(len(signs))))


def test_pickup_of_a_repeat_joins_the_bar_before_it(path: Path) -> None:
    """Played again, the pickup completes the short bar that leads back to it."""
    text = score([note(4), note(16), note(12) + END])
    assert str(read(path, text).meters) == "3 x 4/4"
    assert read(path, text, unfold=True).onsets == tuple(map(Fraction, (3, 4, 8, 11, 12, 16)))


@pytest.mark.parametrize(
    ("signs", "why"),
    [
        (("", barline("middle", '<repeat direction="backward"/>')), "bar 2 has a repeat sign inside it"),
        (("", sound(dalsegno="a")), "bar 2 leads to a segno that is not there"),
        (20 * (*99 * ("",), barline("right", '<repeat direction="backward" times="999"/>')), "more than 20000 bars"),
    ],
)
def test_orders_that_cannot_be_played(path: Path, signs: tuple[str, ...], why: str) -> None:
    """A sign that leads nowhere is an error, but only when the music is unfolded."""
    text = score([sign + note(16) for sign in signs])
    assert len(read(path, text).meters.bars) == len(signs)
    with pytest.raises(ReadError, match=why):
        read(path, text, unfold=True)
