"""Charts played out: set-ups, kicks, catches, fills, stops and rests."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitgen.errors import LineError, OptionError, PatternError, UnknownNameError
from kitgen.kit import Limb
from kitgen.line import Line
from kitgen.pattern import Level, mirror
from kitgen.pattern.quality import faults
from kitgen.styles.chart import Chart, Figure
from kitgen.styles.chart_performance import performance, written_fills
from kitgen.styles.chart_play import Play
from kitgen.styles.chart_words import decisions
from tests.styles.charting import chart, section

F = Fraction


def heard(play: Play, at: Fraction) -> set[str]:
    """What is struck at an instant, feathered strokes left out."""
    return {f"{hit.limb.name} {hit.surface}" for hit in play.hits if hit.onset == at and hit.level > Level.FEATHER}


# Common practice (school jazz-band drumming): an off-beat figure is set up on the beat before it, one on the beat on
# the "&" before; short notes are snare or bass alone, sustained ones a cymbal with the bass.


def test_an_offbeat_figure_is_set_up_on_the_beat_before() -> None:
    """A lone long "& of 2" has the snare on 2, then crash and bass."""
    play = Play(chart(section("A", 4), figures=((2, "full", ".. .x -- .."),)))
    assert {at: one.drum for at, one in play.led.items()} == {F(5): "snare"}
    assert "LH snare" in heard(play, F(5))
    assert heard(play, F(11, 2)) >= {"RH crash", "RF bass"}


def test_a_figure_on_the_beat_is_set_up_on_the_and_before() -> None:
    """A short 1 has the high tom on "& of 4" and, with room, on 4; and the snare itself."""
    play = Play(chart(section("A", 4), figures=((3, "full", "x. .. .. .."),)))
    assert {at: one.drum for at, one in play.led.items()} == {F(7): "high-tom", F(15, 2): "high-tom"}
    assert "LH snare" in heard(play, F(8))


def test_no_set_up_inside_a_running_line() -> None:
    """Notes that follow each other closely have one set-up, before the first."""
    play = Play(chart(section("A", 4), figures=((2, "full", ".. .x xx xx | x. .. .. .."),)))
    assert set(play.led) == {F(5)}


def test_the_first_note_of_all_has_nothing_before_it() -> None:
    """A figure on the first beat is not set up at the end of the piece."""
    play = Play(chart(section("A", 4), figures=((1, "full", "x. .. .. .."),)))
    assert play.led == {}


def test_one_section_is_caught_lightly_and_time_goes_on() -> None:
    """Brass: no crash, no set-up, soft strokes only; the ride as if nothing were there."""
    plain = Play(chart(section("A", 4)))
    play = Play(chart(section("A", 4), figures=((2, "brass", ".. .x .. x-"),)))
    assert [hit for hit in play.hits if hit.limb is Limb.RH] == [hit for hit in plain.hits if hit.limb is Limb.RH]
    added = set(play.hits) - set(plain.hits)
    assert {(hit.onset, hit.surface, hit.level) for hit in added} == {
        (F(11, 2), "snare", Level.TAP),
        (F(7), "bass", Level.TAP),
    }


def test_only_what_there_is_time_for_is_caught() -> None:
    """Of one section's long notes in a row the foot takes those it has time for; nothing is added elsewhere."""
    line = Line.parse("xx xx xx xx", "4/4")
    of = chart(section("A", 4, bpm=200))
    of = Chart(of.title, of.band, of.form, (Figure(2, line, "brass", "long"),))
    taps = [hit.onset for hit in Play(of).hits if hit.surface == "bass" and hit.level is Level.TAP]
    assert taps == [F(4), F(9, 2), F(11, 2), F(13, 2), F(15, 2)]


def test_saxes_are_heard_and_not_caught() -> None:
    """Under the saxes the time is what it is without them."""
    assert (
        Play(chart(section("A", 4), figures=((2, "saxes", "xx xx xx xx"),))).hits == Play(chart(section("A", 4))).hits
    )


def test_stop_time_leaves_the_figures() -> None:
    """In a stop nothing sounds but the full band's figures; a section's are not caught there."""
    of = chart(
        section("A", 4, stops=(3,)), figures=((3, "full", "x. .. .x .."), (3, "brass", ".. x. .. ..")),
    )  # fmt: skip
    play = Play(of)
    assert {hit.onset for hit in play.hits if 8 <= hit.onset < 12} == {F(8), F(21, 2)}
    assert "brass, from 2: heard, not played; in stop-time only the full band's figures" in " ".join(decisions(play))


