"""Elements are read from the notes of a page: what they say, what they leave out, and that they cannot be faked."""

from fractions import Fraction

import pytest
from hypothesis import given

from kitgen.apply import OSTINATOS, known_ostinatos, ostinato
from kitgen.kit import Limb, kit
from kitgen.page import Page, Row, Tempo, elements_of
from kitgen.page.elements import cells_of, longest_rest_bars
from kitgen.page.kept import keeps, ostinatos_in
from kitgen.pattern import Feel, Pattern, mirror, parse_rows, project, silence
from kitgen.time import Meter, Meters
from tests.strategies import maps, patterns, whole_maps

F = Fraction
FOUR = Meters.of(Meter(4, 4))


def page_of(*rows: Pattern) -> Page:
    """A page of these rows."""
    return Page("a page", "", tuple(Row(f"row {n}", p) for n, p in enumerate(rows, start=1)), Tempo.at(90, F(1)))


def elements(rows: str, *, meter: str = "4/4", feel: Feel | None = None) -> set[str]:
    """The elements of a page of one row."""
    p = parse_rows(rows, meter)
    return set(elements_of(page_of(p if feel is None else p.with_feel(feel))))


@pytest.mark.parametrize(
    ("rows", "meter", "expected"),
    [
        ("RF bass x x x x", "4/4", "meter 4/4; cell RF x; sound RF bass"),
        ("RF bass x.x. ..x. x.x. ..x.", "4/4", "meter 4/4; cell RF xx; cell RF .x; sound RF bass"),
        ("RF bass xxxx x..x", "2/4", "meter 2/4; cell RF xxxx; cell RF x..x; sound RF bass"),
        ("RF bass .xx. xxx", "2/4", "meter 2/4; cell RF .xx.; cell RF xxx; change 3-4; sound RF bass"),
        ("RF bass x.x .x.", "6/8", "meter 6/8; cell RF x.x; cell RF .x.; sound RF bass"),
        ("LH snare X . t .", "4/4", "meter 4/4; cell LH x; contrast soft-accent; sound LH snare"),
        ("LH snare X . g .", "4/4", "meter 4/4; cell LH x; contrast ghost; sound LH snare"),
        ("LH snare x . g .", "4/4", "meter 4/4; cell LH x; contrast ghost; sound LH snare"),
        ("LH snare g . g .", "4/4", "meter 4/4; cell LH x; sound LH snare"),
        (
            "LH snare X t g .",
            "4/4",
            "meter 4/4; cell LH x; contrast ghost; contrast soft-accent; sound LH snare",
        ),
        ("LH snare X . x .", "4/4", "meter 4/4; cell LH x; sound LH snare"),
        ("LH snare x . x .; flam LH x . . .", "4/4", "meter 4/4; cell LH x; ornament flam; sound LH snare"),
        (
            "LH snare x x; drag LH x .; buzz LH . x",
            "2/4",
            "meter 2/4; cell LH x; ornament drag; ornament buzz; sound LH snare",
        ),
        ("rest . . . .", "4/4", "meter 4/4"),
    ],
)  # fmt: skip
def test_elements_of_a_page(rows: str, meter: str, expected: str) -> None:
    """Meter, cells on the fewest boxes, sounds, ornaments, and a contrast only of accents with soft strokes."""
    assert elements(rows, meter=meter) == set(expected.split("; "))


# ---- voices ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "cells"),
    [
        ("RH snare x.x. x...; LH snare .x.x ..x.", {"cell hands xxxx", "cell hands xx"}),
        ("RH snare x.x. x...; LH snare x.x. x...", {"cell RH+LH xx", "cell RH+LH x"}),
        ("RH snare x.x. x...; LH snare x..x x...", {"cell RH xx", "cell RH x", "cell LH x..x", "cell LH x"}),
        ("RH ride x.x. x...; LH snare .x.x ..x.", {"cell RH xx", "cell RH x", "cell LH .x.x", "cell LH .x"}),
        ("RH ride xx xx; LH snare xx xx", {"cell RH+LH xx"}),
        ("RF bass x. ..; LF hat-foot .. x.", {"cell RF x", "cell LF x"}),
    ],
)
def test_hands_that_act_as_one_are_one_voice(rows: str, cells: set[str]) -> None:
    """On one surface and never together, or always together, two hands are learned as one; feet are not."""
    assert {element for element in elements(rows, meter="2/4") if element.startswith("cell")} == cells


