"""How a play-along is laid out: times through, tempi, count-in, click, who plays, and where it begins.

Conventions: places in quarters from the start of a page; sticks are the side stick of the snare, the click the two wood
blocks, the higher one on 1. All of it is common practice: a bar of sticks, in cut time or fast a bar of half notes and
then a bar of quarters; a click on 2 and 4 is for swing and other music with a backbeat, not for Latin, and a
click for swing is never on 1 and 3.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from kitgen.errors import OptionError, UnknownNameError
from kitgen.kit import Limb
from kitgen.page import Page
from kitgen.pattern import Feel
from kitgen.time import Bar, Beat, Meter, bpm_value
from kitgen.time.backbeat import backbeats_in

CLICKS = ("beats", "2-and-4", "bar", "half-time", "none")
"""Kinds of click, beside so many bars on and so many off (``2-on-2-off``)."""
COUNT_INS = ("usual", "one-bar", "two-bars", "none")
_ON_OFF = re.compile(r"(\d{1,3})-on-(\d{1,3})-off")
_MOST_BARS = 32
_USUAL_REPEATS, _MOST_REPEATS, _BARS_A_TEMPO, _LONG_BARS = 4, 64, 4, 32
_FAST_QUARTERS = 180
_EIGHTHS = 8


@dataclass(frozen=True, slots=True)
class Click:
    """Where the click of a play-along is.

    Args:
        kind: ``beats`` for every beat, ``2-and-4`` for the backbeat, ``bar`` for 1 only, ``half-time`` for the first
            beat of every group (1 and 3), ``none``.
        on: bars with the click, then
        off: bars without it, in turn from the first bar; 0 and 0 for all bars.

    Raises:
        OptionError: another kind, or bars outside 1 to 32.

    >>> Click.parse("2-on-2-off")
    Click(kind='beats', on=2, off=2)
    """

    kind: str = "beats"
    on: int = 0
    off: int = 0

    def __post_init__(self) -> None:
        if self.kind not in CLICKS:
            raise OptionError(f"--click {self.kind}; it is one of {', '.join(CLICKS)}, or like 2-on-2-off")
        if (self.on, self.off) != (0, 0) and not (1 <= self.on <= _MOST_BARS and 1 <= self.off <= _MOST_BARS):
            raise OptionError(
                f"--click {self.on}-on-{self.off}-off; the click is on, and off, for 1 to {_MOST_BARS} bars"
            )

    @classmethod
    def parse(cls, words: str) -> "Click":
        """Read a kind, or so many bars on and off."""
        if found := _ON_OFF.fullmatch(words.strip()):
            on, off = map(int, found.groups())
            if not on or not off:
                raise OptionError(f"--click {words}; the click is on, and off, for 1 to {_MOST_BARS} bars")
            return cls("beats", on, off)
        return cls(words.strip())

    @property
    def words(self) -> str:
        """As it is asked for.

        >>> Click.parse(" 02-on-2-off ").words
        '2-on-2-off'
        """
        return f"{self.on}-on-{self.off}-off" if self.on else self.kind

    def check(self, page: Page) -> None:
        """Raise where a page's music is not clicked so.

        Raises:
            OptionError: 2 and 4 for Latin, or 1 and 3 for swing.
        """
        if self.kind == "2-and-4" and (page.clave or page.count_quarters):
            what = f"with a clave of {page.clave}" if page.clave else "Latin, counted in quarters"
            raise OptionError(
                f"--click 2-and-4: {page.title!r} is {what}, and Latin is not felt on 2 and 4; take beats or bar"
            )
        if self.kind == "2-and-4" and not any(place for bar in page.bars for place in _backbeats(bar)):
            raise OptionError(f"--click 2-and-4: bars of {page.bars[0].meter} have no second beat; take beats or bar")
        swung = page.bars if self.kind == "half-time" and page.feel.unit == _EIGHTHS else ()
        if bar := next((bar for bar in swung if len(bar.meter.beat_groups) > 1), None):
            raise OptionError(
                f"--click half-time: {page.title!r} swings in {bar.meter}, and a click for swing is not on 1 and 3; "
                "take 2-and-4 or bar"
            )

    def sounds_in(self, number: int) -> bool:
        """True if the click is on in a bar, by its number from 0 since bar 1 was first played."""
        return self.kind != "none" and (not self.on or number % (self.on + self.off) < self.on)

    def places(self, bar: Bar, beats: "tuple[Beat, ...]") -> Iterator[tuple[Fraction, Fraction, bool]]:
        """Where it sounds in a bar: place, room until the next beat, and whether it is 1."""
        if self.kind == "2-and-4":
            yield from ((at, room, False) for at, room in _backbeats(bar))
            return
        chosen = _group_starts(bar.meter) if self.kind == "half-time" else {1} if self.kind == "bar" else None
        for beat in beats:
            if chosen is None or beat.number in chosen:
                yield beat.start, beat.length, beat.number == 1


def _backbeats(bar: Bar) -> Iterator[tuple[Fraction, Fraction]]:
    """2 and 4, in cut time as well, where they are quarters."""
    meter = bar.meter
    if meter.denominator == 2:
        quarters = (bar.start + place for place in range(1, int(meter.span), 2))
        yield from ((at, Fraction(1)) for at in quarters if at < bar.end)
        return
    yield from ((at, meter.tempo_unit) for at in backbeats_in(bar))


def _group_starts(meter: Meter) -> set[int]:
    """Numbers of the beats that begin a group: 1 and 3 of four."""
    starts, number = set(), 1
    for size in meter.beat_groups:
        starts.add(number)
        number += size
    return starts


@dataclass(frozen=True, slots=True)
class PlayAlong:
    """How a play-along is laid out.

    Args:
        repeats: times through, at each tempo; None for four, fewer where that is more than 32 bars, or on a ladder of
            tempi enough for four bars at each.
        tempi: counts a minute, one after the other; empty for the page's start throughout.
        feel: a feel whose ratio follows the tempo; None for the page's own.
        pickup: the first bar holds a pickup, so that the count-in is that bar.
        click: where the click is.
        count_in: ``usual`` for a bar of beats, in cut time or fast a bar of half notes and one of quarters; ``one-bar``
            or ``two-bars`` of beats; ``none``.
        muted: limbs that are left out, for the student to play.
        start: the row it begins with, by its number or label; empty for the first.
        ritard: bars at the very end that slow down, to two thirds of the tempo.

    Raises:
        OptionError: a value outside these.
        TimeError: a tempo outside 20 to 400.
    """

    repeats: int | None = None
    tempi: tuple[float, ...] = ()
    feel: Feel | None = None
    pickup: bool = False
    click: Click = Click()
    count_in: str = "usual"
    muted: tuple[Limb, ...] = ()
    start: str = ""
    ritard: int = 0

    def __post_init__(self) -> None:
        if self.repeats is not None and not 1 <= self.repeats <= _MOST_REPEATS:
            raise OptionError(f"--repeats {self.repeats}; a page is played through 1 to {_MOST_REPEATS} times")
        for tempo in self.tempi:
            bpm_value(tempo)
        if self.count_in not in COUNT_INS:
            raise OptionError(f"--count-in {self.count_in}; it is one of {', '.join(COUNT_INS)}")
        object.__setattr__(self, "muted", tuple(sorted(set(self.muted))))
        if len(self.muted) == len(Limb):
            raise OptionError(
                f"--mute {','.join(limb.name for limb in self.muted)} leaves nobody to play along with; leave one in"
            )

    @property
    def suffix(self) -> str:
        """What stands in the file's name after the page's: the limbs left out; empty where none is."""
        words = "-and-".join(limb.words.replace(" ", "-") for limb in self.muted)
        return f"-without-{words}" if words else ""

    def turns(self, page: Page) -> list[float]:
        """The tempo of each time through, in counts a minute."""
        if not self.tempi:
            usual = min(_USUAL_REPEATS, max(1, _LONG_BARS // len(page.bars)))
            return [page.tempo.start] * (self.repeats or usual)
        each = self.repeats or -(-_BARS_A_TEMPO // len(page.bars))
        return [tempo for tempo in self.tempi for _ in range(each)]

    def first_row(self, page: Page) -> int:
        """The index of the row it begins with.

        Raises:
            OptionError: a number the page has no row for.
            UnknownNameError: a label that is none of its rows'.
        """
        if not self.start:
            return 0
        labels = [row.label for row in page.rows]
        if self.start in labels:
            return labels.index(self.start)
        if not self.start.isdecimal():
            passes = tuple(label for label in labels if label.startswith(f"{self.start}, "))
            raise UnknownNameError(f"row of {page.title!r}", self.start, labels, likely=passes)
        if not 1 <= int(self.start) <= len(labels):
            rows = f"rows 1 to {len(labels)}, or give a row's label" if len(labels) > 1 else "one row"
            raise OptionError(f"--from {self.start}: {page.title!r} has {rows}")
        return int(self.start) - 1

    def lead_bars(self, meter: Meter, tempo_quarters: float) -> int:
        """How many bars come before the first."""
        bars = {"usual": 2 if self._in_halves(meter, tempo_quarters) else 1, "one-bar": 1, "two-bars": 2, "none": 0}
        return max(0, bars[self.count_in] - self.pickup)

    def counted(self, meter: Meter, tempo_quarters: float) -> list[Fraction]:
        """How long each stroke of the count-in lasts, in quarters, from the first."""
        if self.count_in == "none":
            return []
        if self._in_halves(meter, tempo_quarters):
            return [Fraction(2)] * int(meter.span / 2) + [Fraction(1)] * int(meter.span)
        return [*meter.beats] * (self.lead_bars(meter, tempo_quarters) + self.pickup)

    def _in_halves(self, meter: Meter, tempo_quarters: float) -> bool:
        """True where the count-in is a bar of half notes, then one of quarters: cut time, or fast four."""
        cut = meter.denominator == 2
        fast_four = meter.denominator == 4 and meter.numerator % 2 == 0 and tempo_quarters >= _FAST_QUARTERS
        return self.count_in == "usual" and not self.pickup and (cut or fast_four)
