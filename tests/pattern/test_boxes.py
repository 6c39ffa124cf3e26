"""Box rows: how they are printed, and what is wrong with those that cannot be read."""

import re
from fractions import Fraction

import pytest

from kitgen.errors import ClashError, KitgenError, PatternError, TimeError, UnknownNameError
from kitgen.kit import Limb
from kitgen.pattern import Hit, Level, Ornament, Pattern, parse_rows, render_rows, silence
from kitgen.time import Meter, Meters

F = Fraction


def test_printed() -> None:
    """Rows stand in order of limb, then of the table of surfaces, columns lined up under the counts."""
    text = render_rows(
        parse_rows(
            "RF bass x... x... x... x..x; LH snare .... X..g .... X...;"
            "RH ride x.x. x.xx x.x. x...; RH crash .... .... .... ..x."
        )
    )
    assert text.splitlines() == [
        "meter 4/4",
        "count     1e&a 2e&a 3e&a 4e&a",
        "RH crash  .... .... .... ..x.",
        "RH ride   x.x. x.xx x.x. x...",
        "LH snare  .... X..g .... X...",
        "RF bass   x... x... x... x..x",
    ]


def test_printed_with_ornaments_and_holds() -> None:
    """Ornaments stand in rows of their own beneath; a hold past the end comes back at the start of the row."""
    hits = (
        Hit(F(1), Limb.LH, "snare", Level.ACCENT, Ornament.FLAM),
        Hit(F(2), Limb.LH, "snare", ornament=Ornament.BUZZ, length=F(1)),
        Hit(F(7, 2), Limb.LH, "snare", Level.GHOST, length=F(1)),
    )
    text = render_rows(Pattern(hits, Meters.of(Meter(4, 4))), meter=Meter(4, 4))
    assert text.splitlines() == [
        "count     1& 2& 3& 4&",
        "LH snare  -. X. x- .g",
        "flam LH   .. x. .. ..",
        "buzz LH   .. .. x. ..",
    ]


@pytest.mark.parametrize(
    ("meter", "rows", "count", "by_quarters"),
    [
        ("4/4", "RF bass x... xx xxx x", "1& 2& 3tl 4&", None),
        ("6/8", "RF bass xxx x..", "1li 2li", None),
        ("7/8", "RF bass xx .. xxx", "1& 2& 3li", None),
        ("2/2", "RF bass xxxx x...", "1e&a 2e&a", "1&2& 3&4&"),
        ("4/4", "RF bass xxxxx . . .", "12345 2 3 4", None),
    ],
)
def test_counted(meter: str, rows: str, count: str, by_quarters: str | None) -> None:
    """The count row says the places of each beat, a character a box, or numbers quarters when asked to."""
    p = parse_rows(rows, meter)
    assert render_rows(p).splitlines()[1].split(maxsplit=1)[1] == count
    if by_quarters is not None:
        assert render_rows(p, count_quarters=True).splitlines()[1].split(maxsplit=1)[1] == by_quarters


def test_a_short_bar_is_counted_as_the_whole_would_be() -> None:
    """A bar cut to half its beat is counted by the full beat, stands alone and says how long its last beat is."""
    p = Pattern((Hit(F(4), Limb.RF, "bass"), Hit(F(17, 4), Limb.RF, "bass")), Meters(((Meter(4, 4), F(9, 2)),)))
    assert render_rows(p).split("\n\n")[1].splitlines() == ["count    1e", "RF bass  xx", "last beat 1/2"]


def test_blocks_keep_to_a_width_and_leave_silent_rows_out() -> None:
    """Long rows break at barlines, at most four bars a block, and a silent row is left out of later blocks."""
    p = parse_rows("RF bass x x x x\nLH snare . x . x") + parse_rows("RF bass x x x x") * 5
    text = render_rows(p, counts=False, meter=Meter(4, 4))
    assert text.splitlines() == [
        "LH snare  . x . x | . . . . | . . . . | . . . .",
        "RF bass   x x x x | x x x x | x x x x | x x x x",
        "",
        "RF bass   x x x x | x x x x",
    ]
    assert all(len(line) <= 30 for line in render_rows(p, width=30).splitlines())


