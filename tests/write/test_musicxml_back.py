"""What the reader takes from a score beyond its signs: how loud notes are, and the limbs in this program's own."""

import pytest

from kitgen.kit import Limb
from kitgen.pattern import Hit, Level
from kitgen.write.musicxml import page_musicxml
from tests.write.musicxml_reading import page_with, read_back


def hits_of(data: bytes) -> tuple[Hit, ...]:
    """The hits in a score."""
    pattern = read_back(data)
    assert pattern is not None
    return pattern.hits


def test_levels_without_a_sign_come_from_how_loud_notes_are() -> None:
    """Feathered and tapped strokes look like normal ones and are told by their velocity."""
    page = page_with("RF bass f t x X; LH snare g t x X")
    assert hits_of(page_musicxml(page)) == page.pattern.hits


@pytest.mark.parametrize(
    ("percent", "level"),
    [("20", Level.FEATHER), ("45", Level.TAP), ("70", Level.TAP), ("90", Level.NORMAL), ("140", Level.NORMAL)],
)
def test_a_loud_note_without_an_accent_is_no_accent(percent: str, level: Level) -> None:
    """Scores by others give every note a velocity; accents and ghosts are what is printed."""
    data = page_musicxml(page_with("LH snare x", "1/4")).replace(b'"97.78"', f'"{percent}"'.encode())
    assert [hit.level for hit in hits_of(data)] == [level]


@pytest.mark.parametrize("percent", ["", "loud", "-5", "nan", "1e3"])
def test_a_velocity_that_is_no_number_says_nothing(percent: str) -> None:
    """The note is read all the same."""
    data = page_musicxml(page_with("LH snare x", "1/4")).replace(b'"97.78"', f'"{percent}"'.encode())
    assert [hit.level for hit in hits_of(data)] == [Level.NORMAL]


def test_limbs_are_told_by_ids() -> None:
    """Any limb on any surface it can play."""
    page = page_with("RH snare x . x .; LH ride x . . x; LF bass x x . x; RF hat-foot . x x x")
    assert hits_of(page_musicxml(page)) == page.pattern.hits


def test_other_ids_say_nothing() -> None:
    """Where one note of an instant does not tell its limb, the standard kit and the stickings do for all."""
    data = page_musicxml(page_with("RH snare x; LH ride x", "1/4")).replace(b'id="RH-1', b'id="RH')
    assert {(hit.limb, hit.surface) for hit in hits_of(data)} == {(Limb.LH, "snare"), (Limb.RH, "ride")}
