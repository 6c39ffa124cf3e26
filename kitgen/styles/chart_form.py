"""The form of a band chart: its sections, and the bars in the order they are played.

Conventions: written bars count from 1 through the whole chart. A jump back (D.C. or D.S.) is made once; after it
repeats are not taken again, and of endings the last is played, as bands do unless told otherwise.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from kitgen.errors import PatternError
from kitgen.styles.chart_section import ChartSection
from kitgen.styles.chart_signs import check_signs, jump_of, segno_of
from kitgen.time import Bar, Meters


class Passage(NamedTuple):
    """Bars of one section that are played one after the other.

    Args:
        section: index of the section.
        bars: its bars, from 1.
        turn: which time through.
        again: it comes after the jump.
    """

    section: int
    bars: tuple[int, ...]
    turn: int
    again: bool


@dataclass(frozen=True)
class ChartForm:
    """The sections of a chart in the order they are written.

    Raises:
        PatternError: signs that lead nowhere; two sections of one mark.
    """

    sections: tuple[ChartSection, ...]

    def __post_init__(self) -> None:
        if not self.sections:
            raise PatternError("no sections; a chart has one or more")
        marks = [section.mark for section in self.sections]
        if double := next((mark for mark in marks if marks.count(mark) > 1), None):
            raise PatternError(f"two sections are marked {double}; give each a mark of its own, such as {double}2")
        for index in range(len(self.sections)):
            check_signs(self.sections, index)

    @cached_property
    def jump(self) -> int | None:
        """The index of the section that jumps back."""
        return jump_of(self.sections)

    @cached_property
    def meters(self) -> Meters:
        """The meters of the written bars."""
        return sum((Meters.of(one.meter, one.bars) for one in self.sections), Meters())

    @cached_property
    def firsts(self) -> tuple[int, ...]:
        """The first written bar of each section."""
        found, bar = [], 1
        for section in self.sections:
            found.append(bar)
            bar += section.bars
        return tuple(found)

    def bar(self, section: int, bar: int) -> Bar:
        """A bar of a section among the written bars."""
        return self.meters.bars[self.firsts[section] + bar - 2]

    def repeat(self, section: int, bar: int) -> tuple[bool, int]:
        """Whether a repeat starts with a bar of a section, and how often what ends with it is played; 0 for no end."""
        own = self.sections[section]
        marks = [one.repeat_from for one in self.sections if one.times > 1]
        starts = bar == 1 and ((own.times > 1 and not own.repeat_from) or own.mark in marks)
        if own.times < 2:
            return starts, 0
        if not own.endings:
            return starts, own.times if bar == own.bars else 0
        ends = any(bar == own.ending_bars(turn)[-1] for turn in range(1, len(own.endings)))
        return starts, 2 if ends else 0

    @cached_property
    def passages(self) -> tuple[Passage, ...]:
        """What is played, in order: sections, repeats with their endings, the jump, the coda."""
        first = _Walk(self, again=False)
        found = list(first.walk(0))
        if self.jump is None or first.over is None:
            return tuple(found)
        back = self.sections[self.jump].back
        second = _Walk(self, again=True)
        start = (segno_of(self.sections) or 0) if back.startswith("D.S.") else 0
        found += second.walk(start)
        if second.over == "coda":
            coda = next(index for index, one in enumerate(self.sections) if one.coda)
            found += _Walk(self, again=False).walk(coda)
        return tuple(found)


class _Walk:
    """One way through the sections, to a jump, a Fine, a coda sign or the end; ``over`` says which it came to."""

    def __init__(self, form: ChartForm, *, again: bool) -> None:
        self.form, self.again = form, again
        self.over: str | None = None

    def walk(self, start: int) -> Iterator[Passage]:
        """The passages from a section on."""
        index, starts = start, self._repeats()
        while index < len(self.form.sections) and self.over is None:
            last = starts.get(index, index)
            times = 1 if self.again else self.form.sections[last].times
            for turn in range(1, times + 1):
                yield from self._through(range(index, last + 1), turn if times > 1 else self._usual(last))
            index = last + 1

    def _usual(self, index: int) -> int:
        """The turn whose ending is played where a section is not repeated: the last."""
        return self.form.sections[index].times

    def _through(self, indices: Sequence[int], turn: int) -> Iterator[Passage]:
        for index in indices:
            if self.over is not None:
                return
            section = self.form.sections[index]
            bars = section.played(turn if section.endings else 1)
            last_turn = self.again or turn == self.form.sections[indices[-1]].times
            jump = self.form.jump
            if self.again and jump is not None:
                back = self.form.sections[jump].back
                if section.to_coda in bars and back.endswith("coda"):
                    bars, self.over = bars[: bars.index(section.to_coda) + 1], "coda"
                elif section.fine and back.endswith("fine"):
                    self.over = "fine"
                elif index == jump:
                    self.over = "end"
            elif section.back and index == jump and last_turn:
                self.over = "jump"
            yield Passage(index, tuple(bars), turn, self.again)

    def _repeats(self) -> dict[int, int]:
        """The last section of each repeat by its first."""
        marks = [section.mark for section in self.form.sections]
        return {marks.index(one.repeat_from): at for at, one in enumerate(self.form.sections) if one.repeat_from}
