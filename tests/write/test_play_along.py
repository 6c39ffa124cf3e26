"""The play-along: count-in, click, repeats, tempo steps, and the grace notes that lead in."""

from fractions import Fraction
from itertools import pairwise

import pytest

from kitgen.errors import OptionError, TimeError, UnknownNameError
from kitgen.kit import Limb
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Feel, Hit, Ornament, Pattern, auto_ratio, parse_rows, silence
from kitgen.time import Meter, Meters
from kitgen.write.along import COUNT_INS, Click
from kitgen.write.midi import PlayAlong, loop, play_along
from tests.write.heard import Heard, end_of, load, notes_in, notes_of, texts_in, timed

F = Fraction


def page_of(pattern: Pattern, *, bpm: float = 90, unit: Fraction | None = None, title: str = "a page") -> Page:
    """A page of one row, its tempo in beats of the meter."""
    unit = pattern.meters.bars[0].meter.tempo_unit if unit is None else unit
    return Page(title, "", (Row("a row", pattern),), Tempo.at(bpm, unit), "kitgen")


def bars_of(meter: str, bars: int = 1) -> Pattern:
    """Silent bars."""
    return silence(Meters.of(Meter.parse(meter), bars))


def played_by(name: str, data: bytes) -> list[Heard]:
    """What the track of that name plays."""
    (track,) = [track for track in load(data).tracks if track.name == name]
    return notes_of(track)


@pytest.mark.parametrize(
    ("meter", "bpm", "places"),
    [
        ("4/4", 90, [0, 1, 2, 3]),
        ("3/4", 90, [0, 1, 2]),
        ("3/4", 300, [0, 1, 2]),
        ("6/8", 80, [0, F(3, 2)]),
        ("7/8", 160, [0, 1, 2]),
        ("5/4", 200, [0, 1, 2, 3, 4]),
        ("2/2", 60, [0, 2, 4, 5, 6, 7]),
        ("4/4", 180, [0, 2, 4, 5, 6, 7]),
        ("4/4", 179, [0, 1, 2, 3]),
        ("2/4", 200, [0, 2, 3]),
        ("3/2", 60, [0, 2, 4, 6, 7, 8, 9, 10, 11]),
    ],
)
def test_the_count_in(meter: str, bpm: int, places: list[Fraction]) -> None:
    """A bar of beats; in cut time and in a fast four a bar of half notes, then a bar of quarters; bar 1 comes next."""
    pattern = bars_of(meter)
    data = play_along(page_of(pattern, bpm=bpm), PlayAlong(1))
    ticks = load(data).ticks_per_beat
    sticks = played_by("count-in", data)
    assert {note.key for note in sticks} == {37}
    assert [note.start for note in sticks] == [place * ticks for place in places]
    assert [note.velocity for note in sticks] == [110] + [96] * (len(places) - 1)
    lead = end_of(load(data).tracks[0]) - pattern.span * ticks
    assert lead == pattern.span * ticks * (2 if len(places) > len(pattern.meters.beats) else 1)
    assert played_by("click", data)[0].start == lead


@pytest.mark.parametrize(("meter", "beats"), [("4/4", 4), ("6/8", 2), ("7/8", 3), ("2/2", 2), ("1+1+1/8", 3)])
def test_the_click_is_on_every_beat(meter: str, beats: int) -> None:
    """Every beat clicks, the first of a bar on a key of its own and louder, in every bar of every time through."""
    pattern = bars_of(meter, 2)
    data = play_along(page_of(pattern, bpm=60), PlayAlong(3))
    clicks = played_by("click", data)
    assert len(clicks) == 3 * 2 * beats
    assert [(note.key, note.velocity) for note in clicks] == ([(76, 100)] + [(77, 80)] * (beats - 1)) * 6
    for first, second in pairwise(clicks):
        assert first.end <= second.start


