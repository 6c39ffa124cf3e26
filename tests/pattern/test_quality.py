"""Every check finds a planted fault, says where and what to do, and passes a groove that is right."""

from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import FeelError, UnknownNameError
from kitgen.kit import PLAYERS, Limb
from kitgen.pattern import Feel, Hit, Level, Pattern, parse_rows, performed
from kitgen.pattern.clave import clave
from kitgen.pattern.playability import playability
from kitgen.pattern.quality import RULES, Fault, Terms, faults, has_air, most_strokes
from kitgen.time import Meter, Meters, backbeats, backbeats_in
from tests.strategies import any_meters, feels, patterns, whole_maps

F = Fraction
ROCK = "RH closed-hat xx xx xx xx; LH snare .. X. .. X.; RF bass x. .x x. .x"

FUNK = (
    "RH closed-hat x.x. x.x. x.x. x...; RH open-hat .... .... .... ..x.; "
    "LH snare .... X..g .g.. X..g; RF bass x..x .... ..x. ...."
)


def rows(text: str, meter: str = "4/4") -> Pattern:
    """Box rows as a pattern."""
    return parse_rows(text, meter)


def found(rule: str, text: str, meter: str = "4/4", terms: Terms | None = None) -> list[Fraction]:
    """Where one check finds something."""
    return [fault.onset for fault in RULES[rule](rows(text, meter), terms or Terms())]


def can_swing(pattern: Pattern) -> bool:
    """True if a pattern's beats hold pairs of its feel."""
    try:
        performed(pattern, tempo_bpm=100)
    except FeelError:
        return False
    return True


# ---- all of them -----------------------------------------------------------------------------------------------------

GOOD = {
    "rock": (ROCK, "4/4", Terms(clave="3-2")),
    "funk": (
        FUNK,
        "4/4",
        Terms(pace=100),
    ),
    "half time": ("RH closed-hat xx xx xx xx; LH snare .. .. X. ..; RF bass x. .x .. .x", "4/4", Terms(half_time=True)),
    "ballad": ("RH closed-hat xx xx xx xx; LH cross-stick .. x. .. x.; RF bass x. .. x. ..", "4/4", Terms()),
    "waltz": ("RH closed-hat xx xx xx; LH snare .. X. X.; RF bass x. .. ..", "3/4", Terms()),
    "twelve": ("RH closed-hat xxx xxx xxx xxx; LH snare ... X.. ... X..; RF bass x.. ..x x.. ..x", "12/8", Terms()),
    "seven": ("RH closed-hat xx xx xxx; LH snare .. X. ...; RF bass x. .x x.x", "7/8", Terms(pace=110)),
}
"""Grooves written by hand from traditional ones (common practice)."""


@pytest.mark.parametrize(("text", "meter", "terms"), GOOD.values(), ids=GOOD)
def test_a_good_groove_passes(text: str, meter: str, terms: Terms) -> None:
    """No check has anything to say of it."""
    assert faults(rows(text, meter), terms=terms) == ()


@given(patterns(feel=feels), st.sampled_from(tuple(RULES)), st.booleans(), st.sampled_from((None, "3-2", "2-3")))
def test_every_check_takes_every_pattern(
    pattern: Pattern,
    name: str,
    half_time: bool,  # noqa: FBT001
    side: str | None,
) -> None:
    """A check of any pattern tells places inside it, with a sentence and its own name."""
    if not can_swing(pattern):
        pattern = pattern.with_feel(Feel())
    for fault in RULES[name](pattern, Terms(half_time=half_time, clave=side, pace=120)):
        assert fault.rule == name
        assert 0 <= fault.onset < pattern.span
        assert fault.words.startswith("bar ")
        assert ": " in fault.words


@given(patterns(over=whole_maps(max_bars=2)))
def test_silence_of_the_drums_has_only_the_backbeat_to_miss(pattern: Pattern) -> None:
    """Nothing struck breaks no rule but the one that asks for strokes."""
    silent = pattern.with_hits(())
    assert {fault.rule for fault in faults(silent, terms=Terms(clave="3-2"))} <= {"backbeat"}


def test_names() -> None:
    """Every check has its name; another is refused with the nearest."""
    assert list(RULES) == [
        "backbeat", "snare-for-bass", "crash-carried", "hat-closed", "foot-limit", "space", "clave-side",
    ]  # fmt: skip
    with pytest.raises(UnknownNameError, match="no check is called 'back-beat'; did you mean backbeat"):
        faults(rows(ROCK), ["back-beat"])


