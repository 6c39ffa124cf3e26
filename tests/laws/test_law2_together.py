"""Law 2: ``|`` is associative and commutative where it is defined; silence of its span is its identity."""

from fractions import Fraction
from math import lcm

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import ClashError, FeelError, KitgenError, PatternError
from kitgen.kit import Limb
from kitgen.pattern import EVEN, Feel, Hit, Pattern, over, silence
from kitgen.time import Meter, Meters, count_name
from tests.strategies import any_meters, feels, fewer, maps, patterns


@st.composite
def layers(
    draw: st.DrawFn, *limbs: tuple[Limb, ...], lengths: bool = False, feel: st.SearchStrategy[Feel] | None = None
) -> tuple[Pattern, ...]:
    """Patterns whose spans divide one another, one for each group of limbs, under maps that repeat one map."""
    base = draw(maps())
    turns, found = 1, []
    alike = draw(feel) if feel is not None else EVEN
    for group in limbs:
        turns *= draw(st.sampled_from((1, 1, 2)))
        strategy = patterns(
            over=st.just(base * turns), limbs=group, parts=(1, 2, 3), ornaments=False, lengths=lengths,
            feel=st.just(alike),
        )  # fmt: skip
        found.append(draw(strategy))
    return tuple(draw(st.permutations(found)))


RH, LH, RF, LF = Limb


@given(layers((RH,), (LH, RF), (LF,), lengths=True, feel=feels))
def test_is_associative(three: tuple[Pattern, Pattern, Pattern]) -> None:
    """Law 2: ``|`` is associative, also where the shorter tile, holds wrap and meters change."""
    a, b, c = three
    assert (a | b) | c == a | (b | c)


@given(layers((RH,), (LH, RF, LF), lengths=True, feel=feels))
def test_is_commutative(two: tuple[Pattern, Pattern]) -> None:
    """Law 2: ``|`` is commutative."""
    a, b = two
    assert a | b == b | a


@fewer
@given(layers(tuple(Limb), tuple(Limb), lengths=True))
def test_is_defined_both_ways_or_neither(two: tuple[Pattern, Pattern]) -> None:
    """Law 2: what cannot sound together cannot whichever side it stands on, for the same reason."""
    a, b = two
    outcomes: list[object] = []
    for first, second in ((a, b), (b, a)):
        try:
            outcomes.append(first | second)
        except KitgenError as error:
            outcomes.append(type(error))
    assert outcomes[0] == outcomes[1]


@fewer
@given(layers((RH, LH), (RF, LF), (RF,)))
def test_grouping_only_decides_where_it_is_defined(three: tuple[Pattern, Pattern, Pattern]) -> None:
    """Law 2: where feet may clash, either grouping that is defined gives what the other gives."""
    a, b, c = three
    try:
        left: Pattern | None = (a | b) | c
    except ClashError:
        left = None
    try:
        right: Pattern | None = a | (b | c)
    except ClashError:
        right = None
    assert left == right


@given(patterns(lengths=True, feel=feels))
def test_silence_of_its_span_is_the_identity(p: Pattern) -> None:
    """Law 2: silence of a pattern's span, meters and feel is its identity."""
    rest = silence(p.meters, feel=p.feel)
    assert p | rest == p == rest | p


@fewer
@given(layers((RH, LH), (RF, LF), lengths=True))
def test_the_shorter_tiles(two: tuple[Pattern, Pattern]) -> None:
    """Law 2: the longer keeps its span, and the shorter is there as often as it goes into it."""
    a, b = two
    both = a | b
    assert both.span == max(a.span, b.span)
    for p in two:
        own = tuple(hit for hit in both.hits if hit.limb in p.limbs)
        assert own == (p * int(both.span / p.span)).hits


@fewer
@given(any_meters, st.integers(2, 5), st.integers(2, 5))
def test_what_does_not_divide_names_the_bars_where_it_meets(meter: Meter, m: int, n: int) -> None:
    """Law 2: spans that do not divide are an error naming their least common multiple in bars; to_lcm goes there."""
    a, b = silence(Meters.of(meter, m)), silence(Meters.of(meter, n))
    if m % n and n % m:
        with pytest.raises(PatternError, match=rf"they meet after {lcm(m, n)} bars: use over\(\.\.\., to_lcm=True\)"):
            a | b
    else:
        assert (a | b).span == max(a.span, b.span)
    assert over(a, b, to_lcm=True) == silence(Meters.of(meter, lcm(m, n)))


@fewer
@given(layers((RH,), (LF,), lengths=True))
def test_to_lcm_changes_nothing_that_divides(two: tuple[Pattern, Pattern]) -> None:
    """Law 2: where ``|`` is defined, going to the least common multiple gives the same."""
    a, b = two
    assert over(a, b, to_lcm=True) == a | b == over(a, b)


def test_three_beats_against_four_meet_after_three_bars() -> None:
    """Law 2: a 3-quarter cell against a bar of 4/4 meets it again after 3 bars, and says so."""
    three = Pattern((Hit(Fraction(0), RH, "ride"),), Meters(((Meter(4, 4), Fraction(3)),)))
    four = Pattern((Hit(Fraction(0), RF, "bass"),), Meters.of(Meter(4, 4)))
    with pytest.raises(PatternError, match=r"3 quarters and one of 4 do not fit .* they meet after 3 bars"):
        three | four
    both = over(three, four, to_lcm=True)
    assert [hit.onset for hit in both.hits if hit.limb is RH] == [0, 3, 6, 9]
    assert [hit.onset for hit in both.hits if hit.limb is RF] == [0, 4, 8]


@fewer
@given(patterns(limbs=(LH,), ornaments=False), st.data())
def test_a_clash_names_limb_bar_and_count(p: Pattern, data: st.DataObject) -> None:
    """Law 2: two surfaces for one limb at one instant is an error that names limb, both surfaces, bar and count."""
    if not p.hits:
        return
    struck = data.draw(st.sampled_from(p.hits))
    other = "cowbell" if struck.surface != "cowbell" else "ride"
    with pytest.raises(ClashError) as caught:
        p | Pattern((Hit(struck.onset, LH, other),), p.meters)
    said = str(caught.value)
    for part in ("left hand (LH)", struck.surface, other, count_name(p.meters, struck.onset)):
        assert part in said


@fewer
@given(patterns(limbs=(RF,), ornaments=False), feels, feels)
def test_two_feels_are_an_error(p: Pattern, first: Feel, second: Feel) -> None:
    """Law 2: two different feels are an error that names both."""
    one, other = p.with_feel(first), silence(p.meters, feel=second)
    if first == second:
        assert one | other == one
    else:
        with pytest.raises(FeelError) as caught:
            one | other
        assert f"{first} and {second}" in str(caught.value)


def test_different_meters_are_an_error() -> None:
    """Law 2: one span under two meters is an error that names both and the way out."""
    with pytest.raises(PatternError, match=r"1 x 3/4 against 1 x 6/8.*\.under\(meters\)"):
        silence(Meter(3, 4)) | silence(Meter(6, 8))