def test_clicks_of_very_short_beats_are_over_in_time() -> None:
    """Where a beat is shorter than a click usually is, the click is shorter still."""
    data = play_along(page_of(bars_of("1+1+1/64"), bpm=400), PlayAlong(1))
    for name in ("count-in", "click"):
        assert all(note.end <= note.start + 15 for note in played_by(name, data))
        assert all(note.end < end_of(load(data).tracks[0]) for note in played_by(name, data))


@pytest.mark.parametrize("repeats", [1, 2, 5])
def test_the_page_is_repeated(repeats: int) -> None:
    """Every time through is the loop's notes again, a page later."""
    page = page_of(parse_rows("RH ride x.x. xxx x. x; RF bass x . x .; LH snare ..g. .g. X. x"))
    once = notes_in(loop(page))
    data = play_along(page, PlayAlong(repeats))
    span = 4 * load(data).ticks_per_beat
    again = [(n.track, n.start, n.end, n.key, n.velocity) for n in notes_in(data)]
    expected = [
        (n.track, n.start + span * (turn + 1), n.end + span * (turn + 1), n.key, n.velocity)
        for turn in range(repeats)
        for n in once
    ]
    assert sorted(again) == sorted(expected)


def test_a_flam_on_the_first_beat_begins_in_the_count_in() -> None:
    """Its grace note is played before the page begins, and before every time through, but not after the last."""
    page = page_of(Pattern((Hit(F(0), Limb.RH, "snare", ornament=Ornament.FLAM),), Meters.of(Meter(4, 4))))
    graces = [note.start for note in notes_in(play_along(page, PlayAlong(3))) if note.track == "left hand"]
    bar = 4 * 480
    assert [bar * turn - start for turn, start in enumerate(graces, start=1)] == [graces[0] * -1 + bar] * 3
    assert 20 <= bar - graces[0] <= 30  # 35 ms at 90


def test_a_cymbal_does_not_ring_into_the_grace_note_of_the_next_time() -> None:
    """What rings to the end of the page stops where a grace note on its key leads back to the beginning."""
    hits = (Hit(F(0), Limb.RH, "crash", ornament=Ornament.FLAM), Hit(F(3), Limb.LH, "crash"))
    page = page_of(Pattern(hits, Meters.of(Meter(4, 4))))
    for data in (loop(page), play_along(page, PlayAlong(2))):
        left = [note for note in notes_in(data) if note.track == "left hand"]
        for first, second in pairwise(left):
            assert first.end <= second.start


@pytest.mark.parametrize(("bars", "times"), [(1, 4), (8, 4), (9, 3), (16, 2), (17, 1), (36, 1), (400, 1)])
def test_a_long_page_is_played_fewer_times(bars: int, times: int) -> None:
    """Unless told, a page goes round four times, but not so often that it lasts more than 32 bars for that."""
    page = page_of(bars_of("4/4", bars), bpm=120)
    assert PlayAlong().turns(page) == [120] * times
    assert PlayAlong(4).turns(page) == [120] * 4


@pytest.mark.parametrize(("repeats", "bars", "each"), [(None, 1, 4), (None, 3, 2), (None, 4, 1), (3, 1, 3), (1, 8, 1)])
def test_tempo_steps(repeats: int | None, bars: int, each: int) -> None:
    """A ladder plays the page at every tempo in turn, for four bars at least or as often as asked."""
    feet = parse_rows("RF bass x x x x")
    page = Page("a", "", (Row("b", feet * bars),), Tempo(60, 100, 60, 100), "kitgen")
    ladder, page_ticks = (60, 70, 80, 90, 100), bars * 4 * 480
    data = play_along(page, PlayAlong(repeats, ladder))
    conductor = load(data).tracks[0]
    tempi = [(tick, round(60_000_000 / m.tempo)) for tick, m in timed(conductor) if m.type == "set_tempo"]
    starts = [4 * 480 + page_ticks * each * index for index in range(5)]
    assert tempi == list(zip([0, *starts[1:]], ladder, strict=True))
    assert end_of(conductor) == 4 * 480 + page_ticks * each * 5


