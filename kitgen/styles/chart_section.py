"""One section of a band chart, as it is written.

Conventions: bars of a section count from 1 in it. The last bars of a section that is repeated may be endings, one for
each time through.
"""

from dataclasses import dataclass, field

from kitgen.errors import OptionError, PatternError, UnknownNameError
from kitgen.styles.forms import SECTIONS
from kitgen.styles.value import Style
from kitgen.time import Meter

DYNAMICS = ("ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "sfz", "fp", "cresc.", "dim.")
BACKS = ("D.C.", "D.S.", "D.C. al fine", "D.S. al fine", "D.C. al coda", "D.S. al coda")
CHART_FILLS = ("auto", "none", "1-beat", "2-beats", "1-bar")
MOST_BARS, MOST_TIMES = 128, 16


@dataclass(frozen=True)
class ChartSection:
    """One section of a chart, as it is written.

    Args:
        mark: its rehearsal mark, such as ``A``.
        bars: how many bars are written, endings among them.
        style: what is played.
        meter: its meter.
        tempo: quarters a minute from its start on.
        words: what stands over its start besides the style.
        role: what the section is, one of ``SECTIONS`` (the ride moves in a bridge), or empty.
        dynamics: (bar, dynamic) pairs.
        times: how often it is played.
        endings: bars of each ending, in order; empty where there are none.
        repeat_from: mark of the section where its repeat begins; empty for itself.
        segno: a D.S. goes back to its start.
        coda: it is the coda.
        to_coda: the bar after which the coda comes, the time after the jump; 0 for none.
        back: a jump at its end, one of ``BACKS``, or empty.
        fine: the piece ends with it, the time after the jump.
        stops: bars of stop-time, in which only the figures are played.
        rests: bars in which the drums rest.
        fill: how long the fill into the next section is, one of ``CHART_FILLS``.

    Raises:
        OptionError, PatternError: parts that do not go together.
        UnknownNameError: a word there is not.
    """

    mark: str
    bars: int
    style: Style
    meter: Meter
    tempo: float
    words: str = ""
    role: str = ""
    dynamics: tuple[tuple[int, str], ...] = ()
    times: int = 1
    endings: tuple[int, ...] = ()
    repeat_from: str = ""
    segno: bool = False
    coda: bool = False
    to_coda: int = 0
    back: str = ""
    fine: bool = False
    stops: frozenset[int] = frozenset()
    rests: frozenset[int] = frozenset()
    fill: str = field(default="auto")

    def __post_init__(self) -> None:
        if not 1 <= self.bars <= MOST_BARS:
            raise OptionError(f"section {self.mark} of {self.bars} bars; a section has 1 to {MOST_BARS}")
        if not 1 <= self.times <= MOST_TIMES:
            raise OptionError(f"section {self.mark} is played {self.times} times; 1 to {MOST_TIMES}")
        for kind, given, allowed in (
            ("fill", self.fill, CHART_FILLS),
            ("jump", self.back or BACKS[0], BACKS),
            ("section", self.role or SECTIONS[0], SECTIONS),
            *(("dynamic", dynamic, DYNAMICS) for _, dynamic in self.dynamics),
        ):
            if given not in allowed:
                raise UnknownNameError(kind, given, allowed)
        if self.meter != self.style.meter:
            raise PatternError(
                f"section {self.mark} is in {self.meter}, and the style {self.style.name} in {self.style.meter}; "
                "choose a style in its meter, or leave the meter to the style"
            )
        self._check_bars()
        self._check_endings()

    def _check_bars(self) -> None:
        named = (("stops", self.stops), ("rests", self.rests), ("dynamics", (bar for bar, _ in self.dynamics)))
        for what, bars in (*named, ("to-coda", [self.to_coda] if self.to_coda else [])):
            if outside := next((bar for bar in sorted(bars) if not 1 <= bar <= self.bars), None):
                raise OptionError(f"{what} names bar {outside}, and section {self.mark} has bars 1 to {self.bars}")
        if both := sorted(self.stops & self.rests):
            raise OptionError(f"bar {both[0]} of section {self.mark} is a stop and a rest; it is one of them")

    def _check_endings(self) -> None:
        if not self.endings:
            return
        if len(self.endings) != self.times:
            raise OptionError(
                f"section {self.mark} is played {self.times} times and has {len(self.endings)} endings; "
                "give an ending for each time, such as endings = [2, 2] for two"
            )
        if min(self.endings) < 1 or sum(self.endings) >= self.bars:
            raise OptionError(
                f"the endings of section {self.mark} take {sum(self.endings)} bars of the {self.bars} that are "
                "written; each has 1 or more, and something comes before them"
            )

    @property
    def body(self) -> int:
        """Bars before the endings; all where there are none."""
        return self.bars - sum(self.endings)

    def ending_bars(self, turn: int) -> range:
        """The bars of an ending, counted from 1 as the times are."""
        start = self.body + sum(self.endings[: turn - 1])
        return range(start + 1, start + self.endings[turn - 1] + 1)

    def played(self, turn: int) -> list[int]:
        """The bars that are played of it, one of so many times through."""
        return [*range(1, self.body + 1), *(self.ending_bars(turn) if self.endings else ())]
