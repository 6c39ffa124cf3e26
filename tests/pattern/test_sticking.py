"""Hands for strokes: what comes out for music, what is respected, and the laws of the search."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import PatternError
from kitgen.kit import PLAYERS, Limb, LimbProfile, Player, player
from kitgen.line import Line
from kitgen.pattern import Hit, Level, Ornament
from kitgen.pattern.sticking import Stroke, explained, stick, sticking_cost
from kitgen.time import Meter, Meters
from tests.strategies import fewer

BAR = Meters.of(Meter(4, 4))
DRUMS = ("snare", "high-tom", "mid-tom", "floor-tom", "ride", "crash", "closed-hat")
PACES = st.sampled_from((50.0, 76.0, 100.0, 132.0, 180.0))
LEVELS = st.sampled_from(list(PLAYERS.values()))


def letters(hits: tuple[Hit, ...]) -> str:
    """R and L, in time order."""
    return "".join(hit.limb.name[0] for hit in sorted(hits, key=lambda hit: hit.onset))


def on_snare(text: str, meter: str = "4/4") -> tuple[list[Stroke], Meters]:
    """A typed line as strokes on the snare."""
    line = Line.parse(text, meter)
    return [Stroke(onset, "snare") for onset in line.onsets], line.meters


@st.composite
def free_strokes(draw: st.DrawFn) -> list[Stroke]:
    """Single strokes on a sixteenth or triplet grid round the drums, some with ornaments."""
    grid = draw(st.sampled_from((Fraction(1, 4), Fraction(1, 3), Fraction(1, 2))))
    places = draw(st.lists(st.integers(0, int(4 / grid) - 1), min_size=1, max_size=9, unique=True))
    ornaments = st.sampled_from((None, None, None, Ornament.FLAM, Ornament.DIDDLE, Ornament.DRAG, Ornament.BUZZ))
    return [
        Stroke(grid * place, draw(st.sampled_from(DRUMS)), Level.NORMAL, draw(ornaments)) for place in sorted(places)
    ]


@pytest.mark.parametrize(
    ("line", "meter", "hands"),
    [
        ("1 & 2 & 3 & 4 &", "4/4", "RLRLRLRL"),
        ("1 2 3 & 4", "4/4", "RRRLR"),
        ("xxxx xxxx xxxx xxxx", "4/4", "RLRL" * 4),
        ("x.xx xx.x x..x .xx.", "4/4", "RRLRLLRLLR"),
        ("xxx xxx xxx xxx", "4/4", "RLRLRLRLRLRL"),
        ("xxxxxx xxxxxx", "2/4", "RLRLRLRLRLRL"),
        ("xxx xxx", "6/8", "RLRLRL"),
    ],
)
def test_natural_hands_come_out(line: str, meter: str, hands: str) -> None:
    """Plain lines on one drum get the hands a teacher would write (common practice)."""
    strokes, meters = on_snare(line, meter)
    assert letters(stick(strokes, meters, pace=90)) == hands


def test_round_the_drums_into_a_crash() -> None:
    """Sixteenths down the drums alternate, and the crash on the right is the right hand's."""
    drums = ["snare"] * 4 + ["high-tom"] * 4 + ["mid-tom"] * 4 + ["floor-tom"] * 3
    strokes = [Stroke(Fraction(index, 4), drum) for index, drum in enumerate(drums)] + [Stroke(Fraction(4), "crash")]
    hits = stick(strokes, Meters.of(Meter(4, 4), 2), pace=90)
    assert letters(hits) == "RLRLRLRLRLRLRLR" + "R"
    assert hits[-1].limb is Limb.RH


def test_held_hands_are_left_alone() -> None:
    """Strokes beside a ride in the right hand are the left's."""
    ride = [Hit(Fraction(index, 2), Limb.RH, "ride") for index in range(8)]
    strokes = [Stroke(Fraction(index), "snare") for index in range(4)]
    hits = stick(strokes, BAR, pace=90, held=ride)
    assert {hit.limb for hit in hits} == {Limb.LH}
    assert len(hits) == len(strokes)


