"""No-kit, roles, hands, stream, split, between and over: what each promises on arbitrary lines, and rows to look at."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import Made, Setting, apply, fitted_ostinato
from kitgen.apply.roles import orders_of
from kitgen.apply.setting import STICKINGS
from kitgen.errors import OptionError, RefusedError
from kitgen.kit import HANDS, PLAYERS, Limb, LimbProfile, kit
from kitgen.line import Line
from kitgen.line.stream import grid_of
from kitgen.pattern import Hit, Level, Ornament, Pattern, parse_rows, project
from kitgen.pattern.sticking import sticking_cost
from kitgen.time import Meter, Meters
from tests.apply.lines import dressed_lines
from tests.strategies import fewer, whole_maps

F = Fraction
BOTH = (Limb.RH, Limb.LH)
FEET = (Limb.RF, Limb.LF)
STANDARD = st.sampled_from(HANDS).map(lambda hand: Setting(kit=kit("standard", hand=hand)))
"""A full kit in every hand setting."""

ORDERS = st.permutations(list(Limb)).flatmap(lambda limbs: st.integers(2, 4).map(lambda size: tuple(limbs[:size])))
UNDER = st.sampled_from(("quarters", "hat-2-4", "bass-1-3-hat-2-4", "samba", "bossa", "baiao", "tumbao", "songo"))
MIXED = whole_maps(max_bars=2, max_runs=2)
IN_QUARTERS = whole_maps(
    st.sampled_from([Meter.parse(text) for text in ("4/4", "3/4", "2/2", "5/4", "2/4")]), max_bars=2, max_runs=2
)


def made_or_refused(line: Line, name: str, setting: Setting) -> Made | None:
    """What an application makes of a line, or None where it refuses."""
    try:
        return apply(line, name, setting)
    except RefusedError:
        return None


def setting_with(setting: Setting, **changed: object) -> Setting:
    """A setting of the same kit with other choices."""
    return replace(setting, **changed)  # type: ignore[arg-type]


def row(made: Made) -> Pattern:
    """The row that holds the line: the last."""
    return made.rows[-1][1]


def hand_hits(pattern: Pattern) -> tuple[Hit, ...]:
    """The strokes of the hands."""
    return project(pattern, *BOTH).hits


def onsets(hits: Sequence[Hit]) -> set[Fraction]:
    """Where strokes are."""
    return {hit.onset for hit in hits}


def boxes(text: str, meter: str = "4/4") -> Pattern:
    """Box rows as a pattern."""
    return parse_rows(text, Meter.parse(meter))


# ---- no-kit ----------------------------------------------------------------------------------------------------------


@given(dressed_lines(), STANDARD)
def test_no_kit_is_the_line_on_the_knees_over_walking_feet(line: Line, setting: Setting) -> None:
    """The hands, on the knees alone, give the line's onsets; the feet, on the floor, every beat, one foot each."""
    made = made_or_refused(line, "no-kit", setting)
    if made is None:
        assert not line.notes
        return
    assert project(row(made), *BOTH).onsets == line.onsets
    assert {hit.surface for hit in hand_hits(row(made))} <= {"lap"}
    for _, pattern in made.rows:
        feet = project(pattern, *FEET)
        assert [hit.onset for hit in feet] == [beat.start for beat in pattern.meters.beats]
        assert {hit.surface for hit in feet} == {"floor"}


@given(dressed_lines(MIXED), STANDARD, UNDER)
@fewer
def test_no_kit_takes_any_feet_to_the_floor(line: Line, setting: Setting, under: str) -> None:
    """Feet by name keep their strokes, limb and level, and go to the floor."""
    made = made_or_refused(line, "no-kit", setting_with(setting, under=under))
    if made is not None:
        feet, _ = fitted_ostinato(under, line.meters, setting.kit)
        found = project(row(made), *FEET)
        assert [(h.onset, h.limb, h.level) for h in found] == [(h.onset, h.limb, h.level) for h in feet]
        assert {hit.surface for hit in found} <= {"floor"}


