"""Law 8 for MIDI: reading a file this package wrote gives its pattern back.

Ticks are exact for nearly every page; where they cannot be, texts in the file say what was rounded. In a swung pair
that holds threes the middle of the pair is read where it sounds, so there the performances are equal.
"""

from fractions import Fraction
from io import BytesIO
from pathlib import Path

import mido
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.kit import SURFACES, Limb
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Feel, Hit, Level, Ornament, Pattern, parse_rows, performed
from kitgen.read.midi import page_of_midi
from kitgen.time import Meter, Meters
from kitgen.write.midi import PlayAlong, loop, play_along
from tests.strategies import feels, maps, patterns, swinging_patterns, whole_maps

F = Fraction
TRACKS = st.sampled_from(("limb", "one"))
SEEDS = st.integers(-(2**40), 2**40)
TEMPI = st.one_of(st.integers(20, 400), st.floats(20, 400))


def page_with(*patterns: Pattern, bpm: float = 90, recipe: str = "kitgen") -> Page:
    """A page with a row for each pattern, at a tempo in quarters a minute."""
    rows = tuple(Row(f"row {number}", p) for number, p in enumerate(patterns, start=1))
    return Page("any page", "", rows, Tempo.at(bpm, F(1)), recipe)


def read_back(data: bytes) -> Page:
    """The page in a MIDI file."""
    return page_of_midi(mido.MidiFile(file=BytesIO(data)), Path("page.mid"))


def unswung(p: Pattern, bpm: float) -> Pattern:
    """The pattern with the ratio of its swing taken from the tempo, where that was left open."""
    return p.with_feel(p.feel.resolved(bpm))


@given(patterns(over=maps(max_runs=3), lengths=True), TRACKS, SEEDS, TEMPI)
def test_a_loop_gives_its_pattern_back(p: Pattern, tracks: str, seed: int, bpm: float) -> None:
    """Law 8: meters, onsets, limbs, surfaces, levels, ornaments and lengths come back at any tempo and seed."""
    page = page_with(p, bpm=bpm)
    assert read_back(loop(page, tracks=tracks, seed=seed)).pattern == p


@given(swinging_patterns(lengths=True, feel=feels), TRACKS, SEEDS, TEMPI)
def test_a_swung_loop_gives_its_pattern_back(p: Pattern, tracks: str, seed: int, bpm: float) -> None:
    """Law 8: with any feel, where no pair holds threes, the even pattern comes back with its feel."""
    page = page_with(p, bpm=bpm)
    again = read_back(loop(page, tracks=tracks, seed=seed)).pattern
    assert again.feel == p.feel.resolved(bpm)
    assert again == unswung(p, bpm)


@given(swinging_patterns(threes=True, feel=feels), TRACKS, SEEDS, TEMPI)
def test_a_loop_with_threes_gives_its_performance_back(p: Pattern, tracks: str, seed: int, bpm: float) -> None:
    """Law 8: where swung pairs hold threes, what is read sounds as what was written."""
    page = page_with(p, bpm=bpm)
    again = read_back(loop(page, tracks=tracks, seed=seed)).pattern
    assert again.feel == p.feel.resolved(bpm)
    assert performed(again) == performed(unswung(p, bpm))


@given(patterns(over=whole_maps(max_runs=2, max_bars=2)), TRACKS, SEEDS, TEMPI, st.integers(1, 5))
def test_a_play_along_gives_every_time_through_back(
    p: Pattern, tracks: str, seed: int, bpm: float, repeats: int
) -> None:
    """Law 8: a play-along is read as the rest of its count-in, then the page as often as it is played."""
    page = page_with(p, bpm=bpm)
    again = read_back(play_along(page, PlayAlong(repeats), tracks=tracks, seed=seed))
    count_in, *rows = (row.pattern for row in again.rows)
    assert not count_in.hits
    assert count_in.meters in [Meters.of(p.meters.bars[0].meter, bars) for bars in (1, 2)]
    assert tuple(rows) == (p,) * repeats


@given(
    swinging_patterns(lengths=True),
    TRACKS,
    st.lists(st.integers(20, 400), min_size=1, max_size=4),
    st.sampled_from((8, 16)),
)
def test_a_swing_that_follows_the_tempo_comes_back(p: Pattern, tracks: str, ladder: list[int], unit: int) -> None:
    """Law 8: where the swing takes another ratio at each tempo, every time through is the same even pattern."""
    page = page_with(p.with_feel(Feel(unit, None)), bpm=ladder[0])
    again = read_back(play_along(page, PlayAlong(1, tuple(ladder), Feel(unit, None)), tracks=tracks))
    assert tuple(row.pattern.with_feel(page.feel) for row in again.rows[1:]) == (page.pattern,) * len(ladder)


