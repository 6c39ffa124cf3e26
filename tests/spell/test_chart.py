"""Charts as written music: slashes, kicks, cues, grooves, repeats of bars, rests and signs."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitgen.line import Mark
from kitgen.read.charts import read_chart
from kitgen.spell import SpellingError
from kitgen.spell.chart import spell_chart
from kitgen.spell.chart_score import ChartBar
from kitgen.spell.chart_voices import ABOVE, BELOW, SLASH, SLASH_PLACE
from tests.styles.charting import FERRY, chart, section

F = Fraction


def look(bar: ChartBar) -> str:
    """A bar's first voice: s a slash of time, k a kick, r a rest, g a stroke of a groove."""
    found = ""
    for event in bar.measure.voices[0].events:
        stroke = event.strokes[0] if event.strokes else None
        found += "r" if stroke is None else "g" if stroke.surface else "s" if stroke.stemless else "k"
    return found


def test_time_is_a_stemless_slash_a_beat() -> None:
    """On the middle line, after the bar that shows the groove and its repeats."""
    bars = spell_chart(chart(section("A", 8))).bars
    assert set(look(bars[0])) == {"g"}
    assert [bar.measure.same_as_before for bar in bars] == [False, True, True, True, *[False] * 4]
    assert [look(bar) for bar in bars[4:]] == ["ssss"] * 4
    stroke = bars[4].measure.voices[0].events[0].strokes[0]
    assert (stroke.place, stroke.head) == (SLASH_PLACE, SLASH)


def test_a_groove_has_no_stickings() -> None:
    """A part shows what is played, not with which hand."""
    bars = spell_chart(chart(section("A", 4, "train", 200), section("B", 4, "bossa", 120))).bars
    strokes = [stroke for bar in bars for voice in bar.measure.voices for one in voice.events for stroke in one.strokes]
    assert strokes
    assert not any(stroke.sticking for stroke in strokes)


@pytest.mark.parametrize(
    ("style", "bpm", "values"),
    [
        ("jazz-waltz", 140, ["quarter"] * 3),
        ("samba", 100, ["quarter"] * 4),
        ("slow-12-8", 60, ["quarter."] * 4),
        ("seven-8", 250, ["quarter", "quarter", "quarter."]),
        ("swing-5-4", 150, ["quarter"] * 5),
    ],
)
def test_slashes_in_other_meters(style: str, bpm: float, values: list[str]) -> None:
    """A slash a beat, dotted where the beat is; in cut time a slash a quarter."""
    bar = spell_chart(chart(section("A", 8, style, bpm), section("B", 4, style, bpm))).bars[-1]
    written = [event.written for event in bar.measure.voices[0].events]
    assert [one.type + "." * one.dots for one in written] == values
    assert sum(one.length for one in written) == bar.measure.length


def test_kicks_stand_among_slashes() -> None:
    """Whole beats without a figure stay slashes; inside a beat there are rests."""
    of = chart(section("A", 4), figures=((2, "full", ".. .x .. .."), (3, "full", "x- -- .. ..")))
    bars = spell_chart(of).bars
    assert look(bars[1]) == "srkss"
    assert look(bars[2]) == "kss"
    assert [said.words for said in bars[1].said] == ["ens."]


def test_rests_in_stop_time() -> None:
    """Where time stops there are no slashes."""
    of = chart(section("A", 4, stops=(2, 3)), figures=((2, "full", "x. .. .. .."),))
    bars = spell_chart(of).bars
    assert set(look(bars[1])) == {"k", "r"}
    assert look(bars[2]) == "r"
    assert [said.words for said in bars[1].said if said.kind == "words"] == ["stop-time"]


def test_time_after_a_stop() -> None:
    """Where time goes on in the section it is said; who plays is not said of stop-time, the full band being meant."""
    of = chart(section("A", 4, stops=(2,)), section("B", 4, stops=(4,)), figures=((2, "full", "x. .. .. .."),))
    said = [[one.words for one in bar.said if one.kind != "style"] for bar in spell_chart(of).bars]
    assert said[1:4] == [["stop-time"], ["time"], []]
    assert said[7] == ["break"]


