"""Pages re-voiced for a small kit or a player: laws on arbitrary patterns, and what a teacher would expect."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import APPLICATIONS, apply
from kitgen.apply.losses import Loss
from kitgen.apply.setting import Made, Setting
from kitgen.apply.stand_ins import BASS_IN_HAND, LIMB_RULES, STAND_INS, candidates, listed, stand_in
from kitgen.apply.substitute import revoiced, revoiced_pattern
from kitgen.errors import OptionError, RefusedError
from kitgen.kit import HANDS, HATS, KITS, PLAYERS, SURFACES, Kit, Limb, LimbProfile, Player, kit
from kitgen.kit.places import steps
from kitgen.line import Line, parse
from kitgen.pattern import Hit, Level, Ornament, Pattern, mirror, orchestrate, parse_rows
from tests.apply.lines import dressed_lines
from tests.cli.running import run
from tests.strategies import fewer, patterns

SCHOOL = PLAYERS["school"]
GONE = LimbProfile(absent=True)
TAKES_GRACES = (Ornament.FLAM, Ornament.DRAG)
DOUBLED = (Ornament.DIDDLE, Ornament.BUZZ)

some_surfaces = st.sets(st.sampled_from(list(SURFACES)), min_size=1).map(tuple)
kits = st.one_of(
    st.builds(Kit, st.just("own"), some_surfaces, st.sampled_from(HANDS)),
    st.builds(lambda name, hand: kit(name, hand=hand), st.sampled_from(list(KITS)), st.sampled_from(HANDS)),
)
_PROFILES = st.sampled_from(
    [GONE, GONE, LimbProfile(single=True), LimbProfile(travels=False), LimbProfile(slow=2, single=True, travels=False)]
)


def player(**limbs: LimbProfile) -> Player:
    """The school player with profiles by limb: ``player(LF=GONE)``."""
    return replace(SCHOOL, limbs=tuple((Limb[name], profile) for name, profile in limbs.items()))


@st.composite
def players(draw: st.DrawFn) -> Player:
    """Players any of whose limbs may be absent, slow, single or without travel; one hand at least plays."""
    own = draw(st.dictionaries(st.sampled_from(list(Limb)), _PROFILES))
    if own.get(Limb.RH) == own.get(Limb.LH) == GONE:
        own.pop(draw(st.sampled_from([Limb.RH, Limb.LH])))
    return replace(SCHOOL, limbs=tuple(own.items()))


line_limbs = st.sets(st.sampled_from(list(Limb)), max_size=3)
_TO_HATS = {
    **dict.fromkeys(("crash", "snare", "high-tom", "lap", "china", "cowbell"), "closed-hat"),
    **dict.fromkeys(("splash", "ride", "clap"), "open-hat"),
    **dict.fromkeys(("mid-tom", "rim-shot", "tambourine"), "ride"),
    "floor": "hat-foot",
}
_any_pieces = patterns(parts=(1, 2, 3, 4), lengths=True)
pieces = st.one_of(_any_pieces, _any_pieces.map(lambda pattern: orchestrate(pattern, _TO_HATS)))
"""Short patterns of every surface, half of them mostly on hat and ride."""


def rows(text: str, meter: str = "4/4") -> Pattern:
    """Box rows as a pattern."""
    return parse_rows(text, meter)


def left_out(losses: Iterable[Loss]) -> int:
    """How many strokes some losses leave out."""
    return sum(loss.number for loss in losses if loss.left_out)


def hat_clashes(pattern: Pattern) -> list[Fraction]:
    """Where a hand is on the hat while the foot strikes it, or the hat is open and closed at once."""
    at: dict[Fraction, set[str]] = {}
    for hit in pattern.hits:
        at.setdefault(hit.onset, set()).add(hit.surface)
    return [onset for onset, found in at.items() if ("hat-foot" in found and found & HATS) or found >= HATS]


# ---- laws ------------------------------------------------------------------------------------------------------------


@given(pieces, kits, players(), line_limbs)
def test_only_what_the_kit_has_and_who_plays(pattern: Pattern, on: Kit, who: Player, line: set[Limb]) -> None:
    """The result is on surfaces of the kit, by limbs that play, within what their profiles allow."""
    found = revoiced_pattern(pattern, on, who, line=line).pattern
    assert {hit.surface for hit in found.hits} <= set(on.surfaces)
    for limb in found.limbs:
        profile, own = who.profile(limb), [hit for hit in found.hits if hit.limb == limb]
        assert not profile.absent
        assert profile.travels or not any(steps(own[0].surface, hit.surface) for hit in own)
        for hit in own:
            assert hit.ornament not in TAKES_GRACES or who.plays(limb.mirrored)
            assert hit.ornament not in DOUBLED or not profile.single
            assert hit.ornament is not Ornament.DRAG or not who.profile(limb.mirrored).single


@given(pieces, kits, players(), line_limbs)
def test_every_stroke_is_kept_or_counted(pattern: Pattern, on: Kit, who: Player, line: set[Limb]) -> None:
    """Strokes given are strokes played and strokes counted as left out; none appears where there was none."""
    found = revoiced_pattern(pattern, on, who, line=line)
    assert len(pattern.hits) == len(found.pattern.hits) + left_out(found.losses)
    before, after = (Counter(hit.onset for hit in one.hits) for one in (pattern, found.pattern))
    assert after <= before
    assert (found.pattern.meters, found.pattern.feel) == (pattern.meters, pattern.feel)


@given(pieces, kits, players(), line_limbs)
def test_every_loss_is_said(pattern: Pattern, on: Kit, who: Player, line: set[Limb]) -> None:
    """Notes hold the numbers of what was left out, one sentence a kind, one line each; no loss, no note."""
    found = revoiced_pattern(pattern, on, who, line=line)
    assert bool(found.losses) == bool(found.notes) == (found.pattern != pattern)
    assert len(set(found.notes)) == len(found.notes)
    kinds = Counter[str]()
    for loss in found.losses:
        kinds[loss.kind] += loss.number
    said = [int(word) for note in found.notes for word in note.replace(",", " ").split() if word.isdigit()]
    grouped = {"stands-in", "singles", "foot-takes", "bass-in-hand", "foot-out", "bass-out", "no-stand-in", "stays",
               "stays-out", "graces-alone", "graces-busy"}  # fmt: skip
    assert all(number in said for kind, number in kinds.items() if kind not in grouped)
    assert sum(said) >= sum(kinds.values())
    assert all(note == note.strip() and len(note.splitlines()) == 1 for note in found.notes)


@given(pieces, kits, players(), line_limbs)
def test_hand_and_foot_are_never_on_the_hat_together(pattern: Pattern, on: Kit, who: Player, line: set[Limb]) -> None:
    """No hand is on the hat where the hat foot strikes; the hat is not open and closed at once."""
    found = revoiced_pattern(pattern, on, who, line=line).pattern
    assert found is pattern or not hat_clashes(found)


@given(pieces, kits, players(), line_limbs)
def test_once_is_enough(pattern: Pattern, on: Kit, who: Player, line: set[Limb]) -> None:
    """Re-voicing what is re-voiced gives it back, the very same."""
    once = revoiced_pattern(pattern, on, who, line=line).pattern
    again = revoiced_pattern(once, on, who, line=line)
    assert again.pattern is once
    assert not again.losses


@given(pieces, kits, players(), line_limbs)
def test_the_mirrored_player_plays_the_mirror_image(pattern: Pattern, on: Kit, who: Player, line: set[Limb]) -> None:
    """Kit, player and pattern mirrored give the mirrored result, with as much lost."""
    on = replace(on, hand="right" if on.hand == "open" else on.hand)
    turned = replace(on, hand="left" if on.hand == "right" else "right")
    first = revoiced_pattern(pattern, on, who, line=line)
    second = revoiced_pattern(mirror(pattern), turned, who.mirrored(), line={limb.mirrored for limb in line})
    assert second.pattern == mirror(first.pattern)
    turned_losses = {loss._replace(limb=None if loss.limb is None else loss.limb.mirrored) for loss in second.losses}
    assert turned_losses == set(first.losses)


@given(patterns(lengths=True), st.sampled_from(HANDS), st.sampled_from(list(PLAYERS)))
def test_a_full_kit_and_plain_limbs_change_nothing(pattern: Pattern, hand: str, level: str) -> None:
    """The very same pattern comes back, also for limbs that are only slow."""
    slow = replace(PLAYERS[level], limbs=((Limb.LF, LimbProfile(slow=3)),))
    for who in (PLAYERS[level], slow):
        found = revoiced_pattern(pattern, kit("standard", hand=hand), who)
        assert found.pattern is pattern
        assert found == (pattern, (), ())


@fewer
@given(
    dressed_lines(),
    st.sampled_from(list(APPLICATIONS)),
    st.sampled_from([*Limb, None]),
    st.sampled_from(["samba", "ride-swing", "quarters-hat-2-4", None]),
    kits,
    players(),
)
def test_pages_of_any_line(line: Line, name: str, limb: Limb | None, under: str | None, on: Kit, who: Player) -> None:
    """A page keeps its words and rows, all playable and counted, or is refused with a way out; twice is as once."""
    try:
        made = apply(line, name, Setting(kit=kit("standard", hand=on.hand), limb=limb, under=under))
    except (RefusedError, OptionError):
        return
    try:
        found = revoiced(made, on, who)
    except RefusedError as error:
        with pytest.raises(RefusedError, match=r"nothing of the line would be left .*--kit or --player"):
            raise error from None
        return
    assert revoiced(found, on, who) is found
    assert found.feel == made.feel
    assert found.notes[: len(made.notes)] == made.notes
    assert found.instruction.endswith(".")
    if all(map(who.plays, Limb)) and len(found.rows) == len(made.rows):
        assert found.title == made.title
        assert [label for label, _ in found.rows] == [label for label, _ in made.rows]
    for words in (found.title, found.instruction, *(label for label, _ in found.rows)):
        for absent in (limb for limb in Limb if not who.plays(limb) and who.plays(limb.mirrored)):
            assert absent.words not in words.lower() or absent.mirrored.words in words.lower()
            assert absent.name not in words or absent.mirrored.name in words
    assert {hit.surface for _, pattern in found.rows for hit in pattern.hits} <= set(on.surfaces)
    assert found is made or not any(hat_clashes(pattern) for _, pattern in found.rows)
    if found is made:
        assert found.notes == made.notes


def test_words_name_the_limb_that_plays_instead() -> None:
    """Title, instruction and labels follow the part to the other limb; an order leaves the limb out."""
    line = parse("1 & 2 e & a 3 4 &")
    made = apply(line, "limb", Setting(player=player(LH=GONE)))
    assert made.title.startswith("Right hand over")
    assert [label for label, _ in made.rows] == ["ostinato alone", "line in RH"]
    split = apply(line, "split", Setting(player=player(RF=GONE)))
    assert split.title == "Last notes to the left foot"
    assert "moves to the left foot (bass)" in split.instruction
    assert apply(line, "linear", Setting(player=player(LH=GONE))).rows[0][0] == "passed RH RF"
    assert apply(line, "latin", Setting(player=player(LH=GONE))).title == "Latin, one hand over tumbao feet"


def test_words_leave_out_what_is_gone() -> None:
    """No word of an ostinato, an open hat or ghost notes that no row has any more."""
    line = parse("1 & 2 e & a 3 4 &")
    solo = apply(line, "solo", Setting(player=player(LF=GONE)))
    assert solo.title == "Solo"
    assert solo.instruction.startswith("Bring the line out over soft, even taps")
    groove = apply(line, "groove", Setting(player=player(LF=GONE)))
    full = apply(line, "groove", Setting())
    assert "open hat" in full.instruction
    assert groove.instruction == full.instruction.removesuffix(" Let the open hat sound until the next stroke on it.")


# ---- the tables ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("label", SURFACES)
def test_stand_ins_are_of_one_kind(label: str) -> None:
    """A hand stands in for a hand, a pedal for a pedal; nothing stands in for itself or twice."""
    items = [item.label for item in candidates(label)]
    assert label not in items
    assert len(set(items)) == len(items)
    assert all(SURFACES[item].struck_by == SURFACES[label].struck_by for item in items)


@given(st.sampled_from([label for label in SURFACES if SURFACES[label].struck_by == "hand"]), some_surfaces)
def test_any_kit_for_hands_keeps_the_rhythm_of_hands(label: str, surfaces: tuple[str, ...]) -> None:
    """Whatever a hand strikes has a stand-in among any surfaces for hands."""
    by_hand = {other for other in surfaces if SURFACES[other].struck_by == "hand"} - {label}
    found = stand_in(label, by_hand)
    assert (found is None) == (not by_hand)


@pytest.mark.parametrize(
    ("label", "order"),
    [
        ("ride", "closed-hat"),
        ("ride-bell", "ride cowbell closed-hat"),
        ("crash", "crash-2 splash china ride open-hat"),
        ("cross-stick", "rim-shot snare"),
        ("clap", "lap snare"),
        ("high-tom", "mid-tom floor-tom snare"),
        ("mid-tom", "high-tom floor-tom snare"),
        ("floor-tom", "mid-tom high-tom snare"),
        ("bass", "floor"),
        ("floor", "bass"),
    ],
)
def test_what_stands_in_first(label: str, order: str) -> None:
    """What a drummer reaches for when a surface is not there, in this order (common practice)."""
    assert [item.label for item in STAND_INS[label]][: len(order.split())] == order.split()


def test_the_tables_are_listed() -> None:
    """``kitgen list stand-ins`` prints every surface with its stand-ins, and every rule for limbs."""
    lines = run("list", "stand-ins").out.splitlines()
    assert [line.split()[0] for line in lines] == [*STAND_INS, *LIMB_RULES]
    for line, (name, words) in zip(lines, listed(), strict=True):
        assert line == f"{name:<14}  {words}"
        assert all(item.label in line for item in STAND_INS.get(name, ()))
    assert all(label in lines[list(STAND_INS).index("bass")] for label in BASS_IN_HAND)


# ---- surfaces --------------------------------------------------------------------------------------------------------


def test_the_closed_hat_keeps_time_without_a_ride() -> None:
    """Ride time goes to the closed hat on a small kit, and the hat foot rests; the rest is as it was."""
    page = rows("RH ride x.x. x.x. x.x. x.x.; LH snare .... X... .... X...; LF hat-foot .... x... .... x...")
    found = revoiced_pattern(page, kit("small"), SCHOOL)
    assert found.pattern == rows("RH closed-hat x.x. x.x. x.x. x.x.; LH snare .... X... .... X...")
    assert "; ".join(found.notes) == (
        "the small kit has no ride: the closed hat stands in for 8 strokes, without the long ring; the hat "
        "foot rests for 2 strokes, it holds the hat"
    )


def test_the_hat_foot_does_not_rest_where_it_plays_alone() -> None:
    """Where the hat foot strikes by itself, time goes to a crash, struck lightly, and the foot plays on."""
    page = rows("RH ride x... x... x... x...; LF hat-foot ..x. ..x. ..x. ..x.")
    found = revoiced_pattern(page, kit("small"), SCHOOL)
    assert found.pattern == rows("RH crash x... x... x... x...; LF hat-foot ..x. ..x. ..x. ..x.")
    assert "; ".join(found.notes) == (
        "the small kit has no ride: the crash stands in for 4 strokes, without a clear tip of the stick (strike "
        "it lightly)"
    )


def test_the_hat_foot_rests_on_the_whole_page() -> None:
    """An ostinato of ride and hat foot becomes one of the closed hat alone, wherever its strokes fall."""
    setting = Setting(limb=Limb.LH, under="RH ride x. x. x. x.; LF hat-foot .x .x .x .x")
    made = apply(Line.parse("1 2 3 4"), "limb", setting)
    found = revoiced(made, kit("small"), SCHOOL)
    assert found.rows[0][1] == rows("RH closed-hat x. x. x. x.")
    assert found.rows[1][1].limbs == (Limb.RH, Limb.LH)
    assert found.notes[0].endswith(
        "for 8 strokes, without the long ring; the hat foot rests for 8 strokes, it holds the hat"
    )


def test_the_hat_foot_rests_under_a_hand_that_stays_on_the_hat() -> None:
    """Strokes a hand without travel brings to the hat take away the strokes of the foot under them, no others."""
    page = rows("RH closed-hat x.x. ....; RH ride .... x...; LF hat-foot .... x.x.", "2/4")
    found = revoiced_pattern(page, kit("standard"), player(RH=LimbProfile(travels=False)))
    assert found.pattern == rows("RH closed-hat x.x. x...; LF hat-foot .... ..x.", "2/4")
    assert found.notes == (
        "the hat foot rests for 1 stroke: it holds the hat under a hand",
        "the right hand stays on the closed hat: 1 stroke from elsewhere played there",
    )


def test_a_line_in_the_hand_leaves_the_ostinato_alone() -> None:
    """A line on the ride over feet with the hat goes to the snare, not to the hat, so that the feet stay."""
    made = apply(Line.parse("1 & 2 e & a 3 4 &"), "limb", Setting(limb=Limb.RH))
    found = revoiced(made, kit("small"), SCHOOL)
    assert found.rows[0] == made.rows[0]
    assert {hit.surface for hit in found.rows[1][1].hits if hit.limb == Limb.RH} == {"snare"}
    assert found.rows[1][1].onsets == made.rows[1][1].onsets


def test_a_line_in_the_hand_leaves_the_other_hand_its_snare() -> None:
    """Where the other hand is on the snare, a line from the ride goes to a crash, struck lightly."""
    setting = Setting(limb=Limb.RH, under="LH snare .. x. .. x.; LF hat-foot x. x. x. x.")
    made = apply(Line.parse("1 & 2 3 4"), "limb", setting)
    found = revoiced(made, kit("small"), SCHOOL)
    assert {hit.surface for hit in found.rows[1][1].hits if hit.limb == Limb.RH} == {"crash"}


def test_a_line_in_the_hat_foot_stays_there() -> None:
    """Under time on a ride the kit has not, the hat foot keeps the line and the time goes elsewhere."""
    made = apply(Line.parse("1 2 3 4"), "limb", Setting(limb=Limb.LF))
    found = revoiced(made, kit("small"), SCHOOL)
    (_, alone), (_, whole) = found.rows
    assert [hit.onset for hit in whole.hits if hit.surface == "hat-foot"] == [0, 1, 2, 3]
    assert {hit.surface for hit in alone.hits} == {"crash"}


def test_toms_without_toms() -> None:
    """A fill round the toms stays on the snare, in one note for all toms."""
    fill = rows("RH high-tom .x.. ....; RH floor-tom .... ...x; LH mid-tom .... x...; LH snare x... ....", "2/4")
    found = revoiced_pattern(fill, kit("small"), SCHOOL)
    assert found.pattern == rows("RH snare .x.. ...x; LH snare x... x...", "2/4")
    assert "; ".join(found.notes) == (
        "the small kit has no high tom, mid tom and floor tom: the snare stands in for 3 strokes, without "
        "the pitch of the tom"
    )


def test_levels_change_where_that_keeps_the_sense() -> None:
    """A bell is an accented hat unless it has accents itself; a cross-stick without one is a softer snare."""
    bell = revoiced_pattern(rows("RH ride-bell x.x. x.x.", "2/4"), kit("small"), SCHOOL)
    assert bell.pattern == rows("RH closed-hat X.X. X.X.", "2/4")
    mambo = revoiced_pattern(rows("RH ride-bell X.X. xxxX", "2/4"), kit("small"), SCHOOL)
    assert mambo.pattern == rows("RH closed-hat X.X. xxxX", "2/4")
    assert mambo.notes[0].endswith("without the bell's ring")
    bare = Kit("bare", ("snare", "closed-hat", "bass"))
    click = revoiced_pattern(rows("LH cross-stick ..x. ..X.", "2/4"), bare, SCHOOL)
    assert click.pattern == rows("LH snare ..t. ..x.", "2/4")
    assert "the bare kit has no cross stick: the snare stands in for 2 strokes" in click.notes[0]
    assert click.notes[0].endswith("a level softer")


def test_an_open_and_a_closed_hat_at_once() -> None:
    """Where one hand's crash becomes an open hat under the other hand's time, the time sounds open there."""
    bare = Kit("bare", ("snare", "closed-hat", "open-hat", "bass", "hat-foot"))
    found = revoiced_pattern(rows("RH closed-hat x.x. x.x.; LH crash x... ....", "2/4"), bare, SCHOOL)
    assert found.pattern == rows("RH open-hat x... ....; RH closed-hat ..x. x.x.; LH open-hat X... ....", "2/4")
    assert "1 closed stroke played open" in found.notes[-1]


def test_laps_and_floor() -> None:
    """On hands and knees, kit pages keep their rhythm: hands on the knees, both feet on the floor."""
    home = Kit("home", ("lap", "floor"))
    page = rows("RH ride x.x. x.x.; LH snare .... X...; RF bass x... ..x.; LF hat-foot .... x...", "2/4")
    found = revoiced_pattern(page, home, SCHOOL)
    assert found.pattern.onsets == page.onsets
    assert {hit.surface for hit in found.pattern.hits} == {"lap", "floor"}
    assert len(found.pattern.hits) == len(page.hits)


# ---- feet ------------------------------------------------------------------------------------------------------------


GROOVE = "RH closed-hat x.x. x.x. x.x. x.x.; LH snare .... X... .... X...; RF bass x... ..x. x.x. ...."


@pytest.mark.parametrize("hand", ["right", "left"])
def test_no_hat_foot(hand: str) -> None:
    """Without the hat foot its strokes are left out, and nothing else changes."""
    page = rows("RH ride x.x. x.x. x.x. x.x.; RF bass x... .... x... ....; LF hat-foot .... x... .... x...")
    left = hand == "left"
    on, who = kit("standard", hand=hand), player(RF=GONE) if left else player(LF=GONE)
    found = revoiced_pattern(mirror(page) if left else page, on, who)
    kept = rows("RH ride x.x. x.x. x.x. x.x.; RF bass x... .... x... ....")
    assert found.pattern == (mirror(kept) if left else kept)
    foot = "right" if left else "left"
    assert found.notes == (f"the {foot} foot does not play: 2 strokes of the hat foot left out",)


def test_the_other_foot_takes_the_line_of_the_hat_foot() -> None:
    """A line in a foot that does not play goes to the other, on the bass."""
    made = apply(Line.parse("1 & 2 3 & 4"), "limb", Setting(limb=Limb.LF))
    found = revoiced(made, kit("standard"), player(LF=GONE))
    assert found.rows[0] == made.rows[0]
    assert [hit.onset for hit in found.rows[1][1].hits if hit.surface == "bass"] == [
        hit.onset for hit in made.rows[1][1].hits if hit.surface == "hat-foot"
    ]
    assert found.notes == ("the left foot does not play: the right foot plays 6 strokes of the hat foot on the bass",)


@pytest.mark.parametrize("label", ["line in LF", "passed RH LF", "3 a bar in LF"])
def test_labels_name_the_limbs_of_the_line(label: str) -> None:
    """A limb that the label of a row names has the line; in another's row its part is time."""
    page = rows("RH ride x... x...; RF bass x... x...; LF hat-foot .... x...", "2/4")
    found = revoiced(Made("Page", "Play.", ((label, page),)), kit("standard"), player(LF=GONE))
    assert found.rows[0][1] == rows("RH ride x... x...; RF bass .... x...", "2/4")
    plain = revoiced(Made("Page", "Play.", (("time", page),)), kit("standard"), player(LF=GONE))
    assert plain.rows[0][1] == rows("RH ride x... x...; RF bass x... x...", "2/4")