@given(swinging_patterns(feel=st.builds(Feel, st.just(8), st.fractions(1, 5, max_denominator=997))), TRACKS)
def test_a_rounded_loop_comes_back(p: Pattern, tracks: str) -> None:
    """Law 8: also where no ticks a quarter would hold the swing's ratio, and places are rounded, the pattern comes."""
    assert read_back(loop(page_with(p), tracks=tracks)).pattern == p


@given(st.lists(patterns(over=whole_maps(max_bars=2)), min_size=1, max_size=3), TRACKS)
def test_rows_come_back_with_their_labels(rows: list[Pattern], tracks: str) -> None:
    """Law 8: every row of a page is read as a row, under its label."""
    page = page_with(*rows)
    assert read_back(loop(page, tracks=tracks)).rows == page.rows


@given(TEMPI, feels)
def test_the_head_comes_back(bpm: float, feel: object) -> None:
    """Law 8: title, recipe and tempo come back as they were, the tempo to the last digit."""
    page = page_with(parse_rows("RF bass x x x x"), bpm=bpm, recipe="kitgen 0 apply 'x x x x' --as limb")
    again = read_back(loop(page))
    assert (again.title, again.recipe, again.tempo) == (page.title, page.recipe, page.tempo)


@given(patterns(over=whole_maps(max_bars=1)), st.permutations(range(40, 40 + len(SURFACES))), TRACKS)
def test_other_keys_come_back_as_surfaces(p: Pattern, numbers: list[int], tracks: str) -> None:
    """Law 8: a kit with MIDI keys of its own is read by those keys."""
    page = page_with(p)
    keys = dict(zip(SURFACES, numbers, strict=True))
    assert read_back(loop(page, tracks=tracks, keys=keys)).pattern == p


FOUR = Meters.of(Meter(4, 4))


def test_a_flam_on_the_first_beat_wraps_to_the_end_of_the_loop() -> None:
    """Law 8: the grace note of a flam at tick 0 stands at the end of the loop and is read as that flam's."""
    p = Pattern((Hit(F(0), Limb.RH, "snare", Level.ACCENT, Ornament.FLAM), Hit(F(2), Limb.LH, "snare")), FOUR)
    data = loop(page_with(p))
    left = next(track for track in mido.MidiFile(file=BytesIO(data)).tracks if track.name == "left hand")
    at, struck = 0, []
    for message in left:
        at += message.time
        if message.type == "note_on":
            struck.append(at)
    assert struck[0] == 2 * 480
    assert 3.9 * 480 < struck[1] < 4 * 480
    assert read_back(data).pattern == p


@pytest.mark.parametrize("tracks", ["limb", "one"])
@pytest.mark.parametrize(
    "rows",
    [
        "RH closed-hat X x x x; LF hat-foot f g t X",
        "RH closed-hat x . . .; LH open-hat X--- . . .; LF hat-foot t . . .; flam LH . . . .",
        "RH open-hat x x x x; LF hat-foot .x x .x x",
        "RH open-hat xxxx xxxx . .; diddle RH xxxx xxxx . .; LF hat-foot xxxx xxxx xxxx xxxx",
    ],
)
def test_strokes_that_meet_on_the_hat_all_come_back(rows: str, tracks: str) -> None:
    """Law 8: of strokes that meet on the hat one sounds; the others are read from what the file says of them."""
    p = parse_rows(rows)
    assert read_back(loop(page_with(p), tracks=tracks)).pattern == p


@pytest.mark.parametrize(
    ("rows", "sound"),
    [
        ("RH snare x... x...; LH snare .x.. ..x.; buzz LH .x.. ....; flam RH .... x...", "a buzz before a flam"),
        ("LH snare xxxx xxxx; diddle LH xxxx xxxx; RH snare .... ....", "diddles all the way"),
        ("RH snare x... x...; LH snare .... ...x; buzz LH .... ...x; flam RH x... ....", "a buzz before the wrap"),
        ("RH crash x... x...; flam RH x... x...", "a ringing cymbal and its own grace notes"),
        ("RH snare xxxxxxxx xxxxxxxx; drag RH x.x.x.x. x.x.x.x.", "drags close together"),
    ],
)
def test_ornaments_in_each_others_way_come_back(rows: str, sound: str) -> None:
    """Law 8: bounces stop before the hand is needed for a grace note, so each is read as what it was."""
    p = parse_rows(rows)
    for bpm in (20, 90, 400):
        assert read_back(loop(page_with(p, bpm=bpm))).pattern == p, sound
