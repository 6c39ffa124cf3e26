"""A rhythm line out of any MIDI file: one track or channel, its onsets put on a grid.

Conventions: ticks become quarters exactly; deviations in milliseconds of the file's own tempo; tracks with notes,
channels, bars and counts are numbered from 1. The steps, each with what it allows:

1. Notes struck within 30 ms (at most a twelfth of a quarter) are one onset: it stands where the loudest stands.
2. If every onset lies exactly on a division of its beat up to sixteen (so on any m:n grid of these), that grid is kept
   as it is. The nearest tick counts as exact where a beat has 384 ticks, for divisions up to eight where it has 96.
3. Otherwise each beat gets the allowed division that explains it best (:mod:`kitgen.pattern.quantise`) among those that
   hold each of its onsets within a quarter of a box and 50 ms. Onsets within 60 ms that no division parts are joined.
4. Lengths come from the note-offs. Where every one of them is exact on the beat's division, or a finer one of its kind,
   they are kept; otherwise they are rounded to boxes, at least one. None goes past the next onset.
5. Accents are read where the velocities form two clearly parted groups and the louder is not the rule.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import floor, lcm
from pathlib import Path
from statistics import fmean, pstdev
from typing import TYPE_CHECKING

from kitgen.errors import OptionError, ReadError
from kitgen.line import Line, Note
from kitgen.pattern.quantise import FINEST_EXACT, PARTS, Residual, even_table, exact_parts, misfit, nearest, rarity
from kitgen.read import smf
from kitgen.time import Beat, Meter, Meters, count_name

if TYPE_CHECKING:
    import mido

_CHORD_S, _CHORD_QUARTERS = 0.030, Fraction(1, 12)
_JOINED_S = 0.060
_TOLERANCE_BOX, _TOLERANCE_S = 0.25, 0.050
_SPREAD_S = 0.015
_TICKS_FOR_SLACK, _TICKS_FOR_FINE_SLACK, _COARSE = 96, 384, 8
_MOST_PARTS = 64
_ACCENT_STEP, _ACCENT_SPREADS, _MOST_ACCENTS = 15, 4.0, 2 / 3


@dataclass(frozen=True, slots=True)
class _Heard:
    """One onset of the file: ticks of its start and end, and its velocity."""

    start: int
    end: int
    velocity: int


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
        subdivisions: the divisions a beat may have; 1, 2, 3, 4, 6 and 8 when left out, and then also whatever grid
            the file lies on exactly.
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
    grid = _Grid(path, meters, tempi, subdivisions)
    heard, places = grid.placed(heard)
    if places[-1] >= meters.span:
        meters += Meters.of(meters.bars[-1].meter)
        grid = _Grid(path, meters, tempi, subdivisions)
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


def _heard(notes: Sequence[smf.MidiNote], tempi: smf.TempoMap) -> list[_Heard]:
    """Chords as one onset each: its start is the loudest note's, its end the last to end."""
    chords: list[list[smf.MidiNote]] = []
    for note in notes:
        if chords and _together(chords[-1][0].start_tick, note.start_tick, tempi):
            chords[-1].append(note)
        else:
            chords.append([note])
    return [_chord(chord) for chord in chords]


def _chord(chord: Sequence[smf.MidiNote]) -> _Heard:
    loudest = max(chord, key=lambda note: (note.velocity, -note.start_tick))
    return _Heard(loudest.start_tick, max(note.end_tick for note in chord), loudest.velocity)


def _together(first: int, second: int, tempi: smf.TempoMap) -> bool:
    close = Fraction(second - first, tempi.ticks_a_quarter) <= _CHORD_QUARTERS
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


# ---- the grid --------------------------------------------------------------------------------------------------


