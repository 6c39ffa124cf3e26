"""Fill, solo, trade and figures: laws on arbitrary lines, and box rows a big-band drummer would sign.

The rows are common practice; what the trade fixes (hands that end a fill, crashes with something under them, where
set-ups go, what is kicked for whom) is asserted in words beside them.
"""

import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import OSTINATOS, Made, Setting, apply, fitted_ostinato
from kitgen.apply.fill import phrased
from kitgen.apply.setting import FILLS, LANDINGS, SECTIONS, SWUNG
from kitgen.apply.solo import usual_feet
from kitgen.apply.timekeeping import by_quarters, in_threes, kept_time, plain_time, ride_time
from kitgen.errors import OptionError, RefusedError
from kitgen.kit import HAND_LIMBS, HANDS, HATS, PLAYERS, Kit, Limb, LimbProfile, kit
from kitgen.line import Line, Mark, Note, parse
from kitgen.pattern import EVEN, Hit, Level, Pattern, parse_rows, project, project_line
from kitgen.pattern.playability import playability
from kitgen.time import Meter, Meters
from tests.apply.lines import dressed_lines
from tests.strategies import any_meters, fewer, whole_maps

F = Fraction
KITS = st.builds(lambda hand: kit("standard", hand=hand), st.sampled_from(HANDS))
TIME_ON = st.sampled_from((None, "ride", "closed-hat", "open-hat", "ride-bell"))


def made_or_refused(line: Line, name: str, setting: Setting) -> Made | None:
    """What an application makes of a line, or None where it refuses with a reason in one sentence."""
    try:
        return apply(line, name, setting)
    except RefusedError as error:
        assert ";" in str(error)  # noqa: PT017
        assert "\n" not in str(error)  # noqa: PT017
        return None


def rows(text: str, meter: str = "4/4") -> Pattern:
    """Box rows as a pattern."""
    return parse_rows(text, meter)


def whole(line: str, name: str, setting: Setting | None = None, *, meter: str = "4/4") -> Pattern:
    """The row that holds the line."""
    return apply(parse(line, meter), name, setting).rows[-1][1]


def at(pattern: Pattern, onset: Fraction) -> set[str]:
    """The surfaces struck at an instant."""
    return {hit.surface for hit in pattern.hits if hit.onset == onset}


def check_crashes(pattern: Pattern) -> None:
    """Every crash has bass or snare under it, and its hand plays nothing else there."""
    for hit in pattern.hits:
        if hit.surface == "crash":
            assert at(pattern, hit.onset) & {"bass", "snare"}


def check_hat(pattern: Pattern) -> None:
    """No hand on the hat in a bar in which the foot plays it."""
    bars = pattern.meters.bars
    for bar in bars:
        inside = {hit.surface for hit in pattern.hits if bar.start <= hit.onset < bar.end}
        assert not (inside & HATS and "hat-foot" in inside)


# ---- time ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("meter", "label", "expected"),
    [
        ("4/4", "closed-hat", "RH closed-hat xx xx xx xx; LH snare .. X. .. X.; RF bass x. .. x. .."),
        ("4/4", "ride", "RH ride xx xx xx xx; LH snare .. X. .. X.; RF bass x. .. x. ..; LF hat-foot .. x. .. x."),
        ("3/4", "closed-hat", "RH closed-hat xx xx xx; LH snare .. X. X.; RF bass x. .. .."),
        ("2/2", "closed-hat", "RH closed-hat xx xx; LH snare .. X.; RF bass x. .."),
        ("6/8", "closed-hat", "RH closed-hat xxx xxx; LH snare ... X..; RF bass x.. ..."),
        ("7/8", "closed-hat", "RH closed-hat xx xx xxx; LH snare .. X. X..; RF bass x. .. ..."),
        ("5/4", "closed-hat", "RH closed-hat xx xx xx xx xx; LH snare .. X. .. .. X.; RF bass x. .. x. x. .."),
    ],
)
def test_plain_time(meter: str, label: str, expected: str) -> None:
    """Eighths on the hat (quarters where halves are counted), backbeat, bass on 1 and 3."""
    meters = Meters.of(Meter.parse(meter))
    assert Pattern(tuple(plain_time(meters, Setting(), label)), meters) == rows(expected, meter)


@pytest.mark.parametrize(
    ("meter", "expected"),
    [
        ("4/4", "RH ride x. xx x. xx; RF bass f. f. f. f.; LF hat-foot .. x. .. x."),
        ("3/4", "RH ride x. xx x.; RF bass f. .. ..; LF hat-foot .. x. x."),
        ("5/4", "RH ride x. xx x. x. xx; RF bass f. f. f. f. f.; LF hat-foot .. x. .. .. x."),
        ("12/8", "RH ride x.. x.x x.. x.x; RF bass f.. f.. f.. f..; LF hat-foot ... x.. ... x.."),
        ("3/8", "RH ride x.x; RF bass f.."),
    ],
)
def test_ride_time(meter: str, expected: str) -> None:
    """The jazz ride with the hat foot on 2 and 4 (2 and 3 of three), the bass feathered (in three on 1)."""
    meters = Meters.of(Meter.parse(meter))
    assert Pattern(tuple(ride_time(meters, Setting(), "ride")), meters) == rows(expected, meter)