def test_rests_are_silent() -> None:
    """Bars of rest hold nothing, whatever the band plays."""
    play = Play(chart(section("A", 4, rests=(1, 2)), figures=((2, "full", "x. .. .. .."),)))
    assert min(hit.onset for hit in play.hits) == 8
    assert "heard, not played; the drums rest" in decisions(play)[0]


def test_a_fill_into_the_next_section() -> None:
    """A fill ends the section, and the next begins with what it lands on; none where the chart says so."""
    play = Play(chart(section("A", 8), section("B", 4)))
    (fill,) = play.fills
    assert fill.begins + fill.pattern.length == 32
    assert written_fills(play) == {8: fill.begins - 28}
    if fill.pattern.lands == "crash":
        assert {"RH crash", "RF bass"} <= heard(play, F(32))
    assert Play(chart(section("A", 8, fill="none"), section("B", 4))).fills == ()


def test_a_figure_stands_in_the_way_of_a_fill() -> None:
    """Where the band leads into the section there is no fill, and the reason is told."""
    play = Play(chart(section("A", 8), section("B", 4), figures=((8, "full", ".. .. .. .x"),)))
    assert play.fills == ()
    assert any("no fill into B, since the band's figure leads into it" in words for words in decisions(play))


def test_no_fill_into_silence() -> None:
    """Before bars of rest, and before a stop without a figure on 1, time just ends."""
    assert Play(chart(section("A", 8), section("B", 4, rests=(1,)))).fills == ()
    assert Play(chart(section("A", 8), section("B", 4, stops=(1,)))).fills == ()
    with_one = chart(section("A", 8), section("B", 4, stops=(1,)), figures=((9, "full", "x. .. .. .."),))
    assert len(Play(with_one).fills) == 1


def test_figures_come_again_with_their_bars() -> None:
    """What stands in a repeat is played each time, what stands in an ending once."""
    of = chart(
        section("A", 6, times=2, endings=(1, 1)), figures=((2, "full", ".x .. .. .."), (6, "full", ".x .. .. .."))
    )
    assert Play(of).full.onsets == (F(9, 2), F(49, 2), F(73, 2))


def test_a_tied_note_goes_over_the_barline() -> None:
    """An anticipation keeps its length into the next bar, and ends where the next figure begins."""
    play = Play(chart(section("A", 4), figures=((1, "full", ".. .. .. .x | -- .. .. .."), (2, "full", ".. x. .. .."))))
    first, second = play.full.notes
    assert (first.onset, first.length) == (F(7, 2), F(3, 2))
    assert second.onset == 5


def test_time_ends_with_the_last_note() -> None:
    """After the band's last note the time does not go on alone."""
    play = Play(chart(section("A", 4), figures=((4, "full", "x- -- .. .."),)))
    assert max(hit.onset for hit in play.hits) == 12


def test_the_snare_relieves_the_foot() -> None:
    """Of long notes too close for one foot some have the snare under the crash; slower, each has the bass."""

    def under(bpm: float) -> list[set[str]]:
        of = chart(section("A", 4, bpm=bpm), figures=((2, "full", "xx xx .. .."),))
        of = Chart(of.title, of.band, of.form, (Figure(2, of.figures[0].line, how="long"),))
        play = Play(of)
        return [heard(play, at) & {"RF bass", "LH snare"} for at in play.full.onsets]

    assert under(100) == [{"RF bass"}] * 4
    assert under(200) == [{"RF bass"}, {"RF bass"}, {"LH snare"}, {"RF bass"}]  # swung: "& of 1" to 2 is the short gap


def test_soft_passages_are_softer() -> None:
    """Under p no stroke is an accent; the next section is as it was."""
    of = chart(
        section("A", 4, dynamics=((1, "p"),)),
        section("B", 4, dynamics=((1, "f"),)),
        figures=((2, "full", "X. .. .. .."),),
    )
    play = Play(of)
    assert all(hit.level < Level.ACCENT for hit in play.hits if hit.onset < 16)
    assert any(hit.level >= Level.NORMAL for hit in play.hits if hit.onset >= 16)


