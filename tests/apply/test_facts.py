"""Musical facts a percussion teacher takes for granted; common practice where no source is named."""

from fractions import Fraction

import pytest

from kitgen.apply import APPLICATIONS, Setting, apply, pass_linear
from kitgen.apply.hands import natural_sticking
from kitgen.kit import Limb, kit
from kitgen.line import Line, Mark, Note, parse
from kitgen.pattern import Level, Ornament, Pattern, parse_rows, project
from kitgen.time import Meter, Meters, backbeats

F = Fraction


def whole(line: Line | str, application: str, setting: Setting | None = None, *, meter: str = "4/4") -> Pattern:
    """The row that holds the line, of an application."""
    line = parse(line, meter) if isinstance(line, str) else line
    return apply(line, application, setting).rows[-1][1]


def rows(text: str, meter: str = "4/4") -> Pattern:
    """Box rows as a pattern."""
    return parse_rows(text, meter)


# ---- natural sticking ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "meter", "sticking"),
    [
        ("1 & 2 & 3 & 4 &", "4/4", "RLRLRLRL"),  # eighths: right on the numbers, left on "&"
        ("(1) & 2 (3) & (4) &", "4/4", "LRLL"),
        ("1 2 3 4", "4/4", "RRRR"),
        ("1 e & a 2 e & a 3 e & a 4 e & a", "4/4", "RLRL" * 4),  # right on the numbers and "&", left on e and a
        ("1 a 2 & (3) e & 4 e a", "4/4", "RLRRLRRLL"),
        ("1 & 2 e & a 3 4 &", "4/4", "RRRLRLRRR"),  # eighths among sixteenths sit on the right hand
        ("1 trip let 2 trip let 3 trip let 4 trip let", "4/4", "RLRLRLRLRLRL"),  # triplets alternate on
        ("1 let 2 let 3 (trip) let 4", "4/4", "RRLLRRL"),
        ("1 la li 2 la li", "6/8", "RLRLRL"),
        ("1 li 2 li", "6/8", "RRLL"),
    ],
)
def test_natural_sticking(line: str, meter: str, sticking: str) -> None:
    """The hand that plays is the one whose turn it is in the stream of the line's own subdivision."""
    assert "".join(natural_sticking(parse(line, meter))) == sticking


def test_other_stickings() -> None:
    """Alternating, doubles and the paradiddle go by strokes; together is both hands."""
    eighths = "1 & 2 & 3 & 4 &"
    expected = {"alternating": "RLRLRLRL", "doubles": "RRLLRRLL", "paradiddle": "RLRRLRLL"}
    for sticking, hands in expected.items():
        pattern = whole(eighths, "hands", Setting(sticking=sticking))
        assert "".join(hit.limb.name[0] for hit in pattern.hits) == hands
    both = whole(eighths, "hands", Setting(sticking="together"))
    assert [hit.limb for hit in both.hits] == [Limb.RH, Limb.LH] * 8


def test_grace_notes_are_flams_and_drags() -> None:
    """One grace note is a flam, two or three a drag, of the hand that plays the note."""
    line = Line(tuple(Note(F(n), F(1), graces=n) for n in range(4)), Meters.of(Meter(4, 4)))
    ornaments = [hit.ornament for hit in whole(line, "hands").hits]
    assert ornaments == [None, Ornament.FLAM, Ornament.DRAG, Ornament.DRAG]


# ---- long and short --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "meter", "long"),
    [
        ("4 8 8 4 8 8", "4/4", "L..L.."),  # in eighths a quarter is long
        ("4. 8 4. 8", "4/4", "L.L."),  # so is a dotted one
        ("8 [8 8] 8 8 8r 4", "4/4", ".L..L"),  # and a tied one
        ("2 4 8 [8 | 4] 4 8 8 4", "4/4", "LL.LL..L"),  # also over the barline
        ("8 8r 8 8r 8 8r 8 8r", "4/4", "...."),  # one unit followed by rests is short
        ("8 16 16 8 16 16 8 16 16 8 8", "4/4", "L..L..L..LL"),  # in sixteenths an eighth is long
        ("6 12 6 12 6 12 6 12", "4/4", "L.L.L.L."),  # in triplets the note of two partials
        ("12 12 12 6 12 12 12r 12 4", "4/4", "...L...L"),
        ("4 4 4 4", "4/4", "LLLL"),  # a quarter is never short by its length alone
        ("4 8 4 8", "6/8", "L.L."),
    ],
)
def test_long_is_two_units_or_more_as_written(line: str, meter: str, long: str) -> None:
    """Long and short are read from the written length against the line's own subdivision, ties joined."""
    parsed = parse(line, meter, notation="values")
    assert "".join("L" if parsed.is_long(note) else "." for note in parsed.notes) == long


