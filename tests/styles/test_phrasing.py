"""Styles played through forms: laws of any style, form, tempo and seed, and what each kind of part is."""

from fractions import Fraction
from itertools import groupby, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitgen.errors import UnknownNameError
from kitgen.kit import Limb
from kitgen.pattern import Pattern, parse_rows
from kitgen.pattern.playability import playability
from kitgen.pattern.quality import faults
from kitgen.read.style_files import style_names
from kitgen.read.styles import style_named
from kitgen.styles import FORMS, Role
from kitgen.styles.colours import moved_ride, thinned_to_two
from kitgen.styles.phrases import cut
from kitgen.styles.phrasing import phrases_of, rows_of
from kitgen.styles.play_forms import PLAY_FORMS, SMALL, PlayForm, play_form
from kitgen.styles.playing import ENDINGS, SHORT, TAG, Phrase, Playing

_LONG = frozenset(("march", "verse-chorus"))
SHORT_FORMS = tuple(form for name, form in PLAY_FORMS.items() if name not in _LONG)


@st.composite
def played(draw: st.DrawFn) -> tuple[Playing, PlayForm]:
    """A style at one of its tempi, and a form."""
    style = style_named(draw(st.sampled_from(style_names())))
    bpm = draw(st.integers(int(style.tempo.low), int(style.tempo.high)))
    seed, ending = draw(st.integers(0, 99)), draw(st.sampled_from(ENDINGS))
    return Playing(style, bpm, seed, ending=ending), draw(st.sampled_from(SHORT_FORMS))


def whole(phrases: tuple[Phrase, ...]) -> Pattern:
    """All of it in a row."""
    pattern = phrases[0].pattern
    for one in phrases[1:]:
        pattern += one.pattern
    return pattern


@settings(max_examples=40)
@given(played())
def test_what_is_played_keeps_the_laws(given_: tuple[Playing, PlayForm]) -> None:
    """Bars add up; no bar comes nine times running; crashes are carried, hats closed; it can be played, and looped."""
    playing, form = given_
    phrases = phrases_of(playing, form)
    pattern = whole(phrases)
    bars = [cut(pattern, bar.start, bar.end).hits for bar in pattern.meters.bars]
    assert len(bars) == form.bars + (8 if playing.ending == TAG else 0)
    assert max(len(list(run)) for _, run in groupby(bars)) <= 8
    assert faults(pattern, ("crash-carried", "hat-closed")) == ()
    feel = playing.style.feel.resolved(playing.pace)
    assert playability(pattern.with_feel(feel), playing.player, playing.pace) == ()


@settings(max_examples=40)
@given(played())
def test_fills_come_only_at_the_end_of_a_phrase(given_: tuple[Playing, PlayForm]) -> None:
    """Before its cue a phrase of time is time: bars like those of the same time, but for how the phrase begins."""
    playing, form = given_
    for one in phrases_of(playing, form):
        assert 0 <= one.cue_starts <= one.pattern.span
        if not one.cue or one.time == "solo" or one.section == "intro":
            continue
        names = {item.name.replace("-", " "): item.pattern for item in playing.style.patterns}
        if one.time not in names:  # moved, or in two
            continue
        time = names[one.time]
        room = playing.room.quarters + Fraction(1)  # what a hand leaves out on its way to the cue
        for hit in one.pattern.hits:
            if playing.style.meter.span <= hit.onset < one.cue_starts - room:
                found = [own for own in time.hits if own.onset == hit.onset % time.span and own.limb is hit.limb]
                assert found, (one.time, hit)
                assert found[0].surface == hit.surface or "hat" in hit.surface


@settings(max_examples=15)
@given(played())
def test_the_same_seed_plays_the_same(given_: tuple[Playing, PlayForm]) -> None:
    """Played again with one seed, every phrase is the same."""
    playing, form = given_
    assert phrases_of(playing, form) == phrases_of(playing, form)


def test_other_seeds_play_otherwise() -> None:
    """Ten seeds give several ways through a form."""
    swing = style_named("swing")
    assert len({phrases_of(Playing(swing, 140, seed), play_form("aaba")) for seed in range(10)}) > 5


def test_cues_are_small_after_four_and_larger_after_eight() -> None:
    """In the usual form, every cue after four bars is shorter than a bar and every one after eight a bar or more."""
    rock = style_named("rock")
    phrases = phrases_of(Playing(rock, 110), play_form("32-bars"))
    lengths = [one.pattern.span - one.cue_starts for one in phrases]
    assert [one.bars for one in phrases] == [4] * 8
    assert all(length < 4 for length in lengths[0::2])
    assert all(length >= 4 for length in lengths[1:-1:2])


def test_no_cue_comes_twice_running() -> None:
    """Where a style has several cues of a size, one is not followed by itself."""
    swing = style_named("swing")
    for seed in range(5):
        cues = [one.cue for one in phrases_of(Playing(swing, 120, seed), play_form("12-bar-blues"))]
        assert cues[0] != cues[1]
        assert cues[3] != cues[4]
        large = [one.cue for one in phrases_of(Playing(swing, 120, seed), play_form("32-bars"))][1:-1:2]
        assert len(set(large)) > 1