def test_time_of_a_line_in_threes_is_a_shuffle() -> None:
    """Where every divided beat is in threes time is on the first and last third; elsewhere in even eighths."""
    assert in_threes(parse("1 trip let 2 3 let 4"))
    assert not in_threes(parse("1 trip let 2 & 3 4"))
    assert not in_threes(parse("1 la li 2", "6/8"))
    meters = Meters.of(Meter(2, 4))
    hand = project(Pattern(tuple(plain_time(meters, Setting(), "closed-hat", threes=True)), meters), Limb.RH)
    assert hand == rows("RH closed-hat x.x x.x", "2/4")


@given(whole_maps(max_runs=2, max_bars=2), KITS, st.sampled_from(("closed-hat", "ride")), st.booleans())
def test_time_is_kept_in_any_meter(meters: Meters, on: Kit, label: str, threes: bool) -> None:  # noqa: FBT001
    """Time strikes every beat with the hand, never a hat under hand and foot, and goes on into the next bar."""
    setting = Setting(kit=on)
    for keep in (plain_time, ride_time, kept_time):
        pattern = Pattern(tuple(keep(meters, setting, label, threes=threes)), meters)
        hand = project(pattern, on.limb_for(label))
        assert {beat.start for beat in meters.beats} <= set(hand.onsets)
        assert {bar.start for bar in meters.bars} <= {hit.onset for hit in pattern.hits if hit.surface == "bass"}
        if keep is not ride_time:
            check_hat(pattern)


# ---- fill ------------------------------------------------------------------------------------------------------------

FILL_SETTINGS = st.builds(
    Setting,
    kit=KITS,
    fill=st.sampled_from(FILLS),
    land=st.sampled_from(LANDINGS),
    phrase=st.sampled_from((2, 3, 4, 8)),
    surface=TIME_ON,
)


def fill_start(meters: Meters, name: str) -> Fraction:
    """Where the last so many beats or bars start."""
    count = int(name[0])
    return meters.beats[-count].start if "beat" in name else meters.bars[-count].start


@given(dressed_lines(), FILL_SETTINGS)
def test_around_a_fill_is_plain_time(line: Line, setting: Setting) -> None:
    """Before the fill the page is plain time; on 1 there is the crash, where the fill lands on it, and else time."""
    made = made_or_refused(line, "fill", setting)
    if made is None:
        return
    ((_, pattern),) = made.rows
    on, label = setting.kit, setting.surface or "closed-hat"
    start = fill_start(pattern.meters, setting.fill)
    assert len(pattern.meters.bars) == setting.phrase
    time = {hit for hit in plain_time(pattern.meters, setting, label, threes=in_threes(line)) if hit.onset < start}
    if setting.land != "one":  # the crash rings over the 1, where the hand rests
        time = {hit for hit in time if hit.onset or hit.surface != label}
    else:
        time = {hit for hit in time if hit.onset or hit.limb is on.hat_foot}
        time |= {
            Hit(F(0), on.limb_for("crash"), "crash", Level.ACCENT),
            Hit(F(0), on.bass_foot, "bass", Level.ACCENT),
        }
    assert {hit for hit in pattern.hits if hit.onset < start} == time


@given(dressed_lines(), FILL_SETTINGS)
def test_a_fill_is_the_line_round_the_drums(line: Line, setting: Setting) -> None:
    """In the fill the hands strike the line's onsets, downhill from the snare, over feet that go on, to the crash."""
    made = made_or_refused(line, "fill", setting)
    if made is None:
        return
    ((_, pattern),) = made.rows
    start = fill_start(pattern.meters, setting.fill)
    inside = [hit for hit in pattern.hits if hit.onset >= start]
    hands = [hit for hit in inside if hit.limb.is_hand]
    crash = [hit for hit in hands if hit.surface == "crash"]
    drums = [hit for hit in hands if hit.surface != "crash"]
    assert len(crash) == (setting.land == "and-of-4")
    landing = crash[0].onset if crash else pattern.span
    tail = phrased(line, setting.phrase)
    assert tail.meters == pattern.meters
    own = [note for note in tail.notes if start <= note.onset < landing]
    if own:
        assert [(hit.onset, hit.level) for hit in drums] == [
            (note.onset, Level.ACCENT if note.accent else Level.NORMAL) for note in own
        ]
    else:
        assert any("silent in its last" in note for note in made.notes)
    down = ["snare", "high-tom", "mid-tom", "floor-tom"]
    places = [down.index(hit.surface) for hit in drums]
    assert places == sorted(places)
    assert places[0] == 0
    feet = {(hit.onset, hit.surface) for hit in inside if not hit.limb.is_hand}
    time = plain_time(pattern.meters, setting, setting.surface or "closed-hat")
    usual = {(hit.onset, hit.surface) for hit in time if not hit.limb.is_hand and hit.onset >= start}
    if (setting.surface or "closed-hat") in HATS:
        usual = {(beat.start, "bass") for beat in pattern.meters.beats if beat.start >= start}
    assert feet == usual | {(hit.onset, "bass") for hit in crash}
    check_crashes(pattern)
    check_hat(pattern)


