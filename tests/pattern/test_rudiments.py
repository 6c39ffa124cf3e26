"""The table of rudiments: its own consistency, mirrors, cycles, names."""

from collections.abc import Callable
from fractions import Fraction
from itertools import groupby

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import PatternError, UnknownNameError
from kitgen.pattern import Ornament
from kitgen.pattern.rudiments import FAMILIES, RUDIMENTS, USUAL, Primary, Rudiment, rudiment

some_rudiment = st.sampled_from(list(RUDIMENTS.values()))
every_rudiment = pytest.mark.parametrize("item", RUDIMENTS.values(), ids=list(RUDIMENTS))


@every_rudiment
def test_a_rudiment_is_whole(item: Rudiment) -> None:
    """It starts right, has a known family, positive lengths, and a name that is its key and can be typed."""
    assert item.strokes[0].hand == "R"
    assert item.family in FAMILIES
    assert all(stroke.length > 0 for stroke in item.strokes)
    assert {stroke.hand for stroke in item.cycle} == {"R", "L"}
    assert RUDIMENTS[item.name] is item
    assert set(item.name) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert list(RUDIMENTS)[item.number - 1] == item.name


@every_rudiment
def test_the_mirror_undoes_itself(item: Rudiment) -> None:
    """Mirrored twice each stroke is itself; mirrored once only the hand changes."""
    for stroke, other in zip(item.strokes, item.mirrored, strict=True):
        assert other.mirrored == stroke
        assert {stroke.hand, other.hand} == {"R", "L"}
        assert stroke[1:] == other[1:]
        assert str(other) == str(stroke).translate(str.maketrans("RLrl", "LRlr"))


@every_rudiment
def test_a_cycle_comes_round(item: Rudiment) -> None:
    """A cycle is once through, or once with either hand first where the hands swap."""
    assert item.cycle == (item.strokes + item.mirrored if item.alternates else item.strokes)
    assert item.length == sum(stroke.length for stroke in item.strokes)
    assert sum(stroke.length for stroke in item.cycle) == item.length * (1 + item.alternates)


@every_rudiment
def test_hands_can_play_it_over_and_over(item: Rudiment) -> None:
    """No hand has more than three strokes in a row, grace strokes apart; the triple ratamacue has four, in eighths."""
    hands = "".join(stroke.hand for stroke in item.cycle) * 3
    longest = max(len(list(run)) for _, run in groupby(hands))
    assert longest == 4 if item.name == "triple-ratamacue" else longest <= 3


@every_rudiment
def test_the_sticking_as_printed(item: Rudiment) -> None:
    """The sticking has a word a stroke: the hand, and before it its grace strokes in small letters of the other."""
    words = item.sticking.split()
    assert [word[-1] for word in words] == [stroke.hand for stroke in item.strokes]
    for word, stroke in zip(words, item.strokes, strict=True):
        assert word[:-1] == ("l" if stroke.hand == "R" else "r") * stroke.graces
        assert stroke.graces == {Ornament.FLAM: 1, Ornament.DRAG: 2}.get(stroke.ornament, 0)  # type: ignore[arg-type]


def test_written_values_fill_beats() -> None:
    """In the values they are usually written in, all rudiments fill whole eighths, and most whole quarters."""
    spans = {item.name: item.length * item.unit for item in RUDIMENTS.values()}
    assert all(span % Fraction(1, 2) == 0 for span in spans.values())
    assert {name for name, span in spans.items() if span % 1} == {
        "single-stroke-roll", "double-drag-tap", "drag-paradiddle-1", "double-ratamacue",
    }  # fmt: skip


def test_buzzes_are_one_rudiment() -> None:
    """Only the multiple bounce roll bounces, on each of its strokes."""
    buzzing = [item for item in RUDIMENTS.values() if Ornament.BUZZ in {stroke.ornament for stroke in item.strokes}]
    assert buzzing == [RUDIMENTS["multiple-bounce-roll"]]
    assert {stroke.ornament for stroke in buzzing[0].strokes} == {Ornament.BUZZ}


@given(some_rudiment, st.sampled_from((str.upper, str.lower, str.title)), st.sampled_from((" ", "-", "_", "  ")))
def test_any_spelling_of_a_name_is_found(item: Rudiment, case: Callable[[str], str], between: str) -> None:
    """Names are found in capitals, with spaces, by title and by number."""
    assert rudiment(case(item.name.replace("-", between))) is item
    assert rudiment(item.title) is item
    assert rudiment(str(item.number)) is item
    assert rudiment(f" {item.number} ") is item


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("paradiddle", ("single-paradiddle",)),
        ("5-stroke-roll", ("five-stroke-roll",)),
        ("17 stroke roll", ("seventeen-stroke-roll",)),
        ("ruff", ("drag",)),
        ("buzz roll", ("multiple-bounce-roll",)),
        ("double stroke roll", ("double-stroke-open-roll",)),
        ("drag paradiddle", ("drag-paradiddle-1", "drag-paradiddle-2")),
    ],
)
def test_what_was_meant_is_named(typed: str, meant: tuple[str, ...]) -> None:
    """A name the trade uses otherwise is not taken for another, but the error says what it is called here."""
    with pytest.raises(UnknownNameError, match="no rudiment is called") as refused:
        rudiment(typed)
    assert refused.value.nearest == meant


@pytest.mark.parametrize("typed", ["flam-acent", "swiss army triplets", "patafla", "single ratamaque"])
def test_a_slip_names_what_is_near(typed: str) -> None:
    """A misspelt name is answered with names that are near."""
    with pytest.raises(UnknownNameError, match="did you mean") as refused:
        rudiment(typed)
    assert refused.value.nearest[0] in {"flam-accent", "swiss-army-triplet", "pataflafla", "single-ratamacue"}


@pytest.mark.parametrize("typed", ["0", "41", "-1x", ""])
def test_numbers_are_one_to_forty(typed: str) -> None:
    """Numbers outside the list, and nothing at all, are no rudiments."""
    with pytest.raises(UnknownNameError, match="no rudiment is called"):
        rudiment(typed)


def test_the_usual_one() -> None:
    """Where nobody names one it is one whose hands swap."""
    assert RUDIMENTS[USUAL].alternates


def test_what_cannot_be_a_rudiment() -> None:
    """No stroke, a start on the left, a family there is not."""
    right, left = Primary("R"), Primary("L")
    for strokes, family in (((), "roll"), ((left, right), "roll"), ((right, left), "waltz")):
        with pytest.raises(PatternError, match="the rudiment own"):
            Rudiment(41, "own", family, Fraction(1, 4), strokes, alternates=False)


@pytest.mark.parametrize(
    ("name", "title"),
    [
        ("single-paradiddle-diddle", "Single paradiddle-diddle"),
        ("drag-paradiddle-2", "Drag paradiddle #2"),
        ("swiss-army-triplet", "Swiss Army triplet"),
        ("lesson-25", "Lesson 25"),
        ("double-stroke-open-roll", "Double stroke open roll"),
    ],
)
def test_titles(name: str, title: str) -> None:
    """Titles are the trade's names."""
    assert RUDIMENTS[name].title == title
