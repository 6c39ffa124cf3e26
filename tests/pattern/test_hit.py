"""One stroke of one limb on one surface."""

import re
from fractions import Fraction

import pytest

from kitgen.errors import KitError, PatternError, UnknownNameError
from kitgen.kit import SURFACES, Limb
from kitgen.pattern import Hit, Level, Ornament

F = Fraction


def test_whole_numbers_are_exact_too() -> None:
    """Whole numbers stand for quarters and make the same hit as fractions."""
    hit = Hit(1, Limb.RH, "ride", length=2)  # type: ignore[arg-type]
    assert hit == Hit(F(1), Limb.RH, "ride", length=F(2))
    assert isinstance(hit.onset, Fraction)
    assert isinstance(hit.length, Fraction)


@pytest.mark.parametrize(
    ("arguments", "error", "said"),
    [
        ({"onset": 0.5}, PatternError, "an onset of 0.5; positions are exact: give a Fraction or an int, in quarters"),
        ({"onset": "1/2"}, PatternError, "an onset of '1/2'; positions are exact"),
        ({"onset": None}, PatternError, "an onset of None; positions are exact"),
        ({"onset": F(-1, 2)}, PatternError, "a hit at -1/2 quarters; a pattern starts at 0"),
        ({"length": 0.5}, PatternError, "a length of 0.5; positions are exact"),
        ({"length": F(0)}, PatternError, "a hit lasting 0 quarters; a length is more than 0, or left out"),
        ({"length": F(-1)}, PatternError, "a hit lasting -1 quarters"),
        ({"surface": "gong"}, UnknownNameError, "no surface is called 'gong'"),
        ({"surface": "snair"}, UnknownNameError, "no surface is called 'snair'; did you mean snare"),
        ({"surface": "bass"}, KitError, "the right hand (RH) cannot play bass; it is played with a foot: RF, LF"),
        ({"limb": Limb.RF}, KitError, "the right foot (RF) cannot play snare; it is played with a hand: RH, LH"),
        (
            {"limb": Limb.LF, "surface": "hat-foot", "ornament": Ornament.FLAM},
            PatternError,
            "a flam on the left foot; ornaments are for the hands",
        ),
        (
            {"limb": Limb.RF, "surface": "bass", "ornament": Ornament.BUZZ},
            PatternError,
            "a buzz on the right foot; ornaments are for the hands",
        ),
    ],
    ids=repr,
)
def test_a_hit_that_cannot_be(arguments: dict[str, object], error: type[Exception], said: str) -> None:
    """A hit that cannot be is refused with what was given and what is allowed."""
    given = {"onset": F(0), "limb": Limb.RH, "surface": "snare", **arguments}
    with pytest.raises(error, match=re.escape(said)):
        Hit(**given)  # type: ignore[arg-type]


@pytest.mark.parametrize("label", SURFACES)
def test_every_surface_is_for_hands_or_for_feet(label: str) -> None:
    """Every surface can be struck by two limbs, and only by those."""
    able = []
    for limb in Limb:
        try:
            able.append(Hit(F(0), limb, label).limb)
        except KitError:
            continue
    assert able in ([Limb.RH, Limb.LH], [Limb.RF, Limb.LF])


def test_levels_in_order() -> None:
    """Levels go from feather to accent, a character each."""
    assert sorted(Level) == [Level.FEATHER, Level.GHOST, Level.TAP, Level.NORMAL, Level.ACCENT]
    assert "".join(level.char for level in sorted(Level)) == "fgtxX"


def test_which_ornaments_need_the_other_hand() -> None:
    """Flams and drags have grace notes of the other hand, diddles and buzzes do not."""
    assert [ornament for ornament in Ornament if ornament.has_graces] == [Ornament.FLAM, Ornament.DRAG]


def test_moved_it_keeps_all_else() -> None:
    """The same stroke elsewhere keeps limb, surface, level, ornament and length."""
    hit = Hit(F(1), Limb.LH, "snare", Level.GHOST, Ornament.DRAG, F(1, 2))
    assert hit.at(F(3)) == Hit(F(3), Limb.LH, "snare", Level.GHOST, Ornament.DRAG, F(1, 2))