def test_words_say_where_and_what_to_do() -> None:
    """A finding is a sentence with bar, count and the way out."""
    pattern = rows("RH closed-hat xx xx xx xx; LH snare .. X. .. ..; RF bass x. x. x. ..")
    assert faults(pattern, ["backbeat", "snare-for-bass"]) == (
        Fault("backbeat", F(3), 'bar 1, count "4": no accent of the snare on the backbeat; put one there'),
        Fault("snare-for-bass", F(1), 'bar 1, count "2": bass under the snare\'s backbeat; leave the bass out there'),
    )


# ---- backbeat, snare for bass ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "meter", "half_time", "missing"),
    [
        ("LH snare . X . x", "4/4", False, [F(3)]),
        ("LH snare . X . g", "4/4", False, [F(3)]),
        ("LH rim-shot . X . X", "4/4", False, []),
        ("LH cross-stick . x . t", "4/4", False, [F(3)]),
        ("LH snare . . X .", "4/4", True, []),
        ("LH snare . X . X", "4/4", True, [F(2)]),
        ("LH snare . .", "2/4", True, []),
        ("LH snare . X . . .", "5/4", False, []),
        ("LH snare . . X . .", "5/4", False, [F(1), F(4)]),
        ("LH snare . . X", "3/4", False, []),
        ("LH snare .... .X.. .... X...", "4/4", False, [F(1)]),
        ("LH snare ... ...", "6/8", False, [F(3, 2)]),
        ("LH snare ...", "3/8", False, []),
        ("LH snare .. .X", "2/2", False, [F(2)]),
    ],
)
def test_backbeat(text: str, meter: str, half_time: bool, missing: list[Fraction]) -> None:  # noqa: FBT001
    """Every backbeat a bar has wants an accent; a bar without one wants none."""
    assert found("backbeat", text, meter, Terms(half_time=half_time)) == missing


@given(whole_maps(max_bars=2, max_runs=2), st.booleans(), st.data())
def test_one_backbeat_taken_away_is_found(meters: Meters, half_time: bool, data: st.DataObject) -> None:  # noqa: FBT001
    """Of a page with every backbeat, one that is taken away is told, unless its bar goes in no twos and has another."""
    back = [at for bar in meters.bars for at in backbeats_in(bar, half_time=half_time)]
    full = Pattern(tuple(Hit(at, Limb.LH, "snare", Level.ACCENT) for at in back), meters)
    terms = Terms(half_time=half_time)
    assert faults(full, ["backbeat", "snare-for-bass"], terms) == ()
    if not back:
        return
    lost = data.draw(st.sampled_from(back))
    fewer = full.with_hits(hit for hit in full.hits if hit.onset != lost)
    bar = meters.bars[meters.beat_at(lost).bar - 1]
    enough = set(bar.meter.beat_groups) != {2} and len(backbeats_in(bar, half_time=half_time)) > 1
    assert [fault.onset for fault in RULES["backbeat"](fewer, terms)] == ([] if enough else [lost])
    doubled = full.with_hits((*full.hits, Hit(lost, Limb.RF, "bass")))
    assert [fault.onset for fault in RULES["snare-for-bass"](doubled, terms)] == [lost]


@given(any_meters, st.integers(1, 3))
def test_backbeats_bar_by_bar(meter: Meter, bars: int) -> None:
    """The backbeats of a map are those of its bars, each the same places after the barline."""
    meters = Meters.of(meter, bars)
    assert list(backbeats(meters)) == [at for bar in meters.bars for at in backbeats_in(bar)]
    first = [at - meters.bars[0].start for at in backbeats_in(meters.bars[0])]
    assert all([at - bar.start for at in backbeats_in(bar)] == first for bar in meters.bars)


# ---- crash, hat ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("label", ["crash", "crash-2", "splash", "china"])
def test_a_crash_is_carried(label: str) -> None:
    """Each cymbal that crashes wants bass or snare at its instant; a cross-stick or a tom does not carry it."""
    assert found("crash-carried", f"RH {label} x . . x; RF bass x . . .; LH snare . . . x") == []
    assert found("crash-carried", f"RH {label} x . x .; RF bass . x . .; LH cross-stick . . x .") == [F(0), F(2)]
    assert found("crash-carried", "RH ride x x x x") == []


