"""Law 8 for MIDI: reading a file this package wrote gives its pattern back."""

from fractions import Fraction
from io import BytesIO
from pathlib import Path

import mido
from hypothesis import given
from hypothesis import strategies as st

from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Pattern
from kitgen.read.midi import page_of_midi
from kitgen.write.midi import loop, rounding_ms
from tests.strategies import patterns

TRACKS = st.sampled_from(("limb", "one"))
SEEDS = st.integers(-(2**40), 2**40)
TEMPI = st.one_of(st.integers(20, 400), st.floats(20, 400))


def page_with(pattern: Pattern, bpm: float = 90) -> Page:
    """A page of one row at a tempo in quarters a minute."""
    return Page("any page", "", (Row("any row", pattern),), Tempo.at(bpm, Fraction(1)), "kitgen")


def read_back(data: bytes) -> Page:
    """The page in a MIDI file."""
    return page_of_midi(mido.MidiFile(file=BytesIO(data)), Path("page.mid"))


def is_exact(page: Page) -> bool:
    """True where every place of the page falls on a tick."""
    return rounding_ms(page) == 0


@given(patterns(lengths=True), TRACKS, SEEDS, TEMPI)
def test_a_loop_gives_its_pattern_back(p: Pattern, tracks: str, seed: int, bpm: float) -> None:
    """Law 8: meters, onsets, limbs, surfaces, levels, ornaments and lengths come back at any tempo and seed."""
    page = page_with(p, bpm)
    again = read_back(loop(page, tracks=tracks, seed=seed))
    if is_exact(page):
        assert again.pattern == p
