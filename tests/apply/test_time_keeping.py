"""Groove, swing, hip-hop and latin: what each promises, and the checks its pages keep, on arbitrary lines."""

import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import Made, Setting, application, apply, fitted_ostinato
from kitgen.apply.bass import thinned
from kitgen.apply.swing import accents_of
from kitgen.errors import OptionError, RefusedError
from kitgen.kit import HANDS, PLAYERS, Limb, Player, kit
from kitgen.line import Line, parse
from kitgen.pattern import Feel, Hit, Level, Pattern, parse_rows, project
from kitgen.pattern.clave import clave
from kitgen.pattern.quality import Terms, faults
from kitgen.time import Meter, Meters, backbeats
from tests.apply.lines import dressed_lines
from tests.strategies import SWINGING_METERS, fewer, whole_maps

F = Fraction
TIME = ("groove", "swing", "hip-hop", "latin")
PACES = (40.0, 60.0, 92.0, 140.0, 210.0, 300.0)
STANDARD = st.builds(
    Setting,
    kit=st.sampled_from(HANDS).map(lambda hand: kit("standard", hand=hand)),
    player=st.sampled_from(tuple(PLAYERS.values())),
    pace=st.sampled_from(PACES),
)
"""A full kit in every hand setting, several players and paces."""

QUARTER_LINES = dressed_lines(whole_maps(st.sampled_from(SWINGING_METERS), max_bars=2, max_runs=2))
"""Lines under meters a swing ride fits."""


def made_or_refused(line: Line, name: str, setting: Setting) -> Made | None:
    """What an application makes of a line, or None where it refuses."""
    try:
        return apply(line, name, setting)
    except RefusedError:
        return None


def row(made: Made) -> Pattern:
    """The row that holds the line."""
    return made.rows[-1][1]


def struck(pattern: Pattern, *labels: str, softest: Level = Level.FEATHER) -> set[Fraction]:
    """Where some surfaces are struck, at a level or louder."""
    return {hit.onset for hit in pattern.hits if hit.surface in labels and hit.level >= softest}


def left_out(made: Made) -> int:
    """How many notes of the line the page says the bass leaves out."""
    counts = (re.match(r"(\d+) notes? of the line left out(: too fast| so that)", note) for note in made.notes)
    return sum(int(count[1]) for count in counts if count)


def terms_of(made: Made, setting: Setting) -> Terms:
    """What a page is held against."""
    return Terms(setting.half_time, setting.player, setting.pace, made.clave, setting.clave)


def rows(text: str, meter: str = "4/4") -> Pattern:
    """Box rows as a pattern."""
    return parse_rows(text, meter)


# ---- the checks ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", TIME)
@given(
    line=st.one_of(dressed_lines(), QUARTER_LINES),
    setting=STANDARD,
    half_time=st.booleans(),
    surface=st.sampled_from((None, "ride")),
    foot=st.booleans(),
)
def test_pages_keep_their_checks(
    name: str,
    line: Line,
    setting: Setting,
    half_time: bool,  # noqa: FBT001
    surface: str | None,
    foot: bool,  # noqa: FBT001
) -> None:
    """Whatever the line, the player and the pace, every row passes the checks its application names."""
    chosen = application(name)
    if "half_time" in chosen.uses:
        setting = replace(setting, half_time=half_time, surface=surface)
    elif foot:
        setting = replace(setting, limb=setting.kit.bass_foot, under=None if name == "swing" else "none")
    made = made_or_refused(line, name, setting)
    if made is None:
        return
    assert chosen.rules
    for _, pattern in made.rows:
        played = pattern.with_feel(made.feel.resolved(setting.pace))
        assert faults(played, chosen.rules, terms_of(made, setting)) == ()


