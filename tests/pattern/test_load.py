"""Coordination load: a worked example, what each part counts, and what must not change it."""

from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise
from math import isclose, log2

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import OptionError, UnknownNameError
from kitgen.kit import Limb, player
from kitgen.pattern import Pattern, mirror, parse_rows, project, silence
from kitgen.pattern.load import PARTS, Load, limb_sets, load_of
from kitgen.pattern.load_weights import USUAL_WEIGHTS, LoadWeights
from kitgen.time import Meter, Meters
from tests.strategies import fewer, patterns, whole_maps

pieces = patterns(over=whole_maps(max_bars=2, max_runs=2), parts=(1, 2, 3, 4, 5, 6))


def load(rows: str, meter: str = "4/4", *, pace: float | None = None) -> Load:
    """The load of box rows."""
    return load_of(parse_rows(rows, meter), pace=pace)


def value(rows: str, part: str, meter: str = "4/4", *, pace: float | None = None) -> float:
    """What is counted for one part of the load of box rows."""
    return load(rows, meter, pace=pace)[part].value


# ---- the whole -------------------------------------------------------------------------------------------------------


def test_a_load_worked_out_by_hand() -> None:
    """Ride quarters and a snare on the & of 2 and 4: every part, counted on paper from the formula."""
    found = load("RH ride x. x. x. x.; LH snare .. .x .. .x")
    by_hand: dict[str, float] = {
        "off_beat": 2 * 1 * 1.15,  # two halves of a beat by the other hand, held by nothing
        "unlike": 4 * 2 / 3 * 1.15,  # each left-hand beat differs by a stroke from two of its next three
        "rhythm": 4 * 2 / 3,  # so do the beats of both hands together; every number is struck and accented
        "strokes": 6,
        "together": 2,  # right, left
        "places": 2,  # right on the number, left on the half
        "changes": 3,  # right to right, right to left, left to right
        "limbs": 2,
        "adrift": 1.15,  # the left hand
        "cycle": 1,  # two beats
    }
    for part in found.parts:
        assert isclose(part.value, by_hand.get(part.name, 0)), part
        assert bool(part.worst) is bool(part.value)
    assert found.total == 19.3


@pytest.mark.parametrize("pattern", [silence(), silence(Meter(4, 4)), silence(Meters.of(Meter(7, 8), 3))])
def test_silence_is_no_load(pattern: Pattern) -> None:
    """Nothing struck costs nothing but its meter, whatever is asked."""
    found = load_of(pattern, pace=200, met=())
    assert {part.name for part in found.heaviest_first} <= {"meter"}


@fewer
@given(pieces)
def test_a_load_is_the_sum_of_its_parts(pattern: Pattern) -> None:
    """Every part is there, none below 0, those above 0 say what drives them, and they add up."""
    found = load_of(pattern, pace=120, met=())
    assert [part.name for part in found.parts] == list(PARTS)
    assert all(part.value >= 0 and bool(part.worst) is (part.value > 0) for part in found.parts)
    assert isclose(
        found.total, sum(part.value * getattr(USUAL_WEIGHTS, part.name) for part in found.parts), abs_tol=1e-6
    )
    shares = [part.share for part in found.heaviest_first]
    assert shares == sorted(shares, reverse=True)


@given(pieces, st.integers(2, 4))
def test_repeating_changes_nothing(pattern: Pattern, times: int) -> None:
    """A pattern played so many times is the load it was, part by part."""
    once, again = load_of(pattern, pace=90, met=()), load_of(pattern * times, pace=90, met=())
    assert [part._replace(worst="") for part in once.parts] == [part._replace(worst="") for part in again.parts]


@fewer
@given(pieces)
def test_a_left_handed_kit_is_the_same_load(pattern: Pattern) -> None:
    """Left and right swapped on a left-handed kit, every part is what it was."""
    right, left = load_of(pattern, hand="right"), load_of(mirror(pattern), hand="left")
    assert [part.value for part in right.parts] == pytest.approx([part.value for part in left.parts])


def test_the_feet_tell_the_hand() -> None:
    """A bass drum under the left foot is a left-handed kit; without feet the right hand leads."""
    rows = "RH ride .x .x .x .x; RF bass x. x. x. x."
    mirrored = mirror(parse_rows(rows))
    assert load_of(mirrored).total == load(rows).total < load_of(mirrored, hand="right").total
    assert load("RH snare .x .x .x .x").total < load("LH snare .x .x .x .x").total
    assert load("RH snare .x .x .x .x").total == load_of(parse_rows("RH snare .x .x .x .x"), hand="open").total


