"""The styles of the library: every one keeps the rules, and says what its trade says of it."""

from fractions import Fraction

import pytest

from kitgen.apply.ostinatos import ostinato
from kitgen.kit import Limb
from kitgen.pattern import Level, project, stretch
from kitgen.read.style_files import style_names
from kitgen.read.styles import style_named
from kitgen.styles import Role
from kitgen.styles.rules import style_findings


@pytest.mark.parametrize("name", style_names())
def test_a_style_keeps_the_rules(name: str) -> None:
    """Nothing is found in any style of the library."""
    assert [str(finding) for finding in style_findings(style_named(name))] == []


@pytest.mark.parametrize("name", style_names())
def test_a_style_says_what_it_is(name: str) -> None:
    """Every style has sources, notes to the player, a form, and what leads; no pattern's words end like a sentence."""
    style = style_named(name)
    assert style.sources
    assert style.notes
    assert style.forms
    assert style.leads
    assert all(not item.words.endswith(".") for item in style.patterns)


@pytest.mark.parametrize("name", style_names())
def test_fills_do_not_fade(name: str) -> None:
    """The last stroke of the hands in a fill is as loud as its first, or louder (common practice: fills grow)."""
    for fill in style_named(name).fills:
        hands = [hit for hit in fill.pattern.hits if hit.limb.is_hand]
        assert hands, fill.name
        last = max(hit.level for hit in hands if hit.onset == hands[-1].onset)
        assert last >= hands[0].level, fill.name


@pytest.mark.parametrize("name", ["samba", "bossa"])
def test_feet_are_those_of_the_ostinato(name: str) -> None:
    """A style's feet strike where the ostinato of its name does, in the style's own note values."""
    style = style_named(name)
    expected = stretch(ostinato(name), 2) if style.meter.denominator == 2 else ostinato(name)
    assert style.feet is not None
    assert [(hit.onset, hit.limb) for hit in style.feet.hits] == [(hit.onset, hit.limb) for hit in expected.hits]


def test_bossa_keeps_its_bass_under_the_hands() -> None:
    """In whatever keeps bossa time every bass stroke is softer than cross-stick and hat or ride (common practice)."""
    for item in style_named("bossa").patterns:
        if item.role.keeps_time:
            bass = {hit.level for hit in item.pattern.hits if hit.limb is Limb.RF}
            leading = [hit.level for hit in item.pattern.hits if hit.surface in ("cross-stick", "closed-hat", "ride")]
            assert max(bass) < min(leading), item.name


def test_a_drop_is_as_loud_as_anything() -> None:
    """Bass and cross-stick fall on the drop together, no softer than the hat that leans (common practice)."""
    for name, drops in (("one-drop", [2]), ("one-drop-slow", [1, 3])):
        hits = style_named(name).groove.pattern.hits
        loudest = max(hit.level for hit in hits)
        for limb in (Limb.RF, Limb.LH):
            assert [(hit.onset, hit.level) for hit in hits if hit.limb is limb] == [
                (Fraction(at), loudest) for at in drops
            ]


def test_swing_feathers_its_bass() -> None:
    """In the swing groove the bass is feathered on every beat and the hat foot has 2 and 4."""
    groove = style_named("swing").groove.pattern
    feet = {limb: project(groove, limb) for limb in (Limb.RF, Limb.LF)}
    assert {hit.level for hit in feet[Limb.RF].hits} == {Level.FEATHER}
    assert [hit.onset for hit in feet[Limb.RF].hits] == [0, 1, 2, 3]
    assert [hit.onset for hit in feet[Limb.LF].hits] == [1, 3]


def test_a_comped_bass_takes_the_feathered_ones_place() -> None:
    """No feathered stroke of the swing's bass falls within half a beat before or after a comped one."""
    for item in style_named("swing").of_role(Role.VARIATION):
        bass = [hit for hit in item.pattern.hits if hit.limb is Limb.RF]
        comped = [hit.onset for hit in bass if hit.level >= Level.NORMAL]
        feathered = [hit.onset for hit in bass if hit.level is Level.FEATHER]
        assert not [one for one in feathered if any(one != at and 0 <= one - at <= 0.5 for at in comped)]


def test_latin_counts_its_quarters() -> None:
    """Cut-time styles count the quarters and are counted in by a bar of halves and one of quarters."""
    for name in style_names():
        style = style_named(name)
        if style.meter.denominator == 2:
            assert style.count_quarters, name
            assert style.count_in_bars == 2, name
