"""Ways to divide beats evenly: so many parts a beat, or m parts in the time of n beats."""

from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from kitgen.errors import TimeError
from kitgen.time.meter import Meters

_MOST_PARTS = 64


@dataclass(frozen=True, slots=True)
class Subdivision:
    """``parts`` even parts in the time of ``beats`` beats.

    >>> Subdivision.parse("3:2")
    Subdivision(parts=3, beats=2)
    >>> from kitgen.time import Meter
    >>> Subdivision(3, 2).slots(Meters.of(Meter(2, 4)))
    (Fraction(0, 1), Fraction(2, 3), Fraction(4, 3))
    """

    parts: int
    beats: int = 1

    def __post_init__(self) -> None:
        if not (1 <= self.parts <= _MOST_PARTS and 1 <= self.beats <= _MOST_PARTS):
            raise TimeError(f"no subdivision {self.parts}:{self.beats}; both numbers are 1 to {_MOST_PARTS}")

    @classmethod
    def parse(cls, text: str) -> "Subdivision":
        """Read ``4`` (parts a beat) or ``3:2`` (three in the time of two beats)."""
        parts, _, beats = text.strip().partition(":")
        try:
            return cls(int(parts), int(beats or 1))
        except ValueError as error:
            if isinstance(error, TimeError):
                raise
            raise TimeError(f"cannot read {text!r} as a subdivision; write 4, or 3:2 for three in two beats") from None

    def __str__(self) -> str:
        return f"{self.parts}:{self.beats}" if self.beats > 1 else str(self.parts)

    def slots(self, meters: Meters) -> tuple[Fraction, ...]:
        """Every place of the subdivision under a map, in quarters, in order.

        Beats are taken ``self.beats`` at a time from each barline; beats left over in a bar are not divided.
        """
        return tuple(start for start, _ in self.spans(meters))

    def spans(self, meters: Meters) -> tuple[tuple[Fraction, Fraction], ...]:
        """Every place as (start, length), in quarters, in order; see :meth:`slots`."""
        places: list[tuple[Fraction, Fraction]] = []
        for _, members in groupby(meters.beats, key=lambda beat: beat.bar):
            beats = list(members)
            for first in range(0, len(beats) - self.beats + 1, self.beats):
                start = beats[first].start
                length = (beats[first + self.beats - 1].end - start) / self.parts
                places += [(start + length * k, length) for k in range(self.parts)]
        return tuple(places)
