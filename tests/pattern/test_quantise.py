"""Recorded strokes go on the likeliest grid, none is lost, and clean playing comes out as it was meant."""

import random
from collections.abc import Iterable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import PatternError
from kitgen.kit import SURFACES, Limb
from kitgen.kit.pads import pad_map
from kitgen.pattern import Feel, Level, Pattern, parse_rows, performed
from kitgen.pattern.gestures import gestures_of
from kitgen.pattern.quantise import even_table, exact_parts, misfit, nearest
from kitgen.pattern.take import Stroke, Take
from kitgen.pattern.take_rows import count_strokes, take_rows
from kitgen.pattern.transcription import take_pattern, transcribed
from kitgen.time import Meter

GM = pad_map("gm")
VELOCITIES = {Level.FEATHER: 28, Level.GHOST: 38, Level.TAP: 58, Level.NORMAL: 88, Level.ACCENT: 115}
GROOVE = """
RH closed-hat  x.x. x.x. x.x. x.x. | x.x. x.x. x.x. x...
RH open-hat    .... .... .... .... | .... .... .... ..x.
LH snare       .... X..g .g.. X... | .... X..g .g.. X..g
RF bass        x... ..x. x.x. .... | x... ..x. x..x ....
"""
JAZZ = """
RH ride      x. xx x. xx | x. xx x. xx | x. xx x. xx | x. xx x. xx
LH snare     .. .x .. .. | .x .. .. .x | .. .x .. .. | .. .. .x ..
LF hat-foot  .. x. .. x. | .. x. .. x. | .. x. .. x. | .. x. .. x.
"""


def take_of(strokes: Iterable[tuple[float, int, int]], *, bpm: float = 100, meter: str = "4/4") -> Take:
    """A take of (quarters, key, velocity)."""
    made = (Stroke(time, key, velocity, GM.get(key)) for time, key, velocity in strokes)
    return Take(tuple(made), bpm, Meter.parse(meter))


def played(pattern: Pattern, *, bpm: float = 100, off_ms: float = 0, seed: int = 1) -> Take:
    """A performance of a pattern, each stroke up to so many milliseconds off."""
    away = random.Random(seed)
    strokes = []
    for hit in performed(pattern).hits:
        off = away.uniform(-off_ms, off_ms) / 1000 * bpm / 60
        time = max(0.0, float(hit.onset) + off)
        strokes.append((time, SURFACES[hit.surface].key, VELOCITIES[hit.level]))
    return take_of(strokes, bpm=bpm)


def rows(take: Take, head: str) -> list[str]:
    """The boxes of every row with this head, spaces closed up."""
    return [line.removeprefix(head).strip() for line in take_rows(take).splitlines() if line.startswith(head + " ")]


def test_shares_and_places() -> None:
    """The coarsest exact division is found, with and without slack."""
    shares = [Fraction(0), Fraction(1, 3), Fraction(1, 2)]
    assert exact_parts(shares) == 6
    assert exact_parts([Fraction(69, 480)]) is None
    assert exact_parts([Fraction(69, 480)], slack=Fraction(1, 960)) == 7
    assert exact_parts([]) == 1
    assert [nearest(even_table(3), share) for share in (0.0, 0.16, 0.17, 0.9, 1.2)] == [0, 0, 1, 3, 3]
    late = misfit([0.02, 0.35], even_table(3), beat_s=0.6, spread_s=0.015)
    assert late > misfit([0.0, 1 / 3], even_table(3), beat_s=0.6, spread_s=0.015)


@pytest.mark.parametrize("off_ms", [0, 8, 12])
@pytest.mark.parametrize("bpm", [72, 100, 132])
@pytest.mark.parametrize("text", [GROOVE, "RH ride x.x xxx x.x xxx\nLH snare ... x.. ..g X..\nRF bass x.. ..x x.. ..."])
def test_a_clean_take_is_the_pattern_it_was_played_from(text: str, bpm: float, off_ms: float) -> None:
    """A groove played with human deviations is transcribed equal, limbs too."""
    pattern = parse_rows(text.strip())
    take = played(pattern * 4, bpm=bpm, off_ms=off_ms)
    assert take_pattern(take).hits == (pattern * 4).hits
    found = transcribed(take)
    assert not found.feel.unit
    assert max(map(abs, found.off_ms)) <= 2 * off_ms + 1


@pytest.mark.parametrize("ratio", ["1.4", "1.8", "2.2", "3"])
def test_swing_is_found_and_the_page_is_even(ratio: str) -> None:
    """Swung eighths are written even, with the ratio they were played with."""
    pattern = parse_rows(JAZZ.strip(), feel=Feel(8, Fraction(ratio))) * 4
    found = take_pattern(played(pattern, bpm=140, off_ms=6))
    assert found.hits == pattern.hits
    assert found.feel.unit == 8
    assert found.feel.ratio is not None
    assert abs(found.feel.ratio - Fraction(ratio)) <= Fraction(ratio) / 10