@given(st.sampled_from(TIME), QUARTER_LINES, st.sampled_from(tuple(PLAYERS.values())), st.sampled_from(PACES))
@fewer
def test_left_and_right_are_mirrored(name: str, line: Line, player: Player, pace: float) -> None:
    """Set for the left hand, a page is the mirror image of the right-handed one, at any pace."""
    right, left = (
        made_or_refused(line, name, Setting(kit=kit("standard", hand=hand), player=player, pace=pace))
        for hand in ("right", "left")
    )
    assert (right is None) == (left is None)
    if right is not None and left is not None:
        mirrored = [tuple((h.onset, h.limb.mirrored, h.surface, h.level) for h in row.hits) for _, row in right.rows]
        found = [tuple((h.onset, h.limb, h.surface, h.level) for h in row.hits) for _, row in left.rows]
        assert [set(hits) for hits in found] == [set(hits) for hits in mirrored]


# ---- groove and hip-hop ----------------------------------------------------------------------------------------------


@given(st.sampled_from(("groove", "hip-hop")), st.one_of(dressed_lines(), QUARTER_LINES), STANDARD, st.booleans())
def test_the_bass_plays_the_line(name: str, line: Line, setting: Setting, ride: bool) -> None:  # noqa: FBT001
    """The bass plays notes of the line off the backbeat; the page counts the others; the snare accents the backbeat."""
    setting = replace(setting, surface="ride" if ride else None)
    made = made_or_refused(line, name, setting)
    if made is None:
        return
    pattern, back = row(made), set(backbeats(line.meters))
    bass = struck(pattern, "bass")
    assert struck(pattern, "snare", softest=Level.ACCENT) == back
    assert bass <= set(line.onsets) - back
    assert left_out(made) == len(set(line.onsets) - back - bass)
    assert bool(struck(pattern, "hat-foot")) == (ride and bool(back) and bool(struck(pattern, "ride")))
    assert not (struck(pattern, "hat-foot") and struck(pattern, "closed-hat", "open-hat"))


@given(st.sampled_from(("groove", "hip-hop")), st.one_of(dressed_lines(), QUARTER_LINES), STANDARD)
def test_ghost_notes_stay_out_of_the_way(name: str, line: Line, setting: Setting) -> None:
    """Ghosts are few, on an "e" or "a" where nothing is struck, and never right before or after a backbeat."""
    made = made_or_refused(line, name, setting)
    if made is None:
        return
    pattern, most = row(made), {"groove": 2, "hip-hop": 1}[name]
    ghosts = [hit for hit in pattern.hits if hit.level is Level.GHOST]
    bars = [pattern.meters.beat_at(hit.onset).bar for hit in ghosts]
    assert all(bars.count(number) <= most for number in bars)
    back = set(backbeats(line.meters))
    for hit in ghosts:
        beat = pattern.meters.beat_at(hit.onset)
        assert hit.surface == "snare"
        assert (hit.onset - beat.start) / beat.full in (F(1, 4), F(3, 4))
        assert sum(other.onset == hit.onset for other in pattern.hits) == 1
        assert not any((hit.onset + step) % line.span in back for step in (beat.full / 4, -beat.full / 4))
        assert float(beat.full) / 4 * 60_000 / setting.pace >= setting.player.rates(hit.limb).few


@given(dressed_lines(), STANDARD)
def test_an_open_hat_is_a_long_note_off_the_beat(line: Line, setting: Setting) -> None:
    """The hat opens at most once a bar, on a long note of the line between the beats with the bass under it."""
    made = made_or_refused(line, "groove", setting)
    if made is None:
        return
    pattern = row(made)
    opened = struck(pattern, "open-hat")
    assert opened <= struck(pattern, "bass") & {note.onset for note in line.notes if line.is_long(note)}
    assert not opened & {beat.start for beat in line.meters.beats}
    assert len({pattern.meters.beat_at(at).bar for at in opened}) == len(opened)


