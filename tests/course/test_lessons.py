"""Lessons bring one element; rests and reviews bring nothing else; all of them can be played."""

from dataclasses import replace
from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.course.lessons import lesson, offered, wants
from kitgen.course.plan import Setup
from kitgen.course.rests import rests_page
from kitgen.course.reviews import CRITERIA, review_page, review_pages
from kitgen.course.ways import elements
from kitgen.kit import Limb
from kitgen.page import Page
from kitgen.page.progress import learned, new_in
from kitgen.pattern import project, render_rows
from kitgen.pattern.playability import playability
from tests.strategies import fewer

CLAPPED = ("meter 4/4", "sound RH clap", "sound RF floor")
ALONE, KIT = Setup(way="alone"), Setup()
CELLS = tuple(f"cell {voice} {boxes}" for voice in ("RH", "LH", "hands") for boxes in ("x", "xx", ".x"))
HANDS = ("meter 4/4", "sound RH snare", "sound LH snare", *CELLS)
FEET = ("sound RF bass", "sound LF hat-foot", "cell RF xx", "cell RF .x")
TIME = (
    *HANDS, *FEET, "sound RH closed-hat", "sound RH ride", "sound RH crash", "parts RH+LH+RF", "turns RH+LH+RF",
    "turns hands+RF",
)  # fmt: skip
DRUMS = tuple(f"sound {limb} {drum}-tom" for limb in ("RH", "LH") for drum in ("high", "mid", "floor"))
SWING = (
    "feel swing eighths",
    "ostinato ride-swing",
    "ostinato quarters-hat-2-4",
    "ostinato quarters-hat-2-4 with ride-swing",
)
COMPING = tuple(f"cell LH {cell} over quarters-hat-2-4 with ride-swing" for cell in ("x", ".x", "xx"))

TAUGHT = [
    ("sound RH clap", ("meter 4/4", "sound RF floor"), ALONE),
    ("value half", CLAPPED, ALONE),
    ("value whole", CLAPPED, ALONE),
    ("meter 3/4", CLAPPED, ALONE),
    ("meter 6/8", (*CLAPPED, "cell RH xxx"), ALONE),
    ("meter 3/8", (*CLAPPED, "cell RH xxx"), ALONE),
    ("value dotted-half", (*CLAPPED, "meter 3/4"), replace(ALONE, meter="3/4")),
    ("cell RH xx", CLAPPED, ALONE),
    ("rest eighth", (*CLAPPED, "cell RH xx"), ALONE),
    ("cell RH .x", (*CLAPPED, "cell RH xx"), ALONE),
    ("value dotted-quarter", (*CLAPPED, "cell RH xx", "cell RH .x"), ALONE),
    ("tie", (*CLAPPED, "cell RH xx", "cell RH .x"), ALONE),
    ("cell RH x.xx", (*CLAPPED, "cell RH xx", "cell RH xxxx"), ALONE),
    ("cell RH xxxxxx", (*CLAPPED, "cell RH xxx"), ALONE),
    ("cell RH x..xx.", (*CLAPPED, "meter 6/8", "cell RH xxx"), replace(ALONE, meter="6/8")),
    ("change 3-4", (*CLAPPED, "cell RH xxx", "cell RH xxxx"), ALONE),
    ("change 4-5", (*CLAPPED, "cell RH xxxx", "cell RH xxxxx"), ALONE),
    ("against 3:2", (*CLAPPED, "meter 3/4", "cell RH .x"), replace(ALONE, meter="3/4")),
    ("against 4:3", (*CLAPPED, "cell RH .x.", "cell RH ..x"), ALONE),
    ("sound RH ride", ("meter 4/4",), KIT),
    ("sound RF bass", ("meter 4/4",), KIT),
    ("cell LH xx", ("meter 4/4", "sound LH snare"), KIT),
    ("cell RH+LH xx", HANDS, KIT),
    ("ostinato samba", ("meter 4/4",), KIT),
    ("ostinato hat-2-4 with ride-rock", ("meter 4/4", "ostinato hat-2-4", "ostinato ride-rock"), KIT),
    ("ostinato ride-swing", ("meter 4/4", "feel swing eighths"), KIT),
    ("cell LH x over samba", ("meter 4/4", "sound LH snare", "ostinato samba"), KIT),
    ("cell LH .x over samba", ("meter 4/4", "sound LH snare", "ostinato samba"), KIT),
    ("cell hands x over samba", (*HANDS, "ostinato samba"), KIT),
    ("cell hands xxxx over samba", (*HANDS, "ostinato samba", "cell hands x over samba"), KIT),
    ("contrast soft-accent", HANDS, KIT),
    ("ornament flam", HANDS, KIT),
    ("ornament drag", HANDS, KIT),
    ("ornament diddle", HANDS, KIT),
    ("ornament buzz", HANDS, KIT),
    ("rest 4 bars", (*CLAPPED, "cell RH xx"), ALONE),
    ("rest 12 bars", (*CLAPPED, "rest 8 bars"), ALONE),
    ("feel swing eighths", HANDS, KIT),
    ("application linear", TIME, KIT),
    ("application groove", TIME, KIT),
    ("application fill", (*TIME, *DRUMS), KIT),
    ("application swing", (*TIME, *SWING, *COMPING, "contrast soft-accent"), KIT),
]


