"""Ladders of tempi."""

import pytest

from kitgen.errors import TimeError
from kitgen.time.ladder import MARKS, ladder


def test_the_marks_of_a_metronome() -> None:
    """The 39 marks from 40 to 208 (common practice)."""
    words = (
        "40 42 44 46 48 50 52 54 56 58 60 63 66 69 72 76 80 84 88 92 96 100 104 108 112 116 120 126 132 138 144 152 "
        "160 168 176 184 192 200 208"
    )
    assert tuple(map(int, words.split())) == MARKS
    assert len(MARKS) == 39


@pytest.mark.parametrize(
    ("start", "goal", "step", "rungs"),
    [
        (60, 80, 10, (60, 70, 80)),
        (60, 68, 5, (60, 65, 68)),
        (60, 60, 5, (60,)),
        (60, 62, 2.5, (60, 62)),
        (60, 80, None, (60, 63, 66, 69, 72, 76, 80)),
        (61, 70, None, (61, 63, 66, 69, 70)),
        (200, 220, None, (200, 208, 220)),
        (72, 72, None, (72,)),
    ],
)
def test_rungs(start: float, goal: float, step: float | None, rungs: tuple[float, ...]) -> None:
    """Start and goal are among them, and no step is wider than asked."""
    assert ladder(start, goal, step) == rungs


@pytest.mark.parametrize(
    ("start", "goal", "step", "words"),
    [
        (80, 60, 5, "it climbs"),
        (60, 80, 11, "steps are 1 to 10"),
        (60, 80, 0, "steps are 1 to 10"),
        (60, 500, 5, "it is 20 to 400"),
    ],
)
def test_ladders_that_are_refused(start: float, goal: float, step: float, words: str) -> None:
    """Down, too steep, or out of the range of tempi."""
    with pytest.raises(TimeError, match=words):
        ladder(start, goal, step)