def test_no_kit_needs_both_hands() -> None:
    """An ostinato for a hand is refused, and feet are offered."""
    with pytest.raises(RefusedError, match=r"both hands are on the knees.*--under quarters or --under samba"):
        apply(Line.parse("1 2 3 4"), "no-kit", Setting(under="ride-rock"))


def test_no_kit_in_boxes() -> None:
    """Eighths and sixteenths on the knees; the feet walk in 4/4, and step and answer twice in 3/4."""
    made = apply(Line.parse("1 & 2 e & a 3 4 &"), "no-kit")
    assert row(made) == boxes(
        "RH lap x.x. x.x. x... x.x.; LH lap .... .x.x .... ....; RF floor x . x .; LF floor . x . x"
    )
    made = apply(Line.parse("1 & 2 3", "3/4"), "no-kit")
    assert row(made) == boxes("RH lap x. x. x.; LH lap .x .. ..; RF floor x . .; LF floor . x x", "3/4")


# ---- roles -----------------------------------------------------------------------------------------------------------


@given(ORDERS)
def test_orders_are_all_orders_two_limbs_apart(limbs: tuple[Limb, ...]) -> None:
    """Every order once, the given one first, each next with two limbs swapped, the front one changing slowest."""
    orders = list(orders_of(limbs))
    assert orders[0] == limbs
    assert sorted(orders) == sorted(permutations(limbs))
    for one, following in pairwise(orders):
        assert sum(a != b for a, b in zip(one, following, strict=True)) == 2
    assert sum(a[0] != b[0] for a, b in pairwise(orders)) == len(limbs) - 1


@given(dressed_lines(), STANDARD, st.one_of(st.none(), ORDERS))
@fewer
def test_roles_go_round(line: Line, setting: Setting, order: tuple[Limb, ...] | None) -> None:
    """In every row each limb has a role of its own and plays nothing else; next rows differ in two limbs' roles."""
    made = made_or_refused(line, "roles", setting_with(setting, order=order))
    if made is None:
        assert not line.notes
        return
    named = [dict(word.split(" ", 1) for word in label.split(", ")) for label, _ in made.rows]
    size = len(order) if order else 3
    assert len({tuple(sorted(roles.items())) for roles in named}) == len(made.rows) == {2: 2, 3: 6, 4: 24}[size]
    for one, following in pairwise(named):
        assert sum(one[limb] != following[limb] for limb in one) == 2
    places: dict[str, tuple[Fraction, ...]] = {
        "line": line.onsets,
        "pulse": tuple(beat.start for beat in line.meters.beats),
    }
    for roles, (_, pattern) in zip(named, made.rows, strict=True):
        assert set(pattern.limbs) <= {Limb[name] for name in roles}
        for name, role in roles.items():
            own = project(pattern, Limb[name])
            assert own.onsets == places.setdefault(role, own.onsets)
        struck = {hit.surface for hit in pattern.hits}
        assert "hat-foot" not in struck or not struck & {"closed-hat", "open-hat"}
        accented = {hit.onset for hit in pattern.hits if hit.level is Level.ACCENT}
        assert accented == set(line.accents)


@pytest.mark.parametrize("hand", BOTH)
def test_one_hand_has_a_page_of_its_own(hand: Limb) -> None:
    """A player of one hand trades roles with both feet, and the page of the hands speaks of the one hand."""
    who = replace(PLAYERS["school"], name="the student", limbs=((hand.mirrored, LimbProfile(absent=True)),))
    line, setting = Line.parse("1 & 2 e & a 3 4 &"), Setting(player=who)
    roles = apply(line, "roles", setting)
    assert len(roles.rows) == 6
    assert {limb for _, pattern in roles.rows for limb in pattern.limbs} == {hand, *FEET}
    assert not any("does not play" in note for note in roles.notes)
    one_foot = replace(who, limbs=(*who.limbs, (Limb.LF, LimbProfile(absent=True))))
    assert len(apply(line, "roles", replace(setting, player=one_foot)).rows) == 2
    hands = apply(line, "hands", setting)
    assert hands.title == f"The line in the {hand.words}"
    assert "both" not in hands.instruction


