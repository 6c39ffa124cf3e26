"""Ladders of tempi: from a start to a goal by equal steps, or by the marks of a metronome.

The 39 marks are those traditionally printed on metronomes (common practice); steps are 5 beats a minute where nobody
says, and never more than 10.
"""

import math

from kitgen.errors import TimeError
from kitgen.time.tempo import bpm_value

MARKS = (
    *range(40, 60, 2), *range(60, 72, 3), *range(72, 120, 4), *range(120, 144, 6), *range(144, 209, 8),
)  # fmt: skip
USUAL_STEP, WIDEST_STEP = 5, 10


def ladder(start: float, goal: float, step: float | None = USUAL_STEP) -> tuple[float, ...]:
    """The tempi from a start up to a goal, both among them.

    Args:
        start: the first tempo, in counts a minute.
        goal: the last, not below the start.
        step: counts a minute from rung to rung, 1 to 10, the last step as small as it has to be; None for the
            metronome's marks that lie between.

    Raises:
        TimeError: a tempo outside 20 to 400, a goal below the start, or a step outside 1 to 10.

    >>> ladder(60, 72), ladder(60, 72, None)
    ((60, 65, 70, 72), (60, 63, 66, 69, 72))
    """
    start, goal = bpm_value(start), bpm_value(goal)
    if goal < start:
        raise TimeError(f"a ladder from {start} down to {goal}; it climbs: give the slower tempo first")
    if step is None:
        return (start, *(mark for mark in MARKS if start < mark < goal), *((goal,) if goal > start else ()))
    if not 1 <= step <= WIDEST_STEP:
        raise TimeError(f"a step of {step} beats a minute; steps are 1 to {WIDEST_STEP}, or the metronome's marks")
    rungs = math.ceil(round((goal - start) / step, 6))
    return (*(bpm_value(start + turn * step) for turn in range(rungs)), goal)
