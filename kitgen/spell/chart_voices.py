"""What stands in the bars of a chart: slashes, kicks among them, and cues."""

from collections.abc import Iterator
from fractions import Fraction

from kitgen.spell.ticks import WRITTEN, in_ticks
from kitgen.spell.values import Event, Stroke, Voice, Written
from kitgen.time import Bar

SLASH, SLASH_PLACE = "rhythm", "B4"
"""The head of slashes, and where they stand: on the middle line."""
ABOVE, BELOW = "G5", "C4"
"""Where cues stand: on the staff, and under it."""
_HALF = Fraction(2)
_CUES = 5
"""The number of the first voice of cues, past those of any groove."""


def whole_rest(bar: Bar) -> Voice:
    """A bar of rest."""
    return Voice(1, "up", (Event(Written(Fraction(0), bar.length, "whole", 0, True, False, whole_bar=True)),))  # noqa: FBT003


def slashes(bar: Bar, start: Fraction, end: Fraction) -> Iterator[Event]:
    """A stemless slash for each beat from one place of a bar to another; halves are counted as quarters."""
    stroke = Stroke(None, "", SLASH_PLACE, SLASH, stemless=True)
    for at, length in _beats(bar):
        if start <= at < end:
            kind, dots = WRITTEN.get(in_ticks(length) or 0, ("quarter", 0))
            yield Event(Written(at, length, kind, dots), (stroke,))


def _beats(bar: Bar) -> Iterator[tuple[Fraction, Fraction]]:
    at = Fraction(0)
    for beat in bar.meter.beats:
        parts = int(beat) if beat >= _HALF and beat.denominator == 1 else 1
        for _ in range(parts):
            yield at, beat / parts
            at += beat / parts


def is_whole_beats(bar: Bar, written: Written) -> bool:
    """True for a rest that lasts whole beats, for which slashes may stand."""
    edges = {at for at, _ in _beats(bar)} | {bar.length}
    return written.whole_bar or (written.start in edges and written.start + written.length in edges)


def kick(stroke: Stroke) -> Stroke:
    """A note of the full band as a rhythmic slash."""
    return stroke._replace(place=SLASH_PLACE, head=SLASH)


def cue(voice: Voice, place: int) -> Voice:
    """A voice of cues: small, above the staff or below it, with rests only between its notes."""
    events = [event for event in voice.events if event.strokes]
    first, last = events[0].written.start, events[-1].written.start
    made = tuple(
        Event(
            event.written,
            tuple(stroke._replace(place=BELOW if place else ABOVE) for stroke in event.strokes),
            shown=bool(event.strokes) or first < event.written.start < last or _inside_a_beat(event.written),
        )
        for event in voice.events
    )
    return Voice(_CUES + place, "down" if place else "up", made, cue=True)


def _inside_a_beat(written: Written) -> bool:
    return written.start.denominator != 1


def first_struck(voice: Voice) -> Fraction | None:
    """Where the first note of a voice is."""
    return next((event.written.start for event in voice.events if event.strokes), None)
