"""Which limbs share a voice, which way its stems go, and rests that voices share."""

from fractions import Fraction

import pytest

from kitgen.errors import UnknownNameError
from kitgen.kit import Limb
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import parse_rows
from kitgen.spell import Choices, Event, Voice, Written, spell, spell_page
from kitgen.spell.rests import shown_once
from tests.spell.reading import of_section

GROOVE = "RH closed-hat xx xx xx xx; LH snare .. x. .. x.; RF bass x. .. .x .."
LINEAR = "RH closed-hat x..x ..x.; LH snare .x.. x..x; RF bass ..x. .x.."


def test_hands_up_and_feet_down() -> None:
    """Two voices, stems written."""
    (measure,) = spell(parse_rows(GROOVE)).measures
    assert [(v.number, v.stem) for v in measure.voices] == [(1, "up"), (2, "down")]
    limbs = [{s.limb for e in v.events for s in e.strokes} for v in measure.voices]
    assert limbs == [{Limb.RH, Limb.LH}, {Limb.RF}]
    assert of_section(spell(parse_rows(GROOVE))) == [["[8 8 8 8] [8 8 8 8]", "2 8r 8 4r"]]


def test_a_linear_row_is_one_voice() -> None:
    """Passed between hands and feet, no two limbs together: stems up, no rests between."""
    (measure,) = spell(parse_rows(LINEAR, "2/4")).measures
    assert [(v.number, v.stem) for v in measure.voices] == [(1, "up")]
    assert of_section(spell(parse_rows(LINEAR, "2/4"))) == [["[16 16 16 16] [16 16 16 16]"]]


def test_hands_alone_are_not_called_linear() -> None:
    """Without a foot there is nothing to choose: stems up; feet alone keep their stems down."""
    assert spell(parse_rows("RH snare x. x.; LH snare .x .x", "2/4")).measures[0].voices[0].stem == "up"
    assert spell(parse_rows("RF bass x. x.; LF hat-foot .x .x", "2/4")).measures[0].voices[0].stem == "down"


def test_a_page_has_one_layout() -> None:
    """A row that happens to be linear is laid out as the others of its page are."""
    rows = (Row("groove", parse_rows(GROOVE)), Row("linear", parse_rows(LINEAR, "2/4")))
    page = Page("Two", "Play.", rows, Tempo.at(60, Fraction(1)))
    assert [len(m.voices) for m in spell_page(page).measures] == [2, 2]
    assert [len(m.voices) for m in spell_page(page, Choices(layout="one")).measures] == [1, 1]


TIME = "RH closed-hat x.x. x.x.; LH snare .... x...; RF bass x... ..x."


def test_a_linear_fill_is_one_voice_for_its_bar() -> None:
    """Two voices before it and after it."""
    time = parse_rows(TIME, "2/4")
    fill = parse_rows("RH floor-tom x... .x..; LH snare .x.. x...; RF bass ..xx ..xx", "2/4")
    assert [len(measure.voices) for measure in spell(time + fill + time).measures] == [2, 1, 2]
    by_choice = spell(time + fill, Choices(layout="hands-feet"))
    assert [len(measure.voices) for measure in by_choice.measures] == [2, 2]


@pytest.mark.parametrize(
    ("rows", "why"),
    [
        ("LH snare .x.. .x..; RF bass x... ..x.", "the foot goes on as it did"),
        ("RH closed-hat x.x. x.x.; RF bass .x.. .x.x", "the hand on the hat goes on as it did"),
        ("RH floor-tom x... x...; RF bass x.x. ....", "two limbs meet"),
        ("RH floor-tom xxxx xxxx", "no foot plays"),
    ],
)
def test_what_is_no_linear_fill(rows: str, why: str) -> None:
    """Keeps hands and feet apart, as the bars around it do."""
    section = spell(parse_rows(TIME, "2/4") + parse_rows(rows, "2/4"))
    assert [voice.number for voice in section.measures[1].voices] == ([1, 2] if "bass" in rows else [1]), why