@given(dressed_lines(), FILL_SETTINGS)
def test_the_page_names_the_hand_that_ends_the_fill(line: Line, setting: Setting) -> None:
    """It is said; a beat or less before the crash it is the hand that does not crash, unless the line says a hand."""
    made = made_or_refused(line, "fill", setting)
    if made is None:
        return
    ((_, pattern),) = made.rows
    drums = [h for h in pattern.hits if h.limb.is_hand and h.surface != "crash"]
    last = drums[-1]
    assert f"The fill ends with the {last.limb.words}" in made.instruction
    assert "the crash on" in made.instruction
    crash_hand = setting.kit.limb_for("crash")
    landing = max((hit.onset for hit in pattern.hits if hit.surface == "crash"), default=F(0))
    landing = pattern.span if setting.land == "one" else landing
    if landing - last.onset <= pattern.meters.beat_at(last.onset).full and not any(n.sticking for n in line.notes):
        assert last.limb is crash_hand.mirrored


@given(dressed_lines(), st.sampled_from(FILLS), st.sampled_from((2, 4)))
def test_fills_are_refused_for_a_reason_that_holds(line: Line, name: str, phrase: int) -> None:
    """Landing on 1, a fill is refused only where it leaves no time, or no place of the line fits it."""
    setting = Setting(fill=name, phrase=phrase)
    try:
        apply(line, "fill", setting)
    except RefusedError as error:
        count = int(name[0])
        meters = phrased(line, phrase).meters
        units = meters.beats if "beat" in name else meters.bars
        if "leaves no time" in str(error):
            assert count >= len(units)
        elif line.notes:
            fits = re.search(r"use --fill ([\w-]+)", str(error))
            assert fits or "--as solo" in str(error)  # noqa: PT017
            if fits:
                assert apply(line, "fill", Setting(fill=fits[1], phrase=phrase))


def test_a_bar_of_sixteenths() -> None:
    """Four to a drum, from the snare down, right and left in turn; left ends it, and the right hand has the crash."""
    made = apply(parse("xxxx xxxx xxxx xxxx"), "fill", Setting(phrase=2))
    assert made.rows[0][1] == rows(
        "RH crash      X... .... .... .... .... .... .... ....;"
        "RH closed-hat ..x. x.x. x.x. x.x. .... .... .... ....;"
        "RH snare      .... .... .... .... x.x. .... .... ....;"
        "RH high-tom   .... .... .... .... .... x.x. .... ....;"
        "RH mid-tom    .... .... .... .... .... .... x.x. ....;"
        "RH floor-tom  .... .... .... .... .... .... .... x.x.;"
        "LH snare      .... X... .... X... .x.x .... .... ....;"
        "LH high-tom   .... .... .... .... .... .x.x .... ....;"
        "LH mid-tom    .... .... .... .... .... .... .x.x ....;"
        "LH floor-tom  .... .... .... .... .... .... .... .x.x;"
        "RF bass       X... .... x... .... x... x... x... x..."
    )
    assert made.title == "Fill in the last bar of 2"
    assert "ends with the left hand and leads to the crash on 1, bass under it, with the right hand" in made.instruction
    assert "the first time it only starts the page" in made.notes[-1]


def test_a_fill_on_the_ride_keeps_the_hat_foot() -> None:
    """With the hand on the ride the hat foot has 2 and 4, before the fill and under it; two beats, two to a drum."""
    made = apply(parse("x x xx xx"), "fill", Setting(phrase=2, fill="2-beats", surface="ride"))
    assert made.rows[0][1] == rows(
        "RH crash     X. .. .. .. .. .. .. ..; RH ride     .x xx xx xx xx xx .. ..;"
        "RH snare     .. .. .. .. .. .. x. ..; RH mid-tom  .. .. .. .. .. .. .. x.;"
        "LH snare     .. X. .. X. .. X. .. ..; LH high-tom .. .. .. .. .. .. .x ..;"
        "LH floor-tom .. .. .. .. .. .. .. .x;"
        "RF bass      X. .. x. .. x. .. x. ..; LF hat-foot .. x. .. x. .. x. .. x."
    )


def test_landing_on_the_and_of_4() -> None:
    """Crash and bass on "& of 4", no second crash on 1; what the line has after it is left out, and said."""
    made = apply(parse("x x x xxxx"), "fill", Setting(phrase=2, fill="1-beat", land="and-of-4"))
    assert made.rows[0][1] == rows(
        "RH crash      .... .... .... .... .... .... .... ..X.;"
        "RH closed-hat ..x. x.x. x.x. x.x. x.x. x.x. x.x. ....;"
        "RH snare      .... .... .... .... .... .... .... x...;"
        "LH snare      .... X... .... X... .... X... .... .x..;"
        "RF bass       x... .... x... .... x... .... x... x.X."
    )
    assert 'leads to the crash on "& of 4"' in made.instruction
    assert "no second crash on 1, and no closed hat: the crash rings over it, and the time goes on" in made.notes
    assert any(note.startswith("1 note of the line left out: it falls after the crash") for note in made.notes)


