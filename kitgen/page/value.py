"""Rows and pages."""

import math
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from kitgen.errors import OptionError, PatternError
from kitgen.pattern import Feel, Hit, Pattern
from kitgen.time import BPM_RANGE, Bar, Meters, bpm_value, unit_names


@dataclass(frozen=True, slots=True)
class Tempo:
    """Three tempi of a page, in counts of one note value a minute: start, goal, and the range it lives in.

    Args:
        start: where a student begins, and what the ``.mid`` plays.
        goal: where the page is done.
        low: slowest tempo of the range.
        high: fastest tempo of the range.
        unit: the note value counted, in quarters.

    Raises:
        TimeError: outside 20 to 400.
        OptionError: a goal below the start, a range that does not hold the goal, or a start too slow for MIDI.
    """

    start: float
    goal: float
    low: float
    high: float
    unit: Fraction = Fraction(1)

    def __post_init__(self) -> None:
        for name in ("start", "goal", "low", "high"):
            object.__setattr__(self, name, bpm_value(getattr(self, name)))
        if self.goal < self.start:
            raise OptionError(f"the goal of {self.goal} bpm is below the start of {self.start}; start slower")
        if not self.low <= self.goal <= self.high:
            raise OptionError(f"the goal of {self.goal} bpm is outside the range {self.low} to {self.high}")
        if self.quarters < _SLOWEST_QUARTERS:
            raise OptionError(
                f"{self.start} {unit_names(self.unit)} a minute are slower than a MIDI file can say; "
                f"start at {math.ceil(_SLOWEST_QUARTERS / self.unit)} or more"
            )

    @classmethod
    def at(cls, bpm: float | str, unit: Fraction) -> "Tempo":
        """One tempo for everything."""
        value = bpm_value(bpm)
        return cls(value, value, value, value, unit)

    @property
    def quarters(self) -> float:
        """The start in quarters a minute."""
        return float(self.start * self.unit)


class TempoChange(NamedTuple):
    """Another tempo from a bar on.

    Args:
        bar: the bar, from 1 through all that is played.
        bpm: the tempo, in the page's unit.
    """

    bar: int
    bpm: float


USUAL_TEMPO = (60, 90, 40, 120)
_SLOWEST_QUARTERS = 60_000_000 / 0xFFFFFF  # a MIDI file holds the microseconds of a quarter in three bytes
assert BPM_RANGE[0] <= min(USUAL_TEMPO) <= max(USUAL_TEMPO) <= BPM_RANGE[1]


_MOST_TIMES = 64


@dataclass(frozen=True, slots=True)
class Row:
    """A labelled pattern of a page; space around the label is taken off.

    Args:
        label: says what it is, one line.
        pattern: its notes, once through.
        times: how many times it is played before the page goes on; it is printed once.

    Raises:
        PatternError: played no time, or more often than a page holds.
    """

    label: str
    pattern: Pattern
    times: int = 1

    def __post_init__(self) -> None:
        object.__setattr__(self, "label", self.label.strip())
        if not 1 <= self.times <= _MOST_TIMES:
            raise PatternError(f"row {self.label!r} is played {self.times} times; a row is played 1 to {_MOST_TIMES}")

    @property
    def played(self) -> Pattern:
        """The pattern as many times as it is played."""
        return self.pattern if self.times == 1 else self.pattern * self.times


