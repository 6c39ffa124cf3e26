"""What each application promises in its docstring, on arbitrary lines, kits and hand settings."""

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import cycle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import APPLICATIONS, OSTINATOS, Made, Setting, apply, fitted_ostinato, in_limb, pass_linear
from kitgen.errors import RefusedError
from kitgen.kit import Limb, kit
from kitgen.line import Line
from kitgen.line.stream import grid_of, parts_struck
from kitgen.pattern import Hit, Level, Pattern, mirror, project, project_line
from kitgen.time import Meters, backbeats
from tests.apply.lines import SETTINGS, dressed_lines
from tests.strategies import whole_maps

HANDS, FEET = (Limb.RH, Limb.LH), (Limb.RF, Limb.LF)
NAMES = st.sampled_from(list(APPLICATIONS))
OWN_BARS = frozenset(
    ("roles", "split", "rudiment", "fill", "trade", "displace", "over-bar", "subdivide", "against", "value")
)
"""Applications whose last row is not the line's own bars: a phrase, an excerpt, another meter."""
IN_PLACE = st.sampled_from([name for name in APPLICATIONS if name not in OWN_BARS])


def made_or_refused(line: Line, name: str, setting: Setting) -> Made | None:
    """What an application makes of a line, or None where it refuses with a reason."""
    try:
        return apply(line, name, setting)
    except RefusedError as error:
        assert str(error).strip()  # noqa: PT017
        assert "\n" not in str(error)  # noqa: PT017
        return None


def whole(made: Made) -> Pattern:
    """The row that holds the line: the last."""
    return made.rows[-1][1]


def struck(hits: Sequence[Hit]) -> set[Fraction]:
    """Where anything is struck."""
    return {hit.onset for hit in hits}


# ---- every application -----------------------------------------------------------------------------------------------


@given(dressed_lines(), NAMES, SETTINGS)
def test_it_is_made_or_refused(line: Line, name: str, setting: Setting) -> None:
    """Every application makes rows of the line's bars on what the kit has, or refuses with a reason, always alike."""
    made = made_or_refused(line, name, setting)
    assert made == made_or_refused(line, name, setting)
    if made is not None:
        if name in OWN_BARS:
            assert whole(made).meters.whole
        else:
            assert whole(made).meters in (line.meters, (line * 2).meters)  # one bar over a clave of two is played twice
        assert {hit.surface for _, pattern in made.rows for hit in pattern.hits} <= set(setting.kit.surfaces)
        assert made.title
        assert made.instruction.endswith(".")


@given(dressed_lines(), IN_PLACE)
def test_accents_of_the_line_are_accents(line: Line, name: str) -> None:
    """A stroke that stands for an accented note of the line is accented, wherever the application put it.

    Where time is kept under it some are left out, or played softly, and the page says so.
    """
    made = made_or_refused(line, name, Setting())
    said = made is not None and any("left out" in note or "played softly" in note for note in made.notes)
    if made is not None and line.notes and not (said and name in ("groove", "swing", "hip-hop")):
        loud = {hit.onset for hit in whole(made).hits if hit.level is Level.ACCENT}
        assert set(line.accents) <= loud


@given(dressed_lines(), NAMES)
def test_a_left_handed_page_is_the_mirror(line: Line, name: str) -> None:
    """Set for the left hand, an application makes the mirror image of what it makes for the right."""
    right, left = (made_or_refused(line, name, Setting(kit=kit("standard", hand=hand))) for hand in ("right", "left"))
    assert (right is None) == (left is None)
    if right is not None and left is not None:
        assert [pattern for _, pattern in left.rows] == [mirror(pattern) for _, pattern in right.rows]


@given(whole_maps(max_runs=2, max_bars=2), st.sampled_from([name for name in APPLICATIONS if name != "alone"]))
def test_a_line_of_rest_is_refused(meters: Meters, name: str) -> None:
    """What needs notes says so, and what to use instead."""
    with pytest.raises(RefusedError, match=r"all rest, and .* needs something to play; use --as alone to count it"):
        apply(Line((), meters), name)


# ---- alone -----------------------------------------------------------------------------------------------------------


@given(dressed_lines(), SETTINGS)
def test_alone_is_the_line_over_the_pulse(line: Line, setting: Setting) -> None:
    """The hands give the line's onsets; the foot is on every beat."""
    pattern = whole(apply(line, "alone", setting))
    assert project(pattern, *HANDS).onsets == line.onsets
    assert project(pattern, *FEET).onsets == tuple(beat.start for beat in line.meters.beats)
    assert len(project(pattern, *HANDS).limbs) <= 1


