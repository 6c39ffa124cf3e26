"""What one stroke of a hand costs because of another: rebounds, travel, crossing, ornaments, three and four in a row.

Times are in milliseconds: at 60 quarters a minute an onset of 1/10 is 100 of them. The limits are the school player's:
two strokes in a row 90, a rebound 75, three or four in a row 125, sustained 150, the next drum 100, across the kit 200.
"""

from fractions import Fraction
from random import Random

import pytest

from kitgen.errors import KitError, PatternError, UnknownNameError
from kitgen.kit import PLAYERS, Limb, LimbProfile, Player, player
from kitgen.pattern import Hit, Level, Ornament, Pattern
from kitgen.pattern.playability import playability
from kitgen.pattern.sticking import Stroke, explained, stick
from kitgen.time import Meter, Meters

BAR = Meters.of(Meter(4, 4))
RH, LH = Limb.RH, Limb.LH
SCHOOL = player("school")
CANNOT = 1000
Told = tuple[int, Limb, str] | tuple[int, Limb, str, Ornament | None]


def hits_of(*told: Told) -> list[Hit]:
    """Strokes told as milliseconds after the first second, limb, surface and, where there is one, ornament."""
    return [
        Hit(1 + Fraction(one[0], 1000), one[1], one[2], Level.NORMAL, one[3] if len(one) == 4 else None) for one in told
    ]


def costs(*told: Told, who: Player = SCHOOL, hand: str = "right") -> dict[str, int]:
    """What the last of some strokes costs at 60 quarters a minute, whichever hand is the natural one."""
    found = dict(explained(hits_of(*told), BAR, pace=60, player=who, hand=hand)[-1].costs)
    return {name: cost for name, cost in found.items() if name != "lead"}


def one_with(limb: Limb, profile: LimbProfile) -> Player:
    """The school player, with something special about a limb."""
    return Player("one", SCHOOL.hand, SCHOOL.foot, SCHOOL.next_drum, SCHOOL.across, ((limb, profile),))


# ---- one hand --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("first", "second", "bounces"),
    [
        ("snare", "snare", True),
        ("floor-tom", "floor-tom", True),
        ("ride", "ride", False),
        ("crash", "crash", False),
        ("closed-hat", "closed-hat", False),
        ("cross-stick", "snare", False),
        ("rim-shot", "snare", False),
        ("snare", "cross-stick", False),
        ("lap", "lap", False),
    ],
)
def test_only_a_drum_gives_a_rebound(first: str, second: str, bounces: bool) -> None:  # noqa: FBT001
    """A second stroke 80 after the first is the bounce of a stick off a drum; off anything else it cannot be."""
    assert (costs((0, LH, first), (80, LH, second))["rate"] > CANNOT) is not bounces
    assert costs((0, LH, first), (95, LH, second))["rate"] < CANNOT


@pytest.mark.parametrize("surface", ["ride", "crash", "closed-hat", "floor-shell"])
def test_a_drag_needs_a_drum(surface: str) -> None:
    """The two graces of a drag are a rebound, which a cymbal or a shell does not give; a flam is no rebound."""
    assert costs((0, RH, surface, Ornament.DRAG))["bounce"] == CANNOT
    assert "bounce" not in costs((0, RH, surface, Ornament.FLAM))
    assert not costs((0, RH, "mid-tom", Ornament.DRAG))


def test_a_run_on_a_cymbal_ends_as_it_began() -> None:
    """Hands that take turns on the ride go on to the last stroke: no double there; on the snare none either."""
    for surface in ("ride", "crash", "snare"):
        run = [Stroke(Fraction(place, 3), surface) for place in range(12)]
        hits = stick(run, BAR, pace=120)
        assert "".join(hit.limb.name[0] for hit in hits) == "RL" * 6


def test_a_slow_double_on_a_cymbal_is_one_hand() -> None:
    """Two strokes alone on the ride, no closer than a hand can sustain, are no reason to reach over."""
    pair = [Stroke(Fraction(0), "ride"), Stroke(Fraction(1, 6), "ride")]
    assert {hit.limb for hit in stick(pair, BAR, pace=60)} == {RH}


def test_in_a_row_means_at_speed() -> None:
    """A stroke that came slowly before two quick ones makes no three in a row."""
    assert set(costs((0, RH, "snare"), (150, RH, "snare"), (300, RH, "snare"))) >= {"double", "triple"}
    slow = costs((0, RH, "snare"), (200, RH, "snare"), (350, RH, "snare"))
    assert "double" in slow
    assert "triple" not in slow


