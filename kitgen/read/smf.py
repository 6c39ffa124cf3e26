"""Standard MIDI Files: loading one safely, and the plain facts in it.

Conventions: ticks are absolute, from the start of the file; tracks and channels are numbered from 1; tempi are
quarters a minute. Read as "Standard MIDI-File Format Spec. 1.1, updated" (D. Back, 1999) says: chunks of other kinds
are skipped, without a tempo it is 120, without a time signature 4/4. Text is UTF-8, or Latin-1 where it is not.
A note struck again while it sounds is closed by the first note-off that follows; one never closed lasts to its
track's end.
"""

import math
import struct
from bisect import bisect_right
from collections import defaultdict, deque
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from kitgen.errors import ReadError, TimeError
from kitgen.time import Meter, Meters

if TYPE_CHECKING:
    import mido

_HEADER = struct.Struct(">4sIHHH")
_CHUNK = struct.Struct(">4sI")
_LONGEST_QUARTERS = 50_000
_DEFAULT_US = 500_000
_US_A_MINUTE = 60_000_000
_ALLOWED = "readable is a Standard MIDI File of format 0 or 1 that counts ticks a quarter"


@dataclass(frozen=True, slots=True)
class MidiNote:
    """One note of a track.

    Args:
        start_tick: where it is struck.
        end_tick: where it is let go; never before the start.
        channel: 1 to 16.
        key: 0 to 127.
        velocity: 1 to 127.
    """

    start_tick: int
    end_tick: int
    channel: int
    key: int
    velocity: int


@dataclass(frozen=True, slots=True)
class TrackNotes:
    """A track's number in the file (from 1), its name (empty if it has none), its notes by start, and its end."""

    number: int
    name: str
    notes: tuple[MidiNote, ...]
    end_tick: int


@dataclass(frozen=True)
class TempoMap:
    """The tempi of a file.

    Args:
        ticks_a_quarter: the file's division.
        changes: (tick, microseconds a quarter), the first at tick 0, in order.
    """

    ticks_a_quarter: int
    changes: tuple[tuple[int, int], ...] = ((0, _DEFAULT_US),)

    def seconds_at(self, tick: float) -> float:
        """Seconds from the start of the file to a tick."""
        passed_us = 0.0
        ends = (*(start for start, _ in self.changes[1:]), tick)
        for (start, tempo), end in zip(self.changes, ends, strict=True):
            if start >= tick:
                break
            passed_us += (min(end, tick) - start) * tempo
        return passed_us / self.ticks_a_quarter / 1e6

    def bpm_at(self, tick: float) -> float:
        """Quarters a minute at a tick."""
        index = bisect_right(self.changes, tick, key=lambda change: change[0]) - 1
        return _US_A_MINUTE / self.changes[index][1]


# ---- loading ---------------------------------------------------------------------------------------------------


def load(path: Path) -> "mido.MidiFile":
    """Read a MIDI file.

    Args:
        path: the file.

    Returns:
        The file as mido has it, with its path as ``filename``.

    Raises:
        ReadError: it cannot be opened, is empty, cut off, no MIDI file, or a kind that is not read; says which.
    """
    path = Path(path)
    try:
        data = path.read_bytes()
    except OSError as error:
        raise ReadError(f"{path} cannot be opened: {error.strerror or error}") from error
    midi = _parsed(path, _tracks_only(path, data))
    midi.filename = str(path)
    last_tick = max(sum(message.time for message in track) for track in midi.tracks)
    if last_tick > _LONGEST_QUARTERS * midi.ticks_per_beat:
        raise ReadError(
            f"{path} lasts {last_tick // midi.ticks_per_beat} quarters; at most {_LONGEST_QUARTERS} can be read, "
            "so a length in it is probably damaged"
        )
    return midi


def _tracks_only(path: Path, data: bytes) -> bytes:
    """The file with its chunks of other kinds taken out, once its header is known to be good."""
    if not data:
        raise ReadError(f"{path} is empty; {_ALLOWED}")
    if data[:4] != b"MThd":
        raise ReadError(f"{path} is no MIDI file: it does not start with the letters MThd; {_ALLOWED}")
    if len(data) < _HEADER.size:
        raise ReadError(f"{path} is cut off inside its header, after {len(data)} bytes; copy or save it again")
    _, size, kind, count, division = _HEADER.unpack_from(data)
    if problem := _header_problem(size, kind, count, division):
        raise ReadError(f"{path} {problem}; {_ALLOWED}")
    kept, at = [data[: _CHUNK.size + size]], _CHUNK.size + size
    while len(kept) <= count:
        number = len(kept)
        if at + _CHUNK.size > len(data):
            raise ReadError(f"{path} is cut off: track {number} of {count} is missing; copy or save it again")
        name, size = _CHUNK.unpack_from(data, at)
        end = at + _CHUNK.size + size
        if end > len(data):
            raise ReadError(
                f"{path} is cut off in track {number} of {count}: {end - len(data)} bytes are missing; "
                "copy or save it again"
            )
        if name == b"MTrk":
            kept.append(data[at:end])
        at = end
    return b"".join(kept)


def _header_problem(size: int, kind: int, count: int, division: int) -> str:
    if size < 6:
        return f"has a header of {size} bytes; it has 6 or more"
    if kind > 1:
        return f"is of format {kind}" + (", whose tracks do not run together" if kind == 2 else "")
    if not count:
        return "has no tracks"
    if division & 0x8000:
        return f"counts time in frames, {256 - (division >> 8)} a second, not in quarters (an SMPTE division)"
    return "" if division else "has 0 ticks a quarter"


