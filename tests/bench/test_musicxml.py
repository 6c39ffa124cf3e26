"""A page of 400 hits to MusicXML, spelled and serialised, against music21 making and exporting the same score."""

from collections.abc import Iterator
from functools import partial
from typing import Any

from kitgen.spell import Event, Score, spell_page
from kitgen.write.musicxml import page_musicxml
from tests.bench.material import BARS, HITS_A_BAR, laid_over_samba, page_of, rhythm
from tests.bench.race import Race

PATTERN = laid_over_samba(rhythm())


def by_music21(score: Score) -> bytes:
    """The score made of music21's objects, values as spelled, and exported."""
    from music21 import musicxml, stream

    part = stream.Part()
    for measure in score.measures:
        bar = stream.Measure(number=measure.number)
        for voice in measure.voices:
            own = stream.Voice()
            for event in voice.events:
                own.insert(float(event.written.start), _made(event))
            bar.insert(0, own)
        part.append(bar)
    whole = stream.Score()
    whole.insert(0, part)
    exported: bytes = musicxml.m21ToXml.GeneralObjectExporter(whole).parse()
    return exported


def _made(event: Event) -> Any:
    from music21 import note, percussion

    length = float(event.written.length)
    if not event.strokes:
        return note.Rest(quarterLength=length)
    heads = list(_heads(event))
    if len(heads) == 1:
        heads[0].quarterLength = length
        return heads[0]
    return percussion.PercussionChord(heads, quarterLength=length)


def _heads(event: Event) -> Iterator[Any]:
    from music21 import note

    for stroke in event.strokes:
        head = note.Unpitched(displayName=stroke.place)
        head.notehead = stroke.head
        yield head


def test_a_page_to_musicxml_is_ten_times_faster_than_music21(race: Race) -> None:
    """From the page to the bytes, beside music21 from known values to its bytes."""
    score = spell_page(page_of(PATTERN))
    assert len(PATTERN.hits) == BARS * HITS_A_BAR
    assert by_music21(score).count(b"<unpitched>") == page_musicxml(page_of(PATTERN)).count(b"<unpitched>")

    race(
        "page to MusicXML",
        lambda: partial(page_musicxml, page_of(PATTERN)),
        "music21, values known",
        lambda: partial(by_music21, score),
        at_most=0.1,
        rounds=7,
    )