def test_a_hand_alone_is_the_hands_where_they_are_one_on_the_page() -> None:
    """A row of one hand belongs to the hands if both hands are one voice in all rows together; else it is its own."""
    both, one = parse_rows("RH snare x. x.; LH snare .x .x", "2/4"), parse_rows("LH snare .x .x", "2/4")
    ride = parse_rows("RH ride x. x.", "2/4")
    assert {e for e in elements_of(page_of(both, one)) if e.startswith("cell")} == {"cell hands xx", "cell hands .x"}
    assert "cell LH .x" in elements_of(page_of(both, one, ride))
    assert "cell LH .x" in elements_of(page_of(one))


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ("RH closed-hat xx xx; LH snare .. X.", {"parts RH+LH"}),
        ("RH closed-hat xx xx; LH snare .. X.; RF bass x. ..", {"parts RH+LH+RF"}),
        ("RH closed-hat x. ..; LH snare .x ..; RF bass .. x.", {"turns RH+LH+RF"}),
        ("RH snare x. x.; LH snare .x .x; RF bass x. x.", {"parts hands+RF"}),
        ("RH snare x. ..; LH snare .x ..; RF bass .. xx", {"turns hands+RF"}),
        ("RH snare x x; LH snare x x; RF bass x .", {"parts RH+LH+RF"}),
        ("RH snare x x; LH snare x x", set()),
        ("RH snare x. x.; LH snare .x .x", set()),
        ("RF bass x x", set()),
        ("RH clap xx x.; RF floor x. x.", set()),
        ("RH clap xx x.; LH lap .. x.; RF floor x. x.", {"parts RH+LH"}),
    ],
)
def test_limbs_that_move_at_once_or_in_turn(rows: str, found: set[str]) -> None:
    """Two voices or more of a row are an element together, another one where they never meet; the pulse is no part."""
    assert {element for element in elements(rows, meter="2/4") if element.startswith(("parts", "turns"))} == found


def test_what_an_ostinato_holds_is_no_part() -> None:
    """One limb over an ostinato is a cell over it; two over it are parts as well."""
    known = known_ostinatos(FOUR, kit("standard"))
    samba = ostinato("samba", FOUR)
    one = parse_rows("LH snare x.xx .... .... ....").hits
    two = (*one, *parse_rows("RH ride x.x. x... .... ....").hits)
    found = [elements_of(page_of(samba.with_hits((*samba.hits, *hits))), ostinatos=known) for hits in (one, two)]
    assert [[e for e in each if e.startswith("parts")] for each in found] == [[], ["parts RH+LH"]]


def test_accents_of_one_hand_and_taps_of_the_other_are_one_contrast() -> None:
    """A stream in both hands holds a contrast although neither hand does; on two surfaces it holds none."""
    assert "contrast soft-accent" in elements("RH snare X. X.; LH snare .t .t", meter="2/4")
    assert "contrast soft-accent" not in elements("RH ride X. X.; LH snare .t .t", meter="2/4")


# ---- subdivisions and polyrhythms ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ("RF bass xx xxx . .", {"change 2-3"}),
        ("RF bass xxx . xx .", set()),
        ("RF bass xx xxxx xxxxxx .", {"change 4-6"}),
        ("RF bass . . . xxx | xxxx . . .", set()),
        ("RF bass x xxx x xxxx", set()),
        ("RH ride xxx xxx xxx xxx; LH snare xx xx xx xx", {"against 3:2"}),
        ("RH ride xxx . . .; LH snare xx . . .", set()),
        ("RH ride x.x .x. x.x .x.; RF bass x x x x", {"against 3:2"}),
        ("RH ride x- -x -- x- | x- -x -- x-; RF bass x x x x | x x x x", set()),
        ("RH ride xxxx xxxx xxxx xxxx; RF bass x x x x", set()),
    ],
)
def test_changes_and_polyrhythms(rows: str, found: set[str]) -> None:
    """A change is between neighbouring beats of a bar; one rhythm against another goes round at least twice."""
    assert {element for element in elements(rows) if element.startswith(("change", "against"))} == found