def test_sections_of_different_feel() -> None:
    """Swing beside even eighths is written as it sounds, in triplets; each row is even."""
    made = performance(chart(section("A", 4), section("B", 4, "bossa")))
    assert made.mixed
    swung, even = (row.pattern for row in made.rows)
    assert any((hit.onset % 1) == F(2, 3) for hit in swung.hits)
    assert all((hit.onset * 2).denominator == 1 for hit in even.hits)
    alike = performance(chart(section("A", 4), section("B", 4)))
    assert not alike.mixed
    assert alike.feel.unit == 8


def test_a_new_tempo() -> None:
    """The tempo changes at the played bar where its section begins."""
    made = performance(chart(section("A", 4, times=2), section("B", 4, bpm=96)))
    assert made.tempi == ((9, 96.0),)


def test_left_handed() -> None:
    """The left-handed performance is the mirror of the right-handed."""
    of = chart(section("A", 4), figures=((2, "full", ".. .x -- .."),))
    right, left = (performance(of, hand=hand).rows[0].pattern for hand in ("right", "left"))
    assert mirror(right) == left


_LINES = st.lists(st.sampled_from("x.-"), min_size=8, max_size=8).map(
    lambda boxes: " ".join("".join(boxes[at : at + 2]) for at in range(0, 8, 2)).replace(".-", "..").replace(" -", " .")
)
_FIGURES = st.lists(
    st.tuples(st.integers(1, 16), st.sampled_from(("full", "full", "brass", "saxes")), _LINES), max_size=6
)


@settings(max_examples=25)
@given(_FIGURES, st.sampled_from(("swing", "rock", "bossa", "funk")))
def test_laws(given_figures: list[tuple[int, str, str]], style: str) -> None:
    """Every full figure note sounds, crashes are carried, open hats closed, set-ups keep away from figure notes."""
    figures = tuple(
        {
            (bar, who): (bar, who, line.replace("-", ".", line.find("x")))
            for bar, who, line in given_figures
            if "x" in line
        }.values()
    )
    low = {"swing": 132, "rock": 110, "bossa": 120, "funk": 96}[style]
    try:
        of = chart(section("A", 8, style, low), section("B", 8, style, low, role="bridge"), figures=figures)
    except LineError:
        return
    play = Play(of)
    struck = {hit.onset for hit in play.hits if hit.level > Level.FEATHER}
    assert set(play.full.onsets) <= struck
    for row in performance(of).rows:
        assert not faults(row.pattern, ("crash-carried", "hat-closed"))
    beat = 1
    for at in play.led:
        before = [onset for onset in play.full.onsets if onset <= at]
        assert not before or at - before[-1] >= beat
    assert len(decisions(play)) >= len(play.fills)


def test_a_figure_past_the_end() -> None:
    """What goes past the last bar is named with that bar."""
    with pytest.raises(OptionError, match="lasts to bar 5, and the chart ends with bar 4"):
        chart(section("A", 4), figures=((4, "full", "x. .. .. .. | x. .. .. .."),))


def test_figures_that_overlap() -> None:
    """One party plays one thing at a time; two parties may play at once."""
    with pytest.raises(PatternError, match="two figures of the full band overlap in bar 2"):
        chart(section("A", 4), figures=((2, "full", "x- -- .. .."), (2, "full", ".. x. .. ..")))
    chart(section("A", 4), figures=((2, "full", "x- -- .. .."), (2, "saxes", ".. x. .. ..")))


def test_figures_that_cannot_be() -> None:
    """Another meter than the bars', nothing played, and words there are not."""
    of = chart(section("A", 4))
    waltz = Figure(1, Line.parse("x. x. x.", "3/4"))
    with pytest.raises(PatternError, match="the figure is in 3/4, and bar 1 in 4/4"):
        Chart(of.title, of.band, of.form, (waltz,))
    with pytest.raises(LineError, match="nothing is played"):
        Figure(1, Line.parse(".. .. .. .."))
    with pytest.raises(UnknownNameError, match="trumpets"):
        Figure(1, Line.parse("x. .. .. .."), "trumpet")
    with pytest.raises(UnknownNameError, match="accent"):
        Figure(1, Line.parse("x. .. .. .."), how="acent")


def test_no_fill_over_one_section() -> None:
    """A fill comes after the last note of the brass, or not at all; over the saxes, or where asked for, it does."""
    for line, begins in ((".. .. .. ..", 28), ("x- -- .. ..", 30), (".. .. .. .x", None)):
        who = (8, "brass", line) if "x" in line else (1, "brass", "x. .. .. ..")
        play = Play(chart(section("A", 8), section("B", 8), figures=(who,)))
        assert [fill.begins for fill in play.fills] == ([] if begins is None else [begins])
    assert Play(chart(section("A", 8), section("B", 8), figures=((8, "saxes", ".. .. .. .x"),))).fills
    assert Play(chart(section("A", 8, fill="1-bar"), section("B", 8), figures=((8, "brass", ".. .. .. .x"),))).fills