def test_a_passed_line_keeps_all_its_notes() -> None:
    """A line handed round four limbs is handed round three, none of its notes lost."""
    order = (Limb.RH, Limb.LH, Limb.RF, Limb.LF)
    line = Line.parse("1 e & a 2 & 3 e & a 4 &")
    made = apply(line, "linear", Setting(order=order))
    for gone in (Limb.RF, Limb.LF, Limb.LH, Limb.RH):
        found = revoiced(made, kit("standard"), player(**{gone.name: GONE}))
        assert found.rows[0][1].onsets == line.onsets
        assert gone not in found.rows[0][1].limbs


def test_the_left_foot_takes_the_bass() -> None:
    """Without the right foot the left plays the bass, leaves the hat foot out, and a clutch holds the hat."""
    page = rows(f"{GROOVE}; LF hat-foot ...x .... .... ...x")
    found = revoiced_pattern(page, kit("standard"), player(RF=GONE))
    assert found.pattern == rows(GROOVE.replace("RF", "LF"))
    assert "; ".join(found.notes) == (
        "the right foot does not play: the left foot plays 4 strokes of the bass, 2 strokes of the hat foot "
        "left out; a clutch holds the hat closed"
    )


def test_a_clutch_leaves_the_hat_to_the_hand() -> None:
    """On a small kit the hat keeps time though the only foot is on the bass; two feet on the bass leave no hat."""
    page = rows("RH ride x.x. x.x.; RF bass x... ....", "2/4")
    one = revoiced_pattern(page, kit("small"), player(RF=GONE))
    assert one.pattern == rows("RH closed-hat x.x. x.x.; LF bass x... ....", "2/4")
    two = revoiced_pattern(rows("RH ride x.x. x.x.; RF bass x... ....; LF bass ..x. ....", "2/4"), kit("small"), SCHOOL)
    assert two.pattern == rows("RH crash x.x. x.x.; RF bass x... ....; LF bass ..x. ....", "2/4")