@pytest.mark.parametrize(
    ("line", "meter", "count"),
    [("x x xx", "3/4", '"& of 3"'), ("xxxx xxxx", "2/2", '"a of 2"'), ("x x xxx xxx", "4/4", '"let of 4"')],
)
def test_landing_before_the_barline_in_other_meters(line: str, meter: str, count: str) -> None:
    """An eighth before the barline where there is no 4; the last third of a beat in threes. The page says so."""
    made = apply(parse(line, meter), "fill", Setting(land="and-of-4"))
    assert f"the crash on {count}" in made.instruction
    assert any("lands" in note for note in made.notes)


def test_a_silent_end_takes_the_first_beats_that_play() -> None:
    """A line that ends in rest gives its first beats that play, and the page says which."""
    made = apply(parse(". xx x.xx . | . . . ."), "fill", Setting(fill="2-beats", phrase=2))
    assert [hit.onset for hit in made.rows[0][1].hits if hit.limb.is_hand and hit.onset >= 6] == [
        F(6), F(13, 2), F(7), F(15, 2), F(31, 4),
    ]  # fmt: skip
    assert made.notes[0] == (
        'the line is silent in its last 2 beats, so the fill is what it plays from bar 1, count "2"'
    )


def test_a_fill_longer_than_the_line_repeats_it() -> None:
    """Two bars of fill from a line of one: it is played twice, a drum for every two beats."""
    made = apply(parse("x x x x"), "fill", Setting(fill="2-bars"))
    drums = [hit.surface for hit in made.rows[0][1].hits if hit.onset >= 8 and hit.limb.is_hand]
    assert drums == ["snare"] * 2 + ["high-tom"] * 2 + ["mid-tom"] * 2 + ["floor-tom"] * 2
    assert made.notes[0] == "the line is shorter than the fill and is repeated to last 2 bars"


def test_written_stickings_stay() -> None:
    """What the line says about hands is kept, and the page names the hand that then ends the fill."""
    line = Line(
        tuple(Note(F(n), F(1), sticking=hand) for n, hand in enumerate("LRLR")),
        Meters.of(Meter(4, 4)),
    )
    made = apply(line, "fill", Setting())
    assert [hit.limb.name[0] for hit in made.rows[0][1].hits if hit.onset >= 12 and hit.limb.is_hand] == list("LRLR")
    assert "ends with the right hand, which then has to reach the crash" in made.instruction


@pytest.mark.parametrize(
    ("line", "meter", "setting", "why", "instead"),
    [
        ("x x x x", "4/4", Setting(fill="2-bars", phrase=2), "leaves no time before it", "use --phrase 4"),
        ("xxx xxx", "6/8", Setting(land="and-of-4"), 'a bar of 6/8 has no "& of 4"', "use --land one"),
        (". . . .x", "4/4", Setting(land="and-of-4", fill="1-beat"), "plays nothing where a fill of 1 beat", "--land"),
        ("xx .. ...", "7/8", Setting(fill="1-beat"), "plays nothing where a fill of 1 beat", "use --fill 1-bar"),
    ],
)
def test_fills_refused(line: str, meter: str, setting: Setting, why: str, instead: str) -> None:
    """A fill with no time left, nowhere to land or nothing to play is refused with what would work."""
    with pytest.raises(RefusedError, match=re.escape(why)) as caught:
        apply(parse(line, meter), "fill", setting)
    assert instead in str(caught.value)


def test_time_is_not_kept_on_the_snare() -> None:
    """A surface that is no place for time is an error with what is."""
    for name in ("fill", "trade", "figures"):
        with pytest.raises(OptionError, match=r"--surface snare: .*choose closed-hat, ride"):
            apply(parse("1 2 3 4"), name, Setting(surface="snare"))


# ---- solo ------------------------------------------------------------------------------------------------------------


@given(dressed_lines(), KITS, st.sampled_from((None, "none", *OSTINATOS)))
def test_a_solo_is_the_line_out_of_taps(line: Line, on: Kit, under: str | None) -> None:
    """Strokes of the hands above a tap are the line's onsets; crashes have bass; the ostinato is untouched."""
    made = made_or_refused(line, "solo", Setting(kit=on, under=under))
    if made is None:
        return
    pattern = made.rows[-1][1]
    hands = project(pattern, Limb.RH, Limb.LH)
    heard = project_line(hands, softest=Level.NORMAL)
    assert heard.onsets == line.onsets
    assert heard.accents == (line.accents or line.onsets)  # trade practice: accents by the line, taps between
    assert len(hands.onsets) == len(hands.hits)
    assert {hit.surface for hit in hands.hits if hit.level is Level.TAP} <= {"snare"}
    check_crashes(pattern)
    for hit in hands.hits:
        if hit.surface == "crash":
            assert line.is_long(next(note for note in line.notes if note.onset == hit.onset))
            assert "bass" in at(pattern, hit.onset)
    if under != "none":
        feet, _ = fitted_ostinato(under or usual_feet(line.meters), line.meters, on)
        assert project(pattern, *feet.limbs) == feet
        if on.bass_foot in feet.limbs:
            assert not any(hit.surface == "crash" for hit in pattern.hits)


