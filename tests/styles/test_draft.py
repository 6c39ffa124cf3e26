"""Playing is read back as the draft of a style: its groove, its variations, its fills, and what is left to do."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import OptionError, PatternError
from kitgen.kit import Limb
from kitgen.pattern import Level, Pattern, parse_rows
from kitgen.read.style_files import style_names
from kitgen.read.styles import read_style, style_named
from kitgen.styles import Role
from kitgen.styles.draft import Draft, draft_name, drafted
from kitgen.styles.draft_bars import bars_of
from kitgen.styles.draft_families import common, compared, families
from kitgen.styles.rules import style_findings
from kitgen.time import Meter, Meters
from kitgen.write.style_text import style_text
from tests.strategies import fewer, patterns, whole_maps

ROCK = parse_rows("RH closed-hat x.x. x.x. x.x. x.x.\nLH snare .... X... .... X...\nRF bass x... .... x.x. ....")
BUSY = parse_rows("RH closed-hat x.x. x.x. x.x. x.x.\nLH snare .... X..g .g.. X...\nRF bass x..x .... ..x. ..x.")
BELL = parse_rows("RH ride-bell X... X... X... X...\nLH snare .... X... .... X...\nRF bass x.x. ..x. x.x. ..x.")
FILL = parse_rows(
    "RH closed-hat x.x. x.x. .... ....\nRH snare .... .... x.x. ....\nRH high-tom .... .... .... x.x.\n"
    "LH snare .... X... .x.x ....\nLH floor-tom .... .... .... .x.X\nRF bass x... .... x... x..."
)
CRASHED = parse_rows(
    "RH crash X... .... .... ....\nRH closed-hat ..x. x.x. x.x. x.x.\nLH snare .... X... .... X...\n"
    "RF bass x... .... x.x. ...."
)


def draft_of(played: Pattern, **options: float) -> Draft:
    """The draft of a pattern."""
    tempo = options.get("tempo", 100)
    return drafted(played.hits, played.meters, "ours", feel=played.feel, tempo=tempo, source="take.mid")


def test_what_is_played_most_is_the_groove() -> None:
    """The most common bar is the groove, other bars that come back are variations, a bar heard once is nothing."""
    draft = draft_of((ROCK * 3 + BUSY) * 4 + BELL * 3 + ROCK)
    kept = {item.name: item.pattern for item in draft.style.patterns}
    assert kept == {"groove": ROCK, "variation-1": BUSY, "variation-2": BELL}
    assert [item.role for item in draft.style.patterns] == [Role.GROOVE, Role.VARIATION, Role.VARIATION]
    assert draft.style.groove.words == "heard 13 times in 20, most typically in bar 1"


def test_slips_are_left_out() -> None:
    """What most alike bars do not have is not in the groove: a stroke more here, one too soft there."""
    slip = parse_rows("RH closed-hat x.x. x.x. x.x. x.xx\nLH snare .... t... .... X...\nRF bass x... .... x.x. ....")
    assert draft_of(ROCK * 4 + slip + ROCK * 2).style.groove.pattern == ROCK
    loud = ROCK.with_hits(hit for hit in ROCK.hits if hit.surface != "snare")
    assert all(hit.level is not Level.TAP for hit in draft_of(ROCK * 2 + slip + loud).style.groove.pattern.hits)


def test_a_fill_is_found_with_what_it_lands_on() -> None:
    """Where time stops and the drums are busy to the barline is a fill, as long as that lasts."""
    draft = draft_of((ROCK * 3 + FILL + CRASHED + ROCK * 2 + FILL) * 2)
    (fill,) = draft.style.fills
    assert (fill.name, fill.beats, fill.starts, fill.lands) == ("fill-2-beats", 2, Fraction(2), "crash")
    assert fill.pattern.hits == tuple(hit for hit in FILL.hits if hit.onset >= 2)
    assert [item.pattern for item in draft.style.of_role(Role.GROOVE, Role.VARIATION)] == [ROCK]


def test_a_crash_after_a_fill_is_no_groove() -> None:
    """A crash on 1 belongs to the fill before it; one on every 1 is how time is kept."""
    landed = draft_of((ROCK * 3 + FILL + CRASHED) * 3).style
    assert all(hit.surface != "crash" for item in landed.patterns for hit in item.pattern.hits)
    assert draft_of(CRASHED * 6).style.groove.pattern == CRASHED


def test_ride_and_hat_both_keep_time() -> None:
    """Where a take goes over to the ride, bars on the hat are no fills, nor are bars on the ride."""
    ride = ROCK.with_hits(replace(hit, surface="ride") if hit.limb is Limb.RH else hit for hit in ROCK.hits)
    style = draft_of(ROCK * 8 + ride * 4).style
    assert [item.pattern for item in style.patterns] == [ROCK, ride]


def test_a_break_in_the_middle_is_no_time() -> None:
    """A bar whose middle belongs to the toms is no variation, however often it comes."""
    stop = parse_rows(
        "RH closed-hat .... .... .... x.x.\nRH high-tom X.X. X.X. X... ....\nLH floor-tom .x.x .x.x .x.x ...."
    )
    assert [item.pattern for item in draft_of((ROCK * 3 + stop) * 4).style.patterns] == [ROCK]


def test_a_bar_without_a_crash_after_lands_in_time() -> None:
    """A fill that nothing loud comes after goes back to time."""
    (fill,) = draft_of((ROCK * 3 + FILL) * 4).style.fills
    assert fill.lands == "time"


@pytest.mark.parametrize("name", ["samba", "songo", "bossa", "cascara"])
def test_a_groove_of_two_bars_stays_one(name: str) -> None:
    """Bars that come back every second bar are read as one pattern of two."""
    groove = style_named(name).groove.pattern
    assert draft_of(groove * 8).style.groove.pattern == groove


@pytest.mark.parametrize("name", style_names())
def test_every_groove_of_the_library_comes_back(name: str) -> None:
    """The groove of a style, played over and over, is the groove of its draft, hits, meter and feel."""
    style = style_named(name)
    groove = style.groove.pattern
    draft = draft_of(groove * 8, tempo=style.tempo.low * float(style.tempo.unit))
    bars = len(draft.style.groove.pattern.meters.bars)
    assert draft.style.groove.pattern * 8 == groove * (8 * bars // style.groove.bars)


def test_work_is_what_the_rules_find(tmp_path: Path) -> None:
    """A draft reads as a style, and what is missing stands above it in the words of the check."""
    draft = draft_of((ROCK * 3 + FILL) * 4)
    path = tmp_path / "ours.toml"
    path.write_text(style_text(draft.style, comments=draft.work), "utf-8")
    assert read_style(path) == draft.style
    found = [str(finding) for finding in style_findings(draft.style)]
    assert 'no pattern has the role "ending"; add one' in found
    assert [line.removeprefix("to mend: ") for line in draft.work if line.startswith("to mend: ")] == found
    assert "# to mend: " + found[0] in path.read_text("utf-8").splitlines()


def test_the_tempo_is_counted_as_the_meter_is() -> None:
    """A tenth to either side of what was played, in quarters, or in dotted quarters in 12/8."""
    assert str(draft_of(ROCK * 4, tempo=100).style.tempo) == "90 to 110 quarters a minute"
    slow = parse_rows("RH closed-hat xxx xxx xxx xxx\nLH snare ... X.. ... X..\nRF bass x.. ... x.x ...", "12/8")
    assert str(draft_of(slow * 4, tempo=90).style.tempo) == "54 to 66 dotted quarters a minute"


def test_time_on_the_snare() -> None:
    """Where no cymbal is struck, what the hands strike most keeps time."""
    street = parse_rows("RH snare X.t. t.X. t.X. t.X.\nLH snare .t.t .t.t .t.t .t.t\nRF bass x... .... x... ....")
    toms = parse_rows("RH snare X.t. t.X. .... ....\nRH high-tom .... .... x.x. X.X.\nLH floor-tom .... .... .x.x .x.X")
    style = draft_of((street * 3 + toms) * 4).style
    assert style.groove.pattern == street
    assert [fill.beats for fill in style.fills] == [2]


def test_nothing_to_draft() -> None:
    """Silence is no style."""
    with pytest.raises(PatternError, match=r"no bar of 4/4 keeps time"):
        drafted((), ROCK.meters, "ours", tempo=100, source="take.mid")
    with pytest.raises(PatternError, match=r"no bar of 4/4 keeps time"):
        drafted((), Meters(), "ours", tempo=100, source="take.mid")


def test_a_file_of_any_name(tmp_path: Path) -> None:
    """What a file's name holds that cannot be printed does not get into the style's file."""
    draft = drafted(ROCK.hits, ROCK.meters, "ours", tempo=100, source=' a "b"\\\n\udc80.mid ')
    assert draft.style.sources == ('a "b"\\??.mid',)
    path = tmp_path / "ours.toml"
    path.write_text(style_text(draft.style, comments=draft.work), "utf-8")
    assert read_style(path) == draft.style


@pytest.mark.parametrize("name", ["Funk", "slow funk", "", "a--b", "-a", "f\u00fcnk"])
def test_a_name_is_a_hyphenated_word(name: str) -> None:
    """A draft is named as style files are."""
    with pytest.raises(OptionError, match="lower-case-hyphenated"):
        draft_name(name)
    assert draft_name("slow-funk-2") == "slow-funk-2"


def test_two_hands_that_meet_on_one_limb() -> None:
    """Where most bars disagree about hands, each limb strikes once, and no flam needs a busy hand."""
    one = parse_rows("RH ride x... ....\nLH snare x... ....\n", "2/4")
    other = parse_rows("LH ride x... ....\nRH snare x... ....\n", "2/4")
    flam = parse_rows("RH ride ..x. ....\nLH snare x... ....\nflam LH x... ....", "2/4")
    bars = bars_of((one + other + one + flam + flam + flam + other).hits, (one * 7).meters, Meter(2, 4))
    hits = common(bars)
    assert len({(hit.onset, hit.limb) for hit in hits}) == len(hits)
    Pattern(hits, one.meters)


@fewer
@given(patterns(over=whole_maps(st.just(Meter(4, 4)), max_bars=4), parts=(1, 2, 3, 4)), st.integers(1, 4))
def test_any_playing_makes_a_draft_or_none(played: Pattern, times: int) -> None:
    """Whatever is struck, a draft is a style of what was struck, where it was struck; or nothing keeps time."""
    try:
        _holds_what_was_struck(draft_of(played * times), played)
    except PatternError as error:
        if "keeps time" not in str(error):
            raise


def _holds_what_was_struck(draft: Draft, played: Pattern) -> None:
    struck = {(hit.onset % 4, hit.surface) for hit in played.hits}
    for item in draft.style.patterns:
        assert {(hit.onset % 4, hit.surface) for hit in item.pattern.hits} <= struck
    assert all(Fraction(0) <= item.starts < 4 for item in draft.style.patterns)


@fewer
@given(patterns(over=whole_maps(st.just(Meter(4, 4)), max_bars=6), limbs=(Limb.RH, Limb.LH), parts=(1, 2)))
def test_families_share_out_the_bars(played: Pattern) -> None:
    """Every bar is in one family at most; the families grow no larger."""
    bars = bars_of(played.hits, played.meters, Meter(4, 4))
    found = list(families(bars, compared(bars), most=10, least_alike=0.7))
    numbers = [bar.number for members in found for bar in members]
    assert sorted(numbers) == sorted(bar.number for bar in bars)
    assert all(one.likeness(members[0]) >= 0.7 for members in found for one in members)