def test_swung_sixteenths_are_found() -> None:
    """A swing of sixteenths is told from one of eighths."""
    pattern = parse_rows(GROOVE.strip(), feel=Feel(16, Fraction(3, 2))) * 4
    found = take_pattern(played(pattern, bpm=88, off_ms=5))
    assert found.hits == pattern.hits
    assert found.feel.unit == 16


WIDE = """
RH ride      x. xx x. xx | x. xx x. x. | x. xx xx xx | x. x. x. xx
LH snare     .. .x .. .. | .x .. .. .x | .. .x .. .. | .. .. .x ..
LF hat-foot  .. x. .. x. | .. x. .. x. | .. x. .. x. | .. x. .. x.
"""


@pytest.mark.parametrize("ratio", ["3", "3.5"])
@pytest.mark.parametrize("bpm", [112, 125])
def test_a_wide_swing_of_eighths_is_no_swing_of_sixteenths(ratio: str, bpm: float) -> None:
    """A ride that has beats and late skip notes and passes over the halves swings eighths, up to the widest measured.

    Widest: A. Friberg and A. Sundstrom, Music Perception 19(3), 2002, 3.5:1 near 120.
    """
    pattern = parse_rows(WIDE.strip(), feel=Feel(8, Fraction(ratio))) * 4
    found = take_pattern(played(pattern, bpm=bpm, off_ms=15))
    assert found.hits == pattern.hits
    assert found.feel.unit == 8
    assert found.feel.ratio is not None
    assert abs(found.feel.ratio - Fraction(ratio)) <= Fraction(ratio) / 8


def test_the_cymbal_tells_how_time_is_felt() -> None:
    """Drums that play straight over a wide ride do not make the time straight."""
    ride = parse_rows(WIDE.strip(), feel=Feel(8, Fraction(3))) * 6
    straight = [(bar * 4 + beat + 0.5, 38, 70) for bar in range(24) for beat in (1, 2) if bar % 4 == 1]
    swung = played(ride, bpm=120, off_ms=10)
    take = take_of([(s.time_quarters, s.key, s.velocity) for s in swung.strokes if s.key != 38] + straight, bpm=120)
    assert transcribed(take).feel.unit == 8


def test_dotted_hats_between_sixteenths_stay_even() -> None:
    """Sixteenths that also have their halves struck are no swung eighths, however many are late in the beat."""
    text = "RH closed-hat x..x x.xx x..x x.x.\nLH snare .... x..x .... x...\nRF bass x..x ..x. x... ..x."
    pattern = parse_rows(text) * 12
    found = transcribed(played(pattern, bpm=96, off_ms=8))
    assert not found.feel.unit


def test_the_swing_stands_beside_what_is_usual() -> None:
    """The line on the feel names the ratio played and the median published for the tempo (TISMIR 2024)."""
    pattern = parse_rows(JAZZ.strip(), feel=Feel(8, Fraction(2))) * 4
    text = take_rows(played(pattern, bpm=190))
    assert "feel: eighths swung 2:1, written even; usual at 190 is 1.85:1" in text


def test_a_constant_lean_is_taken_out() -> None:
    """A take that sits 30 ms behind throughout is the same page, and the lean is told."""
    late = 0.030 * 100 / 60
    pattern = parse_rows(GROOVE.strip()) * 4
    straight = played(pattern, off_ms=6)
    take = take_of((s.time_quarters + late, s.key, s.velocity) for s in straight.strokes)
    assert take_pattern(take).hits == pattern.hits
    assert transcribed(take).lean_ms == pytest.approx(30, abs=3)
    assert "lean: 30 ms behind the beat" in take_rows(take)


def test_flams_drags_and_buzzes() -> None:
    """Grace notes come before the louder main stroke; bounces after it; each is counted."""
    beat_s = 0.6
    strokes = [(0.0, 36, 90), (1 - 0.030 / beat_s, 38, 50), (1.0, 38, 110)]
    strokes += [(2 - 0.09 / beat_s, 38, 40), (2 - 0.045 / beat_s, 38, 45), (2.0, 38, 110)]
    strokes += [(3 + n * 0.035 / beat_s, 38, 60 - 8 * n) for n in range(4)]
    text = take_rows(take_of(strokes))
    assert text.partition("\n\n")[2].splitlines()[2:8] == [
        "count     1 2 3 4",
        "LH snare  . X X t",
        "flam LH   . x . .",
        "drag LH   . . x .",
        "buzz LH   . . . 3",
        "RF bass   x . . .",
    ]
    assert text.partition("\n\n")[0].endswith("added: 1 flam, 1 drag, 1 buzz of 3 bounces")
    assert count_strokes(text) == len(strokes)


def test_more_strokes_than_limbs() -> None:
    """A third hand and a second foot stand in rows of their own."""
    together = [(0.0, key, 90) for key in (36, 35, 38, 51, 49, 44)]
    text = take_rows(take_of([*together, (1.0, 38, 90)]))
    assert text.partition("\n\n")[2].splitlines()[3:9] == [
        "RH crash     x . . .",
        "LH snare     x x . .",
        "RF bass      x . . .",
        "LF hat-foot  x . . .",
        "extra ride   x . . .",
        "extra bass   x . . .",
    ]
    assert count_strokes(text) == 7
    with pytest.raises(PatternError, match=r"no limb is left for the .* at bar 1"):
        take_pattern(take_of(together))


