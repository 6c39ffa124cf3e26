"""What a MIDI file holds, read with mido alone: the tests' own view, apart from the package's reader."""

from dataclasses import dataclass
from io import BytesIO
from typing import Any

import mido

HATS = {42, 44, 46}
TIME_TRACKS = ("count-in", "click")


@dataclass(frozen=True, slots=True)
class Heard:
    """One note: its track's name, where it starts and ends in ticks, its key and velocity."""

    track: str
    start: int
    end: int
    key: int
    velocity: int


def load(data: bytes) -> Any:
    """The file as mido has it, refused if mido would have to mend anything."""
    return mido.MidiFile(file=BytesIO(data), clip=False)


def timed(track: Any) -> list[tuple[int, Any]]:
    """Every message of a track with its absolute tick."""
    tick, found = 0, []
    for message in track:
        tick += message.time
        found.append((tick, message))
    return found


def end_of(track: Any) -> int:
    """The tick at which a track ends."""
    return sum(message.time for message in track)


def notes_of(track: Any) -> list[Heard]:
    """The notes of a track; a note-off closes the oldest note of its key."""
    sounding: dict[int, list[tuple[int, int]]] = {}
    found = []
    for tick, message in timed(track):
        if message.type == "note_on" and message.velocity:
            sounding.setdefault(message.note, []).append((tick, message.velocity))
        elif message.type in ("note_on", "note_off"):
            start, velocity = sounding[message.note].pop(0)
            found.append(Heard(track.name, start, tick, message.note, velocity))
    assert not any(sounding.values()), "a note is never let go"
    return sorted(found, key=lambda note: (note.start, note.key, note.end))


def notes_in(data: bytes, *, click: bool = False) -> list[Heard]:
    """The notes of every limb's track, and of count-in and click where asked for."""
    tracks = load(data).tracks[1:]
    return [note for track in tracks if click or track.name not in TIME_TRACKS for note in notes_of(track)]


def texts_in(data: bytes, *, track: int = 0) -> list[tuple[int, str]]:
    """The text events of a track, with their ticks."""
    return [(tick, message.text) for tick, message in timed(load(data).tracks[track]) if message.type == "text"]


def saved_by_mido(data: bytes) -> bytes:
    """The bytes mido saves for the same messages."""
    out = BytesIO()
    load(data).save(file=out)
    return out.getvalue()