def test_the_bass_foot_takes_a_hat_foot_that_plays_alone() -> None:
    """Offbeats of the hat foot, with nothing on the bass, go to the bass; afterbeats that only go along do not."""
    alone = revoiced_pattern(rows("RH ride x.x. x.x.; LF hat-foot .x.. ...x", "2/4"), kit("standard"), player(LF=GONE))
    assert alone.pattern == rows("RH ride x.x. x.x.; RF bass .x.. ...x", "2/4")
    along = revoiced_pattern(rows("RH ride x.x. x.x.; LF hat-foot .... x...", "2/4"), kit("standard"), player(LF=GONE))
    assert along.pattern == rows("RH ride x.x. x.x.", "2/4")


def test_nobody_opens_the_hat() -> None:
    """With the hat held by a clutch an open stroke is a closed one, louder; a hat that is only open stays open."""
    opened = rows("RH closed-hat x.x. x...; RH open-hat .... ..x.; LF hat-foot .... ....", "2/4")
    found = revoiced_pattern(opened, kit("standard"), player(LF=GONE))
    assert found.pattern == rows("RH closed-hat x.x. x.X.", "2/4")
    assert found.notes == ("no foot opens the hat, a clutch holds it closed: 1 open stroke played closed and louder",)
    only = rows("RH open-hat x.x. x.x.", "2/4")
    assert revoiced_pattern(only, kit("standard"), player(LF=GONE)).pattern is only


