"""The applications of time itself: what each promises in its docstring, on arbitrary lines, and facts of the trade."""

from fractions import Fraction
from itertools import pairwise
from math import gcd, lcm

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import Made, Setting, apply
from kitgen.apply.against import even_strokes
from kitgen.apply.displace import shifted, step_of
from kitgen.apply.layers import opening
from kitgen.apply.subdivide import rates_of
from kitgen.apply.value import rebarred
from kitgen.errors import OptionError, RefusedError
from kitgen.kit import HANDS, Kit, Limb, kit
from kitgen.line import Line, parse
from kitgen.pattern import Level, Ornament, Pattern, mirror, project, stretch
from kitgen.pattern.value import common_span
from kitgen.time import Meter, Meters
from tests.apply.lines import dressed_lines
from tests.strategies import fewer, whole_maps

F = Fraction
BOTH, FEET = (Limb.RH, Limb.LH), (Limb.RF, Limb.LF)
NEW = ("displace", "over-bar", "subdivide", "against", "value")
LINES = dressed_lines(whole_maps(max_bars=3, max_runs=2))
KITS = st.sampled_from(HANDS).map(lambda hand: kit("standard", hand=hand))
MAYBE_LIMB = st.sampled_from((None, None, *Limb))

Heard = list[tuple[Fraction, str, Level, Ornament | None]]


def made_or_refused(line: Line, name: str, setting: Setting) -> Made | None:
    """What an application makes of a line, or None where it refuses with a reason."""
    try:
        return apply(line, name, setting)
    except RefusedError as error:
        assert str(error).strip()  # noqa: PT017
        return None


def rows_of(made: Made) -> list[Pattern]:
    """The rows that hold the line: all but an ostinato alone."""
    return [pattern for label, pattern in made.rows if label != "ostinato alone"]


def row(text: str, name: str, index: int = -1, *, meter: str = "4/4", **options: object) -> Pattern:
    """One row of what an application makes of a typed line."""
    return apply(parse(text, meter), name, Setting(**options)).rows[index][1]  # type: ignore[arg-type]


def heard(pattern: Pattern) -> Heard:
    """What can be heard of a pattern, whichever limb it is."""
    return sorted(
        ((hit.onset, hit.surface, hit.level, hit.ornament) for hit in pattern.hits),
        key=lambda stroke: (stroke[0], stroke[1], stroke[2], str(stroke[3])),
    )


def part(pattern: Pattern, start: Fraction, end: Fraction) -> Heard:
    """What is heard from one instant to another, counted from the first."""
    return [(at - start, label, level, ornament) for at, label, level, ornament in heard(pattern) if start <= at < end]


def hands_of(pattern: Pattern, label: str = "snare") -> str:
    """R and L of the strokes on a surface, in time order."""
    return "".join(hit.limb.name[0] for hit in pattern.hits if hit.surface == label)


def places(pattern: Pattern, *limbs: Limb) -> tuple[Fraction, ...]:
    """Where limbs strike."""
    return project(pattern, *limbs).onsets


# ---- all five --------------------------------------------------------------------------------------------------------


@given(LINES, st.sampled_from(NEW), KITS, MAYBE_LIMB, st.sampled_from((None, "none", "quarters", "samba")))
def test_a_page_of_whole_bars_or_a_reason(
    line: Line, name: str, kits: Kit, limb: Limb | None, under: str | None
) -> None:
    """Every row is whole bars, a page is not much longer than a hundred, what is said is said in one line."""
    made = made_or_refused(line, name, Setting(kit=kits, limb=limb, under=under))
    if made is None:
        return
    assert all(pattern.meters.whole and pattern.hits for _, pattern in made.rows)
    assert sum(len(pattern.meters.bars) for _, pattern in made.rows) <= 100
    assert len({label for label, _ in made.rows}) == len(made.rows)
    for text in (made.title, made.instruction, *made.notes, *(label for label, _ in made.rows)):
        assert text.strip() == text
        assert len(text.splitlines()) == 1
    assert made.instruction.endswith(".")