def test_a_row_whose_strokes_all_have_lengths_says_so() -> None:
    """Such a row is no finer than its strokes and their ends; it reads back with every length."""
    half, quarter = Fraction(2), Fraction(1)
    strokes = [(0, half), (2, quarter), (3, Fraction(1, 2))]
    clap = [Hit(Fraction(at), Limb.RH, "clap", length=length) for at, length in strokes]
    pattern = Pattern((*clap, Hit(Fraction(0), Limb.RF, "floor")), Meters.of(Meter(4, 4)))
    text = render_rows(pattern, counts=False, meter=Meter(4, 4))
    assert text.splitlines() == ["RH clap   x- -- x- x.", "RF floor  x. .. .. ..", "lengths   RH clap"]
    assert parse_rows(text) == pattern
    mixed = pattern.with_hits(hit for hit in (*pattern.hits, Hit(Fraction(7, 2), Limb.RH, "clap")))
    assert "lengths" not in render_rows(mixed)
    assert parse_rows(render_rows(mixed)) == mixed


def test_silence_is_a_row_of_rest() -> None:
    """Silence, and a block in which nothing is struck, is a row of rest."""
    assert render_rows(silence(Meter(3, 4)), counts=False) == "meter 3/4\nrest  . . ."
    p = Pattern((Hit(F(0), Limb.RF, "bass"),), Meters.of(Meter(4, 4), 5))
    assert render_rows(p, counts=False, meter=Meter(4, 4)).endswith("\n\nrest     . . . .")


def test_a_change_of_meter_starts_a_block() -> None:
    """Each run of a meter starts a block under a line that says so."""
    p = silence(Meter(4, 4)) + silence(Meter(7, 8)) + silence(Meter.parse("3+2+2/8"))
    assert [line for line in render_rows(p).splitlines() if line.startswith("meter")] == [
        "meter 4/4",
        "meter 7/8",
        "meter 3+2+2/8",
    ]


def test_read_leniently() -> None:
    """Limbs in either case, extra blanks, rows parted by semicolons, counts and barlines are read past."""
    neat = parse_rows("RH ride x.x. x.x. x.x. x.x.\nRF bass x... x... x... x...")
    loose = parse_rows("count 1e&a 2e&a 3e&a 4e&a;  rh   ride x.x.  x.x. x.x. x.x. |; rf bass x x x x |\n")
    assert loose == neat