def made(element: str, known: tuple[str, ...], setup: Setup, seed: int = 0) -> Page:
    """The lesson, which has to be there."""
    page = lesson(element, known, setup, seed=seed)
    assert page is not None, (element, wants(element, known, setup))
    return page


def held(page: Page, setup: Setup, element: str = "") -> tuple[str, ...]:
    """The elements of a page made for an element."""
    name = element.partition(" ")[2] if element.startswith("application ") else None
    return elements(page, setup.on, name)


@pytest.mark.parametrize(("element", "known", "setup"), TAUGHT)
def test_a_lesson_brings_its_element_and_nothing_else(element: str, known: tuple[str, ...], setup: Setup) -> None:
    """Exactly one element is new, on a page of different rows that its player can play at its goal."""
    page = made(element, known, setup)
    assert new_in(held(page, setup, element), learned(known)) == (element,)
    assert all(first.pattern != second.pattern for first, second in combinations(page.rows, 2))
    assert playability(page.pattern, setup.by, page.tempo.goal * float(page.tempo.unit)) == ()
    assert page.title
    assert page.instruction


ANY_KNOWN = st.lists(
    st.sampled_from(
        (
            *(f"cell RH {cell}" for cell in ("xx", ".x", "xxxx", "x.xx", ".xxx", "xxx", "x.x", "xxxxx")),
            "value half", "value dotted-quarter", "rest eighth", "tie", "meter 3/4", "meter 6/8", "change 3-4",
        )
    ),
    max_size=8,
    unique=True,
)  # fmt: skip
ANY_ELEMENT = st.sampled_from([row[0] for row in TAUGHT if row[2].way == "alone"] + ["cell RH ..xx", "cell RH xx."])


@fewer
@given(ANY_ELEMENT, ANY_KNOWN, st.sampled_from(("4/4", "3/4", "6/8")), st.integers(0, 999))
def test_whatever_is_known_a_lesson_brings_one_element_or_is_not_there(
    element: str, more: list[str], meter: str, seed: int
) -> None:
    """For any class and any seed a page brings what was asked for alone, or there is none."""
    known, setup = learned([*CLAPPED, f"meter {meter}", *more]), replace(ALONE, meter=meter)
    page = lesson(element, known, setup, seed=seed)
    if element in known:
        assert page is None
    elif page is not None:
        assert new_in(held(page, setup), known) == (element,)
        assert all(first.pattern != second.pattern for first, second in combinations(page.rows, 2))


