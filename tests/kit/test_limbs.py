"""The four limbs."""

import pytest

from kitgen.errors import UnknownNameError
from kitgen.kit import FEET, HAND_LIMBS, LIMBS, Limb


@pytest.mark.parametrize(
    ("text", "limb", "words"),
    [
        ("RH", Limb.RH, "right hand"),
        ("lh", Limb.LH, "left hand"),
        (" rf ", Limb.RF, "right foot"),
        ("Lf", Limb.LF, "left foot"),
    ],
)
def test_a_limb_is_two_letters(text: str, limb: Limb, words: str) -> None:
    """A limb is read from its two letters in either case, and named as its track is."""
    assert Limb.parse(text) is limb is Limb.parse(limb)
    assert limb.words == words


@pytest.mark.parametrize("text", ["right hand", "RHH", "", "R", "LFT"])
def test_an_unknown_limb(text: str) -> None:
    """What is no limb is refused with what was given and the limbs there are, or the nearest."""
    with pytest.raises(
        UnknownNameError, match=rf"no limb is called '{text}'; (there are: RH, LH, RF, LF|did you mean .H)"
    ):
        Limb.parse(text)


def test_mirrored_twice_is_the_same() -> None:
    """Each limb's other side is the same kind of limb, and its other side is the limb."""
    for limb in Limb:
        assert limb.mirrored is not limb
        assert limb.mirrored.is_hand is limb.is_hand
        assert limb.mirrored.mirrored is limb


def test_hands_stand_over_feet() -> None:
    """Limbs are in the order of rows: hands over feet, right over left."""
    assert LIMBS == (*HAND_LIMBS, *FEET) == (Limb.RH, Limb.LH, Limb.RF, Limb.LF)
    assert [limb.is_hand for limb in LIMBS] == [True, True, False, False]