def test_two_at_once_go_to_their_sides() -> None:
    """Of a floor tom and a snare together the right hand takes the tom; on a left-handed kit the left does."""
    strokes = [Stroke(Fraction(0), "snare"), Stroke(Fraction(0), "floor-tom")]
    assert {(hit.limb, hit.surface) for hit in stick(strokes, BAR, pace=90)} == {
        (Limb.RH, "floor-tom"),
        (Limb.LH, "snare"),
    }
    assert (Limb.LH, "floor-tom") in {(hit.limb, hit.surface) for hit in stick(strokes, BAR, pace=90, hand="left")}


@pytest.mark.parametrize("ornament", [None, Ornament.FLAM])
def test_more_than_two_hands_can_do(ornament: Ornament | None) -> None:
    """Three strokes at once, or a flam beside another stroke, are an error that names the place."""
    many = [Stroke(Fraction(1), "snare", Level.NORMAL, ornament), Stroke(Fraction(1), "ride")]
    if ornament is None:
        many.append(Stroke(Fraction(1), "crash"))
    with pytest.raises(PatternError, match=r'bar 1, count "2": .* a player has two hands'):
        stick(many, BAR, pace=90)


def test_limbs_that_cannot() -> None:
    """An absent hand plays nothing; a hand that stays keeps to one place; a slow one plays less."""
    school = PLAYERS["school"]

    def with_left(profile: LimbProfile) -> Player:
        return Player("one", school.hand, school.foot, school.next_drum, school.across, ((Limb.LH, profile),))

    run, meters = on_snare("xxxx xxxx xxxx xxxx")
    assert letters(stick(run, meters, pace=60, player=with_left(LimbProfile(absent=True)))) == "R" * 16
    slow = letters(stick(run, meters, pace=60, player=with_left(LimbProfile(slow=4))))
    assert slow.count("L") < 8
    moving = [Stroke(Fraction(index), ("snare", "snare", "high-tom", "snare")[index]) for index in range(4)]
    hits = stick(moving, BAR, pace=60, player=with_left(LimbProfile(travels=False)))
    assert all(hit.surface == "snare" for hit in hits if hit.limb is Limb.LH)


@given(free_strokes(), PACES, LEVELS)
def test_left_handed_is_the_mirror(strokes: list[Stroke], pace: float, who: Player) -> None:
    """For the left-handed every hand is the other one."""
    right = stick(strokes, BAR, pace=pace, player=who)
    left = stick(strokes, BAR, pace=pace, player=who.mirrored(), hand="left")
    assert [(hit.onset, hit.limb.mirrored) for hit in right] == [(hit.onset, hit.limb) for hit in left]


@given(free_strokes(), PACES, LEVELS, st.data())
def test_no_other_hands_cost_less(strokes: list[Stroke], pace: float, who: Player, data: st.DataObject) -> None:
    """Whatever hands are drawn, those found cost no more; every stroke is played once, as it was asked for."""
    hits = stick(strokes, BAR, pace=pace, player=who)
    assert [(h.onset, h.surface, h.level, h.ornament) for h in hits] == [tuple(stroke) for stroke in strokes]
    drawn = data.draw(st.lists(st.sampled_from((Limb.RH, Limb.LH)), min_size=len(hits), max_size=len(hits)))
    others = [Hit(h.onset, limb, h.surface, h.level, h.ornament) for h, limb in zip(hits, drawn, strict=True)]
    found = sticking_cost(hits, BAR, pace=pace, player=who)
    assert found <= sticking_cost(others, BAR, pace=pace, player=who)


@fewer
@given(free_strokes(), PACES)
def test_the_parts_are_the_whole(strokes: list[Stroke], pace: float) -> None:
    """What is explained stroke by stroke adds up, names no cost of nothing, and covers every stroke."""
    hits = stick(strokes, BAR, pace=pace)
    choices = explained(hits, BAR, pace=pace)
    assert [choice.hit for choice in choices] == list(hits)
    assert sum(choice.total for choice in choices) == sticking_cost(hits, BAR, pace=pace)
    assert all(cost > 0 for choice in choices for _, cost in choice.costs)


def test_nothing_costs_nothing() -> None:
    """No strokes, no hands, no cost; and feet are nobody's business here."""
    assert stick([], BAR, pace=90) == ()
    assert sticking_cost([Hit(Fraction(0), Limb.RF, "bass")], BAR, pace=90, player=player("beginner")) == 0