def test_a_swing_that_follows_the_tempo() -> None:
    """On a ladder the swing may take its ratio from each tempo anew: the faster, the more even."""
    page = Page("a", "", (Row("b", parse_rows("RH ride xx xx xx xx")),), Tempo(110, 290, 110, 290), "kitgen")
    data = play_along(page, PlayAlong(1, (110, 290), Feel(8, None)))
    ticks = load(data).ticks_per_beat
    strokes = [F(note.start, ticks) for note in notes_in(data)]
    for bpm, first, end in ((110, 4, 8), (290, 8, 12)):
        middle = auto_ratio(bpm) / (1 + auto_ratio(bpm))
        late = [at % 1 for at in strokes if first <= at < end and at % 1]
        assert len(late) == 4
        assert all(abs(at - middle) <= F(1, ticks) for at in late)
    assert ticks == 960
    assert any("rounded, worst" in words for _, words in texts_in(data))


def test_a_pickup_is_counted_in_over_its_own_bar() -> None:
    """Where the first bar is a pickup the sticks sound in that bar, which keeps its number."""
    page = page_of(parse_rows("LH snare . . . x | x x x x"))
    data = play_along(page, PlayAlong(1, pickup=True))
    assert [note.start for note in played_by("count-in", data)] == [0, 480, 960, 1440]
    assert end_of(load(data).tracks[0]) == 2 * 4 * 480
    assert notes_in(data)[0].start == 3 * 480


@pytest.mark.parametrize("repeats", [0, -1, 65])
def test_repeats_are_one_to_sixty_four(repeats: int) -> None:
    """A page is played at least once, and not for hours."""
    with pytest.raises(OptionError, match=f"--repeats {repeats}; a page is played through 1 to 64 times"):
        PlayAlong(repeats)
    with pytest.raises(TimeError, match="it is 20 to 400"):
        PlayAlong(1, (10,))


def test_tracks_are_limb_or_one() -> None:
    """There are two ways to part limbs into tracks."""
    page = page_of(parse_rows("RF bass x x x x"))
    with pytest.raises(OptionError, match="--tracks 'two'; it is one of limb, one"):
        loop(page, tracks="two")


def test_two_hands_on_one_drum_in_one_track() -> None:
    """Where all limbs share a track, of two strokes on one key at one tick the louder sounds; a text has the other."""
    page = page_of(parse_rows("RH snare x X; LH snare X x; RF bass x x", "2/4"))
    (track,) = load(loop(page, tracks="one")).tracks[1:]
    notes = [note for note in notes_of(track) if note.key == 38]
    assert [note.start for note in notes] == [0, 480]
    assert all(note.velocity > 101 for note in notes)
    said = [words.split(" under")[0] for _, words in texts_in(loop(page, tracks="one"), track=1) if "under" in words]
    assert said == ["RH 38", "LH 38"]


# ---- what may be asked for -------------------------------------------------------------------------------------------


def clicked(pattern: Pattern, words: str, *, repeats: int = 1, bpm: float = 60) -> list[Fraction]:
    """Quarters from bar 1 at which the click sounds."""
    data = play_along(page_of(pattern, bpm=bpm), PlayAlong(repeats, click=Click.parse(words), count_in="none"))
    return [F(note.start, load(data).ticks_per_beat) for note in played_by("click", data)]


@pytest.mark.parametrize(
    ("words", "meter", "places"),
    [
        ("beats", "4/4", [0, 1, 2, 3]),
        ("2-and-4", "4/4", [1, 3]),
        ("2-and-4", "3/4", [1, 2]),
        ("2-and-4", "2/2", [1, 3]),
        ("2-and-4", "12/8", [F(3, 2), F(9, 2)]),
        ("2-and-4", "5/4", [1, 4]),
        ("bar", "4/4", [0]),
        ("bar", "7/8", [0]),
        ("half-time", "4/4", [0, 2]),
        ("half-time", "3/4", [0]),
        ("half-time", "5/4", [0, 3]),
        ("half-time", "2/2", [0]),
        ("half-time", "12/8", [0, 3]),
    ],
)
def test_kinds_of_click(words: str, meter: str, places: list[Fraction]) -> None:
    """On the backbeat, on 1 only, on the first beat of each group: in every bar of the page (common practice)."""
    pattern = bars_of(meter, 2)
    assert clicked(pattern, words) == [*places, *(place + pattern.span / 2 for place in places)]


