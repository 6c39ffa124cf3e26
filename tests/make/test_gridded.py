"""Grids into pages: playable, made again from their recipes, with tempi that start slowly."""

from dataclasses import replace

import pytest

from kitgen.errors import KitgenError, OptionError, ReadError, RefusedError, UnknownNameError
from kitgen.grid.grids import steps_of
from kitgen.kit import Limb, player
from kitgen.make.again import made_again
from kitgen.make.grid_recipe import GridRecipe
from kitgen.make.gridded import chapters_of, grid_of, gridded, moving_of, numbers_of, remade, title_of
from kitgen.pattern.playability import playability
from kitgen.pattern.swing import played_onsets
from kitgen.write.midi import loop

SAMBA = GridRecipe(moving="LH", under="samba")
RECIPES = (
    SAMBA,
    GridRecipe(moving="free", under="bossa,quarters", cells="8ths", heading="Alder Bay Middle School, spring"),
    GridRecipe(moving="RH+LH", under="samba", cells="8ths", hand="left", seed=3),
    GridRecipe(moving="LH", under="quarters-hat-2-4", time="swing", cells="8ths", swing="auto"),
    GridRecipe(moving="LH", under="ride-swing", cells="triplets", tempo="60..90"),
    GridRecipe(moving="RF", under="none", cells="8ths", meter="6/8", row_bars=8, player="beginner"),
    GridRecipe(moving="LH", under="hat-2-4", cells="8ths", span=2, pages="2-4"),
    GridRecipe(moving="LH", under="RF bass x. .x x. ..", cells="8ths", order="traditional", kit="small"),
    GridRecipe(moving="LH", under="bossa", cells="triplets", polyrhythm=True),
)


@pytest.mark.parametrize("recipe", RECIPES, ids=str)
def test_a_page_is_made_again_from_its_recipe(recipe: GridRecipe) -> None:
    """Each page carries the command with its own number, and that makes the same page and the same bytes."""
    pages, steps, numbers = gridded(recipe)
    assert len(pages) == len(steps) == len(numbers)
    for page, number in zip(pages[::5], numbers[::5], strict=True):
        assert f"--pages {number} " in page.recipe
        assert remade(page.recipe) == made_again(page.recipe) == page
    last = made_again(pages[-1].recipe)
    assert loop(last, seed=recipe.seed) == loop(pages[-1], seed=recipe.seed)


@pytest.mark.parametrize("who", ["beginner", "school", "advanced"])
@pytest.mark.parametrize("recipe", RECIPES, ids=str)
def test_every_page_can_be_played_at_its_goal(recipe: GridRecipe, who: str) -> None:
    """What the player named cannot play at the usual goal lowers it, and the page says so."""
    if recipe.tempo is not None and who == "beginner":
        return
    for page in gridded(replace(recipe, player=who)).pages:
        tempo = page.tempo
        assert playability(page.pattern, player(who), tempo.goal * float(tempo.unit), hand=recipe.hand) == ()
        assert tempo.low <= tempo.goal <= tempo.high
        assert tempo.start <= tempo.goal


@pytest.mark.parametrize(
    ("recipe", "starts"),
    [
        (SAMBA, {50}),
        (GridRecipe(moving="LH", cells="8ths"), {60}),
        (GridRecipe(moving="LH", cells="triplets", under="quarters"), {50, 52}),
        (GridRecipe(moving="LH", under="ride-swing", cells="8ths"), {60}),
        (GridRecipe(moving="LH", cells="16ths", meter="6/8", pages="1-3"), {40}),
        (GridRecipe(moving="LH", under="samba", meter="2/2", cells="8ths", pages="2"), {50}),
        (GridRecipe(moving="LH", under="bossa", meter="2/2", cells="8ths", pages="2"), {40}),
    ],
    ids=str,
)
def test_grids_start_slowly(recipe: GridRecipe, starts: set[int]) -> None:
    """A new grid starts at 40 to 60 (common practice)."""
    assert {page.tempo.start for page in gridded(recipe).pages} == starts


def test_lowered_goals_are_tempi_of_a_metronome() -> None:
    """Where the player lowers a goal it is a multiple of 5, and the note is short."""
    pages = gridded(GridRecipe(moving="RH,RF", player="beginner")).pages
    lowered = [page for page in pages if page.tempo.goal < 90]
    assert lowered
    assert all(page.tempo.goal % 5 == 0 for page in lowered)
    assert "goal lowered to 75 for the beginner player: the right hand needs time" in {
        note for page in lowered for note in page.notes
    }


def test_tempi_of_swing_time_and_of_polyrhythms() -> None:
    """Swing time is as fast as the swing ride; one against another is done at two thirds."""
    swing = gridded(GridRecipe(moving="LH", under="quarters-hat-2-4", time="swing", cells="8ths", pages="3")).pages[0]
    assert (swing.tempo.start, swing.tempo.goal) == (60, 100)
    against = gridded(GridRecipe(moving="LH", under="bossa", cells="triplets", polyrhythm=True)).pages
    assert [(page.tempo.start, page.tempo.goal) for page in against[1:3]] == [(52, 100), (40, 65)]


