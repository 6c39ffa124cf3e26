"""The one table of surfaces."""

import re

import pytest

from kitgen.errors import KitError, UnknownNameError
from kitgen.kit import GM_PERCUSSION, SURFACES, Limb, surface, surface_of_key

HEADS = {"normal", "x", "diamond", "triangle", "slash"}


@pytest.mark.parametrize("label", SURFACES)
def test_each_row_is_complete(label: str) -> None:
    """Each surface has one hyphenated label, a General MIDI key, a staff place, a head, a limb and a way to ring."""
    row = surface(label)
    assert row.label == label
    assert re.fullmatch(r"[a-z]+(-[a-z0-9]+)*", label)
    assert row.key in GM_PERCUSSION
    assert re.fullmatch(r"[A-G][456]", row.place)
    assert row.head in HEADS
    assert (row.struck_by, row.side) in {("hand", "R"), ("hand", "L"), ("foot", "R"), ("foot", "L")}
    assert row.rings in {"short", "long", "open"}
    assert row.words


@pytest.mark.parametrize("column", ["key", "label", "words"])
def test_no_two_rows_share(column: str) -> None:
    """No two surfaces share a key, a label or words, so each is known by any of them."""
    assert len({getattr(row, column) for row in SURFACES.values()}) == len(SURFACES)


def test_no_two_rows_look_alike() -> None:
    """No two surfaces of a kind share both staff place and head, but for the hat, whose open stroke is marked."""
    looks = [(row.place, row.head, row.struck_by) for row in SURFACES.values() if row.label != "open-hat"]
    assert len(set(looks)) == len(looks)
    assert (SURFACES["open-hat"].place, SURFACES["open-hat"].head) == (SURFACES["closed-hat"].place, "x")


def test_a_key_names_its_surface() -> None:
    """The surface of a key is the one with that key; a key no surface sounds on has none."""
    for row in SURFACES.values():
        assert surface_of_key(row.key) is row
    assert surface_of_key(58) is None
    assert surface_of_key(0) is None


@pytest.mark.parametrize(
    ("given", "near"),
    [("snair", "snare"), ("Ride", "ride"), ("closed", "closed-hat"), ("floortom", "floor-tom"), ("bas", "bass")],
)
def test_an_unknown_surface(given: str, near: str) -> None:
    """A surface that does not exist is refused with the nearest that do."""
    with pytest.raises(UnknownNameError, match=rf"no surface is called '{given}'; did you mean .*{near}") as caught:
        surface(given)
    assert near in caught.value.nearest


def test_nothing_near_lists_all() -> None:
    """A surface like none is refused with all there are."""
    with pytest.raises(UnknownNameError, match=r"no surface is called 'q'; there are: crash, crash-2, .*, hat-foot"):
        surface("q")


@pytest.mark.parametrize(
    ("limb", "label", "said"),
    [
        (Limb.RF, "snare", "the right foot (RF) cannot play snare; it is played with a hand: RH, LH"),
        (Limb.LH, "bass", "the left hand (LH) cannot play bass; it is played with a foot: RF, LF"),
        (Limb.RH, "hat-foot", "the right hand (RH) cannot play hat-foot; it is played with a foot: RF, LF"),
    ],
)
def test_hands_and_feet_keep_to_theirs(limb: Limb, label: str, said: str) -> None:
    """A hand cannot play a pedal nor a foot a drum; the error names limb, surface and what can."""
    with pytest.raises(KitError, match=re.escape(said)):
        surface(label).check_limb(limb)


def test_either_side_may_play() -> None:
    """Any hand may play any hand surface and any foot any pedal."""
    for row in SURFACES.values():
        for limb in Limb:
            if limb.is_hand is (row.struck_by == "hand"):
                row.check_limb(limb)
