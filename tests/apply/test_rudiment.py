"""A rudiment on the line: laws on arbitrary lines, rudiments and hand settings, and what a teacher would expect."""

from dataclasses import replace
from fractions import Fraction
from itertools import cycle, islice

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import Made, Setting, apply, fitted_ostinato
from kitgen.apply.rudiment import as_written, strokes_on
from kitgen.errors import OptionError, RefusedError, UnknownNameError
from kitgen.kit import HAND_LIMBS, HANDS, PLAYERS, Limb, LimbProfile, kit
from kitgen.line import Line, parse
from kitgen.make.applied import page_of
from kitgen.make.recipe import ApplyRecipe
from kitgen.pattern import Level, Ornament, Pattern, mirror, project
from kitgen.pattern.rudiments import RUDIMENTS
from kitgen.time import Meter, Meters
from kitgen.write.text import page_text
from tests.apply.lines import dressed_lines
from tests.cli.running import run
from tests.strategies import any_meters, fewer

F = Fraction
BOTH = (Limb.RH, Limb.LH)
NAMES = st.sampled_from(list(RUDIMENTS))
FEET = ("hat-2-4", "bass-1-3-hat-2-4", "quarters")
HOMES = st.sampled_from((None, "floor-tom", "ride", "high-tom", "mid-tom"))
PLAYED = dressed_lines().filter(lambda line: line.notes)

settings_of_hands = st.builds(
    lambda hand, name, home, limb: Setting(kit=kit("standard", hand=hand), rudiment=name, surface=home, limb=limb),
    st.sampled_from(HANDS),
    NAMES,
    HOMES,
    st.sampled_from((None, *BOTH)),
)


def rows_of(made: Made) -> dict[str, Pattern]:
    """The rows of a page by label."""
    return dict(made.rows)


def made(line: Line | str, setting: Setting, *, meter: str = "4/4") -> Made:
    """A line with a rudiment on it."""
    return apply(parse(line, meter) if isinstance(line, str) else line, "rudiment", setting)


def hands_of(pattern: Pattern) -> str:
    """R or L a stroke."""
    return "".join(hit.limb.name[0] for hit in project(pattern, *BOTH).hits)


# ---- laws ------------------------------------------------------------------------------------------------------------


@given(PLAYED, settings_of_hands)
def test_the_line_gets_the_strokes_of_the_rudiment(line: Line, setting: Setting) -> None:
    """The row on the line is struck where the line is, by the rudiment's hands over and over, with its ornaments."""
    item = RUDIMENTS[setting.rudiment or ""]
    pattern = rows_of(made(line, setting))["on the line"]
    first = setting.kit.lead if setting.limb is None else setting.limb
    assert pattern.meters == line.meters
    assert pattern.onsets == line.onsets
    assert len(pattern.hits) == len(line.notes)
    assert {hit.surface for hit in pattern.hits} == {setting.surface or "snare"}
    for hit, note, stroke in zip(pattern.hits, line.notes, cycle(item.cycle), strict=False):
        assert hit.limb == (first if stroke.hand == "R" else first.mirrored)
        assert (hit.level is Level.ACCENT) == (stroke.accent or note.accent)
        assert hit.level >= Level.NORMAL
        graces = (None, Ornament.FLAM, Ornament.DRAG, Ornament.DRAG)[note.graces]
        assert hit.ornament is (stroke.ornament or graces)


@given(PLAYED, settings_of_hands)
def test_round_the_kit_only_drums_change(line: Line, setting: Setting) -> None:
    """Round the kit the strokes are those on the line, on drums of their hand's side; accents and only they move."""
    rows = rows_of(made(line, setting))
    on_line, moved = rows["on the line"], rows["round the kit"]
    home, lead = setting.surface or "snare", setting.kit.lead
    assert [replace(hit, surface=home) for hit in moved.hits] == list(on_line.hits)
    graced = any(hit.ornament in (Ornament.FLAM, Ornament.DRAG) for hit in on_line.hits)
    accented = any(hit.level is Level.ACCENT for hit in on_line.hits)
    for hit in moved.hits:
        if accented:
            assert (hit.surface != home) == (hit.level is Level.ACCENT)
            away = {"mid-tom", "floor-tom"} if hit.limb == lead else {"high-tom", "snare"}
        else:
            away = {"high-tom", "mid-tom"} if graced else {"high-tom", "mid-tom", "floor-tom", "snare"}
        assert hit.surface == home or hit.surface in away
    beats = {line.meters.beat_index(hit.onset) for hit in moved.hits}
    if accented or len(beats) > 1:
        assert {hit.surface for hit in moved.hits} - {home}


