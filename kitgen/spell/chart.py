"""A band chart as written music: slashes, kicks, cues, a bar of the groove, rests, and the signs of its form.

A bar of time is a stemless slash a beat (a quarter where halves are counted); what the full band plays stands there as
rhythmic slashes with stems. What one section plays is small above the staff, what a second one plays at the same time
small below it. The groove of a style is written once, in the first bars that have room for it, then repeat signs to the
end of the system, then slashes. In stop-time rests stand between the figures. Bars of rest stand under one number, from
mark to mark. Four bars are a system; every section starts one. Common practice.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise, takewhile

from kitgen.spell.bars import A_SYSTEM
from kitgen.spell.chart_score import ChartBar, ChartScore, Said
from kitgen.spell.chart_voices import cue, first_struck, main
from kitgen.spell.choices import USUAL, Choices
from kitgen.spell.line import spell_line
from kitgen.spell.refusal import SpellingError
from kitgen.spell.section import spell
from kitgen.spell.values import Measure, Voice
from kitgen.styles.chart import PARTY_WORDS, Chart
from kitgen.styles.chart_section import ChartSection
from kitgen.time import Bar, Meter

_FEELS = {0: "even eighths", 8: "swung eighths", 16: "swung sixteenths"}
_GROOVES = ("groove", "grooved")
_TIME = ("time", "cued", *_GROOVES)


def spell_chart(chart: Chart, fills: Mapping[int, Fraction] | None = None, choices: Choices = USUAL) -> ChartScore:
    """A chart as written music.

    Args:
        chart: the chart.
        fills: written bars (from 1) in which a fill is played, with where it begins in the bar.
        choices: how it is written.

    Raises:
        SpellingError: a rhythm no note values write, or figures of three sections in one bar.
    """
    writer = _Writer(chart, fills or {}, choices)
    return ChartScore(tuple(system for index in range(len(chart.form.sections)) for system in writer.section(index)))


class _Writer:
    """A chart while it is written: which grooves have been seen, and what is in force."""

    def __init__(self, chart: Chart, fills: Mapping[int, Fraction], choices: Choices) -> None:
        self.chart, self.fills, self.choices = chart, fills, choices
        self.parties = {
            who: spell_line(line, choices).sections[0].measures for who, line in chart.written_lines.items()
        }
        self.meter: Meter | None = None
        self.style = self.feel = ""
        self.tempo: tuple[float, Fraction] | None = None
        self.seen: set[str] = set()
        passages = chart.form.passages
        self.entered = {(before.section, after.section) for before, after in pairwise(passages)}
        self.cued: dict[str, int] = {}

    # ---- sections ----------------------------------------------------------------------------------------------------

    def section(self, index: int) -> Iterator[tuple[ChartBar, ...]]:
        """The systems of a section."""
        form = self.chart.form
        section, first = form.sections[index], form.firsts[index]
        kinds = [self._kind(section, number, first + number - 1) for number in range(1, section.bars + 1)]
        self._groove(section, kinds)
        system: list[ChartBar] = []
        for number in range(1, section.bars + 1):
            bar = self._bar(index, number, kinds)
            ending_two = bar.ending_starts and bar.ending != "1"
            stood = sum(not one.measure.in_rest for one in system)
            full = stood == A_SYSTEM and (bar.measure.rest_bars > 0 or not bar.measure.in_rest)
            if system and (full or ending_two):
                yield tuple(system)
                system = []
            before = system[-1] if system else None
            repeats = kinds[number - 1] == "time" and before is not None and self._repeatable(kinds, number)
            if repeats and before is not None:
                measure = bar.measure._replace(voices=before.measure.voices, same_as_before=True)
                bar = bar._replace(measure=measure)
            if not system:
                bar = bar._replace(measure=bar.measure._replace(new_system=True))
            system.append(bar)
        yield tuple(system)

    def _repeatable(self, kinds: list[str], number: int) -> bool:
        """True for a bar of time that a one-bar groove, written just before on the same system, goes on in."""
        before = kinds[number - 2]
        if before not in _GROOVES or kinds.count("groove") > 1:
            return False
        kinds[number - 1] = "grooved"
        return True

    def _kind(self, section: ChartSection, number: int, written: int) -> str:
        """What a bar is: ``rest``, ``stop``, ``figure``, ``cued`` (time under a section's figure) or ``time``."""
        if number in section.rests:
            return "rest"
        if number in section.stops:
            return "stop"
        if self._plays("full", written):
            return "figure"
        return "cued" if any(self._plays(who, written) for who in self.parties) else "time"

    def _plays(self, who: str, written: int) -> bool:
        measures = self.parties.get(who)
        return measures is not None and not measures[written - 1].is_silent

    def _groove(self, section: ChartSection, kinds: list[str]) -> None:
        """Mark the bars that show the groove of the section, where it has not been seen."""
        time = section.style.time_at(section.tempo / float(section.style.tempo.unit), section=section.role or None)
        name = f"{section.style.name}: {time.name}"
        bars = time.bars
        if name in self.seen or bars > A_SYSTEM // 2:
            return
        for start in range(len(kinds) - bars + 1):
            if kinds[start : start + bars] == ["time"] * bars:
                kinds[start : start + bars] = ["groove"] * bars
                self.seen.add(name)
                return

    # ---- bars --------------------------------------------------------------------------------------------------------

    def _bar(self, index: int, number: int, kinds: Sequence[str]) -> ChartBar:
        form = self.chart.form
        section, bar = form.sections[index], form.bar(index, number)
        kind = kinds[number - 1]
        voices = tuple(self._voices(section, bar, kind, kinds.index("groove") if "groove" in kinds else 0, number))
        shows, self.meter = bar.meter != self.meter, bar.meter
        measure = Measure(bar.number, bar.start, bar.length, bar.meter, shows, voices)
        if number == 1:
            measure = measure._replace(mark=section.mark)
        if (run := self._rests(kinds, number, bar.number)) is not None:
            measure = measure._replace(in_rest=True, rest_bars=run)
        repeats = form.repeat(index, number)
        ending = next((turn for turn in range(1, len(section.endings) + 1) if number in section.ending_bars(turn)), 0)
        last = number == section.bars
        return ChartBar(
            measure,
            tuple(self._said(index, number, bar, kinds)),
            self._tempo(index) if number == 1 else None,
            dict(section.dynamics).get(number, ""),
            *repeats,
            str(ending) if ending else "",
            bool(ending) and number == section.ending_bars(ending)[0],
            bool(ending) and number == section.ending_bars(ending)[-1],
            section.segno and number == 1,
            section.coda and number == 1,
            section.to_coda == number,
            section.back if last else "",
            section.fine and last,
            last,
        )

    def _rests(self, kinds: Sequence[str], number: int, written: int) -> int | None:
        """How many bars rest from a bar on under one number, 0 in the midst of them; None where it stands alone."""

        def rests(at: int) -> bool:
            inside = 1 <= at <= len(kinds) and kinds[at - 1] == "rest"
            return inside and not any(self._plays(who, written + at - number) for who in self.parties)

        if not rests(number) or not (rests(number - 1) or rests(number + 1)):
            return None
        if rests(number - 1):
            return 0
        end = number
        while rests(end + 1):
            end += 1
        return end - number + 1

    def _from(self, index: int) -> Iterator[ChartSection]:
        """The sections that come before one as it is played, jumps and repeats among them."""
        sections = self.chart.form.sections
        return (sections[before] for before, after in self.entered if after == index)

    def _tempo(self, index: int) -> tuple[float, Fraction] | None:
        """The tempo of a section, where it is another than that of what comes before it, as written or as played."""
        section = self.chart.form.sections[index]
        unit = section.meter.tempo_unit
        tempo = (round(section.tempo / float(unit), 2), unit)
        if tempo == self.tempo and all(one.tempo == section.tempo for one in self._from(index)):
            return None
        self.tempo = tempo
        return tempo

    def _said(self, index: int, number: int, bar: Bar, kinds: Sequence[str]) -> Iterator[Said]:
        section, kind = self.chart.form.sections[index], kinds[number - 1]
        if number == 1:
            others = {self.style, *(one.style.name for one in self._from(index))}
            if others != {section.style.name}:
                feel = _FEELS[section.style.feel.unit]
                said_so = "swing" in section.style.title.lower() and section.style.feel.unit == 8
                in_quarters = section.meter.denominator == 4
                changes = bool(self.style) and feel != self.feel and in_quarters and not said_so
                self.style, self.feel = section.style.name, feel
                yield Said(Fraction(0), section.style.title + (f", {feel}" if changes else ""), "style")
            if section.words:
                yield Said(Fraction(0), section.words, "words")
        before = kinds[number - 2] if number > 1 else ""
        if kind == "stop" and before != "stop":
            yield Said(Fraction(0), self._stop(kinds, number, bar.number), "words")
        elif before == "stop" and kind in _TIME:
            yield Said(Fraction(0), "time", "words")
        yield from self._who(bar, kind)
        if bar.number in self.fills:
            yield Said(self.fills[bar.number], "fill", "fill")

    def _who(self, bar: Bar, kind: str) -> Iterator[Said]:
        """Who plays what begins in a bar; a second section's name is under the staff, as its notes are."""
        cues = 0
        for who, measures in self.parties.items():
            measure = measures[bar.number - 1]
            if measure.is_silent:
                continue
            is_cue = who != "full" or kind == "rest"
            cues += is_cue
            goes_on, self.cued[who] = self.cued.get(who, -1) == bar.number - 1, bar.number
            first = first_struck(measure.voices[0])
            if first is None or goes_on or (who == "full" and kind == "stop"):
                continue
            words = "ens." if who == "full" else PARTY_WORDS[who]
            yield Said(first, words, "below" if is_cue and cues > 1 else "who")

    def _stop(self, kinds: Sequence[str], number: int, written: int) -> str:
        """What the bars from one on are called in which time stops: a break, where the full band is silent too."""
        run = takewhile(lambda at: kinds[at - 1] == "stop", range(number, len(kinds) + 1))
        return "stop-time" if any(self._plays("full", written + at - number) for at in run) else "break"

    # ---- voices ------------------------------------------------------------------------------------------------------

    def _voices(self, section: ChartSection, bar: Bar, kind: str, first: int, number: int) -> Iterator[Voice]:
        heard = [who for who in self.parties if who != "full" or kind == "rest"]
        cues = [who for who in heard if self._plays(who, bar.number)]
        if len(cues) > 2:
            raise SpellingError(
                f"bar {bar.number}: {', '.join(PARTY_WORDS[who] for who in cues)} all have figures there, and a chart "
                "shows two sections besides the full band; leave one away, or make them one figure of the brass"
            )
        if kind == "groove":
            yield from self._groove_voices(section, number - 1 - first)
        else:
            full = self.parties["full"][bar.number - 1] if "full" in self.parties else None
            yield main(bar, full, kind, "down" if cues else "up")
        for place, who in enumerate(cues):
            yield cue(self.parties[who][bar.number - 1].voices[0], place, bar)

    def _groove_voices(self, section: ChartSection, index: int) -> tuple[Voice, ...]:
        time = section.style.time_at(section.tempo / float(section.style.tempo.unit), section=section.role or None)
        return spell(time.pattern, replace(self.choices, stickings="none")).measures[index].voices