def test_roles_in_boxes() -> None:
    """The first row is a beat to play: line on snare, pulse on bass, eighths on the hat; then two limbs trade."""
    made = apply(Line.parse("1 & 3 e & 4"), "roles")
    assert made.rows[0] == (
        "RH eighths, LH line, RF pulse",
        boxes("RH closed-hat xx xx xx xx; LH snare x.x. .... xxx. x...; RF bass x x x x"),
    )
    assert made.rows[1] == (
        "RH pulse, LH line, RF eighths",
        boxes("RH closed-hat x x x x; LH snare x.x. .... xxx. x...; RF bass xx xx xx xx"),
    )
    assert [label.replace("eighths", "E").replace("pulse", "P").replace("line", "L") for label, _ in made.rows] == [
        "RH E, LH L, RF P",
        "RH P, LH L, RF E",
        "RH P, LH E, RF L",
        "RH E, LH P, RF L",
        "RH L, LH P, RF E",
        "RH L, LH E, RF P",
    ]


def test_roles_of_four_limbs_in_six_eight() -> None:
    """All four limbs: the hat foot joins on the after-beat, and the time hand goes to the ride."""
    order = (Limb.LH, Limb.RF, Limb.RH, Limb.LF)
    made = apply(Line.parse("4 8 8 8 8", "6/8"), "roles", Setting(order=order))
    assert len(made.rows) == 24
    assert made.rows[0] == (
        "RH eighths, LH line, RF pulse, LF after-beats",
        boxes("RH ride xxx xxx; LH snare x.x xxx; RF bass x.. x..; LF hat-foot ... x..", "6/8"),
    )


def test_roles_in_triplets_and_bars_of_one_beat() -> None:
    """Time in a line of triplets is first and last of three; a bar of one beat has its after-beats on 2 and 3."""
    made = apply(Line.parse("1 trip let 2 3 let 4"), "roles")
    assert made.rows[0] == (
        "RH time, LH line, RF pulse",
        boxes("RH closed-hat x.x x.x x.x x.x; LH snare xxx x.. x.x x..; RF bass x x x x"),
    )
    made = apply(Line.parse("8 4", "3/8"), "roles", Setting(order=(Limb.LH, Limb.RF, Limb.LF)))
    assert made.rows[0] == (
        "LH line, RF pulse, LF after-beats",
        boxes("LH snare xx.; RF bass x..; LF hat-foot .xx", "3/8"),
    )


def test_a_long_line_gives_its_first_bars_to_roles() -> None:
    """A page of roles stays under a hundred bars, and says which bars it has."""
    made = apply(Line.parse("1 & 2 3 4") * 30, "roles", Setting(order=tuple(Limb)))
    assert sum(len(pattern.meters.bars) for _, pattern in made.rows) == 96
    assert made.notes == ("the first 4 of the line's 30 bars; --measures chooses others",)


def test_roles_say_what_becomes_of_grace_notes() -> None:
    """Grace notes stay where a hand is free for them, and the page says that they go elsewhere."""
    line = Line.parse("1 & 2 3 4")
    graced = Line((replace(line.notes[0], graces=1), *line.notes[1:]), line.meters)
    made = apply(graced, "roles", Setting(order=(Limb.LH, Limb.RF)))
    assert made.notes == ("grace notes of the line left out in rows where no hand is free for them",)
    assert [hit.ornament for hit in made.rows[0][1].hits if hit.onset == 0] == [Ornament.FLAM, None]


# ---- hands -----------------------------------------------------------------------------------------------------------


