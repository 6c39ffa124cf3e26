"""Each rule of playability from both sides of its limit, what a message says, and laws on any pattern.

Where a test says milliseconds it plays at 60 quarters a minute, so that a quarter lasts 1000 of them.
"""

import re
from collections.abc import Iterable
from fractions import Fraction
from math import floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.kit import PLAYERS, Limb, LimbProfile, Player
from kitgen.kit.places import PLACES
from kitgen.pattern import EVEN, Feel, Hit, Ornament, Pattern, parse_rows
from kitgen.pattern.findings import Finding
from kitgen.pattern.playability import fastest, playability
from kitgen.time import BPM_RANGE, Meter, Meters
from tests.strategies import any_meters, fewer, patterns, swinging_patterns, swings, whole_maps

F = Fraction
RH, LH, RF, LF = Limb
NAMES = tuple(PLAYERS)
SCHOOL = PLAYERS["school"]
FLAM, DRAG, DIDDLE, BUZZ = Ornament
CLOSE = 1.002
"""How far from a limit the two sides of it are tested."""

paces = st.sampled_from((40.0, 72.0, 96.0, 120.0, 160.0, 230.0))
hands = st.sampled_from(("right", "left"))


def ms(number: float) -> Fraction:
    """So many milliseconds in quarters, at 60 a minute; to the thousandth of one."""
    return F(round(number * 1000), 1_000_000)


def struck(limb: Limb, surface: str, *times: float, ornament: Ornament | None = None) -> list[Hit]:
    """Strokes at times in milliseconds."""
    return [Hit(ms(time), limb, surface, ornament=ornament) for time in times]


def bars(*hits: Hit, meter: str = "4/4", count: int = 1) -> Pattern:
    """Strokes in a bar or more, four seconds each where the meter is not given."""
    return Pattern(hits, Meters.of(Meter.parse(meter), count))


def named(found: Iterable[Finding]) -> dict[str, Limb]:
    """Which limb breaks which rule."""
    return {finding.rule: finding.limb for finding in found}


def found(pattern: Pattern, player: Player = SCHOOL, *, hand: str = "right", loops: bool = True) -> dict[str, Limb]:
    """Which limb breaks which rule at 60 quarters a minute."""
    return named(playability(pattern, player, 60, hand=hand, loops=loops))


def special(limb: Limb, profile: LimbProfile, name: str = "school") -> Player:
    """A built-in player with a limb that is special."""
    player = PLAYERS[name]
    return Player(player.name, player.hand, player.foot, player.next_drum, player.across, ((limb, profile),))


# ---- rates -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("limb", "surface"), [(RH, "ride"), (LH, "cross-stick"), (RF, "bass"), (LF, "hat-foot")])
@pytest.mark.parametrize("tempo", [40, 60, 97])
def test_two_in_a_row(name: str, limb: Limb, surface: str, tempo: int) -> None:
    """One gap as long as it may be is played, and nothing shorter, whatever the tempo it comes about at."""
    limit = PLAYERS[name].rates(limb).two
    for share, rules in ((CLOSE, {}), (1, {}), (1 / CLOSE, {"two": limb})):
        gap = F(limit * share) * tempo / 60_000
        pattern = bars(Hit(F(0), limb, surface), Hit(gap, limb, surface))
        assert named(playability(pattern, PLAYERS[name], tempo)) == rules


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("parts", [1, 2, 3, 4])
def test_the_tempo_of_two_in_a_row(name: str, parts: int) -> None:
    """Two strokes so many to a quarter are too fast from the tempo on that the limit works out to."""
    limit = 60_000 / parts / PLAYERS[name].hand.two
    pattern = bars(Hit(F(0), RH, "ride"), Hit(F(1, parts), RH, "ride"), count=4)
    assert not playability(pattern, PLAYERS[name], limit * 0.999)
    assert named(playability(pattern, PLAYERS[name], limit * 1.001)) == {"two": RH}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("limb", "surface"), [(RH, "ride"), (LH, "snare"), (RF, "bass")])
@pytest.mark.parametrize("strokes", [3, 4])
def test_three_or_four_in_a_row(name: str, limb: Limb, surface: str, strokes: int) -> None:
    """Even strokes are held against the rate of a few, which one gap alone would pass."""
    few = PLAYERS[name].rates(limb).few
    for share, rules in ((CLOSE, {}), (1, {}), (1 / CLOSE, {"few": limb})):
        own = struck(limb, surface, *(index * few * share for index in range(strokes)))
        assert found(bars(*own), PLAYERS[name]) == rules
    assert found(bars(*struck(limb, surface, 0, few / CLOSE)), PLAYERS[name]) == {}


@pytest.mark.parametrize("name", NAMES)
def test_four_in_a_row_whose_threes_would_do(name: str) -> None:
    """Short, long, short: the mean of three gaps counts where that of any two is long enough."""
    rates = PLAYERS[name].hand
    short = rates.two
    for long, rules in ((3 * rates.few - 2 * short, {}), ((3 * rates.few - 2 * short) / CLOSE, {"few": RH})):
        assert (short + long) / 2 > rates.few
        times = (0, short, short + long, 2 * short + long)
        assert found(bars(*struck(RH, "ride", *times)), PLAYERS[name]) == rules


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("limb", "surface"), [(RH, "ride"), (LH, "snare"), (RF, "bass"), (LF, "hat-foot")])
def test_sustained_is_the_mean_over_a_bar_and_into_the_repeat(name: str, limb: Limb, surface: str) -> None:
    """A full bar that comes round is too fast a little above its rate; without the repeat it is no whole bar."""
    limit = 60_000 / 4 / PLAYERS[name].rates(limb).sustained
    full = bars(*(Hit(F(index, 4), limb, surface) for index in range(16)))
    assert not playability(full, PLAYERS[name], limit / CLOSE)
    assert named(playability(full, PLAYERS[name], limit * CLOSE)) == {"sustained": limb}
    assert not playability(full, PLAYERS[name], limit * CLOSE, loops=False)
    assert named(playability(full * 2, PLAYERS[name], limit * CLOSE, loops=False)) == {"sustained": limb}


