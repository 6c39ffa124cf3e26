"""What making a MIDI file is held against: mido making the same file, and its events packed and nothing else."""

from functools import partial
from io import BytesIO
from typing import Any

import mido

from tests.bench.race import Turn

Calls = list[tuple[type, dict[str, Any]]]
Packs = list[tuple[int, bytes]]


def mido_making(data: bytes) -> Turn:
    """Mido making a file: a message object an event, appended to its track, then saved."""
    read = mido.MidiFile(file=BytesIO(data))
    tracks = [[(type(event), event.dict()) for event in track] for track in read.tracks]
    return partial(_saved, tracks, read.ticks_per_beat)


def mido_saving(data: bytes) -> Turn:
    """Mido saving a file whose messages are made already."""
    read = mido.MidiFile(file=BytesIO(data))
    return lambda: read.save(file=BytesIO())


def packing(data: bytes) -> Turn:
    """The events of a file, known as ticks since the one before and message bytes, packed into a file."""
    read = mido.MidiFile(file=BytesIO(data))
    tracks = [[(event.time, bytes(event.bin())) for event in track] for track in read.tracks]
    return partial(_packed, tracks, read.ticks_per_beat)


def _saved(tracks: list[Calls], ticks: int) -> bytes:
    file = mido.MidiFile(type=1, ticks_per_beat=ticks)
    for own in tracks:
        track = mido.MidiTrack()
        file.tracks.append(track)
        for make, values in own:
            track.append(make(**values))
    out = BytesIO()
    file.save(file=out)
    return out.getvalue()


def _packed(tracks: list[Packs], ticks: int) -> bytes:
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