@fewer
@given(st.data(), st.integers(0, 999))
def test_a_class_that_knows_less_gets_a_right_page_or_none(data: st.DataObject, seed: int) -> None:
    """Take away any of what a lesson stands on: the page still brings its element alone, or it is not there."""
    element, known, setup = data.draw(st.sampled_from(TAUGHT))
    fewer_known = learned(data.draw(st.lists(st.sampled_from(known), unique=True)))
    page = lesson(element, fewer_known, setup, seed=seed)
    if page is not None:
        assert new_in(held(page, setup, element), fewer_known) == (element,)


LIMB_CELLS = ("xx", ".x", "xxxx", "x.xx", "...x", ".xx.", "xxx", "x.x", ".xx")


@fewer
@given(
    st.sampled_from(LIMB_CELLS),
    st.lists(st.sampled_from(LIMB_CELLS), max_size=4, unique=True),
    st.sampled_from(("", "samba", "quarters", "bass-1-3-hat-2-4")),
    st.integers(0, 99),
)
def test_cells_of_a_limb_over_feet(cell: str, others: list[str], over: str, seed: int) -> None:
    """A cell over feet is the one new thing, the feet go on unbroken, and the last bar lands on a beat."""
    end = f" over {over}" if over else ""
    known = learned(
        ["meter 4/4", "sound LH snare", f"cell LH x{end}", *(f"cell LH {other}{end}" for other in others)]
        + ([f"ostinato {over}"] if over else [])
    )
    element = f"cell LH {cell}{end}"
    page = lesson(element, known, KIT, seed=seed)
    assert (page is None) is (element in known)
    if page is not None:
        assert new_in(held(page, KIT), known) == (element,)
        last = project(page.rows[-1].pattern, Limb.LH)
        assert last.hits[-1].onset.denominator == 1
        assert last.hits[-1].onset >= last.span - 4


@pytest.mark.parametrize(
    ("element", "known"),
    [
        ("cell LH x.xx over samba", ("meter 4/4",)),
        ("cell RH .x", ("meter 4/4",)),
        ("application groove", ("meter 4/4",)),
        ("change 3-4", CLAPPED),
        ("value half", (*CLAPPED, "value half")),
        ("ornament trill", HANDS),
        ("nonsense", CLAPPED),
    ],
)
def test_where_a_page_cannot_be_right_there_is_none(element: str, known: tuple[str, ...]) -> None:
    """No sound, no cells, known already, no such thing: no page rather than a wrong one."""
    assert lesson(element, known, KIT) is None


def test_what_a_lesson_wants_is_what_it_lacks() -> None:
    """Learning what a page wants, in turn, makes the page possible."""
    known = [element for element in TIME if not element.startswith("turns ")]
    wanted = wants("application linear", known)
    assert wanted == ("turns RH+LH+RF",)
    assert lesson("application linear", known) is None
    assert lesson("application linear", {*known, *wanted}) is not None
    assert wants("cell RH xx", CLAPPED, ALONE) == ()


def test_strokes_of_value_pages_carry_their_lengths() -> None:
    """On a page about values every stroke of the line says how long it is; on one about cells none does."""
    values, cells = made("value half", CLAPPED, ALONE), made("cell RH xx", CLAPPED, ALONE)
    for page, told in ((values, True), (cells, False)):
        lengths = [hit.length is not None for hit in page.pattern.hits if hit.surface == "clap"]
        assert set(lengths) == {told}


def test_a_seed_gives_the_same_lesson_again() -> None:
    """Same element, class and seed, same page; other seeds give others."""
    pages = [made("cell RH x.xx", (*CLAPPED, "cell RH xx", "cell RH xxxx"), ALONE, seed) for seed in (1, 1, 2, 3, 4)]
    assert pages[0] == pages[1]
    assert len({page.pattern for page in pages}) >= 3


def test_a_beginner_gets_tempi_a_beginner_can_play() -> None:
    """Sixteenths in one hand are slower for a beginner, and still a page."""
    beginner = replace(ALONE, player="beginner")
    slow, usual = (made("cell RH xxxx", (*CLAPPED, "cell RH xx"), setup) for setup in (beginner, ALONE))
    assert slow.tempo.goal < usual.tempo.goal
    assert playability(slow.pattern, beginner.by, slow.tempo.high) == ()