@fewer
@given(LINES, st.sampled_from(NEW), MAYBE_LIMB)
def test_a_left_handed_page_is_the_mirror(line: Line, name: str, limb: Limb | None) -> None:
    """Set for the left hand, with the limb of the other side, it is the mirror image of the page for the right."""
    right = made_or_refused(line, name, Setting(limb=limb))
    left = made_or_refused(
        line, name, Setting(kit=kit("standard", hand="left"), limb=None if limb is None else limb.mirrored)
    )
    assert (right is None) == (left is None)
    if right is not None and left is not None:
        assert [pattern for _, pattern in left.rows] == [mirror(pattern) for _, pattern in right.rows]


@pytest.mark.parametrize("name", NEW)
def test_a_hundred_bars_give_a_page(name: str) -> None:
    """A long line gives its first bars, and the page says so; over the bar goes only its beginning anyway."""
    line = parse("x.xx xx.x x... .xx. | x... x.xx .xxx x.x.") * 60
    made = apply(line, name, Setting())
    assert sum(len(pattern.meters.bars) for _, pattern in made.rows) <= 100
    assert name == "over-bar" or any("of the line's 120 bars" in note for note in made.notes)


@pytest.mark.parametrize("name", ["displace", "subdivide", "value"])
def test_a_long_rest_first_is_refused(name: str) -> None:
    """Where all that fits on the page is rest, there is nothing to play."""
    line = parse("4r 4r 4r 4r") * 100 + parse("x... xx.. x... x...")
    with pytest.raises(RefusedError, match=r"they are rest; choose others with --measures"):
        apply(line, name, Setting())


def test_a_hand_on_the_hat_has_no_hat_foot_under_it() -> None:
    """Chosen closed-hat, the plain feet are the bass alone."""
    for name in ("displace", "over-bar"):
        assert row("x.xx x.x. x.xx xx..", name, surface="closed-hat").limbs == (Limb.RH, Limb.LH, Limb.RF)


# ---- displace --------------------------------------------------------------------------------------------------------


@given(LINES, KITS, MAYBE_LIMB, st.sampled_from((None, "none", "quarters")))
def test_each_row_is_the_first_one_displaced(line: Line, kits: Kit, limb: Limb | None, under: str | None) -> None:
    """The row of shift k is the first ``>> k * step``; hit for hit in one limb, stroke for stroke in two hands."""
    made = made_or_refused(line, "displace", Setting(kit=kits, limb=limb, under=under))
    if made is None:
        return
    rows = rows_of(made)
    playing = BOTH if limb is None else (limb,)
    rest = tuple(one for one in Limb if one not in playing)
    used, _ = opening(line, len(rows[0].meters.bars))
    step = step_of(used).length
    first = project(rows[0], *playing)
    assert set(first.onsets) == set(used.onsets)
    for turn, pattern in enumerate(rows):
        assert project(pattern, *rest) == project(rows[0], *rest)
        if limb is not None:
            assert project(pattern, limb) == first >> turn * step
        else:
            assert heard(project(pattern, *BOTH)) == heard(first >> turn * step)
    assert len({tuple(heard(pattern)) for pattern in rows}) == len(rows) > 1


@given(LINES)
def test_the_step_is_the_line_s_own(line: Line) -> None:
    """Every stroke of the line stands a whole number of steps from the start, unless the page moves by beats."""
    step = step_of(line)
    assert step.mixed or all(onset % step.length == 0 for onset in line.onsets)
    assert all(beat.full % step.length == 0 for beat in line.meters.beats)


@given(LINES, st.fractions(0, 20, max_denominator=12), st.fractions(0, 20, max_denominator=12))
def test_shifting_a_line_adds_up(line: Line, first: Fraction, second: Fraction) -> None:
    """A shift and another are their sum, modulo the span, for everything but lengths cut at the end."""
    assert shifted(shifted(line, first), second).onsets == shifted(line, first + second).onsets
    assert shifted(line, line.span) == line


