"""What elements teach, and what is new on a page to a class that knows some."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import OSTINATOS, known_ostinatos, ostinato
from kitgen.kit import kit
from kitgen.page.kept import keeps
from kitgen.page.progress import CONTAINED, learned, new_in, taught_by
from kitgen.time import Meter, Meters
from tests.strategies import elements

SAMBA = "cell LH x.xx over samba"


@pytest.mark.parametrize(
    ("element", "taught", "not_taught"),
    [
        (SAMBA, "cell LH x.xx", "ostinato samba"),
        (SAMBA, SAMBA, "cell hands x.xx over samba"),
        (SAMBA, SAMBA, "cell LH x.xx over bossa"),
        ("cell LH x.xx", "cell LH x.xx", SAMBA),
        ("cell RH x.xx", "cell RH x.xx", "cell hands x.xx"),
        ("cell hands x.xx", "cell hands x.xx", "cell RH x.xx"),
        ("cell RF x.xx", "cell RF x.xx", "cell hands x.xx"),
        ("cell RH+LH x", "cell LH x", "cell RH+LH xx"),
        ("cell LH x over quarters-hat-2-4", "cell LH x over hat-2-4", "cell LH x over bass-1-3-hat-2-4"),
        ("cell LH x over quarters-hat-2-4 with ride-rock", "cell LH x over hat-2-4 with ride-rock", "ostinato hat-2-4"),
        ("cell LH x over hat-2-4", "cell LH x", "cell LH x over quarters-hat-2-4"),
        ("ostinato quarters-hat-2-4", "ostinato quarters", "ostinato bass-1-3-hat-2-4"),
        ("ostinato bass-1-3-hat-2-4", "cell RF x over hat-2-4", "cell LH x over hat-2-4"),
        ("parts RH+LH+RF", "parts LH+RF", "parts RH+LH+LF"),
        ("parts RH+LH+RF+LF", "parts RH+LF", "turns RH+LF"),
        ("turns RH+LH+RF", "turns RH+LH", "parts RH+LH"),
        ("parts RH+LH", "parts RH+LH", "parts RH"),
        ("contrast ghost", "contrast ghost", "contrast soft-accent"),
        ("cell LH x over hat-2-4 with ride-rock", "cell LH x over ride-rock", "ostinato ride-rock"),
        ("sound LH snare", "cell LH x", "sound RH snare"),
        ("sound RF bass", "cell RF x", "cell hands x"),
        ("sound RH snare", "cell RH x", "cell hands x"),
        ("rest 8 bars", "rest 4 bars", "rest 9 bars"),
        ("rest quarter", "rest quarter", "rest eighth"),
        ("change 4-6", "change 3-4", "change 2-6"),
        ("ostinato hat-2-4 with ride-rock", "ostinato hat-2-4 with ride-rock", "ostinato hat-2-4"),
        ("value whole", "value whole", "value half"),
    ],
)
def test_what_an_element_teaches(element: str, taught: str, not_taught: str) -> None:
    """Less than itself in a few stated ways, and nothing that is harder or other."""
    assert taught in taught_by(element)
    assert not_taught not in taught_by(element)


@pytest.mark.parametrize("name", [name for name in OSTINATOS if name != "ride-waltz"])
def test_the_ostinatos_that_are_part_of_another(name: str) -> None:
    """Those which some of its limbs keep by themselves in four quarters, and no others."""
    meters = Meters.of(Meter(4, 4))
    whole = ostinato(name, meters)
    parts = {
        other
        for other, pattern in known_ostinatos(meters, kit("standard")).items()
        if set(pattern.limbs) < set(whole.limbs) and keeps(whole, pattern)
    }
    assert parts == set(CONTAINED.get(name, ()))


@pytest.mark.parametrize(
    "element", ["", "cell", "cell LH", "rest bars", "rest 99999999999 bars", "change 1-99999999999"]
)
def test_texts_that_are_hardly_elements(element: str) -> None:
    """Whatever stands in a manifest edited by hand teaches itself at least, and no end of things at no time."""
    assert element in taught_by(element)
    assert len(taught_by(element)) < 1000


@given(elements())
def test_teaching_has_no_circles(element: str) -> None:
    """What an element teaches beside itself does not teach the element."""
    assert all(element not in taught_by(less) for less in taught_by(element) - {element})


@given(st.lists(elements(), max_size=12))
def test_learned_is_closed(met: list[str]) -> None:
    """Learning what is learned teaches nothing more; the order and number of times things are met do not matter."""
    known = learned(met)
    assert set(met) <= known
    assert learned(known) == known
    assert learned([*reversed(met), *met]) == known


@given(st.lists(elements(), max_size=12), st.lists(elements(), max_size=12))
def test_what_is_new(page: list[str], met: list[str]) -> None:
    """New are elements of the page that are not known; to have learned them is to have learned the page."""
    known = learned(met)
    new = new_in(page, known)
    assert set(new) <= set(page) - known
    assert learned(new) | known >= learned(page)
    assert not new_in(page, known | learned(new))
    assert not any(one in taught_by(other) for one in new for other in new if one != other)


def test_two_ostinatos_at_once_are_each_learned_and_each_new() -> None:
    """Who has learned both at once knows each; a page does not bring each by bringing both."""
    page = ["ostinato hat-2-4", "ostinato ride-rock", "ostinato hat-2-4 with ride-rock"]
    assert set(page) <= learned(page[2:])
    assert len(new_in(page, frozenset())) == 3


def test_the_lesser_of_two_is_not_counted() -> None:
    """A page that has a cell over feet and alone brings one new thing where the feet are known, two where not."""
    page = ["ostinato samba", SAMBA, "cell LH x.xx"]
    assert new_in(page, learned(["ostinato samba"])) == (SAMBA,)
    assert new_in(page, frozenset()) == (SAMBA, "ostinato samba")
    assert new_in(page, learned(page)) == ()