def test_a_click_of_so_many_bars_on_and_off() -> None:
    """Bars with and without the click follow each other over the ends of the page, from its bar 1."""
    assert clicked(bars_of("2/4", 3), "2-on-1-off", repeats=2) == [0, 1, 2, 3, 6, 7, 8, 9]
    assert clicked(bars_of("2/4", 3), "1-on-3-off", repeats=2) == [0, 1, 8, 9]


def test_no_click_and_no_count_in() -> None:
    """Where there is none, there is no track for it, and bar 1 is at the beginning."""
    page = page_of(parse_rows("RF bass x x x x"))
    data = play_along(page, PlayAlong(1, click=Click("none"), count_in="none"))
    assert [track.name for track in load(data).tracks] == ["a page", "right foot"]
    assert notes_in(data)[0].start == 0
    assert end_of(load(data).tracks[0]) == 4 * 480


@pytest.mark.parametrize(
    "pattern_page",
    [
        Page("a", "", (Row("b", bars_of("4/4")),), Tempo.at(90, F(1)), "kitgen", clave="3-2"),
        Page("a", "", (Row("b", bars_of("2/2")),), Tempo.at(90, F(2)), "kitgen", count_quarters=True),
    ],
)
def test_latin_is_not_clicked_on_2_and_4(pattern_page: Page) -> None:
    """Where a page has a clave, or is counted in quarters as Latin is, every other click may be had but that."""
    with pytest.raises(OptionError, match=r"--click 2-and-4: 'a' is .*Latin.*; take beats or bar"):
        play_along(pattern_page, PlayAlong(1, click=Click("2-and-4")))
    for words in ("beats", "bar", "half-time", "2-on-2-off", "none"):
        play_along(pattern_page, PlayAlong(1, click=Click.parse(words)))


def test_swing_is_not_clicked_on_1_and_3() -> None:
    """In swung eighths half time is refused where it would be 1 and 3; not in a waltz, nor in swung sixteenths."""
    four, three = (bars_of(meter).with_feel(Feel(8, F(2))) for meter in ("4/4", "3/4"))
    with pytest.raises(OptionError, match="a click for swing is not on 1 and 3; take 2-and-4 or bar"):
        clicked(four, "half-time")
    assert clicked(four, "2-and-4") == [1, 3]
    assert clicked(three, "half-time") == [0]
    assert clicked(bars_of("4/4").with_feel(Feel(16, F(6, 5))), "half-time") == [0, 2]


@pytest.mark.parametrize(
    "words", ["2 and 4", "", "off", "1-on", "-1-on-2-off", "0-on-2-off", "2-on-0-off", "33-on-1-off"]
)
def test_other_clicks_are_refused(words: str) -> None:
    """What is no kind of click is refused by name, with what there is."""
    with pytest.raises(OptionError, match=f"--click {words}"):
        Click.parse(words)
    with pytest.raises(OptionError, match="bars of 1/4 have no second beat"):
        clicked(bars_of("1/4"), "2-and-4")