def test_what_is_left_of_a_beat_is_a_rest() -> None:
    """In cut time a rest of a quarter and a half is a slash and a rest of an eighth, as the beats go on."""
    of = chart(section("A", 4, "samba", 100), figures=((3, "full", "...x ...."), (4, "full", "x... ...x")))
    bars = spell_chart(of).bars
    assert [look(bar) for bar in bars[2:]] == ["srkss", "krssrk"]
    rest = bars[2].measure.voices[0].events[1].written
    assert (rest.start, rest.length, rest.type) == (F(1), F(1, 2), "eighth")
    assert all(sum(event.written.length for event in bar.measure.voices[0].events) == 4 for bar in bars)


def test_rests_of_cues() -> None:
    """In the beat a cue begins in, what comes before it in that beat is shown, also inside a triplet."""
    of = chart(section("A", 4), figures=((2, "brass", ".. .x .. .."), (3, "brass", "... ..x ... ...")))
    bars = spell_chart(of).bars
    for bar in bars[1:3]:
        shown = [bool(event.strokes) for event in bar.measure.voices[1].events if event.shown]
        assert shown == [False, True]


def test_style_and_tempo_where_a_jump_leads() -> None:
    """They are said at the sign and at the coda where what the jump comes from has others, and nowhere twice."""
    of = chart(
        section("A", 4, bpm=132),
        section("B", 4, bpm=132, segno=True),
        section("C", 4, "bossa", 120, to_coda=4),
        section("D", 4, bpm=132, back="D.S. al coda"),
        section("E", 4, bpm=132, coda=True),
    )
    bars = spell_chart(of).bars[::4]
    assert [[one.words for one in bar.said if one.kind == "style"] for bar in bars] == [
        ["Swing"], [], ["Bossa nova, even eighths"], ["Swing"], ["Swing"]
    ]  # fmt: skip
    assert [bar.tempo and bar.tempo[0] for bar in bars] == [132, None, 120, 132, 132]


def test_a_break() -> None:
    """Where the band is silent too it is a break, whoever else plays."""
    bars = spell_chart(chart(section("A", 4, stops=(2, 3)), figures=((3, "saxes", "x. .. .. .."),))).bars
    assert [said.words for said in bars[1].said] == ["break"]


def test_cues_stand_above_and_are_small() -> None:
    """One section above the staff, with its name; a second one below."""
    of = chart(section("A", 4), figures=((2, "brass", ".. .x x. .."), (2, "saxes", "x. .. .. ..")))
    bar = spell_chart(of).bars[1]
    main, first, second = bar.measure.voices
    assert not main.cue
    assert (first.cue, second.cue) == (True, True)
    places = [[stroke.place for event in one.events for stroke in event.strokes] for one in (first, second)]
    assert places == [[ABOVE] * 2, [BELOW]]
    assert [(said.words, said.kind) for said in bar.said] == [("brass", "who"), ("saxes", "below")]
    assert first.events[0].shown is False


def test_three_sections_at_once_are_refused() -> None:
    """There is no room for a third."""
    of = chart(section("A", 4), figures=tuple((1, who, "x. .. .. ..") for who in ("brass", "trumpets", "saxes")))
    with pytest.raises(SpellingError, match="bar 1: brass, trumpets, saxes all have figures"):
        spell_chart(of)


def test_articulations_that_are_said() -> None:
    """Short and long are printed where the chart says so, not where they are only read."""
    bars = spell_chart(read_chart(FERRY).chart).bars
    marks = {
        bar.measure.number: {stroke.mark for event in bar.measure.voices[0].events for stroke in event.strokes}
        for bar in bars
    }
    assert Mark.SHORT in marks[23]
    assert marks[8] == {Mark.NONE}


def test_rests_stand_under_one_number() -> None:
    """Broken at marks, and where a section has a cue."""
    of = chart(
        section("A", 8, rests=range(1, 9)), section("B", 8, rests=range(1, 9)), figures=((12, "brass", "x. .. .. .."),)
    )
    bars = spell_chart(of).bars
    assert [bar.measure.rest_bars for bar in bars if bar.measure.rest_bars] == [8, 3, 4]
    assert bars[11].measure.in_rest is False