def test_a_tempo_that_is_asked_for_is_kept() -> None:
    """Start and goal are those of the setup."""
    page = made("cell RH xx", CLAPPED, replace(ALONE, tempo="50..70"))
    assert (page.tempo.start, page.tempo.goal) == (50, 70)
    assert page.notes == ()


def test_a_tempo_that_nobody_plays_is_lowered_and_said_to_be() -> None:
    """Where the player is slower than what is asked for, the page says so, once."""
    page = made("cell RH xxxx", (*CLAPPED, "cell RH xx"), replace(ALONE, tempo="60..200"))
    assert page.tempo.goal < 200
    assert [note for note in page.notes if "lowered" in note] == [
        f"goal lowered to {page.tempo.goal} from 200: the player can play this page no faster"
    ]


# ---- long rests ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("number", "bars"), [(0, 4), (2, 5), (5, 12), (11, 8)])
@pytest.mark.parametrize("meter", ["4/4", "3/4", "6/8"])
def test_a_page_of_long_rests_brings_only_their_length(number: int, bars: int, meter: str) -> None:
    """Their length goes by the number of the page; nothing else is new; the foot goes on in every bar."""
    known, setup = learned([*CLAPPED, f"meter {meter}", "cell RH xx", "cell RH xxx"]), replace(ALONE, meter=meter)
    page = rests_page(known, setup, number=number, seed=3)
    assert page is not None
    assert new_in(held(page, setup), known) == (f"rest {bars} bars",)
    feet = {hit.onset for hit in page.pattern.hits if hit.limb is Limb.RF}
    assert {beat.start for beat in page.pattern.meters.beats} == feet


def test_a_student_comes_in_where_the_row_says() -> None:
    """After the rest the first stroke is on the beat the row is called by."""
    page = rests_page(learned([*CLAPPED, "cell RH xx", "cell RH .x"]), ALONE, seed=5)
    assert page is not None
    for row in page.rows:
        place = Fraction(int(row.label[-1]) - 1)
        struck = [hit.onset for hit in row.pattern.hits if hit.limb is Limb.RH]
        gap = max(range(1, len(struck)), key=lambda index: struck[index] - struck[index - 1])
        assert struck[gap] % 4 == place


def test_rests_on_the_kit_are_counted_over_feet_that_are_known() -> None:
    """Where hands are known over feet, the feet keep the pulse through the rest; else nothing does."""
    over = learned([*HANDS, "ostinato quarters", *(f"cell hands {cell} over quarters" for cell in ("x", "xx"))])
    page = rests_page(over, KIT)
    assert page is not None
    assert "ostinato quarters" in held(page, KIT)
    plain = rests_page(learned(HANDS), KIT)
    assert plain is not None
    assert {hit.limb.is_hand for hit in plain.pattern.hits} == {True}


def test_no_rests_before_anything_is_known() -> None:
    """A class that can play nothing has nothing to rest from."""
    assert rests_page(["meter 4/4"], ALONE) is None


def test_rests_stand_over_what_the_chapter_keeps() -> None:
    """With a chapter over samba feet the feet that go on through the rests are those."""
    cells = [f"cell hands {cell} over {feet}" for cell in ("x", "xx") for feet in ("samba", "quarters")]
    known = learned([*HANDS, *cells, "ostinato samba", "ostinato quarters"])
    samba = made("cell hands .x over samba", tuple(known), KIT)
    for number in range(4):
        page = rests_page(known, KIT, number=number, pages=[samba])
        assert page is not None
        assert "ostinato samba" in held(page, KIT)