@given(dressed_lines(), STANDARD, st.sampled_from(tuple(PLAYERS.values())), st.sampled_from((40.0, 60.0, 92.0, 140.0)))
def test_computed_hands_are_the_line_at_least_cost(line: Line, setting: Setting, player: object, pace: float) -> None:
    """The hands give the line's onsets and written hands are kept; without them no sticking costs less than this."""
    computed = setting_with(setting, sticking="computed", player=player, pace=pace)
    made = made_or_refused(line, "hands", computed)
    if made is None:
        assert not line.notes
        return
    found = hand_hits(row(made))
    assert onsets(found) == set(line.onsets)
    limbs = {"R": {setting.kit.lead}, "L": {setting.kit.weak}, "B": set(BOTH)}
    for note in line.notes:
        if note.sticking:
            assert {hit.limb for hit in found if hit.onset == note.onset} == limbs[note.sticking]
    if any(note.sticking for note in line.notes):
        return
    for kind in ("natural", "alternating", "doubles", "paradiddle"):
        other = row(apply(line, "hands", setting_with(setting, sticking=kind, player=player, pace=pace)))
        costs = [
            sticking_cost(hits, line.meters, pace=pace, player=computed.player, hand=setting.kit.hand)
            for hits in (found, hand_hits(other))
        ]
        assert costs[0] <= costs[1]


def test_computed_hands_in_boxes() -> None:
    """At an easy tempo the least work is the natural hand."""
    made = apply(Line.parse("1 & 2 e & a 3 4 &"), "hands", Setting(sticking="computed"))
    assert made.title == "Hands, easiest sticking"
    assert row(made) == boxes("RH snare x.x. x.x. x... x.x.; LH snare .... .x.x .... ....")


def test_computed_hands_go_round_what_is_written() -> None:
    """Where the line asks for a right on the fast "e", the stroke before it is left, though it is on the number."""
    line = Line.parse("xx.. ....", "2/4")
    written = Line((line.notes[0], replace(line.notes[1], sticking="R")), line.meters)
    hits = row(apply(written, "hands", Setting(sticking="computed", pace=140.0))).hits
    assert [hit.limb.name for hit in hits] == ["LH", "RH"]


# ---- stream ----------------------------------------------------------------------------------------------------------


@given(dressed_lines(MIXED))
def test_a_stream_has_every_note_of_its_line(line: Line) -> None:
    """Its places follow each other without a hole, from the start of the line to its end, and every onset is one."""
    places = grid_of(line)
    assert [at for at, _ in places] == [F(0), *(at + length for at, length in places[:-1])]
    assert sum(length for _, length in places) == line.span
    assert set(line.onsets) <= {at for at, _ in places}


@pytest.mark.parametrize(
    ("meter", "text", "places"),
    [
        ("4/4", "4 4 4 4", "0 1/2 1 3/2 2 5/2 3 7/2"),
        ("6/8", "4. 4.", "0 1/2 1 3/2 2 5/2"),
        ("7/8", "8 8 8 8 4.", "0 1/2 1 3/2 2 5/2 3"),
        ("6/8", "4. 8 16 16 8", "0 1/4 1/2 3/4 1 5/4 3/2 7/4 2 9/4 5/2 11/4"),
        ("2/2", "2 4 4", "0 1 2 3"),
        ("2/4", "12 12 12 4", "0 1/3 2/3 1 4/3 5/3"),
        ("2/4", "32 32 16 8 8 8", "0 1/8 1/4 3/8 1/2 5/8 3/4 7/8 1 5/4 3/2 7/4"),
    ],
)
def test_the_stream_a_teacher_would_count(meter: str, text: str, places: str) -> None:
    """Eighths under quarters, threes in compound beats, sixteenths everywhere or nowhere, thirty-seconds only there."""
    assert " ".join(str(at) for at, _ in grid_of(Line.parse(text, meter))) == places


