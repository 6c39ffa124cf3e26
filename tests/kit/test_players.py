"""Players as values: what they hold, what is refused, and the working table of rates."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import KitError, UnknownNameError
from kitgen.kit import PLAYERS, Limb, LimbProfile, Player, Rates, player
from kitgen.kit.players import SLOW

SCHOOL = PLAYERS["school"]

# Working defaults in milliseconds, common practice: hand sustained, three or four in a row, two in a row, rebound
# double on a drum; foot sustained, two in a row; next drum, across the kit.
WORKING = {
    "beginner": (250, 200, 150, None, 350, 250, 150, 300),
    "school": (150, 125, 90, 75, 220, 150, 100, 200),
    "advanced": (125, 95, 60, 58, 160, 100, 70, 140),
}

profiles = st.builds(
    LimbProfile,
    absent=st.booleans(),
    slow=st.floats(1, 4),
    single=st.booleans(),
    travels=st.booleans(),
)
players = st.builds(
    lambda level, own, one_hand: replace(
        PLAYERS[level],
        limbs=tuple({**own, one_hand: replace(own.get(one_hand, LimbProfile()), absent=False)}.items()),
    ),
    st.sampled_from(list(PLAYERS)),
    st.dictionaries(st.sampled_from(list(Limb)), profiles),
    st.sampled_from([Limb.RH, Limb.LH]),
)


@pytest.mark.parametrize("name", WORKING)
def test_the_working_table(name: str) -> None:
    """The built-in players hold the working table (common practice)."""
    who = player(name)
    hand = (who.hand.sustained, who.hand.few, who.hand.two, who.hand.rebound)
    assert (*hand, who.foot.sustained, who.foot.two, who.next_drum, who.across) == WORKING[name]
    assert who.foot.rebound is None
    assert who.foot.two < who.foot.few < who.foot.sustained
    assert who.limbs == ()


def test_each_level_is_faster_than_the_one_before() -> None:
    """Beginner, school, advanced: every gap and every way gets shorter."""
    values = [WORKING[name] for name in PLAYERS]
    for slower, faster in pairwise(values):
        assert all(fast < slow for slow, fast in zip(slower, faster, strict=True) if slow and fast)


def test_an_unknown_player_brings_the_nearest() -> None:
    """A name that is no player's is answered with one that is, or with a file."""
    with pytest.raises(UnknownNameError, match="no player is called 'advance'; did you mean advanced"):
        player("advance")
    with pytest.raises(UnknownNameError, match=r"there are: beginner, school, advanced, FILE\.toml"):
        player("zz")


@pytest.mark.parametrize(
    ("rates", "message"),
    [
        ((150, 125, 90, 95), "a longer run cannot be faster than a shorter one"),
        ((150, 160, 90), "a longer run cannot be faster than a shorter one"),
        ((150, 125, 130), "a longer run cannot be faster than a shorter one"),
        ((150, 125, 19), "two of 19 ms; gaps between strokes are 20 to 4000 milliseconds"),
        ((4001, 125, 90), "sustained of 4001 ms"),
        ((float("nan"), 125, 90), "sustained of nan ms"),
    ],
)
def test_rates_that_cannot_be(rates: tuple[float, ...], message: str) -> None:
    """Gaps out of range or out of order are named with their numbers."""
    with pytest.raises(KitError, match=message):
        Rates(*rates)


def test_players_that_cannot_be() -> None:
    """Across is no shorter than next door, slow is no faster, and one hand at least plays."""
    with pytest.raises(KitError, match="200 ms to the next drum and 100 across"):
        replace(SCHOOL, next_drum=200, across=100)
    with pytest.raises(KitError, match=r"slow of 0\.5; a slow limb needs 1 to 10 times as long"):
        LimbProfile(slow=0.5)
    gone = LimbProfile(absent=True)
    with pytest.raises(KitError, match="both hands absent"):
        replace(SCHOOL, limbs=((Limb.RH, gone), (Limb.LH, gone)))


@pytest.mark.parametrize(
    ("profile", "words"),
    [
        (LimbProfile(), ""),
        (LimbProfile(absent=True, slow=2, single=True), "does not play"),
        (LimbProfile(slow=SLOW), "needs 1.5 times as long"),
        (LimbProfile(single=True, travels=False), "single strokes only, stays on one surface"),
    ],
)
def test_profiles_in_words(profile: LimbProfile, words: str) -> None:
    """What is special about a limb is said; nothing where nothing is."""
    assert profile.words == words


def test_rates_by_limb() -> None:
    """A slow limb needs longer for all it does; one of single strokes has its sustained gap for everything."""
    who = replace(SCHOOL, limbs=((Limb.LF, LimbProfile(slow=2)), (Limb.LH, LimbProfile(slow=SLOW, single=True))))
    assert who.rates(Limb.RH) == SCHOOL.hand
    assert who.rates(Limb.RF) == SCHOOL.foot
    assert who.rates(Limb.LF) == Rates(440, 370, 300)
    assert who.rates(Limb.LH) == Rates(225, 225, 225)
    assert (who.travel(Limb.LH, across=False), who.travel(Limb.RH, across=True)) == (150, 200)


@given(players)
def test_a_player_is_a_value(who: Player) -> None:
    """Profiles in any order, plain ones among them, make the same player; the mirror image undoes itself."""
    plain = tuple((limb, LimbProfile()) for limb in Limb if who.profile(limb) == LimbProfile())
    assert replace(who, limbs=(*plain, *reversed(who.limbs))) == who
    assert who.mirrored().mirrored() == who
    for limb in Limb:
        assert who.mirrored().profile(limb.mirrored) == who.profile(limb)
        assert who.plays(limb) is not who.profile(limb).absent


@given(players, st.sampled_from(list(Limb)))
def test_no_profile_makes_a_limb_faster(who: Player, limb: Limb) -> None:
    """Slow or single, a limb needs no less than a plain one, and a run no less than its shorter part."""
    plain = who.hand if limb.is_hand else who.foot
    own = who.rates(limb)
    assert own.sustained >= plain.sustained
    assert own.few >= plain.few
    assert own.two >= plain.two
    assert own.sustained >= own.few >= own.two >= (own.rebound or 0)