@fewer
@given(patterns(over=st.sampled_from([Meters.of(Meter(4, 4), bars) for bars in (1, 2)]), parts=(1, 2, 3, 4)))
def test_barlines_do_not_matter(pattern: Pattern) -> None:
    """The same beats in bars of two are the same load, but for where an open hat closes on 1."""
    halves = pattern.under(Meters.of(Meter(2, 4), int(pattern.span / 2)))
    one, other = load_of(pattern), load_of(halves)
    for part in one.parts:
        assert part.name == "hat" or part.value == other[part.name].value


def test_easy_bars_do_not_make_a_hard_one_easier() -> None:
    """A hard bar between easy ones costs off the beat what it costs alone, and more in all."""
    hard = parse_rows("RH ride x.x. x.x. x.x. x.x.; LH snare .x.. ...x .xx. .x..")
    easy = parse_rows("RH ride x.x. x.x. x.x. x.x.; LH snare .... x... .... x...")
    both = load_of(easy * 3 + hard)
    assert both["off_beat"].value >= load_of(hard)["off_beat"].value > load_of(easy)["off_beat"].value
    assert both.total > load_of(hard).total


@fewer
@given(pieces, st.floats(20, 200), st.floats(1.1, 3))
def test_faster_is_never_easier(pattern: Pattern, pace: float, by: float) -> None:
    """Speed is all that a pace adds; it grows with its square."""
    slow, fast = load_of(pattern, pace=pace), load_of(pattern, pace=pace * by)
    assert isclose(fast["speed"].value, slow["speed"].value * by**2, rel_tol=1e-6, abs_tol=1e-6)
    assert [p for p in slow.parts if p.name != "speed"] == [p for p in load_of(pattern).parts if p.name != "speed"]
    assert load_of(pattern)["speed"].value == 0


@fewer
@given(pieces, st.sets(st.frozensets(st.sampled_from(Limb), min_size=2)))
def test_what_was_met_is_not_new(pattern: Pattern, met: set[frozenset[Limb]]) -> None:
    """New are the sets of two limbs or more not met before, one for each limb beyond the first."""
    expected = sum(len(together) - 1 for together in limb_sets(pattern) - met)
    assert load_of(pattern, met=met)["new"].value == expected
    assert load_of(pattern, met=limb_sets(pattern))["new"].value == load_of(pattern)["new"].value == 0


# ---- the parts -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ("RH snare .x .. .. ..", 1),
        ("RH snare ...x .. .. ..", 1.5),
        ("RH snare ..x .. .. ..", 1.5),
        ("RH snare .x.. .. .. ..", 2),
        ("RH snare .x. .. .. ..", 2),
        ("RH snare ..x.. .. .. ..", 2.5),
        ("LH snare .x .. .. ..", 1.15),
        ("RF bass .x .. .. ..", 1.3),
        ("LF hat-foot .x .. .. ..", 1.5),
        ("RH snare xx .. .. ..", 0.25),
        ("RH snare gx .. .. ..", 1),
        ("RH snare xg .. .. ..", 0.25),
        ("RH snare .X .. .. ..", 1.5),
        ("RH snare xX .. .. ..", 1.5),
        ("RH snare .x .. .. ..; RF bass .x .. .. ..", (1 + 1.3) * 0.5),
        ("RH snare xx .. .. ..; RF bass .x .. .. ..", (0.25 + 1.3) * 0.5),
        ("RH snare .x.. .. .. ..; LH snare x.x. .. .. ..", 2 * 0.5 + 1.15 * 0.25),
        ("RH snare .x.. .. .. ..; RF bass x.x. .. .. ..", 2 * 0.75 + 1.3 * 0.25),
        ("RH snare .x.. .. .. ..; LH snare x..x .. .. ..", 2 + 1.5 * 1.15 * 0.25),
        ("RH snare .x .. .. ..; LH snare x. x. x. x.", 1),
    ],
)
def test_off_the_beat(rows: str, expected: float) -> None:
    """A stroke off the beat costs by place and limb, less where the limb's own number or another limb holds it."""
    assert isclose(value(rows, "off_beat"), expected)