@given(
    dressed_lines(MIXED), STANDARD, st.sampled_from(("tap", "bass", "double")), st.sampled_from(STICKINGS)
)  # fmt: skip
def test_stream_is_the_line_in_accents(line: Line, setting: Setting, taps: str, sticking: str) -> None:
    """The strokes are every place of the stream, or of one twice as fine; the accents are exactly the line."""
    made = made_or_refused(line, "stream", setting_with(setting, taps=taps, sticking=sticking))
    places = {at for at, _ in grid_of(line)}
    full = places == set(line.onsets)
    own = full and 0 < len(line.accents) < len(line.notes)
    if made is None:
        finest = min(length for _, length in grid_of(line))
        assert not line.notes or (full and not own and finest < F(1, 3))
        return
    pattern = row(made)
    accents = {hit.onset for hit in pattern.hits if hit.level is Level.ACCENT}
    rest = [hit for hit in pattern.hits if hit.level is not Level.ACCENT]
    assert accents == (set(line.accents) if own else set(line.onsets))
    assert places <= onsets(pattern.hits)
    assert len(onsets(pattern.hits)) == len(places) * (2 if full and not own else 1)
    assert not accents & onsets(rest)
    if taps == "bass":
        assert {(hit.limb, hit.surface) for hit in rest} <= {(setting.kit.bass_foot, "bass")}
    else:
        assert {hit.surface for hit in pattern.hits} == {"snare"}
        assert {hit.level for hit in rest} <= {Level.TAP}
    if taps == "double":
        assert {hit.ornament for hit in rest} <= {Ornament.DIDDLE}


@given(dressed_lines(whole_maps(max_bars=2)), STANDARD, UNDER)
@fewer
def test_stream_leaves_the_feet_alone(line: Line, setting: Setting, under: str) -> None:
    """Feet under a stream are the ostinato, untouched; where it needs the bass for the taps it says so."""
    for taps in ("tap", "bass"):
        made = made_or_refused(line, "stream", setting_with(setting, under=under, taps=taps))
        if made is not None:
            feet, _ = fitted_ostinato(under, line.meters, setting.kit)
            assert project(row(made), *feet.limbs) == feet
            assert taps == "tap" or setting.kit.bass_foot not in feet.limbs


def test_stream_in_boxes() -> None:
    """Right on the numbers and "&", left on "e" and "a", whatever is accented; triplets alternate."""
    tresillo = Line.parse("x..x ..x.", "2/4")
    assert row(apply(tresillo, "stream")) == boxes("RH snare X.t. t.X.; LH snare .t.X .t.t", "2/4")
    assert row(apply(tresillo, "stream", Setting(taps="bass"))) == boxes(
        "RH snare X... ..X.; LH snare ...X ....; RF bass .xx. xx.x", "2/4"
    )
    assert row(apply(Line.parse("1 2 let 3 trip 4"), "stream")) == boxes(
        "RH snare X.t .t. X.t .t.; LH snare .t. X.X .X. X.t"
    )
    assert row(apply(Line.parse("4. 8 8 8", "6/8"), "stream")) == boxes("RH snare X.t .X.; LH snare .t. X.X", "6/8")


def test_stream_with_doubles_in_boxes() -> None:
    """Each tap is two strokes of its hand, each accent one."""
    hits = row(apply(Line.parse("x.x. ..x.", "2/4"), "stream", Setting(taps="double"))).hits
    assert [(hit.limb.name, hit.level.char, hit.ornament) for hit in hits] == [
        (limb, char, Ornament.DIDDLE if char == "t" else None)
        for limb, char in zip(("RH", "LH") * 4, "XtXtttXt", strict=True)
    ]


def test_a_stream_without_gaps() -> None:
    """Straight eighths get sixteenths between; sixteenths with accents have their own; even ones are refused."""
    eighths = apply(Line.parse("xx xx", "2/4"), "stream")
    assert row(eighths) == boxes("RH snare X.X. X.X.; LH snare .t.t .t.t", "2/4")
    assert eighths.notes == ("the line fills its own stream, so the stream is twice as fine",)
    accented = apply(Line.parse("Xxxx xxXx", "2/4"), "stream")
    assert row(accented) == boxes("RH snare X.t. t.X.; LH snare .t.t .t.t", "2/4")
    with pytest.raises(RefusedError, match=r"nothing can stand out; accent some of its notes.*--as hands"):
        apply(Line.parse("xxxx xxxx", "2/4"), "stream")


def test_a_stream_on_the_bass_over_the_bass() -> None:
    """Taps on a foot that the ostinato holds are refused with a way out."""
    with pytest.raises(RefusedError, match=r"--taps bass needs the right foot, and samba feet.*--taps tap"):
        apply(Line.parse("1 2 3 4"), "stream", Setting(taps="bass", under="samba"))


# ---- split -----------------------------------------------------------------------------------------------------------