@given(QUARTER_LINES, STANDARD, st.integers(2, 4))
@fewer
def test_bars_that_are_alike_are_thinned_alike(line: Line, setting: Setting, times: int) -> None:
    """One bar played several times has the same bass each time."""
    bar = line.measures(1, 1)
    made = made_or_refused(bar * times, "groove", setting)
    if made is None:
        return
    bass = struck(row(made), "bass")
    first = {at for at in bass if at < bar.span}
    assert bass == {at + bar.span * turn for turn in range(times) for at in first}


@given(QUARTER_LINES, STANDARD, st.sampled_from((None, F(1, 2), F(1, 3))), st.sampled_from((Feel(), Feel(16, F(6, 5)))))
@fewer
def test_thinning_twice_is_thinning_once(line: Line, setting: Setting, share: Fraction | None, feel: Feel) -> None:
    """What was kept is kept again: it is within reach and has air."""
    wanted = [Hit(note.onset, setting.kit.bass_foot, "bass") for note in line.notes]
    if not wanted:
        return
    try:
        kept = thinned(wanted, line.meters, setting, share=share, feel=feel)
    except RefusedError:
        return
    assert kept.hits
    assert len(kept.hits) + kept.too_fast + kept.for_air == len(wanted)
    again = thinned(kept.hits, line.meters, setting, share=share, feel=feel)
    assert again == (kept.hits, 0, 0)


def test_what_the_foot_leaves_out_first() -> None:
    """Sixteenths too fast for the foot keep 1 and 3, then the "&"; an accent comes before them all."""
    fast = Setting(pace=130)
    made = apply(parse("xxxx xxxx xxxx xxxx"), "groove", fast)
    assert project(row(made), Limb.RF) == rows("RF bass x.x. ..x. x.x. ..x.")
    accented = apply(parse("xxxx xxxX xxxx xxxx"), "groove", fast)
    assert project(row(accented), Limb.RF) == rows("RF bass x.x. .x.X ..x. ..x.")
    assert "too fast for the bass foot of the school player at 130 quarters a minute" in " ".join(made.notes)


def test_a_groove_leaves_air() -> None:
    """A stream of sixteenths leaves half of the bar's places; a line of eighths is not thinned at all."""
    stream = apply(parse("xxxx xxxx xxxx xxxx"), "groove", Setting(player=PLAYERS["advanced"]))
    assert project(row(stream), Limb.RF) == rows("RF bass x.x. ..xx x.x. ..xx")
    assert "6 notes of the line left out so that the bass leaves air" in " ".join(stream.notes)
    eighths = apply(parse("xx xx xx xx"), "groove")
    assert project(row(eighths), Limb.RF) == rows("RF bass xx .x xx .x")
    assert not left_out(eighths)


def test_a_funk_groove() -> None:
    """Ghosts on "a" and "e" away from the backbeat, and the late "&" opens the hat, which closes on 1."""
    assert row(apply(parse("x..x .... ..x. ..x-"), "groove")) == rows(
        "RH closed-hat x.x. x.x. x.x. x...; RH open-hat .... .... .... ..x.; LH snare .... X..g .... X..g;"
        "RF bass x..x .... ..x. ..x."
    )


def test_ride_time_frees_the_hat_foot() -> None:
    """With the hand on the ride the hat foot plays 2 and 4, also where half time moves the backbeat to 3."""
    made = apply(parse("xx .x xx .x"), "groove", Setting(surface="ride", half_time=True))
    assert row(made) == rows("RH ride xx xx xx xx; LH snare .. .. X. ..; RF bass xx .x .x .x; LF hat-foot .. x. .. x.")


@pytest.mark.parametrize("name", ["groove", "hip-hop"])
@pytest.mark.parametrize("surface", ["crash", "open-hat", "snare"])
def test_what_no_time_is_kept_on(name: str, surface: str) -> None:
    """Time is not kept on a crash, on an open hat or on the drum of the backbeat."""
    with pytest.raises(OptionError, match=f"--surface {surface} .*keep time on closed-hat, ride"):
        apply(parse("x. .x x. .x"), name, Setting(surface=surface))