def test_no_feet() -> None:
    """The bass goes to a hand on the floor tom, which gives up its time there; the backbeat stays."""
    found = revoiced_pattern(rows(GROOVE), kit("standard"), player(LF=GONE, RF=GONE))
    assert found.pattern == rows(
        "RH closed-hat ..x. x... .... x.x.; RH floor-tom x... ..x. x.x. ....; LH snare .... X... .... X..."
    )
    assert "; ".join(found.notes) == (
        "no foot plays: a hand plays 4 strokes of the bass on the floor tom, giving up 4 strokes of its "
        "own; a clutch holds the hat closed"
    )


@pytest.mark.parametrize("louder", ["RF", "LF"])
def test_two_feet_on_the_bass_for_one_free_hand(louder: str) -> None:
    """Of two strokes at once the louder gets the better hand, whichever foot it was."""
    softer = "LF" if louder == "RF" else "RF"
    page = rows(f"LH snare ..x. ..x.; {louder} bass x... x...; {softer} bass t... t...", "2/4")
    found = revoiced_pattern(page, kit("standard"), player(LF=GONE, RF=GONE))
    assert found.pattern == rows("RH floor-tom x... x...; LH snare ..x. ..x.", "2/4")
    assert found.notes[0].endswith("2 strokes of the bass left out")