@pytest.mark.parametrize("name", NAMES)
def test_a_rest_in_the_bar_lowers_the_mean(name: str) -> None:
    """With one of sixteen left out, the others may be a sixteenth closer."""
    limit = 60_000 / 4 / PLAYERS[name].hand.sustained * 16 / 15
    gap = bars(*(Hit(F(index, 4), RH, "ride") for index in range(15)))
    assert not playability(gap, PLAYERS[name], limit / CLOSE)
    assert named(playability(gap, PLAYERS[name], limit * CLOSE)) == {"sustained": RH}


@pytest.mark.parametrize("order", [("3/4", "4/4"), ("4/4", "3/4"), ("2/4", "2/4", "4/4")])
def test_a_bar_is_the_bar_it_stands_in(order: tuple[str, ...]) -> None:
    """Bars of different lengths: a stream is too fast in each, at the tempo its rate works out to."""
    meters = sum((Meters.of(Meter.parse(text)) for text in order[1:]), Meters.of(Meter.parse(order[0])))
    stream = Pattern(tuple(Hit(F(index, 4), RH, "ride") for index in range(int(meters.span * 4))), meters)
    (finding,) = playability(stream, SCHOOL, 100 * CLOSE)
    assert (finding.rule, finding.places) == ("sustained", len(stream.hits))
    assert not playability(stream, SCHOOL, 100 / CLOSE)


def test_a_short_loop_is_followed_round_as_often_as_it_takes() -> None:
    """Two strokes a loop: short, long, short is there although the loop holds only one of the shorts."""
    tiny = Meters.of(Meter(1, 16), 5)
    pattern = Pattern((Hit(F(0), RH, "snare"), Hit(F(1, 2), RH, "snare")), tiny)
    pace = 60_000 * F(5, 4) / 265
    assert "few" in named(playability(pattern, SCHOOL, float(pace) * 1.6))
    assert found(bars(*struck(RH, "ride", 0, 3990))) == {"two": RH}
    assert found(bars(*struck(RH, "ride", 0, 3990)), loops=False) == {}


# ---- rebounds --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["school", "advanced"])
def test_a_rebound_double_on_a_drum(name: str) -> None:
    """The second of two strokes on a drum may be the bounce of the first; on a cymbal, wood or a knee it is not."""
    rates = PLAYERS[name].hand
    assert rates.rebound is not None
    for surface in ("snare", "high-tom", "mid-tom", "floor-tom"):
        assert found(bars(*struck(LH, surface, 0, rates.rebound)), PLAYERS[name]) == {}
        assert found(bars(*struck(LH, surface, 0, rates.rebound / CLOSE)), PLAYERS[name]) == {"two": LH}
    for surface in ("ride", "closed-hat", "cross-stick", "wood-block", "lap"):
        assert found(bars(*struck(LH, surface, 0, rates.two)), PLAYERS[name]) == {}
        assert found(bars(*struck(LH, surface, 0, rates.two / CLOSE)), PLAYERS[name]) == {"two": LH}


def test_a_beginner_has_no_rebound() -> None:
    """Two on a drum are two strokes."""
    assert found(bars(*struck(LH, "snare", 0, 150)), PLAYERS["beginner"]) == {}
    assert found(bars(*struck(LH, "snare", 0, 149)), PLAYERS["beginner"]) == {"two": LH}


def test_only_the_second_of_two_bounces() -> None:
    """A third stroke as close is no bounce; one a whole stroke later is."""
    assert found(bars(*struck(RH, "snare", 0, 80, 160))) == {"two": RH, "few": RH}
    assert found(bars(*struck(RH, "snare", 0, 80, 80 + 170))) == {}
    assert found(bars(*struck(RH, "snare", 0, 90, 90 + 80)))["few"] == RH


@pytest.mark.parametrize("loops", [True, False])
def test_doubles_at_the_start_and_at_the_end(loops: bool) -> None:  # noqa: FBT001
    """Two doubles, the first and the last strokes there are, are two bounces, with a repeat and without."""
    assert found(bars(*struck(RH, "snare", 0, 75, 500, 575)), loops=loops) == {}
    assert found(bars(*struck(RH, "snare", 0, 500, 575)), loops=loops) == {}
    assert found(bars(*struck(RH, "snare", 0, 75)), loops=loops) == {}


def test_a_double_stroke_roll() -> None:
    """Doubles from hand to hand are played up to the rate at which two and two are as fast as a few may be."""
    roll = parse_rows("RH snare xx.. xx.. xx.. xx..; LH snare ..xx ..xx ..xx ..xx", Meter(4, 4))
    limit = 60_000 / 4 / 75
    assert not playability(roll, SCHOOL, limit / CLOSE)
    above = named(playability(roll, SCHOOL, limit * CLOSE))
    assert set(above) >= {"two", "few"}


