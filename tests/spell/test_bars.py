"""Bars in a row: meters, systems, repeats, and rests of several bars."""

from fractions import Fraction

from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Pattern, parse_rows
from kitgen.spell import Choices, Measure, spell, spell_page
from kitgen.time import Meter, Meters

COUNTED = Choices(rests="counted")
BAR = parse_rows("LH snare x. xx x. xx; RF bass x. .. x. ..")


def rest(bars: int, meter: str = "4/4") -> Pattern:
    """So many bars of rest."""
    return Pattern((), Meters.of(Meter.parse(meter), bars))


def flags(measures: tuple[Measure, ...]) -> str:
    """A letter a bar: S where a system starts, % where a repeat sign may stand, R in a counted rest."""
    words = []
    for measure in measures:
        word = ("S" if measure.new_system else "") + ("%" if measure.same_as_before else "")
        words.append(word + (str(measure.rest_bars) if measure.rest_bars else "R" if measure.in_rest else "") or ".")
    return " ".join(words)


def test_four_bars_a_system_and_no_repeat_sign_across_it() -> None:
    """The first bar of each system is written out."""
    assert flags(spell(BAR * 10).measures) == "S % % % S % % % S %"


def test_marks_at_eights() -> None:
    """The row's label, then the number of every eighth bar after it."""
    section = spell(BAR * 18, label="time", first_bar=5)
    assert {m.number: m.mark for m in section.measures if m.mark} == {5: "time", 13: "13", 21: "21"}


def test_another_bar_is_no_repeat() -> None:
    """Another level is another bar."""
    loud = parse_rows("LH snare X. xx x. xx; RF bass x. .. x. ..")
    assert flags(spell(BAR + BAR + loud + BAR).measures) == "S % . ."


def test_rests_are_not_repeated() -> None:
    """A bar of rest is a rest."""
    assert flags(spell(BAR + rest(3)).measures) == "S . . ."


def test_a_bar_that_starts_with_a_tie_is_no_repeat() -> None:
    """What is held over the barline was struck before it."""
    held = parse_rows("LH snare x--- ---- ---- ---- | ---- ---- ---- ---- | ---- ---- ---- ---- | x... .... .... ....")
    assert flags(spell(held).measures) == "S . . ."


def test_each_row_starts_a_system_with_its_label() -> None:
    """Phrases start at the margin; the first bar of a row repeats nothing."""
    rows = (Row("time", BAR * 2), Row("again", BAR * 2, times=4))
    score = spell_page(Page("Time", "Play.", rows, Tempo.at(60, Fraction(1))))
    assert [(section.label, section.times, flags(section.measures)) for section in score.sections] == [
        ("time", 1, "S %"),
        ("again", 4, "S %"),
    ]
    assert [measure.number for measure in score.measures] == [1, 2, 3, 4]


def test_rests_stand_under_one_number() -> None:
    """Six bars of rest are one bar on the system, and the bars after them number on."""
    section = spell(BAR + rest(4) + BAR * 6, COUNTED)
    assert flags(section.measures) == "S 4 R R R . % S S % %"
    assert [measure.number for measure in section.measures][-4:] == [8, 9, 10, 11]


def test_rests_written_out_are_counted_by_the_student() -> None:
    """Each has its own bar."""
    assert flags(spell(BAR + rest(3) + BAR).measures) == "S . . . S"


def test_one_bar_of_rest_has_no_number() -> None:
    """It is a bar of rest."""
    assert flags(spell(BAR + rest(1) + BAR, COUNTED).measures) == "S . ."


def test_rests_are_parted_by_a_meter_and_by_a_row() -> None:
    """A number counts bars of one meter, and stops at a mark."""
    assert flags(spell(rest(12), COUNTED).measures) == "S8 R R R R R R R S4 R R R"
    assert flags(spell(rest(2) + rest(3, "3/4"), COUNTED).measures) == "S2 R 3 R R"
    rows = (Row("a", rest(4)), Row("b", rest(4)))
    score = spell_page(Page("Rests", "Count.", rows, Tempo.at(60, Fraction(1))), COUNTED)
    assert flags(score.measures) == "S4 R R R S4 R R R"


def test_a_foot_that_keeps_time_is_no_rest() -> None:
    """Long rests over a pulse are bars with notes."""
    pulse = parse_rows("LF hat-foot . x . x")
    assert flags(spell(pulse * 3, COUNTED).measures) == "S % %"


def test_the_meter_is_shown_where_it_changes() -> None:
    """Also from one row to the next, and not again if it stays."""
    section = spell(BAR + rest(2, "3/4") + BAR)
    assert [measure.shows_meter for measure in section.measures] == [True, True, False, True]
    rows = (Row("a", BAR), Row("b", BAR), Row("c", rest(1, "6/8")))
    score = spell_page(Page("Meters", "Count.", rows, Tempo.at(60, Fraction(1))))
    assert [measure.shows_meter for measure in score.measures] == [True, False, True]


def test_a_grouping_of_ones_own_is_another_meter() -> None:
    """Seven as three, two and two after seven as usual shows its meter."""
    assert [m.shows_meter for m in spell(rest(1, "7/8") + rest(1, "3+2+2/8")).measures] == [True, True]


def test_a_short_bar_is_as_long_as_it_is() -> None:
    """Three beats of four, and half a beat more."""
    short = Pattern(parse_rows("LH snare x x x x").hits, Meters(((Meter(4, 4), Fraction(7, 2)),)))
    (measure,) = spell(short).measures
    assert measure.length == Fraction(7, 2)
    assert [event.written.type for event in measure.voices[0].events] == ["quarter"] * 3 + ["eighth"]


def test_kernels_are_spelled_apart() -> None:
    """They are no sections of the page."""
    page = Page("Time", "Play.", (Row("time", BAR),), Tempo.at(60, Fraction(1)), kernels=(Row("together", BAR),))
    score = spell_page(page)
    assert [section.label for section in score.sections] == ["time"]
    assert [section.label for section in score.kernels] == ["together"]


def test_a_row_of_four_hundred_bars() -> None:
    """Is spelled, and read back bar for bar."""
    section = spell(BAR * 400)
    assert len(section.measures) == 400
    assert sum(measure.new_system for measure in section.measures) == 100


def test_an_empty_row_is_a_rest() -> None:
    """Nothing played is still a bar to count."""
    (measure,) = spell(rest(1)).measures
    assert measure.is_silent
