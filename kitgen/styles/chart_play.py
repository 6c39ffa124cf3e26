"""A chart as a drummer plays it: time in each section's style, set-ups, figures, fills, and silence where it stops.

Conventions: full-ensemble figures are set up and kicked, those of one section caught lightly under time that goes on,
the saxes' heard and not caught (:mod:`kitgen.apply.figures`). A fill stands only before another section, where no
full-ensemble figure is in its way; where one is, its set-up leads instead. Elsewhere time is plain.
"""

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import groupby, islice, takewhile
from operator import attrgetter
from typing import NamedTuple

from kitgen.apply.figures import SetUp, caught, kicked, set_ups
from kitgen.kit import PLAYERS, Kit, Player, kit
from kitgen.line import Line
from kitgen.pattern import Hit, Level, Pattern
from kitgen.styles.chart_heard import HEARD, Heard
from kitgen.styles.chart_reach import feet_relieved, hats_closed, lightly, reached
from kitgen.styles.parts import Role, StylePattern
from kitgen.styles.phrases import landed, phrase, room_for, time_for
from kitgen.time import Meters

_LONG_PASSAGE = 8
_AFTER_CUE = Fraction(1, 4)
"""What a fill leaves between itself and a note of one section, in quarters."""
_SOFT = ("ppp", "pp", "p")
_SOFTER = {Level.ACCENT: Level.NORMAL, Level.NORMAL: Level.TAP}
_KICKS = frozenset(("crash", "snare", "bass", "high-tom"))
_TIME = "ride"
"""The hand that has this keeps time in every style."""


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


@dataclass(frozen=True)
class Play(Heard):
    """A chart while it is played.

    Args:
        chart: the chart.
        player: who plays.
        turn: which of several fills comes first.
    """

    player: Player = PLAYERS["school"]
    turn: int = 0

    @property
    def kit(self) -> Kit:
        """The kit styles are written for."""
        return kit("standard")

    @cached_property
    def led(self) -> dict[Fraction, SetUp]:
        """Set-ups by their place: not in bars without time, and not in a fill."""
        return {
            at: one
            for at, one in set_ups(self.full, loops=False).items()
            if not self.is_stop(self.bar_at(at)) and not self.is_rest(self.bar_at(at)) and not self.in_fill(at)
        }

    @cached_property
    def fills(self) -> tuple[Filled, ...]:
        """The fills, in order."""
        return tuple(one for index in range(len(self.passages) - 1) if (one := self._fill(index)))

    def in_fill(self, at: Fraction) -> bool:
        """True for an instant inside a fill."""
        fill = self._fill_of.get(self.bar_at(at).passage) if at < self.meters.span else None
        return fill is not None and at >= fill.begins

    @cached_property
    def _fill_of(self) -> dict[int, Filled]:
        """The fills by the passage they end."""
        return {one.passage: one for one in self.fills}

    @cached_property
    def _landings(self) -> frozenset[Fraction]:
        """Where fills land."""
        return frozenset(self.spans[one.passage][1] for one in self.fills)

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
        if before := bisect_left(self.full.onsets, end):
            room = min(room, end - self.full.onsets[before - 1] - beat)
        if section.fill == "auto":
            room = min(room, end - self.caught_before(end) - _AFTER_CUE)
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
        first = self.meters.beat_at(start).bar - 1
        over = takewhile(lambda bar: bar.start < end, islice(self.bars, first, None))
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

    @cached_property
    def struck(self) -> dict[Fraction, tuple[Hit, ...]]:
        """The strokes by their place."""
        return {at: tuple(own) for at, own in groupby(self.hits, key=attrgetter("onset"))}

    @cached_property
    def hits(self) -> tuple[Hit, ...]:
        """Every stroke."""
        made = list(self._with_cues)
        if self.full.notes:
            made = kicked(self.full, self.kit, _TIME, made, self.led)
            made = feet_relieved(made, frozenset(self.full.onsets), self.seconds, self.player)
        made = [self._in_dynamic(hit) for hit in made]
        meant = {(hit.onset, hit.limb) for hit in made if self._is_meant(hit)}
        reach = reached(made, meant, self.seconds, self.player, [start for start, _ in self.spans[1:]])
        return hats_closed(Pattern(tuple(reach), self.meters))

    @cached_property
    def _plain(self) -> tuple[Hit, ...]:
        """Time with its fills, before any figure."""
        return tuple(hit for index in range(len(self.passages)) for hit in self._time(index))

    @cached_property
    def _with_cues(self) -> tuple[Hit, ...]:
        """Time with one section's figures caught."""
        made = list(self._plain)
        for who, line in self.lines.items():
            if who not in ("full", HEARD):
                open_notes = tuple(note for note in line.notes if not self.in_fill(note.onset))
                more = caught(Line(open_notes, self.meters), self.kit, _TIME, made)
                made = lightly(made, more, self.seconds, self.player)
        return tuple(made)

    @cached_property
    def catches(self) -> frozenset[Hit]:
        """The strokes that one section's figures are caught with, besides time."""
        return frozenset(self._with_cues).difference(self._plain).intersection(self.hits)

    def _is_meant(self, hit: Hit) -> bool:
        """True for kicks, set-ups, caught notes, and what belongs to a fill or to what it lands on."""
        if self.in_fill(hit.onset) or hit.onset in self._landings:
            return True
        kick = hit.surface in _KICKS and hit.level > Level.FEATHER
        at = hit.onset
        return kick and (at in self.led or at in self.struck_by_band)

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
        before, fill = self._fill_of.get(passage - 1), self._fill_of.get(passage)
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
