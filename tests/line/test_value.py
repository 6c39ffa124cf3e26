"""The rhythm line as a value."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import LineError
from kitgen.line import Line, Mark, Note
from kitgen.time import Meter, Meters, Subdivision
from tests.strategies import fewer, lines, maps

F = Fraction
BAR = Meters.of(Meter(4, 4))


def line_of(*spans: tuple[str, str], meters: Meters = BAR) -> Line:
    """A line of notes given as (onset, length)."""
    return Line(tuple(Note(F(onset), F(length)) for onset, length in spans), meters)


@fewer
@given(lines(maps()), st.randoms())
def test_order_of_notes_does_not_matter(line: Line, random: object) -> None:
    """Equal music is equal and hashes the same, in whatever order its notes are given."""
    shuffled = list(line.notes)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    other = Line(tuple(shuffled), line.meters)
    assert other == line
    assert hash(other) == hash(line)


@fewer
@given(lines(maps()))
def test_notes_and_rests_part_the_span(line: Line) -> None:
    """Notes and rests together fill the span and never overlap."""
    spans = sorted([(note.onset, note.length) for note in line.notes] + list(line.rests))
    assert [start for start, _ in spans] + [line.span] == [F(0), *(start + length for start, length in spans)]
    assert tuple(line) == line.notes


@fewer
@given(lines(maps()), st.fractions(0, 1, max_denominator=24))
def test_a_cut_keeps_what_starts_inside(line: Line, share: Fraction) -> None:
    """Cut at any instant, the onsets of both parts are those of the line, and nothing sounds over the cut."""
    at = line.span * share
    first, second = line.cut(F(0), at), line.cut(at, line.span)
    assert first.onsets + tuple(at + onset for onset in second.onsets) == line.onsets
    assert first.meters + second.meters == line.meters
    assert (first + second).accents == line.accents


def test_measures_are_counted_from_one() -> None:
    """Measures 2 to 3 are the second and third bar, both included."""
    line = Line.parse("1 2 | 1 3 | 2 4 | 3", notation="counts")
    assert line.measures(2, 3) == Line.parse("1 3 | 2 4", notation="counts")


def test_a_pickup_is_bar_0() -> None:
    """In a line that starts with a pickup the pickup is bar 0, and the first whole bar is bar 1."""
    line = replace(Line.parse("(1) 4 | 1 3 | 2 4", notation="counts"), pickup=True)
    assert line.measures(1, 2) == Line.parse("1 3 | 2 4", notation="counts")
    assert not line.measures(1, 2).pickup
    assert line.measures(0, 1).pickup
    assert line == replace(line, pickup=False)
    with pytest.raises(LineError, match="measures 2-3 are not in this line; it has bars 0 to 2"):
        line.measures(2, 3)


@pytest.mark.parametrize(("first", "last"), [(0, 1), (2, 1), (1, 5), (5, 5)])
def test_measures_outside_the_line(first: int, last: int) -> None:
    """Measures the line does not have are refused with those it has."""
    with pytest.raises(LineError, match=f"measures {first}-{last} are not in this line; it has bars 1 to 4"):
        Line.parse("1 2 | 1 3 | 2 4 | 3", notation="counts").measures(first, last)


def test_a_tie_over_the_barline_is_one_note() -> None:
    """A tied note is one note of the whole length, wherever the barline falls."""
    line = Line.parse("2 4 [4 | 4] 2.", notation="values")
    assert [f"{note.onset}+{note.length}" for note in line.notes] == ["0+2", "2+1", "3+2", "5+3"]


def test_overlapping_notes_are_refused() -> None:
    """Two notes at once are refused by bar and count."""
    with pytest.raises(LineError, match='two notes overlap at bar 1, count "& of 1": the first lasts to 1, the second'):
        line_of(("0", "1"), ("1/2", "1"))


def test_a_note_over_the_end_is_refused() -> None:
    """A note that sounds past the end of the line is refused with both."""
    with pytest.raises(LineError, match="the last note ends at 5 quarters, the line at 4"):
        line_of(("3", "2"))


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ({"onset": F(-1), "length": F(1)}, "a note at -1 lasting 1 quarters cannot be"),
        ({"onset": F(0), "length": F(0)}, "a note at 0 lasting 0 quarters cannot be; .* lasts more than 0"),
        ({"onset": 0.5, "length": F(1)}, r"an onset of 0\.5; positions are exact: give a Fraction or an int"),
        ({"onset": 0, "length": 0.25}, r"a length of 0\.25; positions are exact"),
        ({"onset": "1", "length": F(1)}, "an onset of '1'; positions are exact"),
        ({"onset": F(0), "length": F(1), "graces": 4}, "4 grace notes before one note; 0 to 3 can be played"),
        ({"onset": F(0), "length": F(1), "sticking": "X"}, "sticking 'X' is none of R, L, B"),
    ],
    ids=["early", "no length", "float onset", "float length", "text", "graces", "sticking"],
)
def test_a_note_that_cannot_be(arguments: dict[str, object], said: str) -> None:
    """A note that cannot be is refused with what was given and what is allowed."""
    with pytest.raises(LineError, match=said):
        Note(**arguments)  # type: ignore[arg-type]


def test_whole_numbers_are_exact_too() -> None:
    """Whole numbers stand for quarters and make the same note as fractions."""
    assert Note(0, 1) == Note(F(0), F(1))  # type: ignore[arg-type]
    assert hash(Note(0, 1)) == hash(Note(F(0), F(1)))  # type: ignore[arg-type]


def test_repeats_are_checked() -> None:
    """A line cannot be repeated less than 0 times, and only a whole number of times."""
    line = Line.parse("1 2 3 4", notation="counts")
    assert line * 0 == Line((), Meters())
    with pytest.raises(LineError, match="cannot be repeated -1 times; 0 or more"):
        line * -1
    with pytest.raises(TypeError):
        line * 1.5  # type: ignore[operator]
    with pytest.raises(TypeError):
        line + "x"  # type: ignore[operator]


@pytest.mark.parametrize(
    ("boxes", "long"),
    [
        ("x- -- .. ..", "L"),
        ("x. x. xx x-", "SSSSL"),
        ("x- xx x- x.", "LSSLS"),
        ("x.x. x... x--- xxxx", "SSSLSSSS"),
        ("x-xx x..x x-x- -...", "LSSSSLL"),
        ("x-x xxx x-- ...", "LSSSSL"),
        ("xxx x-x xxxx x-x-", "SSSLSSSSSLL"),
        ("x x x x", "LLLL"),
        ("x-.. .x-- --.. ...x", "LLS"),
    ],
)
def test_long_and_short_go_by_the_written_length(boxes: str, long: str) -> None:
    """Two units of the line's own subdivision are long, ties joined; one unit is short, also before rests."""
    line = Line.parse(boxes)
    assert "".join("L" if line.is_long(note) else "S" for note in line.notes) == long