@given(PLAYED, NAMES, HOMES)
def test_left_handed_is_the_mirror(line: Line, name: str, home: str | None) -> None:
    """Set for the left hand every row is the mirror image; so is, on one kit, the row that starts with the left."""
    right, left = (
        made(line, Setting(kit=kit("standard", hand=hand), rudiment=name, surface=home)) for hand in ("right", "left")
    )
    assert [pattern for _, pattern in left.rows] == [mirror(pattern) for _, pattern in right.rows]
    other = made(line, Setting(rudiment=name, surface=home, limb=Limb.LH))
    for label in ("the rudiment", "on the line"):
        assert rows_of(other)[label] == mirror(rows_of(right)[label])


@given(PLAYED, NAMES, st.sampled_from(FEET))
def test_feet_run_under_every_row(line: Line, name: str, under: str) -> None:
    """The feet are heard alone first and keep on, unbroken, under every other row."""
    try:
        page = made(line, Setting(rudiment=name, under=under))
    except RefusedError as error:
        assert under in str(error) or "fit" in str(error)  # noqa: PT017
        return
    labels = [label for label, _ in page.rows]
    assert labels == ["ostinato alone", "the rudiment", "on the line", "round the kit"]
    assert not project(page.rows[0][1], *BOTH).hits
    for _, pattern in page.rows[1:]:
        expected, _ = fitted_ostinato(under, pattern.meters, kit("standard"))
        assert project(pattern, *expected.limbs) == expected
    assert rows_of(page)["on the line"].meters == rows_of(page)["round the kit"].meters == line.meters


@given(PLAYED, NAMES)
def test_the_page_shows_the_rudiment_first(line: Line, name: str) -> None:
    """The first row is the rudiment in its own rhythm, in bars of the line's first meter, accented as it is."""
    item = RUDIMENTS[name]
    label, pattern = made(line, Setting(rudiment=name)).rows[0]
    assert label == "the rudiment"
    assert pattern.meters.only == line.meters.bars[0].meter
    assert len(pattern.hits) >= len(item.cycle)
    for hit, stroke in zip(pattern.hits, cycle(item.cycle), strict=False):
        assert hit.limb.name[0] == stroke.hand
        assert (hit.level is Level.ACCENT) == stroke.accent
        assert hit.ornament is stroke.ornament


@fewer
@given(any_meters, NAMES, st.sampled_from((1, 2, 4)))
def test_its_own_rhythm_has_its_proportions(meter: Meter, name: str, times: int) -> None:
    """Strokes are as far apart as the rudiment says, in whole bars that hold it once with either hand first."""
    item = RUDIMENTS[name]
    written = as_written(item, meter, times=times)
    onsets = [onset for onset, _ in written.strokes]
    assert written.meters.whole
    assert written.meters.only == meter
    assert [stroke for _, stroke in written.strokes] == list(islice(cycle(item.cycle), len(onsets)))
    lengths = [stroke.length for _, stroke in written.strokes]
    unit = (onsets[1] - onsets[0]) / lengths[0]
    assert unit in (item.unit * times, item.unit * times * F(3, 2))
    assert onsets == [sum(lengths[:index]) * unit for index in range(len(onsets))]
    round_quarters = sum(stroke.length for stroke in item.cycle) * unit
    assert written.meters.span >= round_quarters
    assert written.even == (written.meters.span % round_quarters == 0)
    if written.even:
        assert sum(lengths) * unit == written.meters.span
    else:
        assert written.meters.span - round_quarters < meter.span