# ---- travel ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    ("limb", "first", "second", "across"),
    [
        (LH, "snare", "high-tom", False),
        (RH, "ride", "crash", False),
        (RH, "mid-tom", "floor-tom", False),
        (RH, "snare", "ride", True),
        (RH, "closed-hat", "ride", True),
        (LF, "bass", "hat-foot", True),
    ],
)
def test_travel_takes_time(name: str, limb: Limb, first: str, second: str, across: bool) -> None:  # noqa: FBT001
    """The way to the next surface, and across the kit, there and back; never less than a second stroke takes."""
    player = PLAYERS[name]
    limit = max(player.rates(limb).two, player.across if across else player.next_drum)
    for start, end in ((first, second), (second, first)):
        near = [*struck(limb, start, 0), *struck(limb, end, limit)]
        assert found(bars(*near), player) == {}
        nearer = [*struck(limb, start, 0), *struck(limb, end, limit / CLOSE)]
        (finding,) = playability(bars(*nearer), player, 60)
        assert (finding.rule, finding.limb, finding.limit) == ("travel", limb, limit)
        assert f"{start} to {end}" in finding.words


def test_one_place_struck_in_two_ways_is_no_travel() -> None:
    """Snare to cross-stick is not a way, and the bell of the ride is on the ride."""
    for first, second in (("snare", "cross-stick"), ("ride", "ride-bell"), ("closed-hat", "open-hat")):
        assert found(bars(*struck(RH, first, 0), *struck(RH, second, 90))) == {}
        assert found(bars(*struck(RH, first, 0), *struck(RH, second, 80))) == {"two": RH}


# ---- ornaments -------------------------------------------------------------------------------------------------------


def before_grace(limit: float) -> float:
    """Where a stroke with a grace may come after one at 0, for the grace to have so many milliseconds."""
    return min(limit * 4 / 3, limit + 35)


@pytest.mark.parametrize("name", NAMES)
def test_a_flam_needs_the_other_hand_in_time(name: str) -> None:
    """The grace comes 35 ms early, a quarter of the gap where that is less, and not too soon after its hand's last."""
    two = PLAYERS[name].hand.two
    for share, rules in ((CLOSE, {}), (1 / CLOSE, {"two": LH})):
        pattern = bars(*struck(LH, "ride", 0), *struck(RH, "ride", before_grace(two) * share, ornament=FLAM))
        assert found(pattern, PLAYERS[name]) == rules


@pytest.mark.parametrize("name", NAMES)
def test_a_hand_plays_on_after_its_grace(name: str) -> None:
    """35 ms before the beat are 35 more for the hand that plays next."""
    two = PLAYERS[name].hand.two
    for share, rules in ((CLOSE, {}), (1 / CLOSE, {"two": LH})):
        pattern = bars(*struck(RH, "ride", 500, ornament=FLAM), *struck(LH, "ride", 500 + two * share - 35))
        assert found(pattern, PLAYERS[name]) == rules


@pytest.mark.parametrize("name", NAMES)
def test_a_grace_is_where_its_stroke_is(name: str) -> None:
    """The other hand travels to the drum of the flam."""
    player = PLAYERS[name]
    gap = before_grace(max(player.next_drum, player.hand.two))
    for share, rules in ((CLOSE, {}), (1 / CLOSE, {"travel": LH})):
        pattern = bars(*struck(LH, "snare", 0), *struck(RH, "floor-tom", gap * share, ornament=FLAM))
        assert found(pattern, player) == rules


@pytest.mark.parametrize("name", ["school", "advanced"])
def test_a_drag_is_one_bounce_of_the_other_hand(name: str) -> None:
    """Its two graces may be as close as they like, but not too close to the strokes around, of drags among them."""
    two = PLAYERS[name].hand.two
    assert found(bars(*struck(RH, "snare", 500, ornament=DRAG)), PLAYERS[name]) == {}
    for share, rules in ((CLOSE, {}), (1 / CLOSE, {"two": LH})):
        early = two * 4 / 3 * share
        assert found(bars(*struck(LH, "snare", 0), *struck(RH, "snare", early, ornament=DRAG)), PLAYERS[name]) == rules
        late = 500 + two * share - 35
        assert found(bars(*struck(RH, "snare", 500, ornament=DRAG), *struck(LH, "snare", late)), PLAYERS[name]) == rules
    drags = bars(*struck(RH, "snare", 500, 530, ornament=DRAG))
    assert ("two", LH) in {(finding.rule, finding.limb) for finding in playability(drags, PLAYERS[name], 60)}


def test_a_drag_and_a_stroke_soon_after_are_not_three_in_a_row() -> None:
    """A drag tap: the two graces count as one stroke where three or four in a row are counted."""
    assert found(bars(*struck(RH, "snare", 500, ornament=DRAG), *struck(LH, "snare", 650))) == {}