def test_a_mark_beats_the_written_length() -> None:
    """A quarter with a dot or a roof is short, an eighth under a tenuto long; an accent alone decides nothing."""
    notes = (
        Note(F(0), F(1), mark=Mark.SHORT),
        Note(F(1), F(1), accent=True),
        Note(F(2), F(1, 2), mark=Mark.LONG),
        Note(F(5, 2), F(1, 2), accent=True),
        Note(F(3), F(1, 2)),
        Note(F(7, 2), F(1, 2)),
    )
    line = Line(notes, Meters.of(Meter(4, 4)))
    assert [line.is_long(note) for note in notes] == [False, True, True, False, False, False]
    assert whole(line, "long-short") == rows("RH crash .. X. x. ..; LH snare x. .. .X xx; RF bass .. X. x. ..")


def test_long_notes_go_to_cymbal_and_bass() -> None:
    """Long notes strike the crash with the bass under it, short ones the snare; a surface can be chosen."""
    assert whole("4 8 8 4 8 8", "long-short") == rows("RH crash x. .. x. ..; LH snare .. xx .. xx; RF bass x. .. x. ..")
    assert whole("4 8 8 4 8 8", "long-short", Setting(surface="floor-tom")) == rows(
        "RH floor-tom x. .. x. ..; LH snare .. xx .. xx; RF bass x. .. x. .."
    )


# ---- groove ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("meter", "normal", "half_time"),
    [
        ("4/4", [1, 3], [2]),
        ("3/4", [1, 2], [2]),
        ("5/4", [1, 4], [3]),
        ("6/4", [3], [3]),
        ("12/8", [F(3, 2), F(9, 2)], [3]),
    ],
)
def test_the_backbeat(meter: str, normal: list[Fraction], half_time: list[Fraction]) -> None:
    """The backbeat falls on 2 and 4, on 3 in half time, and on the second beat of each group elsewhere."""
    meters = Meters.of(Meter.parse(meter))
    assert list(backbeats(meters)) == normal
    assert list(backbeats(meters, half_time=True)) == half_time


def test_a_line_note_on_the_backbeat_is_the_snares() -> None:
    """The bass leaves out what falls on the backbeat, since the snare has said it; the page says how many those are."""
    made = apply(parse("1 & 2 3 & 4"), "groove")
    assert made.rows[0][1] == rows("RH closed-hat xx xx xx xx; LH snare .. X. .. X.; RF bass xx .. xx ..")
    assert made.notes == ("2 notes of the line on the backbeat: the snare plays them",)
    one = apply(parse("1 2 3 &"), "groove")
    assert one.notes == ("1 note of the line on the backbeat: the snare plays it",)


def test_time_in_a_groove() -> None:
    """Time is eighths; the first and last of a triplet; quarters where the half is the beat; every eighth of a 12/8."""
    hat = {
        ("1 e & a 3", "4/4"): "xx xx xx xx",
        ("1 trip let 3", "4/4"): "x.x x.x x.x x.x",
        ("1 trip let 3 &", "4/4"): "x xx xx xx",
        ("1 (2) &", "2/2"): "xx xx",
        ("1 la 3", "12/8"): "xxx xxx xxx xxx",
    }
    for (line, meter), boxes in hat.items():
        pattern = whole(line, "groove", meter=meter)
        assert project(pattern, Limb.RH).onsets == rows(f"RH closed-hat {boxes}", meter).onsets


def test_half_time() -> None:
    """In half time the one backbeat is on 3."""
    pattern = whole("1 2 & 4", "groove", Setting(half_time=True))
    assert project(pattern, Limb.LH) == rows("LH snare .. .. X. ..")
    assert project(pattern, Limb.RF) == rows("RF bass x. xx .. x.")


# ---- linear ----------------------------------------------------------------------------------------------------------


def test_the_order_starts_over_with_the_line() -> None:
    """Five notes over three limbs: the fifth is the second limb's, and the next time round starts with the first."""
    once = pass_linear(parse("1 & 2 3 4"))
    assert once == rows("RH closed-hat x. .. x. ..; LH snare .x .. .. x.; RF bass .. x. .. ..")
    again = whole(parse("1 & 2 3 4"), "linear")
    assert again == once
    carried = whole(parse("1 & 2 3 4"), "linear", Setting(carry=True))
    assert carried.span == 12
    assert [hit.limb for hit in carried.hits] == [Limb.RH, Limb.LH, Limb.RF] * 5