def test_a_mark_beats_the_written_length() -> None:
    """A note marked short is short however long it is written, one marked long is long."""
    bar = Meters.of(Meter(4, 4))
    line = Line((Note(F(0), F(2), mark=Mark.SHORT), Note(F(2), F(1, 4), mark=Mark.LONG)), bar)
    assert [line.is_long(note) for note in line.notes] == [False, True]


def test_off_the_subdivision_is_refused() -> None:
    """A complement on a subdivision that misses a note names the note's place and the subdivision."""
    line = Line.parse("x... .x.. .... ....")
    with pytest.raises(LineError, match='bar 1, count "e of 2" is not on the subdivision 3:2'):
        line.complement(Subdivision(3, 2))


def test_complement_leaves_undivided_beats_alone() -> None:
    """In 3/4, three in the time of two beats leaves the third beat out of the complement."""
    rest = Line((), Meters.of(Meter(3, 4)))
    assert [(note.onset, note.length) for note in rest.complement(Subdivision(3, 2)).notes] == [
        (0, F(2, 3)), (F(2, 3), F(2, 3)), (F(4, 3), F(2, 3)),
    ]  # fmt: skip
    assert rest.complement(Subdivision(5, 4)) == rest
    assert Line((), Meters()).complement(Subdivision(2)) == Line((), Meters())


@fewer
@given(lines(), st.integers(1, 4))
def test_thinning_keeps_what_is_on_the_subdivision(line: Line, parts: int) -> None:
    """Thinned, a line keeps just the notes on the places of the subdivision."""
    places = set(Subdivision(parts).slots(line.meters))
    assert line.thin(Subdivision(parts)).notes == tuple(note for note in line.notes if note.onset in places)


@fewer
@given(lines(maps()))
def test_parts_a_beat_show_every_edge(line: Line) -> None:
    """Divided in its parts, each beat has every start and end of a note on a part."""
    edges = {edge for note in line.notes for edge in (note.onset, note.end)}
    for beat, parts in zip(line.meters.beats, line.parts_a_beat, strict=True):
        inside = [edge for edge in edges if beat.start <= edge < beat.end]
        assert all(((edge - beat.start) * parts / beat.length).denominator == 1 for edge in inside)