def test_who_has_no_bounce_plays_no_drag() -> None:
    """A beginner's, named for the hand that would have to bounce."""
    drag = bars(*struck(RH, "snare", 500, ornament=DRAG))
    (finding,) = playability(drag, PLAYERS["beginner"], 60)
    assert (finding.rule, finding.limb, finding.share) == ("rebound", LH, 0)
    assert "bounce of the left hand (LH)" in finding.words
    assert "make it a flam" in finding.ways


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("surface", ["snare", "ride"])
def test_a_diddle_takes_half_an_eighth(name: str, surface: str) -> None:
    """Two strokes in an eighth, on a drum the second a bounce, up to the tempo that works out to."""
    rates = PLAYERS[name].hand
    limit = rates.rebound if rates.rebound is not None and surface == "snare" else rates.two
    diddle = bars(Hit(F(0), RH, surface, ornament=DIDDLE))
    pace = 60_000 / 4 / limit
    assert not playability(diddle, PLAYERS[name], pace / CLOSE)
    assert named(playability(diddle, PLAYERS[name], pace * CLOSE)) == {"two": RH}


@pytest.mark.parametrize("name", NAMES)
def test_a_diddle_needs_room_before_the_next_stroke(name: str) -> None:
    """Two strokes and the next are three in a row."""
    room = 2 * PLAYERS[name].hand.few
    for share, rules in ((CLOSE, {}), (1 / CLOSE, {"few": RH})):
        pattern = bars(*struck(RH, "snare", 0, ornament=DIDDLE), *struck(RH, "snare", room * share))
        assert found(pattern, PLAYERS[name]) == rules


@pytest.mark.parametrize("name", NAMES)
def test_a_diddle_with_a_length_takes_half_of_it(name: str) -> None:
    """A length says how long the two strokes have."""
    for share, rules in ((CLOSE, {}), (1 / CLOSE, {"two": LH})):
        long = ms(2 * PLAYERS[name].hand.two * share)
        pattern = bars(Hit(F(0), LH, "ride", ornament=DIDDLE, length=long))
        assert found(pattern, PLAYERS[name]) == rules


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("loops", [True, False])
def test_a_buzz_needs_room(name: str, loops: bool) -> None:  # noqa: FBT001
    """Until the hand's next stroke, or for its length, or for an eighth."""
    player, few = PLAYERS[name], PLAYERS[name].hand.few
    for share, rules in ((CLOSE, {}), (1 / CLOSE, {"buzz": RH})):
        before = bars(*struck(RH, "snare", 0, ornament=BUZZ), *struck(RH, "snare", few * share))
        held = bars(Hit(F(1), RH, "snare", ornament=BUZZ, length=ms(few * share)))
        assert found(before, player, loops=loops) == found(held, player, loops=loops) == rules
    eighth = bars(Hit(F(1), RH, "snare", ornament=BUZZ))
    assert not playability(eighth, player, 30_000 / few / CLOSE, loops=loops)
    assert named(playability(eighth, player, 30_000 / few * CLOSE, loops=loops)) == {"buzz": RH}


# ---- limbs that are special ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("limb", list(Limb))
def test_an_absent_limb_plays_nothing(limb: Limb) -> None:
    """Every stroke of it is found, no other, and no tempo mends it."""
    surface = "snare" if limb.is_hand else "bass"
    pattern = bars(*struck(limb, surface, 0, 1000, 1100), *struck(limb.mirrored, surface, 500))
    (finding,) = playability(pattern, special(limb, LimbProfile(absent=True)), 60)
    assert (finding.rule, finding.limb, finding.places, finding.share) == ("absent", limb, 3, 0)
    assert f"give it to the {limb.mirrored.words}" in finding.ways
    assert found(bars(*struck(limb.mirrored, surface, 0)), special(limb, LimbProfile(absent=True))) == {}


def test_nothing_is_given_to_a_limb_that_does_not_play() -> None:
    """With one hand, and with no feet, the way out is another."""
    one = special(LH, LimbProfile(absent=True))
    (finding,) = playability(bars(*struck(RH, "ride", 0, 50)), one, 60)
    assert finding.rule == "two"
    assert not any("left hand" in way for way in finding.ways)
    no_feet = Player(
        "school", SCHOOL.hand, SCHOOL.foot, 100, 200, tuple((foot, LimbProfile(absent=True)) for foot in (RF, LF))
    )
    (finding,) = playability(bars(*struck(RF, "bass", 0)), no_feet, 60)
    assert finding.ways == ("leave it out",)
    (finding,) = playability(bars(*struck(RH, "ride", 0, 4)), one, 60)
    assert finding.ways == ("leave a stroke out",)


def test_graces_of_an_absent_hand() -> None:
    """A flam needs the other hand to be there."""
    (finding,) = playability(bars(*struck(RH, "snare", 500, ornament=FLAM)), special(LH, LimbProfile(absent=True)), 60)
    assert (finding.rule, finding.limb) == ("graces", RH)
    assert "left hand (LH)" in finding.words
    assert found(bars(*struck(RH, "snare", 500, ornament=DIDDLE)), special(LH, LimbProfile(absent=True))) == {}


@pytest.mark.parametrize("slow", [1.5, 2])
@pytest.mark.parametrize(("limb", "surface"), [(RH, "ride"), (LF, "hat-foot")])
def test_a_slow_limb_needs_so_many_times_as_long(slow: float, limb: Limb, surface: str) -> None:
    """Its gaps and its way; the other limbs are as they were."""
    player = special(limb, LimbProfile(slow=slow))
    for own, times in ((limb, slow), (limb.mirrored, 1)):
        limit = SCHOOL.rates(limb).two * times
        where = surface if own.is_hand else "hat-foot"
        assert found(bars(*struck(own, where, 0, limit)), player) == {}
        assert found(bars(*struck(own, where, 0, limit / CLOSE)), player) == {"two": own}
    if limb.is_hand:
        assert found(bars(*struck(RH, "snare", 0), *struck(RH, "ride", 200 * slow)), player) == {}
        assert found(bars(*struck(RH, "snare", 0), *struck(RH, "ride", 200 * slow - 1)), player) == {"travel": RH}