@pytest.mark.parametrize(
    ("rows", "expected"), [("x.x x..", 1.5 * 0.25), (".x. ...", 2), ("..x ...", 1.5), (".x ...", 2.5)]
)
def test_off_the_beat_in_threes(rows: str, expected: float) -> None:
    """In 6/8 the eighths are places as thirds are, and the half of a beat stands across them."""
    assert isclose(value(f"RH snare {rows}", "off_beat", "6/8"), expected * 2)  # two beats of four


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ("RH closed-hat xx xx xx xx", 0),
        ("RH open-hat xx xx xx xx", 0),
        ("RH closed-hat xx xx xx x.; RH open-hat .. .. .. .x", 2),
        ("RH closed-hat x. xx xx xx; RH open-hat .x .. .. ..", 3),
        ("RH closed-hat .x xx xx xx; RH open-hat x. .. .. ..", 4),
        ("RH closed-hat xx xx xx ..; RH open-hat .. .. .. xx", 2),
        ("RH closed-hat x. x. x. x.; RH open-hat .x .x .x .x", 2 + 3 * 3),
        ("RH open-hat x. .. .. ..; LF hat-foot .. x. .. ..", 3),
        ("RH open-hat x. .. .. ..; LF hat-foot .x .. .. ..", 4),
        ("RH open-hat xx .. .. ..; LH closed-hat x. .. .. ..", 2),
    ],
)
def test_the_hat(rows: str, expected: float) -> None:
    """Opening costs 2 each time, and closing more the weaker the place, by hand or foot."""
    assert value(rows, "hat") == expected


@pytest.mark.parametrize(
    ("rows", "meter", "expected"),
    [
        ("RH ride x.x .x.; LF hat-foot x.. x..", "2/4", 2),
        ("RH ride x..x ..x. .x..; LF hat-foot x x x", "3/4", 3),
        ("RH ride x...x ...x. ..x.. .x...; LF hat-foot x x x x", "4/4", 4),
        ("RH ride xxx xxx; LF hat-foot x x", "2/4", 0),
        ("RH ride xx xx; LF hat-foot .x .x", "2/4", 0),
        ("RH ride x. x. x. x.; LF hat-foot x. .x .. ..", "4/4", 0),
        ("RH ride x. x. x.; LF hat-foot x. .x ..", "3/4", 2),
        ("RH ride x. x. x.; LF hat-foot .. x. .x", "3/4", 2),
        ("RH ride x.x .x. x.. x..; LF hat-foot x x x x", "4/4", 2),
        ("RH ride .x. x.. x.. x.x; LF hat-foot x x x x", "4/4", 2),
        ("RH ride x.x .x. x..; LH snare x.x .x. x..; LF hat-foot x x x", "3/4", 4),
    ],
)
def test_m_against_n(rows: str, meter: str, expected: float) -> None:
    """Even strokes m against n count the smaller number, wherever a whole turn of both stands, also over the seam."""
    assert value(rows, "cross", meter) == expected


@given(st.integers(1, 9), st.integers(1, 9))
def test_m_against_n_is_the_smaller_number(m: int, n: int) -> None:
    """In lowest terms m against n is the smaller number, 0 where it is 1: as many gaps of different size there are."""
    pattern = parse_rows(f"RH ride {'x' * m}; LF hat-foot {'x' * n}", "1/4")
    ratio = Fraction(m, n)
    smaller = min(ratio.numerator, ratio.denominator)
    assert load_of(pattern)["cross"].value == (smaller if smaller > 1 else 0)
    onsets = [*pattern.onsets, pattern.span]
    gaps = {after - at for at, after in pairwise(onsets)}
    assert smaller == 1 or len(gaps) == smaller


@pytest.mark.parametrize(
    ("meter", "expected"),
    [("4/4", 0), ("3/4", 0), ("2/2", 0), ("6/8", 0), ("12/8", 0), ("5/4", 1), ("7/8", 1), ("3+3+2/8", 1)],
)
def test_meter(meter: str, expected: float) -> None:
    """Even meters add nothing; beats or groups of two sizes add one."""
    assert load_of(silence(Meter.parse(meter)))["meter"].value == expected