def test_a_tempo_asked_for_is_kept_or_refused() -> None:
    """What the player can play at it is made; else the page, the place and a way out are named."""
    page, *_ = gridded(replace(SAMBA, tempo="70..90", pages="2")).pages
    assert (page.tempo.start, page.tempo.goal) == (70, 90)
    with pytest.raises(RefusedError, match=r"page 1 \(Samba feet, alone\): .*--tempo 100 .*is slow enough"):
        gridded(replace(SAMBA, tempo="160"))
    (allowed,) = gridded(replace(SAMBA, tempo="160", pages="1", allow_unplayable=True)).pages
    assert any(note.startswith("not for the school player") for note in allowed.notes)


def test_swing_is_said_once_and_settled_at_the_tempo() -> None:
    """A swung ground swings its pages unless told; in triplets the swing is written and nothing swings twice."""
    usual = gridded(GridRecipe(moving="LH", under="ride-swing", cells="8ths", pages="2")).pages[0]
    assert str(usual.feel) == "8 2.15:1"
    played_onsets(usual.pattern)
    even = gridded(GridRecipe(moving="LH", under="ride-swing", cells="8ths", pages="2", swing="even")).pages[0]
    assert not even.feel.unit
    written = gridded(GridRecipe(moving="LH", under="ride-swing", cells="triplets", pages="2", swing="2:1")).pages[0]
    assert not written.feel.unit
    assert "the swing is written as it sounds, in triplets" in written.notes
    sixteenths = gridded(GridRecipe(moving="LH", under="ride-swing", pages="16")).pages[0]
    assert any("carried along" in note for note in sixteenths.notes)
    with pytest.raises(KitgenError, match="cannot swing"):
        gridded(GridRecipe(moving="LH", cells="8ths", meter="6/8", swing="2:1"))


def test_which_limbs_move() -> None:
    """Limbs one by one, pairs by a plus, or each that is free."""
    assert moving_of("lh, RH+LF") == ((Limb.LH,), (Limb.RH, Limb.LF))
    assert moving_of(" Free ") == ()
    with pytest.raises(UnknownNameError, match="no limb is called 'XX'"):
        moving_of("LH,XX")
    with pytest.raises(OptionError, match="names no limb"):
        moving_of(" , ")


@pytest.mark.parametrize("words", ["0", "17", "3-2", "x", "1-x", "2-", "-2", ""])
def test_pages_there_are_not(words: str) -> None:
    """The error says which pages there are, or how to name them."""
    with pytest.raises(OptionError, match="--pages"):
        numbers_of(words, 16)


def test_what_cannot_be_made_again() -> None:
    """A recipe of several pages, or one whose kit is in a file, is told from one that makes a page."""
    with pytest.raises(ReadError, match="makes 16 pages"):
        remade(str(SAMBA))
    with pytest.raises(ReadError, match="is in a file"):
        remade(str(replace(SAMBA, kit="mine.toml", sums=("mine.toml sha256:" + "0" * 64,), pages="2")))
    with pytest.raises(ReadError, match="no recipe of 'kitgen grid'"):
        remade("kitgen apply x --as limb  # kitgen 0.1.0")


def test_what_a_series_is_called() -> None:
    """By its limbs, ostinatos and cells."""
    assert title_of(RECIPES[1]) == "Grid: every free limb over bossa, quarters, 8ths"
    assert title_of(GridRecipe(moving="lh")) == "Grid: LH, 16ths"


def test_a_left_handed_page_is_the_right_handed_mirrored() -> None:
    """The mirrored grid has the same cells in the same order, and says whose it is."""
    right = gridded(GridRecipe(moving="LH", under="samba", cells="8ths")).pages
    left = gridded(GridRecipe(moving="RH", under="samba", cells="8ths", hand="left")).pages
    assert [page.title.split('"')[1::2] for page in left] == [page.title.split('"')[1::2] for page in right]
    assert all(page.title.endswith(", left-handed") for page in left)
    assert {hit.limb for hit in left[0].pattern.hits} == {Limb.RF, Limb.LF}
    assert [hit.limb for hit in left[0].pattern.hits] == [hit.limb.mirrored for hit in right[0].pattern.hits]


@pytest.mark.parametrize(
    ("moving", "under", "chapters"),
    [
        ("LH", "samba", ()),
        ("LH,RH", "samba", (("Samba", 1), ("Left hand over samba", 2), ("Right hand over samba", 17))),
        ("LH,RH,RH+LH", "none", (("Left hand", 1), ("Right hand", 16), ("Right hand and left hand", 31))),
    ],
)
def test_chapters_of_a_grid(moving: str, under: str, chapters: tuple[tuple[str, int], ...]) -> None:
    """Where several limbs move in turn each begins a chapter; what one limb does alone is none."""
    steps = steps_of(grid_of(GridRecipe(moving=moving, under=under)))
    assert chapters_of(steps, range(1, len(steps) + 1)) == chapters