@pytest.mark.parametrize(
    ("count_in", "meter", "bpm", "pickup", "strokes", "lead"),
    [
        ("usual", "4/4", 200, False, 6, 2),
        ("one-bar", "4/4", 200, False, 4, 1),
        ("two-bars", "4/4", 90, False, 8, 2),
        ("two-bars", "6/8", 60, False, 4, 2),
        ("two-bars", "4/4", 90, True, 8, 1),
        ("one-bar", "4/4", 90, True, 4, 0),
        ("usual", "2/2", 90, True, 2, 0),
        ("none", "4/4", 90, True, 0, 0),
        ("none", "2/2", 90, False, 0, 0),
    ],
)  # fmt: skip
def test_other_count_ins(count_in: str, meter: str, bpm: int, pickup: bool, strokes: int, lead: int) -> None:  # noqa: FBT001  pytest passes it by name
    """One bar or two of beats, or none; a pickup stands in the last of them, and bar 1 keeps its number."""
    pattern = bars_of(meter, 2)
    data = play_along(page_of(pattern, bpm=bpm), PlayAlong(1, pickup=pickup, count_in=count_in))
    sticks = [note for track in load(data).tracks if track.name == "count-in" for note in notes_of(track)]
    assert len(sticks) == strokes
    ticks = load(data).ticks_per_beat
    assert end_of(load(data).tracks[0]) == (pattern.span + lead * pattern.span / 2) * ticks
    assert played_by("click", data)[0].start == lead * pattern.span / 2 * ticks


def test_count_ins_by_name() -> None:
    """There are four."""
    with pytest.raises(OptionError, match=f"--count-in three; it is one of {', '.join(COUNT_INS)}"):
        PlayAlong(count_in="three")


@pytest.mark.parametrize("tracks", ["limb", "one"])
@pytest.mark.parametrize("muted", [(Limb.RH,), (Limb.LH, Limb.RF), (Limb.LF,)])
def test_a_limb_is_left_out(muted: tuple[Limb, ...], tracks: str) -> None:
    """Its track is absent, its grace notes too; every other limb's notes are as they were; the file says so."""
    page = page_of(
        parse_rows("RH ride x x x x; LH snare . x . x; RF bass x . x .")
        + Pattern((Hit(F(0), Limb.RH, "snare", ornament=Ornament.FLAM),), Meters.of(Meter(4, 4)))
    )
    whole, part = (play_along(page, PlayAlong(2, muted=limbs), tracks=tracks) for limbs in ((), muted))
    names = {limb.words for limb in muted}
    assert [words for _, words in texts_in(part) if words.startswith("without")] == [
        f"without {limb.words}" for limb in muted
    ]
    if tracks == "limb":
        assert not names & {track.name for track in load(part).tracks}
        assert notes_in(part) == [note for note in notes_in(whole) if note.track not in names]
    else:
        by_limb = [note for note in notes_in(play_along(page, PlayAlong(2))) if note.track not in names]
        assert sorted((n.start, n.key, n.velocity) for n in notes_in(part)) == sorted(
            (n.start, n.key, n.velocity) for n in by_limb
        )
    for name in ("click", "count-in"):
        assert played_by(name, part) == played_by(name, whole)


def test_what_a_file_without_limbs_is_called() -> None:
    """The limbs left out stand in its name, in their own order; one limb at least is left in."""
    assert PlayAlong().suffix == ""
    assert PlayAlong(muted=(Limb.RF, Limb.RH, Limb.RH)).suffix == "-without-right-hand-and-right-foot"
    with pytest.raises(OptionError, match="--mute RH,LH,RF,LF leaves nobody to play along with; leave one in"):
        PlayAlong(muted=tuple(Limb))


def test_a_play_along_from_a_row_on() -> None:
    """It begins with the row of that number or label, each time through, and bars keep their numbers."""
    rows = (Row("feet", parse_rows("RF bass x x x x") * 4), Row("all", parse_rows("LH snare x x x x"), 6))
    page = Page("a", "", rows, Tempo.at(90, F(1)), "kitgen")
    data = play_along(page, PlayAlong(2, start="2"))
    assert data == play_along(page, PlayAlong(2, start="all"))
    assert {note.track for note in notes_in(data)} == {"left hand"}
    assert len(notes_in(data)) == 2 * 6 * 4
    assert {m.text for _, m in timed(load(data).tracks[0]) if m.type == "marker"} == {"count-in", "all", "bar 9"}
    assert play_along(page, PlayAlong(2, start="1")) == play_along(page, PlayAlong(2))
    with pytest.raises(OptionError, match=r"--from 3: 'a' has rows 1 to 2, or give a row's label"):
        play_along(page, PlayAlong(start="3"))
    with pytest.raises(UnknownNameError, match="no row of 'a' is called 'fete'; did you mean feet"):
        play_along(page, PlayAlong(start="fete"))