def test_what_an_ostinato_has_in_itself_is_no_element() -> None:
    """Feet that are three against two in an ostinato of their own are not counted apart from it."""
    rows = "RF bass x.x .x. x.x .x.; LF hat-foot x x x x"
    own = {"uneven": parse_rows(rows)}
    assert "against 3:2" in elements(rows)
    assert elements_of(page_of(parse_rows(rows)), ostinatos=own) == ("meter 4/4", "ostinato uneven")


@pytest.mark.parametrize(("unit", "words"), [(8, "feel swing eighths"), (16, "feel swing sixteenths")])
def test_a_swing_is_an_element(unit: int, words: str) -> None:
    """The feel is an element by what swings, whatever the ratio."""
    found = {frozenset(elements("RF bass x x x x", feel=Feel(unit, ratio))) for ratio in (F(3, 2), F(2), None)}
    assert found == {frozenset({"meter 4/4", "cell RF x", "sound RF bass", words})}


@given(patterns(over=whole_maps(max_runs=2)))
def test_elements_are_the_notes_alone(p: Pattern) -> None:
    """Elements depend on no title, label, recipe or note, and a page of the same row twice has no more."""
    page = page_of(p)
    other = Page("else", "other words", (Row("b", p), Row("c", p)), Tempo.at(60, F(1)), "kitgen 0", ("a note",))
    rests = {element for element in elements_of(page) if element.startswith("rest ")}
    assert elements_of(page) == tuple(sorted(elements_of(page)))
    assert set(elements_of(other)) - set(elements_of(page)) <= rests


@given(patterns(over=maps()))
def test_cells_hold_the_strokes(p: Pattern) -> None:
    """A limb's cells are as many strokes as the limb has in the beats they stand for, and none is empty."""
    for limb in Limb:
        cells = cells_of(p, limb)
        assert all("x" in cell for cell in cells)
        assert len(set(cells)) == len(cells)
        assert bool(cells) == (limb in p.limbs)


@given(patterns(over=whole_maps()))
def test_a_mirrored_page_has_mirrored_cells(p: Pattern) -> None:
    """Swapping left and right swaps the limbs of cells and nothing else."""
    for limb in Limb:
        assert cells_of(mirror(p), limb) == cells_of(p, limb.mirrored)


# ---- rests -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "bars"),
    [
        ("LH snare x . . . | . . . . | . . . . | . . . . | x . . .", 0),
        ("LH snare x . . . | . . . . | . . . . | . . . . | . . . . | x . . .", 4),
        ("LH snare x . . . | . . . . | . . . . | . . . . | . . . . | . . . . | . . . x", 5),
        ("LH snare . . . . | . . . . | . . . . | . . . .", 4),
        (("LH snare x . . . | . . . . | . . . . | . . . . | . . . .; "
         "RF bass x x x x | x x x x | x x x x | x x x x | x x x x"), 4),
        (("LH snare x . . . | . . . . | . . . . | . . . . | . . . .; "
         "RF bass . . . . | x . . . | . . . . | . . . . | . . . ."), 0),
        ("LH snare x . . . | x . . . | x . . . | x . . . | x . . .", 0),
    ],
)  # fmt: skip
def test_long_rests_are_counted_in_bars(rows: str, bars: int) -> None:
    """The longest run of bars in which a limb that pauses is silent; a foot that keeps time makes it no shorter."""
    p = parse_rows(rows)
    assert longest_rest_bars(p) == bars
    assert (f"rest {bars} bars" in elements_of(page_of(p))) is bool(bars)


# ---- ostinatos -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", list(OSTINATOS))
def test_an_ostinato_is_found_under_a_line(name: str) -> None:
    """Every ostinato is an element of a page that keeps it, whatever is over it, and of its own page."""
    own = ostinato(name)
    meters = own.meters * (2 if own.span == 4 or own.span == 3 else 4)
    free = next(limb for limb in (Limb.LH, Limb.RH) if limb not in own.limbs)
    top = (
        parse_rows(f"{free.name} snare x.x. .x.. ..xx x...", meters.bars[0].meter) if own.span != 3 else silence(meters)
    )
    under = ostinato(name, meters)
    known = known_ostinatos(meters, kit("standard"))
    assert name in ostinatos_in(under, known)
    assert name in ostinatos_in(under.with_hits(list(under) + [hit for hit in top if hit.onset < under.span]), known)