def test_a_hand_of_single_strokes() -> None:
    """No two faster than it sustains, no double of any kind, and no drag for the other hand."""
    player = special(LH, LimbProfile(single=True))
    assert found(bars(*struck(LH, "snare", 0, 150)), player) == {}
    assert found(bars(*struck(LH, "snare", 0, 149)), player) == {"two": LH}
    for ornament in (DIDDLE, BUZZ):
        assert found(bars(*struck(LH, "snare", 500, ornament=ornament)), player)["single"] == LH
        assert found(bars(*struck(RH, "snare", 500, ornament=ornament)), player) == {}
    assert found(bars(*struck(LH, "snare", 500, ornament=DRAG)), player) == {}
    assert found(bars(*struck(RH, "snare", 500, ornament=DRAG)), player) == {"single": LH}
    assert found(bars(*struck(RH, "snare", 500, ornament=FLAM)), player) == {}
    (finding,) = playability(bars(*struck(RH, "snare", 500, ornament=DRAG)), player, 60)
    assert "a drag on snare" in finding.words
    assert "left hand (LH)" in finding.words


def test_a_hand_that_does_not_travel() -> None:
    """It keeps to the place it strikes most; what it strikes elsewhere is found, its graces among it."""
    player = special(LH, LimbProfile(travels=False))
    assert found(bars(*struck(LH, "snare", 0, 1000), *struck(LH, "cross-stick", 2000)), player) == {}
    assert found(bars(*struck(RH, "snare", 0), *struck(RH, "ride", 1000)), player) == {}
    pattern = bars(*struck(LH, "high-tom", 0), *struck(LH, "snare", 1000, 2000))
    (finding,) = playability(pattern, player, 60)
    assert (finding.rule, finding.limb, finding.onset, finding.share) == ("stays", LH, F(0), 0)
    graced = bars(*struck(LH, "snare", 0, 2000), *struck(RH, "floor-tom", 1000, ornament=FLAM))
    assert found(graced, player) == {"stays": LH}
    at_home = bars(*struck(LH, "snare", 0, 2000), *struck(RH, "snare", 1000, ornament=FLAM))
    assert found(at_home, player) == {}


# ---- the hi-hat ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("surface", ["closed-hat", "open-hat"])
def test_the_foot_does_not_stamp_under_a_hand(surface: str) -> None:
    """At one instant never, whatever the tempo; with the hand on the ride as often as it likes."""
    pattern = bars(*struck(RH, surface, 0, 1000), *struck(LF, "hat-foot", 1000))
    (finding,) = playability(pattern, SCHOOL, 60)
    assert (finding.rule, finding.limb, finding.onset, finding.share) == ("hat-held", LF, F(1), 0)
    assert "move the hand to the ride" in finding.ways
    assert found(bars(*struck(RH, "ride", 0, 1000), *struck(LF, "hat-foot", 1000))) == {}


@pytest.mark.parametrize("name", NAMES)
def test_the_foot_does_not_stamp_just_after_a_hand(name: str) -> None:
    """Not sooner than it could stamp again; an open hat is there to be closed."""
    limit = PLAYERS[name].foot.two
    for share, rules in ((CLOSE, {}), (1 / CLOSE, {"hat-soon": LF})):
        after = bars(*struck(LH, "closed-hat", 1000), *struck(LF, "hat-foot", 1000 + limit * share))
        assert found(after, PLAYERS[name]) == rules
        round_again = bars(*struck(LH, "closed-hat", 4000 - limit * share), *struck(LF, "hat-foot", 0))
        assert found(round_again, PLAYERS[name]) == rules
        assert found(round_again, PLAYERS[name], loops=False) == {}
        opened = bars(*struck(LH, "open-hat", 1000), *struck(LF, "hat-foot", 1000 + limit * share))
        assert found(opened, PLAYERS[name]) == {}


@pytest.mark.parametrize("name", NAMES)
def test_the_foot_that_holds_the_hat_plays_nothing_else(name: str) -> None:
    """Not under a hand, and not nearer to one than the way to the other pedal takes; the other foot may."""
    player, away = PLAYERS[name], max(PLAYERS[name].foot.two, PLAYERS[name].across)
    at_once = bars(*struck(RH, "closed-hat", 1000), *struck(LF, "bass", 1000))
    assert found(at_once, player) == {"hat-left": LF}
    assert found(at_once, player, hand="open") == {"hat-left": LF}
    assert found(at_once, player, hand="left") == {}
    assert found(bars(*struck(RH, "closed-hat", 1000), *struck(RF, "bass", 1000)), player) == {}
    assert found(bars(*struck(LH, "closed-hat", 1000), *struck(RF, "bass", 1000)), player, hand="left") == {
        "hat-left": RF
    }
    for share, rules in ((CLOSE, {}), (1 / CLOSE, {"hat-left": LF})):
        for bass, hat in ((1000, 1000 + away * share), (1000 + away * share, 1000), (4000 - away * share, 0)):
            assert found(bars(*struck(RH, "closed-hat", hat), *struck(LF, "bass", bass)), player) == rules