@given(dressed_lines(MIXED), STANDARD, st.one_of(st.none(), st.sampled_from(Limb)), st.sampled_from((None, 1, 2, 5)))
def test_split_moves_the_last_notes_of_each_bar(
    line: Line, setting: Setting, limb: Limb | None, last: int | None
) -> None:
    """Every row strikes the line's onsets; the moving limb has exactly the last notes of each bar."""
    made = made_or_refused(line, "split", setting_with(setting, limb=limb, last=last))
    bars = [[at for at in line.onsets if bar.start <= at < bar.end] for bar in line.meters.bars]
    most = max(map(len, bars))
    if made is None:
        assert not line.notes or (last is not None and last > most)
        return
    moving = setting.kit.bass_foot if limb is None else limb
    numbers = [last] if last else range(1, most + 1)
    for number, (_, pattern) in zip(numbers, made.rows, strict=True):
        assert pattern.onsets == line.onsets
        assert project(pattern, moving).onsets == tuple(at for own in bars for at in own[-number:])
        assert set(pattern.limbs) <= {*((moving.mirrored,) if moving.is_hand else BOTH), moving}
        assert {hit.onset for hit in pattern.hits if hit.level is Level.ACCENT} == set(line.accents)
    short = sum(0 < len(own) < numbers[-1] for own in bars)
    assert any("there every note moves" in note for note in made.notes) == bool(short)


def test_split_in_boxes() -> None:
    """The end of the bar walks into the bass, one note more in every row, and the hands keep theirs."""
    made = apply(Line.parse("1 & 2 e & a 3 4 &"), "split")
    assert [label for label, _ in made.rows] == ["last note", *(f"last {n}" for n in range(2, 9)), "all"]
    assert made.rows[0][1] == boxes(
        "RH snare x.x. x.x. x... x...; LH snare .... .x.x .... ....; RF bass .... .... .... ..x."
    )
    assert made.rows[4][1] == boxes(
        "RH snare x.x. x... .... ....; LH snare .... .x.. .... ....; RF bass .... ..xx x... x.x."
    )
    assert made.rows[-1][1] == boxes("RF bass x.x. xxxx x... x.x.")


def test_split_of_a_number_in_boxes() -> None:
    """One row with so many notes, in a hand's tom or the other foot; a bar with fewer notes moves them all."""
    line = Line.parse("xx .. x. .. .. .. .x ..")
    made = apply(line, "split", Setting(last=2, limb=Limb.RH))
    assert [pattern for _, pattern in made.rows] == [
        boxes("RH floor-tom .x .. x. .. .. .. .x ..; LH snare x. .. .. .. .. .. .. ..")
    ]
    assert made.notes == ("1 bar has fewer than 2 notes: there every note moves",)
    made = apply(line, "split", Setting(last=1, limb=Limb.LF))
    assert row(made) == boxes(
        "RH snare x. .. .. .. .. .. .. ..; LH snare .x .. .. .. .. .. .. ..; LF hat-foot .. .. x. .. .. .. .x .."
    )


def test_split_refusals() -> None:
    """More notes than any bar has, a limb that is held, and a hand on the hat the foot would stamp are refused."""
    line = Line.parse("1 & 2 3")
    with pytest.raises(RefusedError, match=r"--last 7: no bar.*--last 1 to --last 4 can be"):
        apply(line, "split", Setting(last=7))
    with pytest.raises(RefusedError, match=r"the right foot, and bass on every beat holds it; choose another --limb"):
        apply(line, "split", Setting(under="quarters"))
    with pytest.raises(RefusedError, match=r"a hand on the hi-hat.*--surface ride"):
        apply(line, "split", Setting(limb=Limb.LF, surface="closed-hat"))


def test_split_over_feet_that_are_free() -> None:
    """The hat foot keeps 2 and 4 through every row, and is heard alone first."""
    made = apply(Line.parse("1 & 2 3"), "split", Setting(under="hat-2-4"))
    assert [label for label, _ in made.rows] == ["ostinato alone", "last note", "last 2", "last 3", "all"]
    assert all(project(pattern, Limb.LF) == boxes("LF hat-foot . x . x") for _, pattern in made.rows)


