"""Options of play-alongs and sounds: read, said in recipes, and given up where a page does not suit them."""

from pathlib import Path

import pytest

from kitgen.errors import OptionError, ReadError, UnknownNameError
from kitgen.kit import Limb
from kitgen.line import parse
from kitgen.make.applied import elements_in, page_of
from kitgen.make.recipe import ApplyRecipe
from kitgen.page import Page
from kitgen.write.along import Click, PlayAlong
from kitgen.write.played import Hearing, Suited, played, suited

LINE = "x.x. xx.x x... x-x-"


def page_as(name: str, **words: str) -> Page:
    """A page of the line."""
    return page_of(ApplyRecipe(line=LINE, as_=name, **words), parse(LINE))  # type: ignore[arg-type]


def suited_to(play: PlayAlong, *pages: Page) -> Suited:
    """Pages that are all to be played so."""
    return suited(pages, [play] * len(pages), [elements_in(page) for page in pages])


def test_nothing_asked_for_is_as_usual() -> None:
    """Without options a play-along and its sound are as they always are, and recipes say nothing of them."""
    usual = played({})
    assert (usual.along, usual.hearing, usual.sums) == (PlayAlong(), Hearing(), ())
    plain = ApplyRecipe(line=LINE, as_="linear")
    assert str(ApplyRecipe(line=LINE, as_="linear", **usual.words)) == str(plain)


def test_words_are_read_and_said_in_one_form() -> None:
    """Limbs in any order and case, capitals and spaces: a recipe has one form of each."""
    asked = played({"click": "2-ON-02-off", "mute": "rf, RH,rf", "from_": " 2 ", "count_in": "none", "repeats": 3})
    assert asked.along == PlayAlong(3, click=Click("beats", 2, 2), count_in="none", muted=(Limb.RH, Limb.RF), start="2")
    assert asked.words["click"] == "2-on-2-off"
    assert asked.words["mute"] == "RH,RF"
    assert asked.words["from_"] == "2"
    assert played({**asked.words, "repeats": 3}) == asked


@pytest.mark.parametrize(
    ("options", "error", "words"),
    [
        ({"click": "loud"}, OptionError, "--click loud; it is one of beats"),
        ({"mute": " , "}, OptionError, "--mute names no limb"),
        ({"mute": "RH,LH,RF,LF"}, OptionError, "leaves nobody"),
        ({"mute": "XX"}, UnknownNameError, "no limb is called 'XX'"),
        ({"from_": " "}, OptionError, "--from names no row"),
        ({"rate": 22050}, OptionError, "--rate 22050; a WAV file has 44100 or 48000"),
        ({"font": "nowhere.sf2"}, ReadError, "the sound font nowhere.sf2 cannot be opened"),
    ],
)
def test_what_cannot_be_is_told(options: dict[str, object], error: type[Exception], words: str) -> None:
    """Each names its option and what is allowed."""
    with pytest.raises(error, match=words):
        played(options)


def test_a_font_is_named_with_its_hash(tmp_path: Path) -> None:
    """A recipe holds the font's own name, wherever it is, and its sum; one that is no font is told by then."""
    font = tmp_path / "mine.sf2"
    font.write_bytes(b"RIFF")
    with pytest.raises(ReadError, match=r"mine\.sf2 is no sound font"):
        played({"font": str(font)})
    from kitgen.write.audio_font import font_of

    font.write_bytes(font_of().data)
    asked = played({"font": str(font)})
    assert asked.words["font"] == "mine.sf2"
    assert asked.hearing.font == font
    (entry,) = asked.sums
    assert entry.startswith("mine.sf2 sha256:")
    recipe = ApplyRecipe(line=LINE, as_="linear", font="mine.sf2", sums=asked.sums)
    assert not recipe.from_file
    assert ApplyRecipe(line=LINE, as_="linear", font="mine.sf2", sums=(*asked.sums, "kit.toml sha256:00")).from_file


def test_one_page_that_does_not_suit_is_refused() -> None:
    """A page by itself is refused what it cannot be played with."""
    with pytest.raises(OptionError, match="is over samba feet, and Latin is not felt on 2 and 4"):
        suited_to(PlayAlong(click=Click("2-and-4")), page_as("hands", under="samba"))
    with pytest.raises(OptionError, match="--from 9"):
        suited_to(PlayAlong(start="9"), page_as("limb"))


def test_of_several_pages_one_that_does_not_suit_is_played_as_usual() -> None:
    """It says why, its recipe no longer asks for it, and so it is made again by itself; the others are as asked for."""
    asked = PlayAlong(click=Click("2-and-4"), count_in="none")
    pages = [page_as(name, under="samba" if name == "hands" else "none", click="2-and-4") for name in ("limb", "hands")]
    found = suited_to(asked, *pages)
    assert found.plays == (asked, PlayAlong(count_in="none"))
    assert found.as_usual[0] == ()
    assert found.as_usual[1][0].startswith("as usual, not --click 2-and-4: ")
    assert found.pages[0] == pages[0]
    assert "--click" in pages[1].recipe
    assert "--click" not in found.pages[1].recipe
    assert suited_to(found.plays[1], found.pages[1]).as_usual == ((),)


def test_a_row_that_a_page_has_not_is_left_for_its_first() -> None:
    """A label is looked for on each page; the reason names the option."""
    pages = (page_as("linear", from_="passed RH LH"), page_as("limb"))
    label = pages[1].rows[-1].label
    found = suited_to(PlayAlong(start=label), *pages)
    assert [play.start for play in found.plays] == ["", label]
    assert found.as_usual[0][0].startswith("as usual, not --from: no row of ")
    assert "--from" not in found.pages[0].recipe


def test_what_suits_no_page_is_refused() -> None:
    """A click or a label that none of the pages takes is an error, not a folder without it."""
    with pytest.raises(UnknownNameError, match="is called 'nowhere'"):
        suited_to(PlayAlong(start="nowhere"), page_as("linear"), page_as("limb"))
