"""Composed rows: different, whole, built of what was given, with the new thing in them, and landing."""

from dataclasses import replace
from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.course.bars import Material, bar_of, holds, joined, size_of
from kitgen.course.compose import composed
from kitgen.course.figures import cell_figure, held_figures, silent_beat
from kitgen.course.phrases import landed, landing
from kitgen.line import Line
from kitgen.time import Meter
from tests.strategies import fewer

EVEN_METERS = tuple(Meter.parse(text) for text in ("4/4", "3/4", "2/4", "5/4", "2/2", "6/8", "9/8", "12/8", "3/8"))
CELLS = ("xx", ".x", "xxxx", "x.xx", "xxx.", "xx.x", "..xx", ".xx.", "xxx", "x.x", "xx.", ".xx")
FOUR = Meter(4, 4)


@st.composite
def materials(draw: st.DrawFn) -> Material:
    """A new cell, up to three known ones, with the beat and rest."""
    meter = draw(st.sampled_from(EVEN_METERS))
    cells = [cell_figure(boxes, meter) for boxes in draw(st.lists(st.sampled_from(CELLS), max_size=4, unique=True))]
    pulse = cell_figure("x", meter)
    new = cells[:1] or [pulse]
    return Material(meter, tuple(new), tuple(cells[1:]), pulse, silent_beat(meter))


seeds = st.integers(0, 10_000)


@fewer
@given(materials(), seeds)
def test_no_two_rows_are_alike(material: Material, seed: int) -> None:
    """Every row of a page is another line, each in whole bars of the meter."""
    rows = composed(material, seed)
    assert rows
    assert all(first.line != second.line for first, second in combinations(rows, 2))
    assert all(row.line.meters.whole and row.line.meters.only == material.meter for row in rows)


@fewer
@given(materials(), seeds)
def test_rows_are_built_of_the_figures_given(material: Material, seed: int) -> None:
    """Each beat of each row is the new figure, a known one, the beat or rest."""
    given_to_it = {(), *_cells(material)}
    for row in composed(material, seed):
        for beat in row.line.meters.beats:
            inside = tuple(note.onset - beat.start for note in row.line.notes if beat.start <= note.onset < beat.end)
            assert inside in given_to_it


def _cells(material: Material) -> set[tuple[Fraction, ...]]:
    return {figure.onsets for figure in (*material.new, *material.known, cell_figure("x", material.meter))}


@fewer
@given(materials(), seeds)
def test_the_new_figure_is_in_every_row(material: Material, seed: int) -> None:
    """What a page is about stands in each of its rows, in a phrase of four bars twice or more."""
    new = material.new[0]
    for row in composed(material, seed):
        assert holds(row.line, new), row
        if len(row.line.meters.bars) == 4:
            bars = [row.line.measures(number, number) for number in range(1, 5)]
            assert sum(holds(bar, new) for bar in bars) >= 2


@fewer
@given(materials(), seeds)
def test_phrases_land(material: Material, seed: int) -> None:
    """The last bar of a phrase ends on the 1, or on a last beat it holds."""
    phrases = [row.line for row in composed(material, seed) if len(row.line.meters.bars) == 4]
    assert phrases or len(material.meter.beats) < 3
    assert all(map(landing, phrases))


@fewer
@given(materials(), seeds)
def test_phrases_repeat(material: Material, seed: int) -> None:
    """A phrase is no string of strangers: two of its bars are the same."""
    for row in composed(material, seed):
        if len(row.line.meters.bars) == 4:
            bars = [row.line.measures(number, number) for number in range(1, 5)]
            assert len(set(bars)) < 4


@fewer
@given(materials(), seeds)
def test_labels_are_true(material: Material, seed: int) -> None:
    """Letters stand for bars alike, an ending is like no bar before it, a bar turned round is one begun elsewhere."""
    for row in composed(material, seed):
        bars = [row.line.measures(number, number) for number in range(1, len(row.line.meters.bars) + 1)]
        if row.label.startswith("phrase, "):
            letters = row.label.removeprefix("phrase, ").replace(", ending", " z").split()
            alike = {(i, j): bars[i] == bars[j] for i, j in combinations(range(4), 2)}
            assert alike == {(i, j): letters[i] == letters[j] for i, j in alike}
        elif row.label == "question and answer":
            assert bars[0] == bars[2]
            assert len(set(bars)) == 3
        elif row.label.startswith("two bars"):
            turns = [_turned(bars[0], beat.start) for beat in bars[0].meters.beats[1:]]
            assert (bars[1].onsets in turns) == (row.label == "two bars, the second turned round")


def _turned(bar: Line, by: Fraction) -> tuple[Fraction, ...]:
    return tuple(sorted((onset - by) % bar.span for onset in bar.onsets))


