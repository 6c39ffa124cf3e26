"""A style played through a form: phrases of time with cues that grow, an ending, and nothing mechanical for long.

What is played is chosen by a seed, from the style's own patterns: each part has its own colour, the bridge moves the
ride hand, a phrase of 4 ends in a small cue, one of 8 in a larger one, and no cue comes twice running where there are
others. Between two phrases hands must have the time to get over; where they have not, what comes next in the seed's
order is taken.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import zip_longest
from random import Random
from typing import NamedTuple

from kitgen.errors import RefusedError
from kitgen.page import Row
from kitgen.pattern import Pattern
from kitgen.styles.choosing import Choices
from kitgen.styles.colours import hats_closed, soloed
from kitgen.styles.endings import ended
from kitgen.styles.parts import Role, StylePattern
from kitgen.styles.phrases import cut, landed, phrase, time_for
from kitgen.styles.play_forms import INTRO, LARGE, SMALL, SOLO, Part, PlayForm
from kitgen.styles.playing import OWN, PHRASE_BARS, RITARD, TAG, Phrase, Playing, Time

_LARGE_BARS = 8
_TAGS = 3
_FILLS_OF_A_SOLO = 4
_NO_CUE = ""


def phrases_of(playing: Playing, form: PlayForm) -> tuple[Phrase, ...]:
    """The phrases of a style played through a form, in order.

    Raises:
        RefusedError: at this tempo the player cannot get from one phrase to the next.
    """
    choices = Choices(playing, Random(f"{playing.seed} {playing.style.name} {form.name}"))
    made: list[Phrase] = []
    for order, part in enumerate(form.parts):
        last_part = order == len(form.parts) - 1
        times = choices.times(part, last=last_part)
        for start in range(0, part.bars, PHRASE_BARS):
            place = _Place(order, part, start, min(PHRASE_BARS, part.bars - start), made)
            if last_part and place.end == part.bars:
                made += _last(playing, place, times, choices)
                continue
            made.append(_first_that_joins(playing, place, times, choices.cues(place.size, place.bars)))
            choices.cued(made[-1].cue)
    return _hats_closed(made)


def rows_of(phrases: Sequence[Phrase]) -> tuple[Row, ...]:
    """A row for each part, which says what keeps time there and what the cues are."""
    rows = []
    for index in sorted({one.part for one in phrases}):
        own = [one for one in phrases if one.part == index]
        whole, bar, cues = own[0].pattern, 0, []
        for one in own[1:]:
            whole += one.pattern
        for one in own:
            bar += one.bars
            if one.cue:
                cues.append(f"{one.cue.replace('-', ' ')} to the end of bar {bar}")
        times = ", then ".join(dict.fromkeys(one.time for one in own))
        rows.append(Row(f"{own[0].section}: {'; '.join((times, *cues))}", whole))
    return tuple(rows)


class _Place(NamedTuple):
    """Where a phrase is: its part and that one's order, the bar it starts in, how long it is, what is before it."""

    order: int
    part: Part
    start: int
    bars: int
    made: Sequence[Phrase]

    @property
    def end(self) -> int:
        """The bar of the part that comes after it."""
        return self.start + self.bars

    @property
    def size(self) -> str:
        """How large the cue at its end is."""
        if self.end == self.part.bars:
            return self.part.close
        return SMALL if self.end % _LARGE_BARS else LARGE

    @property
    def before(self) -> Phrase | None:
        """The phrase before it."""
        return self.made[-1] if self.made else None


def _hats_closed(phrases: Sequence[Phrase]) -> tuple[Phrase, ...]:
    """The phrases without hats left open on the way to a fill, or to what does not close them: these stay closed."""
    whole = phrases[0].pattern
    for one in phrases[1:]:
        whole += one.pattern
    whole, closed, start = hats_closed(whole), [], Fraction(0)
    for one in phrases:
        span = one.pattern.span
        inside = (hit.at(hit.onset - start) for hit in whole.hits if start <= hit.onset < start + span)
        closed.append(one._replace(pattern=one.pattern.with_hits(inside)))
        start += span
    return tuple(closed)


def _first_that_joins(
    playing: Playing, place: _Place, times: Sequence[Time], cues: Sequence[StylePattern | None]
) -> Phrase:
    """The first choice of time and cue that the player gets into from what is before.

    Raises:
        RefusedError: none.
    """
    for one in _choices(playing, place, times, cues):
        if playing.joins(place.before.pattern if place.before else None, one.pattern):
            return one
    style = playing.style
    raise RefusedError(f"{style.title} at {playing.bpm:g}: {playing.player.words} cannot get from phrase to phrase")


def _choices(
    playing: Playing, place: _Place, times: Sequence[Time], cues: Sequence[StylePattern | None]
) -> Iterator[Phrase]:
    landings = _landings(playing, place.before)
    if place.part.kind == SOLO:
        yield from _solos(playing, place, times[0], cues, landings[0])
    for land in landings:
        for time in times:
            for cue in cues:
                yield _phrase(playing, place, time, cue, land)


