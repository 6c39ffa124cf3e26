"""A chart as a drummer plays it: time in the style of each section, set-ups, figures, fills, and silence where it stops.

Conventions: the form is unfolded, and places are quarters from the first bar that is played. Full-ensemble figures are
set up and kicked, those of one section caught lightly under time that goes on, the saxes' heard and not caught
(:mod:`kitgen.apply.figures`). A fill stands only before another section, where no full-ensemble figure is in its way;
where one is, its set-up leads instead. Elsewhere time is plain.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

from kitgen.apply.figures import SetUp, caught, kicked, set_ups
from kitgen.kit import PLAYERS, Kit, Limb, Player, kit
from kitgen.line import Line, Note
from kitgen.page import Row
from kitgen.pattern import EVEN, Feel, Hit, Level, Pattern
from kitgen.styles.chart import PARTIES, Chart
from kitgen.styles.chart_form import Passage
from kitgen.styles.chart_reach import reached
from kitgen.styles.chart_section import ChartSection
from kitgen.styles.parts import Role, StylePattern
from kitgen.styles.phrases import landed, phrase, room_for, time_for
from kitgen.time import Bar, Meters

_LONG_PASSAGE = 8
_SOFT = ("ppp", "pp", "p")
_SOFTER = {Level.ACCENT: Level.NORMAL, Level.NORMAL: Level.TAP}
_TIME = "ride"
"""The hand that has this keeps time in every style."""
HEARD = "saxes"
"""Whose figures are heard and not caught."""


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


class Filled(NamedTuple):
    """A fill at the end of a passage.

    Args:
        passage: index of the passage.
        pattern: the fill.
        begins: where it begins, in quarters.
    """

    passage: int
    pattern: StylePattern
    begins: Fraction


class Performance(NamedTuple):
    """A chart as it is played.

    Args:
        rows: a row a passage.
        tempi: (played bar from 1, quarters a minute) where the tempo changes after the first bar.
        feel: the feel of every row.
        mixed: sections differ in feel, and those that swing are written as they sound, in triplets.
        play: what it was made of, for whoever explains it.
    """

    rows: tuple[Row, ...]
    tempi: tuple[tuple[int, float], ...]
    feel: Feel
    mixed: bool
    play: "Play"


def performance(chart: Chart, *, player: Player = PLAYERS["school"], hand: str = "right", turn: int = 0) -> Performance:
    """A chart played out.

    Args:
        chart: the chart.
        player: who plays; says what a hand needs on its way.
        hand: hand setting of the kit: ``right``, or ``left`` for everything mirrored.
        turn: which of several fills comes first.
    """
    play = Play(chart, player, turn)
    feels = [play.feel(passage) for passage in play.passages]
    mixed = len(set(feels)) > 1
    hits = [replace(hit, limb=hit.limb.mirrored) if hand == "left" else hit for hit in play.hits]
    rows = []
    for index, feel in enumerate(feels):
        start, end = play.spans[index]
        own = tuple(_moved(hit, start, end) for hit in hits if start <= hit.onset < end)
        pattern = Pattern(own, play.meters.cut(start, end), feel)
        rows.append(Row(play.label(index), _written_out(pattern) if mixed else pattern))
    return Performance(tuple(rows), tuple(play.tempi()), EVEN if mixed else feels[0], mixed, play)


def _written_out(pattern: Pattern) -> Pattern:
    """A swung pattern as it sounds two to one, and even."""
    from kitgen.pattern import performed

    if not pattern.feel.unit or pattern.feel.ratio == 1:
        return pattern.with_feel(EVEN)
    return performed(pattern.with_feel(Feel(pattern.feel.unit, Fraction(2))))


def _moved(hit: Hit, start: Fraction, end: Fraction) -> Hit:
    cut = hit.length is not None and hit.onset + hit.length > end
    return replace(hit, onset=hit.onset - start, length=end - hit.onset if cut else hit.length)


@dataclass(frozen=True)
class Play:
    """A chart while it is played.

    Args:
        chart: the chart.
        player: who plays.
        turn: which of several fills comes first.
    """

    chart: Chart
    player: Player
    turn: int = 0

    # ---- form --------------------------------------------------------------------------------------------------------

    @property
    def kit(self) -> Kit:
        """The kit styles are written for."""
        return kit("standard")

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
        return [bar for bar in self.bars if bar.passage == passage]

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

    # ---- figures -----------------------------------------------------------------------------------------------------

    @cached_property
    def lines(self) -> dict[str, Line]:
        """What each party plays through the whole performance, bars of rest and other parties' stops left out."""
        return {who: line for who, line in self._lines() if line.notes}

    def _lines(self) -> Iterator[tuple[str, Line]]:
        for who in PARTIES:
            written = self.chart.lines.get(who)
            notes = list(self._notes(written, who)) if written is not None else []
            ends = [*(note.onset for note in notes[1:]), self.meters.span]
            cut = (
                (
                    replace(note, length=min(note.length, end - note.onset))
                    for note, end in zip(notes, ends, strict=True)
                )
                if notes
                else ()
            )
            yield who, Line(tuple(cut), self.meters)

    def _notes(self, written: Line, who: str) -> Iterator[Note]:
        for bar in self.bars:
            if self.is_rest(bar) or (self.is_stop(bar) and who != "full"):
                continue
            for note in written.notes:
                if bar.written.start <= note.onset < bar.written.end:
                    yield note.moved(bar.start - bar.written.start)

    @property
    def full(self) -> Line:
        """The full ensemble's figures."""
        return self.lines.get("full", Line((), self.meters))

    @cached_property
    def led(self) -> dict[Fraction, SetUp]:
        """Set-ups by their place: not in bars without time, and not in a fill."""
        return {
            at: one
            for at, one in set_ups(self.full, loops=False).items()
            if not self.is_stop(self.bar_at(at)) and not self.is_rest(self.bar_at(at)) and not self.in_fill(at)
        }

    # ---- fills -------------------------------------------------------------------------------------------------------

    @cached_property
    def fills(self) -> tuple[Filled, ...]:
        """The fills, in order."""
        return tuple(one for index in range(len(self.passages) - 1) if (one := self._fill(index)))

    def in_fill(self, at: Fraction) -> bool:
        """True for an instant inside a fill."""
        return any(one.begins <= at < self.spans[one.passage][1] for one in self.fills)

    def _fill(self, passage: int) -> Filled | None:
        """The longest fill there is room for at the end of a passage."""
        section, own = self.section(passage), self.bars_of(passage)
        start, end = self.spans[passage]
        following = self.bars_of(passage + 1)[0]
        enters = not self.is_rest(following) and (not self.is_stop(following) or end in self.full.onsets)
        if section.fill == "none" or not enters:
            return None
        bar, beat = own[-1].written.length, own[-1].written.meter.beats[-1]
        lengths = {"1-beat": beat, "2-beats": min(2 * beat, bar), "1-bar": bar}
        usual = (
            "1-bar" if len(own) >= _LONG_PASSAGE and self.passages[passage + 1].section != own[0].section else "2-beats"
        )
        room = min(lengths[usual if section.fill == "auto" else section.fill], end - start)
        if before := [note.onset for note in self.full.notes if note.onset < end]:
            room = min(room, end - before[-1] - beat)
        bpm = self.bpm(passage)
        fitting = [
            one
            for one in section.style.fills
            if one.length <= room
            and one.tempo.holds(bpm)
            and one.lands != "silence"
            and self._clear(end - one.length, end)
        ]
        if not fitting:
            return None
        longest = [one for one in fitting if one.length == fitting[-1].length]
        chosen = longest[(self.turn + passage) % len(longest)]
        return Filled(passage, chosen, end - chosen.length)

    def _clear(self, start: Fraction, end: Fraction) -> bool:
        """True where time is played from one instant to another."""
        over = (bar for bar in self.bars if bar.start < end and bar.start + bar.written.length > start)
        return not any(self.is_stop(bar) or self.is_rest(bar) for bar in over)

    @cached_property
    def ending(self) -> StylePattern | None:
        """The style's ending, where the full ensemble does not end the piece itself."""
        section, own = self.section(len(self.passages) - 1), self.bars_of(len(self.passages) - 1)
        endings = [
            one for one in section.style.of_role(Role.ENDING) if one.tempo.holds(self.bpm(len(self.passages) - 1))
        ]
        for one in endings:
            start = self.meters.span - one.pattern.span
            busy = any(note.onset >= start for note in self.full.notes)
            if one.bars <= len(own) and not busy and self._clear(start, self.meters.span):
                return one
        return None

    # ---- what is played ----------------------------------------------------------------------------------------------

    @cached_property
    def hits(self) -> tuple[Hit, ...]:
        """Every stroke."""
        time = [hit for index in range(len(self.passages)) for hit in self._time(index)]
        made: list[Hit] = time
        for who, line in self.lines.items():
            if who not in ("full", HEARD):
                open_notes = tuple(note for note in line.notes if not self.in_fill(note.onset))
                made = caught(Line(open_notes, self.meters), self.kit, _TIME, made)
        if self.full.notes:
            made = kicked(self.full, self.kit, _TIME, made, self.led)
        made = [self._in_dynamic(hit) for hit in made]
        meant = {(hit.onset, hit.limb) for hit in made} - {(hit.onset, hit.limb) for hit in time}
        places = {note.onset for note in self.full.notes} | self.led.keys()
        meant |= {(hit.onset, hit.limb) for hit in made if hit.onset in places or self.in_fill(hit.onset)}
        return tuple(reached(made, meant, self.seconds, self.player))

    def _time(self, passage: int) -> Iterator[Hit]:
        """The time of a passage with its fill, from where the fill before it lands; nothing in stops and rests."""
        section, own = self.section(passage), self.bars_of(passage)
        start, end = self.spans[passage]
        found = section.style.time_at(self.bpm(passage), section=section.role or None)
        skipped = (self.passages[passage].bars[0] - 1) % found.bars
        bar = own[0].written.length
        longer = time_for(found.pattern, len(own) + skipped)
        time = Pattern(
            tuple(hit.at(hit.onset - skipped * bar) for hit in longer.hits if hit.onset >= skipped * bar),
            Meters.of(own[0].written.meter, len(own)),
            longer.feel,
        )
        before = next((one for one in self.fills if one.passage == passage - 1), None)
        fill = next((one for one in self.fills if one.passage == passage), None)
        last = passage == len(self.passages) - 1
        closing = fill.pattern if fill else self.ending if last else None
        if closing is not None:
            time = phrase(time, closing, len(own), room=room_for(self.player, section.tempo, section.style.feel))
        if before is not None:
            time = landed(time, before.pattern.lands, before.pattern.pattern)
        over = self.full.notes[-1].onset if last and self.full.notes and closing is None else end
        over = over if over >= own[max(0, len(own) - 2)].start else end
        for hit in time.hits:
            at = start + hit.onset
            here = self.bar_at(at)
            if at <= over and not self.is_rest(here) and not self.is_stop(here):
                yield hit.at(at)

    def _in_dynamic(self, hit: Hit) -> Hit:
        """A stroke a level softer where the chart is soft."""
        if self.dynamic_at(hit.onset) not in _SOFT:
            return hit
        return replace(hit, level=_SOFTER.get(hit.level, hit.level))

    def dynamic_at(self, onset: Fraction) -> str:
        """The dynamic in force, swells left out; empty before the first."""
        here = self.bar_at(onset)
        sections = self.chart.form.sections
        places = [
            (index, bar, dynamic)
            for index, section in enumerate(sections)
            for bar, dynamic in section.dynamics
            if dynamic not in ("cresc.", "dim.") and (index, bar) <= (here.section, here.bar)
        ]
        return max(places)[2] if places else ""

    def seconds(self, onsets: Iterable[Fraction]) -> dict[Fraction, float]:
        """When strokes sound, in seconds, by where they are written."""
        from kitgen.pattern.swing import played_onsets

        found: dict[Fraction, float] = {}
        every, clock = sorted(onsets), 0.0
        for index, passage in enumerate(self.passages):
            start, end = self.spans[index]
            inside: Sequence[Fraction] = [at for at in every if start <= at < end]
            own = tuple(Hit(at - start, Limb.RH, "ride") for at in inside)
            moved, _ = played_onsets(Pattern(own, self.meters.cut(start, end), self.feel(passage)))
            a_quarter = 60 / self.section(index).tempo
            found |= {at: clock + float(moved[at - start]) * a_quarter for at in inside}
            clock += float(end - start) * a_quarter
        return found


def written_fills(play: Play) -> dict[int, Fraction]:
    """The written bars in which a fill begins, each with where: the first place, where it differs from time to time."""
    found: dict[int, Fraction] = {}
    for fill in play.fills:
        bar = play.bar_at(fill.begins)
        place = fill.begins - bar.start
        number = bar.written.number
        found[number] = min(place, found.get(number, place))
    return found
