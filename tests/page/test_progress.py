"""What elements teach, and what is new on a page to a class that knows some."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.page.progress import learned, new_in, taught_by
from tests.strategies import elements

SAMBA = "cell LH x.xx over samba"


@pytest.mark.parametrize(
    ("element", "taught", "not_taught"),
    [
        (SAMBA, "cell LH x.xx", "ostinato samba"),
        (SAMBA, "cell hands x.xx over samba", "cell LH x.xx over bossa"),
        ("cell LH x.xx", "cell hands x.xx", SAMBA),
        ("cell hands x.xx", "cell hands x.xx", "cell RH x.xx"),
        ("cell RF x.xx", "cell RF x.xx", "cell hands x.xx"),
        ("cell RH+LH x", "cell LH x", "cell RH+LH xx"),
        ("cell LH x over hat-2-4 with ride-rock", "cell LH x over ride-rock", "ostinato ride-rock"),
        ("sound LH snare", "cell LH x", "sound RH snare"),
        ("sound RF bass", "cell RF x", "cell hands x"),
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


def test_the_lesser_of_two_is_not_counted() -> None:
    """A page that has a cell over feet and alone brings one new thing where the feet are known, two where not."""
    page = ["ostinato samba", SAMBA, "cell LH x.xx"]
    assert new_in(page, learned(["ostinato samba"])) == (SAMBA,)
    assert new_in(page, frozenset()) == (SAMBA, "ostinato samba")
    assert new_in(page, learned(page)) == ()