# ---- limb ------------------------------------------------------------------------------------------------------------


@given(dressed_lines(), SETTINGS, st.sampled_from(Limb), st.sampled_from((None, "none", *OSTINATOS)))
def test_limb_leaves_the_ostinato_untouched(line: Line, setting: Setting, limb: Limb, under: str | None) -> None:
    """The moving limb gives the line; the ostinato's limbs, projected out, give the ostinato back, tiled."""
    setting = Setting(kit=kit("standard", hand=setting.kit.hand), limb=limb, under=under)
    made = made_or_refused(line, "limb", setting)
    if made is None:
        return
    pattern = whole(made)
    assert project_line(pattern, limb).onsets == line.onsets
    assert project_line(pattern, limb).accents == line.accents
    default = "quarters-hat-2-4" if limb.is_hand else "ride-rock"
    if under != "none":
        expected, _ = fitted_ostinato(under or default, line.meters, setting.kit)
        assert project(pattern, *expected.limbs) == expected
        assert set(pattern.limbs) == {limb, *expected.limbs}
        alone = made.rows[0][1]
        assert alone.meters == line.meters.cut(Fraction(0), alone.span)
        assert len(alone.meters.bars) <= max(4, len(line.meters.bars))
        assert alone.hits == tuple(hit for hit in expected.hits if hit.onset < alone.span)


@given(dressed_lines(), st.sampled_from(Limb))
def test_in_limb_is_the_line(line: Line, limb: Limb) -> None:
    """One limb plays every note: accents stay, grace notes become flams and drags on a hand and go on a foot."""
    pattern = in_limb(line, limb)
    assert pattern.onsets == line.onsets
    assert pattern.meters == line.meters
    for hit, note in zip(pattern.hits, line.notes, strict=True):
        assert hit.level is (Level.ACCENT if note.accent else Level.NORMAL)
        assert (hit.ornament is not None) == bool(note.graces and limb.is_hand)


# ---- hands -----------------------------------------------------------------------------------------------------------


@given(dressed_lines(), SETTINGS, st.sampled_from(("natural", "alternating", "doubles", "paradiddle", "together")))
def test_hands_give_the_line(line: Line, setting: Setting, sticking: str) -> None:
    """Both hands together give the line's onsets, one at each unless both are asked for; written stickings are kept."""
    if not line.notes:
        return
    pattern = whole(apply(line, "hands", Setting(kit=setting.kit, sticking=sticking)))
    assert pattern.onsets == line.onsets
    for note in line.notes:
        here = [hit.limb for hit in pattern.hits if hit.onset == note.onset]
        assert (len(here) == 2) == (sticking == "together" or (sticking == "natural" and note.sticking == "B"))
        if sticking == "natural" and note.sticking in ("R", "L"):
            assert here == [setting.kit.lead if note.sticking == "R" else setting.kit.weak]


# ---- linear ----------------------------------------------------------------------------------------------------------

ORDERS = st.permutations(list(Limb)).flatmap(lambda limbs: st.integers(2, 4).map(lambda size: tuple(limbs[:size])))


@given(dressed_lines(), ORDERS, st.sampled_from(("left", "filled")))
def test_linear_is_one_limb_at_a_time(line: Line, order: tuple[Limb, ...], gaps: str) -> None:
    """No two limbs at one instant; strokes above a tap give the line back; limbs come in turn, from the first."""
    pattern = pass_linear(line, order=order, gaps=gaps)
    assert len(pattern.onsets) == len(pattern.hits)
    assert project_line(pattern, softest=Level.NORMAL).onsets == line.onsets
    assert project_line(pattern, softest=Level.NORMAL).accents == line.accents
    assert [hit.limb for hit in pattern.hits] == [limb for limb, _ in zip(cycle(order), pattern.hits, strict=False)]


@given(dressed_lines(), ORDERS)
def test_filled_gaps_make_the_stream_continuous(line: Line, order: tuple[Limb, ...]) -> None:
    """With gaps filled, every place of the line's own stream is struck, and nothing beside it."""
    pattern = pass_linear(line, order=order, gaps="filled")
    assert pattern.onsets == tuple(at for at, _ in grid_of(line))
    ends = [at + length for at, length in grid_of(line)]
    assert ends == [*(at for at, _ in grid_of(line)[1:]), line.span]