@fewer
@given(PLAYED, NAMES, st.integers(2, 5))
def test_it_starts_over_with_the_line_or_carries_on(line: Line, name: str, times: int) -> None:
    """Where a line repeats the rudiment starts over with it; carried on, it runs through all of it."""
    item, size = RUDIMENTS[name], len(line.notes)
    again = line * times
    anew = list(strokes_on(again, item, once=line.span))
    assert anew == list(islice(cycle(item.cycle), size)) * times
    assert list(strokes_on(again, item)) == list(islice(cycle(item.cycle), size * times))
    for carry, expected in ((False, anew), (True, list(strokes_on(again, item)))):
        page = made(again, Setting(rudiment=name, turn=line.span, carry=carry))
        assert hands_of(rows_of(page)["on the line"]) == "".join(stroke.hand for stroke in expected)


@fewer
@given(dressed_lines().filter(lambda line: 0 < len(line.notes) < 12), NAMES)
def test_carried_on_it_comes_round(line: Line, name: str) -> None:
    """Carried on without a number of bars, the line repeats until the rudiment ends with it, or the page is full."""
    page = made(line, Setting(rudiment=name, carry=True))
    pattern, size = rows_of(page)["on the line"], len(RUDIMENTS[name].cycle)
    assert pattern.meters.span % line.span == 0
    assert len(pattern.meters.bars) <= 40
    full = any("comes round with the line after" in note for note in page.notes)
    assert (len(pattern.hits) % size == 0) != full


@fewer
@given(dressed_lines(graces=True).filter(lambda line: line.notes), NAMES)
def test_grace_notes_that_give_way_are_said(line: Line, name: str) -> None:
    """Where line and rudiment both have something on a note the rudiment's is played, and the page says how often."""
    page = made(line, Setting(rudiment=name))
    both = sum(
        bool(note.graces and stroke.ornament)
        for note, stroke in zip(line.notes, strokes_on(line, RUDIMENTS[name]), strict=True)
    )
    said = [note for note in page.notes if "the rudiment's own instead" in note]
    assert bool(both) == bool(said)
    assert all(note.startswith(f"{both} of the line's notes ") for note in said)


# ---- facts -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "meter", "name", "hands"),
    [
        ("1 & 2 & 3 & 4 &", "4/4", None, "RLRRLRLL"),  # the single paradiddle unless told
        ("1 & 2 e & a 3 4 &", "4/4", "single-paradiddle", "RLRRLRLLR"),
        ("1 la li 2 la li", "6/8", "double-paradiddle", "RLRLRR"),
        ("1 la li 2 la li | 1 la li 2 la li", "6/8", "double-paradiddle", "RLRLRRLRLRLL"),
        ("1 2 3 4 | 1 2 3 4", "4/4", "five-stroke-roll", "RRLLRLLR"),
        ("1 2 3", "3/4", "22", "RRL"),
    ],
)
def test_hands_on_a_line(line: str, meter: str, name: str | None, hands: str) -> None:
    """The hands of a plain line, note by note."""
    assert hands_of(rows_of(made(line, Setting(rudiment=name), meter=meter))["on the line"]) == hands


@pytest.mark.parametrize(
    ("name", "meter", "rows"),
    [
        ("single-paradiddle", "4/4", ["RH snare  X.xx .x.. X.xx .x..", "LH snare  .x.. X.xx .x.. X.xx"]),
        ("flam-accent", "6/8", ["RH snare  X.x .x.", "flam RH   x.. ...", "LH snare  .x. X.x", "flam LH   ... x.."]),
        ("double-paradiddle", "6/8", ["RH snare  X.x.xx .x.x..", "LH snare  .x.x.. X.x.xx"]),
        ("single-drag-tap", "2/4", ["RH snare  x. .X", "drag RH   x. ..", "LH snare  .X x.", "drag LH   .. x."]),
        ("multiple-bounce-roll", "2/4", ["RH snare  x. x.", "buzz RH   x. x.", "LH snare  .x .x", "buzz LH   .x .x"]),
        ("five-stroke-roll", "2/4", ["RH snare  xx..X... ..xx....", "LH snare  ..xx.... xx..X..."]),
    ],
)
def test_rudiments_as_they_are_written(name: str, meter: str, rows: list[str]) -> None:
    """A rudiment by itself is written as drummers know it: by memory, in the values of the sheet."""
    found = run("apply", "x x x x" if meter == "4/4" else "x x", "--meter", meter, "--as", "rudiment",
                "--rudiment", name, "--print").out.split("row: on the line")[0].splitlines()  # fmt: skip
    shown = [" ".join(line.split()) for line in found]
    assert shown[shown.index("row: the rudiment") + 2 :][: len(rows)] == [" ".join(row.split()) for row in rows]