def test_a_feathered_bass_is_only_felt() -> None:
    """A feathered bass is no part for a hand; soft strokes are worth no stroke of time."""
    page = rows("RH ride x... x... x... x...; LH snare x... .... x... ....; RF bass t... f... x... t.t.")
    found = revoiced_pattern(page, kit("standard"), player(LF=GONE, RF=GONE))
    assert found.pattern == rows(
        "RH ride x... x... .... x...; LH snare x... .... x... ....; RH floor-tom .... .... x... ....; "
        "LH floor-tom .... .... .... t.t."
    )
    assert "; ".join(found.notes) == (
        "no foot plays: a hand plays 3 strokes of the bass on the floor tom, giving up 1 stroke of its own, 2 strokes "
        "of the bass left out"
    )


# ---- hands -----------------------------------------------------------------------------------------------------------


def test_one_hand_plays_the_backbeat_and_what_time_it_can() -> None:
    """The right hand leaves its hat for the backbeat; ghost notes it is not free for are left out."""
    page = rows("RH closed-hat x.x. x.x.; LH snare ..g. X..g; RF bass x... ....", "2/4")
    found = revoiced_pattern(page, kit("standard"), player(LH=GONE))
    assert found.pattern == rows("RH closed-hat x.x. ..x.; RH snare .... X..g; RF bass x... ....", "2/4")
    assert "; ".join(found.notes) == (
        "the left hand does not play: the right hand takes 2 strokes of its part, giving up 1 stroke of its "
        "own, 1 stroke left out"
    )