@pytest.mark.parametrize(
    ("line", "meter", "step", "rows"),
    [
        ("1 & 2 e & a 3 4 &", "4/4", F(1, 4), 16),  # sixteenths through a bar
        ("1 & 2 & (3) & 4", "4/4", F(1, 2), 8),
        ("1 trip let 2 3 let 4", "4/4", F(1, 3), 12),
        ("1 2 3 4", "4/4", F(1, 2), 2),  # quarters: on the beat, off the beat, and then it comes round
        ("x.. x.x", "6/8", F(1, 2), 6),
        ("x x", "6/8", F(1, 2), 3),
        ("x. xx x.x", "7/8", F(1, 2), 7),
        ("x x . .", "2/2", F(1), 0),
        ("x.... xx... x.... x....", "4/4", F(1, 5), 20),
        ("1 & 2 trip let 3 4", "4/4", F(1), 4),  # eighths and triplets share no grid that is counted
        ("xxxx x..x xx.x x..x | x... x... x... x...", "4/4", F(1, 4), 16),
    ],
)
def test_how_far_a_line_moves(line: str, meter: str, step: Fraction, rows: int) -> None:
    """The step is the line's own subdivision; one and two bars go through a bar of it, until the line comes round."""
    read = parse(line, meter) if meter != "2/2" else parse("x x", meter)
    assert step_of(read).length == step
    if rows:
        assert len(rows_of(apply(read, "displace"))) == rows


def test_a_longer_line_moves_through_one_beat() -> None:
    """Four bars of sixteenths have four rows, with where the 1 has gone in the label."""
    made = apply(parse("x.xx x... x... x.x.") + parse("x... x... x... .xx.") * 3, "displace")
    assert [label for label, _ in made.rows] == [
        "ostinato alone",
        "the line",
        '1 sixteenth later, its 1 on "e of 1"',
        '2 sixteenths later, its 1 on "& of 1"',
        '3 sixteenths later, its 1 on "a of 1"',
    ]


def test_the_natural_sticking_is_that_of_the_shifted_line() -> None:
    """Eighths on the numbers are rights, moved by one they are lefts (common practice)."""
    rows = rows_of(apply(parse("1 2 & 3 4"), "displace"))
    assert [hands_of(pattern) for pattern in rows[:2]] == ["RRLRR", "LLRLL"]


def test_what_cannot_be_heard_moving_is_refused() -> None:
    """Eight even eighths are the same wherever they start; with an accent they are not."""
    with pytest.raises(RefusedError, match=r"moved by an eighth this line sounds the same.*--as subdivide"):
        apply(parse("1 & 2 & 3 & 4 &"), "displace")
    assert len(rows_of(apply(parse("Xx xx xx xx"), "displace"))) == 8


# ---- over-bar --------------------------------------------------------------------------------------------------------


@given(LINES, KITS, MAYBE_LIMB, st.sampled_from((None, *range(1, 16))))
def test_over_the_bar_until_they_meet(line: Line, kits: Kit, limb: Limb | None, beats: int | None) -> None:
    """The span is the least common multiple of cell and bar; every time round, cut out, is the cell."""
    setting = Setting(kit=kits, limb=limb, beats=beats)
    made = made_or_refused(line, "over-bar", setting)
    if made is None:
        return
    ((label, pattern),) = made.rows[1:]
    times, bars = (int(word) for word in label.split() if word.isdigit())
    cell, meter = pattern.span / times, pattern.meters.only
    assert meter is not None
    assert pattern.span == meter.span * bars == common_span(cell, meter.span)
    assert bars > 1 < times
    playing = project(pattern, *(BOTH if limb is None else (limb,)))
    first = line.meters.beat_at(line.onsets[0]).bar - 1
    start = line.meters.bars[first].start
    cut = line.cut(start, start + cell)
    for turn in range(times):
        here = part(playing, turn * cell, (turn + 1) * cell)
        assert {at for at, *_ in here} == set(cut.onsets)
        assert {at for at, _, level, _ in here if level is Level.ACCENT} == set(cut.accents)
        assert here == part(playing, F(0), cell)


