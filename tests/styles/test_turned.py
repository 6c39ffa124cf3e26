"""Styles with their clave the other way round."""

import pytest

from kitgen.errors import OptionError
from kitgen.kit import Limb
from kitgen.pattern.clave import agreement, clave, swapped
from kitgen.read.style_files import style_names
from kitgen.read.styles import style_named
from kitgen.styles import Clave, Role
from kitgen.styles.pages import style_pages
from kitgen.styles.rules import style_findings
from kitgen.styles.turned import on_side, turned

WITH_CLAVE = [name for name in style_names() if style_named(name).clave]


@pytest.mark.parametrize("name", WITH_CLAVE)
def test_turning_swaps_the_bars_of_time(name: str) -> None:
    """Time of two bars has its bars swapped, time of one stands; turned twice it is as it was."""
    style = style_named(name)
    other = turned(style)
    assert style.clave is not None
    assert other.clave == Clave(swapped(style.clave.side), style.clave.kind)
    for item in style.patterns:
        if item.role.keeps_time:
            now, bar = other.named(item.name).pattern, item.pattern.meters.bars[0].length
            span = item.pattern.span
            moved = {((hit.onset + bar * (item.bars > 1)) % span, hit.limb, hit.surface) for hit in item.pattern.hits}
            assert {(hit.onset, hit.limb, hit.surface) for hit in now.hits} == moved
            assert turned(other).named(item.name).pattern == item.pattern


@pytest.mark.parametrize("name", WITH_CLAVE)
def test_a_turned_style_keeps_the_rules(name: str) -> None:
    """Nothing is found in a turned style: it can be played, agrees with its clave, and is complete."""
    style = turned(style_named(name))
    assert [str(finding) for finding in style_findings(style)] == []
    assert all(page.clave == style.clave.side for page in style_pages(style) if style.clave)


@pytest.mark.parametrize("name", WITH_CLAVE)
def test_a_turned_style_agrees_with_its_clave_as_much_as_before(name: str) -> None:
    """Every pattern of time has as many strokes on the new side as it had on the old one."""
    before = style_named(name)
    for item in before.patterns:
        if item.role.keeps_time and item.bars > 1:
            counts = []
            for style in (before, turned(before)):
                assert style.clave is not None
                pattern = style.named(item.name).pattern
                found = agreement((hit.onset for hit in pattern.hits), pattern.meters, kind=style.clave.kind)
                assert found is not None
                counts.append(found.on(style.clave.side))
            assert counts[0] == counts[1]


@pytest.mark.parametrize("name", ["cascara", "mambo", "songo", "guaguanco"])
def test_an_ending_on_the_clave_ends_with_its_crash(name: str) -> None:
    """The clave in the whole band is turned, and the crash is still on its last stroke, with the bass under it."""
    style = turned(style_named(name))
    (ending, *_) = style.of_role(Role.ENDING)
    assert style.clave is not None
    struck = sorted({hit.onset for hit in ending.pattern.hits if hit.limb is not Limb.LF})
    assert struck == list(clave(style.clave.kind, style.clave.side, style.meter))
    crashes = {hit.onset for hit in ending.pattern.hits if hit.surface == "crash"}
    assert crashes == {struck[-1]}
    assert any(hit.surface == "bass" and hit.onset == struck[-1] for hit in ending.pattern.hits)


def test_words_follow() -> None:
    """Sides and numbers of bars are swapped in the words, and how to swap them is told no more."""
    cascara, mambo = turned(style_named("cascara")), turned(style_named("mambo"))
    assert any("2-3: the bar with three strokes comes second" in note for note in cascara.notes)
    assert any("3-2: the bar with two strokes comes second" in note for note in mambo.notes)
    assert any("the & of 4 in the second bar and 3 in the first" in note for note in mambo.notes)
    assert not [note for style in (cascara, mambo) for note in style.notes if "swap" in note]
    assert "two strokes, then three" in cascara.named("ending").words
    assert any("left foot first, then the clave" in note for note in cascara.notes)


def test_what_crosses_the_clave_is_left_out_or_said() -> None:
    """A fill whose accents speak the old side goes where there is another of its length, else the notes name it."""
    cascara, songo = style_named("cascara"), style_named("songo")
    gone = {item.name for item in cascara.patterns} - {item.name for item in turned(cascara).patterns}
    assert gone == {"fill-1-bar-flams"}
    assert "Still in 2-3, for want of others: fill-1-bar, fill-1-bar-toms." in turned(songo).notes


def test_a_side_is_asked_for() -> None:
    """The style's own side leaves it as it is; the other turns it; a style without a clave has none."""
    mambo = style_named("mambo")
    assert on_side(mambo, None) is mambo
    assert on_side(mambo, "2-3") is mambo
    assert on_side(mambo, "3-2") == turned(mambo)
    with pytest.raises(OptionError, match="has no clave"):
        on_side(style_named("samba"), "3-2")
    with pytest.raises(OptionError, match="one of 3-2, 2-3"):
        on_side(mambo, "3-3")