def test_what_frees_the_foot_of_the_hat() -> None:
    """An open hat is not held; and with one foot alone the hat is clamped."""
    assert found(bars(*struck(RH, "open-hat", 1000), *struck(LF, "bass", 1000))) == {}
    at_once = bars(*struck(RH, "closed-hat", 1000), *struck(LF, "bass", 1000))
    assert found(at_once, special(RF, LimbProfile(absent=True))) == {}


# ---- crossed hands ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("hand", ["right", "open"])
def test_hands_do_not_cross_too_far(hand: str) -> None:
    """At one instant at no tempo; the hand over the other on the hat is how it is done."""
    pattern = bars(*struck(RH, "snare", 500), *struck(LH, "floor-tom", 500))
    (finding,) = playability(pattern, SCHOOL, 60, hand=hand)
    assert (finding.rule, finding.limb, finding.share) == ("crossed", RH, 0)
    other_way = bars(*struck(LH, "snare", 500), *struck(RH, "floor-tom", 500))
    assert found(other_way, hand=hand) == {}
    over = bars(*struck(RH, "closed-hat", 500), *struck(LH, "snare", 500))
    assert found(over, hand=hand) == {}


def test_left_handed_the_other_way_round() -> None:
    """On the mirrored kit the left hand is the one on the right of nothing."""
    assert found(bars(*struck(RH, "snare", 500), *struck(LH, "floor-tom", 500)), hand="left") == {}
    assert found(bars(*struck(LH, "snare", 500), *struck(RH, "floor-tom", 500)), hand="left") == {"crossed": LH}


@pytest.mark.parametrize("name", NAMES)
def test_hands_that_cross_soon_after_each_other(name: str) -> None:
    """Within three quick strokes, also round the loop; it is the later stroke that is named, and slower will do."""
    player, few = PLAYERS[name], PLAYERS[name].hand.few
    for share, rules in ((CLOSE, set[str]()), (1 / CLOSE, {"crossed"})):
        after = bars(*struck(LH, "floor-tom", 1000), *struck(RH, "snare", 1000 + few * share))
        assert set(found(after, player)) == rules
        wrapped = bars(*struck(LH, "floor-tom", 4000 - few * share), *struck(RH, "snare", 0))
        assert set(found(wrapped, player)) == rules
        assert found(wrapped, player, loops=False) == {}
    quick = bars(*struck(LH, "floor-tom", 1000), *struck(RH, "snare", 1000 + few / CLOSE))
    (finding,) = playability(quick, player, 60)
    assert finding.limb == RH
    assert finding.share == pytest.approx(1 / CLOSE, rel=1e-4)
    assert fastest(quick, player, 60) == pytest.approx(60 / CLOSE, rel=1e-4)


def test_a_crossing_at_one_instant_is_worse_than_a_quick_one() -> None:
    """Whatever comes first, what no tempo mends is what is said."""
    pattern = bars(*struck(LH, "floor-tom", 500, 2000), *struck(RH, "snare", 600, 2000))
    (finding,) = playability(pattern, SCHOOL, 60)
    assert (finding.onset, finding.share, finding.places) == (F(2), 0, 2)
    assert fastest(pattern, SCHOOL, 60) == 0


# ---- swung -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("ratio", "part"), [("1", F(1, 2)), ("2", F(1, 3)), ("3", F(1, 4))])
def test_a_swung_pattern_is_tested_as_played(ratio: str, part: Fraction) -> None:
    """The offbeat and the beat after it are as close as the ratio makes them."""
    pattern = bars(Hit(F(1, 2), RH, "ride"), Hit(F(1), RH, "ride")).with_feel(Feel(8, F(ratio)))
    limit = float(60_000 * part / 90)
    assert not playability(pattern, SCHOOL, limit / CLOSE)
    (finding,) = playability(pattern, SCHOOL, limit * CLOSE)
    assert (finding.rule, finding.onset) == ("two", F(1))
    assert finding.gap == pytest.approx(90 / CLOSE)


def test_auto_follows_the_tempo() -> None:
    """Slower the short note is a smaller part of the beat, and the tempo that is said takes that in."""
    pattern = bars(Hit(F(1, 2), RH, "ride"), Hit(F(1), RH, "ride")).with_feel(Feel.parse("auto"))
    finding = by_key(playability(pattern, PLAYERS["beginner"], 280))["two", RH]
    said = bpm_of(finding)
    assert said < floor(280 * finding.share)
    assert not playability(pattern, PLAYERS["beginner"], said)
    assert playability(pattern, PLAYERS["beginner"], said * 1.05)
    assert said / 1.05 < fastest(pattern, PLAYERS["beginner"], 280) < (said + 1) * 1.05


# ---- what is said ----------------------------------------------------------------------------------------------------


def bpm_of(finding: Finding) -> int:
    """The tempo of the first way out."""
    told = re.fullmatch(r"play it at (\d+) [a-z ]+ a minute or slower", finding.ways[0])
    assert told, finding.ways
    return int(told[1])


def test_a_message_holds_all_there_is_to_know() -> None:
    """Limb, bar and count, milliseconds there are and should be, who needs them, how often, and ways out."""
    pattern = parse_rows("RH ride .... .xx. .... x...", Meter(4, 4))
    (finding,) = playability(Pattern((), pattern.meters) + pattern * 2, SCHOOL, 200)
    assert str(finding) == (
        'bar 2, count "& of 2": the right hand (RH) has 75 ms between two strokes on ride; the school player needs 90 '
        "(and at 1 more place); play it at 166 quarters a minute or slower, or give a stroke of them to the left hand"
    )


