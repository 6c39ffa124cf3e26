"""A refusal says why the line does not suit, and names something that would work."""

import re

import pytest

from kitgen.apply import Setting, application, apply
from kitgen.errors import FeelError, OptionError, RefusedError, UnknownNameError
from kitgen.kit import Kit, Limb, kit
from kitgen.line import parse
from kitgen.make.applied import page_of
from kitgen.make.recipe import ApplyRecipe

LINE = "1 & 2 e & a 3 4 &"
SMALL = kit("small")


@pytest.mark.parametrize(
    ("line", "name", "setting", "why", "instead"),
    [
        ("1 2 3 4", "long-short", Setting(), "every note of this line is long", "write some notes shorter"),
        ("8 8r 8 8r 8 8 8 8", "long-short", Setting(), "every note of this line is short", "write some notes longer"),
        ("(1) 2 4", "groove", Setting(), "every note of this line falls on the backbeat", "use --as hands or limb"),
        (LINE, "groove", Setting(under="samba"), "a groove keeps its own time", "leave --under away"),
        (". . . .", "linear", Setting(), "this line is all rest", "use --as alone to count it"),
        (
            LINE,
            "limb",
            Setting(limb=Limb.RF, under="samba"),
            "the line needs the right foot (RF), which the ostinato holds",
            "it leaves free: RH, LH",
        ),
        (
            LINE,
            "limb",
            Setting(limb=Limb.RH, under="RH ride x x x x; LH snare . x . x; RF bass x . x .; LF hat-foot . x . x"),
            "the line needs the right hand (RH)",
            "it leaves free: no limb",
        ),
        (
            LINE,
            "linear",
            Setting(under="quarters"),
            "the line needs the right foot (RF), which the ostinato holds",
            "it leaves free: RH, LH, LF",
        ),
        (LINE, "limb", Setting(under="ride-waltz"), "does not fit 1 bar of 4/4", "these fit any meter: quarters"),
        (LINE, "limb", Setting(limb=Limb.RH, surface="bass"), "cannot play bass", "it is played with a foot: RF, LF"),
    ],
)
def test_refusals(line: str, name: str, setting: Setting, why: str, instead: str) -> None:
    """What is wrong, and what would do."""
    with pytest.raises(RefusedError, match=re.escape(why)) as caught:
        apply(parse(line), name, setting)
    assert instead in str(caught.value)


@pytest.mark.parametrize("name", ["alone", "limb", "hands", "linear", "long-short", "groove"])
def test_a_kit_that_lacks_something(name: str) -> None:
    """On a kit of laps alone a page is what is left of it, and says what the kit has not; or nothing is left."""
    bare = Setting(kit=Kit("corner", ("lap",)))
    try:
        made = apply(parse("4 8 8 4 8 8"), name, bare)
    except RefusedError as error:
        assert "the corner kit has no" in str(error)  # noqa: PT017
        return
    assert {hit.surface for _, pattern in made.rows for hit in pattern.hits} <= {"lap"}
    assert any("the corner kit has no" in note for note in made.notes)


def test_a_surface_the_kit_lacks() -> None:
    """A surface asked for that the kit has not is refused with what it has."""
    with pytest.raises(RefusedError, match="the small kit has no ride; it has crash, closed-hat"):
        Setting(kit=SMALL, surface="ride")


def test_names_and_options_that_do_not_exist() -> None:
    """What is no application, order, sticking or gap is an error, not a refusal."""
    with pytest.raises(UnknownNameError, match="no application is called 'grove'; did you mean groove"):
        application("grove")
    with pytest.raises(OptionError, match="name two limbs or more, each once"):
        Setting(order=(Limb.RH,))
    with pytest.raises(OptionError, match="--gaps 'half'; it is one of left, filled"):
        Setting(gaps="half")
    with pytest.raises(OptionError, match="--sticking 'odd'; it is one of natural"):
        Setting(sticking="odd")


@pytest.mark.parametrize(
    ("meter", "unit", "instead"), [("6/8", 8, "use --swing even, or --swing-unit 16"), ("5/8", 8, "use --swing even")]
)
def test_beats_that_cannot_swing(meter: str, unit: int, instead: str) -> None:
    """A meter whose beats hold no pairs is refused a swing, with what would do."""
    line = parse("1 2", meter)
    with pytest.raises(FeelError, match=re.escape(instead)):
        page_of(ApplyRecipe(line="", as_="hands", meter=meter, swing="2:1", swing_unit=unit), line)