def test_the_timekeeping_hand_above_the_line_below() -> None:
    """The hand on the ride is by itself, whichever hand that is."""
    rows = "LH ride x. xx x. xx; RH snare .x .. x. ..; RF bass x. .. .. x."
    (measure,) = spell(parse_rows(rows), Choices(layout="time-line")).measures
    assert [{s.limb for e in v.events for s in e.strokes} for v in measure.voices] == [{Limb.LH}, {Limb.RH, Limb.RF}]


def test_without_timekeeping_hands_and_feet() -> None:
    """A page with no cymbal under a hand has no time to set apart."""
    (measure,) = spell(parse_rows("LH snare x. x.; RF bass x. x.", "2/4"), Choices(layout="time-line")).measures
    assert [{s.limb for e in v.events for s in e.strokes} for v in measure.voices] == [{Limb.LH}, {Limb.RF}]


def test_an_empty_foot_voice_prints_nothing() -> None:
    """And comes back in the bar where the feet do."""
    section = spell(parse_rows("LH snare x x x x | x x x x; RF bass . . . . | x . . ."))
    assert [len(measure.voices) for measure in section.measures] == [1, 2]


def test_a_silent_bar_has_one_rest() -> None:
    """Whatever the meter."""
    section = spell(parse_rows("LH snare x.. x.. | ... ...; RF bass x.. x.. | ... ...", "6/8"))
    assert of_section(section)[1] == ["1r"]
    (voice,) = section.measures[1].voices
    assert voice.events[0].written.whole_bar
    assert voice.events[0].written.length == 3


def test_a_rest_both_voices_have_is_shown_once() -> None:
    """The second voice keeps room for it unseen."""
    section = spell(parse_rows("LH snare x. .. .. x.; RF bass x. .. .. .x"))
    assert of_section(section) == [["2 4r 4", "2 %4r 8r 8"]]


def test_a_rest_that_two_rests_above_fill_is_not_shown_either() -> None:
    """Two eighth rests above are the quarter rest below; a longer one is shown."""
    eighth, quarter, half = (Fraction(n, 2) for n in (1, 2, 4))
    above = [Event(Written(eighth * k, eighth, "eighth", is_rest=True)) for k in range(2)]
    below = [Event(Written(Fraction(0), quarter, "quarter", is_rest=True))]
    longer = [Event(Written(Fraction(0), half, "half", is_rest=True))]
    voices = [Voice(n, "up", tuple(events)) for n, events in enumerate((above, below, longer), start=1)]
    assert [[event.shown for event in voice.events] for voice in shown_once(voices)] == [[True, True], [False], [True]]


def test_unknown_layouts_are_refused() -> None:
    """With the nearest name."""
    with pytest.raises(UnknownNameError, match="did you mean hands-feet"):
        Choices(layout="hand-feet")
    with pytest.raises(UnknownNameError, match="no way to write swing is called 'tripelts'; did you mean triplets"):
        Choices(swing="tripelts")


def test_a_bar_of_rest_of_the_hands_is_written_while_the_feet_go_on() -> None:
    """Where the hands play elsewhere in the row it has to be counted; a row of feet alone and empty feet have none."""
    bar = "LH snare x. x. x. x. | .. .. .. .. | x. .. .. ..; RF bass x. x. x. x. | x. x. x. x. | .. .. .. .."
    first, second, third = spell(parse_rows(bar)).measures
    assert [voice.number for voice in first.voices] == [1, 2]
    above, below = second.voices
    assert [(e.written.whole_bar, e.shown) for e in above.events] == [(True, True)]
    assert not any(e.written.is_rest for e in below.events)
    assert [voice.number for voice in third.voices] == [1]
    feet = spell(parse_rows("RF bass x. x. x. x. | x. x. x. x.")).measures
    assert all([voice.number for voice in measure.voices] == [2] for measure in feet)