IN_WORDS = {
    "two": (bars(*struck(LH, "ride", 0, 80)), "the left hand (LH) has 80 ms between two strokes on ride; {needs} 90"),
    "few": (
        bars(*struck(RH, "ride", 0, 100, 200)),
        "the right hand (RH) has 100 ms a stroke for three or four in a row; {needs} 125",
    ),
    "sustained": (
        bars(*(Hit(F(index, 8), RF, "bass") for index in range(1, 32))),
        "the right foot (RF) has 129 ms a stroke for a bar or more; {needs} 220",
    ),
    "travel": (
        bars(*struck(LH, "snare", 0), *struck(LH, "ride", 150)),
        "the left hand (LH) has 150 ms from snare to ride; {needs} 200",
    ),
    "buzz": (
        bars(Hit(F(0), RH, "snare", ornament=BUZZ, length=F(1, 10))),
        "the buzz of the right hand (RH) on snare has 100 ms of room; {needs} 125",
    ),
    "crossed": (
        bars(*struck(LH, "floor-tom", 0), *struck(RH, "snare", 100)),
        "the hands cross too far in 100 ms, right hand (RH) on snare; {needs} 125",
    ),
    "hat-soon": (
        bars(*struck(RH, "closed-hat", 0), *struck(LF, "hat-foot", 100)),
        "the left foot (LF) stamps the hat 100 ms after a hand stroke on it; {needs} 150",
    ),
    "hat-left": (
        bars(*struck(RH, "closed-hat", 0), *struck(LF, "bass", 100)),
        "the left foot (LF) plays bass 100 ms from a hand stroke on the hat, which it has to hold; {needs} 200",
    ),
}


@pytest.mark.parametrize("rule", IN_WORDS)
def test_every_timed_rule_says_limb_place_gap_limit_and_tempo(rule: str) -> None:
    """What there is, who needs how much, and the tempo first among the ways out."""
    pattern, words = IN_WORDS[rule]
    finding = next(finding for finding in playability(pattern, SCHOOL, 60) if finding.rule == rule)
    assert finding.words.startswith("bar 1, count ")
    assert words.format(needs="the school player needs") in finding.words
    assert finding.limb.name in finding.words
    assert bpm_of(finding) == floor(60 * finding.share)


def test_the_tempo_is_said_in_the_beats_of_the_meter() -> None:
    """Dotted quarters in 6/8, halves in 2/2; and no tempo below the slowest there is."""
    for meter, unit, quarters in (("6/8", "dotted quarters", 1.5), ("2/2", "halves", 2), ("4/4", "quarters", 1)):
        pattern = bars(Hit(F(0), RH, "ride"), Hit(F(1, 4), RH, "ride"), meter=meter)
        (finding,) = playability(pattern, SCHOOL, 200)
        assert f"play it at {floor(60_000 / 4 / 90 / quarters)} {unit} a minute" in finding.ways[0]
    (finding,) = playability(bars(*struck(RH, "ride", 0, 5)), SCHOOL, 60)
    assert finding.ways == ("give a stroke of them to the left hand",)


# ---- laws ------------------------------------------------------------------------------------------------------------

players = st.builds(
    lambda player, limb, profile: Player(
        player.name, player.hand, player.foot, player.next_drum, player.across, ((limb, profile),)
    ),
    st.sampled_from(tuple(PLAYERS.values())),
    st.sampled_from(tuple(Limb)),
    st.sampled_from(
        (
            *[LimbProfile()] * 4,
            LimbProfile(absent=True),
            LimbProfile(slow=1.5),
            LimbProfile(single=True),
            LimbProfile(travels=False),
        )
    ),
)

_QUICK = patterns(over=whole_maps(any_meters, max_bars=2), parts=(1, 2, 3, 4, 6), lengths=True)
_AUTO = swinging_patterns(threes=True, feel=st.just(Feel.parse("auto")))
any_patterns = st.one_of(_QUICK, swinging_patterns(lengths=True), _AUTO)
"""Even, swung and swung as the tempo says, with ornaments and lengths."""
plain_patterns = st.one_of(
    patterns(ornaments=False),
    patterns(over=whole_maps(st.just(Meter(4, 4))), parts=(1, 2, 4), ornaments=False, feel=swings),
)
"""Even, or swung by a ratio, without ornaments: what is twice as long at half the tempo."""

Key = tuple[str, Limb]


def by_key(found: Iterable[Finding]) -> dict[Key, Finding]:
    """Findings by rule and limb."""
    return {(finding.rule, finding.limb): finding for finding in found}


def mirrored(pattern: Pattern) -> Pattern:
    """Every stroke by the limb on the other side."""
    return pattern.with_hits(
        Hit(hit.onset, hit.limb.mirrored, hit.surface, hit.level, hit.ornament, hit.length) for hit in pattern.hits
    )


def without_rolls(pattern: Pattern) -> Pattern:
    """Flams and drags alone."""
    graced = {FLAM: FLAM, DRAG: DRAG}
    return pattern.with_hits(
        Hit(hit.onset, hit.limb, hit.surface, hit.level, graced.get(hit.ornament) if hit.ornament else None)
        for hit in pattern.hits
    )