class _Grid:
    """The beats of a file, how each is divided, and what that makes of ticks."""

    def __init__(self, path: Path, meters: Meters, tempi: smf.TempoMap, subdivisions: Sequence[int] | None) -> None:
        self.path, self.meters, self.tempi = path, meters, tempi
        self.allowed = tuple(sorted(set(subdivisions or PARTS)))
        self.any_exact = subdivisions is None
        self.beats = meters.beats
        self.starts = [beat.start for beat in self.beats]
        self.parts = [1] * len(self.beats)

    def beat_of(self, tick: int) -> int:
        """Index of the beat a tick lies in."""
        return bisect_right(self.starts, Fraction(tick, self.tempi.ticks_a_quarter)) - 1

    def share(self, tick: int, index: int) -> Fraction:
        """Where a tick lies in a beat, as a share of it."""
        beat = self.beats[index]
        return (Fraction(tick, self.tempi.ticks_a_quarter) - beat.start) / beat.length

    def slack(self, index: int) -> Fraction:
        """What counts as exact in a beat, as a share of it: half a tick where ticks are fine."""
        ticks = self.beats[index].length * self.tempi.ticks_a_quarter
        return Fraction(1, 2) / ticks if ticks >= _TICKS_FOR_SLACK else Fraction(0)

    def seconds(self, index: int) -> float:
        """Length of a beat in seconds."""
        beat, quarter = self.beats[index], self.tempi.ticks_a_quarter
        return self.tempi.seconds_at(float(beat.end * quarter)) - self.tempi.seconds_at(float(beat.start * quarter))

    # -- onsets --

    def placed(self, heard: Sequence[_Heard]) -> tuple[list[_Heard], list[Fraction]]:
        """The onsets and their places; onsets that share a place are joined if they are close enough."""
        inside: dict[int, list[_Heard]] = {}
        for one in heard:
            inside.setdefault(self.beat_of(one.start), []).append(one)
        exact = self._exact(inside)
        for index, members in inside.items():
            self.parts[index] = exact[index] if exact else self._likeliest(index, members)
        found: list[_Heard] = []
        places: list[Fraction] = []
        for index, members in inside.items():
            for one in members:
                place = _point(self.beats[index], self._step(one.start, index), self.parts[index])
                if places and places[-1] == place:
                    found[-1] = self._joined(found[-1], one)
                else:
                    found.append(one)
                    places.append(place)
        return found, places

    def _exact(self, inside: dict[int, list[_Heard]]) -> dict[int, int]:
        """The division of every beat, if every onset of the file is exact on one; else nothing."""
        found: dict[int, int] = {}
        for index, members in inside.items():
            shares = [self.share(one.start, index) for one in members]
            fine = self.beats[index].length * self.tempi.ticks_a_quarter >= _TICKS_FOR_FINE_SLACK
            parts = exact_parts(shares, slack=self.slack(index), most=FINEST_EXACT if fine else _COARSE)
            parts = parts or exact_parts(shares)
            if parts is None or (not self.any_exact and not any(usable % parts == 0 for usable in self.allowed)):
                return {}
            found[index] = parts
        return found

    def _step(self, tick: int, index: int) -> int:
        parts = self.parts[index]
        return nearest(even_table(parts), float(self.share(tick, index)))

    def _likeliest(self, index: int, members: Sequence[_Heard]) -> int:
        shares = [float(self.share(one.start, index)) for one in members]
        beat_s = self.seconds(index)

        def cost(parts: int) -> tuple[bool, float]:
            steps = [nearest(even_table(parts), share) for share in shares]
            crowded = any(
                first == second and (later - earlier) * beat_s > _JOINED_S
                for (first, earlier), (second, later) in pairwise(zip(steps, shares, strict=True))
            )
            away = misfit(shares, even_table(parts), beat_s=beat_s, spread_s=_SPREAD_S)
            joined = len(steps) - len(set(steps))
            return crowded or not self._holds(shares, parts, beat_s), away + rarity(parts) + joined

        best = min(self.allowed, key=cost)
        if not self._holds(shares, best, beat_s):
            raise self._too_far(index, members, best, beat_s)
        if cost(best)[0]:
            raise self._too_close(members)
        return best

    @staticmethod
    def _holds(shares: Sequence[float], parts: int, beat_s: float) -> bool:
        allowed = _allowed_s(parts, beat_s)
        return all(abs(share - round(share * parts) / parts) * beat_s <= allowed + 1e-9 for share in shares)

    def _joined(self, first: _Heard, second: _Heard) -> _Heard:
        if self.tempi.seconds_at(second.start) - self.tempi.seconds_at(first.start) > _JOINED_S:
            raise self._too_close([first, second])
        loudest = max(first, second, key=lambda one: one.velocity)
        return _Heard(loudest.start, max(first.end, second.end), loudest.velocity)

    def _too_far(self, index: int, members: Sequence[_Heard], parts: int, beat_s: float) -> ReadError:
        def away(one: _Heard) -> float:
            share = float(self.share(one.start, index)) * parts
            return abs(share - round(share)) / parts * beat_s

        worst = max(members, key=away)
        return ReadError(
            f"{self.path}: the note near {self._where(worst.start)} lies {1000 * away(worst):.0f} ms from the nearest "
            f"place where the beat is divided by {parts}; allowed are {1000 * _allowed_s(parts, beat_s):.0f} ms and "
            f"divisions by {_listed(self.allowed)}: allow others, or put the note on the grid in an editor"
        )

    def _too_close(self, members: Sequence[_Heard]) -> ReadError:
        first, second = min(pairwise(members), key=lambda pair: pair[1].start - pair[0].start)
        gap_s = self.tempi.seconds_at(second.start) - self.tempi.seconds_at(first.start)
        return ReadError(
            f"{self.path}: two notes {1000 * gap_s:.0f} ms apart near {self._where(second.start)} fall on one place; "
            f"up to {1000 * _JOINED_S:.0f} ms they are read as one, and beats are divided by {_listed(self.allowed)}: "
            "allow a finer division"
        )

    def _where(self, tick: int) -> str:
        """The nearest sixteenth or triplet, as it is counted."""
        index = self.beat_of(tick)
        beat, share = self.beats[index], self.share(tick, index)
        parts = min((4, 3), key=lambda parts: abs(share - Fraction(floor(share * parts), parts)))
        return count_name(self.meters, _point(beat, floor(share * parts), parts))

    # -- lengths --

    def lengths(self, heard: Sequence[_Heard], places: Sequence[Fraction]) -> list[Fraction]:
        """How long each note lasts, in quarters."""
        rooms = [after - at for at, after in pairwise((*places, self.meters.span))]
        quarter = self.tempi.ticks_a_quarter
        exact = [
            room if Fraction(one.end, quarter) >= at + room else self._exact_end(one.end, at)
            for one, at, room in zip(heard, places, rooms, strict=True)
        ]
        if all(length is not None for length in exact):
            return [length for length in exact if length is not None]
        return [
            min(room, max(self._box(self._index(at)), self._rounded_end(one.end) - at))
            for one, at, room in zip(heard, places, rooms, strict=True)
        ]

    def _index(self, at: Fraction) -> int:
        return bisect_right(self.starts, at) - 1

    def _exact_end(self, end: int, at: Fraction) -> Fraction | None:
        """The length up to a note-off that is exact where its beat may be divided; None if it is not."""
        index = self.beat_of(end)
        for parts in sorted({self.parts[index], 2 * self.parts[index], 4, 3}):
            share = self.share(end, index)
            step = round(share * parts)
            if abs(share - Fraction(step, parts)) <= self.slack(index):
                length = _point(self.beats[index], step, parts) - at
                return length if length > 0 else None
        return None

    def _rounded_end(self, end: int) -> Fraction:
        index = self.beat_of(end)
        beat, box = self.beats[index], self._box(index)
        past = Fraction(end, self.tempi.ticks_a_quarter) - beat.start
        return beat.start + min(beat.length, floor(past / box + Fraction(1, 2)) * box)

    def _box(self, index: int) -> Fraction:
        """What lengths are rounded to in a beat: its division, or that of the line where it has none of its own."""
        if self.parts[index] > 1:
            return self.beats[index].length / self.parts[index]
        usual = lcm(*(parts for parts in self.parts if parts in (2, 4, 8)))
        beat = self.beats[index]
        whole = 3 if beat.meter.denominator >= 8 and beat.length == 3 * beat.meter.unit else max(2, usual)
        return beat.length / whole

    # -- how well it fits --

    def residual(self, heard: Sequence[_Heard], places: Sequence[Fraction]) -> Residual:
        """How far the onsets lay from their places."""
        quarter, seconds_at = self.tempi.ticks_a_quarter, self.tempi.seconds_at
        off_ms = [
            0.0
            if abs(one.start - at * quarter) <= Fraction(1, 2)
            else 1000 * abs(seconds_at(one.start) - seconds_at(float(at * quarter)))
            for one, at in zip(heard, places, strict=True)
        ]
        worst = max(range(len(off_ms)), key=off_ms.__getitem__)
        where = count_name(self.meters, places[worst]) if off_ms[worst] else ""
        return Residual(off_ms[worst], fmean(off_ms), len(off_ms), where)


def _point(beat: Beat, step: int, parts: int) -> Fraction:
    return beat.start + beat.length * Fraction(step, parts)


def _allowed_s(parts: int, beat_s: float) -> float:
    return min(_TOLERANCE_BOX * beat_s / parts, _TOLERANCE_S)


def _listed(parts: Sequence[int]) -> str:
    return ", ".join(map(str, parts))