@pytest.mark.parametrize(
    ("rows", "error", "said"),
    [
        ("", PatternError, "no rows; a row is a limb, a surface and its boxes: RF bass x..x x..x"),
        ("meter 3/4", PatternError, "no rows"),
        ("RH", PatternError, "row 'RH' has 0 beats where the others have some"),
        ("RH ride", PatternError, "row 'RH ride' has 0 beats"),
        ("RH ride x x\nRF bass x", PatternError, "row 'RF bass' has 1 beats where the others have 2"),
        ("count 1 2 3\nRF bass x", PatternError, "row 'RF bass' has 1 beats where the others have 3"),
        (
            "RX ride x x",
            PatternError,
            "row 'RX ride' starts with no limb: a row is a limb (RH LH RF LF), a surface and",
        ),
        ("trill RH x x", PatternError, "or an ornament (flam, drag, diddle, buzz) and a limb"),
        ("flam XX x x", PatternError, "row 'flam XX' starts with no limb"),
        ("RH gong x x", UnknownNameError, "no surface is called 'gong'"),
        ("RH snair x x", UnknownNameError, "no surface is called 'snair'; did you mean snare"),
        ("RH bass x x", KitgenError, "the right hand (RH) cannot play bass; it is played with a foot: RF, LF"),
        ("RH ride x.q. x", PatternError, "row 'RH ride', bar 1, beat 1: unknown character 'q'; boxes are X x t g f -"),
        ("RH ride x x x x | x x o x", PatternError, "row 'RH ride', bar 2, beat 3: unknown character 'o'"),
        ("RH ride x.-. x", PatternError, "row 'RH ride', bar 1, beat 1: a hold '-' after silence"),
        ("RH ride .- x", PatternError, "row 'RH ride', bar 1, beat 1: a hold '-' after silence"),
        ("RH ride -- ..", PatternError, "row 'RH ride' starts with a hold '-' that no stroke at its end begins"),
        ("RH ride -- x.", PatternError, "row 'RH ride' starts with a hold '-' that no stroke at its end begins"),
        ("RH ride x x | x", PatternError, "row 'RH ride', bar 1: 2 beats before the barline; 4/4 has 4"),
        ("RH ride x x x x | x", PatternError, "row 'RH ride', bar 2: 1 beats; 4/4 has 4"),
        ("RH ride x x x x x | x", PatternError, "row 'RH ride', bar 1: 5 beats before the barline; 4/4 has 4"),
        ("RH ride x x\nRH ride x x", PatternError, "a row stands twice in one block: RH ride"),
        ("RH ride x x\nRH crash . x", ClashError, 'the right hand (RH) would play ride and crash at bar 1, count "2"'),
        ("LH snare x x\nflam LH . x\nRH ride . x", PatternError, 'the flam at bar 1, count "2" needs the right hand'),
        ("LH snare x .\nflam LH . x", PatternError, "row 'flam LH' marks a place where the left hand strikes nothing"),
        ("RF bass x .\nflam RF x .", PatternError, "a flam on the right foot; ornaments are for the hands"),
        ("RF bass " + "x" * 961, PatternError, "row 'RF bass', bar 1: a beat of 961 boxes; at most 960"),
        ("meter 4\nRF bass x x", TimeError, "cannot read '4' as a meter"),
        (
            "RF bass x x\nlast beat 2",
            PatternError,
            "cannot cut the last beat to '2' quarters; it is more than 0, less than",
        ),
        ("RF bass x x\nlast beat half", PatternError, "cannot cut the last beat to 'half' quarters"),
        ("last beat 1/2", PatternError, "cannot cut the last beat to '1/2' quarters; .* stands under rows"),
        (
            "RF bass x x\nlast beat 1/2\n\nRF bass x x",
            PatternError,
            "rows in 4/4 after a block whose last beat is cut; a cut beat ends its meter",
        ),
    ],
)
def test_what_is_wrong_and_where(rows: str, error: type[Exception], said: str) -> None:
    """An error names the row, the bar and beat, what was found and what was expected."""
    with pytest.raises(error, match=re.escape(said).replace(r"\.\*", ".*")):
        parse_rows(rows)


def test_lengths_of_no_row() -> None:
    """The line names a row that is there."""
    with pytest.raises(PatternError, match="lengths RH snare: there is no such row"):
        parse_rows("RH clap x x x x; lengths RH snare")


def test_lines_may_be_given_one_by_one() -> None:
    """Rows may be given as lines instead of one text."""
    lines = ["RF bass x x x x", "", "meter 3/4", "RF bass x . ."]
    assert parse_rows(lines) == parse_rows("\n".join(lines))
    assert parse_rows(lines).meters == Meters.of(Meter(4, 4)) + Meters.of(Meter(3, 4))


def test_a_bar_too_wide_is_broken_between_beats() -> None:
    """A bar wider than the page stands in parts, each under its own counts, and is one bar when it is read."""
    p = parse_rows("RF bass x...x...x x..x. xxxxxxx xxxxxxxxx; LF hat-foot . x . x")
    text = render_rows(p, width=32, meter=Meter(4, 4))
    assert [row for row in text.splitlines() if not row.startswith("count")] == [
        "RF bass      x...x...x x..x.",
        "LF hat-foot  ......... x....",
        "",
        "RF bass      xxxxxxx xxxxxxxxx",
        "LF hat-foot  ....... x........",
    ]
    assert text.count("count") == 2
    assert parse_rows(text) == p
