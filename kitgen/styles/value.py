"""A style as a value: how a family of grooves is counted, felt and led, and its patterns."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from kitgen.errors import OptionError, PatternError, UnknownNameError
from kitgen.pattern import EVEN, Feel, Pattern
from kitgen.styles.forms import FORMS, Form
from kitgen.styles.micro import MICRO_TIMINGS, MicroTiming
from kitgen.styles.parts import MOST_BARS, Role, StylePattern, TempoRange
from kitgen.time import Meter

STICKS = ("sticks", "brushes", "mallets", "rods", "hands")
COUNT_IN_BARS = (1, 2)


class Clave(NamedTuple):
    """The clave of a style.

    Args:
        side: ``3-2`` or ``2-3``.
        kind: ``son`` or ``rumba``.
    """

    side: str
    kind: str = "son"


@dataclass(frozen=True)
class Style:
    """A family of grooves: how it is counted, felt and led, and its patterns.

    Args:
        name: one hyphenated word, the name of its file.
        title: its name on a page.
        words: what it is, one line.
        meter: its meter.
        tempo: the tempi it lives in.
        patterns: its patterns in the order they are taught; the first groove is the basic one.
        sources: where it comes from: "common practice" or what is published.
        feel: even or swung.
        count_quarters: pages count the quarters instead of the meter's beats (cut-time Latin).
        clave: its clave, where it has one.
        leads: the rows that lead the balance, loudest first, as limb and surface.
        feet: what the feet play under everything, where that is fixed; one or two bars.
        sticks: what is held: sticks, brushes, mallets, rods, hands.
        count_in_bars: 1, or 2 for a bar of half notes and then a bar of quarters.
        crash_in_fills: False where fills hold no crash and land on none.
        phrase_bars: usual lengths of its phrases.
        forms: names of the forms it is usually played in.
        micro: name of its published micro-timing.
        notes: notes to the player, a sentence each.

    Raises:
        OptionError: a value outside what is allowed; UnknownNameError: a form or micro-timing there is not.
        PatternError: two patterns of one name, no groove, a pattern in another meter or feel.
    """

    name: str
    title: str
    words: str
    meter: Meter
    tempo: TempoRange
    patterns: tuple[StylePattern, ...]
    sources: tuple[str, ...]
    feel: Feel = EVEN
    count_quarters: bool = False
    clave: Clave | None = None
    leads: tuple[str, ...] = ()
    feet: Pattern | None = None
    sticks: tuple[str, ...] = ("sticks",)
    count_in_bars: int = 1
    crash_in_fills: bool = True
    phrase_bars: tuple[int, ...] = (4, 8)
    forms: tuple[str, ...] = ()
    micro: str | None = None
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for held in self.sticks:
            _one_of("sticks", held, STICKS)
        for form in self.forms:
            _one_of("form", form, FORMS)
        if self.micro is not None:
            _one_of("micro-timing", self.micro, MICRO_TIMINGS)
        if self.count_in_bars not in COUNT_IN_BARS:
            raise OptionError(f"a count-in of {self.count_in_bars} bars; it is 1, or 2 in cut time or fast tempi")
        if any(not 1 <= bars <= MOST_BARS for bars in self.phrase_bars):
            raise OptionError(f"phrases of {', '.join(map(str, self.phrase_bars))} bars; a phrase has 1 to {MOST_BARS}")
        names = [pattern.name for pattern in self.patterns]
        if double := next((name for name in names if names.count(name) > 1), None):
            raise PatternError(f"two patterns are called {double!r}; give each a name of its own")
        for item in self.patterns:
            if item.pattern.meters.only != self.meter or item.pattern.feel != self.feel:
                raise PatternError(f"pattern {item.name!r} is not in the style's meter and feel")
        if not self.of_role(Role.GROOVE):
            raise PatternError('no pattern has the role "groove"; a style has a basic groove')

    def of_role(self, *roles: Role) -> tuple[StylePattern, ...]:
        """The patterns of some roles, in order."""
        return tuple(pattern for pattern in self.patterns if pattern.role in roles)

    @property
    def groove(self) -> StylePattern:
        """The basic groove."""
        return self.of_role(Role.GROOVE)[0]

    @property
    def fills(self) -> tuple[StylePattern, ...]:
        """The fills, shortest first."""
        return tuple(sorted(self.of_role(Role.FILL), key=lambda item: item.length))

    def named(self, name: str) -> StylePattern:
        """A pattern by its name.

        Raises:
            UnknownNameError: no such pattern; names the nearest.
        """
        for pattern in self.patterns:
            if pattern.name == name:
                return pattern
        raise UnknownNameError(f"pattern of {self.name}", name, [pattern.name for pattern in self.patterns])

    def nearest(self, bpm: float) -> float:
        """A tempo the style lives at: the one given, or the end of its range that is nearest."""
        return min(max(bpm, self.tempo.low), self.tempo.high)

    def time_at(self, bpm: float, *, section: str | None = None) -> StylePattern:
        """What keeps time at a tempo: the first pattern meant for it, and for the section if one is.

        Args:
            bpm: the tempo, in the style's unit.
            section: a section of a form, such as ``bridge``.
        """
        fitting = [item for item in self.patterns if item.role.keeps_time and item.tempo.holds(bpm)]
        meant = [item for item in fitting if section in item.sections]
        usual = [item for item in fitting if not item.sections]
        return next(iter([*meant, *usual, *fitting]), self.groove)

    @property
    def form_values(self) -> tuple[Form, ...]:
        """The forms it is usually played in."""
        return tuple(FORMS[name] for name in self.forms)

    @property
    def micro_timing(self) -> MicroTiming | None:
        """Its published micro-timing, if it has one."""
        return None if self.micro is None else MICRO_TIMINGS[self.micro]


def _one_of(kind: str, given: str, allowed: Iterable[str]) -> None:
    names = tuple(allowed)
    if given not in names:
        raise UnknownNameError(kind, given, names)
