"""A line as written music, with its true lengths: ties where no one value says them, rests where it rests.

Every note is on the middle line, stems up; articulations, grace notes and stickings are the line's own. Two rests that
follow one another are one silence.
"""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction

from kitgen.line import Line, Note
from kitgen.pattern import Level
from kitgen.spell.bars import arranged
from kitgen.spell.beams import written_bar
from kitgen.spell.choices import USUAL, Choices
from kitgen.spell.counts import counts_of
from kitgen.spell.gaps import HELD, SILENT, TIED, Gap, Gaps
from kitgen.spell.refusal import SpellingError, Unspellable, no_spelling
from kitgen.spell.strokes import LINE_PLACE, graces_of
from kitgen.spell.ticks import in_quarters, in_ticks
from kitgen.spell.values import Event, Measure, Score, Stroke, Voice
from kitgen.time import Bar, Meter, Meters


def spell_line(line: Line, choices: Choices = USUAL, *, label: str = "") -> Score:
    """A line as a score of one section.

    Args:
        line: the line.
        choices: how it is written; it has one voice whatever the layout, and its own stickings.
        label: its rehearsal mark.

    Raises:
        SpellingError: a rhythm no note values write; names bar and count, and offers the nearest.
    """
    measures: list[Measure] = []
    meter: Meter | None = None
    for bar, notes in _by_bar(line):
        voice = _voice(line, bar, notes, choices)
        onsets = (note.onset for note in notes if bar.start <= note.onset)
        counts = counts_of(bar, onsets, system=choices.counts, by_quarters=choices.count_quarters)
        shows, meter = bar.meter != meter, bar.meter
        measures.append(Measure(bar.number, bar.start, bar.length, bar.meter, shows, (voice,), counts))
    return Score((arranged(label, measures, 1, count_rests=choices.rests == "counted"),))


def _by_bar(line: Line) -> Iterator[tuple[Bar, Sequence[Note]]]:
    """Each bar with the notes that sound in it."""
    first = 0
    for bar in line.meters.bars:
        while first < len(line.notes) and line.notes[first].end <= bar.start:
            first += 1
        yield bar, line.notes[first : bisect_left(line.onsets, bar.end)]


def _voice(line: Line, bar: Bar, notes: Sequence[Note], choices: Choices) -> Voice:
    length = in_ticks(bar.length)
    try:
        if length is None:
            raise Unspellable(0)
        written = written_bar(bar.meter, length, _gaps(line, bar, notes), eighths=choices.eighths)
    except Unspellable as unspellable:
        raise _refusal(line, bar.start + in_quarters(unspellable.beat_start)) from None
    events, rest = [], iter(notes)
    note = next(rest, None)
    for item in written:
        if item.is_rest:
            events.append(Event(item))
            continue
        start, end = bar.start + item.start, bar.start + item.start + item.length
        while note is not None and note.end <= start:
            note = next(rest, None)
        assert note is not None
        events.append(Event(item, (_stroke(note, start, end),)))
    return Voice(1, "up", tuple(events))


def _gaps(line: Line, bar: Bar, notes: Sequence[Note]) -> Gaps:
    kinds: dict[Fraction, str] = {bar.start: SILENT}
    for note in notes:
        kinds[max(note.onset, bar.start)] = HELD if note.onset >= bar.start else TIED
        if note.end < bar.end:
            kinds[note.end] = SILENT
    found = []
    for at, kind in sorted(kinds.items()):
        ticks = in_ticks(at - bar.start)
        if ticks is None:
            raise _refusal(line, at)
        found.append(Gap(ticks, kind))
    return tuple(found)


def _stroke(note: Note, start: Fraction, end: Fraction) -> Stroke:
    """The part of a note from one instant to another."""
    first, last = start == note.onset, end == note.end
    tie = "" if first and last else "start" if first else "stop" if last else "both"
    return Stroke(
        None,
        "",
        *LINE_PLACE,
        Level.ACCENT if note.accent else Level.NORMAL,
        held=True,
        tie=tie,
        graces=graces_of(note.graces, None, "") if first else (),
        sticking=note.sticking if first else "",
        mark=note.mark,
    )


def _refusal(line: Line, at: Fraction) -> SpellingError:
    edges = [edge for note in line.notes for edge in (note.onset, note.end)]
    return no_spelling(line.meters.beat_at(at), edges)


def read_back_line(score: Score) -> Line:
    """The line a score of one line says."""
    notes, runs, start = list[Note](), list[tuple[Meter, Fraction]](), Fraction(0)
    for measure in score.measures:
        runs.append((measure.meter, measure.length))
        for event in measure.voices[0].events:
            for stroke in event.strokes:
                if stroke.tie in ("stop", "both"):
                    before = notes.pop()
                    notes.append(_longer(before, event.written.length))
                else:
                    at, length = start + event.written.start, event.written.length
                    graces, hand = len(stroke.graces), stroke.sticking
                    notes.append(Note(at, length, stroke.level is Level.ACCENT, stroke.mark, graces, hand))
        start += measure.length
    return Line(tuple(notes), Meters(tuple(runs)))


def _longer(note: Note, by: Fraction) -> Note:
    return Note(note.onset, note.length + by, note.accent, note.mark, note.graces, note.sticking)