def test_rests_are_counted_in_other_meters_too() -> None:
    """Where three-four and six-eight are known, pages in turn stand in them."""
    known = learned([*CLAPPED, "meter 3/4", "meter 6/8", "cell RH xx", "cell RH xxx"])
    pages = [rests_page(known, ALONE, number=number) for number in range(8)]
    meters = [str(page.bars[0].meter) for page in pages if page is not None]
    assert meters == ["4/4", "3/4", "4/4", "6/8"] * 2


# ---- applications ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "more"), [("linear", ()), ("groove", ()), ("fill", DRUMS), ("between", ())])
def test_a_page_about_an_application_is_a_pages_worth(name: str, more: tuple[str, ...]) -> None:
    """The line by itself, a part of it over and over, then the whole twice: sixteen bars."""
    page = made(f"application {name}", (*TIME, *more), KIT)
    assert page.rows[0].label.startswith("the line alone")
    assert "over and over" in page.rows[1].label
    assert page.rows[-1].times == 2
    assert len(page.bars) >= 16


def test_gaps_do_not_run_on_after_the_line() -> None:
    """Whatever line it is, its last note is on the last beat, so that the gaps stop with it."""
    for page in offered("application between", learned(TIME), KIT, 0):
        whole = page.rows[-1].pattern
        last = max(hit.onset for hit in whole.hits if hit.limb.is_hand)
        assert last >= whole.span - 1


@pytest.mark.parametrize("ornament", ["flam", "drag", "buzz"])
def test_ornaments_are_played_by_both_hands(ornament: str) -> None:
    """On the page of an ornament the left hand has it alone, and the hands in turn."""
    limbs = {
        frozenset(hit.limb for hit in row.pattern.hits if hit.ornament)
        for row in made(f"ornament {ornament}", HANDS, KIT).rows
    }
    assert {frozenset({Limb.RH}), frozenset({Limb.LH}), frozenset({Limb.RH, Limb.LH})} <= limbs


def test_a_crash_rings() -> None:
    """No stroke on the crash comes sooner than a half note after another; the page says to mind the ears."""
    page = made("sound RH crash", ("meter 4/4", "value half", "value whole", "sound RH snare"), KIT)
    assert all(hit.length is not None and hit.length >= 2 for hit in page.pattern.hits)
    assert "ear protection" in page.instruction


def test_bars_of_quarters_start_with_one_hand() -> None:
    """Where both hands share quarters, the right has 1 and 3, the left 2 and 4, whatever the bar leaves out."""
    page = made("cell hands x over samba", (*HANDS, "ostinato samba"), KIT)
    for hit in page.pattern.hits:
        if hit.limb.is_hand:
            assert (hit.limb is Limb.RH) == (hit.onset % 2 == 0)


def test_the_page_of_eighth_rests_is_printed_in_eighths() -> None:
    """No row has more than two boxes a beat, and each says that its strokes last their boxes."""
    for row in made("rest eighth", (*CLAPPED, "cell RH xx"), ALONE).rows:
        count, clap, *_, lengths = render_rows(row.pattern).splitlines()
        assert {len(group) for group in clap.replace("|", "").split()[2:]} == {2}, count
        assert lengths.split() == ["lengths", "RH", "clap"]


def test_the_first_page_has_full_bars() -> None:
    """Quarter notes: rests only in the bar that ends a row."""
    page = made("sound RH clap", ("meter 4/4", "sound RF floor"), ALONE)
    for row in page.rows:
        struck = {hit.onset for hit in row.pattern.hits if hit.limb is Limb.RH}
        whole = row.pattern.span - (0 if len(row.pattern.meters.bars) == 1 else 4)
        assert struck >= {Fraction(beat) for beat in range(int(whole))}


# ---- reviews ---------------------------------------------------------------------------------------------------------


def chapter() -> tuple[frozenset[str], list[Page]]:
    """A chapter of values and eighths, and what is known after it."""
    known, pages = list(CLAPPED), list[Page]()
    for element in ("value half", "cell RH xx", "rest eighth", "cell RH .x"):
        pages.append(made(element, tuple(known), ALONE))
        known.append(element)
    return learned(known), pages


