"""A performance is human within stated bounds, the same for a seed, and read back exactly."""

import io
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import mido
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitgen.errors import OptionError
from kitgen.kit import SURFACES, Limb
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Level, Pattern, parse_rows
from kitgen.read.midi import page_of_midi
from kitgen.write.human import EXACT, MOST_LED, MOST_MS, PLAYED, WIDEST_MS, Bend, Human
from kitgen.write.midi import PlayAlong, loop, play_along
from kitgen.write.sounding import VELOCITIES, sounding
from tests.strategies import patterns

TIME = parse_rows(["RH ride xxxx xxxx xxxx xxxx", "LH snare .... X..g .... X...", "RF bass x... ..x. x... ...."])


def page_of(pattern: Pattern, bpm: int = 100) -> Page:
    """A page of one row at one tempo."""
    return Page("Time", "Play it.", (Row("time", pattern),), Tempo.at(bpm, Fraction(1)), "kitgen")


def read(data: bytes) -> Pattern:
    """The pattern of a file."""
    return page_of_midi(mido.MidiFile(file=io.BytesIO(data)), Path("a.mid")).pattern


@pytest.mark.parametrize("bpm", [40, 100, 200, 300])
@pytest.mark.parametrize("seed", range(5))
def test_no_stroke_is_moved_past_the_bound(bpm: int, seed: int) -> None:
    """Every stroke lies within 4 ms of its place, all of an instant together, and the first one on it."""
    on_grid = sounding(TIME, tempo_quarters=bpm, seed=seed)
    human = sounding(TIME, tempo_quarters=bpm, seed=seed, human=PLAYED)
    tick_ms = 60_000 / bpm / human.ticks
    moves: dict[int, set[int]] = {}
    for meant, played in zip(on_grid.notes, human.notes, strict=True):
        assert meant[1:4] == played[1:4]
        moves.setdefault(meant[0], set()).add(played[0] - meant[0])
    assert all(len(together) == 1 for together in moves.values())
    assert max(abs(by) for together in moves.values() for by in together) * tick_ms <= MOST_MS
    assert moves[0] == {0}
    assert len(set.union(*moves.values())) > 1
    assert human.end == on_grid.end
    assert max(note[4] for note in human.notes) < human.end


def test_exact_is_the_grid_and_the_levels() -> None:
    """With nothing left to chance every stroke is on its tick and has its level's own velocity."""
    sound = sounding(TIME, tempo_quarters=100, seed=7, human=EXACT)
    assert {note[0] * 4 % sound.ticks for note in sound.notes} == {0}
    assert {note[3] for note in sound.notes} <= set(VELOCITIES.values())


def test_a_seed_is_one_performance() -> None:
    """One seed gives the same bytes again, another seed others."""
    page = page_of(TIME)
    assert loop(page, seed=1, human=PLAYED) == loop(page, seed=1, human=PLAYED)
    assert loop(page, seed=1, human=PLAYED) != loop(page, seed=2, human=PLAYED)


@settings(max_examples=60)
@given(patterns(), st.integers(20, 300), st.integers(0, 9), st.sampled_from(["limb", "one"]))
def test_what_is_moved_reads_back(pattern: Pattern, bpm: int, seed: int, tracks: str) -> None:
    """A moved performance of any pattern is read back as the pattern that was written."""
    page = page_of(pattern, bpm)
    assert read(loop(page, seed=seed, human=PLAYED, tracks=tracks)) == read(loop(page, seed=seed, tracks=tracks))


def test_a_play_along_reads_back() -> None:
    """Twice through with a count-in, moved, reads back as on the grid."""
    page, how = page_of(TIME), PlayAlong(2)
    assert read(play_along(page, how, human=PLAYED)) == read(play_along(page, how))


def test_without_a_limb_the_others_stay() -> None:
    """A loop without a limb has no track of it, says so, and leaves the others as they were, on their moved places."""
    page = page_of(TIME)
    data = loop(page, human=PLAYED, muted=(Limb.RH,))
    midi = mido.MidiFile(file=io.BytesIO(data))
    assert [track.name for track in midi.tracks[1:]] == ["left hand", "right foot"]
    assert any(message.type == "text" and message.text == "without right hand" for message in midi.tracks[0])
    assert read(data).hits == tuple(hit for hit in TIME.hits if hit.limb is not Limb.RH)


def test_published_bends_move_their_place_alone() -> None:
    """A bend moves its place of every pulse by its amount, and no other place."""
    early = Human(0.0, 0, (Bend(Fraction(1), Fraction(3, 4), Fraction(-1, 32)),))
    sound = sounding(TIME, tempo_quarters=100, human=early)
    moved = {note[0] % sound.ticks for note in sound.notes}
    assert moved == {0, 120, 240, 360 - 15}


def test_a_bend_stays_within_its_bound() -> None:
    """However much a style is said to bend, no stroke is moved by more than 30 ms, or a quarter of the way."""
    wide = Human(0.0, 0, (Bend(Fraction(1), Fraction(1, 4), Fraction(1, 2)),))
    sound = sounding(parse_rows(["RH ride xx.. xx.. xx.. xx.."]), tempo_quarters=60, human=wide)
    seconds = sorted({note[0] % sound.ticks for note in sound.notes})
    assert seconds == [0, 120 + round(WIDEST_MS * sound.ticks / 1000)]


@pytest.mark.parametrize("values", [{"moves_ms": 5.0}, {"moves_ms": -1.0}, {"spread": 5}, {"moves_ms": float("nan")}])
def test_what_is_not_human_is_refused(values: dict[str, float]) -> None:
    """Moves and spreads past the bounds cannot be built."""
    with pytest.raises(OptionError):
        Human(**values)  # type: ignore[arg-type]  # a float where a whole number belongs is part of the test


@settings(max_examples=60)
@given(patterns(), st.lists(st.sampled_from(sorted(SURFACES)), unique=True, max_size=4), st.integers(0, 9))
def test_who_leads_stays_within_its_level(pattern: Pattern, leads: list[str], seed: int) -> None:
    """Voices that lead are up by 6 at most and the others down by 2, and every stroke keeps the level it is read as."""
    page, led = page_of(pattern), replace(PLAYED, leads=tuple(leads))
    assert read(loop(page, seed=seed, human=led)) == read(loop(page, seed=seed, human=PLAYED))
    for level in Level:
        leans = [led.lean(surface, level) for surface in SURFACES]
        assert max(leans) <= MOST_LED
        assert min(leans) >= -2


def test_the_first_to_lead_is_the_loudest() -> None:
    """Ride, then hat foot, then the rest, at one level; exactly nothing where nothing leads, or nothing is to vary."""
    led = Human(leads=("ride", "hat-foot"))
    assert [led.lean(surface, Level.NORMAL) for surface in ("ride", "hat-foot", "bass")] == [6, 4, -2]
    assert [led.lean(surface, Level.GHOST) for surface in ("ride", "hat-foot", "bass")] == [1, 1, 0]
    assert {EXACT.lean(surface, level) for surface in SURFACES for level in Level} == {0}