def test_changing_meter() -> None:
    """A second meter adds one, and one more where its beats are of another length."""
    four, three, six = (silence(Meter.parse(meter)) for meter in ("4/4", "3/4", "6/8"))
    assert load_of(four + three)["meter"].value == load_of(four + three + four)["meter"].value == 1
    assert load_of(four + six)["meter"].value == 2


@pytest.mark.parametrize(
    ("rows", "beats"),
    [("x x x x", 1), ("x. .x x. .x", 2), ("x. .x x. xx", 4), ("x. .x .. x. .. x. x. ..", 8), ("X x X x", 2)],
)
def test_cycle(rows: str, beats: int) -> None:
    """The length before everything repeats counts its doublings."""
    assert isclose(value(f"LH snare {rows}", "cycle"), log2(beats))


def test_adrift() -> None:
    """A limb that never strikes a number is adrift, one stroke on a number holds it."""
    rows = "RH ride x. x. x. x.; LH snare .x .x .x .x"
    assert load(rows)["adrift"].value == 1.15
    assert load(rows)["adrift"].worst == "LH"
    assert value("RH ride x. x. x. x.; LH snare .x .x .x x.", "adrift") == 0


def test_speed_is_held_against_what_a_limb_can_sustain() -> None:
    """A hand and a foot that go on at a school player's limits add 1 each; at half that pace a quarter."""
    usual = player("school")
    hand, foot = (60_000 / rates.sustained for rates in (usual.hand, usual.foot))
    assert isclose(value("RH snare x x x x", "speed", pace=hand), 1)
    assert isclose(value("RF bass x x x x", "speed", pace=foot), 1)
    assert isclose(value("RF bass x x x x", "speed", pace=foot / 2), 1 / 4)
    assert load("RH snare xx xx xx xx", pace=100)["speed"].worst == "right hand, a stroke every 300 ms"


def test_loud_and_soft_are_unlike() -> None:
    """A ghost where a loud stroke was makes beats unlike and loudness change; taps and ghosts are alike soft."""
    assert value("LH snare x x x x", "unlike") == value("LH snare g t g t", "unlike") == 0
    assert isclose(value("LH snare x g x g", "unlike"), 1.15 * 4 * 2 * 2 / 3)
    assert value("LH snare x g x g", "loudness") == 4


def test_what_drives_a_part_is_named() -> None:
    """The words say limb, bar and count, or which limbs."""
    two = parse_rows("RH ride x. x. x. x.; RF bass x. .. x. ..") + parse_rows(
        "RH ride x. x. x. x.; RF bass x... .. .x.. .."
    )
    found = load_of(two, met=[{Limb.RH, Limb.RF}])
    assert found["off_beat"].worst == 'right foot, bar 2, count "e of 3"'
    assert found["limbs"].worst == "RH+RF"
    assert found["cycle"].worst == "8 beats before it repeats"
    assert load_of(two, met=[])["new"].worst == 'RH+RF, bar 1, count "1"'


def test_more_limbs_more_load() -> None:
    """Samba with every limb is more than with any three, and that more than with any two of them."""
    four = parse_rows("RH ride x.xx x.xx; LH snare ..x. x..x; RF bass x..x x..x; LF hat-foot ..x. ..x.")
    for three in combinations(Limb, 3):
        some = load_of(project(four, *three)).total
        assert load_of(four).total > some
        assert all(some > load_of(project(four, *two)).total for two in combinations(three, 2))


# ---- refusals --------------------------------------------------------------------------------------------------------


def test_refusals() -> None:
    """A pace of nothing, a hand there is not, and a part there is not are refused with what there is."""
    pattern = silence(Meter(4, 4))
    for pace in (0, -60, float("nan")):
        with pytest.raises(OptionError, match="above 0"):
            load_of(pattern, pace=pace)
    with pytest.raises(UnknownNameError, match="right"):
        load_of(pattern, hand="rigth")
    with pytest.raises(UnknownNameError, match="places"):
        load_of(pattern)["place"]


def test_other_weights() -> None:
    """Other numbers weigh the same counts."""
    pattern = parse_rows("RH ride x. x. x. x.; LH snare .x .. .. ..")
    heavier = load_of(pattern, weights=replace(USUAL_WEIGHTS, limbs=5.0))
    assert heavier.total == pytest.approx(load_of(pattern).total + 2 * 3)
    assert load_of(pattern, weights=LoadWeights(half=3))["off_beat"].value == 3.45