def test_the_other_hand_keeps_its_backbeat_and_takes_the_time() -> None:
    """Without the right hand the left plays its own part, and the time wherever it is free."""
    found = revoiced_pattern(rows(GROOVE), kit("standard"), player(RH=GONE))
    assert found.pattern == rows(
        "LH closed-hat x.x. ..x. x.x. ..x.; LH snare .... X... .... X...; RF bass x... ..x. x.x. ...."
    )


def test_the_line_goes_before_the_time() -> None:
    """A line of the hand that does not play is kept whole, with its ostinato where there is room."""
    line = Line.parse("1 & 2 e & a 3 4 &")
    made = apply(line, "limb", Setting(limb=Limb.LH, under="ride-rock"))
    found = revoiced(made, kit("standard"), player(LH=GONE))
    whole = dict(found.rows)["line in RH"]
    assert tuple(hit.onset for hit in whole.hits if hit.surface == "snare") == line.onsets
    assert whole.limbs == (Limb.RH,)


def test_ornaments_that_need_two_hands_come_off() -> None:
    """With one hand a flam is a plain stroke, a diddle stays; with single strokes diddle, buzz and drag go."""
    meters = rows("RH snare ....", "1/4").meters
    dressed = [Ornament.FLAM, Ornament.DRAG, Ornament.DIDDLE, Ornament.BUZZ]
    page = Pattern(
        tuple(Hit(Fraction(index, 4), Limb.RH, "snare", Level.NORMAL, one) for index, one in enumerate(dressed)), meters
    )
    alone = revoiced_pattern(page, kit("standard"), player(LH=GONE))
    assert [hit.ornament for hit in alone.pattern.hits] == [None, None, Ornament.DIDDLE, Ornament.BUZZ]
    assert alone.notes == ("only one hand plays: 1 flam and 1 drag played as plain strokes",)
    right = revoiced_pattern(page, kit("standard"), player(RH=LimbProfile(single=True)))
    assert [hit.ornament for hit in right.pattern.hits] == [Ornament.FLAM, Ornament.DRAG, None, None]
    left = revoiced_pattern(page, kit("standard"), player(LH=LimbProfile(single=True)))
    assert [hit.ornament for hit in left.pattern.hits] == [Ornament.FLAM, None, Ornament.DIDDLE, Ornament.BUZZ]
    assert left.notes == ("the left hand plays single strokes only: 1 drag played as plain strokes",)