@fewer
@given(dressed_lines())
def test_taps_are_no_closer_than_sixteenths(line: Line) -> None:
    """No tap comes closer than a sixteenth to its neighbours, unless its own beat holds something as close."""
    if not line.notes:
        return
    pattern = apply(line, "solo").rows[-1][1]
    for beat, parts in zip(line.meters.beats, line.parts_a_beat, strict=True):
        inside = [h for h in pattern.hits if h.limb.is_hand and beat.start <= h.onset < beat.end]
        assert len(inside) <= max(F(parts), beat.length / F(1, 4), F(3))


def test_short_notes_go_down_the_drums_and_long_ones_ring() -> None:
    """Eighths a beat a drum from the snare; the quarter with a beat to ring is a crash with the bass under it."""
    assert whole("xx xx xx x-", "solo") == rows(
        "RH crash .. .. .. X.; RH snare X. .. .. ..; RH high-tom .. X. .. ..; RH mid-tom .. .. X. ..;"
        "LH snare .X .. .. .t; LH high-tom .. .X .. ..; LH mid-tom .. .. .X ..;"
        "RF bass .. .. .. x.; LF hat-foot .. x. .. x."
    )


def test_a_solo_over_feet_that_hold_the_bass() -> None:
    """Over samba feet the long notes go to the floor tom, and the page says why."""
    made = apply(parse("x- .x xx x-"), "solo", Setting(under="samba"))
    pattern = made.rows[-1][1]
    assert at(pattern, F(0)) >= {"floor-tom", "bass"}
    assert not any(hit.surface == "crash" for hit in pattern.hits)
    assert "the ostinato holds the bass" in made.notes[-1]


def test_crashes_in_a_solo_keep_their_distance() -> None:
    """Of four quarters the first and third crash; the others are the floor tom's."""
    crashes = [h.onset for h in whole("1 2 3 4", "solo").hits if h.surface == "crash"]
    assert crashes == [F(0), F(2)]


def test_a_solo_refused() -> None:
    """Feet that need a hand, and the snare for the long notes."""
    with pytest.raises(RefusedError, match="which the ostinato holds"):
        apply(parse("1 & 2 3 4"), "solo", Setting(under="ride-swing"))
    with pytest.raises(OptionError, match="choose a cymbal or a tom"):
        apply(parse("1 & 2 3 4"), "solo", Setting(surface="snare"))


@pytest.mark.parametrize("gone", HAND_LIMBS)
def test_a_fill_of_one_hand_ends_with_it(gone: Limb) -> None:
    """One hand plays fill and crash, and the page says that it has to reach."""
    who = replace(PLAYERS["school"], name="the student", limbs=((gone, LimbProfile(absent=True)),))
    said = apply(parse("1 & 2 & 3 & 4 &"), "fill", Setting(player=who)).instruction
    assert f"The fill ends with the {gone.mirrored.words}, which then has to reach the crash on 1" in said
    assert gone.words not in said


# ---- trade -----------------------------------------------------------------------------------------------------------


@fewer
@given(dressed_lines(), KITS, st.sampled_from((2, 4, 5)), st.sampled_from((None, "ride", "closed-hat")))
def test_a_trade_is_time_then_solo(line: Line, on: Kit, bars: int, label: str | None) -> None:
    """The first half is time, the second the solo of as many bars of the line, under the same meters."""
    setting = Setting(kit=on, phrase=bars, surface=label)
    made = made_or_refused(line, "trade", setting)
    if made is None:
        return
    (_, time), (_, solo) = made.rows
    assert time.meters == solo.meters
    assert len(time.meters.bars) == bars
    first = project_line(project(solo, Limb.RH, Limb.LH), softest=Level.NORMAL)
    turned = line * (1 + bars)
    starts = [bar.start for bar in turned.meters.bars[: len(line.meters.bars)]]
    turns = [turned.cut(start, start + solo.span) for start in starts]
    turn = next(turn for turn in turns if turn.meters == solo.meters and turn.onsets == first.onsets)
    assert set(time.hits) == set(kept_time(turn.meters, setting, label or "ride", threes=in_threes(turn)))
    feet = None
    if by_quarters(turn, label or "ride") and turn.meters.only:  # the hat foot of the time goes on
        feet = " ".join([on.hat_foot.name, "hat-foot", *[".x"] * turn.meters.only.numerator])
    alone = apply(turn, "solo", Setting(kit=on, under=feet)).rows[-1][1]
    left_out = set(alone.hits) - set(solo.hits)
    assert set(solo.hits) <= set(alone.hits)
    assert {hit.level for hit in left_out} <= {Level.TAP}
    assert len(left_out) == sum("last tap" in note for note in made.notes)
    check_crashes(solo)
    if len(line.meters.bars) != bars:
        assert made.notes


