"""The pages of a library: what is asked for, what is made, and each made again from its recipe."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import KitgenError, OptionError, ReadError, TimeError, UnknownNameError
from kitgen.kit import Limb
from kitgen.make.again import made_again
from kitgen.make.library import LibraryPage, Skipped, outside, pages_of, sections_in
from kitgen.make.library_recipe import LibraryRecipe
from kitgen.make.library_words import limbs_of, sections_of, tempi_of, usual_tempi
from kitgen.read.styles import style_named
from kitgen.styles import Role
from tests.styles.making import style_file


def made(recipe: LibraryRecipe, given_: str | None = None) -> list[LibraryPage | Skipped]:
    """All a recipe makes and leaves out."""
    return [one for section in sections_in(recipe, given_) for one in pages_of(section)]


@pytest.mark.parametrize("name", ["samba", "swing", "jazz-waltz", "rock"])
def test_every_page_is_made_again_from_its_recipe(name: str) -> None:
    """The recipe on a page makes that page, and no other."""
    pages = [one.page for one in made(LibraryRecipe(style=name, tempo="110", seed=3)) if isinstance(one, LibraryPage)]
    assert len(pages) > 8
    for page in pages:
        assert made_again(page.recipe) == page
    assert len({page.recipe for page in pages}) == len(pages)


def test_every_pattern_is_a_page_at_each_tempo() -> None:
    """A style has a page for each pattern that is for a tempo, and a play-along, at its low, middle and high."""
    style = style_named("bossa")
    pages = [one for one in made(LibraryRecipe(style="bossa")) if isinstance(one, LibraryPage)]
    assert {one.bpm for one in pages} == set(usual_tempi(style)) == {100, 130, 160}
    expected = {(item.name, bpm) for item in style.patterns for bpm in usual_tempi(style) if item.tempo.holds(bpm)}
    assert {(one.section, one.bpm) for one in pages} == expected | {("play-along", bpm) for bpm in (100, 130, 160)}
    for one in pages:
        assert one.page.tempo.start == one.page.tempo.goal == one.bpm
        assert (one.page.tempo.low, one.page.tempo.high) == (100, 160)


def test_loops_are_the_patterns_themselves() -> None:
    """What keeps time is looped as it stands; a fill is at the end of four bars."""
    style = style_named("rock")
    pages = {
        one.section: one.page for one in made(LibraryRecipe(style="rock", tempo="100")) if isinstance(one, LibraryPage)
    }
    for item in style.patterns:
        if item.role.keeps_time and item.name in pages:
            assert pages[item.name].pattern == item.pattern
    assert len(pages["fill-1-bar"].bars) == 4
    fill = style.named("fill-1-bar").pattern
    offset = pages["fill-1-bar"].pattern.span - fill.span
    assert {hit.at(hit.onset + offset) for hit in fill.hits} <= set(pages["fill-1-bar"].pattern.hits)


def test_swing_follows_the_tempo() -> None:
    """A swinging style has the ratio of each tempo."""
    pages = [
        one
        for one in made(LibraryRecipe(style="swing", section="groove", tempo="110,190"))
        if isinstance(one, LibraryPage)
    ]
    assert [one.page.feel.ratio_text for one in pages] == ["2.15:1", "1.85:1"]


def test_a_bpm_counts_the_unit_of_the_style() -> None:
    """Samba at 100 is 100 halves a minute: 200 quarters."""
    (page,) = made(LibraryRecipe(style="samba", section="groove", tempo="100"))
    assert isinstance(page, LibraryPage)
    assert page.page.tempo.quarters == 200


def test_outside_its_tempi_a_style_is_made_and_says_so() -> None:
    """A tempo outside the style's range is told once a style, and noted on the page."""
    recipe = LibraryRecipe(style="bossa,samba", section="groove", tempo="80,100")
    assert list(outside(sections_in(recipe))) == [
        "bossa: 80 bpm is not where it lives, 100 to 160 quarters a minute; made where it can be played",
        "samba: 80 bpm is not where it lives, 88 to 130 halves a minute; made where it can be played",
    ]
    pages = [one for one in made(recipe) if isinstance(one, LibraryPage)]
    assert [bool(one.page.notes) for one in pages] == [True, False, True, False]


def test_what_nobody_can_play_is_left_out_with_the_reason() -> None:
    """Far too fast, a page is not made, and the words say what is too fast."""
    (one,) = made(LibraryRecipe(style="samba", section="bell", tempo="300"))
    assert isinstance(one, Skipped)
    assert one.why.startswith('bar 1, count "1": the right foot (RF) has 50 ms between two strokes on bass')