@pytest.mark.parametrize(
    ("text", "meter", "faulty"),
    [
        ("RH open-hat .. .. .. .x; RH closed-hat xx xx xx x.", "4/4", []),  # closed on 1, round the loop
        ("RH open-hat .. .. .. .x; RH closed-hat .x .. .. ..", "4/4", []),  # within two beats, round the loop
        ("RH open-hat .. .. .. .x; RH closed-hat .. x. .. ..", "4/4", []),  # a beat and a half
        ("RH open-hat .. .. .. .x; RH closed-hat .. .. x. ..", "4/4", [F(7, 2)]),
        ("RH open-hat x. .. .. ..; RH closed-hat .. .. .. .x", "4/4", []),  # by the end of the bar
        ("RH open-hat x. x. x. x.; LF hat-foot .x .x .x .x", "4/4", []),
        ("RH open-hat x. x. x. x.", "4/4", [F(0), F(1), F(2), F(3)]),
        ("RH open-hat x . . .; LF hat-foot x . . .", "4/4", [F(0)]),
        ("RH open-hat x . . .; LH closed-hat x . x .", "4/4", [F(0)]),
        ("RH open-hat x..", "3/8", [F(0)]),
        ("RH open-hat x. .. | .. ..; RH closed-hat .. .. | .. .x", "2/4", [F(0)]),
    ],
)
def test_an_open_hat_is_closed(text: str, meter: str, faulty: list[Fraction]) -> None:
    """By a closed stroke or the foot, by the end of the bar or within two beats; never at the same instant."""
    assert found("hat-closed", text, meter) == faulty


# ---- foot ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "pace", "player", "broken"),
    [
        ("RF bass xx.. .... x... ....", 100, "school", False),  # one gap of 150 ms
        ("RF bass xx.. .... x... ....", 101, "school", True),
        ("RF bass xxx. .... .... ....", 81, "school", False),  # two gaps of 185 ms
        ("RF bass xxx. .... .... ....", 82, "school", True),
        ("RF bass x.x. x.x. x.x. x.x.", 136, "school", False),  # 220 ms over a bar
        ("RF bass x.x. x.x. x.x. x.x.", 137, "school", True),
        ("RF bass xx.. .... x... ....", 60, "beginner", False),
        ("RF bass xx.. .... x... ....", 61, "beginner", True),
        ("RF bass xx.. .... x... ....", 150, "advanced", False),
        ("RF bass x... .... .... ...x", 101, "school", True),  # round the loop
        ("RF floor xx.. .... x... ....", 101, "school", False),  # no bass
    ],
)
def test_the_bass_foot(text: str, pace: float, player: str, broken: bool) -> None:  # noqa: FBT001
    """One gap, two or three in a row and the mean of a bar against the player's rates (common practice)."""
    assert bool(found("foot-limit", text, terms=Terms(pace=pace, player=PLAYERS[player]))) == broken


def test_the_foot_is_tested_as_played() -> None:
    """Swung, the short note of the pair is shorter than written; the sentence names gap and limit."""
    pattern = rows("RF bass .x x. .. ..")
    terms = Terms(pace=150)  # an even eighth lasts 200 ms, the short one of 2:1 lasts 133
    assert faults(pattern, ["foot-limit"], terms) == ()
    (fault,) = faults(pattern.with_feel(Feel(8, F(2))), ["foot-limit"], terms)
    assert "133 ms" in fault.words
    assert "150" in fault.words


@given(patterns(over=whole_maps(max_bars=2), limbs=(Limb.RF,), ornaments=False), st.sampled_from((60, 120, 200)))
def test_the_foot_limit_is_what_can_be_played(pattern: Pattern, pace: float) -> None:
    """The check of a groove says of the bass foot what the check of a player says."""
    bass = pattern.with_hits(Hit(hit.onset, hit.limb, "bass") for hit in pattern.hits)
    told = [fault.words for fault in faults(bass, ["foot-limit"], Terms(pace=pace))]
    assert told == [str(one) for one in playability(bass, PLAYERS["school"], pace)]


# ---- space -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "meter", "faulty"),
    [
        ("RF bass x... x... x... x...", "4/4", []),  # four on the floor
        ("RF bass xx .x xx .x", "4/4", []),  # eighths round a backbeat
        ("RF bass x.x. ..xx x.x. ..xx", "4/4", []),  # half of sixteen
        ("RF bass x.x. ..xx xxx. ..xx", "4/4", [F(0)]),
        ("RF bass xx xx xx xx", "4/4", [F(0)]),  # no beat goes by
        ("RF bass xx xx xx xx | xx xx xx x.", "4/4", []),
        ("RF bass xx xx xx xx | xx xx xx x. | xx xx xx xx | xx xx xx xx", "4/4", [F(8)]),
        ("RF bass xxx xxx", "6/8", [F(0)]),
        ("RF bass x.x .xx", "6/8", []),  # two of the three units of a beat
        ("RF bass xxx xxx xxx xxx", "4/4", [F(0), F(0)]),  # twelve of sixteen, and no air
        ("RH snare xxxx xxxx xxxx xxxx", "4/4", []),
        ("RF bass ..xx xxxx xx.. ....", "4/4", []),
    ],
)
def test_space(text: str, meter: str, faulty: Sequence[Fraction]) -> None:
    """Half of a bar's places at most, and a beat that goes by in any two bars."""
    assert found("space", text, meter) == list(faulty)