@given(dressed_lines(), SETTINGS, ORDERS, st.sampled_from(("left", "filled")))
def test_carrying_on_comes_round(line: Line, setting: Setting, order: tuple[Limb, ...], gaps: str) -> None:
    """Carried on, the order runs through repeats of the line until it ends with its last limb."""
    if not line.notes:
        return
    made = apply(line, "linear", Setting(kit=kit("standard"), order=order, gaps=gaps, carry=True))
    pattern = whole(made)
    assert pattern.span % line.span == 0
    assert 1 <= pattern.span / line.span <= len(order)
    assert len(pattern.hits) % len(order) == 0
    assert [hit.limb for hit in pattern.hits] == list(order) * (len(pattern.hits) // len(order))


# ---- long-short ------------------------------------------------------------------------------------------------------


@given(dressed_lines(), SETTINGS)
def test_long_notes_have_bass_under_them(line: Line, setting: Setting) -> None:
    """The strokes give the line's onsets; the bass plays exactly the long ones, under a cymbal; snare the rest."""
    made = made_or_refused(line, "long-short", setting)
    long = {note.onset for note in line.notes if line.is_long(note)}
    if made is None:
        assert not long or len(long) == len(line.notes)
        return
    pattern = whole(made)
    assert pattern.onsets == line.onsets
    assert struck([hit for hit in pattern.hits if hit.surface == "bass"]) == long
    assert struck([hit for hit in pattern.hits if hit.surface == "crash"]) == long
    assert struck([hit for hit in pattern.hits if hit.surface == "snare"]) == set(line.onsets) - long


# ---- groove ----------------------------------------------------------------------------------------------------------


@given(dressed_lines(), SETTINGS, st.booleans())
def test_a_groove_holds_the_line(line: Line, setting: Setting, half_time: bool) -> None:  # noqa: FBT001
    """The snare accents the backbeat alone; the bass has the line's other notes, and the page counts what it leaves."""
    if half_time and any(len(meter.beats) < 3 for meter, _ in line.meters.runs):
        with pytest.raises(RefusedError, match=r"half time needs a bar of three beats or more|this line is all rest"):
            apply(line, "groove", Setting(kit=setting.kit, half_time=True))
        return
    made = made_or_refused(line, "groove", Setting(kit=setting.kit, half_time=half_time))
    back = set(backbeats(line.meters, half_time=half_time))
    if made is None:
        assert set(line.onsets) <= back
        return
    hits = whole(made).hits
    bass = struck([hit for hit in hits if hit.surface == "bass"])
    snare = struck([hit for hit in hits if hit.surface == "snare" and hit.level is Level.ACCENT])
    assert snare == back
    assert bass <= set(line.onsets) - back
    counted = (re.match(r"(\d+) notes? of the line left out(: too fast| so that)", note) for note in made.notes)
    left_out = sum(int(count[1]) for count in counted if count)
    assert left_out == len(set(line.onsets) - back - bass)


@given(dressed_lines(), SETTINGS)
def test_the_time_hand_does_not_follow_the_line(one: Line, setting: Setting) -> None:
    """Time in the hand depends on how beats are divided, not on what is struck in them, and strikes every beat."""
    made = made_or_refused(one, "groove", setting)
    if made is None:
        return
    time_hand = setting.kit.limb_for("closed-hat")
    times = struck(project(whole(made), time_hand).hits)
    assert {beat.start for beat in one.meters.beats} <= times
    turned = Line(one.notes[1:], one.meters)
    again = made_or_refused(turned, "groove", setting)
    if again is not None and parts_struck(turned) == parts_struck(one):
        assert struck(project(whole(again), time_hand).hits) == times


@given(dressed_lines(whole_maps(max_bars=2)), ORDERS, st.integers(1, 7))
def test_the_order_starts_over_every_time_through(line: Line, order: tuple[Limb, ...], bars: int) -> None:
    """A line repeated to fill bars is passed alike each time through, also where the bars cut the last one short."""
    repeated = (line * bars).measures(1, bars)
    if not repeated.notes:
        return
    made = apply(repeated, "linear", Setting(order=order, turn=line.span))
    once = [(hit.onset, hit.limb, hit.level, hit.ornament) for hit in pass_linear(line, order=order).hits]
    for turn in range(bars):
        start = turn * line.span
        part = [hit for hit in whole(made).hits if start <= hit.onset < start + line.span]
        again = [(hit.onset - start, hit.limb, hit.level, hit.ornament) for hit in part]
        assert again == [stroke for stroke in once if stroke[0] + start < repeated.span]
