"""The rules of styles: each finds what it is for, and nothing in a style that keeps it."""

from pathlib import Path

import pytest

from kitgen.kit import PLAYERS
from kitgen.read.styles import style_named
from kitgen.styles.rules import ACCEPTABLE, ERROR, STYLE_RULES, WARNING, style_findings
from tests.styles.making import style_of

RIDE, SNARE, BASS, FOOT = (
    "RH ride      xx xx xx xx",
    "LH snare     .. X. .. X.",
    "RF bass      x. .. x. ..",
    "LF hat-foot  .. x. .. x.",
)
CRASH = "RH crash     X."
ON_HAT = (RIDE, "RH closed-hat xx xx xx xx")
AFTER = 'words = "ride and feet"'


def found(folder: Path, rule: str, *changes: tuple[str, str]) -> list[str]:
    """Words of what one rule finds in the changed style."""
    return [str(one) for one in style_findings(style_of(folder, *changes)) if one.rule == rule]


def test_a_small_style_is_only_incomplete(tmp_path: Path) -> None:
    """The style for tests breaks no rule but that it is not complete, and says all that it wants."""
    words = found(tmp_path, "complete")
    assert len(style_findings(style_of(tmp_path))) == len(words) == 5
    for wanted in ("2 variations", '"simpler"', '"fuller"', "2 beats", "1 bar"):
        assert any(wanted in one for one in words)


@pytest.mark.parametrize(
    ("rule", "words", "changes"),
    [
        ("playable", "ms a stroke", (("high = 120", "high = 300"),)),
        ("playable", "fill: after a bar of time", (("high = 120", "high = 260"), ("RH snare     x.", "RH snare     .x"),
            ("LH snare     .X", "LH snare     x."))),
        ("tempi", "nothing keeps time at 120", ((AFTER, f"{AFTER}\ntempo-high = 100"),)),
        ("lengths", "do not fill a phrase of 5", (("leads", "phrase-bars = [4, 5]\nleads"), *(
            (row, f"{row} | {row[13:]}") for row in (RIDE, SNARE, BASS, FOOT)))),
        ("hat-foot", "which it has to hold", (ON_HAT,)),
        ("crash-carried", "neither bass nor snare", (("RF bass      X. .. .. ..", "LF hat-foot  x. .. .. .."),)),
        ("hat-closed", "not closed", ((RIDE, "RH open-hat  x. .. .. .."), (FOOT, "RH ride      .. .. x. .."))),
        ("no-crash", "crash-in-fills is false", (("leads", "crash-in-fills = false\nleads"), (
            "a beat on the snare\"", "a beat on the snare\"\nlands = \"crash\""))),
        ("feet", "differs from the style's feet", (("leads", 'feet = "RF bass x. x. x. x."\nleads'),)),
        ("leads", "in no pattern", (('["RH ride"]', '["RH cowbell"]'),)),
        ("endings", "cannot be heard", ((CRASH, "RH ride      g."), ("RF bass      X.", "RF bass      f."))),
        ("endings", "no bass or snare", ((CRASH, "RH ride      X."), ("RF bass      X.", "LF hat-foot  X."))),
        ("clave-side", "against the 3-2 son clave", (("leads", 'clave = { side = "3-2" }\nleads'),
            (RIDE, "RH ride      .. x. x. .. | x. .x .. x."), (f"{SNARE}\n", ""),
            (BASS, f"{BASS} | x. .. x. .."), (FOOT, f"{FOOT} | .. x. .. x."))),
    ],
)  # fmt: skip
def test_a_rule_finds_what_it_is_for(
    tmp_path: Path, rule: str, words: str, changes: tuple[tuple[str, str], ...]
) -> None:
    """A change that breaks one rule is found by it, and was not there before."""
    assert found(tmp_path, rule) == []
    told = found(tmp_path, rule, *changes)
    assert any(words in one for one in told), told


def test_feet_of_its_own_are_meant(tmp_path: Path) -> None:
    """A pattern that says its feet are its own is not held to the style's."""
    changes = (("leads", 'feet = "RF bass x. x. x. x."\nleads'), (AFTER, f"{AFTER}\nown-feet = true"))
    assert found(tmp_path, "feet", *changes) == []


def test_a_warning_can_be_accepted_and_an_error_not(tmp_path: Path) -> None:
    """Warnings name their rule, and a pattern that accepts it is not told again."""
    (one, *_) = [one for one in style_findings(style_of(tmp_path, ON_HAT)) if one.rule == "hat-foot"]
    assert one.weight == WARNING
    assert "warning (hat-foot)" in str(one)
    accepted = (AFTER, f'{AFTER}\naccepts = ["hat-foot"]')
    assert not [one for one in found(tmp_path, "hat-foot", ON_HAT, accepted) if one.startswith("groove")]
    errors = {one.rule for one in style_findings(style_of(tmp_path)) if one.weight == ERROR}
    assert not errors & set(ACCEPTABLE)


def test_a_style_is_held_to_the_player_asked_for() -> None:
    """What an advanced player can do a school player cannot always: samba at its fastest."""
    samba = style_named("samba")
    assert style_findings(samba) == ()
    assert {one.rule for one in style_findings(samba, PLAYERS["school"])} == {"playable"}


SLOW = '''[[pattern]]
name = "slow"
role = "groove"
words = "for slow tempi, too busy for the hand"
tempo-high = 105
also-boxes = [8]
rows = """
RH floor-tom xxxxxxxx xxxxxxxx xxxxxxxx xxxxxxxx
RF bass      x....... ........ x....... ........
"""

[[pattern]]
name = "fill"
'''


def test_a_style_is_held_to_its_slow_tempi_too(tmp_path: Path) -> None:
    """A fill is looked at after what keeps time at each tempo, so what is wrong half way is found."""
    changes = ((AFTER, f"{AFTER}\ntempo-low = 110"), ('[[pattern]]\nname = "fill"\n', SLOW))
    words = [one for one in found(tmp_path, "playable", *changes) if one.startswith("fill")]
    assert words
    assert all(one.startswith("fill: after a bar of time, at 90 quarters") for one in words)
    assert len(set(words)) == len(words)


def test_every_rule_says_what_it_asks() -> None:
    """Every rule has a sentence."""
    assert all((rule.__doc__ or "").strip() for rule in STYLE_RULES.values())