def test_a_blues_is_three_times_four() -> None:
    """A chorus has three phrases of four; the third ends in the larger cue."""
    form = play_form("blues")
    assert [part.bars for part in form.parts[:3]] == [4, 4, 4]
    assert [part.close == SMALL for part in form.parts[:3]] == [True, True, False]


def test_the_bridge_moves_the_ride_hand() -> None:
    """In AABA the right hand of the bridge is on something else than in the eights around it."""
    for name in ("swing", "rock", "samba", "bossa"):
        style = style_named(name)
        phrases = phrases_of(Playing(style, style.tempo.low), play_form("aaba"))
        before, bridge = (_right_hand(one) for one in (phrases[2], phrases[4]))
        assert phrases[4].section == "bridge"
        assert before != bridge, name


def _right_hand(phrase: Phrase) -> set[str]:
    """What the right hand strikes in the second and third bar."""
    bar = phrase.pattern.meters.bars[0].length
    return {hit.surface for hit in phrase.pattern.hits if hit.limb is Limb.RH and bar <= hit.onset < 3 * bar}


def test_two_opens_to_four() -> None:
    """In the first two eights the bass is on 1 and 3 alone, from the bridge on it is the style's."""
    swing = style_named("swing")
    phrases = phrases_of(Playing(swing, 120), play_form("two-to-four"))
    for one, places in ((phrases[0], {0, 2}), (phrases[4], {0, 1, 2, 3})):
        bass = {hit.onset % 4 for hit in one.pattern.hits if hit.surface == "bass" and 4 <= hit.onset < 12}
        assert (bass == places) if places == {0, 2} else (len(bass) > 2)


def test_trading_goes_four_and_four() -> None:
    """Every second part is solo, and holds more strokes of the hands on drums than time does."""
    swing = style_named("swing")
    phrases = phrases_of(Playing(swing, 120), play_form("trading"))
    assert [one.time == "solo" for one in phrases] == [False, True, False, True, False, True, False, True]
    assert [one.bars for one in phrases] == [4] * 8


def test_a_short_ending_is_one_stroke() -> None:
    """The last bar holds bass and snare on 1 and nothing else."""
    phrases = phrases_of(Playing(style_named("swing"), 120, ending=SHORT), play_form("32-bars"))
    pattern = whole(phrases)
    last = [(int(hit.onset - 124), hit.surface) for hit in pattern.hits if hit.onset >= 124]
    assert last == [(0, "snare"), (0, "bass")]


def test_a_tag_is_the_last_phrase_three_times() -> None:
    """With a tag there are two phrases more, of the last one's part."""
    playing = Playing(style_named("swing"), 120, ending=TAG)
    parts = [one.part for one in phrases_of(playing, play_form("32-bars"))]
    assert parts[-4:] == [3, 3, 3, 3]
    assert len(parts) == 10


def test_rows_say_what_is_played() -> None:
    """A row a part, labelled with its time and its cues."""
    rows = rows_of(phrases_of(Playing(style_named("rock"), 110), play_form("aaba")))
    assert [row.label.partition(":")[0] for row in rows] == ["A", "A", "bridge", "A"]
    assert "to the end of bar 4" in rows[0].label


def test_every_form_of_styles_can_be_played() -> None:
    """Every form a style may name is one that can be asked for."""
    assert set(FORMS) <= set(PLAY_FORMS)


def test_an_unknown_form_names_the_nearest() -> None:
    """A slip in a form's name is told with what was meant."""
    with pytest.raises(UnknownNameError, match="did you mean trading"):
        play_form("tradng")


def test_what_a_bridge_or_two_feel_does_leaves_the_rest_alone() -> None:
    """Moving the ride changes only the right hand's surfaces; playing in two changes only the bass."""
    groove = style_named("swing").groove.pattern
    moved, two = moved_ride(groove), thinned_to_two(groove)
    assert [(hit.onset, hit.limb) for hit in moved.hits] == [(hit.onset, hit.limb) for hit in groove.hits]
    assert [hit for hit in two.hits if hit.surface != "bass"] == [hit for hit in groove.hits if hit.surface != "bass"]


@settings(max_examples=20)
@given(st.sampled_from(style_names()), st.integers(0, 99))
def test_no_solo_is_the_one_before(name: str, seed: int) -> None:
    """Of four solos of four bars no two that follow each other are alike, and each ends in a fill of the style's."""
    style = style_named(name)
    phrases = phrases_of(Playing(style, style.tempo.low, seed), play_form("trading"))
    solos = [one for one in phrases if one.time == "solo"]
    assert all(first.pattern.hits != second.pattern.hits for first, second in pairwise(solos))
    for one in solos[:-1]:
        assert one.cue in {item.name for item in style.of_role(Role.FILL)}


def test_in_two_the_bass_is_as_loud_as_the_ride_hand() -> None:
    """Under a ride the bass in two is a stroke, under brush taps a tap."""
    for rows, level in (("RH ride x. xx x. xx; RF bass f f f f", "x"), ("RH snare t. xt t. xt; RF bass f f f f", "t")):
        two = thinned_to_two(parse_rows(rows))
        assert [(hit.onset, hit.level.char) for hit in two.hits if hit.surface == "bass"] == [
            (Fraction(0), level),
            (Fraction(2), level),
        ]