def test_hip_hop_swings_sixteenths() -> None:
    """Sixteenths swing 1.2:1, in cut time eighths do; the bass keeps a third of the places, the backbeat stays."""
    made = apply(parse("x..x ..x. .xx. ...x"), "hip-hop")
    assert made.feel == Feel(16, F(6, 5))
    assert row(made) == rows(
        "RH closed-hat x.x. x.x. x.x. x.x.; LH snare .... X..g .... X...; RF bass x..x ..x. ..x. ...x"
    )
    assert apply(parse("x..x .xx.", "2/2"), "hip-hop").feel == Feel(8, F(6, 5))


@pytest.mark.parametrize(
    ("line", "meter", "why"),
    [
        ("1 la 2", "6/8", "does not count quarters; write the line in 4/4 or 2/4, or use --as groove"),
        ("x.x x.. x.x x.x", "4/4", "in triplets, a shuffle, .*use --as groove"),
        (". x . x", "4/4", "every note of this line falls on the backbeat"),
    ],
)
def test_hip_hop_refuses(line: str, meter: str, why: str) -> None:
    """What has no sixteenths to swing is refused with what would do."""
    with pytest.raises(RefusedError, match=why):
        apply(parse(line, meter), "hip-hop")


def test_hip_hop_refuses_two_pulses() -> None:
    """Cut time and quarters in one line have no one note value to swing."""
    with pytest.raises(RefusedError, match="mixes cut time with quarters"):
        apply(parse("x. .. x. ..") + parse("x.x. x...", "2/2"), "hip-hop")


# ---- swing -----------------------------------------------------------------------------------------------------------


@given(QUARTER_LINES, STANDARD)
def test_comping_is_the_line(line: Line, setting: Setting) -> None:
    """The comping hand gives the line; ride, hat and feathered bass are as under a line of one note."""
    made = made_or_refused(line, "swing", setting)
    if made is None:
        assert not line.notes
        return
    pattern, comp = row(made), setting.kit.weak
    assert project(pattern, comp).onsets == line.onsets
    assert {hit.surface for hit in project(pattern, comp).hits} == {"snare"}
    plain = row(apply(Line(line.notes[:1], line.meters), "swing", setting))
    others = [limb for limb in Limb if limb != comp]
    assert project(pattern, *others) == project(plain, *others)
    assert {hit.level for hit in pattern.hits if hit.surface == "bass"} == {Level.FEATHER}
    assert made.feel == Feel(8, None)
    alone = made.rows[0][1]
    assert alone.hits == tuple(hit for hit in project(pattern, *others).hits if hit.onset < alone.span)


@given(QUARTER_LINES, STANDARD)
def test_comping_in_the_bass(line: Line, setting: Setting) -> None:
    """Above a feather the bass plays notes of the line, and the page counts the rest; feathers stand between."""
    setting = replace(setting, limb=setting.kit.bass_foot)
    made = made_or_refused(line, "swing", setting)
    if made is None:
        return
    comped = struck(row(made), "bass", softest=Level.NORMAL)
    feathered = struck(row(made), "bass") - comped
    assert comped <= set(line.onsets)
    assert left_out(made) == len(set(line.onsets) - comped)
    assert all(at.denominator == 1 for at in feathered)
    assert not feathered & set(line.onsets)
    assert not struck(row(made), "snare")


@given(QUARTER_LINES, STANDARD, st.booleans())
def test_one_or_two_accents_a_bar(line: Line, setting: Setting, foot: bool) -> None:  # noqa: FBT001
    """Every bar that is comped has one or two accents, the line's own where it has any."""
    made = made_or_refused(line, "swing", replace(setting, limb=setting.kit.bass_foot if foot else None))
    if made is None:
        return
    pattern = row(made)
    label = "bass" if foot else "snare"
    loud = struck(pattern, label, softest=Level.ACCENT)
    comped = struck(pattern, label, softest=Level.TAP)
    for bar in line.meters.bars:
        inside = {at for at in comped if bar.start <= at < bar.end}
        own = inside & set(line.accents)
        assert len(loud & inside) == (min(2, len(own)) if own else min(1, len(inside)))
        if own:
            assert loud & inside <= own