def _parsed(path: Path, data: bytes) -> "mido.MidiFile":
    import mido
    from mido.midifiles.meta import KeySignatureError

    for charset in ("utf-8", "latin1"):
        try:
            return mido.MidiFile(file=BytesIO(data), charset=charset, clip=True)
        except UnicodeDecodeError:
            continue
        except EOFError as error:
            raise ReadError(f"{path}: a track stops in the middle of an event; copy or save it again") from error
        except KeySignatureError as error:
            raise ReadError(f"{path}: there is no such key signature ({error}); save it again") from error
        except (OSError, ValueError, LookupError, TypeError, AttributeError, ArithmeticError, struct.error) as error:
            what = f"byte {error}" if isinstance(error, LookupError) else str(error)
            raise ReadError(f"{path}: an event in it is damaged ({what}); {_ALLOWED}") from error
    raise AssertionError("Latin-1 decodes every byte")


# ---- what is in it ---------------------------------------------------------------------------------------------


def timed(track: "mido.MidiTrack") -> "Iterator[tuple[int, mido.Message]]":
    """Every message of a track with its absolute tick."""
    tick = 0
    for message in track:
        tick += message.time
        yield tick, message


def track_names(midi: "mido.MidiFile") -> tuple[str, ...]:
    """The name of each track, in order; empty where it has none."""
    return tuple(_name(track) for track in midi.tracks)


def _name(track: "mido.MidiTrack") -> str:
    return next((message.name.strip("\0 ") for message in track if message.type == "track_name"), "")


def tracks_of(midi: "mido.MidiFile") -> tuple[TrackNotes, ...]:
    """Every track with its notes, those without notes too."""
    return tuple(
        TrackNotes(number, _name(track), _notes(track), sum(message.time for message in track))
        for number, track in enumerate(midi.tracks, start=1)
    )


def _notes(track: "mido.MidiTrack") -> tuple[MidiNote, ...]:
    sounding: defaultdict[tuple[int, int], deque[tuple[int, int]]] = defaultdict(deque)
    found: list[MidiNote] = []
    tick = 0
    for tick, message in timed(track):
        if message.type not in ("note_on", "note_off"):
            continue
        waiting = sounding[message.channel + 1, message.note]
        if message.type == "note_on" and message.velocity:
            waiting.append((tick, message.velocity))
        elif waiting:
            start, velocity = waiting.popleft()
            found.append(MidiNote(start, tick, message.channel + 1, message.note, velocity))
    for (channel, key), waiting in sounding.items():
        found += (MidiNote(start, tick, channel, key, velocity) for start, velocity in waiting)
    return tuple(sorted(found, key=lambda note: (note.start_tick, note.key, note.end_tick)))


def tempo_map(midi: "mido.MidiFile") -> TempoMap:
    """The tempi of a file, whichever track they stand in; 120 until the first.

    Raises:
        ReadError: a tempo of 0 microseconds a quarter.
    """
    found = {0: _DEFAULT_US}
    for tick, message in sorted(_meta(midi, "set_tempo"), key=lambda pair: pair[0]):
        if not message.tempo:
            raise ReadError(f"{midi.filename}: a quarter lasts 0 microseconds at tick {tick}; a tempo is more than 0")
        found[tick] = message.tempo
    return TempoMap(midi.ticks_per_beat, tuple(found.items()))


def time_signatures(midi: "mido.MidiFile") -> tuple[tuple[int, Meter], ...]:
    """The meters of a file as (tick, meter), the first at tick 0; 4/4 until the first.

    Raises:
        ReadError: a time signature that cannot be.
    """
    found = {0: Meter(4, 4)}
    for tick, message in sorted(_meta(midi, "time_signature"), key=lambda pair: pair[0]):
        try:
            found[tick] = Meter(message.numerator, message.denominator)
        except TimeError as error:
            raise ReadError(f"{midi.filename}: time signature at tick {tick}: {error}") from error
    return tuple(found.items())


def _meta(midi: "mido.MidiFile", kind: str) -> "Iterator[tuple[int, mido.MetaMessage]]":
    for track in midi.tracks:
        yield from ((tick, message) for tick, message in timed(track) if message.type == kind)


def meters_of(midi: "mido.MidiFile", end_tick: int) -> Meters:
    """The map of meters up to a tick, in whole bars, the last one filled up.

    A bar cut short by a new time signature gets a meter of its own length.

    Args:
        midi: the file.
        end_tick: what the map must reach; it has at least one bar.

    Raises:
        ReadError: a time signature that cannot be, or one where no note value divides the bar.
    """
    quarter = midi.ticks_per_beat
    signatures = time_signatures(midi)
    inside = [signature for signature in signatures if signature[0] < end_tick] or list(signatures[:1])
    runs: list[tuple[Meter, Fraction]] = []
    for (start, meter), (after, _) in pairwise(inside):
        length = Fraction(after - start, quarter)
        over = length % meter.span
        runs += [(meter, length - over), (_meter_of(midi, over, after), over)] if over else [(meter, length)]
    start, meter = inside[-1]
    bars = max(1, math.ceil(Fraction(end_tick - start, quarter) / meter.span))
    return Meters((*runs, (meter, bars * meter.span)))


def _meter_of(midi: "mido.MidiFile", span: Fraction, tick: int) -> Meter:
    for denominator in (4, 8, 16, 32, 64):
        units = span * denominator / 4
        if units.denominator == 1 and units <= 64:
            return Meter(int(units), denominator)
    raise ReadError(
        f"{midi.filename}: the time signature at tick {tick} cuts a bar after {span} quarters, which no note value "
        "fills; a meter changes where a sixty-fourth can stand"
    )