@given(patterns(over=whole_maps(max_bars=2), limbs=(Limb.RF,), ornaments=False), st.data())
def test_less_bass_has_no_less_space(pattern: Pattern, data: st.DataObject) -> None:
    """Leaving strokes out of a groove that has space leaves space."""
    bass = pattern.with_hits(Hit(hit.onset, hit.limb, "bass") for hit in pattern.hits)
    kept = [hit for hit in bass.hits if data.draw(st.booleans())]
    if not faults(bass, ["space"]):
        assert not faults(bass.with_hits(kept), ["space"])


def test_places_and_air() -> None:
    """Sixteen places in 4/4, eight in a bar of two halves, twelve in 6/8; a bar without bass is air."""
    bars = {text: Meters.of(Meter.parse(text)).bars[0] for text in ("4/4", "2/2", "6/8", "3/16")}
    assert [most_strokes(bar) for bar in bars.values()] == [8, 4, 6, 3]
    assert [most_strokes(bar, F(1, 3)) for bar in bars.values()] == [5, 3, 4, 2]
    assert has_air([], bars["4/4"], bars["4/4"], F(4))


# ---- clave -----------------------------------------------------------------------------------------------------------


def claved(kind: str, side: str, *, ride: bool = True) -> Pattern:
    """A clave in one hand over tumbao feet, under a ride that hides nothing."""
    meters = Meters.of(Meter(2, 2), 2)
    hits = [Hit(at, Limb.LH, "cross-stick") for at in clave(kind, side, Meter(2, 2))]
    hits += [Hit(F(n, 2), Limb.RH, "ride") for n in range(16) if ride]
    hits += [Hit(F(n), Limb.RF, "bass") for n in (F(3, 2), 3, F(11, 2), 7)]
    return Pattern(tuple(hits), meters)


@pytest.mark.parametrize("kind", ["son", "rumba"])
@pytest.mark.parametrize("ride", [True, False])
def test_a_clave_against_the_declared_side(kind: str, ride: bool) -> None:  # noqa: FBT001
    """The other side's clave is told once, with both ways out; its own is not, nor where none is declared."""
    for side, other in (("3-2", "2-3"), ("2-3", "3-2")):
        terms = Terms(clave=side, kind=kind)
        assert faults(claved(kind, side, ride=ride), ["clave-side"], terms) == ()
        (fault,) = faults(claved(kind, other, ride=ride), ["clave-side"], terms)
        assert f"against the {side} {kind} clave" in fault.words
        assert f"swap the two bars, or call it {other}" in fault.words
        assert faults(claved(kind, other), ["clave-side"], Terms(kind=kind)) == ()


@pytest.mark.parametrize(
    ("text", "meter", "told"),
    [
        ("LH cross-stick ..x. x... | x..x ..x.", "2/2", True),  # 2-3 son
        ("LH cross-stick ..x. .... | .... ....", "2/2", False),  # one stroke more
        ("LH cross-stick ..x. x... | .... ....", "2/2", True),  # two strokes more
        ("LH snare ..g. g... | .... ....", "2/2", False),  # ghosts say nothing
        ("RH ride-bell X.X. xxxX | .xxx X.xx", "2/2", False),  # the mambo bell agrees with both
        ("RF bass ...x ..x. | ...x ..x.", "2/2", False),  # so does the tumbao
        ("LH cross-stick ..x. x...", "2/2", False),  # one bar has no side
        ("LH cross-stick .. x. x. ..", "4/4", False),
        ("LH cross-stick .. xx ..", "3/4", False),
        ("LH cross-stick .x. x.. | x.x ..x", "6/8", True),
    ],
)
def test_who_is_told_of_the_clave(text: str, meter: str, told: bool) -> None:  # noqa: FBT001
    """Against a declared 3-2 two strokes more are told; a tie, one stroke, ghosts and one bar are not."""
    assert bool(found("clave-side", text, meter, Terms(clave="3-2"))) == told