def test_unknown_keys_have_rows() -> None:
    """A key without a surface has a row named after it, and no pattern."""
    take = take_of([(0.0, 62, 90), (1.0, 62, 90), (1.0, 36, 90)])
    assert rows(take, "key 62") == ["x x . ."]
    with pytest.raises(PatternError, match="key 62 at bar 1"):
        take_pattern(take)


def test_a_run_alternates_and_time_stays_in_one_hand() -> None:
    """Fast strokes on the snare alternate between the hands; a ride pattern does not."""
    run = take_of([(index / 4, 38, 90) for index in range(32)], bpm=120)
    limbs = [hit.limb for hit in take_pattern(run).hits]
    assert {limbs[index] != limbs[index + 1] for index in range(31)} == {True}
    ride = take_of([(index / 2, 51, 90) for index in range(32)], bpm=120)
    assert {hit.limb for hit in take_pattern(ride).hits} == {Limb.RH}


def test_known_limbs_are_kept() -> None:
    """Where the recording names the hand, that hand has the stroke."""
    strokes = tuple(Stroke(float(n), 38, 90, "snare", Limb.RH if n % 3 else Limb.LH) for n in range(6))
    pattern = take_pattern(Take(strokes, 100, Meter(4, 4)))
    assert [hit.limb for hit in pattern.hits] == [stroke.limb for stroke in strokes]


def test_compound_meters_and_changes() -> None:
    """Beats of three units divide in threes; a meter change starts a block."""
    take = take_of([(index / 2, 42, 80) for index in range(24)], meter="6/8")
    assert rows(take, "RH closed-hat") == ["xxx xxx | xxx xxx | xxx xxx | xxx xxx"]
    strokes = tuple(Stroke(float(n), 38, 90, "snare") for n in range(10))
    text = take_rows(Take(strokes, 100, Meter(4, 4), meter_changes=((4.0, Meter(3, 4)),)))
    assert [line for line in text.splitlines() if line.startswith("meter")] == ["meter 4/4", "meter 3/4"]


def test_nothing_recorded() -> None:
    """An empty take is a bar of rest."""
    text = take_rows(Take((), 100, Meter(4, 4)))
    assert "rest" in text
    assert text.startswith("timing: no strokes\n")


STROKES = st.lists(
    st.tuples(
        st.one_of(st.floats(0, 24), st.integers(0, 24 * 12).map(lambda n: n / 12), st.floats(3, 3.4)),
        st.sampled_from([35, 36, 37, 38, 38, 38, 40, 42, 42, 44, 46, 48, 51, 55, 62]),
        st.integers(1, 127),
    ),
    min_size=1,
    max_size=60,
)


@given(strokes=STROKES, bpm=st.sampled_from([40, 90, 140, 260]), meter=st.sampled_from(["4/4", "6/8", "2/2", "7/8"]))
def test_no_stroke_is_lost(strokes: list[tuple[float, int, int]], bpm: float, meter: str) -> None:
    """Whatever is struck, the page holds every stroke once and no line is torn."""
    take = take_of(strokes, bpm=bpm, meter=meter)
    found = transcribed(take)
    assert sorted(
        stroke.time_quarters
        for one in found.placed
        for stroke in (one.gesture.main, *one.gesture.graces, *one.gesture.bounces)
    ) == sorted(stroke.time_quarters for stroke in take.strokes)
    text = take_rows(take)
    assert count_strokes(text) == len(strokes)
    for block in text.split("\n\n")[1:]:
        boxes = [line for line in block.splitlines() if not line.startswith(("bar ", "meter "))]
        assert len({len(line) for line in boxes}) == 1


@given(strokes=STROKES, bpm=st.sampled_from([60, 120]))
def test_gestures_share_out_the_strokes(strokes: list[tuple[float, int, int]], bpm: float) -> None:
    """Every stroke is in one gesture; grace notes come before the main stroke and bounces after."""
    take = take_of(strokes, bpm=bpm)
    gestures = gestures_of(take.strokes, take.seconds_at)
    assert sum(gesture.size for gesture in gestures) == len(strokes)
    for gesture in gestures:
        times = [stroke.time_quarters for stroke in (*gesture.graces, gesture.main, *gesture.bounces)]
        assert times == sorted(times)


@given(strokes=STROKES, limbs=st.just(set(Limb)))
def test_a_limb_strikes_once_at_a_place(strokes: list[tuple[float, int, int]], limbs: set[Limb]) -> None:
    """No limb has two strokes on one place; what does not fit is extra."""
    found = transcribed(take_of(strokes))
    struck = [(one.place, one.limb) for one in found.placed if one.limb in limbs]
    assert len(struck) == len(set(struck))
    drawn = [(one.place, one.gesture.main.label, one.extra) for one in found.placed if one.limb is None]
    assert len(drawn) == len(set(drawn))
