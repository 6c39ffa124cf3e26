"""What the band plays through a whole performance of a chart, party by party, and what of it the drums have to do with.

Conventions: places are quarters from the first bar that is played.
"""

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from kitgen.line import Line, Note
from kitgen.styles.chart_unfolded import PlayedBar, Unfolded

HEARD = "saxes"
"""Whose figures are heard and not caught."""


@dataclass(frozen=True)
class Heard(Unfolded):
    """A chart unfolded, with the band's figures where they come.

    Args:
        chart: the chart.
    """

    @cached_property
    def lines(self) -> dict[str, Line]:
        """What each party plays through the whole performance, bars of rest and other parties' stops left out."""
        found = {who: self._cut_short(self._notes(line, who)) for who, line in self.chart.lines.items()}
        return {who: line for who, line in found.items() if line.notes}

    def _cut_short(self, notes: Iterable[Note]) -> Line:
        """Notes as a line, each ending where the next begins, which in another order may come sooner."""
        every = list(notes)
        ends = [*(note.onset for note in every[1:]), self.meters.span][: len(every)]
        both = zip(every, ends, strict=True)
        return Line(tuple(replace(note, length=min(note.length, end - note.onset)) for note, end in both), self.meters)

    def _notes(self, written: Line, who: str) -> Iterator[Note]:
        for bar in self.bars:
            if not self._plays_in(bar, who):
                continue
            yield from (note.moved(bar.start - bar.written.start) for note in _inside(written, bar))

    @cached_property
    def struck_by_band(self) -> frozenset[Fraction]:
        """Where a figure is played that is kicked or caught."""
        return frozenset(at for who, line in self.lines.items() if who != HEARD for at in line.onsets)

    @cached_property
    def unplayed(self) -> dict[str, tuple[Fraction, ...]]:
        """Where figures fall in bars in which nothing of them is played, by party."""
        return {
            who: tuple(
                bar.start + note.onset - bar.written.start
                for bar in self.bars
                if not self._plays_in(bar, who)
                for note in _inside(line, bar)
            )
            for who, line in self.chart.lines.items()
        }

    def _plays_in(self, bar: PlayedBar, who: str) -> bool:
        return not self.is_rest(bar) and (who == "full" or not self.is_stop(bar))

    @cached_property
    def full(self) -> Line:
        """The full ensemble's figures."""
        return self.lines.get("full", Line((), self.meters))

    def caught_before(self, end: Fraction) -> Fraction:
        """Where one section's last note before an instant is that is caught; a fill does not play over it."""
        found = [Fraction(-1)]
        for who, line in self.lines.items():
            if who not in ("full", HEARD) and (place := bisect_left(line.onsets, end)):
                found.append(line.onsets[place - 1])
        return max(found)


def _inside(written: Line, bar: PlayedBar) -> tuple[Note, ...]:
    """The notes of a line that begin in the bar a played one is played from."""
    first, last = (bisect_left(written.onsets, at) for at in (bar.written.start, bar.written.end))
    return written.notes[first:last]