def test_what_is_played_over_an_ostinato_is_said_so() -> None:
    """Cells are over what their row keeps; two ostinatos at once are an element beside each of them."""
    known = known_ostinatos(FOUR, kit("standard"))
    over = parse_rows("LH snare x.xx .x.. .... ....").hits
    samba, ride, hat = (ostinato(name, FOUR) for name in ("samba", "ride-rock", "hat-2-4"))
    found = elements_of(page_of(samba.with_hits((*samba.hits, *over))), ostinatos=known)
    assert set(found) == {
        "meter 4/4", "ostinato samba", "sound LH snare", "cell LH x.xx over samba", "cell LH .x.. over samba",
    }  # fmt: skip
    found = elements_of(page_of(ride | hat, hat.with_hits((*(ride | hat).hits, *over))), ostinatos=known)
    assert set(found) == {
        "meter 4/4", "ostinato hat-2-4", "ostinato ride-rock", "ostinato hat-2-4 with ride-rock", "sound LH snare",
        "cell LH x.xx over hat-2-4 with ride-rock", "cell LH .x.. over hat-2-4 with ride-rock",
    }  # fmt: skip


def test_a_broken_ostinato_is_not_found() -> None:
    """One stroke left out, added or moved to another surface, and the page does not keep the ostinato."""
    samba = ostinato("samba", FOUR)
    known = known_ostinatos(FOUR, kit("standard"))
    assert ostinatos_in(samba, known) == ("samba",)
    assert ostinatos_in(samba.with_hits(samba.hits[1:]), known) == ()
    more = parse_rows("RF bass x.xx X..x x..x X..x; LF hat-foot ..x. ..x. ..x. ..x.")
    assert ostinatos_in(more, known) == ()


def test_part_of_another_ostinato_is_not_named() -> None:
    """Feet that keep bass quarters and hat on 2 and 4 are that ostinato, not also its two halves."""
    both = ostinato("quarters-hat-2-4", FOUR)
    known = known_ostinatos(FOUR, kit("standard"))
    assert ostinatos_in(both, known) == ("quarters-hat-2-4",)
    assert keeps(both, known["quarters"])
    assert ostinatos_in(project(both, Limb.RF), known) == ("quarters",)


def test_what_a_moving_limb_happens_to_make_is_no_ostinato() -> None:
    """Bass on every beat in one row and elsewhere in another, over the same hat: the bass moves, the hat is kept."""
    known = known_ostinatos(FOUR, kit("standard"))
    both, hat = ostinato("quarters-hat-2-4", FOUR), ostinato("hat-2-4", FOUR)
    moving = hat.with_hits((*hat.hits, *parse_rows("RF bass xx .x xx x.").hits))
    over = {e for e in elements_of(page_of(both, moving), ostinatos=known) if not e.startswith(("sound", "meter"))}
    assert over == {"ostinato hat-2-4", *(f"cell RF {cell} over hat-2-4" for cell in ("x", "xx", ".x"))}
    alone = [parse_rows(rows) for rows in ("RF bass x x x x", "RF bass xx .x xx x.")]
    assert not any(e.startswith("ostinato") for e in elements_of(page_of(*alone), ostinatos=known))
    assert "ostinato quarters" in elements_of(page_of(alone[0], both), ostinatos=known)
    samba, free = ostinato("samba", FOUR), alone[1]
    assert "ostinato samba" in elements_of(page_of(samba, free), ostinatos=known)


def test_an_ostinato_is_found_as_a_left_handed_player_plays_it() -> None:
    """On a mirrored kit the mirrored feet are the ostinato, the others are not."""
    left = kit("standard", hand="left")
    samba = mirror(ostinato("samba", FOUR))
    assert ostinatos_in(samba, known_ostinatos(FOUR, left)) == ("samba",)
    assert ostinatos_in(samba, known_ostinatos(FOUR, kit("standard"))) == ()


def test_an_application_is_an_element_only_where_it_is_given() -> None:
    """The application's name comes from a recipe that was verified, never from the page's words."""
    page = Page(
        "linear", "linear", (Row("linear", silence(FOUR)),), Tempo.at(90, F(1)), "kitgen 0 apply 'x' --as linear"
    )
    assert elements_of(page) == ("meter 4/4",)
    assert elements_of(page, application="linear") == ("application linear", "meter 4/4")
