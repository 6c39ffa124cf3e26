"""Law 7: performing swing at 1:1 changes nothing; it moves no beat, keeps span and order; straighten undoes it."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import FeelError
from kitgen.kit import Limb
from kitgen.pattern import EVEN, Feel, Hit, Ornament, Pattern, performed, project, silence, straighten, swing
from kitgen.pattern.swing import played_onsets, with_threes_written
from kitgen.time import Meter, Meters
from tests.strategies import fewer, patterns, ratios, swinging_patterns, swings

F = Fraction
feel_units = st.sampled_from((8, 16))


def moves(p: Pattern) -> list[tuple[Hit, Hit]]:
    """Each hit with the hit it is played as, limb by limb, where order is kept strictly."""
    played = performed(p)
    return [pair for limb in Limb for pair in zip(project(p, limb).hits, project(played, limb).hits, strict=True)]


@given(swinging_patterns(threes=True, lengths=True), feel_units)
def test_one_to_one_changes_nothing(p: Pattern, unit: int) -> None:
    """Law 7: performing swing at 1:1 changes nothing, also where a beat holds threes, and gives an even pattern."""
    level = p.with_feel(Feel(unit, F(1)))
    assert performed(level) == p.with_feel(EVEN)
    assert straighten(performed(level), level.feel) == level


@fewer
@given(patterns(lengths=True))
def test_even_is_played_as_it_is(p: Pattern) -> None:
    """Law 7: an even pattern is played as it is, under any meters."""
    assert performed(p) == p


@given(swinging_patterns(threes=True, lengths=True))
def test_no_beat_moves_and_the_span_stays(p: Pattern) -> None:
    """Law 7: no beat moves, the span and the meters stay, and what is played is even."""
    played = performed(p)
    beats = {beat.start for beat in p.meters.beats}
    assert {hit for hit in p.hits if hit.onset in beats and hit.length is None} <= set(played.hits)
    assert (played.meters, played.span, played.feel) == (p.meters, p.span, EVEN)
    assert {(h.onset, h.limb) for h in played.hits if h.onset in beats} >= {
        (h.onset, h.limb) for h in p.hits if h.onset in beats
    }


@given(swinging_patterns(threes=True, lengths=True))
def test_order_is_weakly_kept(p: Pattern) -> None:
    """Law 7: nothing overtakes, unisons stay unisons, and each limb's strokes stay apart with all they carry."""
    pairs = sorted(moves(p), key=lambda pair: pair[0].onset)
    assert len(pairs) == len(p.hits)
    for (before, after), (later, later_after) in pairwise(pairs):
        assert after.onset <= later_after.onset
        assert before.onset != later.onset or after.onset == later_after.onset
    for before, after in pairs:
        kept = (before.limb, before.surface, before.level, before.ornament)
        assert (after.limb, after.surface, after.level, after.ornament) == kept


@given(swinging_patterns(lengths=True))
def test_straighten_undoes_it(p: Pattern) -> None:
    """Law 7: straighten with the same feel undoes performing where no beat is ternary, holds included."""
    assert straighten(performed(p), p.feel) == p


@given(swinging_patterns(threes=True))
def test_straighten_undoes_it_around_threes(p: Pattern) -> None:
    """Law 7: told which pairs hold threes, straighten undoes all but the middles of those pairs."""
    _, threes = played_onsets(p)
    back = straighten(performed(p), p.feel, threes=threes)
    kept = {start + p.feel.pair * place for start in threes for place in (F(1, 2), F(2, 3), F(5, 12), F(7, 12))}
    assert {hit for hit in p.hits if hit.onset not in kept} <= set(back.hits)


@given(ratios, feel_units, st.integers(0, 7), st.integers(1, 31))
def test_the_middle_goes_to_its_share(ratio: Fraction, unit: int, pair: int, sixteenth: int) -> None:
    """Law 7: the middle of a pair goes to ratio/(1+ratio) of it, and what lies between is carried along linearly."""
    meters, feel, place = Meters.of(Meter(4, 4), 2), Feel(unit, ratio), F(sixteenth, 32)
    start, middle = pair * feel.pair, ratio / (1 + ratio)
    p = Pattern((Hit(start + place * feel.pair, Limb.RH, "ride"),), meters, feel)
    share = place * 2 * middle if place < F(1, 2) else middle + (place * 2 - 1) * (1 - middle)
    assert performed(p).onsets == (start + share * feel.pair,)


@fewer
@given(ratios.filter(lambda ratio: ratio > 1), feel_units, st.sets(st.sampled_from((F(1, 3), F(2, 3))), min_size=1))
def test_threes_stay_and_the_middle_meets_them(ratio: Fraction, unit: int, struck: set[Fraction]) -> None:
    """Law 7: in a pair where a limb plays threes the others play 2:1, whatever the ratio, and the threes stay."""
    feel = Feel(unit, ratio)
    pair = feel.pair
    threes = [Hit(place * pair, Limb.RH, "ride") for place in sorted(struck)]
    others = [Hit(pair / 2, Limb.LH, "snare"), Hit(pair * 3 / 2, Limb.LH, "snare")]
    played = performed(Pattern((*threes, *others), Meters.of(Meter(2, 4)), feel))
    assert project(played, "RH").onsets == tuple(hit.onset for hit in threes)
    assert project(played, "LH").onsets == (pair * F(2, 3), pair + pair * ratio / (1 + ratio))