@pytest.mark.parametrize(
    ("line", "meter", "barred", "bars", "times"),
    [
        ("1 & 2 e & a 3 4 &", "4/4", "4/4", 3, 4),
        ("x.xx x. x.x.", "3/4", "4/4", 3, 4),  # three beats of its own: the whole line, in four
        ("x x xx x xx", "5/4", "4/4", 5, 4),
        ("x..", "3/8", "4/4", 3, 8),
        ("xx xxx", "5/8", "4/4", 5, 8),
        ("xxx x.x x..", "9/8", "12/8", 3, 4),
        ("xx xx x", "3/2", "2/2", 3, 2),
        ("xx x xx | x x x", "3/4", "3/4", 5, 3),  # two bars of three: its first five beats
        ("xxx x.x | x.. x..", "6/8", "6/8", 3, 2),
        ("x. xx xxx", "7/8", "7/8", 3, 7),  # eighths where beats are unequal
        ("x. xx x. xx x. x.", "6/4", "6/4", 5, 6),
        ("x.x | xx. | x..", "3/8", "3/8", 5, 3),
    ],
)
def test_after_how_many_bars_they_meet(line: str, meter: str, barred: str, bars: int, times: int) -> None:
    """What goes over which bar, and when it meets it, unless told; the page says it."""
    made = apply(parse(line, meter), "over-bar")
    assert str(made.rows[-1][1].meters.only) == barred
    assert len(made.rows[-1][1].meters.bars) == bars
    assert any(
        f"against {barred}: they meet again after {bars} bars, when the line has gone round {times} times" in note
        for note in made.notes
    )


@pytest.mark.parametrize(
    ("beats", "why"),
    [
        (1, r"1 beat fits 4 times into the bar of 4/4.*--beats 3, 5, 6 or 7 does"),
        (2, r"2 beats fit 2 times into the bar of 4/4"),
        (4, r"4 beats are one bar of 4/4, so nothing goes over the bar"),
        (8, r"8 beats are 2 bars of 4/4"),
        (9, r"the line is 8 beats long and 9 would have to.*fewer with --beats 3, 5, 6 or 7, or.*--bars 4"),
    ],
)
def test_beats_that_do_not_go_over_the_bar(beats: int, why: str) -> None:
    """What fits the bar, what the bar fits and what the line has not is refused, with what works."""
    with pytest.raises(RefusedError, match=why):
        apply(parse("x.x. xx.. x... x.xx | x... xx.. x... x..."), "over-bar", Setting(beats=beats))


def test_what_works_works() -> None:
    """The numbers a refusal names are taken, and so is the line repeated as it says."""
    line = parse("x.x. xx.. x... x.xx | x... xx.. x... x...")
    for beats in (3, 5, 6, 7):
        assert apply(line, "over-bar", Setting(beats=beats)).rows
    assert apply(line * 2, "over-bar", Setting(beats=9, turn=line.span)).rows
    with pytest.raises(
        RefusedError, match=r"the line is 2 beats long and 3 would have to.*repeat the line with --bars 2"
    ):
        apply(parse("xxx x..", "6/8"), "over-bar")
    assert apply(parse("xxx x..", "6/8") * 2, "over-bar", Setting(turn=F(3))).rows


@pytest.mark.parametrize("beats", [0, -3, 16])
def test_beats_out_of_range(beats: int) -> None:
    """One to fifteen beats can be asked for."""
    with pytest.raises(OptionError, match=r"1 to 15 beats"):
        apply(parse("x x x x"), "over-bar", Setting(beats=beats))


def test_rest_before_the_line_and_its_pickup_are_left_out() -> None:
    """The line goes over the bar from the first bar it plays in."""
    silent = parse("4r 4r 4r 4r")
    made = apply(silent * 2 + parse("x. xx x. x."), "over-bar")
    assert "the 2 bars of rest before the line are left out" in made.notes
    assert made.rows == apply(parse("x. xx x. x."), "over-bar").rows
    upbeat = parse(".. .. .. .x")
    with_pickup = Line((upbeat + parse("x. xx x. x.")).notes, Meters.of(Meter(4, 4), 2), pickup=True)
    assert apply(with_pickup, "over-bar").rows == made.rows
    with pytest.raises(RefusedError, match=r"the first 3 beats of this line are rest"):
        apply(parse(". . . x"), "over-bar")


# ---- subdivide -------------------------------------------------------------------------------------------------------


@fewer
@given(LINES, KITS, st.sampled_from((None, "none", "quarters-hat-2-4")))
def test_struck_beats_are_filled_evenly_over_one_pulse(line: Line, kits: Kit, under: str | None) -> None:
    """Each row strikes in the line's beats and no others, evenly; feet alike; accents on beats the line accents."""
    made = made_or_refused(line, "subdivide", Setting(kit=kits, under=under))
    if made is None:
        return
    rates = rates_of(line.meters)
    *steady, running = rows_of(made)
    for rate, pattern in zip(rates, steady, strict=True):
        assert project(pattern, *FEET) == project(steady[0], *FEET)
        check_filled(line, pattern, kits.lead, [rate.step] * len(line.meters.bars))
    times = int(running.span / line.span)
    assert running.meters == line.meters * times
    steps = [step_in(running, bar.start, bar.end) for bar in running.meters.bars]
    going = [rates[0].step]
    for step in steps:
        going.append(step or going[-1])
    check_filled(line * times, running, kits.lead, going[1:])
    sounding = [step for step in steps if step is not None]
    order = [rate.step for rate in (*rates, *rates[-2:0:-1])]
    assert sounding == [order[index % len(order)] for index in range(len(sounding))]


