"""What stands in the bars of a chart: slashes, kicks among them, and cues."""

from collections.abc import Iterator
from fractions import Fraction

from kitgen.spell.ticks import WRITTEN, in_ticks
from kitgen.spell.values import Event, Measure, Stroke, Voice, Written
from kitgen.time import Bar

SLASH, SLASH_PLACE = "rhythm", "B4"
"""The head of slashes, and where they stand: on the middle line."""
ABOVE, BELOW = "G5", "C4"
"""Where cues stand: on the staff, and under it."""
_HALF = Fraction(2)
_CUES = 5
"""The number of the first voice of cues, past those of any groove."""


def main(bar: Bar, full: Measure | None, kind: str, stem: str) -> Voice:
    """Slashes, and the full band's figures among them; rests between those where time stops.

    Args:
        bar: the bar.
        full: what the full band plays in it, spelled; None where it plays nowhere.
        kind: what the bar is: ``rest``, ``stop``, or any other for time.
        stem: the direction of its stems.
    """
    if kind == "rest" or (kind == "stop" and full is None):
        return whole_rest(bar)
    if full is None or (full.is_silent and kind != "stop"):
        return Voice(1, stem, tuple(slashes(bar, Fraction(0), bar.length)))
    events: list[Event] = []
    for event in full.voices[0].events:
        if event.strokes:
            events.append(Event(event.written, tuple(kick(stroke) for stroke in event.strokes)))
        else:
            events += [event] if kind == "stop" else opened(bar, event)
    return Voice(1, stem, tuple(events))


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


def opened(bar: Bar, event: Event) -> Iterator[Event]:
    """A rest among figures: slashes for the whole beats of it, a rest for what is left of a beat."""
    written = event.written
    start, end = written.start, written.start + written.length
    edges = [at for at, _ in _beats(bar) if start <= at <= end] + ([end] if end == bar.length else [])
    first, last = (edges[0], edges[-1]) if edges else (end, end)
    parts = [one for one in (first - start, end - last) if one]
    if written.tuplet or first == last or any(in_ticks(one) not in WRITTEN for one in parts):
        yield event
        return
    if first > start:
        yield _rest(start, first)
    yield from slashes(bar, first, last)
    if end > last:
        yield _rest(last, end)


def _rest(start: Fraction, end: Fraction) -> Event:
    kind, dots = WRITTEN[in_ticks(end - start) or 0]
    return Event(Written(start, end - start, kind, dots, is_rest=True, struck=False))


def kick(stroke: Stroke) -> Stroke:
    """A note of the full band as a rhythmic slash."""
    return stroke._replace(place=SLASH_PLACE, head=SLASH)


def cue(voice: Voice, place: int, bar: Bar) -> Voice:
    """A voice of cues: small, above the staff or below it, with rests among its notes and in their beats."""
    events = [event for event in voice.events if event.strokes]
    first, last = events[0].written.start, events[-1].written.start
    beats = [at for at, _ in _beats(bar)]
    entry = max(at for at in beats if at <= first)
    made = tuple(
        Event(
            event.written,
            tuple(stroke._replace(place=BELOW if place else ABOVE) for stroke in event.strokes),
            shown=bool(event.strokes)
            or first < event.written.start < last
            or (event.written.start < first and event.written.start + event.written.length > entry)
            or (event.written.start > last and event.written.start not in beats),
        )
        for event in voice.events
    )
    return Voice(_CUES + place, "down" if place else "up", made, cue=True)


def first_struck(voice: Voice) -> Fraction | None:
    """Where the first note of a voice is."""
    return next((event.written.start for event in voice.events if event.strokes), None)