def test_a_hand_that_takes_the_bass_plays_no_graces() -> None:
    """A flam loses its grace note where the other hand has taken a stroke of the bass; one beside it keeps it."""
    page = rows("LH snare xx.. ....; RF bass x... ....", "2/4")
    flams = page.with_hits(
        replace(hit, ornament=Ornament.FLAM) if hit.limb == Limb.LH else hit for hit in page.hits
    )  # fmt: skip
    found = revoiced_pattern(flams, kit("standard"), player(LF=GONE, RF=GONE))
    played = [(hit.limb.name, hit.surface, hit.ornament) for hit in found.pattern.hits]
    assert played == [("RH", "floor-tom", None), ("LH", "snare", None), ("LH", "snare", Ornament.FLAM)]
    assert found.notes[-1] == "the other hand is busy: 1 flam played as plain strokes"


def test_a_roll_ends_with_its_buzz() -> None:
    """A buzz played as a single stroke has no length left; a long flam keeps its own."""
    meters = rows("RH snare ....", "1/4").meters
    roll = Hit(Fraction(0), Limb.RH, "snare", Level.NORMAL, Ornament.BUZZ, Fraction(1, 2))
    sweep = Hit(Fraction(1, 2), Limb.RH, "snare", Level.NORMAL, Ornament.FLAM, Fraction(1, 2))
    singles = revoiced_pattern(
        Pattern((roll, sweep), meters), kit("standard"), player(RH=LimbProfile(single=True), LH=GONE)
    )
    assert [(hit.ornament, hit.length) for hit in singles.pattern.hits] == [(None, None), (None, Fraction(1, 2))]