def test_trading_twos() -> None:
    """Two bars of ride time, two of the line, which is repeated; the hat foot goes on through both."""
    made = apply(parse("xx xx xx x-"), "trade", Setting(phrase=2))
    (_, time), (_, solo) = made.rows
    assert made.title == "Trading twos"
    assert time == rows("RH ride x. xx x. xx; RF bass f. f. f. f.; LF hat-foot .. x. .. x.") * 2
    assert solo == whole("xx xx xx x- | xx xx xx x-", "solo")
    assert project(time, Limb.LF) == project(solo, Limb.LF)
    assert made.notes[0] == "the line's 1 bar repeated to make 2"


def test_trading_over_samba_feet() -> None:
    """Feet asked for go on under time and solo; the ride is then in even eighths."""
    (_, time), (_, solo) = apply(parse("1 & 2 3 4"), "trade", Setting(phrase=2, under="samba")).rows
    feet = rows("RF bass x..x X..x x..x X..x; LF hat-foot ..x. ..x. ..x. ..x.") * 2
    assert time == rows("RH ride xx xx xx xx") * 2 | feet
    assert project(solo, Limb.RF, Limb.LF) == feet


def test_a_trade_starts_where_the_line_plays() -> None:
    """Bars of rest before the first note are passed over, as far as a turn lies before it; it is said."""
    made = apply(parse(". . . . | . . . . | . . . . | x x x x | x . . ."), "trade", Setting(phrase=2))
    assert made.notes[0] == "2 bars of the line from bar 4, since the bars before it are rest"
    cut = apply(parse("x . . . | x x x x | x . . ."), "trade", Setting(phrase=2))
    assert cut.notes[0] == "the first 2 of the line's 3 bars; --measures chooses others"


# ---- figures ---------------------------------------------------------------------------------------------------------

FIGURE_SETTINGS = st.builds(Setting, kit=KITS, surface=TIME_ON)


@given(dressed_lines(), FIGURE_SETTINGS, st.booleans())
def test_every_figure_of_the_full_band_sounds(line: Line, setting: Setting, stop: bool) -> None:  # noqa: FBT001
    """Long notes crash with bass or snare under them, short ones are snare or bass; hands are two, one stroke each."""
    made = made_or_refused(line, "figures", Setting(kit=setting.kit, surface=setting.surface, stop_time=stop))
    if made is None:
        return
    ((_, pattern),) = made.rows
    for note in line.notes:
        assert at(pattern, note.onset) & ({"crash"} if line.is_long(note) else {"snare", "bass"})
    check_crashes(pattern)
    check_hat(pattern)
    if stop:
        assert set(pattern.onsets) == set(line.onsets)


@given(dressed_lines(), FIGURE_SETTINGS)
def test_set_ups_stay_out_of_running_lines(line: Line, setting: Setting) -> None:
    """What is neither figure nor time is a set-up: a drum, never within a beat after a figure note, three at most."""
    made = made_or_refused(line, "figures", setting)
    if made is None:
        return
    ((_, pattern),) = made.rows
    meters = line.meters
    time = kept_time(meters, setting, setting.surface or "ride", threes=in_threes(line))
    usual = {(hit.onset, hit.surface) for hit in time}
    extra = [h for h in pattern.hits if h.onset not in line.onsets and (h.onset, h.surface) not in usual]
    assert {hit.surface for hit in extra} <= {"snare", "high-tom"}
    going_round = [onset - line.span for onset in line.onsets] + list(line.onsets)
    for hit in extra:
        last = max(onset for onset in going_round if onset <= hit.onset)
        assert hit.onset - last >= meters.beat_at(hit.onset).full
    ahead = [*line.onsets, *(onset + line.span for onset in line.onsets)]
    coming = [min(onset for onset in ahead if onset > hit.onset) for hit in extra]
    assert all(coming.count(figure) <= 3 for figure in coming)
    assert len({h.onset for h in extra}) == len(extra)


@given(dressed_lines(), FIGURE_SETTINGS)
def test_time_goes_on_beside_the_figures(line: Line, setting: Setting) -> None:
    """The full band's page keeps every stroke of time where its limb is free; feathered strokes give way to kicks."""
    made = made_or_refused(line, "figures", setting)
    if made is None:
        return
    ((_, pattern),) = made.rows
    time = kept_time(line.meters, setting, setting.surface or "ride", threes=in_threes(line))
    busy = {(hit.onset, hit.limb) for hit in pattern.hits}
    for hit in time:
        assert (hit.onset, hit.limb) in busy or hit.level is Level.FEATHER