@pytest.mark.parametrize(
    ("line", "accents"),
    [
        ("x. .x x. .x", [F(7, 2)]),
        ("x. .x x. x.", [F(3, 2)]),
        ("x. x. x. ..", [F(1)]),
        ("x. .. x. ..", [F(2)]),
        ("Xx xX xx xx", [F(0), F(3, 2)]),
        ("XX XX xx xx", [F(1, 2), F(3, 2)]),
    ],
)
def test_where_a_drummer_leans(line: str, accents: list[Fraction]) -> None:
    """The last comp off the beat, else on 2 or 4, else the last; of the line's own, two, those off the beat first."""
    assert sorted(accents_of(parse(line))) == accents


def test_swing_time() -> None:
    """The ride, hat and feathers of 4/4, of a jazz waltz, of five and of cut time; accents kept are counted."""
    time = {
        "4/4": "RH ride x. xx x. xx; RF bass f. f. f. f.; LF hat-foot .. x. .. x.",
        "3/4": "RH ride x. xx x.; RF bass f. .. ..; LF hat-foot .. x. ..",
        "5/4": "RH ride x. xx x. x. xx; RF bass f. .. .. f. ..; LF hat-foot .. x. .. .. x.",
        "2/4": "RH ride x. xx; RF bass f. f.; LF hat-foot .. x.",
        "2/2": "RH ride x.xx x.xx; RF bass f.f. f.f.; LF hat-foot ..x. ..x.",
    }
    for meter, expected in time.items():
        line = Line.of_onsets([F(0)], Meters.of(Meter.parse(meter)))
        assert apply(line, "swing").rows[0][1] == rows(expected, meter)
    loud = apply(parse("XX XX xx xx"), "swing")
    assert "2 accents of the line played softly: one or two a bar are enough" in loud.notes


def test_a_feathered_stroke_gives_way() -> None:
    """The bass comps where the line is and is feathered on the beats it leaves."""
    made = apply(parse("x. .x .. .X"), "swing", Setting(limb=Limb.RF, pace=120))
    assert project(row(made), Limb.RF) == rows("RF bass x. fx f. fX")


def test_fast_swing_is_simplified() -> None:
    """Where the hand cannot keep the skip note the ride is in quarters; a foot too slow feathers every other beat."""
    made = apply(parse("x. .. .. .."), "swing", Setting(pace=280))
    assert made.rows[0][1] == rows("RH ride x x x x; RF bass f . f .; LF hat-foot . x . x")
    assert "at 280 quarters a minute the ride leaves its skip notes out" in made.notes
    assert "at 280 quarters a minute the bass is feathered on every other beat only" in made.notes


@pytest.mark.parametrize("meter", ["6/8", "12/8", "7/8", "3+3+2/8"])
def test_no_swing_ride_fits(meter: str) -> None:
    """Meters that count eighths are refused with the meters that fit."""
    line = Line.of_onsets([F(0)], Meters.of(Meter.parse(meter)))
    with pytest.raises(RefusedError, match=r"no swing ride fits .*4/4, 3/4, 5/4, 2/2.*use --as groove"):
        apply(line, "swing")


@pytest.mark.parametrize(
    ("setting", "why"),
    [
        (Setting(limb=Limb.RH), "the right hand rides; comp with LH or RF"),
        (Setting(limb=Limb.LF), "the left foot has 2 and 4; comp with LH or RF"),
        (Setting(surface="ride"), "is for time, not for comping"),
        (Setting(limb=Limb.RF, surface="snare"), "comps on the bass"),
    ],
)
def test_who_cannot_comp(setting: Setting, why: str) -> None:
    """Limbs that keep time, and surfaces for time, are refused by name."""
    with pytest.raises(OptionError, match=why):
        apply(parse("x. .x x. .x"), "swing", setting)