def step_in(pattern: Pattern, start: Fraction, end: Fraction) -> Fraction | None:
    """How far apart the hands' strokes are in a bar; None where they are silent."""
    inside = [at for at in places(pattern, *BOTH) if start <= at < end]
    return min((second - first for first, second in pairwise([*inside, end])), default=None) if inside else None


def check_filled(line: Line, pattern: Pattern, lead: Limb, steps: list[Fraction]) -> None:
    """Assert that the beats the line strikes are filled evenly, hands in turn through the stream, accents its own."""
    strokes = {hit.onset: hit for hit in pattern.hits if hit.limb.is_hand}
    count = 0
    for beat in line.meters.beats:
        own = [note for note in line.notes if beat.start <= note.onset < beat.end]
        here = sorted(at for at in strokes if beat.start <= at < beat.end)
        step = steps[beat.bar - 1]
        full = [beat.start + index * step for index in range(int(beat.length / step))]
        assert full[-1] + step == beat.end
        assert here == (full if own else [])
        loud = [at for at in here if strokes[at].level is Level.ACCENT]
        assert loud == ([beat.start] if any(note.accent for note in own) else [])
        for index, at in enumerate(here):
            assert strokes[at].limb == (lead if (count + index) % 2 == 0 else lead.mirrored)
        count += len(full)


@pytest.mark.parametrize(
    ("meter", "names"),
    [
        ("4/4", ["eighths", "triplets", "sixteenths", "quintuplets", "sextuplets"]),
        ("2/2", ["quarters", "triplets", "eighths", "quintuplets", "sextuplets"]),
        ("6/8", ["duplets", "eighths", "quadruplets", "quintuplets", "sixteenths"]),
        ("7/8", ["eighths", "sixteenths", "sixteenth triplets"]),
    ],
)
def test_what_the_streams_are_called(meter: str, names: list[str]) -> None:
    """The names a teacher says, by the beat; where beats are unequal, only what keeps its speed from beat to beat."""
    assert [rate.name for rate in rates_of(Meters.of(Meter.parse(meter)))] == names


def test_hands_alternate_and_odd_numbers_change_the_leading_hand() -> None:
    """Threes and fives start with each hand in turn, twos, fours and sixes with the right (common practice)."""
    sticking = {
        label.split(",")[0]: hands_of(pattern)
        for label, pattern in apply(parse("x x x x"), "subdivide").rows
        if label not in ("ostinato alone", "from bar to bar")
    }
    assert sticking["eighths"] == "RLRLRLRL"
    assert sticking["triplets"] == "RLRLRLRLRLRL"
    assert sticking["quintuplets"] == "RLRLRLRLRLRLRLRLRLRL"
    assert sticking["sextuplets"] == "RLRLRL" * 4


def test_the_last_row_goes_up_and_down() -> None:
    """One bar: 2 3 4 5 6 5 4 3 a beat, a bar each; six bars: once through the line."""
    counts = [2, 3, 4, 5, 6, 5, 4, 3]
    pattern = row("x x . x", "subdivide")
    strokes = places(pattern, *BOTH)
    assert [sum(4 * bar <= at < 4 * bar + 1 for at in strokes) for bar in range(8)] == counts
    assert len(pattern.meters.bars) == 8
    assert len(apply(parse("x x x x") * 6, "subdivide").rows[-1][1].meters.bars) == 6


def test_a_silent_bar_does_not_swallow_a_stream() -> None:
    """Of two bars one is rest: the last row gives every stream to the other."""
    pattern = row("x x x x | . . . .", "subdivide")
    strokes = places(pattern, *BOTH)
    assert [sum(8 * turn <= at < 8 * turn + 1 for at in strokes) for turn in range(8)] == [2, 3, 4, 5, 6, 5, 4, 3]


