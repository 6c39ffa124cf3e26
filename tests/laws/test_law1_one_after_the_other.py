"""Law 1: ``+`` is associative, silence of span 0 is its identity, spans add."""

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import PatternError
from kitgen.kit import Limb
from kitgen.line import Line
from kitgen.pattern import Feel, Hit, Pattern, silence
from kitgen.time import Meter, Meters
from tests.strategies import feels, fewer, held_pieces, lines, maps, patterns, pieces


@given(pieces, pieces, pieces, feels)
def test_is_associative(a: Pattern, b: Pattern, c: Pattern, feel: Feel) -> None:
    """Law 1: ``+`` is associative in one feel, whatever meters and short bars meet."""
    a, b, c = (p.with_feel(feel) for p in (a, b, c))
    assert (a + b) + c == a + (b + c)
    assert (a + b + c).feel == feel


@given(held_pieces, held_pieces, held_pieces)
def test_is_associative_where_holds_leave_room(a: Pattern, b: Pattern, c: Pattern) -> None:
    """Law 1: holds that run past the end keep ``+`` associative wherever nothing strikes into them."""
    with suppress(PatternError):
        assert (a + b) + c == a + (b + c)


@given(patterns(lengths=True, feel=feels))
def test_silence_of_no_span_is_the_identity(p: Pattern) -> None:
    """Law 1: silence of span 0 is the identity of ``+`` on both sides, whatever the feel."""
    assert silence() + p == p == p + silence()


@fewer
@given(pieces, pieces)
def test_spans_and_hits_add(a: Pattern, b: Pattern) -> None:
    """Law 1: spans add; the second's hits come later by the first's span."""
    both = a + b
    assert both.span == a.span + b.span
    assert both.meters == a.meters + b.meters
    assert both.hits == a.hits + tuple(hit.at(hit.onset + a.span) for hit in b.hits)


@fewer
@given(patterns(lengths=True, feel=feels), st.integers(0, 4))
def test_repeating_is_adding(p: Pattern, times: int) -> None:
    """Law 1: ``*`` is ``+`` so many times over, also for holds that run past the end."""
    added = silence()
    for _ in range(times):
        added += p
    assert p * times == added


@fewer
@given(pieces, st.integers(0, 3), st.integers(0, 3))
def test_repeats_multiply(p: Pattern, m: int, n: int) -> None:
    """Law 1: repeating m times, then n times, is repeating m*n times, and m and n repeats add up."""
    assert p * m * n == p * (m * n)
    assert p * m + p * n == p * (m + n)


@fewer
@given(maps(max_runs=3), maps(), maps())
def test_meters_add_alike(a: Meters, b: Meters, c: Meters) -> None:
    """Law 1: the maps of meters add as the patterns do: associative, the empty map the identity, spans add."""
    assert (a + b) + c == a + (b + c)
    assert Meters() + a == a == a + Meters()
    assert (a + b).span == a.span + b.span
    assert a * 3 == a + a + a


@fewer
@given(lines(maps()), lines(maps()), lines(maps()))
def test_lines_add_alike(a: Line, b: Line, c: Line) -> None:
    """Law 1: lines one after the other are associative, with repeats and spans as patterns have them."""
    assert (a + b) + c == a + (b + c)
    assert a * 2 == a + a


def test_a_hold_into_a_stroke_is_refused() -> None:
    """Law 1: a hold past the end of the first that meets a stroke of the second is an error that says where."""
    roll = Pattern((Hit(Fraction(3), Limb.LH, "snare", length=Fraction(2)),), Meters.of(Meter(4, 4)))
    stroke = Pattern((Hit(Fraction(0), Limb.LH, "snare"),), Meters.of(Meter(4, 4)))
    with pytest.raises(PatternError, match=r'left hand at bar 1, count "4" lasts 2 quarters, past .* 1 quarters later'):
        roll + stroke


def test_two_feels_do_not_follow_each_other() -> None:
    """Law 1: ``+`` of two feels is an error, silence of span 0 has none."""
    bar = silence(Meter(4, 4), feel=Feel(8, Fraction(2)))
    with pytest.raises(PatternError, match="two feels at once: 8 2:1 and even"):
        bar + silence(Meter(4, 4))
    assert bar + silence() == bar