@given(dressed_lines(), FIGURE_SETTINGS)
def test_sections_leave_time_alone(line: Line, setting: Setting) -> None:
    """Under one section time is unbroken, with taps of snare and bass beside it; under the saxes it is all there is."""
    made = {
        section: made_or_refused(line, "figures", Setting(kit=setting.kit, surface=setting.surface, section=section))
        for section in SECTIONS
    }
    time = set(kept_time(line.meters, setting, setting.surface or "ride", threes=in_threes(line)))
    saxes, one = made["saxes"], made["one"]
    if saxes is not None:
        assert set(saxes.rows[0][1].hits) == time
    if one is not None:
        hits = set(one.rows[0][1].hits)
        assert {hit for hit in time if hit.level > Level.FEATHER} <= hits
        assert all(h.level is Level.TAP and h.surface in ("snare", "bass") for h in hits - time)
        assert {hit.onset for hit in hits - time} <= set(line.onsets)


BAND = "8r 4. 2 | 4 8 8 8 8 4 | 1r | 2r 8r 4. | 4 8r 4. 4r"


def test_figures_of_the_full_band() -> None:
    """Off-beat entries are set up on the beat before, the note on 1 on the "&" before; the run is snare and bass."""
    assert whole(BAND, "figures") == rows(
        "RH crash    .X .. X. ..  X. .. .. X.  .. .. .. ..  .. .. .X ..  X. .X .. ..;"
        "RH ride     x. xx .. xx  .. xx x. .x  x. xx x. xx  x. xx x. xx  .. x. x. xx;"
        "LH snare    x. .. .. .x  .. .x .x ..  .. .. .. ..  .. .. x. ..  .. .. .. ..;"
        "RF bass     .X .. X. f.  X. x. x. X.  f. f. f. f.  f. f. .X ..  X. .X .. f.;"
        "LF hat-foot .. x. .. x.  .. x. .. x.  .. x. .. x.  .. x. .. x.  .. x. .. x."
    )


def test_figures_over_a_backbeat() -> None:
    """On the hat the backbeat goes on; on 2 and 4 the snare has the place of the bass under the crash."""
    assert whole("4 4 8 8 4", "figures", Setting(surface="closed-hat")) == rows(
        "RH crash      X. X. .. X.; RH closed-hat .x .x xx .x; LH snare .. X. xx X.; RF bass X. .. x. .."
    )


def test_the_note_on_1_of_bar_1_is_set_up_at_the_end() -> None:
    """The page comes round: two notes before the first 1, in the last bar, and the page says what they are for."""
    made = apply(parse("2 2r | 4r 2. | 1r"), "figures")
    assert project(made.rows[0][1], Limb.LH) == rows("LH snare .. .. .. .. xx .. .. .. .. .. .. xx")
    assert any("set-up at the end is for the first figure" in note for note in made.notes)


@pytest.mark.parametrize(
    ("words", "label", "said"),
    [
        ("x. .x .. xx", "ride", "kick the figures: short notes are the snare."),
        ("x- .. x- ..", "ride", "kick the figures: long notes are a crash with the bass under it."),
        (". x . x", "closed-hat", "long notes are a crash with the snare under it."),
        ("x- x- .. .x", "closed-hat", "with the bass, or on the backbeat the snare, under it, short ones the snare."),
        ("x- .x xx x.", "ride", "short ones the snare, in runs shared with the bass."),
    ],
)
def test_figures_speak_of_what_they_have(words: str, label: str, said: str) -> None:
    """The instruction names long and short notes, runs and backbeats only where the line has them."""
    assert said in apply(parse(words), "figures", Setting(surface=label)).instruction


@pytest.mark.parametrize("name", ["figures", "trade"])
def test_the_ride_of_a_jazz_band_swings(name: str) -> None:
    """Common practice: eighths beside the ride swing, over a backbeat, Latin feet, sixteenths or written threes not."""
    eighths = parse("x. .x .. xx")
    assert apply(eighths, name).feel == SWUNG
    assert apply(eighths, name, Setting(surface="closed-hat")).feel == EVEN
    for line in (
        parse("x.xx x... x... x..."),
        parse("x.x x.. x.x x.."),
        parse("x.x x.x", "6/8"),
        parse("xxx.x... x.......", "2/2"),
    ):
        assert apply(line, name).feel == EVEN
    assert apply(parse("x.x. x.xx", "2/2"), name).feel == SWUNG
    if name == "trade":
        assert apply(eighths, name, Setting(under="samba")).feel == EVEN


def test_stop_time_is_the_figures_alone() -> None:
    """Nothing but crash with bass, snare and bass, not even the hat foot; no set-up breaks the silence."""
    assert whole(BAND, "figures", Setting(stop_time=True)) == rows(
        "RH crash .X .. X. ..  X. .. .. X.  .. .. .. ..  .. .. .X ..  X. .X .. ..;"
        "LH snare .. .. .. ..  .. .x .x ..  .. .. .. ..  .. .. .. ..  .. .. .. ..;"
        "RF bass  .X .. X. ..  X. x. x. X.  .. .. .. ..  .. .. .X ..  X. .X .. .."
    )


