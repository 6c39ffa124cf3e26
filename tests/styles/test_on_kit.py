"""Pages of styles for left-handed and open-handed players, small kits, and players who lack something."""

from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given

from kitgen.errors import RefusedError
from kitgen.kit import KITS, PLAYERS, Kit, Limb, LimbProfile, Player, kit
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Level, Pattern, mirror, parse_rows
from kitgen.pattern.playability import playability
from kitgen.read.style_files import style_names
from kitgen.read.styles import style_named
from kitgen.styles.on_kit import on_kit, open_handed
from kitgen.styles.pages import style_pages
from tests.strategies import fewer, patterns

ADVANCED = PLAYERS["advanced"]
FULL = kit("standard")


@cache
def pages_of(name: str) -> tuple[Page, ...]:
    """The pages of a style for the advanced player."""
    return style_pages(style_named(name), player=ADVANCED)


def without(*limbs: Limb) -> Player:
    """The advanced player without some limbs."""
    return replace(ADVANCED, limbs=tuple((limb, LimbProfile(absent=True)) for limb in limbs))


@pytest.mark.parametrize("name", style_names())
def test_a_full_kit_changes_nothing(name: str) -> None:
    """For a right-handed player of four limbs on a full kit every page is the very page."""
    pages = pages_of(name)
    assert all(one is other for one, other in zip(on_kit(pages, FULL, ADVANCED), pages, strict=True))


@pytest.mark.parametrize("name", style_names())
@pytest.mark.parametrize("hand", ["left", "open"])
def test_the_other_hands_can_play_it_too(name: str, hand: str) -> None:
    """Every page set for left-handed and open-handed players can be played at its goal, and no surface is lost."""
    own = kit("standard", hand=hand)
    pages = pages_of(name)
    for before, page in zip(pages, on_kit(pages, own, ADVANCED), strict=True):
        assert page.title == f"{before.title}, {hand}-handed"
        pace = page.tempo.goal * float(page.tempo.unit)
        for old, row in zip(before.rows, page.rows, strict=True):
            loops = "in and out" not in page.title
            assert playability(row.pattern, ADVANCED, pace, hand=hand, loops=loops) == (), (page.title, row.label)
            assert row.times == old.times
            if hand == "left":
                assert row.pattern == mirror(old.pattern)


@pytest.mark.parametrize("name", style_names())
def test_a_small_kit_has_its_surfaces_alone(name: str) -> None:
    """Without toms and ride only what the kit has is struck, and the notes say what stands in."""
    small = kit("small")
    pages = pages_of(name)
    for before, page in zip(pages, on_kit(pages, small, ADVANCED), strict=True):
        used = {hit.surface for row in page.rows for hit in row.pattern.hits}
        assert used <= set(KITS["small"])
        missing = {hit.surface for row in before.rows for hit in row.pattern.hits} - set(KITS["small"])
        assert bool(missing) is (page != before)
        assert not missing or any("has no" in note for note in page.notes)


def test_what_a_player_has_not_is_said() -> None:
    """Without a hat foot nothing is in it and a note says so; without a right hand the left has the time."""
    pages = on_kit(pages_of("swing"), FULL, without(Limb.LF))
    assert all(Limb.LF not in row.pattern.limbs for page in pages for row in page.rows)
    assert all(any("left foot" in note or "hat foot" in note for note in page.notes) for page in pages)
    one_hand = on_kit(pages_of("rock"), FULL, without(Limb.RH))
    assert all(Limb.RH not in row.pattern.limbs for page in one_hand for row in page.rows)


def test_rows_of_nothing_are_left_out() -> None:
    """A row of the feet alone goes where no foot plays, with a note; the others keep how often they are played."""
    nobody = without(Limb.RF, Limb.LF)
    (before, *_), (page, *_) = pages_of("mambo"), on_kit(pages_of("mambo"), FULL, nobody)
    assert all(row.pattern.hits for row in page.rows)
    assert {row.times for row in page.rows} == {before.rows[-1].times}
    assert not {hit.limb for row in page.rows for hit in row.pattern.hits} & {Limb.RF, Limb.LF}


