"""A page to the bytes of its MIDI file, against mido making the same file and against packing its events alone."""

from collections.abc import Callable
from functools import partial
from io import BytesIO
from typing import Any

import mido

from kitgen.pattern import Pattern
from kitgen.write.midi import loop
from tests.bench.material import BARS, HITS_A_BAR, laid_over_samba, page_of, rhythm
from tests.bench.race import Race, Side, Turn

Events = list[list[tuple[Callable[..., Any], dict[str, Any]]]]


def written(pattern: Pattern) -> Side:
    """The page's loop, a new page each time."""
    return lambda: partial(loop, page_of(pattern))


def mido_events(data: bytes) -> tuple[Events, int]:
    """A file's events as what mido's own message types are called with, track by track, and its ticks a quarter."""
    read = mido.MidiFile(file=BytesIO(data))
    return [[(type(event), event.dict()) for event in track] for track in read.tracks], read.ticks_per_beat


def mido_file(events: Events, ticks: int) -> bytes:
    """The file as mido makes it: a message object an event, then saved."""
    file = mido.MidiFile(type=1, ticks_per_beat=ticks)
    for own in events:
        track = mido.MidiTrack()
        file.tracks.append(track)
        for make, values in own:
            track.append(make(**values))
    out = BytesIO()
    file.save(file=out)
    return out.getvalue()


def mido_side(pattern: Pattern) -> tuple[Turn, bytes]:
    """Mido making the loop of a pattern's page, and the bytes of that loop."""
    data = loop(page_of(pattern))
    events, ticks = mido_events(data)
    return partial(mido_file, events, ticks), data


def packed(tracks: list[list[tuple[int, bytes]]], ticks: int) -> bytes:
    """Events packed and nothing else: (ticks since the event before, message) pairs, all known already."""
    chunks = [b"MThd\0\0\0\6\0\1" + len(tracks).to_bytes(2, "big") + ticks.to_bytes(2, "big")]
    for events in tracks:
        out, running = bytearray(), 0
        for delta, message in events:
            if delta > 127:
                if delta > 16383:
                    out.append(delta >> 14 | 128)
                out.append(delta >> 7 & 127 | 128)
            out.append(delta & 127)
            status = message[0]
            out += message[1:] if status == running else message
            running = status if status < 240 else 0
        chunks += [b"MTrk", len(out).to_bytes(4, "big"), bytes(out)]
    return b"".join(chunks)


def test_a_page_to_midi_takes_no_longer_than_mido(race: Race) -> None:
    """A page of sixteen bars becomes a MIDI file in no more time than mido takes to make that file of its events."""
    pattern = laid_over_samba(rhythm())
    assert len(pattern.hits) == BARS * HITS_A_BAR
    by_mido, data = mido_side(pattern)
    assert by_mido() == data

    race("page to MIDI", written(pattern), "mido, same events", lambda: by_mido, at_most=1)


def test_a_page_to_midi_against_packing_alone(race: Race) -> None:
    """How much longer a page takes to become a MIDI file than its events take to be packed."""
    pattern = laid_over_samba(rhythm())
    data = loop(page_of(pattern))
    file = mido.MidiFile(file=BytesIO(data))
    tracks = [[(event.time, bytes(event.bin())) for event in track] for track in file.tracks]
    pack = partial(packed, tracks, file.ticks_per_beat)
    assert pack() == data

    race("page to MIDI", written(pattern), "packing, events known", lambda: pack)