# ---- against ---------------------------------------------------------------------------------------------------------

NUMBERS = st.integers(2, 9)


@given(LINES, KITS, MAYBE_LIMB, st.one_of(st.none(), NUMBERS))
def test_the_line_against_even_strokes(line: Line, kits: Kit, limb: Limb | None, number: int | None) -> None:
    """One side is the line, the other evenly spaced in every bar; each alone and then both, over one pulse."""
    against = None if number is None else str(number)
    made = made_or_refused(line, "against", Setting(kit=kits, limb=limb, against=against))
    if made is None:
        assert not line.notes
        return
    one, other, both = rows_of(made)
    count = number or (2 if len(line.meters.bars[0].meter.beats) % 2 else 3)
    assert made.title == f"The line against {count}"
    (of_line,), (of_count,) = ([x for x in pattern.limbs if x not in feet_of(one, other)] for pattern in (one, other))
    assert limb in (None, of_count)
    assert of_line.is_hand
    assert places(both, of_line) == places(one, of_line) == line.onsets
    assert {hit.onset for hit in both.hits if hit.limb is of_line and hit.level is Level.ACCENT} == set(line.accents)
    evenly_spaced(both, of_count, count)
    assert project(both, of_count) == project(other, of_count)
    pulse = feet_of(one, other)
    assert project(one, *pulse) == project(other, *pulse) == project(both, *pulse)
    assert places(both, *pulse) == tuple(beat.start for beat in line.meters.beats)


@given(LINES, KITS, MAYBE_LIMB, NUMBERS, NUMBERS)
def test_even_strokes_against_even_strokes(line: Line, kits: Kit, limb: Limb | None, first: int, second: int) -> None:
    """Each limb is evenly spaced; they meet gcd(M, N) times a bar and nowhere else; of the line only bars are left."""
    setting = Setting(kit=kits, limb=limb, against=f"{first}:{second}")
    if first % second == 0 or second % first == 0:
        with pytest.raises(OptionError, match=r"nothing is against anything; .* is$"):
            apply(line, "against", setting)
        return
    one, other, both = rows_of(apply(line, "against", setting))
    (of_first,), (of_second,) = ([x for x in rows.limbs if x not in feet_of(one, other)] for rows in (one, other))
    evenly_spaced(both, of_first, first)
    evenly_spaced(both, of_second, second)
    assert both.meters == line.meters
    meeting = set(places(both, of_first)) & set(places(both, of_second))
    shared = gcd(first, second)
    assert meeting == {bar.start + bar.length * F(k, shared) for bar in line.meters.bars for k in range(shared)}


def feet_of(one: Pattern, other: Pattern) -> tuple[Limb, ...]:
    """The limbs of the pulse: those in both rows."""
    return tuple(limb for limb in one.limbs if limb in other.limbs)


def evenly_spaced(pattern: Pattern, limb: Limb, count: int) -> None:
    """Assert so many equally spaced strokes of a limb in every bar, from the 1."""
    strokes = places(pattern, limb)
    for bar in pattern.meters.bars:
        inside = [at for at in strokes if bar.start <= at < bar.end]
        assert inside[0] == bar.start
        assert len(inside) == count
        assert {second - first for first, second in pairwise([*inside, bar.end])} == {bar.length / count}


@given(whole_maps(max_bars=3, max_runs=2), NUMBERS)
def test_a_line_of_rest_still_gives_bars(meters: Meters, number: int) -> None:
    """M:N needs no notes of the line; N does, and says what needs none."""
    with pytest.raises(RefusedError, match=r"all rest, .*--as alone to count it, or even strokes .*--against 3:2"):
        apply(Line((), meters), "against", Setting(against=str(number)))
    assert apply(Line((), meters), "against", Setting(against="3:2")).rows[-1][1].meters == meters


def test_even_strokes_are_even() -> None:
    """Three in a bar of four quarters are four thirds of a quarter apart."""
    assert even_strokes(3, Meters.of(Meter(4, 4))) == (F(0), F(4, 3), F(8, 3))