@pytest.mark.parametrize(
    ("times", "playable"),
    [
        ((0, 100, 250), True),
        ((0, 100, 240), False),
        ((0, 100, 250, 350), False),
        ((0, 100, 270, 375), True),
        ((0, 100, 250, 400), True),
        ((0, 90, 290, 380), True),
    ],
)
def test_three_and_four_in_a_row(times: tuple[int, ...], playable: bool) -> None:  # noqa: FBT001
    """The mean of two or three gaps may not be less than 125, whatever the gaps are; four are counted as three are."""
    assert (costs(*((ms, RH, "snare") for ms in times)).get("rate") != CANNOT) is playable


def test_what_nobody_can_play_is_still_shared_in_turns() -> None:
    """Sextuplets far beyond a beginner alternate: two strokes of a hand in a row would be worse than three too soon."""
    run = [Stroke(Fraction(place, 6), "snare") for place in range(18)]
    hits = stick(run, BAR, pace=120, player=player("beginner"))
    assert "".join(hit.limb.name[0] for hit in hits) == "RL" * 9
    assert costs((0, RH, "ride"), (80, RH, "ride"), (160, RH, "ride"))["rate"] == 3 * CANNOT


# ---- both hands ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("right", "left", "cost"),
    [
        ("snare", "floor-tom", CANNOT),
        ("closed-hat", "floor-tom", CANNOT),
        ("high-tom", "ride", CANNOT),
        ("high-tom", "mid-tom", 1),
        ("snare", "mid-tom", 1),
        ("mid-tom", "floor-tom", 1),
        ("floor-tom", "snare", 0),
        ("closed-hat", "snare", 0),
        ("mid-tom", "high-tom", 0),
    ],
)
def test_crossing_at_once_costs_as_crossing_soon(right: str, left: str, cost: int) -> None:
    """The left hand to the right of the right hand costs the same at one instant as 60 later, in any hand setting."""
    for hand, first, second in (("right", RH, LH), ("left", LH, RH)):
        for gap in (0, 60):
            told = explained(hits_of((0, first, right), (gap, second, left)), BAR, pace=60, hand=hand)
            assert sum(dict(choice.costs).get("crossing", 0) for choice in told) == cost


def test_time_in_both_hands_leaves_the_drum_between_natural() -> None:
    """Open-handed with ride and hat at once it does not matter which hand has which for the stroke between."""
    for first, second in (("ride", "closed-hat"), ("closed-hat", "ride")):
        around = [(ms, limb, label) for ms in (0, 1000) for limb, label in ((RH, first), (LH, second))]
        middle = [
            choice
            for choice in explained(hits_of(*around, (500, RH, "snare")), BAR, pace=60, hand="open")
            if choice.hit.surface == "snare"
        ]
        assert dict(middle[0].costs) == {"lead": 3}


# ---- ornaments -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("ornament", [Ornament.FLAM, Ornament.DRAG])
def test_graces_need_the_other_hand_free(ornament: Ornament) -> None:
    """Not at the same instant, not on its way from elsewhere, not on its way on, not one stroke too many in a row."""
    assert explained(hits_of((0, RH, "snare", ornament), (0, LH, "snare")), BAR, pace=60)[0].costs[-1] == (
        "grace",
        CANNOT,
    )
    assert costs((0, LH, "floor-tom"), (120, RH, "snare", ornament))["grace"] == CANNOT
    assert costs((0, LH, "high-tom"), (155, RH, "snare", ornament)) == {"grace": 1}
    assert costs((0, LH, "snare"), (250, RH, "snare", ornament)) == {}
    assert costs((0, RH, "snare", ornament), (60, LH, "high-tom"))["grace"] == CANNOT
    assert "grace" not in costs((0, RH, "snare", ornament), (120, LH, "high-tom"))
    assert costs((0, LH, "snare"), (140, RH, "snare", ornament), (210, LH, "snare"))["grace"] == CANNOT


@pytest.mark.parametrize(("ornament", "room"), [(Ornament.BUZZ, 125), (Ornament.DIDDLE, 250)])
def test_a_roll_takes_room_of_its_hand(ornament: Ornament, room: int) -> None:
    """A buzz or a diddle is over before its hand strikes again, or plays graces, and no other hand waits for it."""
    assert costs((0, LH, "snare", ornament), (room - 5, LH, "snare"))["room"] == CANNOT
    assert "room" not in costs((0, LH, "snare", ornament), (room, LH, "snare"))
    assert costs((0, LH, "snare", ornament), (room + 25, RH, "snare", Ornament.FLAM))["grace"] == CANNOT
    assert "grace" not in costs((0, LH, "snare", ornament), (room + 35, RH, "snare", Ornament.FLAM))
    assert "room" not in costs((0, LH, "snare", ornament), (90, RH, "snare"))


def test_a_diddle_leaves_less_time_to_travel() -> None:
    """The second stroke of a diddle is in the way: half of 380 is not enough to cross the kit, half of 400 is."""
    assert costs((0, RH, "snare", Ornament.DIDDLE), (380, RH, "ride"))["travel"] == CANNOT
    assert costs((0, RH, "snare", Ornament.DIDDLE), (400, RH, "ride")) == {"travel": 3}
    assert "travel" not in costs((0, RH, "snare"), (380, RH, "ride"))


