"""A pattern as bars of written music.

Conventions: ticks from the start of the pattern. A hit with a length is held for exactly that, with ties where no one
value says it, also past the end of the pattern and from its start on; a hit without one lasts as looks best. Where the
limbs of a voice cannot be written together in some bar, each has a voice of its own there, and so has what one hand
holds while the other strikes. Under ``auto`` a fill that passes between hands and feet is one voice for its bar.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from kitgen.pattern import Hit, Pattern
from kitgen.spell.bars import arranged
from kitgen.spell.beams import written_bar
from kitgen.spell.choices import USUAL, Choices
from kitgen.spell.counts import counts_of
from kitgen.spell.gaps import FREE, HELD, SILENT, TIED, Gap, Gaps
from kitgen.spell.held import Sound, meets_held, over_and_under, without_rests
from kitgen.spell.refusal import SpellingError, Unspellable, no_spelling
from kitgen.spell.rests import shown_once
from kitgen.spell.stickings import shows_hands
from kitgen.spell.strokes import hat_marks, one_head_each, stroke_of
from kitgen.spell.ticks import in_quarters, in_ticks, odd_part
from kitgen.spell.values import Event, Measure, Section, Stroke, Voice, Written
from kitgen.spell.voices import ONE, Staffed, apart, voices_of
from kitgen.time import Bar, Beat, Meter


class _Room(NamedTuple):
    """A bar with its start and end in ticks, and the sounds struck and held in it."""

    bar: Bar
    start: int
    end: int
    struck: list[Sound]
    held: list[Sound]


def spell(
    pattern: Pattern,
    choices: Choices = USUAL,
    *,
    layout: str | None = None,
    label: str = "",
    times: int = 1,
    first_bar: int = 1,
    meter: Meter | None = None,
) -> Section:
    """A pattern as a section of written music.

    Args:
        pattern: the pattern, spelled as it stands; its feel moves nothing.
        choices: how it is written.
        layout: what ``auto`` has come to for all rows of its page; this row alone decides when left out.
        label: its rehearsal mark.
        times: how often it is played.
        first_bar: the printed number of its first bar.
        meter: the meter in force before it, which is not printed again.

    Raises:
        SpellingError: a rhythm no note values write; names bar and count, and offers the nearest.
    """
    staffed = voices_of(pattern, layout or choices.layout)
    measures = []
    rooms = _rooms(pattern, choices)
    for number, room in enumerate(rooms):
        bar = room.bar
        fill = choices.layout == "auto" and number > 0 and _is_fill(room, rooms[number - 1])
        voices = tuple(_voices(pattern, room, ONE if fill else staffed, choices))
        if not voices or (not fill and _has_stopped(pattern, staffed[0], voices)):
            voices = (_silent(room, staffed[0]), *voices)
        onsets = (sound.hit.onset for sound in room.struck)
        counts = counts_of(bar, onsets, system=choices.counts, by_quarters=choices.count_quarters)
        measures.append(
            Measure(
                first_bar + number, bar.start, bar.length, bar.meter, bar.meter != meter, shown_once(voices), counts
            )
        )
        meter = bar.meter
    return arranged(label, measures, times, count_rests=choices.rests == "counted")


# ---- what is in each bar ---------------------------------------------------------------------------------------------


def _rooms(pattern: Pattern, choices: Choices) -> list[_Room]:
    rooms: list[_Room] = []
    for bar in pattern.meters.bars:
        start, end = in_ticks(bar.start), in_ticks(bar.end)
        if start is None or end is None or not odd_part(end - start)[0]:
            raise _refusal(pattern, _own_beats(pattern, bar)[-1].start, pattern.hits)
        rooms.append(_Room(bar, start, end, [], []))
    place = 0
    for sound in _sounds(pattern, shows_hands=shows_hands(pattern, choices.stickings)):
        while rooms[place].end <= sound.start:
            place += 1
        rooms[place].struck.append(sound)
        if sound.is_held:
            _hold(sound, rooms[place:])
            if sound.end > rooms[-1].end:
                span = rooms[-1].end
                _hold(sound._replace(start=sound.start - span, end=sound.end - span), rooms)
    return rooms


def _sounds(pattern: Pattern, *, shows_hands: bool) -> Iterator[Sound]:
    hits = pattern.hits
    for hit, hat in zip(hits, hat_marks(hits), strict=True):
        start = in_ticks(hit.onset)
        if start is None:
            raise _refusal(pattern, hit.onset, hits)
        end, is_held = start, hit.length is not None
        if hit.length is not None:
            stop = in_ticks(hit.onset + hit.length)
            if stop is None:
                raise _refusal(pattern, (hit.onset + hit.length) % pattern.span, hits)
            end = stop
        stroke = stroke_of(hit.limb, hit.surface, hit.level, hit.ornament, hat, is_held, shows_hands)
        yield Sound(hit, start, end, stroke)


def _hold(sound: Sound, rooms: Sequence[_Room]) -> None:
    """Note a held sound in every bar it sounds in, the first of which comes first."""
    for room in rooms:
        if room.start >= sound.end:
            break
        room.held.append(sound)


# ---- voices of a bar -------------------------------------------------------------------------------------------------


def _voices(pattern: Pattern, room: _Room, staffed: Sequence[Staffed], choices: Choices) -> Iterator[Voice]:
    """The voices of a bar in which anything sounds."""
    for voice in staffed:
        struck, held = _of(voice, room.struck), _of(voice, room.held)
        if not struck and not held:
            continue
        try:
            found = _written(voice, room, struck, held, choices)
        except Unspellable as unspellable:
            limbs = {sound.hit.limb for sound in (*struck, *held)}
            if len(limbs) == 1:
                at = room.bar.start + in_quarters(unspellable.beat_start)
                raise _refusal(pattern, at, [sound.hit for sound in (*struck, *held)]) from None
            found = tuple(_voices(pattern, room, apart(voice, limbs), choices))
        yield from found


def _written(
    voice: Staffed, room: _Room, struck: Sequence[Sound], held: Sequence[Sound], choices: Choices
) -> tuple[Voice, ...]:
    """A voice of a bar, with one more for what is held where that is met; each limb's own where both hands hold.

    Raises:
        Unspellable: no values write one of them.
    """
    if not held or not meets_held(voice, struck, held):
        return (_voice(voice, room, struck, held, choices),)
    plain = [sound for sound in struck if not sound.is_held]
    long = [sound for sound in struck if sound.is_held]
    if not plain or meets_held(voice, long, held):
        singles = apart(voice, {sound.hit.limb for sound in (*struck, *held)})
        return tuple(_voice(one, room, _of(one, struck), _of(one, held), choices) for one in singles)
    upon, under = over_and_under(voice, plain, held)
    both = (_voice(upon, room, plain, [], choices), without_rests(_voice(under, room, long, held, choices)))
    return tuple(sorted(both, key=lambda one: one.number))


def _of(voice: Staffed, sounds: Sequence[Sound]) -> list[Sound]:
    return [sound for sound in sounds if sound.hit.limb in voice.limbs]


def _voice(voice: Staffed, room: _Room, struck: Sequence[Sound], held: Sequence[Sound], choices: Choices) -> Voice:
    gaps = _gaps(room, struck, held)
    place, count, events = 0, len(struck), list[Event]()
    for written in written_bar(room.bar.meter, room.end - room.start, gaps, eighths=choices.eighths):
        if written.is_rest:
            events.append(Event(written))
            continue
        first = place
        if written.struck:
            at = struck[first].start
            while place < count and struck[place].start == at:
                place += 1
        chord = struck[first:place]
        strokes = tuple([sound.stroke for sound in chord]) if not held else _tied(written, room, chord, held)
        events.append(Event(written, one_head_each(strokes)))
    return Voice(voice.number, voice.stem, tuple(events))


def _gaps(room: _Room, struck: Sequence[Sound], held: Sequence[Sound]) -> Gaps:
    """What happens in a voice of a bar, in ticks from the barline."""
    onsets = {sound.start - room.start for sound in struck}
    if not held:
        return tuple(Gap(at, FREE if at in onsets else SILENT) for at in sorted({0, *onsets}))
    spans = [(max(0, sound.start - room.start), min(sound.end, room.end) - room.start) for sound in held]
    edges = {0, *onsets, *(edge for span in spans for edge in span)} - {room.end - room.start}
    found = []
    for at in sorted(edges):
        sounding = any(start <= at < end for start, end in spans)
        kinds = (HELD, FREE) if at in onsets else (TIED, SILENT)
        found.append(Gap(at, kinds[0] if sounding else kinds[1]))
    return tuple(found)


def _tied(written: Written, room: _Room, chord: Sequence[Sound], held: Sequence[Sound]) -> tuple[Stroke, ...]:
    """The heads of a note where something is held: what is struck there, and what is held on."""
    start, end = (room.start + _ticks(at) for at in (written.start, written.start + written.length))
    found = [_with_tie(sound.stroke, "start") if sound.end > end else sound.stroke for sound in chord]
    on = (sound for sound in held if sound.start < start < sound.end)
    found += [_with_tie(sound.stroke, "both" if sound.end > end else "stop") for sound in on]
    return tuple(sorted(found, key=lambda stroke: stroke.limb or 0))


def _with_tie(stroke: Stroke, tie: str) -> Stroke:
    """The same head with a tie; what is only held on has nothing that belongs to its start."""
    if tie == "start":
        return stroke._replace(tie=tie)
    return stroke._replace(tie=tie, hat="", graces=(), sticking="")


def _is_fill(room: _Room, before: _Room) -> bool:
    """True for a bar that passes between hands and feet, no two limbs together, each doing other than before."""
    if room.held or len({sound.start for sound in room.struck}) < len(room.struck):
        return False
    now, then = (
        {(sound.hit.limb, sound.start - one.start, sound.hit.surface) for sound in one.struck} for one in (room, before)
    )
    limbs = {limb for limb, _, _ in now}
    if len({limb.is_hand for limb in limbs}) < 2:
        return False
    return all({one for one in now if one[0] == limb} != {one for one in then if one[0] == limb} for limb in limbs)


def _has_stopped(pattern: Pattern, upper: Staffed, voices: Sequence[Voice]) -> bool:
    """True where the upper voice of a row, which plays elsewhere in it, has a bar of rest to be counted."""
    plays = any(hit.limb in upper.limbs for hit in pattern.hits)
    return plays and all(voice.number != upper.number for voice in voices)


def _silent(room: _Room, voice: Staffed) -> Voice:
    """A bar of rest."""
    gaps = (Gap(0, SILENT),)
    return Voice(voice.number, voice.stem, (Event(written_bar(room.bar.meter, room.end - room.start, gaps)[0]),))


def _own_beats(pattern: Pattern, bar: Bar) -> list[Beat]:
    first = pattern.meters.beat_index(bar.start)
    return [beat for beat in pattern.meters.beats[first : first + len(bar.meter.beats)] if beat.bar == bar.number]


def _ticks(place: Fraction) -> int:
    """A place that is known to be whole ticks."""
    ticks = in_ticks(place)
    assert ticks is not None, place
    return ticks


def _refusal(pattern: Pattern, at: Fraction, hits: Sequence[Hit]) -> SpellingError:
    """The error for the beat that holds an instant, with the hits that are to be written together."""
    edges = [hit.onset for hit in hits]
    edges += [(hit.onset + hit.length) % pattern.span for hit in hits if hit.length is not None]
    beat = pattern.meters.beat_at(min(at, pattern.span - Fraction(1, 10**9)))
    return no_spelling(beat, edges)
