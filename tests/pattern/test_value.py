"""The pattern as a value: canonical form, and what cannot be built."""

import re
from fractions import Fraction
from operator import add, mul, or_, rshift

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import ClashError, PatternError
from kitgen.kit import Limb
from kitgen.pattern import EVEN, Feel, Hit, Ornament, Pattern, silence
from kitgen.time import Meter, Meters
from tests.strategies import fewer, patterns

F = Fraction
BAR = Meters.of(Meter(4, 4))


@fewer
@given(patterns(lengths=True), st.randoms())
def test_order_of_hits_does_not_matter(p: Pattern, random: object) -> None:
    """Equal music is equal and hashes the same, in whatever order its hits are given."""
    shuffled = list(p.hits)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    other = Pattern(tuple(shuffled), p.meters)
    assert other == p
    assert hash(other) == hash(p)
    assert tuple(other) == p.hits


@fewer
@given(patterns())
def test_hits_are_in_order_and_one_a_limb_an_instant(p: Pattern) -> None:
    """Hits are in order of onset, then limb, and no limb strikes twice at once."""
    places = [(hit.onset, hit.limb) for hit in p.hits]
    assert places == sorted(set(places))
    assert list(p.onsets) == sorted({hit.onset for hit in p.hits})
    assert set(p.limbs) == {hit.limb for hit in p.hits}


@pytest.mark.parametrize(
    ("hits", "error", "said"),
    [
        (
            [Hit(F(5, 2), Limb.RH, "ride"), Hit(F(5, 2), Limb.RH, "crash")],
            ClashError,
            'the right hand (RH) would play ride and crash at bar 1, count "& of 3"; one limb strikes once',
        ),
        (
            [Hit(F(0), Limb.RF, "bass"), Hit(F(0), Limb.RF, "bass")],
            ClashError,
            'the right foot (RF) would play bass twice at bar 1, count "1"',
        ),
        ([Hit(F(4), Limb.RF, "bass")], PatternError, "a hit at 4 quarters, in a span of 4"),
        (
            [Hit(F(1), Limb.LH, "snare", length=F(2)), Hit(F(2), Limb.LH, "snare")],
            PatternError,
            'the snare of the left hand at bar 1, count "2" lasts 2 quarters, past that limb\'s next hit 1 quarters',
        ),
        (
            [Hit(F(1, 2), Limb.LH, "snare"), Hit(F(3), Limb.LH, "snare", length=F(2))],
            PatternError,
            'the snare of the left hand at bar 1, count "4" lasts 2 quarters, past that limb\'s next hit 3/2 quarters',
        ),
        ([Hit(F(3), Limb.LH, "snare", length=F(9, 2))], PatternError, "past that limb's next hit 4 quarters later"),
        (
            [Hit(F(3), Limb.LH, "snare", ornament=Ornament.FLAM), Hit(F(3), Limb.RH, "ride")],
            PatternError,
            'the flam at bar 1, count "4" needs the right hand, which strikes at the same instant; take',
        ),
        (
            [Hit(F(1, 4), Limb.RH, "snare", ornament=Ornament.DRAG), Hit(F(1, 4), Limb.LH, "snare")],
            PatternError,
            'the drag at bar 1, count "e of 1" needs the left hand',
        ),
    ],
    ids=["two surfaces", "twice", "outside", "held into", "held round", "held past itself", "flam", "drag"],
)
def test_a_pattern_that_cannot_be(hits: list[Hit], error: type[Exception], said: str) -> None:
    """A pattern that cannot be played is refused by limb, bar and count, with what to do."""
    with pytest.raises(error, match=re.escape(said)):
        Pattern(tuple(hits), BAR)


def test_a_clash_names_the_bar_it_is_in() -> None:
    """Bars are counted through the map, changes of meter included."""
    hits = (Hit(F(9), Limb.LF, "hat-foot"), Hit(F(9), Limb.LF, "bass"))
    with pytest.raises(ClashError, match=r'left foot \(LF\) would play hat-foot and bass at bar 3, count "la of 2"'):
        Pattern(hits, BAR + Meters.of(Meter(3, 4)) + Meters.of(Meter(6, 8)))


def test_a_hold_may_last_all_the_way_round() -> None:
    """A held stroke may last just to the limb's next, or all the way round to itself."""
    assert Pattern((Hit(F(3), Limb.LH, "snare", length=F(4)),), BAR).span == 4


def test_other_feet_and_diddles_do_not_need_the_other_hand() -> None:
    """A diddle or buzz needs no other hand, and a flam no foot."""
    hits = [
        Hit(F(0), Limb.RH, "snare", ornament=Ornament.DIDDLE),
        Hit(F(0), Limb.LH, "snare", ornament=Ornament.BUZZ),
        Hit(F(1), Limb.RH, "snare", ornament=Ornament.FLAM),
        Hit(F(1), Limb.RF, "bass"),
    ]
    assert len(Pattern(tuple(hits), BAR).hits) == 4


def test_nothing_has_no_feel() -> None:
    """A pattern of span 0 is even, so that there is one silence of span 0."""
    assert silence(feel=Feel(8, F(2))) == silence()
    assert silence(feel=Feel(8, F(2))).feel == EVEN
    assert (silence(Meter(4, 4), feel=Feel(8, F(2))) * 0).feel == EVEN


def test_barred_otherwise() -> None:
    """A pattern can be barred otherwise if the span is the same."""
    six = Pattern((Hit(F(3, 2), Limb.RF, "bass"),), Meters.of(Meter(3, 4)))
    assert six.under(Meters.of(Meter(6, 8))).hits == six.hits
    with pytest.raises(PatternError, match="a pattern of 3 quarters cannot be barred as 4"):
        six.under(BAR)


def test_what_cannot_be_repeated_or_displaced() -> None:
    """Repeats below 0 are refused; what is no whole number, or no exact duration, is a type error."""
    bar = silence(Meter(4, 4))
    with pytest.raises(PatternError, match="a pattern cannot be repeated -2 times; 0 or more"):
        bar * -2
    for operate, operand in ((mul, 1.5), (rshift, 0.5), (add, 1), (or_, 1)):
        with pytest.raises(TypeError):
            operate(bar, operand)


def test_nothing_cannot_sound_with_something() -> None:
    """Silence of span 0 goes no whole number of times into anything longer."""
    with pytest.raises(PatternError, match="a pattern of span 0 cannot sound together with a longer one"):
        silence() | silence(Meter(4, 4))
    assert silence() | silence() == silence()