@given(swinging_patterns(threes=True, lengths=True))
def test_threes_written_sound_the_same(p: Pattern) -> None:
    """Law 7: pairs that hold threes, written as they sound, sound as before and need writing but once."""
    written = with_threes_written(p)
    assert performed(written) == performed(p)
    assert with_threes_written(written) == written
    assert (written.feel, written.meters) == (p.feel, p.meters)


def test_a_limb_with_threes_and_the_middle_is_played_as_written() -> None:
    """Law 7: where 2:1 would make a limb strike twice at once, the pair is played as written."""
    onsets = (F(1, 2), F(2, 3))
    p = Pattern(tuple(Hit(at, Limb.RH, "ride") for at in onsets), Meters.of(Meter(2, 4)), Feel(8, F(2)))
    assert performed(p).onsets == onsets


def test_a_flam_that_would_meet_the_other_hand_is_played_as_written() -> None:
    """Law 7: where 2:1 would move a flam onto a stroke of the hand it needs, the pair is played as written."""
    flam = Hit(F(1, 2), Limb.LH, "snare", ornament=Ornament.FLAM)
    p = Pattern((flam, Hit(F(2, 3), Limb.RH, "ride")), Meters.of(Meter(2, 4)), Feel(8, F(2)))
    assert performed(p).hits == p.hits


def test_a_hold_that_would_vanish_is_played_as_written() -> None:
    """Law 7: where 2:1 around threes would leave a held sound no length, the pair is played as written."""
    hold = Hit(F(1, 2), Limb.LH, "snare", length=F(1, 6))
    p = Pattern((hold, Hit(F(2, 3), Limb.RH, "ride")), Meters.of(Meter(2, 4)), Feel(8, F(2)))
    assert performed(p).hits == p.hits


def test_a_hold_ends_where_its_end_is_played() -> None:
    """Law 7: a hold up to an offbeat ends where the offbeat sounds, one from an offbeat to the beat is the shorter."""
    first = Hit(F(0), Limb.LH, "snare", length=F(1, 2))
    second = Hit(F(1, 2), Limb.LH, "snare", length=F(1, 2))
    played = performed(Pattern((first, second), Meters.of(Meter(2, 4)), Feel(8, F(2))))
    assert [(hit.onset, hit.length) for hit in played.hits] == [(0, F(2, 3)), (F(2, 3), F(1, 3))]


@fewer
@given(swings)
def test_silence_is_silent_however_it_swings(feel: Feel) -> None:
    """Law 7: a rest has nothing to move."""
    rest = silence(Meter(4, 4), feel=feel)
    assert performed(rest) == silence(Meter(4, 4))


@pytest.mark.parametrize(
    ("meter", "unit", "said"),
    [
        ("6/8", 8, "a beat of dotted quarter in 6/8 does not divide into pairs of eighths.*--swing-unit 16"),
        ("7/8", 8, "does not divide into pairs of eighths.*--swing-unit 16"),
        ("3/16", 16, "does not divide into pairs of sixteenths.*--swing even$"),
    ],
)
def test_beats_without_whole_pairs_cannot_swing(meter: str, unit: int, said: str) -> None:
    """Law 7: a beat that holds no whole pairs cannot swing; the error names it and what would do."""
    bar = silence(Meter.parse(meter), feel=Feel(unit, F(2)))
    with pytest.raises(FeelError, match=said):
        performed(bar)


def test_auto_needs_a_tempo() -> None:
    """Law 7: swing auto is resolved by a tempo, and without one it is an error that says so."""
    p = swing(Pattern((Hit(F(1, 2), Limb.RH, "ride"),), Meters.of(Meter(4, 4))))
    assert performed(p, tempo_bpm=190).onsets == (F(37, 57),)
    with pytest.raises(FeelError, match="takes its ratio from the tempo; give a tempo or a ratio"):
        performed(p)


@fewer
@given(st.sampled_from((F(2), F("1.5"), F("2.15"), F("3.5"))), st.integers(1, 8))
def test_straighten_finds_the_ratio(ratio: Fraction, strokes: int) -> None:
    """Law 7: without a feel, straighten takes the ratio from where the offbeats are (3:1 reads as sixteenths)."""
    onsets = [F(n) for n in range(8)] + [F(2 * n + 1, 2) for n in range(strokes)]
    p = Pattern(tuple(Hit(at, Limb.RH, "ride") for at in onsets), Meters.of(Meter(4, 4), 2), Feel(8, ratio))
    assert straighten(performed(p)) == p


@given(patterns(limbs=(Limb.RH, Limb.RF)))
@fewer
def test_straighten_without_a_feel_never_fails(p: Pattern) -> None:
    """Law 7: without a feel, whatever was played is given one: even where its beats cannot swing."""
    feel = straighten(p).feel
    assert feel == EVEN or feel.ratio is not None


@pytest.mark.parametrize("onsets", [(), ("0", "1"), ("0", "1/2", "1", "3/2"), ("0", "1/4", "1/2", "3/4")])
def test_straighten_leaves_the_even_even(onsets: tuple[str, ...]) -> None:
    """Law 7: a performance with nothing late in its beats is even already."""
    p = Pattern(tuple(Hit(F(at), Limb.RH, "ride") for at in onsets), Meters.of(Meter(4, 4)))
    assert straighten(p) == p
