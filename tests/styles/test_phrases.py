"""Phrases: cutting, tiling, fills at the end, what they land on."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import PatternError
from kitgen.kit import PLAYERS, Limb
from kitgen.pattern import EVEN, Feel, parse_rows
from kitgen.pattern.swing import played_onsets
from kitgen.read.style_files import style_names
from kitgen.read.styles import style_named
from kitgen.styles import Role, Style
from kitgen.styles.phrases import Room, cut, entered, landed, phrase, room_for, time_for

styles = st.sampled_from(style_names()).map(style_named)


@given(style=styles, bars=st.integers(1, 9))
def test_time_lasts_the_bars_asked_for(style: Style, bars: int) -> None:
    """Time for so many bars has that span, and is the beginning of the groove over and over."""
    groove = style.groove.pattern
    made = time_for(groove, bars)
    assert len(made.meters.bars) == bars
    assert made.hits == tuple(hit for hit in (groove * bars).hits if hit.onset < made.span)


@given(data=st.data(), bars=st.integers(2, 8))
def test_a_fill_replaces_the_end_and_nothing_else(data: st.DataObject, bars: int) -> None:
    """Before the fill is time, less what a hand had no time for; from where it begins there is the fill alone."""
    style = data.draw(styles)
    fill = data.draw(st.sampled_from(style.fills))
    time = style.groove.pattern
    if fill.bars > bars:
        with pytest.raises(PatternError, match="longer phrase"):
            phrase(time, fill, bars)
        return
    whole = phrase(time, fill, bars, room=Room(Fraction(1, 3)))
    begins = whole.span - fill.length
    plain = time_for(time, bars)
    assert whole.span == plain.span
    before = set(cut(plain, Fraction(0), begins).hits) if begins else set()
    assert {hit for hit in whole.hits if hit.onset < begins} <= before
    left_out = before - set(whole.hits)
    assert all(hit.limb.is_hand and hit.onset > begins - Fraction(1, 3) for hit in left_out)
    offset = whole.span - fill.pattern.span
    assert [hit for hit in whole.hits if hit.onset >= begins] == [
        hit.at(hit.onset + offset) for hit in fill.pattern.hits
    ]


def test_a_hand_on_its_way_leaves_a_stroke_out() -> None:
    """The last eighth of the ride before a fill on the snare is left out where there is no time to cross the kit."""
    samba = style_named("samba")
    time, fill = samba.named("thin-ride").pattern, samba.named("fill-1-bar")
    room = room_for(PLAYERS["advanced"], 2 * 130)
    hands = [hit.onset for hit in phrase(time, fill, 2, room=room).hits if hit.limb is Limb.RH and hit.onset < 4]
    assert max(hands) == 3
    assert max(hit.onset for hit in phrase(time, fill, 2).hits if hit.limb is Limb.RH and hit.onset < 4) == Fraction(
        7, 2
    )


def test_a_swung_skip_note_is_left_out_where_it_is_played_too_late() -> None:
    """The skip note of the ride before a fill stays where there is time, and goes where swing brings it too late."""
    time = parse_rows("RH ride x. x. x. xx; LH snare .. .. .. ..")
    fill = replace(style_named("swing").fills[0], pattern=parse_rows("RH snare x. .. .. .."), starts=Fraction(0))
    room = Fraction(2, 5)
    for feel, left_out in ((EVEN, []), (Feel(8, Fraction(2)), [Fraction(7, 2)])):
        whole = phrase(time, fill, 2, room=Room(room, feel))
        before = {hit.onset for hit in time.hits}
        assert sorted(before - {hit.onset for hit in whole.hits if hit.onset < time.span}) == left_out
        for hit in whole.hits:
            assert hit.onset >= 4 or 4 - played_onsets(time.with_feel(feel))[0][hit.onset] >= room


@given(style=styles, data=st.data())
def test_a_hand_always_has_the_room_it_needs(style: Style, data: st.DataObject) -> None:
    """Between a hand's last stroke of time and its first of the fill lies the room, as both are played at the tempo."""
    fill = data.draw(st.sampled_from(style.fills))
    bpm = data.draw(st.sampled_from((fill.tempo.low, fill.tempo.high)))
    pace = bpm * float(style.tempo.unit)
    room = room_for(PLAYERS["advanced"], pace, style.feel)
    whole = phrase(style.time_at(bpm).pattern, fill, fill.bars + 1, room=room)
    played, _ = played_onsets(whole, tempo_bpm=pace)
    begins = whole.span - fill.length
    for limb in (Limb.RH, Limb.LH):
        own = [hit for hit in whole.hits if hit.limb is limb]
        for one, two in pairwise(own):
            if one.onset < begins <= two.onset and one.surface != two.surface:
                assert played[two.onset] - played[one.onset] >= room.quarters


def test_a_crash_has_the_bass_under_it() -> None:
    """Landing puts a crash and the bass on 1 in place of the ride, and keeps the rest."""
    time = parse_rows("RH ride xx xx xx xx; LH snare .. X. .. X.; RF bass .. .. x. ..; LF hat-foot .. x. .. x.")
    made = landed(time, "crash")
    assert [(hit.limb, hit.surface) for hit in made.hits if not hit.onset] == [(Limb.RH, "crash"), (Limb.RF, "bass")]
    assert [hit for hit in made.hits if hit.onset] == [hit for hit in time.hits if hit.onset]
    assert landed(time, "time") == time
    assert not landed(time, "silence").hits


def test_a_cut_ends_what_is_held() -> None:
    """A roll that runs over the cut ends there."""
    held = parse_rows("LH snare x--- ---- .... ....\nbuzz LH x... .... .... ....")
    (hit,) = cut(held, Fraction(0), Fraction(1)).hits
    assert hit.length == 1
    with pytest.raises(PatternError, match="cannot cut"):
        cut(held, Fraction(3), Fraction(9))


def test_a_feathered_bass_gives_way_to_a_kick_before_it() -> None:
    """After a fill that ends on the bass on the & of 4 the feathered 1 is left out; a bass that is heard stays."""
    kick = parse_rows("RH crash .. .. .. .X; RF bass .. .. .. .X")
    for level, left in (("f", False), ("x", True)):
        time = parse_rows(f"RH ride x. xx x. xx; RF bass {level}. f. f. f.")
        made = landed(time, "time", kick)
        assert any(not hit.onset and hit.surface == "bass" for hit in made.hits) is left
        assert [hit for hit in made.hits if hit.onset] == [hit for hit in time.hits if hit.onset]
    assert landed(parse_rows("RF bass f f f f"), "time") == parse_rows("RF bass f f f f")


def test_a_hand_leaves_an_intro_in_time() -> None:
    """From an intro on one cymbal to time on another the hand leaves out the stroke it has no time for; feet go on."""
    style = style_named("rock")
    intro = replace(style.groove, role=Role.INTRO)
    ride = parse_rows("RH ride xxxx xxxx xxxx xxxx; RF bass x... x... x... x...")
    whole = entered(intro, ride, 2, room=Room(Fraction(3, 4)))
    left_out = set(intro.pattern.hits) - set(whole.hits)
    assert [(hit.limb, hit.onset) for hit in left_out] == [(Limb.RH, Fraction(7, 2))]
    assert whole.span == 12
    assert entered(intro, ride, 2) == intro.pattern + ride * 2
