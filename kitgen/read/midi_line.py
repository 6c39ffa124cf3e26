"""A rhythm line out of any MIDI file: one track or channel, its onsets put on a grid.

Conventions: ticks become quarters exactly; deviations in milliseconds of the file's own tempo; tracks with notes,
channels, bars and counts are numbered from 1. The steps, each with what it allows:

1. Notes struck within 30 ms (less than a sixteenth of a quarter) are one onset: it stands where the loudest stands.
2. If every onset lies exactly on a division of its beat up to sixteen (so on any m:n grid of these), that grid is kept
   as it is. The nearest tick counts as exact where a beat has 384 ticks, for divisions up to eight where it has 96.
3. Otherwise each beat gets the allowed division that explains it best (:mod:`kitgen.pattern.quantise`) among those that
   hold each of its onsets within a quarter of a box and 50 ms. Onsets within 60 ms that no division parts are joined.
4. Lengths come from the note-offs. Where every one of them is exact on the beat's division, or a finer one of its kind,
   they are kept; otherwise they are rounded to boxes, at least one. None goes past the next onset.
5. Accents are read where the velocities form two clearly parted groups and the louder is not the rule.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from statistics import fmean, pstdev
from typing import TYPE_CHECKING

from kitgen.errors import OptionError, ReadError
from kitgen.line import Line, Note
from kitgen.pattern.quantise import Residual
from kitgen.read import smf
from kitgen.read.midi_grid import Grid, Heard
from kitgen.time import Meter, Meters

if TYPE_CHECKING:
    import mido

_CHORD_S, _CHORD_QUARTERS = 0.030, Fraction(1, 16)
_MOST_PARTS = 64
_ACCENT_STEP, _ACCENT_SPREADS, _MOST_ACCENTS = 15, 4.0, 2 / 3


def line_from_midi(
    path: Path,
    *,
    part: str | int | None = None,
    channel: int | None = None,
    subdivisions: Sequence[int] | None = None,
    meter: Meter | None = None,
) -> tuple[Line, Residual]:
    """Read one track or channel of a MIDI file as a rhythm line.

    Args:
        path: the file.
        part: a track, by its name or by its number among the tracks that have notes; the first of them when left out
            (all of them where a channel is given).
        channel: only the notes of this channel, 1 to 16.
        subdivisions: the divisions a beat may have; the usual ones when left out (1, 2, 3, 4, 6 and 8 of a quarter),
            and then also whatever grid the file lies on exactly.
        meter: the meter throughout, whatever the file says.

    Returns:
        The line, in whole bars, the last filled with rest; and how far its onsets lay from where they were put.

    Raises:
        ReadError: no readable file, no such part, no notes in it, or an onset too far from every place.
        OptionError: a channel or subdivision that cannot be.
    """
    path = Path(path)
    _check_options(channel, subdivisions)
    midi = smf.load(path)
    tempi, quarter = smf.tempo_map(midi), midi.ticks_per_beat
    heard = _heard(_notes(path, midi, part, channel), tempi)
    last = heard[-1].start + 1
    meters = smf.meters_of(midi, last) if meter is None else _bars(meter, Fraction(last, quarter))
    grid = Grid(path, meters, tempi, subdivisions)
    heard, places = grid.placed(heard)
    if places[-1] >= meters.span:
        meters += Meters.of(meters.bars[-1].meter)
        grid = Grid(path, meters, tempi, subdivisions)
        heard, places = grid.placed(heard)
    lengths = grid.lengths(heard, places)
    loud = _loud([one.velocity for one in heard])
    notes = (
        Note(at, length, loud is not None and one.velocity >= loud)
        for one, at, length in zip(heard, places, lengths, strict=True)
    )
    return Line(tuple(notes), meters), grid.residual(heard, places)


def _check_options(channel: int | None, subdivisions: Sequence[int] | None) -> None:
    if channel is not None and not 1 <= channel <= 16:
        raise OptionError(f"channel {channel}; channels are 1 to 16")
    if subdivisions is not None and not (subdivisions and all(1 <= parts <= _MOST_PARTS for parts in subdivisions)):
        raise OptionError(f"subdivisions {list(subdivisions)}; give at least one, each 1 to {_MOST_PARTS} parts a beat")


def _bars(meter: Meter, until: Fraction) -> Meters:
    return Meters.of(meter, max(1, -(-until // meter.span)))


# ---- choosing the notes ----------------------------------------------------------------------------------------


def _notes(path: Path, midi: "mido.MidiFile", part: str | int | None, channel: int | None) -> list[smf.MidiNote]:
    tracks = [track for track in smf.tracks_of(midi) if track.notes]
    if not tracks:
        raise ReadError(f"{path} has no notes")
    chosen = tracks if channel is not None else tracks[:1]
    if part is not None:
        chosen = [_track(path, tracks, part)]
    notes = [note for track in chosen for note in track.notes]
    if channel is not None:
        heard = sorted({note.channel for note in notes})
        notes = [note for note in notes if note.channel == channel]
        if not notes:
            raise ReadError(f"{path}: no notes on channel {channel}; there are some on {', '.join(map(str, heard))}")
    return sorted(notes, key=lambda note: (note.start_tick, -note.velocity))


def _track(path: Path, tracks: Sequence[smf.TrackNotes], part: str | int) -> smf.TrackNotes:
    if isinstance(part, str):
        wanted = part.strip().lower()
        for track in tracks:
            if track.name.lower() == wanted:
                return track
    try:
        number = int(part)
    except ValueError:
        number = 0
    if 1 <= number <= len(tracks):
        return tracks[number - 1]
    there = ", ".join(f"{index} {track.name or 'without a name'}" for index, track in enumerate(tracks, start=1))
    raise ReadError(f"{path} has no part {part!r} with notes; there are: {there}")


def _heard(notes: Sequence[smf.MidiNote], tempi: smf.TempoMap) -> list[Heard]:
    """Chords as one onset each: its start is the loudest note's, its end the last to end."""
    chords: list[list[smf.MidiNote]] = []
    for note in notes:
        if chords and _together(chords[-1][0].start_tick, note.start_tick, tempi):
            chords[-1].append(note)
        else:
            chords.append([note])
    return [_chord(chord) for chord in chords]


def _chord(chord: Sequence[smf.MidiNote]) -> Heard:
    loudest = max(chord, key=lambda note: (note.velocity, -note.start_tick))
    return Heard(loudest.start_tick, max(note.end_tick for note in chord), loudest.velocity)


def _together(first: int, second: int, tempi: smf.TempoMap) -> bool:
    close = Fraction(second - first, tempi.ticks_a_quarter) < _CHORD_QUARTERS
    return close and tempi.seconds_at(second) - tempi.seconds_at(first) <= _CHORD_S


def _loud(velocities: Sequence[int]) -> int | None:
    """The lowest velocity of the louder of two clear groups; None where there are no two."""
    levels = sorted(set(velocities))
    if len(levels) < 2:
        return None
    step, loud = max((second - first, second) for first, second in pairwise(levels))
    upper = [velocity for velocity in velocities if velocity >= loud]
    lower = [velocity for velocity in velocities if velocity < loud]
    spread = max(pstdev(upper), pstdev(lower))
    apart = fmean(upper) - fmean(lower) >= _ACCENT_SPREADS * spread
    return loud if step >= _ACCENT_STEP and apart and len(upper) <= _MOST_ACCENTS * len(velocities) else None
