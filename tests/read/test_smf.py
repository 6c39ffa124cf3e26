"""MIDI files are loaded safely, and the plain facts in them are read."""

import struct
from fractions import Fraction
from pathlib import Path

import mido
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kitgen.errors import ReadError
from kitgen.read import smf
from kitgen.time import Meter, Meters


def written(tmp_path: Path, data: bytes) -> Path:
    """A file holding these bytes."""
    path = tmp_path / "take.mid"
    path.write_bytes(data)
    return path


def header(*, kind: int = 1, tracks: int = 1, division: int = 480, size: int = 6) -> bytes:
    """A header chunk."""
    return struct.pack(">4sIHHH", b"MThd", size, kind, tracks, division)


def track(*events: str) -> bytes:
    """A track chunk of events in hex."""
    body = bytes.fromhex("".join(events))
    return struct.pack(">4sI", b"MTrk", len(body)) + body


END = "00ff2f00"


def midi_of(tmp_path: Path, *tracks: bytes, division: int = 480) -> mido.MidiFile:
    """A loaded file of these track chunks."""
    return smf.load(written(tmp_path, header(tracks=len(tracks), division=division) + b"".join(tracks)))


BROKEN = {
    "empty": (b"", "is empty"),
    "text": (b"these are no notes", "does not start with the letters MThd"),
    "short": (header()[:9], "cut off inside its header"),
    "no track": (header(), "track 1 of 1 is missing"),
    "cut track": (header() + track("00992664", END)[:-3], "cut off in track 1 of 1: 3 bytes are missing"),
    "cut event": (header() + track("009926"), "stops in the middle of an event"),
    "frames": (header(division=0xE250) + track(END), "counts time in frames, 30 a second"),
    "no ticks": (header(division=0) + track(END), "0 ticks a quarter"),
    "format 2": (header(kind=2) + track(END), "format 2"),
    "tracks 0": (header(tracks=0), "has no tracks"),
    "small header": (header(size=4) + track(END), "a header of 4 bytes"),
    "no status": (header() + track("002664", END), "damaged"),
    "key": (header() + track("00ff59020900", END), "key signature"),
    "endless": (header() + track("ffffff7f992664", END), "lasts 559240 quarters"),
}


@pytest.mark.parametrize("name", BROKEN)
def test_broken_files_say_what_is_wrong(tmp_path: Path, name: str) -> None:
    """Each kind of broken file is refused with its path and the reason."""
    data, reason = BROKEN[name]
    path = written(tmp_path, data)
    with pytest.raises(ReadError) as caught:
        smf.load(path)
    assert reason in str(caught.value)
    assert str(path) in str(caught.value)