# ---- between ---------------------------------------------------------------------------------------------------------


@given(dressed_lines(MIXED), STANDARD, st.one_of(st.none(), st.sampled_from(Limb)))
def test_between_fills_the_stream(line: Line, setting: Setting, limb: Limb | None) -> None:
    """Line and gaps together are the whole stream and never meet; the line sounds otherwise than the gaps."""
    made = made_or_refused(line, "between", setting_with(setting, limb=limb))
    places = {at for at, _ in grid_of(line)}
    if made is None:
        assert not line.notes or places == set(line.onsets)
        return
    moving = setting.kit.bass_foot if limb is None else limb
    pattern = row(made)
    gaps = project(pattern, moving)
    others = [hit for hit in pattern.hits if hit.limb != moving]
    assert onsets(others) == set(line.onsets)
    assert set(gaps.onsets) == places - set(line.onsets)
    assert not {hit.surface for hit in gaps} & {hit.surface for hit in others}
    assert {hit.onset for hit in pattern.hits if hit.level is Level.ACCENT} == set(line.accents)


@given(dressed_lines(IN_QUARTERS), STANDARD, st.binary(min_size=40, max_size=40))
def test_between_in_triplets_never_strikes_the_line_in_the_middle(line: Line, setting: Setting, mask: bytes) -> None:
    """Eighths sit on first and last partials, the gaps are the others; what is no line of eighths is refused."""
    triplets = setting_with(setting, in_triplets=True)
    made = made_or_refused(line, "between", triplets)
    assert (made is None) == (not line.notes or any(at % F(1, 2) for at in line.onsets))
    places = (F(k, 2) for k in range(int(line.span * 2)))
    eighths = Line.of_onsets([at for at, byte in zip(places, mask, strict=False) if byte % 2], line.meters)
    made = made_or_refused(eighths, "between", triplets)
    if made is None:
        assert not eighths.notes
        return
    struck, gaps = set(project(row(made), *BOTH).onsets), set(project(row(made), *FEET).onsets)
    assert struck == {at if at % 1 == 0 else at + F(1, 6) for at in eighths.onsets}
    assert not any(at % 1 == F(1, 3) for at in struck)
    assert struck | gaps == {F(k, 3) for k in range(int(line.span * 3))}
    assert not struck & gaps


def test_between_in_boxes() -> None:
    """The bass has what the hands leave, in sixteenths and in 6/8; a hand can have it instead."""
    tresillo = Line.parse("x..x ..x.", "2/4")
    assert row(apply(tresillo, "between")) == boxes(
        "RH snare x... ..x.; LH snare ...x ....; RF bass .xx. xx.x", "2/4"
    )  # fmt: skip
    assert row(apply(tresillo, "between", Setting(limb=Limb.RH))) == boxes(
        "RH closed-hat .xx. xx.x; LH snare x..x ..x.", "2/4"
    )
    assert row(apply(Line.parse("4. 8 8 8", "6/8"), "between")) == boxes(
        "RH snare x.. .x.; LH snare ... x.x; RF bass .xx ...", "6/8"
    )


def test_between_in_triplets_in_boxes() -> None:
    """A line of eighths in triplets: the "&" on the last partial, the bass on the middle one and where nothing is."""
    made = apply(Line.parse("1 & 2 & 3 &"), "between", Setting(in_triplets=True))
    assert row(made) == boxes("RH snare x.x ... x.x ...; LH snare ... x.x ... ...; RF bass .x. .x. .x. xxx")