def test_one_section_is_caught_lightly() -> None:
    """Long notes tap the bass, entries and accents the snare; the ride never stops, and there is no crash."""
    assert whole("8r 8r 8 8 8 8 4", "figures", Setting(section="one")) == rows(
        "RH ride x. xx x. xx; LH snare .. t. .. ..; RF bass f. f. f. t.; LF hat-foot .. x. .. x."
    )


def test_saxes_are_heard() -> None:
    """Under the saxes the page is time, and says so."""
    made = apply(parse(BAND), "figures", Setting(section="saxes"))
    assert made.rows[0][1] == rows("RH ride x. xx x. xx; RF bass f. f. f. f.; LF hat-foot .. x. .. x.") * 5
    assert made.notes == ("the line is heard, not caught: nothing of it is played on the drums",)


def test_marks_decide_what_is_kicked() -> None:
    """A quarter with a dot is short and the snare's; an eighth with a line is long and crashes."""
    meters = Meters.of(Meter(4, 4))
    line = Line((Note(F(0), F(1), mark=Mark.SHORT), Note(F(2), F(1, 2), mark=Mark.LONG)), meters)
    pattern = apply(line, "figures").rows[0][1]
    assert "snare" in at(pattern, F(0))
    assert at(pattern, F(2)) == {"crash", "bass"}


@pytest.mark.parametrize("section", ["one", "saxes"])
def test_stop_time_is_for_the_full_band(section: str) -> None:
    """Stop-time with a section that is not kicked would leave nothing: an error that names both options."""
    with pytest.raises(OptionError, match=rf"--stop-time with --section {section}.*use --section full"):
        apply(parse("1 2 3 4"), "figures", Setting(section=section, stop_time=True))


@given(any_meters, st.sampled_from(("fill", "solo", "trade", "figures")))
def test_a_line_of_rest_is_refused(meter: Meter, name: str) -> None:
    """Nothing to play is said, whatever the meter."""
    with pytest.raises(RefusedError, match="all rest"):
        apply(Line((), Meters.of(meter, 2)), name)


def test_figures_in_a_form() -> None:
    """A short line is followed by time to the form's end; one that goes past it is refused with the first figure."""
    (_, row) = apply(parse("x- .x .. x-"), "figures", Setting(form=4)).rows[0]
    assert len(row.meters.bars) == 4
    assert any(hit.surface == "ride" and hit.onset >= 12 for hit in row.hits)
    (_, cut) = apply(parse("x- .x .. x- | . . . ."), "figures", Setting(form=1)).rows[0]
    assert len(cut.meters.bars) == 1
    with pytest.raises(RefusedError, match=r'2 figures outside the form of 1 bar, the first on bar 2, count "1"'):
        apply(parse("x- .x .. x- | x . x ."), "figures", Setting(form=1))
    with pytest.raises(OptionError, match="--form 0; a form has 1 to 96 bars"):
        Setting(form=0)


@pytest.mark.parametrize("name", ["figures", "trade", "swing"])
def test_in_cut_time_the_ride_goes_by_the_quarter(name: str) -> None:
    """Common practice: a swing chart in 2/2 is ridden in quarters, hat foot on 2 and 4 of them, whatever the job."""
    made = apply(parse("x-.. ..x-", "2/2"), name, Setting(phrase=2, section="saxes"))
    time = made.rows[0][1]
    assert project(time, Limb.RH).meters == project(time, Limb.LF).meters
    assert {hit.onset % 4 for hit in time.hits if hit.limb is Limb.RH} == {0, 1, F(3, 2), 2, 3, F(7, 2)}
    assert {hit.onset % 4 for hit in time.hits if hit.limb is Limb.LF} == {1, 3}
    assert made.count_quarters
    assert made.feel == SWUNG


def test_a_tap_on_the_way_back_to_the_ride_is_left_out() -> None:
    """Where the last tap is too near the ride of the time that follows, it gives way, and the page says so."""
    said = 0
    for words, pace, name in (
        ("xx.x ..x. ...x .x..", 160, "beginner"),
        ("x... xxxx xxxx ....", 160, "school"),
        (".x x. xx ..", 240, "beginner"),
        ("x... xxxx xxxx ....", 60, "school"),
    ):
        for hand in ("right", "left"):
            on, by = kit("standard", hand=hand), PLAYERS[name]
            made = apply(parse(words), "trade", Setting(phrase=2, pace=float(pace), kit=on, player=by))
            (_, time), (_, solo) = made.rows
            notes = [note for note in made.notes if note.startswith("the last tap of the ")]
            said += len(notes)
            hurried = [
                found
                for found in playability(time + solo, by, pace, hand=hand)
                if found.onset == 0 and found.rule == "travel"
            ]
            assert not hurried, (words, hand)
    assert said >= 3


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("x x x x", "play the fill, one stroke on the snare, while"),
        ("x x x xx", "take the line round the drums while"),
        ("x x x x..x", "take the line round the drums while"),
    ],
)
def test_a_fill_says_where_it_goes(words: str, said: str) -> None:
    """A fill of one stroke goes round no drums."""
    assert said in apply(parse(words), "fill", Setting(fill="1-beat")).instruction