def test_the_drum_goes_before_the_time() -> None:
    """Of two strokes as loud as each other one hand plays the drum, its own or the other's."""
    page = rows("RH ride x.x. x.x.; LH snare x... ..x.", "2/4")
    assert revoiced_pattern(page, kit("standard"), player(LH=GONE)).pattern == rows(
        "RH snare x... ..x.; RH ride ..x. x...", "2/4"
    )
    assert revoiced_pattern(page, kit("standard"), player(RH=GONE)).pattern == rows(
        "LH snare x... ..x.; LH ride ..x. x...", "2/4"
    )


def test_a_hand_that_stays() -> None:
    """A hand without travel keeps to the place it plays most, whatever way it strikes there."""
    page = rows("LH snare x.x. ....; LH cross-stick .... x...; LH high-tom .... ..xx", "2/4")
    found = revoiced_pattern(page, kit("standard"), player(LH=LimbProfile(travels=False)))
    assert found.pattern == rows("LH snare x.x. ..xx; LH cross-stick .... x...", "2/4")
    assert found.notes == ("the left hand stays on the snare: 2 strokes from elsewhere played there",)


# ---- pages -----------------------------------------------------------------------------------------------------------


def test_a_page_that_needs_nothing_is_the_same_page() -> None:
    """The very object comes back for the full kit and plain limbs."""
    made = apply(Line.parse("1 & 2 e & a 3 4 &"), "groove")
    assert revoiced(made, kit("standard"), SCHOOL) is made


def test_a_page_counts_each_kind_once() -> None:
    """Strokes of all rows stand in one note, and a row of which nothing is left is said to be left out."""
    line = Line.parse("x... x... x... x...")
    made = apply(line, "limb", Setting(limb=Limb.LH, under="hat-2-4"))
    found = revoiced(made, kit("standard"), player(LF=GONE))
    assert [label for label, _ in found.rows] == ["line in LH"]
    assert found.notes == (
        "the left foot does not play: 4 strokes of the hat foot left out",
        "the row 'ostinato alone' is left out: nothing of it is left",
    )


def test_nothing_left_is_refused_with_what_would_work() -> None:
    """A line in the feet for a player without, on a kit no hand can play the bass on."""
    made = apply(Line.parse("1 2 3 4"), "limb", Setting(limb=Limb.RF))
    bare = Kit("bare", ("snare", "ride", "bass", "hat-foot"))
    with pytest.raises(RefusedError, match=r"would be left \(no foot plays: 4 strokes of") as caught:
        revoiced(made, bare, player(LF=GONE, RF=GONE))
    assert "use a line in RH or LH (--limb or --order), or --surface ride or snare, or another" in str(caught.value)
    feet = Kit("feet", ("bass", "hat-foot"))
    hands = apply(Line.parse("1 2 3 4"), "hands")
    with pytest.raises(
        RefusedError, match="the feet kit has no snare and nothing that stands in: 4 strokes left out"
    ) as caught:
        revoiced(hands, feet, SCHOOL)
    assert str(caught.value).endswith("use a line in RF or LF (--limb or --order), or another --kit or --player")


def test_a_page_of_rest_stays() -> None:
    """A page on which nobody plays is no loss."""
    silent = Made("Rest", "Count.", (("rest", rows("RH ride ....", "1/4")),))
    assert revoiced(silent, kit("small"), player(LF=GONE)) is silent


def test_time_without_anything_for_the_hands_is_refused() -> None:
    """A kit of pedals: a groove would be the bass alone, so there is none; what the feet can play is still made."""
    pedals, line = Kit("pedals", ("bass", "hat-foot")), parse("1 & 2 e & a 3 4 &")
    for name in ("groove", "hip-hop"):
        with pytest.raises(RefusedError, match=r"nothing of the time and the backbeat would be left, only the feet"):
            apply(line, name, Setting(kit=pedals))
    assert apply(line, "limb", Setting(kit=pedals, limb=Limb.RF)).rows[-1][1].limbs == (Limb.RF,)


def test_words_say_where_they_cannot_be_kept() -> None:
    """An instruction that speaks of feet nobody plays with, or of a way no hand goes, says to look at the notes."""
    line = parse("1 & 2 e & a 3 4 &")
    no_feet = Setting(player=player(LF=GONE, RF=GONE))
    stays = Setting(player=player(RH=LimbProfile(travels=False)))
    assert apply(line, "fill", no_feet).instruction.endswith(
        "No foot plays here: the notes say what becomes of the feet."
    )
    assert "No foot plays" not in apply(line, "hands", no_feet).instruction
    assert apply(line, "fill", stays).instruction.endswith("the notes say what becomes of its way.")
    assert "stays where it is" not in apply(line, "hands", stays).instruction
