"""Bars as MusicXML measures: breaks, meters, marks, voices, barlines.

Conventions: bars are numbered as they are played, rows written out as often as they are played, so that they are the
bars of the ``.mid``. A row's label is its first rehearsal mark; the number of the bar stands at every eighth bar
after it. A row ends with a double bar. Counts are lyrics where a note or rest starts,
else words under the staff.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from kitgen.spell import Event, Measure, Score, Section, Voice
from kitgen.spell.bars import A_PHRASE, A_SYSTEM
from kitgen.time import Meter
from kitgen.write.musicxml_notes import Pen, Rests, Said, voice_notes
from kitgen.write.musicxml_text import xml_words

_REST_PLACES = {"up": "D5", "down": "E4"}
"""Where rests stand while another voice plays: above the bass drum, and below the snare and the floor tom."""


_CUE_REST_PLACES = {"up": "A5", "down": "C4"}
_NUMBER = "\x01"
"""Stands for the number of a bar; no words have such a character in XML."""


class Placed(NamedTuple):
    """A bar as it is played.

    Args:
        measure: what is written in it.
        number: counted from 1 through all that is played.
        mark: its rehearsal mark, or empty.
        new_system: starts a system.
        ends_row: the last bar of its row, the last time it is played.
    """

    measure: Measure
    number: int
    mark: str
    new_system: bool
    ends_row: bool


def played_bars(score: Score) -> list[Placed]:
    """Every bar of a score in the order it is played."""
    found: list[Placed] = []
    for section in score.sections:
        found += _played(section, len(found))
    return found


def _played(section: Section, before: int) -> Iterator[Placed]:
    """The bars of a row, after so many of other rows.

    A row of fewer than four bars goes on along the system when it is played again.
    """
    bars = len(section.measures)
    stood = 0
    for place in range(bars * section.times):
        turn, index = divmod(place, bars)
        measure, number = section.measures[index], before + place + 1
        again = turn > 0 and index == 0
        starts = stood + min(bars, A_SYSTEM) > A_SYSTEM if again else measure.new_system
        mark = measure.mark
        if again:
            mark = str(number) if place % A_PHRASE == 0 else ""
        elif place and mark:
            mark = str(number)
        stood = (0 if starts else stood) + (measure.rest_bars > 0 or not measure.in_rest)
        yield Placed(measure, number, mark, starts, place == bars * section.times - 1)


def measures_xml(pen: Pen, bars: Sequence[Placed], first: str, *, repeats: bool) -> Iterator[str]:
    """The measures of a part.

    Args:
        pen: how notes are written.
        bars: the bars as they are played.
        first: directions at the start of the first.
        repeats: a bar equal to the one before is shown as a repeat sign; its notes are in the file all the same.
    """
    meter: Meter | None = None
    repeating = False
    written: dict[int, str] = {}  # bars that are played again are the same objects
    for bar in bars:
        measure = bar.measure
        repeats_now = repeats and measure.same_as_before and not bar.new_system
        yield f'<measure number="{bar.number}">\n'
        if bar.new_system and bar.number > 1:
            yield '<print new-system="yes"/>\n'
        yield attributes(pen, measure, bar.number, meter, repeat_sign(starts=repeats_now, before=repeating))
        if bar.mark:
            yield direction(f'<rehearsal halign="left">{xml_words(bar.mark)}</rehearsal>')
        if bar.number == 1:
            yield first
        if id(measure) not in written:
            written[id(measure)] = "".join(voices_xml(pen, measure, _NUMBER))
        yield written[id(measure)].replace(_NUMBER, str(bar.number))
        if bar.ends_row:
            style = "light-heavy" if bar.number == len(bars) else "light-light"
            yield f'<barline location="right"><bar-style>{style}</bar-style></barline>\n'
        yield "</measure>\n"
        meter, repeating = measure.meter, repeats_now


def attributes(pen: Pen, measure: Measure, number: int, before: Meter | None, repeat: str) -> str:
    """What changes at the start of a bar, in the order of the schema; empty where nothing does."""
    first = number == 1
    inside = f"<divisions>{pen.divisions}</divisions><key><fifths>0</fifths></key>" if first else ""
    if measure.meter != before:
        above, below = str(measure.meter).split("/")
        inside += f"<time><beats>{above}</beats><beat-type>{below}</beat-type></time>"
    if first:
        inside += "<clef><sign>percussion</sign></clef>"
    if measure.rest_bars:
        inside += f"<measure-style><multiple-rest>{measure.rest_bars}</multiple-rest></measure-style>"
    inside += repeat
    return f"<attributes>{inside}</attributes>\n" if inside else ""


def repeat_sign(*, starts: bool, before: bool) -> str:
    """Where repeat signs of one bar start and stop; empty where nothing changes."""
    if starts == before:
        return ""
    sign = '<measure-repeat type="start">1</measure-repeat>' if starts else '<measure-repeat type="stop"/>'
    return f"<measure-style>{sign}</measure-style>"


def voices_xml(pen: Pen, measure: Measure, number: int | str) -> Iterator[str]:
    """The voices of a bar, with what is said under them.

    Args:
        pen: how notes are written.
        measure: the bar.
        number: its number, for the ids of notes.
    """
    voices = measure.voices
    said, unsaid = _counts(pen, measure) if measure.counts else ({}, "")
    yield unsaid
    length = measure.length.numerator * (pen.divisions // measure.length.denominator)
    for index, voice in enumerate(voices):
        if index:
            yield f"<backup><duration>{length}</duration></backup>\n"
        rests = _rests(voice, voices)
        yield from voice_notes(pen, voice, number, rests, said)


def _rests(voice: Voice, voices: Sequence[Voice]) -> Rests:
    """Where the rests of a voice stand: out of the way of the other voices."""
    if voice.cue:
        return Rests(_CUE_REST_PLACES[voice.stem], frozenset())
    if sum(not other.cue for other in voices) == 1:
        return Rests("", frozenset())
    return Rests(_REST_PLACES[voice.stem], _shared(voice, voices))


def _shared(voice: Voice, voices: Sequence[Voice]) -> frozenset[Fraction]:
    """Where rests of a voice start that stand for hidden ones of another voice too."""
    hidden = [
        (event.written.start, event.written.start + event.written.length)
        for other in voices
        for event in other.events
        if not event.shown
    ]
    rests = [event.written for event in voice.events if event.written.is_rest] if hidden else []
    return frozenset(
        rest.start for rest in rests for start, end in hidden if start <= rest.start and rest.start + rest.length <= end
    )


def _counts(pen: Pen, measure: Measure) -> tuple[Said, str]:
    """What is said at events, and directions for what is said where none starts."""
    events: dict[Fraction, tuple[int, Fraction]] = {}
    for wanted in (_is_struck, _is_shown):
        for voice in measure.voices:
            for event in voice.events:
                if wanted(event):
                    events.setdefault(event.written.start, (voice.number, event.written.start))
    said = {events[count.start]: count.said for count in measure.counts if count.start in events}
    unsaid = (count for count in measure.counts if count.start not in events)
    return said, "".join(_count_between(pen, count.start, count.said) for count in unsaid)


def _is_struck(event: Event) -> bool:
    return bool(event.strokes)


def _is_shown(event: Event) -> bool:
    return event.shown and not event.written.whole_bar


def _count_between(pen: Pen, start: Fraction, said: str) -> str:
    offset = f"<offset>{start.numerator * (pen.divisions // start.denominator)}</offset>" if start else ""
    words = f'<direction-type><words font-style="normal">{xml_words(said)}</words></direction-type>'
    return f'<direction placement="below">{words}{offset}</direction>\n'


def direction(kind: str, more: str = "") -> str:
    """A direction above the staff."""
    return f'<direction placement="above"><direction-type>{kind}</direction-type>{more}</direction>\n'