@fewer
@given(st.sampled_from(held_figures(FOUR)), st.lists(st.sampled_from(held_figures(FOUR)), max_size=2), seeds)
def test_no_note_on_a_beat_hides_the_middle_of_the_bar(new: Line, known: list[Line], seed: int) -> None:
    """In 4/4 a note that starts on 2 does not last over 3: it would be a tie."""
    material = Material(FOUR, (new,), tuple(known), cell_figure("x", FOUR), silent_beat(FOUR), lengths=True)
    for row in composed(material, seed):
        for note in row.line.notes:
            at = note.onset % 4
            assert at != 1 or at + note.length <= 2, row


def test_rows_that_look_alike_are_told_apart_by_lengths_alone_where_lengths_show() -> None:
    """Eighths cut short or not are one row on a page of cells, two on a page of lengths."""
    beat = cell_figure("x", FOUR)
    short = Line((replace(beat.notes[0], length=Fraction(1, 2)),), beat.meters)
    material = Material(FOUR, (short,), (), beat, silent_beat(FOUR))
    for lengths in (False, True):
        rows = composed(material._replace(lengths=lengths), 0)
        assert ("once a bar, the other beats plain" in {row.label for row in rows}) is lengths


@fewer
@given(materials(), seeds)
def test_a_seed_gives_the_same_rows_again(material: Material, seed: int) -> None:
    """Nothing is drawn at random."""
    assert composed(material, seed) == composed(material, seed)


def test_seeds_give_different_pages() -> None:
    """With something to choose from, ten seeds make five pages or more."""
    known = tuple(cell_figure(boxes, FOUR) for boxes in ("xx", "xxxx"))
    material = Material(FOUR, (cell_figure("x.xx", FOUR),), known, cell_figure("x", FOUR), silent_beat(FOUR))
    assert len({composed(material, seed) for seed in range(10)}) >= 5


@pytest.mark.parametrize("figure", held_figures(FOUR))
def test_held_figures_are_composed_whole(figure: Line) -> None:
    """A half, a tie or a dotted quarter is never cut: wherever it starts in a row it lasts."""
    material = Material(FOUR, (figure,), (), cell_figure("x", FOUR), silent_beat(FOUR))
    lengths = {note.length for note in figure.notes} | {Fraction(1)}
    rows = composed(material, 3)
    assert rows
    assert all({note.length for note in row.line.notes} <= lengths for row in rows)
    assert all(landing(row.line) for row in rows if len(row.line.meters.bars) == 4)


def test_without_the_beat_a_phrase_ends_in_its_first_beat() -> None:
    """Where no stroke on the beat is known, the last bar has what is new on its 1 and nothing after it."""
    material = Material(FOUR, (cell_figure(".x", FOUR),), (), None, silent_beat(FOUR))
    end = landed(material, joined([material.new[0]] * 4), 0)
    assert end is not None
    assert end.onsets == (Fraction(1, 2),)


@pytest.mark.parametrize(
    ("line", "lands"),
    [
        ("4 4 4 4", True),
        ("8 8 4 4r 4r", False),
        ("1", True),
        ("4 2r 4r", True),
        ("8 8 8 8 2", True),
        ("4 4 4 8 8r", False),
        ("4 4 4 8 8", False),
        ("4r 4 2r", False),
        ("1r", False),
    ],
)
def test_what_landing_is(line: str, lands: bool) -> None:  # noqa: FBT001  a column of a table
    """On the 1 whatever follows, on the last beat if it lasts, or held two beats to the end."""
    assert landing(Line.parse(line, notation="values")) is lands


@pytest.mark.parametrize(
    ("plan", "boxes"),
    [("NK", "xx x.xx xx x.xx"), ("N", "xx xx xx xx"), ("P", "x- x- x- x-"), ("KKN", "x.xx x.xx xx x.xx")],
)
def test_bars_follow_their_plan(plan: str, boxes: str) -> None:
    """Letters stand for figures and go round until the bar is full."""
    new, known = cell_figure("xx", FOUR), cell_figure("x.xx", FOUR)
    bar = bar_of(Material(FOUR, (new,), (known,), cell_figure("x", FOUR)), plan)
    assert bar == Line.parse(boxes.replace("x.xx", "x-xx"))


def test_a_figure_that_does_not_fit_is_passed_over() -> None:
    """In three beats a half note goes once, and the beat fills the bar."""
    meter = Meter(3, 4)
    half = held_figures(meter)[0]
    bar = bar_of(Material(meter, (half,), (), cell_figure("x", meter)), "N")
    assert bar is not None
    assert [note.length for note in bar.notes] == [2, 1]
    assert size_of(half) == 2