def _phrase(playing: Playing, place: _Place, time: Time, cue: StylePattern | None, lands: str) -> Phrase:
    if cue is None:
        pattern = time_for(time.pattern, place.bars)
        starts = pattern.span
    else:
        pattern = phrase(time.pattern, cue, place.bars, room=playing.room)
        starts = pattern.span - cue.length
    if place.part.kind == INTRO:
        pattern = _entering(playing, pattern, place)
    pattern = _entered(playing, place, pattern, lands)
    part = place.part
    return Phrase(place.order, part.section, time.name, cue.name if cue else _NO_CUE, starts, lands, pattern)


def _solos(
    playing: Playing, place: _Place, time: Time, cues: Sequence[StylePattern | None], lands: str
) -> Iterator[Phrase]:
    """Bars of solo, made of the style's fills, so that none is as the one before."""
    before = len({one.part for one in place.made if one.time == SOLO})
    for fills in _fills_of_solos(playing, time, cues, before):
        pattern = soloed(time.pattern, fills, place.bars)
        entered = _entered(playing, place, pattern, "crash" if lands == "crash" else "time")
        yield Phrase(place.order, place.part.section, SOLO, fills[-1].name, Fraction(0), lands, entered)


def _fills_of_solos(
    playing: Playing, time: Time, cues: Sequence[StylePattern | None], before: int = 0
) -> Iterator[list[StylePattern]]:
    """The fills of a solo after so many others: whole bars, where these are few also time with smaller ones in it.

    A whole one is the last; another order begins each time.
    """
    whole = [cue for cue in cues if cue is not None and not cue.starts]
    small = [cue for cue in cues if cue is not None and cue.starts and cue.bars == 1]
    if len(whole) >= _FILLS_OF_A_SOLO:
        small = []
    begun = [replace(cue, pattern=phrase(time.pattern, cue, 1, room=playing.room), starts=Fraction(0)) for cue in small]
    mixed = [one for pair in zip_longest(whole, begun) for one in pair if one is not None]
    ends = whole or mixed
    for step in range(len(ends) * len(mixed)):
        last = ends[(before + step) % len(ends)]
        others = [one for one in mixed if one is not last]
        turn = (before + step // len(ends)) % max(1, len(others))
        yield [*others[turn:], *others[:turn], last]


def _solo_times(playing: Playing, place: _Place, time: Time, choices: Choices) -> Iterator[Time]:
    """A solo that an ending is put to."""
    for fills in _fills_of_solos(playing, time, choices.cues(LARGE, place.bars)):
        yield Time(SOLO, soloed(time.pattern, fills, place.bars))


def _entering(playing: Playing, pattern: Pattern, place: _Place) -> Pattern:
    """Time that is entered with the style's own way in where it has one that fits, else the feet first."""
    for item in playing.meant(Role.INTRO):
        if place.bars % item.bars == 0 and place.start == 0:
            half = place.bars // 2 // item.bars * item.bars or place.bars
            opened = item.pattern * (half // item.bars)
            return opened + cut(pattern, opened.span, pattern.span) if opened.span < pattern.span else opened
    half_span = pattern.meters.bars[place.bars // 2].start
    feet_only = [hit for hit in pattern.hits if hit.onset >= half_span or not hit.limb.is_hand]
    return pattern.with_hits(feet_only)


def _landings(playing: Playing, before: Phrase | None) -> list[str]:
    """How a phrase may begin, as the cue before it says; after a cue of less than a bar rather without a crash."""
    if before is None or not before.cue:
        return ["time"]
    item = playing.style.named(before.cue)
    if item.lands == "crash" and item.length < playing.style.meter.span:
        return ["time", "crash"]
    return [item.lands]


def _entered(playing: Playing, place: _Place, pattern: Pattern, lands: str) -> Pattern:
    """A phrase begun as the cue before it says."""
    if lands == "silence":
        bar = pattern.meters.bars[0].end
        return pattern.with_hits(hit for hit in pattern.hits if hit.onset >= bar)
    before = place.before.cue if place.before else _NO_CUE
    return landed(pattern, lands, playing.style.named(before).pattern if before else None)


def _last(playing: Playing, place: _Place, times: Sequence[Time], choices: Choices) -> list[Phrase]:
    """The last phrase, with the ending; with a tag three times.

    Raises:
        RefusedError: the player cannot get to an ending.
    """
    made: list[Phrase] = []
    for _ in range(_TAGS - 1 if playing.ending == TAG else 0):
        made.append(_first_that_joins(playing, place, times, choices.cues(SMALL, place.bars)))
        choices.cued(made[-1].cue)
        place = place._replace(made=[*place.made, made[-1]])
    if place.part.kind == SOLO:
        times = [*_solo_times(playing, place, times[0], choices), *times]
    kind = OWN if playing.ending in (TAG, RITARD) else playing.ending
    before, first = place.before, place.made[0] if place.made else None
    for lands in _landings(playing, before):
        for time in times:
            for name, starts, pattern in ended(playing, time.pattern, place.bars, kind):
                entered = _entered(playing, place, pattern, lands)
                if playing.joins(before and before.pattern, entered) and (
                    first is None or playing.joins(entered, first.pattern)
                ):
                    return [*made, Phrase(place.order, place.part.section, time.name, name, starts, lands, entered)]
    style = playing.style
    raise RefusedError(f"{style.title} at {playing.bpm:g}: {playing.player.words} cannot get to an ending")