def test_no_fill_is_printed_before_a_coda_that_comes_later() -> None:
    """A bar that is left for the coda only after the jump has its fill then, and none is written in it."""
    play = Play(
        chart(
            section("A", 8, segno=True, to_coda=4),
            section("B", 8, back="D.S. al coda"),
            section("C", 4, coda=True),
        )
    )
    assert [play.label(fill.passage) for fill in play.fills] == ["A", "B", "A, after the jump"]
    assert set(written_fills(play)) == {8, 16}


def test_words_tell_what_is_struck() -> None:
    """A set-up that gives way to the backbeat is told as the snare's; a rest and the brass are why there is no fill."""
    play = Play(chart(section("A", 4, "shuffle", 120), figures=((2, "full", "... ... x.x x.x"),)))
    (words,) = (one for one in decisions(play) if "full band" in one)
    assert "set up with the snare drum on 2 and high tom on let of 2" in words
    assert {"LH snare", "LH high-tom"} <= heard(play, F(5)) | heard(play, F(17, 3))
    play = Play(chart(section("A", 4, rests=range(1, 5)), section("B", 4)))
    assert any("no fill into B, since the drums rest before it" in one for one in decisions(play))
    play = Play(chart(section("A", 8), section("B", 4), figures=((8, "brass", ".. .. .. .x"),)))
    assert any("no fill into B, since one section of the band plays there" in one for one in decisions(play))


def test_a_set_up_late_in_a_beat_of_cut_time() -> None:
    """Before the last eighth of a half note the middle of that half note sets it up, as the quarter would in 4/4."""
    play = Play(chart(section("A", 4, "samba", 100), figures=((3, "full", "...x ...."),)))
    assert set(play.led) == {F(9)}
    play = Play(chart(section("A", 4, "samba", 100), figures=((3, "full", ".x.. ...."),)))
    assert set(play.led) == {F(8)}


def test_brushes_give_way_to_a_kick() -> None:
    """A sustained note is a cymbal with the bass, also where a brush would tap the snare."""
    play = Play(chart(section("A", 4, "brush-ballad", 66), figures=((2, "full", ".. .. .. x-"),)))
    assert heard(play, F(7)) >= {"RH crash", "RF bass"}


def test_what_hardly_swings_is_even_beside_other_feels() -> None:
    """Beside even eighths swung sixteenths of about 1.2:1 and fast swing are written even, slower swing in triplets."""
    for style, bpm, threes in (("hip-hop", 90, False), ("swing-up", 290, False), ("swing", 132, True)):
        made = performance(chart(section("A", 4, "bossa", 120), section("B", 4, style, bpm)))
        assert made.mixed
        assert any(hit.onset.denominator % 3 == 0 for hit in made.rows[1].pattern.hits) is threes


def test_words_tell_of_catches_only_what_is_not_time() -> None:
    """A bass that is played on every beat anyway catches no trombone; told is what is added."""
    play = Play(chart(section("A", 4, "shuffle", 120), figures=((2, "trombones", "x-- --- --- ---"),)))
    assert play.catches == frozenset()
    (words,) = (one for one in decisions(play) if "trombones" in one)
    assert "heard and not caught, what could catch it being busy with time" in words
    play = Play(chart(section("A", 4), figures=((2, "trombones", "x- -- .. .x"),)))
    assert {(hit.onset, hit.surface) for hit in play.catches} == {(F(4), "bass"), (F(15, 2), "snare")}


def test_a_swell_arrives() -> None:
    """In its second half a swell is played as what it leads to; one that leads nowhere changes nothing."""
    of = chart(section("A", 8, dynamics=((1, "p"), (5, "cresc."))), section("B", 4, dynamics=((1, "f"), (3, "dim."))))
    play = Play(of)
    assert [play.dynamic_at(F(4 * bar)) for bar in range(12)] == ["p"] * 6 + ["f"] * 6
    loudest = [max(hit.level for hit in play.hits if hit.onset // 4 == bar and hit.limb is Limb.RH) for bar in (5, 6)]
    assert loudest[0] < loudest[1]
