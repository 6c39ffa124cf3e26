"""A band chart as a value: its form, and the band's figures on it.

Conventions: figures stand on written bars and come wherever those bars are played. Whether a note of a figure is long
or short is read in its own line and kept with it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from kitgen.errors import LineError, OptionError, PatternError, UnknownNameError
from kitgen.line import Line, Mark, Note
from kitgen.styles.chart_form import ChartForm

PARTIES = ("full", "brass", "trumpets", "trombones", "saxes")
"""Who plays a figure: the full ensemble, or one of its sections."""
PARTY_WORDS = {
    "full": "full band",
    "brass": "brass",
    "trumpets": "trumpets",
    "trombones": "trombones",
    "saxes": "saxes",
}
ARTICULATIONS = ("as-written", "accent", "short", "long")


@dataclass(frozen=True)
class Figure:
    """A figure of the band.

    Args:
        bar: the written bar its line begins in, from 1.
        line: its rhythm.
        who: one of ``PARTIES``.
        how: one of ``ARTICULATIONS``: what all its notes are besides what the line says.

    Raises:
        UnknownNameError: a party or articulation there is not.
        LineError: nothing is played in it.
    """

    bar: int
    line: Line
    who: str = "full"
    how: str = "as-written"

    def __post_init__(self) -> None:
        for kind, given, allowed in (("party", self.who, PARTIES), ("articulation", self.how, ARTICULATIONS)):
            if given not in allowed:
                raise UnknownNameError(kind, given, allowed)
        if not self.line.notes:
            raise LineError("a figure in which nothing is played; leave it away")

    def notes(self, start: Fraction) -> list[Note]:
        """Its notes from a place on, long or short as its line and articulation say."""
        accent = self.how == "accent"
        given = {"short": Mark.SHORT, "long": Mark.LONG}.get(self.how)
        return [
            replace(
                note.moved(start),
                accent=note.accent or accent,
                mark=given or (Mark.LONG if self.line.is_long(note) else Mark.SHORT),
            )
            for note in self.line.notes
        ]


@dataclass(frozen=True)
class Chart:
    """A band chart.

    Args:
        title: of the tune.
        band: who plays it.
        form: its sections.
        figures: the band's figures.
        words: who wrote or arranged it, or anything else under the title.

    Raises:
        OptionError: a figure past the end; PatternError: a figure that does not fit its bars, two that overlap.
    """

    title: str
    band: str
    form: ChartForm
    figures: tuple[Figure, ...] = ()
    words: str = ""

    def __post_init__(self) -> None:
        for index in range(len(self.figures)):
            self.check_figure(self.figures[: index + 1])

    def check_figure(self, figures: Sequence[Figure]) -> None:
        """Raise where the last of some figures does not fit the form or the others.

        Raises:
            OptionError: it is past the end; PatternError: another meter than its bars', or it overlaps another.
        """
        *others, figure = figures
        bars = self.form.meters.bars
        own = figure.line.meters.bars
        last = figure.bar + len(own) - 1
        if not 1 <= figure.bar <= last <= len(bars):
            raise OptionError(
                f"the figure lasts to bar {last}, and the chart ends with bar {len(bars)}"
                if figure.bar <= len(bars)
                else f"the figure begins in bar {figure.bar}, and the chart ends with bar {len(bars)}"
            )
        for bar, written in zip(own, bars[figure.bar - 1 :], strict=False):
            if bar.meter != written.meter:
                raise PatternError(f"the figure is in {bar.meter}, and bar {written.number} in {written.meter}")
        before = [note for other in others if other.who == figure.who for note in self._placed(other)]
        for note in self._placed(figure):
            if clash := next((one for one in before if one.onset < note.end and note.onset < one.end), None):
                where = self.form.meters.beat_at(max(note.onset, clash.onset)).bar
                whose = PARTY_WORDS[figure.who]
                raise PatternError(f"two figures of the {whose} overlap in bar {where}; a section plays one at a time")

    def _placed(self, figure: Figure) -> list[Note]:
        return figure.notes(self.form.meters.bars[figure.bar - 1].start)

    @cached_property
    def written_lines(self) -> dict[str, Line]:
        """What each party plays, over all the written bars, with the articulations that are said and no others."""
        found = {}
        for who in PARTIES:
            notes = []
            for figure in self.figures:
                if figure.who == who:
                    marks = {note.onset: note.mark for note in figure.line.notes}
                    given = {"short": Mark.SHORT, "long": Mark.LONG}.get(figure.how)
                    start = self.form.meters.bars[figure.bar - 1].start
                    notes += [replace(one, mark=given or marks[one.onset - start]) for one in self._placed(figure)]
            if notes:
                found[who] = Line(tuple(notes), self.form.meters)
        return found

    @cached_property
    def lines(self) -> dict[str, Line]:
        """What each party plays, over all the written bars."""
        found = {}
        for who in PARTIES:
            notes = [note for figure in self.figures if figure.who == who for note in self._placed(figure)]
            if notes:
                found[who] = Line(tuple(notes), self.form.meters)
        return found