def test_the_signs_of_the_form() -> None:
    """Repeats, endings, segno, coda and jumps stand where the form has them."""
    bars = {bar.measure.number: bar for bar in spell_chart(read_chart(FERRY).chart).bars}
    assert [number for number, bar in bars.items() if bar.repeat_starts] == [9, 43]
    assert {number: bar.repeat_ends for number, bar in bars.items() if bar.repeat_ends} == {24: 2, 54: 3}
    assert {number: bar.ending for number, bar in bars.items() if bar.ending} == {23: "1", 24: "1", 25: "2", 26: "2"}
    assert [number for number, bar in bars.items() if bar.segno] == [9]
    assert [number for number, bar in bars.items() if bar.to_coda] == [42]
    assert {number: bar.jump for number, bar in bars.items() if bar.jump} == {88: "D.S. al coda"}
    assert [number for number, bar in bars.items() if bar.coda] == [89]
    assert {number: bar.tempo for number, bar in bars.items() if bar.tempo} == {1: (132.0, F(1)), 89: (112.0, F(1))}
    assert {number: bar.measure.mark for number, bar in bars.items() if bar.measure.mark} == {
        1: "Intro", 9: "A", 27: "B", 35: "C", 43: "D", 55: "E", 67: "F", 83: "G", 89: "Coda",
    }  # fmt: skip


@settings(max_examples=30)
@given(
    st.lists(st.tuples(st.integers(1, 11), st.sets(st.integers(1, 11))), min_size=1, max_size=4),
    st.sampled_from(("swing", "bossa", "jazz-waltz")),
)
def test_systems(shapes: list[tuple[int, set[int]]], style: str) -> None:
    """At most four bars and their rests a system, a section starts one, no repeat sign at its start or a mark."""
    bpm = {"swing": 132, "bossa": 120, "jazz-waltz": 140}[style]
    sections = [
        section(f"S{n}", bars, style, bpm, rests=[rest for rest in rests if rest <= bars])
        for n, (bars, rests) in enumerate(shapes)
    ]
    score = spell_chart(chart(*sections))
    assert [bar.measure.number for bar in score.bars] == list(range(1, 1 + sum(bars for bars, _ in shapes)))
    marks = [system[0].measure.mark for system in score.systems if system[0].measure.mark]
    assert marks == [one.mark for one in sections]
    for system in score.systems:
        assert sum(not bar.measure.in_rest for bar in system) <= 4
        assert system[0].measure.new_system
        assert not system[0].measure.same_as_before
        assert not any(bar.measure.mark for bar in system[1:])
    for before, bar in zip(score.bars, score.bars[1:], strict=False):
        if bar.measure.same_as_before:
            assert bar.measure.voices == before.measure.voices
            assert not bar.measure.mark


_RHYTHM = st.lists(st.sampled_from("x."), min_size=8, max_size=8).filter(lambda boxes: "x" in boxes)


@settings(max_examples=20)
@given(
    st.dictionaries(st.tuples(st.integers(1, 16), st.sampled_from(("full", "brass", "saxes"))), _RHYTHM, max_size=8),
    st.sets(st.integers(1, 8)),
    st.sampled_from(((), (1, 2))),
)
def test_what_the_band_plays_is_what_is_written(
    rhythms: dict[tuple[int, str], list[str]], stops: set[int], rests: tuple[int, ...]
) -> None:
    """Every figure note stands in its bar, the full band's as a kick, or as a cue where the drums rest."""
    figures = tuple(
        (bar, who, " ".join("".join(boxes[at : at + 2]) for at in range(0, 8, 2)))
        for (bar, who), boxes in rhythms.items()
    )
    of = chart(section("A", 8, stops=stops - {1, 2}, rests=rests), section("B", 8), figures=figures)
    kicks, cues = list[F](), list[F]()
    for bar in spell_chart(of).bars:
        voices = () if bar.measure.same_as_before else bar.measure.voices
        for voice in voices:
            for event in voice.events:
                at = bar.measure.start + event.written.start
                for stroke in event.strokes:
                    if not stroke.stemless and not stroke.surface and stroke.tie not in ("stop", "both"):
                        (cues if voice.cue else kicks).append(at)
            assert sum(event.written.length for event in voice.events) == bar.measure.length
    resting = 8 if rests else 0
    full = list(of.lines["full"].onsets) if "full" in of.lines else []
    others = [at for who, line in of.lines.items() if who != "full" for at in line.onsets]
    assert kicks == [at for at in full if at >= resting]
    assert sorted(cues) == sorted([*others, *(at for at in full if at < resting)])
