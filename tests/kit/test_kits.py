"""Kits, hand settings, and which limb plays what."""

import pytest

from kitgen.errors import KitError, UnknownNameError
from kitgen.kit import HANDS, KITS, SURFACES, Kit, Limb, kit


@pytest.mark.parametrize(
    ("hand", "limbs"),
    [
        ("right", {"ride": "RH", "closed-hat": "RH", "snare": "LH", "high-tom": "LH", "bass": "RF", "hat-foot": "LF"}),
        ("left", {"ride": "LH", "closed-hat": "LH", "snare": "RH", "high-tom": "RH", "bass": "LF", "hat-foot": "RF"}),
        ("open", {"ride": "RH", "closed-hat": "LH", "snare": "RH", "high-tom": "RH", "bass": "RF", "hat-foot": "LF"}),
    ],
)
def test_which_limb_plays_what(hand: str, limbs: dict[str, str]) -> None:
    """Right-handed, left-handed and open-handed players reach for the surfaces as the trade has it."""
    on = kit("standard", hand=hand)
    assert {label: on.limb_for(label).name for label in limbs} == limbs


@pytest.mark.parametrize("label", SURFACES)
def test_left_mirrors_right(label: str) -> None:
    """On a left-handed kit every surface is played by the limb across from the right-handed one."""
    assert kit("standard", hand="left").limb_for(label) is kit("standard").limb_for(label).mirrored


@pytest.mark.parametrize("hand", HANDS)
@pytest.mark.parametrize("label", SURFACES)
def test_the_limb_for_a_surface_can_play_it(hand: str, label: str) -> None:
    """The limb a setting gives a surface to is one that can play it."""
    SURFACES[label].check_limb(kit("standard", hand=hand).limb_for(label))


@pytest.mark.parametrize(("hand", "four"), [("right", "RH LH RF LF"), ("left", "LH RH LF RF"), ("open", "RH LH RF LF")])
def test_the_four_roles(hand: str, four: str) -> None:
    """Time hand, other hand, bass foot and hat foot are four different limbs."""
    on = kit("standard", hand=hand)
    assert " ".join(limb.name for limb in (on.lead, on.weak, on.bass_foot, on.hat_foot)) == four


def test_the_small_kit_has_no_toms_and_no_ride() -> None:
    """The small kit is a part of the standard one, without toms and ride."""
    small = kit("small")
    assert set(small.surfaces) < set(kit("standard").surfaces)
    assert not any("tom" in label or "ride" in label for label in small.surfaces)
    assert "snare" in small
    assert "ride" not in small


def test_surfaces_are_kept_in_the_order_of_the_table() -> None:
    """Two kits of the same surfaces are equal in whatever order they were listed, a surface listed twice once."""
    one, other = Kit("own", ("bass", "snare", "ride")), Kit("own", ("ride", "bass", "snare", "bass"))
    assert one == other
    assert one.surfaces == ("ride", "snare", "bass")
    assert hash(one) == hash(other)


def test_keys_of_its_own() -> None:
    """A kit may sound a surface on a key of its own; the others keep General MIDI's."""
    own = Kit("pads", ("snare", "bass"), keys=(("snare", 40),))
    assert (own.key_of("snare"), own.key_of("bass")) == (40, 36)


@pytest.mark.parametrize(
    ("name", "hand", "said"),
    [
        ("standart", "right", "no kit is called 'standart'; did you mean standard"),
        ("huge", "right", "no kit is called 'huge'; there are: standard, small"),
        ("small", "lefty", "no hand setting is called 'lefty'; did you mean left"),
        ("small", "ambi", "no hand setting is called 'ambi'; there are: right, left, open"),
    ],
)
def test_an_unknown_kit_or_hand(name: str, hand: str, said: str) -> None:
    """A kit or hand setting that does not exist is refused with the nearest, or all there are."""
    with pytest.raises(UnknownNameError, match=said):
        kit(name, hand=hand)


def test_a_kit_that_cannot_be() -> None:
    """A kit of nothing, of unknown surfaces, or with a key that is none, is refused."""
    with pytest.raises(KitError, match="kit 'bare' has no surfaces; list some of: crash, "):
        Kit("bare", ())
    with pytest.raises(UnknownNameError, match="no surface is called 'gong'"):
        Kit("own", ("gong",))
    with pytest.raises(UnknownNameError, match="no surface is called 'snair'; did you mean snare"):
        Kit("own", ("snare",), keys=(("snair", 38),))
    with pytest.raises(KitError, match="MIDI key 128 for snare; a key is 0 to 127"):
        Kit("own", ("snare",), keys=(("snare", 128),))


def test_the_kits_there_are() -> None:
    """The built-in kits are made of surfaces that exist."""
    assert list(KITS) == ["standard", "small"]
    assert {limb for name in KITS for limb in (kit(name).lead, kit(name).weak)} == {Limb.RH, Limb.LH}
    for name, labels in KITS.items():
        assert set(kit(name).surfaces) == set(labels) <= set(SURFACES)
