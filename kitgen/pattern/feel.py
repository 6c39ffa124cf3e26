"""How written eighths or sixteenths are played: even, or swung by a ratio.

The ratio is long:short of a pair. ``auto`` follows the tempo: for eighths the medians of working trio drummers by
tempo (H. Cheston, J. Schlichting, I. Cross, P. Harrison, Jazz Trio Database, TISMIR 2024, per-track values),
interpolated, ends held, rounded to 0.05; for sixteenths 1.2:1 at every tempo (A. Frane, Music Perception 34(3), 2017,
median of 30 breaks; no correlation with tempo found).
"""

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from kitgen.errors import FeelError

_WIDEST = 5
_BY_TEMPO = (
    (110, Fraction("2.16")), (130, Fraction("2.14")), (150, Fraction("2.05")), (170, Fraction("1.91")),
    (190, Fraction("1.85")), (210, Fraction("1.65")), (230, Fraction("1.55")), (250, Fraction("1.35")),
    (270, Fraction("1.27")), (290, Fraction("1.15")),
)  # fmt: skip
_SIXTEENTHS = Fraction("1.2")


def _exact(ratio: object) -> Fraction:
    if isinstance(ratio, Fraction | int):
        return Fraction(ratio)
    raise FeelError(f"a swing ratio of {ratio!r}; ratios are exact: give a Fraction, an int or text such as 1.6:1")


@dataclass(frozen=True, slots=True)
class Feel:
    """Even (unit 0), or swing of a unit.

    Args:
        unit: 0 for even, 8 to swing eighths, 16 to swing sixteenths.
        ratio: long:short, 1 to 5; None for "auto", resolved when the tempo is known.

    Raises:
        FeelError: a unit or ratio outside these.

    >>> str(Feel.parse("2:1")), str(Feel.parse("auto", unit=16)), str(EVEN)
    ('8 2:1', '16 auto', 'even')
    """

    unit: int = 0
    ratio: Fraction | None = Fraction(1)

    def __post_init__(self) -> None:
        if self.unit not in (0, 8, 16):
            raise FeelError(f"swing unit {self.unit}; eighths (8) or sixteenths (16) swing")
        if self.ratio is not None:
            object.__setattr__(self, "ratio", _exact(self.ratio))
        if self.ratio is not None and not 1 <= self.ratio <= _WIDEST:
            raise FeelError(
                f"a swing ratio of {_colon(self.ratio)} is outside 1:1 to {_WIDEST}:1, long to short; "
                "the widest measured is about 3.5:1"
            )
        if not self.unit and self.ratio != 1:
            raise FeelError("an even feel has no ratio; give a unit (8 or 16) to swing")

    @classmethod
    def parse(cls, text: str, *, unit: int = 8) -> "Feel":
        """Read ``even``, ``auto`` or ``N:M`` (``2:1``, ``1.6:1``).

        Raises:
            FeelError: none of these, or a ratio outside 1:1 to 5:1.
        """
        word = text.strip().lower()
        if word == "even":
            return EVEN
        if word == "auto":
            return cls(unit, None)
        long, colon, short = word.partition(":")
        try:
            ratio = Fraction(long) / Fraction(short) if colon and "-" not in word else None
        except (ValueError, ZeroDivisionError):
            ratio = None
        if ratio is None:
            raise FeelError(f"cannot read {text!r} as a swing; write even, auto, or long:short such as 2:1 or 1.6:1")
        if ratio < 1:
            raise FeelError(
                f"a swing of {text} is shorter than 1:1; the first of a pair is the long one, 1:1 to {_WIDEST}:1"
            )
        return cls(unit, ratio)

    @property
    def pair(self) -> Fraction:
        """Length of the swung pair in quarters."""
        if not self.unit:
            raise FeelError("an even feel has no pairs")
        return Fraction(8, self.unit)

    def resolved(self, tempo_quarters: float | None) -> "Feel":
        """The feel with ``auto`` turned into the ratio of a tempo in quarters a minute.

        Raises:
            FeelError: the ratio is auto and there is no tempo.
        """
        if self.ratio is not None:
            return self
        if tempo_quarters is None:
            raise FeelError("swing auto takes its ratio from the tempo; give a tempo or a ratio such as 2:1")
        return Feel(self.unit, auto_ratio(tempo_quarters, unit=self.unit))

    @property
    def ratio_text(self) -> str:
        """``2:1``, ``1.85:1`` or ``auto``."""
        return "auto" if self.ratio is None else _colon(self.ratio)

    def __str__(self) -> str:
        return f"{self.unit} {self.ratio_text}" if self.unit else "even"


EVEN = Feel()


def auto_ratio(tempo_quarters: float, *, unit: int = 8) -> Fraction:
    """The usual swing ratio at a tempo in quarters a minute.

    Raises:
        FeelError: a tempo that is no number, or 0 or less.

    >>> auto_ratio(110), auto_ratio(60), auto_ratio(200)
    (Fraction(43, 20), Fraction(43, 20), Fraction(7, 4))
    """
    if not 0 < tempo_quarters < math.inf:
        raise FeelError(f"swing auto takes its ratio from the tempo, and {tempo_quarters} quarters a minute is none")
    if unit == 16:
        return _SIXTEENTHS
    tempo = Fraction(tempo_quarters)
    ratio = _BY_TEMPO[0][1] if tempo <= _BY_TEMPO[0][0] else _BY_TEMPO[-1][1]
    for (low, first), (high, second) in pairwise(_BY_TEMPO):
        if low <= tempo <= high:
            ratio = first + (second - first) * (tempo - low) / (high - low)
    return Fraction(int(ratio * 20 + Fraction(1, 2)), 20)


def _colon(ratio: Fraction) -> str:
    """A ratio as N:M: ``2:1``, ``1.85:1`` where a short decimal is exact, else ``5:3``."""
    decimal = f"{float(ratio):g}"
    return f"{decimal}:1" if Fraction(decimal) == ratio else f"{ratio.numerator}:{ratio.denominator}"
