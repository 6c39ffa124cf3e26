"""Rows and pages."""

import math
import unicodedata
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from kitgen.errors import OptionError, PatternError
from kitgen.pattern import Feel, Hit, Pattern
from kitgen.time import BPM_RANGE, Bar, Meters, bpm_value, unit_name


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
                f"{self.start} {unit_name(self.unit)}s a minute are slower than a MIDI file can say; "
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


USUAL_TEMPO = (60, 90, 40, 120)
_SLOWEST_QUARTERS = 60_000_000 / 0xFFFFFF  # a MIDI file holds the microseconds of a quarter in three bytes
assert BPM_RANGE[0] <= min(USUAL_TEMPO) <= max(USUAL_TEMPO) <= BPM_RANGE[1]


@dataclass(frozen=True, slots=True)
class Row:
    """A labelled pattern of a page; space around the label is taken off."""

    label: str
    pattern: Pattern

    def __post_init__(self) -> None:
        object.__setattr__(self, "label", self.label.strip())


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

    Raises:
        PatternError: no rows, a row of nothing, one of several rows that ends inside a bar, two feels, or a text of
            more than one line.
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

    def __post_init__(self) -> None:
        if not self.rows:
            raise PatternError(f"page {self.title!r} has no rows; a page has at least one")
        for row in self.rows:
            if not row.pattern.span:
                raise PatternError(f"row {row.label!r} of page {self.title!r} lasts nothing")
            if len(self.rows) > 1 and not row.pattern.meters.whole:
                raise PatternError(
                    f"row {row.label!r} of page {self.title!r} ends inside a bar; where there are several rows, "
                    "each is whole bars"
                )
        if len({row.pattern.feel for row in self.rows}) > 1:
            raise PatternError(f"page {self.title!r} mixes feels; one feel a page")
        for name in ("title", "instruction", "recipe", "line"):
            object.__setattr__(self, name, getattr(self, name).strip())
        object.__setattr__(self, "notes", tuple(note.strip() for note in self.notes if note.strip()))
        for text in (
            self.title,
            self.instruction,
            self.recipe,
            self.line,
            *self.notes,
            *(row.label for row in self.rows),
        ):
            if len(text.splitlines()) > 1:
                raise PatternError(f"a title, label, note or recipe is one line: {text!r}")

    @cached_property
    def pattern(self) -> Pattern:
        """The rows one after the other; where there are several, what is held past its row's end is cut there."""
        if len(self.rows) == 1:
            return self.rows[0].pattern
        hits, meters = list[Hit](), Meters()
        for row in self.rows:
            start, span = meters.span, row.pattern.span
            hits += [_within(hit, span).at(hit.onset + start) for hit in row.pattern.hits]
            meters += row.pattern.meters
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
        """Each row with its first bar (from 1) and how many bars it has."""
        placed, first = [], 1
        for row in self.rows:
            bars = len(row.pattern.meters.bars)
            placed.append((row, first, bars))
            first += bars
        return tuple(placed)


def _within(hit: Hit, span: Fraction) -> Hit:
    if hit.length is None or hit.onset + hit.length <= span:
        return hit
    return replace(hit, length=span - hit.onset)


def slug_of(title: str, most: int = 60) -> str:
    """A title as a file name: plain letters, digits and hyphens.

    >>> slug_of("Linear: RH, LH, RF (gaps filled)")
    'linear-rh-lh-rf-gaps-filled'
    """
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    words = "".join(char if char.isalnum() else " " for char in plain).split()
    return "-".join(words)[:most].strip("-") or "page"