@given(any_patterns, players, paces, hands, st.booleans())
def test_mirrored_the_same_is_found(
    pattern: Pattern,
    player: Player,
    pace: float,
    hand: str,
    loops: bool,  # noqa: FBT001
) -> None:
    """The mirrored pattern, player and kit: the same findings at the same places, of the limbs on the other side."""
    one = playability(pattern, player, pace, hand=hand, loops=loops)
    other_hand = {"right": "left", "left": "right"}[hand]
    other = playability(mirrored(pattern), player.mirrored(), pace, hand=other_hand, loops=loops)
    assert sorted(map(in_short, other)) == sorted(map(in_short, (f._replace(limb=f.limb.mirrored) for f in one)))


def in_short(finding: Finding) -> tuple[str, Limb, Fraction, float, float, int, float]:
    """A finding without its words, its floats rounded."""
    gap, limit, share = (round(number, 6) for number in (finding.gap, finding.limit, finding.share))
    return finding.rule, finding.limb, finding.onset, gap, limit, finding.places, share


@given(plain_patterns, players, paces, hands, st.sampled_from((0.99, 0.8, 0.5, 0.21)))
def test_slower_is_never_harder(pattern: Pattern, player: Player, pace: float, hand: str, slower: float) -> None:
    """Nothing that time has to do with is found at a slower tempo that was not found before, or is worse."""
    before = by_key(playability(pattern, player, pace, hand=hand))
    after = by_key(playability(pattern, player, pace * slower, hand=hand))
    assert after.keys() <= before.keys()
    for key, finding in after.items():
        assert finding.places <= before[key].places
        assert finding.share >= before[key].share - 1e-9


@given(any_patterns, players, paces, hands)
def test_at_the_tempo_it_says_it_is_gone(pattern: Pattern, player: Player, pace: float, hand: str) -> None:
    """Whatever the feel and the ornaments: no finding of that rule and limb is left at the tempo of its way out."""
    for finding in playability(pattern, player, pace, hand=hand):
        if not finding.ways[0].startswith("play it at"):
            continue
        assert finding.limit > finding.gap >= 0
        bpm = bpm_of(finding)
        quarters = bpm * float(pattern.meters.bars[0].meter.tempo_unit)
        assert bpm >= BPM_RANGE[0]
        assert quarters < pace
        slower = playability(pattern, player, quarters, hand=hand)
        assert (finding.rule, finding.limb) not in by_key(slower)


@given(plain_patterns, players, paces, hands)
def test_the_tempo_it_says_is_not_slower_than_need_be(pattern: Pattern, player: Player, pace: float, hand: str) -> None:
    """One more beat a minute, and it is found again."""
    unit = float(pattern.meters.bars[0].meter.tempo_unit)
    for finding in playability(pattern, player, pace, hand=hand):
        if not finding.ways[0].startswith("play it at"):
            assert pace * finding.share < BPM_RANGE[0] * unit
        elif (bpm_of(finding) + 1) * unit < pace:
            faster = playability(pattern, player, (bpm_of(finding) + 1) * unit, hand=hand)
            assert (finding.rule, finding.limb) in by_key(faster)


@given(any_patterns, players, paces, hands)
def test_fastest_can_be_played(pattern: Pattern, player: Player, pace: float, hand: str) -> None:
    """It is no faster than what was asked for, and 0 only where no tempo would do."""
    quarters = fastest(pattern, player, pace, hand=hand)
    assert 0 <= quarters <= pace
    if quarters:
        assert not playability(pattern, player, quarters, hand=hand)
    else:
        assert playability(pattern, player, 1, hand=hand)


@given(st.one_of(plain_patterns, any_patterns.map(without_rolls)), players, paces, hands)
def test_a_few_percent_faster_cannot(pattern: Pattern, player: Player, pace: float, hand: str) -> None:
    """Also with graces; a diddle may come so near another hand's graces that nothing is sure."""
    quarters = fastest(pattern, player, pace, hand=hand)
    if 0 < quarters < pace:
        assert playability(pattern, player, min(pace, quarters * 1.03), hand=hand)


@given(any_patterns, players, paces, hands)
def test_findings_stand_in_order_and_once(pattern: Pattern, player: Player, pace: float, hand: str) -> None:
    """One of each rule and limb, in order of place, at a stroke, with a share of the tempo below 1 and a way out."""
    found = playability(pattern, player, pace, hand=hand)
    assert [finding.onset for finding in found] == sorted(finding.onset for finding in found)
    assert len(by_key(found)) == len(found)
    onsets = set(pattern.onsets)
    for finding in found:
        assert finding.onset in onsets
        assert 1 <= finding.places <= len(onsets)
        assert 0 <= finding.share < 1
        assert finding.ways
        assert "{" not in str(finding)


@fewer
@given(whole_maps(), players, paces)
def test_silence_is_playable(over: Meters, player: Player, pace: float) -> None:
    """A pattern of no hits has no findings, whatever the player, and any tempo will do."""
    silent = Pattern((), over, EVEN)
    assert playability(silent, player, pace) == ()
    assert fastest(silent, player, pace) == pace
    assert playability(Pattern((), Meters(())), player, pace) == ()


@fewer
@given(paces, players, st.sampled_from(sorted(PLACES)))
def test_one_stroke_a_bar_is_playable(pace: float, player: Player, label: str) -> None:
    """On any surface, by any limb that plays."""
    limb = RF if label in ("bass", "floor", "hat-foot") else RH
    pattern = bars(Hit(F(0), limb, label))
    assert set(named(playability(pattern, player, pace))) <= {"absent"}