@pytest.mark.parametrize(
    ("text", "meter", "setting", "reason"),
    [
        ("xxxx xxxx", "2/4", Setting(), r"strikes every place of its stream.*--in-triplets.*--as stream"),
        ("x..x ..x.", "2/4", Setting(in_triplets=True), r'"a of 1" is not on an eighth; leave --in-triplets away'),
        ("8 8 8 4.", "6/8", Setting(in_triplets=True), r"6/8 does not count in quarters; leave --in-triplets away"),
        ("x. .x", "2/4", Setting(under="quarters"), r"bass on every beat holds it; choose another --limb"),
        ("x. .x", "2/4", Setting(limb=Limb.LF, surface="closed-hat"), r"a hand on the hi-hat.*--surface ride"),
    ],
)
def test_between_refusals(text: str, meter: str, setting: Setting, reason: str) -> None:
    """No gaps, no eighths, a meter in threes, a limb that is held, a hat in two places: each with a way out."""
    with pytest.raises(RefusedError, match=reason):
        apply(Line.parse(text, meter), "between", setting)


def test_line_and_gaps_cannot_share_a_sound() -> None:
    """A surface for the line that the gaps are on is no choice."""
    with pytest.raises(OptionError, match=r"--surface snare is where the gaps are"):
        apply(Line.parse("1 2 3 4"), "between", Setting(limb=Limb.LH, surface="snare"))


# ---- over ------------------------------------------------------------------------------------------------------------


@given(dressed_lines(MIXED), STANDARD, st.one_of(st.none(), UNDER), st.sampled_from(STICKINGS))
def test_over_leaves_the_feet_untouched(line: Line, setting: Setting, under: str | None, sticking: str) -> None:
    """The hands give the line's onsets; the feet, projected out, are the ostinato: samba, or plain and said so."""
    made = made_or_refused(line, "over", setting_with(setting, under=under, sticking=sticking))
    fits = fits_under(under or "samba", line.meters, setting)
    if made is None:
        assert not line.notes or (under is not None and not fits)
        return
    plain = under is None and not fits
    feet, _ = fitted_ostinato("bass-1-3-hat-2-4" if plain else under or "samba", line.meters, setting.kit)
    assert project(row(made), *FEET) == feet
    assert onsets(hand_hits(row(made))) == set(line.onsets)
    assert any("samba feet do not fit" in note for note in made.notes) == plain


def fits_under(name: str, meters: Meters, setting: Setting) -> bool:
    """True if an ostinato fits some meters."""
    try:
        fitted_ostinato(name, meters, setting.kit)
    except RefusedError:
        return False
    return True


def test_over_in_boxes() -> None:
    """Samba under sixteenths, twice as long in cut time; bossa in eighths; plain feet in 3/4, and the page says so."""
    line = Line.parse("1 & 2 e & a 3 4 &")
    hands = "RH snare x.x. x.x. x... x.x.; LH snare .... .x.x .... ....; "
    made = apply(line, "over")
    assert made.title == "Hands over samba feet"
    assert row(made) == boxes(hands + "RF bass x..x X..x x..x X..x; LF hat-foot ..x. ..x. ..x. ..x.")
    bossa = apply(line, "over", Setting(under="bossa"))
    assert row(bossa) == boxes(hands + "RF bass x. .x x. .x; LF hat-foot .. x. .. x.")
    cut = apply(Line.parse("2 4 4", "2/2"), "over")
    assert cut.count_quarters
    assert row(cut) == boxes("RH snare x... x...; LH snare .... ..x.; RF bass x..x X..x; LF hat-foot ..x. ..x.", "2/2")
    waltz = apply(Line.parse("1 & 2 3", "3/4"), "over")
    assert row(waltz) == boxes("RH snare x. x. x.; LH snare .x .. ..; RF bass x . .; LF hat-foot . x x", "3/4")
    assert waltz.notes == ("samba feet do not fit 3/4; here the feet are plain, and --under names others",)


@pytest.mark.parametrize(
    ("under", "reason"),
    [
        ("samba", r"samba ostinato lasts .* and does not fit 1 bar of 3/4"),
        ("none", r"leaves nothing for the hands to play over; name feet, or use --as hands"),
        ("ride-rock", r"needs a hand, and here both hands play the line; name feet"),
    ],
)
def test_over_refusals(under: str, reason: str) -> None:
    """Feet that were asked for and do not fit, no feet, and an ostinato for a hand are refused."""
    with pytest.raises(RefusedError, match=reason):
        apply(Line.parse("1 & 2 3", "3/4"), "over", Setting(under=under))
