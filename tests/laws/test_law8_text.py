"""Law 8, for text: box rows give the pattern back, and each notation of a line gives the line back."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import LineError, PatternError
from kitgen.kit import Limb
from kitgen.line import NOTATIONS, Line, Note, notation_of, parse, render
from kitgen.pattern import Feel, Hit, Pattern, parse_rows, performed, render_rows, silence, stretch
from kitgen.time import Meter, Meters
from tests.strategies import (
    any_meters,
    factors,
    feels,
    fewer,
    lines,
    maps,
    patterns,
    said_lines,
    swinging_patterns,
    usual_meters,
    whole_maps,
)

F = Fraction


# ---- box rows --------------------------------------------------------------------------------------------------------


WIDTHS = st.sampled_from((20, 40, 80, 200))


@given(patterns(over=maps(max_runs=3), limbs=(Limb.RH, Limb.RF), feel=feels), WIDTHS, st.booleans(), st.booleans())
def test_rows_give_the_pattern_back(p: Pattern, width: int, counts: bool, count_quarters: bool) -> None:  # noqa: FBT001
    """Law 8: box rows read back equal: any subdivisions, changes of meter, short bars and cut beats, every level."""
    text = render_rows(p, counts=counts, count_quarters=count_quarters, width=width)
    assert parse_rows(text, feel=p.feel) == p


@given(patterns(over=whole_maps(usual_meters, max_bars=1, max_runs=2), parts=(1, 2, 3, 4), lengths=True), WIDTHS)
def test_rows_give_holds_and_ornaments_back(p: Pattern, width: int) -> None:
    """Law 8: box rows read back equal with all limbs, their ornaments, and holds that run over the end."""
    assert parse_rows(render_rows(p, width=width)) == p


@given(patterns(limbs=(Limb.LH,), parts=(1, 2, 3), lengths=True), WIDTHS)
def test_rows_give_holds_over_short_bars_back(p: Pattern, width: int) -> None:
    """Law 8: holds over changes of meter, short bars and cut beats read back equal, or are refused as too fine."""
    assert unless_too_fine(p, width=width) == p


def unless_too_fine(p: Pattern, *, width: int = 80) -> Pattern:
    """What its rows read back as; the pattern itself where a beat would take more boxes than can be read."""
    try:
        return parse_rows(render_rows(p, width=width))
    except PatternError as error:
        if "at most 960" in str(error):
            return p
        raise


@fewer
@given(
    patterns(over=whole_maps(usual_meters, max_bars=6), limbs=(Limb.LH, Limb.RF), parts=(1, 2)), st.integers(10, 120)
)
def test_rows_of_many_bars_give_the_pattern_back(p: Pattern, width: int) -> None:
    """Law 8: rows broken at barlines to any width read back equal, a row left out where it is silent."""
    assert parse_rows(render_rows(p, width=width)) == p


@fewer
@given(patterns(over=whole_maps(max_runs=2), limbs=(Limb.RH,), parts=(1, 2, 3)), any_meters)
def test_a_meter_known_to_the_reader_is_not_printed(p: Pattern, known: Meter) -> None:
    """Law 8: the reader told the meter that the printer was told needs no meter line for it."""
    assert parse_rows(render_rows(p, meter=known), known) == p


@fewer
@given(patterns(over=whole_maps(max_bars=1), limbs=(Limb.LH,), parts=(1, 2, 3)), factors)
def test_stretched_rows_give_the_pattern_back(p: Pattern, by: Fraction) -> None:
    """Law 8: a pattern stretched by an awkward factor, which cuts beats anywhere, reads back equal or is refused."""
    longer = stretch(p, by)
    assert unless_too_fine(longer) == longer


@fewer
@given(swinging_patterns(feel=st.builds(Feel, st.just(8), st.sampled_from((F(2), F("1.85"), F(3))))))
def test_a_performance_gives_itself_back(p: Pattern) -> None:
    """Law 8: a performed pattern, off every usual grid, reads back equal."""
    played = performed(p)
    assert parse_rows(render_rows(played)) == played


def test_more_boxes_than_can_be_read_are_refused() -> None:
    """Law 8: a beat that would take thousands of boxes is refused with its place, not printed unreadably."""
    p = Pattern((Hit(F(1, 32003), Limb.RH, "ride"), Hit(F(1, 7), Limb.LH, "snare")), Meters.of(Meter(4, 4)))
    with pytest.raises(PatternError, match=r"bar 1, beat 1 would take 224021 boxes .* at most 960"):
        render_rows(p)


@pytest.mark.parametrize(
    "rows",
    [
        "RF bass x..x x..X; LF hat-foot ..x. ..x.",
        "count 1e&a 2e&a; RH ride x.x. x.xx",
        """RH closed-hat x.x. x.x. x.x. x.x. | x.x. x.x. x.x. x...
           RH open-hat   .... .... .... .... | .... .... .... ..x-""",
        "LH snare --.. .... x--- ----",
        "LH snare ---- ---- x--- ----",
        "RH ride x-x- xxx x--- ----\nflam RH x... ... .... ....\nLH snare .g.g .g. ..t. f..X",
        "rest .... .... .... ....",
    ],
    ids=["two feet", "counts", "two surfaces", "over the end", "all round", "mixed", "silence"],
)
def test_typed_rows_give_themselves_back(rows: str) -> None:
    """Law 8: rows as a person types them are printed and read back to the same pattern."""
    p = parse_rows(rows)
    assert parse_rows(render_rows(p)) == p


def test_a_row_that_starts_in_a_later_block() -> None:
    """Law 8: a row may stand in some blocks only; where it is left out it is silent."""
    text = "RF bass x... x... x... x...\n\nRF bass x... x... x... x...\nLH snare .... x... .... x...\n\nRF bass x x x x"
    p = parse_rows(text)
    assert [hit.onset for hit in p.hits if hit.limb is Limb.LH] == [5, 7]
    assert p.span == 12
    assert parse_rows(render_rows(p)) == p


def test_blocks_may_part_a_bar() -> None:
    """Law 8: blocks of part of a bar go on where the last one stopped, also in meters of unequal beats."""
    p = parse_rows("RF bass x x\n\nRF bass x", "7/8")
    assert p == parse_rows("RF bass x x x", "7/8")
    assert p.meters == Meters.of(Meter(7, 8))


@fewer
@given(st.integers(0, 3), st.sampled_from((20, 80)))
def test_silence_gives_itself_back(bars: int, width: int) -> None:
    """Law 8: silence reads back as silence; silence of span 0 has no rows."""
    rest = silence(Meters.of(Meter(3, 4), bars))
    if bars:
        assert parse_rows(render_rows(rest, width=width)) == rest
    else:
        assert render_rows(rest) == ""


# ---- lines -----------------------------------------------------------------------------------------------------------


@given(lines(whole_maps(max_bars=2)), st.sampled_from(NOTATIONS))
def test_every_notation_gives_the_line_back(line: Line, notation: str) -> None:
    """Law 8: whatever a notation can print it reads back equal, and it always ends in text or in a LineError."""
    meter = line.meters.only
    assert meter is not None
    try:
        text = render(line, notation)
    except LineError:
        assert notation != "boxes"
        return
    assert parse(text, meter, notation=notation) == line


@given(lines(whole_maps(max_bars=2)))
def test_boxes_print_every_plain_line(line: Line) -> None:
    """Law 8: boxes carry every line of one meter, with any subdivisions and ties, and are told from the others."""
    meter = line.meters.only
    assert meter is not None
    assert notation_of(str(line), meter) == "boxes"
    assert parse(str(line), meter) == line


@given(said_lines())
def test_counts_are_told_from_note_values(line: Line) -> None:
    """Law 8: counts that are printed are told apart by what is in them and read back equal, in every usual meter."""
    meter = line.meters.only
    assert meter is not None
    try:
        text = render(line, "counts")
    except LineError:
        assert any(beat.length == F(3, 2) for beat in line.meters.beats)
        return
    assert notation_of(text, meter) == "counts"
    assert parse(text, meter) == line


@fewer
@given(said_lines(st.sampled_from((Meter(2, 4), Meter(3, 4), Meter(4, 4), Meter(2, 2)))))
def test_counts_print_every_said_line(line: Line) -> None:
    """Law 8: in simple meters counts carry every line of halves, quarters and thirds of the beat."""
    assert parse(render(line, "counts"), line.meters.runs[0][0]) == line


@fewer
@given(lines(whole_maps(usual_meters), most_parts=4))
def test_note_values_are_told_from_the_others(line: Line) -> None:
    """Law 8: note values that are printed are told apart by what is in them and read back equal."""
    meter = line.meters.only
    assert meter is not None
    text = render(line, "values")
    assert notation_of(text, meter) == "values"
    assert parse(text, meter) == line


@given(st.integers(1, 200), st.integers(1, 200), usual_meters)
def test_any_length_has_note_values_or_none(numerator: int, denominator: int, meter: Meter) -> None:
    """Law 8: a note of any rational length is printed as few values that read back equal, or refused as having none."""
    length = F(numerator, denominator)
    line = Line((Note(F(0), length),), Meters.of(meter, -(-length // meter.span)))
    inside = length if length <= meter.span else length % meter.span
    if (inside / 4).denominator > 512 or ((meter.span - inside) / 4).denominator > 512:
        with pytest.raises(LineError, match="no note values"):
            render(line, "values")
    else:
        assert parse(render(line, "values"), meter, notation="values") == line


@pytest.mark.parametrize(
    ("length", "text"),
    [
        ("4", "1"),
        ("3", "2. 4r"),
        ("7/2", "2.. 8r"),
        ("13/4", "[2. 16] 8.r"),
        ("5/2", "[2 8] 4.r"),
        ("5/4", "[4 16] 2r 8.r"),
        ("5/3", "[3 12] 2r 12r"),
        ("2/3", "6 2r 3r"),
        ("5/12", "[12 48] 48r 2..r"),
    ],
)
def test_lengths_fall_into_few_values(length: str, text: str) -> None:
    """Law 8: a length is one value if it can be, else two, the longer first, thirds in triplet values."""
    assert render(Line((Note(F(0), F(length)),), Meters.of(Meter(4, 4))), "values") == text


@given(patterns(over=maps(max_runs=3), limbs=(Limb.RH, Limb.RF), feel=feels), WIDTHS)
def test_rows_keep_within_a_width(p: Pattern, width: int) -> None:
    """No row is wider than asked for, but where a single beat is; columns line up under the counts."""
    for block in render_rows(p, width=width).split("\n\n"):
        rows = [row for row in block.splitlines() if not row.startswith(("meter", "lengths", "last beat"))]
        groups = {len(row.split("  ", 1)[1].split()) for row in rows}
        assert len(set(map(len, rows))) == 1
        assert len(rows[0]) <= width or groups == {1}