def test_nothing_left_is_refused_by_name() -> None:
    """A kit on which nothing of a page can be played is refused, with the page's title."""
    bell = Kit("bell", ("floor",), "right")
    nobody = without(Limb.RF, Limb.LF)
    with pytest.raises(RefusedError, match="Mambo: groove"):
        on_kit(pages_of("mambo"), bell, nobody)


def test_left_handed_words_are_mirrored() -> None:
    """Right and left are swapped where they are hands, and stay where they are none."""
    page = pages_of("march")[0]
    assert "right left on the snare" in page.instruction
    (mirrored,) = on_kit([page], kit("standard", hand="left"), ADVANCED)
    assert "left right on the snare" in mirrored.instruction
    rock = replace(page, notes=("the backbeat is left out; the left hand waits",))
    assert on_kit([rock], kit("standard", hand="left"), ADVANCED)[0].notes == (
        "the backbeat is left out; the right hand waits",
    )


def test_open_handed_is_said() -> None:
    """Time on the hat is the left hand's and a note says so; time on the ride stays, without a note."""
    own = kit("standard", hand="open")
    (groove, *_) = on_kit(pages_of("rock"), own, ADVANCED)
    assert all(
        hit.limb is Limb.LH
        for row in groove.rows
        for hit in row.pattern.hits
        if "hat" in hit.surface and hit.limb.is_hand
    )
    assert any(note.startswith("open-handed") for note in groove.notes)
    (ride, *_) = on_kit(pages_of("swing"), own, ADVANCED)
    assert ride.rows == pages_of("swing")[0].rows
    assert not any(note.startswith("open-handed") for note in ride.notes)


def test_a_crash_stays_in_its_hand() -> None:
    """Open-handed, the crash on 1 and what is struck with it stay; the hat after it is the left hand's."""
    time = parse_rows("RH crash X. .. .. ..; RH closed-hat .x xx xx xx; LH snare x. X. .. X.; RF bass X. .. x. ..")
    expected = parse_rows("RH crash X. .. .. ..; LH closed-hat .x xx xx xx; LH snare x. .. .. ..; RH snare .. X. .. X.;"
                          "RF bass X. .. x. ..")  # fmt: skip
    assert open_handed(time) == expected


def test_a_stroke_goes_back_where_a_hand_has_no_time() -> None:
    """After a pickup of the left hand the hat on 1 stays with the right one; where nothing helps a note says so."""
    rows = "LH snare ...X .... .... ....; RH closed-hat .... x.x. x.x. x.x.; RF bass .... x... .... ...."
    page = Page("Way in", "", (Row("pickup", parse_rows(rows)),), Tempo.at(150, Fraction(1)))
    (found,) = on_kit([page], kit("standard", hand="open"), ADVANCED)
    hats = [hit for hit in found.rows[0].pattern.hits if hit.surface == "closed-hat"]
    assert [hit.limb for hit in hats[:2]] == [Limb.RH, Limb.LH]
    assert not [note for note in found.notes if "left out" in note]
    shuffle = on_kit(pages_of("half-time-shuffle"), kit("standard", hand="open"), ADVANCED)
    assert [note for page in shuffle for note in page.notes if "left out where a hand has no time" in note]


def heard(pattern: Pattern) -> list[tuple[Fraction, str, Level]]:
    """What sounds when, whoever strikes it."""
    return sorted((hit.onset, hit.surface, hit.level) for hit in pattern.hits)


@fewer
@given(patterns())
def test_open_hands_keep_what_is_struck(pattern: Pattern) -> None:
    """Whatever the pattern, the same surfaces sound at the same instants at the same levels."""
    assert heard(open_handed(pattern)) == heard(pattern)