def test_a_beginner_gets_less() -> None:
    """Held against another player, more is left out."""
    count = [
        sum(isinstance(one, LibraryPage) for one in made(LibraryRecipe(style="rock", tempo="120", player=player)))
        for player in ("beginner", "advanced")
    ]
    assert count[0] < count[1]


def test_sections_are_named_by_pattern_or_kind() -> None:
    """A name is that pattern, another word all of a kind, play-along the play-along; in the style's own order."""
    style = style_named("swing")
    assert sections_of(style, "groove") == ("groove",)
    assert sections_of(style, "ending,play-along") == ("ending", "play-along")
    assert sections_of(style, "fill") == tuple(item.name for item in style.patterns if item.role is Role.FILL)
    assert sections_of(style, None)[-1] == "play-along"


@pytest.mark.parametrize(
    ("words", "error", "says"),
    [
        ({"style": "smaba"}, UnknownNameError, "no style is called 'smaba'; did you mean samba?"),
        ({"style": " , "}, OptionError, "--style names nothing"),
        ({"style": "samba", "section": "groov"}, UnknownNameError, "did you mean groove?"),
        ({"style": "samba", "section": ","}, OptionError, "--section names nothing"),
        ({"style": "samba", "section": "shout"}, UnknownNameError, "no section is called 'shout'"),
        ({"style": "samba", "tempo": "fast"}, TimeError, "a tempo of fast cannot be played to; it is 20 to 400"),
        ({"style": "samba", "tempo": "90-120"}, OptionError, "write a range with two dots, 90..120"),
        ({"style": "samba", "tempo": "1e9"}, TimeError, "20 to 400"),
        ({"style": "samba", "tempo": "nan"}, TimeError, "20 to 400"),
        ({"style": "samba", "tempo": ""}, TimeError, "20 to 400"),
        ({"style": "samba", "tempo": "90..180:0"}, OptionError, "a step of '0'; steps are 1 to 100"),
        ({"style": "samba", "tempo": "180..90"}, OptionError, "from 180 down to 90; give the slower tempo first"),
        ({"style": "samba", "tempo": "20..400:1"}, OptionError, "that is 381 tempi; 100 at most"),
        ({"style": "samba", "form": "aabaa"}, UnknownNameError, "did you mean aaba?"),
        ({"style": "samba", "ending": "fade"}, OptionError, "--ending fade: it is one of own, short, tag, ritard"),
        ({"style": "samba", "without": "RX"}, KitgenError, "RX"),
        ({"style": "samba", "without": "RH,LH,RF,LF"}, OptionError, "that leaves nobody"),
    ],
)  # fmt: skip
def test_words_that_cannot_be_are_told_before_anything_is_made(
    words: dict[str, str], error: type[KitgenError], says: str
) -> None:
    """Each names what was given and what is allowed."""
    with pytest.raises(error) as told:
        sections_in(LibraryRecipe(**words))  # type: ignore[arg-type]  # every one of these options is words
    assert says in str(told.value)


@given(st.integers(20, 300), st.integers(0, 100), st.integers(2, 100))
def test_a_range_holds_both_ends_and_climbs(low: int, more: int, step: int) -> None:
    """Tempi of a range are the two ends and what lies between them step by step, each once."""
    tempi = tempi_of(f"{low}..{low + more}:{step}")
    assert (tempi[0], tempi[-1]) == (low, low + more)
    assert list(tempi) == sorted(set(tempi))
    assert len(tempi) == -(-more // step) + 1
    assert set(tempi[:-1]) <= set(range(low, low + more + 1, step))


def test_limbs_are_read_once_each() -> None:
    """Limbs a second file is without are in the order of rows."""
    assert limbs_of("LF, rh,RH") == (Limb.RH, Limb.LF)
    assert limbs_of(None) == ()


def test_a_style_of_ones_own_has_its_sum_in_the_recipe(tmp_path: Path) -> None:
    """Pages of a style in a file name it and its hash, and are not made again without it."""
    path = style_file(tmp_path, name="mine")
    from kitgen.make.library_styles import canonical_styles

    style, sums = canonical_styles(f"samba,{path}")
    pages = made(LibraryRecipe(style=style, sums=sums, section="groove", tempo="100"), f"samba,{path}")
    samba, mine = (one.page.recipe for one in pages if isinstance(one, LibraryPage))
    assert "sha256" not in samba
    assert mine.startswith("kitgen library --style mine.toml ")
    assert "mine.toml sha256:" in mine
    with pytest.raises(ReadError, match="in a file"):
        made_again(mine)


def test_two_styles_of_one_name_are_refused(tmp_path: Path) -> None:
    """A file called like a style of the library cannot be written beside it."""
    path = style_file(tmp_path, name="samba")
    with pytest.raises(OptionError, match="two styles are called samba"):
        sections_in(LibraryRecipe(style="samba,samba.toml"), f"samba,{path}")