# ---- what the first track says ---------------------------------------------------------------------------------------


def said_at(data: bytes) -> dict[int, set[str]]:
    """The texts of the first track by tick."""
    found: dict[int, set[str]] = {}
    for tick, words in texts_in(data):
        found.setdefault(tick, set()).add(words)
    return found


def test_counts_are_said() -> None:
    """Every beat's number, and the syllable of whatever is struck between, where it is played."""
    said = said_at(loop(page_of(parse_rows("LH snare xx .x.x xxx x"))))
    expected = {0: "1", 240: "&", 480: "2", 600: "e", 840: "a", 960: "3", 1120: "trip", 1280: "let", 1440: "4"}
    assert {tick: words for tick, words in said.items() if tick} == {t: {w} for t, w in expected.items() if t}
    assert "1" in said[0]


def test_counts_in_quarters() -> None:
    """On pages counted in quarters the half note's beats are 1 and 3, and the "& of 2" is the fourth eighth."""
    page = Page(
        "a", "", (Row("b", parse_rows("RF bass x.xx .x.x", "2/2")),), Tempo.at(60, F(2)), "kitgen", count_quarters=True
    )
    said = said_at(loop(page))
    assert {tick: words for tick, words in said.items() if tick} == {
        480: {"2"}, 720: {"&"}, 960: {"3"}, 1200: {"&"}, 1680: {"&"},
    }  # fmt: skip


def test_a_cut_beat_is_counted_as_the_beat_it_is_part_of() -> None:
    """In a beat cut short by the end of a short bar, places are said as in the whole beat."""
    pattern = Pattern((Hit(F(1), Limb.RF, "bass"), Hit(F(5, 4), Limb.RF, "bass")), Meters(((Meter(4, 4), F(3, 2)),)))
    assert said_at(loop(page_of(pattern)))[600] == {"e"}


def test_groups_of_a_meter_are_said_where_the_signature_cannot() -> None:
    """2+3/8 is written as 5/8 with a text; a usual grouping needs none."""
    assert "meter 2+3/8" in said_at(loop(page_of(bars_of("2+3/8"), bpm=200)))[0]
    assert not any(words.startswith("meter") for words in said_at(loop(page_of(bars_of("5/8"), bpm=200)))[0])


def test_markers_are_labels_and_bars() -> None:
    """A marker stands at each row, and inside a long row at every fourth bar."""
    page = Page(
        "a", "", (Row("first", bars_of("4/4", 6)), Row("second", bars_of("4/4", 1))), Tempo.at(90, F(1)), "kitgen"
    )
    markers = [(tick, m.text) for tick, m in timed(load(loop(page)).tracks[0]) if m.type == "marker"]
    bar = 4 * 480
    assert markers == [(0, "first"), (4 * bar, "bar 5"), (6 * bar, "second")]


def test_words_midi_has_no_place_for() -> None:
    """Typographic quotes and dashes become plain ones, letters MIDI files cannot hold a question mark."""
    data = loop(page_of(bars_of("4/4"), title="\u201cÇa va\u201d \u2013 it\u2019s 日本"))
    assert load(data).tracks[0].name == '"Ça va" - it\'s ??'


def test_the_recipe_stands_in_the_file() -> None:
    """The recipe is the first text that begins with the program's name."""
    page = Page("a", "", (Row("b", bars_of("4/4")),), Tempo.at(90, F(1)), "kitgen 0.1.0 apply 'x' --as alone")
    assert "kitgen 0.1.0 apply 'x' --as alone" in said_at(loop(page))[0]