def test_filled_gaps_are_taps_under_the_line() -> None:
    """The next limb fills every empty place of the stream, softer than the line."""
    assert pass_linear(parse("x.xx x.x. X... ...."), order="RH LH RF LF", gaps="filled") == rows(
        "RH ride x... x... X... t...; LH snare .t.. .t.. .t.. .t..; "
        "RF bass ..x. ..x. ..t. ..t.; LF hat-foot ...x ...t ...t ...t"
    )
    threes = pass_linear(parse("1 let 2 & 3 4"), gaps="filled")
    assert [hit.onset for hit in threes.hits][:5] == [F(0), F(1, 3), F(2, 3), F(1), F(3, 2)]
    assert threes.hits[1].level is Level.TAP


def test_the_time_hand_leaves_the_hat_to_the_foot() -> None:
    """Where the hat foot takes part the hand is on the ride; else it is on the closed hat."""
    three = whole("1 2 3 4", "linear", Setting(order=(Limb.RH, Limb.LH, Limb.RF)))
    four = whole("1 2 3 4", "linear", Setting(order=(Limb.RH, Limb.LH, Limb.RF, Limb.LF)))
    assert {hit.surface for hit in project(three, Limb.RH).hits} == {"closed-hat"}
    assert {hit.surface for hit in project(four, Limb.RH).hits} == {"ride"}


# ---- hands and kits --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("hand", "expected"),
    [
        ("right", "RH closed-hat xx xx xx xx; LH snare .. X. .. X.; RF bass xx .. xx .."),
        ("left", "LH closed-hat xx xx xx xx; RH snare .. X. .. X.; LF bass xx .. xx .."),
        ("open", "LH closed-hat xx xx xx xx; RH snare .. X. .. X.; RF bass xx .. xx .."),
    ],
)
def test_hand_settings(hand: str, expected: str) -> None:
    """Right-handed, mirrored, and open: the hat with the uncrossed left hand, the snare with the right."""
    assert whole("1 & 2 3 & 4", "groove", Setting(kit=kit("standard", hand=hand))) == rows(expected)


def test_a_small_kit() -> None:
    """Without a ride the hand goes to the closed hat, where the foot then rests; the page says both."""
    small = kit("small")
    foot = apply(parse("1 & 2 3 4"), "limb", Setting(kit=small, limb=Limb.RF))
    assert foot.rows[-1][1] == rows("RH closed-hat xx xx xx xx; RF bass xx x. x. x.")
    assert any("the small kit has no ride: the closed hat stands in" in note for note in foot.notes)
    passed = apply(parse("1 2 3 4"), "linear", Setting(kit=small, order=(Limb.RH, Limb.LH, Limb.RF, Limb.LF)))
    assert any("the small kit has no ride" in note for note in passed.notes)


@pytest.mark.parametrize("limb", list(Limb))
def test_the_moving_limb_is_the_one_asked_for(limb: Limb) -> None:
    """Each limb can be the moving one, the right hand too; left unsaid it is the hand that does not ride."""
    pattern = whole("1 & 2 3 4", "limb", Setting(limb=limb, under="none"))
    assert pattern.limbs == (limb,)
    assert whole("1 & 2 3 4", "limb", Setting(under="none")).limbs == (Limb.LH,)


def test_the_ostinato_stands_alone_first() -> None:
    """The ostinato is printed once, alone, on top, for as many bars as the line, four at most."""
    made = apply(parse("1 & 2 3 4 | 1 2 & 3 4"), "limb", Setting(under="samba"))
    (first, ostinato), (second, line) = made.rows
    assert (first, second) == ("ostinato alone", "line in LH")
    assert ostinato == rows("RF bass x..x X..x x..x X..x; LF hat-foot ..x. ..x. ..x. ..x.") * 2
    assert project(line, Limb.RF, Limb.LF) == ostinato


def test_latin_feet_are_counted_in_quarters() -> None:
    """Over Latin feet a page says that quarters are counted; over plain feet it does not."""
    assert apply(parse("1 & 2", "2/2"), "limb", Setting(under="samba")).count_quarters
    assert not apply(parse("1 & 2 3 4"), "limb", Setting(under="quarters")).count_quarters


def test_the_line_alone() -> None:
    """The line is clapped over the pulse in the foot; in 6/8 the pulse is the dotted quarter."""
    assert whole("1 & 2 3 4", "alone") == rows("RH clap xx x. x. x.; RF floor x. x. x. x.")
    assert whole("1 la 2", "alone", meter="6/8") == rows("RH clap xx. x..; RF floor x.. x..", "6/8")
    assert whole("x x", "alone", Setting(surface="snare"), meter="2/4") == rows("RH snare x x; RF bass x x", "2/4")


def test_files_are_called_like_their_applications() -> None:
    """What the registry finds under a name is the application of that name; no other name is in it."""
    assert [APPLICATIONS[name].name for name in APPLICATIONS] == list(APPLICATIONS)
    assert len(APPLICATIONS) >= 25
    assert "layers" not in APPLICATIONS