@pytest.mark.parametrize(
    ("name", "line", "expected"),
    [
        # right accents to the middle and the floor tom in turn, left ones to the high tom
        ("single-paradiddle", "1 e & a 2 e & a 3 e & a 4 e & a",
         "mid-tom snare snare snare high-tom snare snare snare floor-tom snare snare snare high-tom snare snare snare"),
        # no accent anywhere: on with the beat, each hand on its side
        ("single-stroke-roll", "1 & 2 & 3 & 4 &", "snare snare mid-tom high-tom floor-tom high-tom snare snare"),
        # flams together, since both hands have to be there
        ("flam", "1 & 2 & 3 & 4 &", "snare snare high-tom high-tom mid-tom mid-tom snare snare"),
        # between two flams on toms the right hand's stays near the left hand
        ("pataflafla", "1 & 2 & 3 & 4 &", "mid-tom snare snare high-tom mid-tom snare snare high-tom"),
        # the line's own accent moves too
        ("double-stroke-open-roll", "x. xX x. x.", "snare snare high-tom snare snare"),
    ],
)  # fmt: skip
def test_round_the_kit(name: str, line: str, expected: str) -> None:
    """The way round the drums, stroke by stroke."""
    found = [hit.surface for hit in rows_of(made(line, Setting(rudiment=name)))["round the kit"].hits]
    assert found == expected.split()


def test_a_name_there_is_not_is_answered_with_near_ones() -> None:
    """A rudiment that does not exist is the user's slip and not a refusal of the line."""
    with pytest.raises(UnknownNameError, match="did you mean single-paradiddle-diddle"):
        made("1 2 3 4", Setting(rudiment="paradiddle-diddle"))
    assert (
        "did you mean single-paradiddle?" in run("apply", "1 2 3 4", "--as", "rudiment", "--rudiment", "paradiddle").err
    )


def test_a_foot_is_refused() -> None:
    """A foot has no grace notes; the refusal names what would do."""
    for limb in (Limb.RF, Limb.LF):
        with pytest.raises(RefusedError, match=rf"--limb {limb.name}: .*--limb RH or --limb LH.*--as limb.*--under"):
            made("1 2 3 4", Setting(limb=limb))
    assert "--limb RH or --limb LH" in run("apply", "1 2 3 4", "--as", "rudiment", "--limb", "LF", "--print").err


@pytest.mark.parametrize("gone", HAND_LIMBS)
def test_one_hand_is_refused(gone: Limb) -> None:
    """A rudiment is a sticking of two hands; the refusal names what the other hand can do."""
    who = replace(PLAYERS["school"], name="the student", limbs=((gone, LimbProfile(absent=True)),))
    with pytest.raises(
        RefusedError, match=f"{gone.words} of .* does not play; --as stream .* --limb {gone.mirrored.name}"
    ):
        apply(Line.parse("1 2 3 4"), "rudiment", Setting(player=who))


def test_hands_that_are_busy_are_refused() -> None:
    """An ostinato of the hands leaves none for the rudiment, and a pedal is no drum for sticks."""
    with pytest.raises(RefusedError, match="which the ostinato holds"):
        made("1 2 3 4", Setting(under="ride-rock"))
    with pytest.raises(OptionError, match="is played with a foot"):
        made("1 2 3 4", Setting(surface="bass"))