def test_missing_file_and_folder(tmp_path: Path) -> None:
    """A file that is not there, and a folder, cannot be opened."""
    for path in (tmp_path / "none.mid", tmp_path):
        with pytest.raises(ReadError, match="cannot be opened"):
            smf.load(path)


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_damage_never_escapes(tmp_path: Path, data: st.DataObject) -> None:
    """Whatever bytes are changed or cut off, a file is read or refused, nothing else."""
    whole = bytearray(header(tracks=1) + track("00ff510307a120", "00ff580404021808", "00992664", "8170 2600", END))
    for _ in range(data.draw(st.integers(1, 4))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    path = written(tmp_path, bytes(whole[: data.draw(st.integers(0, len(whole)))]))
    try:
        midi = smf.load(path)
        tracks = smf.tracks_of(midi)
        smf.tempo_map(midi).seconds_at(1000)
        smf.meters_of(midi, max(one.end_tick for one in tracks))
    except ReadError:
        pass


def test_other_chunks_and_long_headers_are_skipped(tmp_path: Path) -> None:
    """Chunks of unknown kinds and a longer header are passed over, as the standard asks."""
    alien = struct.pack(">4sI", b"XFIH", 3) + b"abc"
    long_header = struct.pack(">4sIHHH", b"MThd", 8, 0, 1, 96) + b"\0\0"
    midi = smf.load(written(tmp_path, long_header + alien + track("00992664", "3089260000ff2f00")))
    (notes,) = smf.tracks_of(midi)
    assert notes.notes == (smf.MidiNote(0, 48, 10, 38, 100),)


def test_running_status_and_velocity_zero(tmp_path: Path) -> None:
    """Running status is followed, and a note-on of velocity 0 ends a note."""
    midi = midi_of(tmp_path, track("00992664", "8170 2600", "00 2450", "8170 2400", END))
    (notes,) = smf.tracks_of(midi)
    assert notes.notes == (smf.MidiNote(0, 240, 10, 38, 100), smf.MidiNote(240, 480, 10, 36, 80))


def test_notes_struck_again_and_never_ended(tmp_path: Path) -> None:
    """The first note-off closes the first of two notes on one key; an open note lasts to the track's end."""
    midi = midi_of(tmp_path, track("00992664", "8170 2650", "8170 2600", "8170 ff2f00"))
    (notes,) = smf.tracks_of(midi)
    assert [(note.start_tick, note.end_tick, note.velocity) for note in notes.notes] == [(0, 480, 100), (240, 720, 80)]


def test_names_are_read_in_either_encoding(tmp_path: Path) -> None:
    """Track names are UTF-8, or Latin-1 where they are not."""
    for name in ("Trommel – 3×4".encode(), "Tambour é".encode("latin1")):
        midi = midi_of(tmp_path, track(f"00ff03{len(name):02x}{name.hex()}", END))
        assert smf.track_names(midi)[0] in ("Trommel – 3×4", "Tambour é")


def test_tempo_map(tmp_path: Path) -> None:
    """Seconds add up over tempo changes; without any the tempo is 120."""
    midi = midi_of(tmp_path, track("00ff510307a120", "8740ff51030f4240", END))  # 120, then 60 after two quarters
    tempi = smf.tempo_map(midi)
    assert tempi.changes == ((0, 500_000), (960, 1_000_000))
    assert [tempi.seconds_at(tick) for tick in (0, 480, 960, 1440)] == [0, 0.5, 1, 2]
    assert (tempi.bpm_at(0), tempi.bpm_at(959), tempi.bpm_at(960)) == (120, 120, 60)
    assert smf.tempo_map(midi_of(tmp_path, track(END))).seconds_at(480) == 0.5
    with pytest.raises(ReadError, match="0 microseconds"):
        smf.tempo_map(midi_of(tmp_path, track("00ff5103000000", END)))


def test_meters_in_whole_bars(tmp_path: Path) -> None:
    """Meters follow the time signatures; the last bar is filled up and a bar cut short gets its own meter."""
    three = "ff580403021808"
    midi = midi_of(tmp_path, track("00ff580404021808", f"9800 {three}", END))  # 4/4, and 3/4 after 3072 ticks
    assert smf.time_signatures(midi) == ((0, Meter(4, 4)), (3072, Meter(3, 4)))
    midi = midi_of(tmp_path, track("00ff580404021808", f"9860 {three}", END), division=528)
    assert smf.meters_of(midi, 3168 + 10) == Meters(
        ((Meter(4, 4), Fraction(4)), (Meter(2, 4), Fraction(2)), (Meter(3, 4), Fraction(3)))
    )
    assert smf.meters_of(midi, 100) == Meters.of(Meter(4, 4))
    assert smf.meters_of(midi_of(tmp_path, track(END)), 1921) == Meters.of(Meter(4, 4), 2)
    odd = midi_of(tmp_path, track("00ff580404021808", f"07 {three}", END))
    with pytest.raises(ReadError, match="cuts a bar after 7/480 quarters"):
        smf.meters_of(odd, 1000)
    with pytest.raises(ReadError, match="no meter 0/4"):
        smf.time_signatures(midi_of(tmp_path, track("00ff580400021808", END)))
