"""Pages in twice and half the note values: the same sound, another page, and the same limits."""

from fractions import Fraction
from io import BytesIO

import mido
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import KitgenError, OptionError, RefusedError
from kitgen.line import Line, parse, render
from kitgen.make.again import made_again
from kitgen.make.applied import page_of
from kitgen.make.recipe import ApplyRecipe
from kitgen.page import Page
from kitgen.write.midi import loop
from tests.strategies import said_lines

LINE = "x.x. xx.x x... x-x-"


def page_in(values: str, line: str = LINE, *, as_: str = "groove", meter: str = "4/4", **more: str) -> Page:
    """A page of a line in such values."""
    recipe = ApplyRecipe(line=line, as_=as_, meter=meter, write_values=values, **more)  # type: ignore[arg-type]  # all words
    return page_of(recipe, parse(line, meter))


def seconds(page: Page) -> list[tuple[float, int, int]]:
    """When each key is struck in the loop of a page, to the tenth of a millisecond, and how loud."""
    midi, found, now = mido.MidiFile(file=BytesIO(loop(page))), [], 0.0
    for message in midi:
        now += message.time
        if message.type == "note_on" and message.velocity:
            found.append((round(now, 3), message.note))
    return sorted(found)  # type: ignore[arg-type]  # pairs


@pytest.mark.parametrize("values", ["twice", "half"])
@pytest.mark.parametrize("as_", ["groove", "linear", "limb", "hands", "fill"])
def test_it_sounds_the_same(values: str, as_: str) -> None:
    """Every stroke of the MIDI file is where it was in time, on the key it was on."""
    assert seconds(page_in(values, as_=as_)) == seconds(page_in("as-played", as_=as_))


@given(said_lines(), st.sampled_from(("twice", "half")))
def test_its_notes_are_stretched(line: Line, values: str) -> None:
    """Onsets are twice or half as far on, the tempo as many times as fast, and the recipe makes the page again."""
    by = Fraction(2) if values == "twice" else Fraction(1, 2)
    recipe = ApplyRecipe(line=render(line), as_="hands", meter=str(line.meters.only))
    try:
        usual = page_of(recipe, line)
        other = page_in(values, render(line), as_="hands", meter=recipe.meter)
    except KitgenError:
        return
    assert [hit.onset for hit in other.pattern.hits] == [hit.onset * by for hit in usual.pattern.hits]
    assert other.tempo.quarters == pytest.approx(usual.tempo.quarters * float(by))
    assert made_again(other.recipe) == other


def test_swing_has_a_name_in_the_new_values() -> None:
    """Swung eighths are swung sixteenths in half the values, in the ratio they had; in twice they have no name."""
    usual, half = (page_in(values, as_="swing", swing="auto") for values in ("as-played", "half"))
    assert (half.feel.unit, half.feel.ratio) == (16, usual.feel.ratio)
    with pytest.raises(KitgenError, match="8ths that swing would be 4ths here"):
        page_in("twice", as_="swing")


def test_what_cannot_be() -> None:
    """Other words, a meter nobody would write it in, a tempo out of range."""
    with pytest.raises(OptionError, match="--write-values third: it is one of as-played, twice, half"):
        page_in("third")
    with pytest.raises(RefusedError, match="5/8, which nobody counts in 5 equal beats"):
        page_in("half", "x x x x x", as_="hands", meter="5/4")
    with pytest.raises(RefusedError, match=r"--write-values half: 3/64 in half .*; use --write-values twice$"):
        page_in("half", "x x x", as_="alone", meter="3/64")
    with pytest.raises(RefusedError, match=r"--write-values twice counts from 600 to 600: .*; choose another --tempo"):
        page_in("twice", as_="hands", tempo="300")


def test_what_is_said_of_it() -> None:
    """Which tempo is which is noted, and goals are told as the page counts them."""
    page = page_in("half", as_="linear")
    assert (
        "quarter = 30 on this page sounds as quarter = 60 does in the line; what was a quarter is now an eighth"
        in page.notes
    )
    assert page.line == ""


def test_a_page_that_speaks_of_its_values_is_not_written_in_others() -> None:
    """Where title and labels name note values, other values are refused, since the words would no longer be true."""
    with pytest.raises(RefusedError, match="the page of displace speaks of its own note values"):
        page_in("twice", as_="displace")