def test_feet_of_several_bars() -> None:
    """Under feet of two bars the rudiment by itself has two bars as well."""
    feet = "RF bass x... ..x. .... x... | .... x... x... .x.."
    page = made("1 & 2 3 4 | 1 2 3 4", Setting(under=feet))
    assert [len(pattern.meters.bars) for _, pattern in page.rows] == [2, 2, 2, 2]
    page = made("1 & 2 3 4 | 1 2 3 4", Setting(under=feet, rudiment="drag-paradiddle-1"))
    assert [len(pattern.meters.bars) for _, pattern in page.rows] == [2, 2, 2, 2]
    assert "the rudiment does not come out even in bars of 4/4: its last time through is cut short" in page.notes


def test_one_note_a_bar_is_enough() -> None:
    """A line with fewer notes than the rudiment has gets its first strokes."""
    page = made("1 (2) (3) (4)", Setting(rudiment="seventeen-stroke-roll"))
    assert hands_of(rows_of(page)["on the line"]) == "R"
    assert hands_of(rows_of(page)["the rudiment"]).startswith("RRLLRRLLRRLLRRLLR" + "LLRRLLRRLLRRLLRRL")


def test_a_long_line_is_cut_to_a_page() -> None:
    """A hundred bars make a page under a hundred bars, and the page says so."""
    page = made(parse("1 & 2 & 3 & 4 &") * 100, Setting(under="samba"))
    assert sum(len(pattern.meters.bars) for _, pattern in page.rows) <= 100
    assert any(note.startswith("the first 40 of the line's 100 bars") for note in page.notes)


def test_bars_of_rest_before_the_line() -> None:
    """A part that rests for longer than a page has nothing to lay a rudiment on; the refusal says how to get there."""
    rests = Line((), Meters.of(Meter(4, 4), 40))
    with pytest.raises(
        RefusedError, match="first 40 bars of this line, and they are rest; choose others with --measures"
    ):
        made(rests + parse("1 2 3 4"), Setting())


def test_what_sheets_differ_in_is_on_the_page() -> None:
    """Where the table has a doubt the page has it too; where it has none, neither has the page."""
    for name, item in RUDIMENTS.items():
        said = [note for note in made("1 2 3 4", Setting(rudiment=name)).notes if "sheets" in note]
        assert said == ([f"sheets of the rudiments differ here: {item.doubt}"] if item.doubt else [])


def test_a_fast_page_writes_the_rudiment_slower() -> None:
    """Up to tempo the rudiment by itself has values twice as long, so that the page can be played."""
    recipe = ApplyRecipe(line="1 2 3 4", as_="rudiment", rudiment="five-stroke-roll", tempo="140")
    fast = page_of(recipe, parse("1 2 3 4"))
    slow = page_of(replace(recipe, tempo="60"), parse("1 2 3 4"))
    assert any("times as slow as usual" in note for note in fast.notes)
    assert not any("times as slow as usual" in note for note in slow.notes)
    assert fast.rows[1].pattern == slow.rows[1].pattern
    onsets = [row.pattern.onsets[1] for row in (slow.rows[0], fast.rows[0])]
    assert onsets == [F(1, 8), F(1, 4)]


@pytest.mark.parametrize("name", RUDIMENTS)
@pytest.mark.parametrize("meter", ["4/4", "3/4", "6/8", "7/8", "5/4", "2/2"])
def test_a_school_player_gets_a_page_of_each(name: str, meter: str) -> None:
    """Each rudiment can be put on a plain line in any usual meter and played at some tempo by the school player."""
    line = Line.of_onsets(
        [beat.start for beat in Meters.of(Meter.parse(meter), 2).beats], Meters.of(Meter.parse(meter), 2)
    )
    page = page_of(ApplyRecipe(line=str(line), meter=meter, as_="rudiment", rudiment=name), line)
    assert page.tempo.goal >= 40
    assert page_text(page)


def test_listed_with_numbers_and_doubts() -> None:
    """``kitgen list rudiments`` has forty lines, a name that ``--rudiment`` takes first, then number and sticking."""
    lines = run("list", "rudiments").out.splitlines()
    assert [line.split()[0] for line in lines] == list(RUDIMENTS)
    assert [int(line.split()[1]) for line in lines] == list(range(1, 41))
    for line, item in zip(lines, RUDIMENTS.values(), strict=True):
        assert item.sticking in line
        assert f", {item.family}" in line
        assert ("(? " in line) == bool(item.doubt)
