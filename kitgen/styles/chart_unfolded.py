"""The form of a chart as it is played: passages, bars, tempi and dynamics, in the order they come.

Conventions: places are quarters from the first bar that is played.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import groupby, pairwise
from operator import attrgetter
from typing import NamedTuple

from kitgen.kit import Limb
from kitgen.pattern import Feel, Hit, Pattern
from kitgen.pattern.swing import played_onsets
from kitgen.styles.chart import Chart
from kitgen.styles.chart_form import Passage
from kitgen.styles.chart_section import ChartSection
from kitgen.time import Bar, Meters

_SWELLS = ("cresc.", "dim.")


class PlayedBar(NamedTuple):
    """A bar as it is played.

    Args:
        passage: index of its passage.
        section: index of its section.
        bar: which bar of the section.
        written: the bar of the chart it is played from.
        start: where it is played, in quarters.
    """

    passage: int
    section: int
    bar: int
    written: Bar
    start: Fraction


@dataclass(frozen=True)
class Unfolded:
    """A chart with its form unfolded.

    Args:
        chart: the chart.
    """

    chart: Chart

    @cached_property
    def passages(self) -> tuple[Passage, ...]:
        """What is played, in order."""
        return self.chart.form.passages

    @cached_property
    def bars(self) -> tuple[PlayedBar, ...]:
        """Every bar that is played."""
        found, start = [], Fraction(0)
        for index, passage in enumerate(self.passages):
            for bar in passage.bars:
                written = self.chart.form.bar(passage.section, bar)
                found.append(PlayedBar(index, passage.section, bar, written, start))
                start += written.length
        return tuple(found)

    @cached_property
    def meters(self) -> Meters:
        """The meters of what is played."""
        return sum((Meters.of(bar.written.meter) for bar in self.bars), Meters())

    def section(self, passage: int) -> ChartSection:
        """The section of a passage."""
        return self.chart.form.sections[self.passages[passage].section]

    def bars_of(self, passage: int) -> list[PlayedBar]:
        """The bars of a passage."""
        return self._by_passage[passage]

    @cached_property
    def _by_passage(self) -> list[list[PlayedBar]]:
        return [list(own) for _, own in groupby(self.bars, key=attrgetter("passage"))]

    def by_passage(self, onsets: Sequence[Fraction]) -> list[slice]:
        """Of places in order, the part that falls in each passage."""
        edges = [bisect_left(onsets, start) for start, _ in self.spans]
        return [slice(first, last) for first, last in pairwise([*edges, len(onsets)])]

    @cached_property
    def spans(self) -> tuple[tuple[Fraction, Fraction], ...]:
        """Where each passage starts and ends."""
        parts = map(self.bars_of, range(len(self.passages)))
        return tuple((own[0].start, own[-1].start + own[-1].written.length) for own in parts)

    def label(self, passage: int) -> str:
        """A passage in words: its mark, which time, whether after the jump."""
        one, section = self.passages[passage], self.section(passage)
        times = max((other.turn for other in self.passages if other.section == one.section), default=1)
        turn = f", time {one.turn}" if times > 1 and not one.again else ""
        return f"{section.mark}{turn}{', after the jump' if one.again else ''}"

    def tempi(self) -> Iterator[tuple[int, float]]:
        """Played bars at which the tempo changes."""
        before = self.section(0).tempo
        for number, bar in enumerate(self.bars, start=1):
            tempo = self.section(bar.passage).tempo
            if tempo != before:
                yield number, tempo
            before = tempo

    def feel(self, passage: Passage) -> Feel:
        """The feel of a passage, its ratio that of the chart's first tempo."""
        style = self.chart.form.sections[passage.section].style
        return style.feel.resolved(self.chart.form.sections[0].tempo)

    def bpm(self, passage: int) -> float:
        """The tempo of a passage in its style's own unit."""
        section = self.section(passage)
        return section.tempo / float(section.style.tempo.unit)

    def is_stop(self, bar: PlayedBar) -> bool:
        """True where only figures are played."""
        return bar.bar in self.chart.form.sections[bar.section].stops

    def is_rest(self, bar: PlayedBar) -> bool:
        """True where the drums rest."""
        return bar.bar in self.chart.form.sections[bar.section].rests

    def bar_at(self, onset: Fraction) -> PlayedBar:
        """The bar that holds an instant."""
        return self.bars[self.meters.beat_at(onset).bar - 1]

    def dynamic_at(self, onset: Fraction) -> str:
        """The dynamic in force, in the second half of a swell the one it leads to; empty before the first."""
        bar = self.bar_at(onset).written.number
        place = bisect_right(self._dynamics, (bar, "\uffff"))
        said = [word for _, word in self._dynamics[:place] if word not in _SWELLS]
        before = said[-1] if said else ""
        if not place or self._dynamics[place - 1][1] not in _SWELLS:
            return before
        begins = self._dynamics[place - 1][0]
        ends, to = next((one for one in self._dynamics[place:] if one[1] not in _SWELLS), (bar, before))
        return to if 2 * bar >= begins + ends else before

    @cached_property
    def _dynamics(self) -> list[tuple[int, str]]:
        """Dynamics and swells by written bar, in order."""
        form = self.chart.form
        every = zip(form.firsts, form.sections, strict=True)
        return sorted((first + bar - 1, word) for first, one in every for bar, word in one.dynamics)

    def seconds(self, onsets: Iterable[Fraction]) -> dict[Fraction, float]:
        """When strokes sound, in seconds, by where they are written."""
        found: dict[Fraction, float] = {}
        every, clock = sorted(onsets), 0.0
        for index, (passage, part) in enumerate(zip(self.passages, self.by_passage(every), strict=True)):
            start, end = self.spans[index]
            inside = every[part]
            own = tuple(Hit(at - start, Limb.RH, "ride") for at in inside)
            moved, _ = played_onsets(Pattern(own, self.meters.cut(start, end), self.feel(passage)))
            a_quarter = 60 / self.section(index).tempo
            found |= {at: clock + float(moved[at - start]) * a_quarter for at in inside}
            clock += float(end - start) * a_quarter
        return found
