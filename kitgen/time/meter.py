"""Meters with their beat grouping, and the map of meters under a line or pattern.

Conventions: lengths in quarters, exact. A meter with an eighth or shorter below (6/8, 7/8) has its groups as
beats: 6/8 is two dotted quarters, 7/8 is 2+2+3. A meter with a quarter or longer below has its unit as the
beat, and its groups gather beats (5/4 is 3+2). 3/8 is one dotted quarter; write 1+1+1/8 to beat its eighths.
Default groupings are common practice.
"""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import accumulate
from typing import NamedTuple

from kitgen.errors import TimeError

_LONGEST_NUMERATOR = 64
_DENOMINATORS = (1, 2, 4, 8, 16, 32, 64)


def _usual_groups(numerator: int, *, short: bool) -> tuple[int, ...]:
    """How a meter is grouped when nobody says: threes, the remainder in twos (7 is 2+2+3 in eighths)."""
    if numerator <= 3:
        return (numerator,)
    if numerator == 7:
        return (2, 2, 3)
    if numerator % 2 == 0 and not short and numerator % 3:
        return (2,) * (numerator // 2)
    twos = {0: 0, 1: 2, 2: 1}[numerator % 3]
    return (3,) * ((numerator - 2 * twos) // 3) + (2,) * twos


@dataclass(frozen=True, slots=True)
class Meter:
    """A time signature and how its units are grouped.

    Args:
        numerator: units in a bar, 1 to 64.
        denominator: the unit as a note value: 1, 2, 4, 8, 16, 32 or 64.
        groups: units in each group, adding up to the numerator; the usual grouping when left out or one alone.

    Raises:
        TimeError: when the parts do not make a meter.

    >>> Meter.parse("6/8").beats
    (Fraction(3, 2), Fraction(3, 2))
    >>> str(Meter.parse("2+3/8")), str(Meter.parse("3+2/8"))
    ('2+3/8', '5/8')
    """

    numerator: int
    denominator: int
    groups: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        if not 1 <= self.numerator <= _LONGEST_NUMERATOR or self.denominator not in _DENOMINATORS:
            raise TimeError(
                f"no meter {self.numerator}/{self.denominator}: above the line 1 to {_LONGEST_NUMERATOR}, "
                f"below it one of {', '.join(map(str, _DENOMINATORS))}"
            )
        usual = _usual_groups(self.numerator, short=self.denominator >= 8)
        groups = tuple(self.groups) or usual
        if sum(groups) != self.numerator or min(groups) < 1:
            raise TimeError(
                f"grouping {'+'.join(map(str, groups))} does not add up to {self.numerator}; "
                f"{self.numerator}/{self.denominator} is usually {'+'.join(map(str, usual))}"
            )
        object.__setattr__(self, "groups", groups if len(groups) > 1 else usual)

    @classmethod
    def parse(cls, text: str) -> "Meter":
        """Read ``4/4``, ``7/8`` or, with its own grouping, ``3+2+2/8``."""
        above, slash, below = text.strip().partition("/")
        try:
            groups = tuple(int(part) for part in above.split("+"))
            meter = int(below) if slash else 0
        except ValueError:
            groups, meter = (), 0
        if not groups or not meter or min(groups) < 1:
            raise TimeError(f"cannot read {text!r} as a meter; write it like 4/4, 6/8 or 2+2+3/8")
        return cls(sum(groups), meter, groups if len(groups) > 1 else ())

    def __str__(self) -> str:
        usual = _usual_groups(self.numerator, short=self.denominator >= 8)
        above = str(self.numerator) if self.groups == usual else "+".join(map(str, self.groups))
        return f"{above}/{self.denominator}"

    @property
    def unit(self) -> Fraction:
        """Length of the unit below the line, in quarters."""
        return Fraction(4, self.denominator)

    @property
    def span(self) -> Fraction:
        """Length of a bar in quarters."""
        return Fraction(4 * self.numerator, self.denominator)

    @property
    def beats(self) -> tuple[Fraction, ...]:
        """Lengths of the beats of a bar, in quarters, in order."""
        return _beats(self)

    @property
    def beat_groups(self) -> tuple[int, ...]:
        """How many beats belong together, in order: (2, 2) in 4/4, (2,) in 6/8, (3, 2) in 5/4."""
        if self.denominator < 8:
            return self.groups
        return _usual_groups(len(self.groups), short=False)

    @property
    def tempo_unit(self) -> Fraction:
        """What one count of the bpm lasts, in quarters: the beat, or the unit where beats are unequal."""
        beats = set(self.beats)
        return beats.pop() if len(beats) == 1 else self.unit

    @property
    def is_compound(self) -> bool:
        """True where every beat divides in three units, as in 6/8, 9/8 and 12/8."""
        return self.denominator >= 8 and set(self.groups) == {3}


@lru_cache(maxsize=256)
def _beats(meter: Meter) -> tuple[Fraction, ...]:
    if meter.denominator < 8:
        return (meter.unit,) * meter.numerator
    return tuple(size * meter.unit for size in meter.groups)


class Bar(NamedTuple):
    """One bar of a map: its number (from 1), start and length in quarters, and its meter."""

    number: int
    start: Fraction
    length: Fraction
    meter: Meter

    @property
    def end(self) -> Fraction:
        """Where the next bar starts."""
        return self.start + self.length


class Beat(NamedTuple):
    """One beat of a bar: its bar and number (both from 1), start and length in quarters."""

    bar: int
    number: int
    start: Fraction
    length: Fraction
    meter: Meter

    @property
    def full(self) -> Fraction:
        """What the beat would last if no short bar cut it, in quarters."""
        return self.meter.beats[self.number - 1]

    @property
    def end(self) -> Fraction:
        """Where the next beat starts."""
        return self.start + self.length


@lru_cache(maxsize=256)
def _places(meter: Meter) -> tuple[tuple[Fraction, Fraction], ...]:
    """Each beat of a bar as (quarters after the barline, length)."""
    return tuple(zip(accumulate(meter.beats, initial=Fraction(0)), meter.beats, strict=False))


@dataclass(frozen=True)
class Meters:
    """The meters under a span: runs of (meter, length in quarters), neighbours with one meter joined.

    Bars are counted from the start of each run; a run that is no whole number of bars ends in a short bar.
    Joining end to end is associative and the empty map is its identity, so pieces of bars put together
    make whole bars.

    >>> half = Meters(((Meter(4, 4), Fraction(2)),))
    >>> half + half == Meters.of(Meter(4, 4), 1)
    True
    """

    runs: tuple[tuple[Meter, Fraction], ...] = ()

    def __post_init__(self) -> None:
        joined: list[tuple[Meter, Fraction]] = []
        for meter, length in self.runs:
            exact = _exact(length)
            if joined and joined[-1][0] == meter:
                joined[-1] = (meter, joined[-1][1] + exact)
            elif exact:
                joined.append((meter, exact))
        object.__setattr__(self, "runs", tuple(joined))

    @classmethod
    def of(cls, meter: Meter, bars: int = 1) -> "Meters":
        """So many whole bars of one meter."""
        return cls(((meter, meter.span * bars),))

    def __add__(self, other: "Meters") -> "Meters":
        if not isinstance(other, Meters):
            return NotImplemented
        return Meters(self.runs + other.runs)

    def __mul__(self, times: int) -> "Meters":
        if not isinstance(times, int):
            return NotImplemented
        if times < 0:
            raise TimeError(f"meters cannot be repeated {times} times; 0 or more")
        if len(self.runs) == 1:
            ((meter, length),) = self.runs
            return Meters(((meter, length * times),))
        return Meters(self.runs * times)

    @cached_property
    def span(self) -> Fraction:
        """Length of the whole in quarters."""
        return sum((length for _, length in self.runs), Fraction(0))

    @property
    def only(self) -> Meter | None:
        """The meter, if there is just one."""
        return self.runs[0][0] if len(self.runs) == 1 else None

    @cached_property
    def bars(self) -> tuple[Bar, ...]:
        """Every bar in order."""
        found: list[Bar] = []
        start = Fraction(0)
        for meter, length in self.runs:
            end = start + length
            while start < end:
                size = min(meter.span, end - start)
                found.append(Bar(len(found) + 1, start, size, meter))
                start += size
        return tuple(found)

    @cached_property
    def beats(self) -> tuple[Beat, ...]:
        """Every beat in order; a short bar cuts its last beat."""
        found: list[Beat] = []
        for bar in self.bars:
            number, start, meter = bar.number, bar.start, bar.meter
            places = enumerate(_places(meter), start=1)
            if bar.length == meter.span:
                found += [Beat(number, index, start + after, length, meter) for index, (after, length) in places]
            else:
                found += [
                    Beat(number, index, start + after, min(length, bar.length - after), meter)
                    for index, (after, length) in places
                    if after < bar.length
                ]
        return tuple(found)

    @cached_property
    def _beat_starts(self) -> list[Fraction]:
        return [beat.start for beat in self.beats]

    def beat_index(self, onset: Fraction) -> int:
        """Which of :attr:`beats` holds an instant inside the span, from 0.

        Raises:
            TimeError: outside the span.
        """
        if not 0 <= onset < self.span:
            raise TimeError(f"instant {onset} lies outside the span 0 to {self.span} quarters")
        return bisect_right(self._beat_starts, onset) - 1

    def beat_at(self, onset: Fraction) -> Beat:
        """The beat that holds an instant inside the span.

        Raises:
            TimeError: outside the span.
        """
        return self.beats[self.beat_index(onset)]

    @property
    def whole(self) -> bool:
        """True if every bar is full."""
        return all(bar.length == bar.meter.span for bar in self.bars)

    def cut(self, start: Fraction, end: Fraction) -> "Meters":
        """The map of the part from ``start`` to ``end``, both in quarters."""
        runs, at = [], Fraction(0)
        for meter, length in self.runs:
            inside = min(end, at + length) - max(start, at)
            if inside > 0:
                runs.append((meter, inside))
            at += length
        return Meters(tuple(runs))

    def __iter__(self) -> Iterator[Bar]:
        return iter(self.bars)

    def __str__(self) -> str:
        return ", ".join(f"{length / meter.span} x {meter}" for meter, length in self.runs) or "nothing"


def _exact(length: object) -> Fraction:
    if not isinstance(length, Fraction | int):
        raise TimeError(f"a span of {length!r}; lengths are exact: give a Fraction or an int, in quarters")
    if length < 0:
        raise TimeError(f"a span of {length} quarters cannot be; a length is 0 or more")
    return Fraction(length)