@pytest.mark.parametrize(
    ("against", "meter", "note"),
    [
        ("3:2", "3/4", "3 against 2 in a bar: strokes fall on 1, 3, 4, 5 of 6"),
        ("2:3", "6/8", "2 against 3 in a bar: strokes fall on 1, 3, 4, 5 of 6"),
        ("3:4", "4/4", "3 against 4 in a bar: strokes fall on 1, 4, 5, 7, 9, 10 of 12"),
        (None, "4/4", "3 against the 4 beats of 4/4: strokes and beats fall on 1, 4, 5, 7, 9, 10 of 12"),
        (None, "3/4", "2 against the 3 beats of 3/4: strokes and beats fall on 1, 3, 4, 5 of 6"),
        (None, "6/8", "3 against the 2 beats of 6/8: strokes and beats fall on 1, 3, 4, 5 of 6"),
        ("2", "4/4", "2 against the 4 beats of 4/4: the strokes are on 1 and 3"),
        ("4", "6/8", "4 against the 2 beats of 6/8: the beats are on strokes 1 and 3"),
        ("2", "7/8", "2 against the 3 beats of 7/8: strokes and beats fall on 1, 5, 8, 9 of 14"),
    ],
)
def test_the_count_to_say(against: str | None, meter: str, note: str) -> None:
    """The page has the counts of both sides together (common practice)."""
    beats = len(Meter.parse(meter).beats)
    assert note in apply(parse(" ".join("x" * beats), meter), "against", Setting(against=against)).notes


@pytest.mark.parametrize("text", ["1", "10", "0:3", "3:1", "x", "", "3:2:1", "3/2"])
def test_numbers_that_cannot_be(text: str) -> None:
    """Two to nine, one or two of them."""
    with pytest.raises(OptionError, match=r"2 to 9, such as 3, or one number against another, such as 3:2"):
        apply(parse("x x x x"), "against", Setting(against=text))


@pytest.mark.parametrize(("text", "works"), [("3:3", "3:2 or 3:4"), ("2:4", "2:3 or 2:5"), ("8:4", "8:3 or 8:5")])
def test_one_number_in_the_other(text: str, works: str) -> None:
    """What is not against anything is refused with two that are."""
    with pytest.raises(OptionError, match=f"; {works} is$"):
        apply(parse("x x x x"), "against", Setting(against=text))


# ---- value -----------------------------------------------------------------------------------------------------------


@given(LINES, KITS, st.sampled_from(("twice", "half")), st.sampled_from((None, "none", "hat-quarters")))
def test_stretched_back_it_is_the_line(line: Line, kits: Kit, value: str, under: str | None) -> None:
    """Back at its old values the row is the line in natural sticking over its pulse, and the tempo makes up for it."""
    made = made_or_refused(line, "value", Setting(kit=kits, value=value, under=under))
    if made is None:
        return
    ((_, written),) = made.rows
    used, _ = opening(line, len(line.meters.cut(F(0), written.span / made.speed).bars))
    hands = Setting(kit=kits, under=under or "quarters")
    assert made.speed == (2 if value == "twice" else F(1, 2))
    assert stretch(written, 1 / made.speed).under(used.meters) == apply(used, "hands", hands).rows[-1][1]


@given(whole_maps(max_bars=4, max_runs=2))
def test_bars_stay_where_they_were(meters: Meters) -> None:
    """Doubled, every old barline is a barline and every new bar starts on an old beat; so it is halved, bars joined."""
    for by in (F(2), F(1, 2)):
        try:
            new = rebarred(meters, by)
        except RefusedError:
            continue
        assert new.whole
        assert new.span == meters.span * by
        old_bars = {bar.start * by for bar in meters.bars}
        new_bars = {bar.start for bar in new.bars}
        assert new_bars <= {beat.start * by for beat in meters.beats}
        assert old_bars <= new_bars if by > 1 else (new_bars <= old_bars or old_bars <= new_bars)


