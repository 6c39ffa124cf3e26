"""What a style is made of: its range of tempi, and patterns with what each is for."""

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from kitgen.errors import OptionError, PatternError, UnknownNameError
from kitgen.pattern import Pattern
from kitgen.styles.forms import SECTIONS
from kitgen.time import bpm_value, unit_names

MOST_BARS = 64
LANDINGS = ("crash", "time", "silence")

UNITS = {
    "eighth": Fraction(1, 2),
    "quarter": Fraction(1),
    "dotted-quarter": Fraction(3, 2),
    "half": Fraction(2),
}
"""Note values a style's tempo may count, in quarters."""


class Role(Enum):
    """What a pattern of a style is for."""

    GROOVE = "groove"
    VARIATION = "variation"
    SIMPLER = "simpler"
    FULLER = "fuller"
    FILL = "fill"
    ENDING = "ending"
    INTRO = "intro"
    PICKUP = "pickup"

    @property
    def keeps_time(self) -> bool:
        """True for what is played over and over."""
        return self in (Role.GROOVE, Role.VARIATION, Role.SIMPLER, Role.FULLER)

    @property
    def ends_a_bar(self) -> bool:
        """True for what may be shorter than a bar and then lies at its end."""
        return self in (Role.FILL, Role.PICKUP)


@dataclass(frozen=True, slots=True)
class TempoRange:
    """The tempi a style lives in.

    Args:
        low: the slowest, in counts of the unit a minute.
        high: the fastest.
        unit: the note value counted, in quarters.

    Raises:
        TimeError: outside 20 to 400; OptionError: the slowest above the fastest.
    """

    low: float
    high: float
    unit: Fraction = Fraction(1)

    def __post_init__(self) -> None:
        for name in ("low", "high"):
            object.__setattr__(self, name, bpm_value(getattr(self, name)))
        if self.low > self.high:
            raise OptionError(f"a tempo from {self.low:g} to {self.high:g}; the slowest comes first")

    def holds(self, bpm: float) -> bool:
        """True for a tempo of this range."""
        return self.low <= bpm <= self.high

    def __str__(self) -> str:
        return f"{self.low:g} to {self.high:g} {unit_names(self.unit)} a minute"


@dataclass(frozen=True)
class StylePattern:
    """One pattern of a style.

    Args:
        name: its name in the style, one hyphenated word.
        role: what it is for.
        pattern: its notes, whole bars; a fill or pickup shorter than a bar is silent until it begins.
        words: what it is and how it is played, one line.
        source: where it comes from.
        tempo: the part of the style's tempi it is for.
        sections: sections of a form it is meant for; empty for any.
        starts: where a fill or pickup begins in its first bar, in quarters.
        lands: what comes on the 1 after a fill: ``crash`` (with bass under it), ``time`` or ``silence``.
        own_feet: its feet are not the style's.
        accepts: rules whose warnings the author has heard and means.

    Raises:
        PatternError: not whole bars, nothing struck, something struck before it begins.
        OptionError: a landing or section there is not.
    """

    name: str
    role: Role
    pattern: Pattern
    words: str
    source: str
    tempo: TempoRange
    sections: tuple[str, ...] = ()
    starts: Fraction = Fraction(0)
    lands: str = "time"
    own_feet: bool = False
    accepts: tuple[str, ...] = field(default=())

    def __post_init__(self) -> None:
        if not self.pattern.hits:
            raise PatternError(f"pattern {self.name!r} strikes nothing")
        if not self.pattern.meters.whole:
            raise PatternError(f"pattern {self.name!r} ends inside a bar; it lasts whole bars")
        if self.bars > MOST_BARS:
            raise PatternError(f"pattern {self.name!r} lasts {self.bars} bars; {MOST_BARS} at most")
        if self.pattern.hits[0].onset < self.starts:
            raise PatternError(f"pattern {self.name!r} strikes before it begins")
        if self.lands not in LANDINGS:
            raise UnknownNameError("landing", self.lands, LANDINGS)
        for section in self.sections:
            if section not in SECTIONS:
                raise UnknownNameError("section", section, SECTIONS)

    @property
    def bars(self) -> int:
        """Bars it lasts; a fill of part of a bar has one."""
        return len(self.pattern.meters.bars)

    @property
    def beats(self) -> int:
        """Beats it is played for, silence before a fill left out."""
        return sum(beat.start >= self.starts for beat in self.pattern.meters.beats)

    @property
    def length(self) -> Fraction:
        """How long it is played, in quarters."""
        return self.pattern.span - self.starts
