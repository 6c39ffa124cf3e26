"""A band chart as written music: its values.

Conventions as in :mod:`kitgen.spell.values`. Bars are numbered as they are written.
"""

from fractions import Fraction
from typing import NamedTuple

from kitgen.spell.values import Measure

STOPPING = ("break", "stop-time", "time")
"""Words that say where time stops and goes on, so that they have to stand at their bar."""


class Said(NamedTuple):
    """Words over a bar.

    Args:
        start: where, in quarters from its start.
        words: the words.
        kind: ``style``, ``words``, ``who``, ``below`` (who plays under the staff) or ``fill``.
    """

    start: Fraction
    words: str
    kind: str


class ChartBar(NamedTuple):
    """A bar of a chart.

    Args:
        measure: what is written in it; its mark is its section's.
        said: words over it.
        tempo: (bpm, note value counted) where the tempo is given.
        dynamic: dynamic under its start.
        repeat_starts: a repeat begins with it.
        repeat_ends: how often what ends with it is played; 0 where no repeat ends.
        ending: numbers of the ending it belongs to; empty outside.
        ending_starts: it is the first of its ending.
        ending_stops: it is the last of its ending.
        segno: the sign stands at its start.
        coda: the coda sign stands at its start.
        to_coda: the coda sign stands at its end.
        jump: words of the jump at its end.
        fine: Fine stands at its end.
        section_ends: a double bar ends it.
    """

    measure: Measure
    said: tuple[Said, ...] = ()
    tempo: tuple[float, Fraction] | None = None
    dynamic: str = ""
    repeat_starts: bool = False
    repeat_ends: int = 0
    ending: str = ""
    ending_starts: bool = False
    ending_stops: bool = False
    segno: bool = False
    coda: bool = False
    to_coda: bool = False
    jump: str = ""
    fine: bool = False
    section_ends: bool = False


class ChartScore(NamedTuple):
    """A chart as written: its systems."""

    systems: tuple[tuple[ChartBar, ...], ...]

    @property
    def bars(self) -> tuple[ChartBar, ...]:
        """Every bar in order."""
        return tuple(bar for system in self.systems for bar in system)
