"""Elements as they are typed: brought into one form, or refused with what is meant."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.course.naming import KINDS, element_from, fewest_boxes, needs_of
from kitgen.errors import KitgenError
from kitgen.page.words import element_words
from tests.strategies import elements


@given(elements())
def test_elements_are_read_as_they_are(element: str) -> None:
    """What is computed from pages can be typed in a plan."""
    assert element_from(element) == element


@pytest.mark.parametrize(
    ("typed", "element"),
    [
        ("cell lh  x.x.", "cell LH xx"),
        ("cell Hands x... over samba", "cell hands x over samba"),
        ("cell rh+lh x", "cell RH+LH x"),
        ("cell LH x over ride-rock with hat-2-4", "cell LH x over hat-2-4 with ride-rock"),
        ("sound rf bass", "sound RF bass"),
        ("meter 2+2+3/8", "meter 7/8"),
        ("change 4-3", "change 3-4"),
        ("against 2:3", "against 3:2"),
        ("rest 8 bars", "rest 8 bars"),
        ("rest eighth", "rest eighth"),
        ("tie", "tie"),
        ("parts rf+rh+lh", "parts RH+LH+RF"),
        ("turns RF+hands", "turns hands+RF"),
    ],
)
def test_one_form(typed: str, element: str) -> None:
    """Limbs in capitals, cells on the fewest boxes, ostinatos and numbers in order."""
    assert element_from(typed) == element


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("cel LH x", "no kind of element is called 'cel'; did you mean cell"),
        ("cell", "'cell' is no element; it is like: cell LH x.xx over samba"),
        ("cell LH ....", "a cell is one beat in up to 24 boxes"),
        ("cell LH xx.y", "a cell is one beat in up to 24 boxes"),
        ("cell left x", "no voice is called 'left'"),
        ("cell LH x over sambo", "no ostinato is called 'sambo'; did you mean samba"),
        ("sound LF bell", "no surface is called 'bell'"),
        ("sound LF ride", "left foot"),
        ("sound snare", "no limb is called 'snare'"),
        ("rest 2 bars", "a long rest has 4 to 64 bars"),
        ("rest halff", "no rest is called 'halff'"),
        ("change 3:4", "change 3:4: it is like: change 3-4"),
        ("against 0:3", "against 0:3: it is like: against 3:2"),
        ("meter 4", "cannot read '4' as a meter"),
        ("application linar", "did you mean linear"),
        ("feel swing", "no feel is called 'swing'"),
        ("tie half", "'tie half' is no element; it is like: tie"),
        ("parts RH", "parts RH: two or more of hands (or RH, LH), RF and LF; it is like: parts RH+LH+RF"),
        ("parts hands+RH", "two or more of hands (or RH, LH)"),
        ("turns RH+RH", "two or more of hands (or RH, LH)"),
        ("cell LH x over x..x", "'x..x' is no ostinato's name"),
        ("", "no kind of element is called ''"),
    ],
)
def test_what_is_no_element(typed: str, message: str) -> None:
    """The error says what is wrong, what is allowed, and what was probably meant."""
    with pytest.raises(KitgenError) as caught:
        element_from(typed)
    assert message in str(caught.value)


@given(st.text("x.", min_size=1, max_size=24).filter(lambda boxes: "x" in boxes))
def test_fewest_boxes(boxes: str) -> None:
    """As many strokes, in no more boxes, and no fewer show it."""
    fewest = fewest_boxes(boxes)
    assert fewest.count("x") == boxes.count("x")
    assert len(boxes) % len(fewest) == 0
    assert fewest_boxes(fewest) == fewest


def test_what_an_element_needs() -> None:
    """Ostinatos before what is played over them, and each by itself before two at once."""
    assert needs_of("cell LH x over hat-2-4 with ride-rock") == (
        "ostinato hat-2-4", "ostinato ride-rock", "ostinato hat-2-4 with ride-rock",
    )  # fmt: skip
    assert needs_of("cell hands .x over samba") == ("ostinato samba", "cell hands x over samba")
    assert needs_of("cell hands x over samba") == ("ostinato samba",)
    assert needs_of("cell LH x") == needs_of("meter 3/4") == needs_of("ostinato samba") == ()


@given(elements(), elements())
def test_words_tell_elements_apart(one: str, other: str) -> None:
    """Two elements of a kind are never said alike."""
    assert one.split()[0] in KINDS
    if one != other and one.split()[0] == other.split()[0]:
        assert element_words(one) != element_words(other)
