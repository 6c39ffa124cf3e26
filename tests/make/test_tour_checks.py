"""A tour is proved from its notes: strokes taken away, added or moved by hand are found and named."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.kit import Limb
from kitgen.make.checks import check_page
from kitgen.make.tour_checks import tour_findings
from kitgen.make.tour_recipe import TourRecipe
from kitgen.make.toured import toured
from kitgen.page import Page, Row
from kitgen.pattern import Hit, Pattern
from kitgen.read.text import page_of_text
from kitgen.write.text import page_text
from tests.strategies import fewer

FOUR = TourRecipe(pages="4")
SAMBA = TourRecipe(limbs="RH,LH", under="samba", pages="3")


@cache
def page_of(recipe: TourRecipe) -> Page:
    """The one page of a recipe."""
    (page,) = toured(recipe).pages
    return page


def changed(page: Page, change: Callable[[list[Hit]], object]) -> Page:
    """A page whose first row has been changed by hand."""
    first, *rest = page.rows
    hits = list(first.pattern.hits)
    change(hits)
    return replace(page, rows=(Row(first.label, first.pattern.with_hits(hits), first.times), *rest))


@fewer
@given(st.integers(0, 63), st.sampled_from(Limb))
def test_any_stroke_taken_or_added_is_found(slot: int, limb: Limb) -> None:
    """In a tour each change comes once, so that one stroke more or less anywhere leaves some unmet."""
    onset = Fraction(slot, 4)

    def change(hits: list[Hit]) -> None:
        own = next((hit for hit in hits if (hit.onset, hit.limb) == (onset, limb)), None)
        if own is None:
            surface = {Limb.RH: "ride", Limb.LH: "snare", Limb.RF: "bass", Limb.LF: "hat-foot"}[limb]
            hits.append(Hit(onset, limb, surface))
        else:
            hits.remove(own)

    (found, *_) = tour_findings(changed(page_of(FOUR), change))
    assert "of 256 change" in found
    assert "not met, the first from " in found


@pytest.mark.parametrize(
    "recipe",
    [
        FOUR,
        SAMBA,
        TourRecipe(pages="1"),
        TourRecipe(limbs="RH,LH,RF", no_silence=True, pages="3"),
        TourRecipe(limbs="RH,LH,RF", no_triples=True, pages="4"),
        TourRecipe(limbs="RH,LH", kit="room.toml", player="me.toml", sums=("room.toml sha256:" + "0" * 64,), pages="2"),
    ],
)
def test_a_page_as_made_is_proved(recipe: TourRecipe) -> None:
    """Nothing is found in a page as it was made, read back from its text; a kit of a file's own changes no set."""
    page = page_of(replace(recipe, kit="standard", player="school", sums=()))
    again = page_of_text(page_text(replace(page, recipe=str(replace(recipe, limbs=recipe.limbs)))), "page")
    assert list(tour_findings(again)) == []


def test_what_is_wrong_is_named() -> None:
    """A change that is missing is named by its sets, over an ostinato also by its place."""
    page = page_of(SAMBA)
    broken = changed(page, lambda hits: hits.remove(next(hit for hit in hits if hit.limb is Limb.RH)))
    found = list(tour_findings(broken))
    assert len(found) == 1
    assert "at place 1 of samba feet" in found[0]
    assert set(found) <= set(check_page(broken))


def test_a_broken_ostinato_is_found() -> None:
    """A stroke of the feet left out: the places are no longer what the proof says."""
    broken = changed(page_of(SAMBA), lambda hits: hits.remove(next(hit for hit in hits if hit.limb is Limb.RF)))
    assert list(tour_findings(broken)) == [
        "samba feet: not kept throughout, so that places of it are others than the proof says"
    ]


def test_a_set_that_is_missing_is_found() -> None:
    """The page of sets without one of them."""
    page = page_of(TourRecipe(pages="1"))
    broken = replace(page, rows=page.rows[:-1])
    assert list(tour_findings(broken)) == ["1 set of limbs is not on the page, the first RH+LH+RF+LF"]


def test_slots_gone_over_again_are_found() -> None:
    """A tour that meets everything, but in more slots than it takes."""
    page = page_of(TourRecipe(limbs="RH,LH", pages="2"))
    longer = Row("more", Pattern((Hit(Fraction(0), Limb.RH, "ride"),), page.rows[0].pattern.meters))
    found = list(tour_findings(replace(page, rows=(*page.rows, longer))))
    assert found == [
        "80 slots in which some changes come more often than others, so that it is not the shortest; 16 would do"
    ]


def test_runs_and_rules_are_looked_at() -> None:
    """Where no limb strikes three times in a row, a third stroke is found; where no slot is silent, silence is."""
    twos = page_of(TourRecipe(limbs="RH,LH,RF", no_triples=True, pages="4"))
    full = changed(twos, lambda hits: hits.extend(_fill(hits, Limb.LH)))
    assert any("left hand strikes more than twice in a row" in found for found in tour_findings(full))
    loud = page_of(TourRecipe(limbs="RH,LH,RF", no_silence=True, pages="3"))
    still = changed(loud, lambda hits: hits.__setitem__(slice(None), [hit for hit in hits if hit.onset >= 1]))
    assert any("against its rules, the first from silence" in found for found in tour_findings(still))


def _fill(hits: list[Hit], limb: Limb) -> list[Hit]:
    there = {hit.onset for hit in hits if hit.limb is limb}
    return [Hit(Fraction(slot, 4), limb, "snare") for slot in range(8) if Fraction(slot, 4) not in there]


def test_a_stroke_between_slots_is_found() -> None:
    """A stroke off the slots is named by bar and count."""
    off = changed(page_of(FOUR), lambda hits: hits.append(Hit(Fraction(1, 8), Limb.LF, "hat-foot")))
    (found,) = tour_findings(off)
    assert "strikes between slots" in found
    assert found.startswith("bar 1")


def test_other_pages_are_left_alone() -> None:
    """A page without a tour's recipe is no matter of this."""
    assert list(tour_findings(replace(page_of(FOUR), recipe="kitgen demo"))) == []
    assert list(tour_findings(replace(page_of(FOUR), recipe="kitgen tour --louder  # kitgen 0.1.0"))) == []