@dataclass(frozen=True)
class Page:
    """What a student works on. Space around its texts is taken off.

    Args:
        title: its title, one line.
        instruction: one sentence to the student.
        rows: rows in order, all of one feel.
        tempo: start, goal, range.
        recipe: the line of text that makes it again.
        notes: what was adapted or left out, a sentence each.
        count_quarters: number the quarters instead of the meter's beats.
        clave: ``3-2``, ``2-3`` or None.
        line: the line the page is made of, in boxes with its true lengths; empty where it is too long to print.
        kernels: short patterns to loop apart from the rows; printed, not in the MIDI files.
        heading: the teacher's own heading, such as school, class and date.
        grading: what a review page is graded for; empty on other pages.
        tempo_changes: where the tempo changes on the way, in order.

    Raises:
        PatternError: no rows, a row of nothing, one of several rows that ends inside a bar, two feels, a text of more
            than one line, or a tempo that changes in no bar after the first.
        TimeError: a tempo outside 20 to 400.
    """

    title: str
    instruction: str
    rows: tuple[Row, ...]
    tempo: Tempo
    recipe: str = ""
    notes: tuple[str, ...] = ()
    count_quarters: bool = False
    clave: str | None = field(default=None)
    line: str = ""
    kernels: tuple[Row, ...] = ()
    heading: str = ""
    grading: tuple[str, ...] = ()
    tempo_changes: tuple[TempoChange, ...] = ()

    def __post_init__(self) -> None:
        for name in ("title", "instruction", "recipe", "line", "heading"):
            object.__setattr__(self, name, getattr(self, name).strip())
        for name in ("notes", "grading"):
            object.__setattr__(self, name, tuple(text.strip() for text in getattr(self, name) if text.strip()))
        self._check_rows()
        self._check_texts()
        if self.tempo_changes:
            self._check_tempi()

    def _check_tempi(self) -> None:
        changes = tuple(TempoChange(bar, bpm_value(bpm)) for bar, bpm in self.tempo_changes)
        places = [1, *(bar for bar, _ in changes), len(self.bars) + 1]
        if any(later <= earlier for earlier, later in pairwise(places)):
            raise PatternError(f"tempo changes of page {self.title!r} stand in order, in bars 2 to {len(self.bars)}")
        object.__setattr__(self, "tempo_changes", changes)

    def _check_rows(self) -> None:
        if not self.rows:
            raise PatternError(f"page {self.title!r} has no rows; a page has at least one")
        for row in (*self.rows, *self.kernels):
            if not row.pattern.span:
                raise PatternError(f"row {row.label!r} of page {self.title!r} lasts nothing")
            if (len(self.rows) > 1 or row.times > 1) and not row.pattern.meters.whole:
                raise PatternError(
                    f"row {row.label!r} of page {self.title!r} ends inside a bar; where there are several rows, "
                    "each is whole bars"
                )
        if len({row.pattern.feel for row in (*self.rows, *self.kernels)}) > 1:
            raise PatternError(f"page {self.title!r} mixes feels; one feel a page")

    def _check_texts(self) -> None:
        labels = (row.label for row in (*self.rows, *self.kernels))
        texts = (self.title, self.instruction, self.recipe, self.line, self.heading)
        for text in (*texts, *self.notes, *self.grading, *labels):
            if len(text.splitlines()) > 1:
                raise PatternError(f"a title, heading, label, note or recipe is one line: {text!r}")
        if criterion := next((text for text in self.grading if ";" in text), None):
            raise PatternError(f"what a page is graded for has no semicolon in it: {criterion!r}")

    @cached_property
    def pattern(self) -> Pattern:
        """The rows as they are played, one after the other; where several, what is held past its row's end is cut."""
        if len(self.rows) == 1:
            return self.rows[0].played
        hits, meters = list[Hit](), Meters()
        for row in self.rows:
            played = row.played
            start, span = meters.span, played.span
            hits += [_within(hit, span).at(hit.onset + start) for hit in played.hits]
            meters += played.meters
        return Pattern(tuple(hits), meters, self.feel)

    @property
    def feel(self) -> Feel:
        """The feel of every row."""
        return self.rows[0].pattern.feel

    @property
    def bars(self) -> tuple[Bar, ...]:
        """Every bar of the page."""
        return self.pattern.meters.bars

    @property
    def slug(self) -> str:
        """The title as a file name."""
        return slug_of(self.title)

    def row_bars(self) -> tuple[tuple[Row, int, int], ...]:
        """Each row with its first bar (from 1) and how many bars it is played."""
        placed, first = [], 1
        for row in self.rows:
            bars = len(row.pattern.meters.bars) * row.times
            placed.append((row, first, bars))
            first += bars
        return tuple(placed)


def _within(hit: Hit, span: Fraction) -> Hit:
    if hit.length is None or hit.onset + hit.length <= span:
        return hit
    return replace(hit, length=span - hit.onset)


def felt(rows: Iterable[Row], feel: Feel) -> tuple[Row, ...]:
    """The same rows in another feel."""
    return tuple(replace(row, pattern=row.pattern.with_feel(feel)) for row in rows)


def slug_of(title: str, most: int = 60) -> str:
    """A title as a file name: plain letters, digits and hyphens; ``&`` is ``and``.

    >>> slug_of("Linear: RH, LH, RF (gaps filled)")
    'linear-rh-lh-rf-gaps-filled'
    """
    plain = unicodedata.normalize("NFKD", title.replace("&", " and ")).encode("ascii", "ignore").decode().lower()
    words = "".join(char if char.isalnum() else " " for char in plain).split()
    return "-".join(words)[:most].strip("-") or "page"