def test_a_review_holds_nothing_new_and_a_row_of_every_page() -> None:
    """Rows are called like the pages they are from; criteria stand on the page; nothing is new."""
    known, pages = chapter()
    page = review_page(known, pages, ALONE, title="Eighths")
    assert page is not None
    assert new_in(held(page, ALONE), known) == ()
    assert [row.label for row in page.rows] == [one.title for one in pages]
    assert page.grading == CRITERIA
    assert page.title == "Review: Eighths"


def test_a_review_tells_lengths_everywhere_or_nowhere() -> None:
    """A quarter looks alike in every row: where one row tells lengths, all do."""
    known, pages = chapter()
    page = review_page(known, pages, ALONE)
    assert page is not None
    assert all(hit.length is not None for hit in page.pattern.hits if hit.surface == "clap")


def test_what_has_another_feel_is_reviewed_on_a_page_of_its_own() -> None:
    """Nothing is dropped: swung rows stand on the second page, even ones on the first."""
    known, pages = chapter()
    swung = made("feel swing eighths", HANDS, KIT)
    found = review_pages(learned([*known, *HANDS, "feel swing eighths"]), [*pages, swung], ALONE, title="Eighths")
    assert [page.title for page in found] == ["Review: Eighths", "Review 2: Eighths"]
    assert [page.feel.unit for page in found] == [0, 8]
    assert [row.label for row in found[1].rows] == [swung.title]


def test_rows_that_cannot_be_read_side_by_side_are_reviewed_apart() -> None:
    """Beside hands that act as one a left hand alone would be read as theirs; it gets a page, not lost."""
    known = learned([*HANDS, *SWING, *COMPING])
    pages = [
        made("feel swing eighths", HANDS, KIT),
        made("cell LH .x over quarters-hat-2-4 with ride-swing", (*HANDS, *SWING, COMPING[0]), KIT),
    ]
    found = review_pages(known, pages, KIT)
    assert [row.label for page in found for row in page.rows] == [page.title for page in pages]
    assert all(new_in(held(page, KIT), known) == () for page in found)


def test_trading_is_reviewed_time_and_solo() -> None:
    """Of a page of trading fours both fours are played."""
    known = learned([*TIME, *DRUMS, *SWING, *COMPING, "contrast soft-accent", "ostinato hat-2-4"])
    page = next(offered("application trade", known, KIT, 0))
    found = review_pages(known | learned(held(page, KIT)), [page], KIT)
    assert {row.label for one in found for row in one.rows} == {
        "Trading fours, 4 bars of time", "Trading fours, 4 bars of solo",
    }  # fmt: skip


def test_a_review_leaves_out_what_is_not_known() -> None:
    """A page from elsewhere gives no row."""
    known, pages = chapter()
    strange = made("cell RH xxxx", (*CLAPPED, "cell RH xx"), ALONE)
    page = review_page(known, [*pages, strange], ALONE)
    assert page is not None
    assert strange.title not in {row.label for row in page.rows}
    assert review_page(learned(CLAPPED), [strange], ALONE) is None


def test_a_long_chapter_is_reviewed_in_part() -> None:
    """A page has eight rows at most, the chapter's first and last page among them."""
    known, pages = chapter()
    seeds = [lesson("cell RH .x", [*CLAPPED, "cell RH xx"], ALONE, seed=seed) for seed in range(12)]
    many = [replace(page, title=f"Page {number}") for number, page in enumerate(filter(None, seeds))]
    page = review_page(known, [*pages, *many], ALONE)
    assert page is not None
    assert len(page.rows) == 8
    assert page.rows[0].label == pages[0].title


def test_offers_come_fullest_first() -> None:
    """The first page offered has as much beside the new figure as any after it."""
    known = learned([*CLAPPED, "cell RH xx", "cell RH xxxx"])
    sizes = [len({row.pattern for row in page.rows}) for page in offered("cell RH x.xx", known, ALONE, 0)]
    assert sizes[0] == max(sizes)