@pytest.mark.parametrize(
    ("meter", "bars", "doubled", "halved"),
    [
        ("4/4", 2, "4 x 4/4", "1 x 4/4"),
        ("4/4", 3, "6 x 4/4", "3 x 2/4"),
        ("2/4", 2, "4 x 2/4", "1 x 2/4"),
        ("2/4", 1, "2 x 2/4", None),
        ("2/2", 1, "2 x 2/2", "1 x 2/4"),
        ("3/4", 2, "2 x 3/2", "2 x 1+1+1/8"),
        ("5/4", 1, "1 x 5/2", None),
        ("6/4", 1, "2 x 3/2", "2 x 1+1+1/8"),
        ("3/2", 1, None, "1 x 3/4"),
        ("6/8", 1, "2 x 3/4", None),
        ("12/8", 1, "4 x 3/4", None),
        ("7/8", 1, "1 x 7/4", None),
        ("5/8", 2, "2 x 5/4", None),
        ("3+2+2/8", 1, "1 x 3+2+2/4", None),
    ],
)
def test_what_it_is_barred_in(meter: str, bars: int, doubled: str | None, halved: str | None) -> None:
    """A teacher's choice of meter for twice and half the values; None where there is none to be read."""
    for by, expected, other in ((F(2), doubled, "--value half"), (F(1, 2), halved, "--value twice")):
        if expected is None:
            with pytest.raises(RefusedError, match=other):
                rebarred(Meters.of(Meter.parse(meter), bars), by)
        else:
            assert str(rebarred(Meters.of(Meter.parse(meter), bars), by)) == expected


@pytest.mark.parametrize(
    ("meter", "pace", "value", "note"),
    [
        ("4/4", 60, "twice", "quarter = 120 on this page sounds as quarter = 60 does in the line"),
        ("2/2", 160, "half", "quarter = 80 on this page sounds as half = 80 does in the line"),
        ("6/8", 90, "twice", "quarter = 180 on this page sounds as dotted quarter = 60 does in the line"),
        ("3/4", 72, "half", "eighth = 72 on this page sounds as quarter = 72 does in the line"),
        ("3/4", 72, "twice", "half = 72 on this page sounds as quarter = 72 does in the line"),
    ],
)
def test_which_tempo_sounds_like_which(meter: str, pace: float, value: str, note: str) -> None:
    """The page says it, counted in the beats of both meters."""
    line = parse(" ".join("x" * len(Meter.parse(meter).beats)), meter)
    made = apply(line, "value", Setting(value=value, pace=pace))
    assert made.notes[0].startswith(note)


def test_hands_and_foot_do_what_they_did() -> None:
    """Eighths right and left become quarters right and left; the foot strikes half as often as the new beats."""
    pattern = row("1 & 2 & 3 & 4 &", "value")
    assert hands_of(pattern) == "RLRLRLRL"
    assert list(places(pattern, Limb.RF)) == [0, 2, 4, 6]
    assert list(places(pattern, *BOTH)) == list(range(8))


def test_swung_feet_and_tempi_out_of_range_are_refused() -> None:
    """What would no longer sound the same, or could not be counted, is not written."""
    with pytest.raises(RefusedError, match=r"is swung.*use --under quarters"):
        apply(parse("x x x x"), "value", Setting(under="ride-swing"))
    with pytest.raises(RefusedError, match=r"quarter = 480.*from 20 to 400.*--value half"):
        apply(parse("x x x x"), "value", Setting(pace=240))
    with pytest.raises(RefusedError, match=r"quarter = 15.*--value twice"):
        apply(parse("x x x x"), "value", Setting(pace=30, value="half"))


# ---- shared ----------------------------------------------------------------------------------------------------------


def test_a_foot_that_moves_leaves_the_pulse_to_the_other() -> None:
    """The line in the bass foot has the hat foot under it, in the hat foot the bass, also left-handed."""
    for name in ("displace", "over-bar", "against"):
        for hand, bass in (("right", Limb.RF), ("left", Limb.LF)):
            for limb in (bass, bass.mirrored):
                pattern = row("x. xx x. x.", name, kit=kit("standard", hand=hand), limb=limb)
                pulse = project(pattern, limb.mirrored)
                assert {hit.surface for hit in pulse.hits} == {"hat-foot" if limb is bass else "bass"}
                assert len(pulse.hits) == pattern.span


def test_strokes_and_counts_agree() -> None:
    """The composite of two sides has as many strokes as the page: both limbs, less where they meet."""
    pattern = row("x x x x", "against", against="4:6")
    hits = [hit for hit in pattern.hits if hit.limb.is_hand]
    assert len({hit.onset for hit in hits}) == 4 + 6 - gcd(4, 6)
    assert {hit.onset % (pattern.span / lcm(4, 6)) for hit in hits} == {0}
