"""Pages on which limbs are put together, at once or in turn, and ghost notes."""

from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.course.lessons import lesson
from kitgen.course.plan import Setup
from kitgen.course.ways import elements
from kitgen.kit import Limb
from kitgen.page import Page
from kitgen.page.progress import learned, new_in
from kitgen.pattern import Level, project
from tests.strategies import fewer

SOUNDS = (
    "sound RH closed-hat", "sound RH snare", "sound RH ride", "sound LH snare", "sound RF bass", "sound LF hat-foot",
    "cell hands x",
)  # fmt: skip
BAND = ("meter 4/4", *SOUNDS, "cell RH xx")
VOICES = ("hands", "RH", "LH", "RF", "LF")
GROUPS = [
    "+".join(names)
    for size in (2, 3, 4)
    for names in combinations(VOICES, size)
    if not ("hands" in names and {"RH", "LH"} & set(names))
]


def made(element: str, known: tuple[str, ...] = BAND, setup: Setup | None = None) -> Page:
    """The lesson, which has to be there."""
    page = lesson(element, known, setup or Setup())
    assert page is not None, element
    return page


@pytest.mark.parametrize("kind", ["parts", "turns"])
@pytest.mark.parametrize("group", GROUPS)
def test_limbs_are_put_together_on_a_page_of_their_own(kind: str, group: str) -> None:
    """For any two limbs or more the one new thing is that they play together, or in turn; the last bar lands on 1."""
    page = made(f"{kind} {group}")
    assert new_in(elements(page, Setup().on), learned(BAND)) == (f"{kind} {group}",)
    assert all(first.pattern != second.pattern for first, second in combinations(page.rows, 2))
    last = page.rows[-1].pattern
    assert last.hits[-1].onset == last.meters.bars[-1].start


def test_the_first_beat_comes_limb_by_limb() -> None:
    """Hat in eighths with the backbeat; then the bass on 1 and 3 with both, which are there by themselves first."""
    two, three = made("parts RH+LH"), made("parts RH+LH+RF")
    eighths = next(row for row in two.rows if row.label == "all, the hat in eighths").pattern
    assert len(project(eighths, Limb.RH).hits) == 8
    assert [(hit.onset, hit.level) for hit in project(eighths, Limb.LH).hits] == [
        (Fraction(1), Level.ACCENT),
        (Fraction(3), Level.ACCENT),
    ]
    assert three.rows[0].pattern == eighths
    whole = next(row for row in three.rows if row.label == "all, the hat in eighths").pattern
    assert [hit.onset for hit in project(whole, Limb.RF)] == [0, 2]


def test_without_eighths_the_time_is_in_quarters() -> None:
    """A class that knows the beat alone gets a page of quarters."""
    page = made("parts RH+LH", tuple(one for one in BAND if one != "cell RH xx"))
    assert all(hit.onset.denominator == 1 for hit in page.pattern.hits)


def test_a_left_handed_player_has_the_hat_in_the_left_hand() -> None:
    """Roles go by the kit's hands: time in the left hand, backbeat in the right."""
    known = ("meter 4/4", "sound LH closed-hat", "sound RH snare", "sound LF bass")
    page = made("parts RH+LH", known, Setup(hand="left"))
    assert {(hit.limb.name, hit.surface) for hit in page.pattern.hits} == {("LH", "closed-hat"), ("RH", "snare")}
    assert made("parts RH+LH+LF", known, Setup(hand="left")).title == "Hat, snare and bass together"


@pytest.mark.parametrize("known", [(), ("cell LH .x",), ("cell LH ...x", "cell LH .x", "cell LH xx")])
@pytest.mark.parametrize("meter", ["4/4", "3/4", "2/4"])
def test_ghost_notes_are_far_under_the_accents(known: tuple[str, ...], meter: str) -> None:
    """Nothing but accents and ghost notes of the snare hand, on figures it knows."""
    given_before = (f"meter {meter}", "sound LH snare", *known)
    page = made("contrast ghost", given_before, Setup(meter=meter))
    assert new_in(elements(page, Setup().on), learned(given_before)) == ("contrast ghost",)
    assert {hit.level for hit in page.pattern.hits} == {Level.GHOST, Level.ACCENT}
    assert {hit.limb for hit in page.pattern.hits} == {Limb.LH}


@fewer
@given(
    st.sampled_from(GROUPS),
    st.sampled_from(("parts", "turns")),
    st.lists(st.sampled_from((*SOUNDS, "cell RH xx", "cell LH .x", "cell RF .x", "cell RH .x")), unique=True),
    st.sampled_from(("4/4", "3/4", "2/4", "6/8", "12/8", "3/8")),
)
def test_a_class_that_knows_less_gets_a_right_page_or_none(group: str, kind: str, known: list[str], meter: str) -> None:
    """Whatever is known, in any meter, the page brings its element alone, or there is none."""
    setup, given_before = Setup(meter=meter), learned([*known, f"meter {meter}"])
    page = lesson(f"{kind} {group}", given_before, setup)
    if page is not None:
        assert new_in(elements(page, setup.on), given_before) == (f"{kind} {group}",)