def test_a_diddle_is_three_in_a_row_with_the_stroke_before() -> None:
    """At 150 quarters a minute half an eighth is 100, and 125 a stroke is needed."""
    for gap, playable in ((Fraction(35, 100), False), (Fraction(38, 100), True)):
        hits = [Hit(Fraction(0), RH, "snare"), Hit(gap, RH, "snare", Level.NORMAL, Ornament.DIDDLE)]
        last = dict(explained(hits, BAR, pace=150)[-1].costs)
        assert (last.get("room") != CANNOT) is playable


# ---- hands that stay -------------------------------------------------------------------------------------------------


def test_a_hand_that_stays_keeps_to_a_place() -> None:
    """Its home is the place it strikes most, with rim and shell of the drum, graces for the other hand counted."""
    stays = one_with(LH, LimbProfile(travels=False))
    rim = explained(hits_of((0, LH, "snare"), (500, LH, "rim-shot")), BAR, pace=60, player=stays)
    assert all("stays" not in dict(choice.costs) for choice in rim)
    told = hits_of((0, LH, "high-tom"), (500, RH, "snare", Ornament.FLAM), (999, RH, "snare", Ornament.FLAM))
    high, flam, again = (dict(choice.costs) for choice in explained(told, BAR, pace=60, player=stays))
    assert high["stays"] == CANNOT
    assert "grace" not in flam | again


# ---- what cannot be --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("onset", [Fraction(4), Fraction(17, 4), Fraction(-1, 4)])
def test_a_stroke_outside_the_meters(onset: Fraction) -> None:
    """It is an error that says where the meters end, for strokes and for those whose hand is settled."""
    inside = Stroke(Fraction(0), "snare")
    with pytest.raises(PatternError, match=f"at {onset} quarters; these meters last from 0 to 4"):
        stick([inside, Stroke(onset, "snare")], BAR, pace=90)
    if onset >= 0:
        with pytest.raises(PatternError, match="from 0 to 4"):
            stick([inside], BAR, pace=90, held=[Hit(onset, RH, "ride")])
        with pytest.raises(PatternError, match="from 0 to 4"):
            explained([Hit(onset, RH, "ride")], BAR, pace=90)


def test_words_that_mean_nothing() -> None:
    """A surface for feet or of no kit, a pace that is none, a hand setting that is none."""
    with pytest.raises(KitError, match=r"cannot play bass; it is played with a foot"):
        stick([Stroke(Fraction(0), "bass")], BAR, pace=90)
    with pytest.raises(UnknownNameError, match="snare"):
        stick([Stroke(Fraction(0), "snair")], BAR, pace=90)
    with pytest.raises(PatternError, match="a pace of 0"):
        stick([Stroke(Fraction(0), "snare")], BAR, pace=0)
    with pytest.raises(UnknownNameError, match="left"):
        stick([Stroke(Fraction(0), "snare")], BAR, pace=90, hand="lefft")


# ---- beside playability ----------------------------------------------------------------------------------------------

ROUND = ("snare", "snare", "high-tom", "mid-tom", "floor-tom", "ride", "crash", "closed-hat")


def some_hits(random: Random) -> list[Hit]:
    """A few strokes of both hands round the kit on a fine grid, flams and buzzes among them."""
    grid = random.choice((Fraction(1, 3), Fraction(1, 4), Fraction(1, 6), Fraction(1, 8)))
    hits = []
    for place in sorted(random.sample(range(8), random.randint(2, 6))):
        limbs = (RH, LH) if random.random() < 0.15 else (random.choice((RH, LH)),)
        for limb in limbs:
            ornament = (
                random.choice((None, None, None, None, Ornament.FLAM, Ornament.BUZZ)) if len(limbs) == 1 else None
            )
            hits.append(Hit(grid * place, limb, random.choice(ROUND), Level.NORMAL, ornament))
    return hits


def test_what_cannot_be_played_is_what_playability_finds() -> None:
    """Of strokes drawn at random those cost too much that playability would refuse, but for the mean over a bar."""
    random, both = Random(7), [0, 0]
    for _ in range(400):
        hits, who, pace = some_hits(random), random.choice(list(PLAYERS.values())), random.choice((60.0, 90.0, 140.0))
        told = explained(hits, BAR, pace=pace, player=who)
        hard = any(cost >= CANNOT for choice in told for _, cost in choice.costs)
        found = {one.rule for one in playability(Pattern(tuple(hits), BAR), who, pace, loops=False)} - {"sustained"}
        assert hard is bool(found), f"{hits} at {pace} for the {who.name} player: {told}, {found}"
        both[hard] += 1
    assert min(both) > 100