# ---- latin -----------------------------------------------------------------------------------------------------------


@given(dressed_lines(), STANDARD, st.sampled_from(Limb), st.sampled_from(("none", None, "samba", "songo", "quarters")))
def test_the_feet_are_untouched(line: Line, setting: Setting, limb: Limb, under: str | None) -> None:
    """The strokes give the line, over one bar twice; the ostinato projected out is as it was."""
    given_limb = limb if limb.is_hand or under == "none" else None
    made = made_or_refused(line, "latin", replace(setting, limb=given_limb, under=under))
    if made is None:
        return
    pattern = row(made)
    played = line if pattern.meters == line.meters else line * 2
    assert pattern.meters == played.meters
    feet = (Limb.RF, Limb.LF)
    moving = [other for other in Limb if other not in feet] if under != "none" else list(Limb)
    assert project(pattern, *moving).onsets == played.onsets
    if under not in (None, "none"):
        expected, _ = fitted_ostinato(under, played.meters, setting.kit)
        assert project(pattern, *feet) == expected
    assert made.count_quarters


@pytest.mark.parametrize("kind", ["son", "rumba"])
@pytest.mark.parametrize("side", ["3-2", "2-3"])
@pytest.mark.parametrize("meter", ["4/4", "2/2", "6/8"])
def test_the_clave_itself_is_on_its_side(kind: str, side: str, meter: str) -> None:
    """A clave as the line is told by its side, in the note and in the page's clave."""
    meters = Meters.of(Meter.parse(meter), 2)
    made = apply(Line.of_onsets(clave(kind, side, Meter.parse(meter)), meters), "latin", Setting(clave=kind))
    assert made.clave == side
    assert f"the line agrees with the {side} {kind} clave" in made.notes[0]


@given(dressed_lines(whole_maps(st.sampled_from((Meter(4, 4), Meter(2, 2), Meter(6, 8))), max_bars=1)))
def test_one_bar_goes_with_either_side(line: Line) -> None:
    """One bar is played twice and has no side."""
    made = made_or_refused(line, "latin", Setting())
    if made is None:
        assert not line.notes
        return
    assert made.clave is None
    assert row(made).meters == (line * 2).meters
    assert "goes with either side of the son clave" in made.notes[0]


def test_feet_and_sides() -> None:
    """Brazilian feet have no side; a meter without a clave and an odd number of bars have none; feet are said."""
    two = parse("x. .x .. x. | .. x. x. ..")
    assert apply(two, "latin", Setting(under="samba")).clave is None
    assert "samba feet have no clave side" in apply(two, "latin", Setting(under="samba")).notes
    assert "no clave side" in apply(parse("1 2 3", "3/4"), "latin").notes[0]
    assert "here the feet are plain" in apply(parse("1 2 3", "3/4"), "latin").notes[1]
    assert "no side" in apply(two + parse("1 2 3 4"), "latin").notes[0]
    assert (
        project(row(apply(two, "latin")), Limb.RF, Limb.LF) == rows("RF bass .. .x .. x.; LF hat-foot .. x. .. x.") * 2
    )


def test_who_plays_latin() -> None:
    """Both hands on a drum; one hand on shell or cross-stick; the limb that was named."""
    line = parse("x.xx .x.x | x.x. xx.x", "2/2")
    assert row(apply(line, "latin")).limbs == tuple(Limb)
    shell = apply(line, "latin", Setting(surface="floor-shell"))
    assert project(row(shell), Limb.RH) == rows("RH floor-shell x.xx .x.x | x.x. xx.x", "2/2")
    stick = apply(line, "latin", Setting(surface="cross-stick", kit=kit("standard", hand="left")))
    assert {hit.surface for hit in project(row(stick), Limb.RH).hits} == {"cross-stick"}
    foot = apply(line, "latin", Setting(limb=Limb.RF, under="none"))
    assert row(foot).limbs == (Limb.RF,)
