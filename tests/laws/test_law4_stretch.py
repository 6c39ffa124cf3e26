"""Law 4: stretch(a) then stretch(b) is stretch(ab)."""

from fractions import Fraction

from hypothesis import given

from kitgen.pattern import Pattern, stretch
from tests.strategies import factors, feels, fewer, patterns


@given(patterns(lengths=True, feel=feels), factors, factors)
def test_stretches_multiply(p: Pattern, a: Fraction, b: Fraction) -> None:
    """Law 4: stretching by a then b is stretching by ab, with any factors, holds, short bars and changes of meter."""
    assert stretch(stretch(p, a), b) == stretch(p, a * b)


@fewer
@given(patterns(lengths=True, feel=feels), factors)
def test_a_stretch_can_be_taken_back(p: Pattern, a: Fraction) -> None:
    """Law 4: stretching by 1 changes nothing, so stretching by 1/a takes back stretching by a."""
    assert stretch(p, 1) == p
    assert stretch(stretch(p, a), 1 / a) == p


@fewer
@given(patterns(lengths=True), factors)
def test_everything_is_stretched(p: Pattern, a: Fraction) -> None:
    """Law 4: onsets, lengths and the span are all multiplied; limbs, surfaces, levels and ornaments stay."""
    longer = stretch(p, a)
    assert longer.span == p.span * a
    for before, after in zip(p.hits, longer.hits, strict=True):
        assert after.at(before.onset).length == (None if before.length is None else before.length * a)
        assert after.onset == before.onset * a
        kept = (before.limb, before.surface, before.level, before.ornament)
        assert (after.limb, after.surface, after.level, after.ornament) == kept
