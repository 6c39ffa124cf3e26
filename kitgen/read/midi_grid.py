"""The beats of a MIDI file and where its onsets and note-offs stand in them, for reading a line.

Conventions: ticks in, exact quarters out; what is allowed, in which order, is told in :mod:`kitgen.read.midi_line`.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import floor
from pathlib import Path
from statistics import fmean

from kitgen.errors import ReadError
from kitgen.pattern.quantise import (
    FINEST_EXACT,
    RARITIES,
    Residual,
    even_table,
    exact_parts,
    kind_of,
    misfit,
    nearest,
    rarity,
)
from kitgen.read.smf import TempoMap
from kitgen.time import Beat, Meters, count_name

_JOINED_S = 0.060
_TOLERANCE_BOX, _TOLERANCE_S = 0.25, 0.050
_SPREAD_S = 0.015
_EVEN = (1, 2, 4, 8, 16)
_TICKS_FOR_SLACK, _TICKS_FOR_FINE_SLACK, _COARSE = 96, 384, 8


@dataclass(frozen=True, slots=True)
class Heard:
    """One onset of the file: ticks of its start and end, and its velocity."""

    start: int
    end: int
    velocity: int


class Grid:
    """The beats of a file, how each is divided, and what that makes of ticks."""

    def __init__(self, path: Path, meters: Meters, tempi: TempoMap, subdivisions: Sequence[int] | None) -> None:
        self.path, self.meters, self.tempi = path, meters, tempi
        self.subdivisions = subdivisions
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

    def allowed(self, index: int) -> tuple[int, ...]:
        """The divisions a beat may have."""
        return tuple(sorted(set(self.subdivisions or RARITIES[kind_of(self.beats[index])])))

    # -- onsets --

    def placed(self, heard: Sequence[Heard]) -> tuple[list[Heard], list[Fraction]]:
        """The onsets and their places; onsets that share a place are joined if they are close enough."""
        inside: dict[int, list[Heard]] = {}
        for one in heard:
            inside.setdefault(self.beat_of(one.start), []).append(one)
        exact = self._exact(inside)
        for index, members in inside.items():
            self.parts[index] = exact[index] if exact else self._likeliest(index, members)
        found: list[Heard] = []
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

    def _exact(self, inside: dict[int, list[Heard]]) -> dict[int, int]:
        """The division of every beat, if every onset of the file is exact on one; else nothing."""
        found: dict[int, int] = {}
        for index, members in inside.items():
            shares = [self.share(one.start, index) for one in members]
            fine = self.beats[index].length * self.tempi.ticks_a_quarter >= _TICKS_FOR_FINE_SLACK
            parts = exact_parts(shares, slack=self.slack(index), most=FINEST_EXACT if fine else _COARSE)
            parts = parts or exact_parts(shares)
            if parts is None or (self.subdivisions and all(usable % parts for usable in self.subdivisions)):
                return {}
            found[index] = parts
        return found

    def _step(self, tick: int, index: int) -> int:
        parts = self.parts[index]
        return nearest(even_table(parts), float(self.share(tick, index)))

    def _likeliest(self, index: int, members: Sequence[Heard]) -> int:
        shares = [float(self.share(one.start, index)) for one in members]
        beat_s, kind = self.seconds(index), kind_of(self.beats[index])

        def cost(parts: int) -> tuple[bool, float]:
            steps = [nearest(even_table(parts), share) for share in shares]
            crowded = any(
                first == second and (later - earlier) * beat_s > _JOINED_S
                for (first, earlier), (second, later) in pairwise(zip(steps, shares, strict=True))
            )
            away = misfit(shares, even_table(parts), beat_s=beat_s, spread_s=_SPREAD_S)
            joined = len(steps) - len(set(steps))
            return crowded or not self._holds(shares, parts, beat_s), away + rarity(parts, kind) + joined

        best = min(self.allowed(index), key=cost)
        if not self._holds(shares, best, beat_s):
            raise self._too_far(index, members, best, beat_s)
        if cost(best)[0]:
            raise self._too_close(members)
        return best

    @staticmethod
    def _holds(shares: Sequence[float], parts: int, beat_s: float) -> bool:
        allowed = _allowed_s(parts, beat_s)
        return all(abs(share - round(share * parts) / parts) * beat_s <= allowed + 1e-9 for share in shares)

    def _joined(self, first: Heard, second: Heard) -> Heard:
        if self.tempi.seconds_at(second.start) - self.tempi.seconds_at(first.start) > _JOINED_S:
            raise self._too_close([first, second])
        loudest = max(first, second, key=lambda one: one.velocity)
        return Heard(loudest.start, max(first.end, second.end), loudest.velocity)

    def _too_far(self, index: int, members: Sequence[Heard], parts: int, beat_s: float) -> ReadError:
        def away(one: Heard) -> float:
            share = float(self.share(one.start, index)) * parts
            return abs(share - round(share)) / parts * beat_s

        worst = max(members, key=away)
        return ReadError(
            f"{self.path}: the note near {self._where(worst.start)} lies {1000 * away(worst):.0f} ms from the nearest "
            f"place where the beat is divided by {parts}; allowed are {1000 * _allowed_s(parts, beat_s):.0f} ms and "
            f"divisions by {_listed(self.allowed(index))}: allow others, or put the note on the grid in an editor"
        )

    def _too_close(self, members: Sequence[Heard]) -> ReadError:
        first, second = min(pairwise(members), key=lambda pair: pair[1].start - pair[0].start)
        gap_s = self.tempi.seconds_at(second.start) - self.tempi.seconds_at(first.start)
        return ReadError(
            f"{self.path}: two notes {1000 * gap_s:.0f} ms apart near {self._where(second.start)} fall on one place; "
            f"up to {1000 * _JOINED_S:.0f} ms they are read as one, and beats are divided by "
            f"{_listed(self.allowed(self.beat_of(first.start)))}: allow a finer division"
        )

    def _where(self, tick: int) -> str:
        """The nearest sixteenth or triplet, as it is counted."""
        index = self.beat_of(tick)
        beat, share = self.beats[index], self.share(tick, index)
        parts = min((4, 3), key=lambda parts: abs(share - Fraction(floor(share * parts), parts)))
        return count_name(self.meters, _point(beat, floor(share * parts), parts))

    # -- lengths --

    def lengths(self, heard: Sequence[Heard], places: Sequence[Fraction]) -> list[Fraction]:
        """How long each note lasts, in quarters."""
        rooms = [after - at for at, after in pairwise((*places, self.meters.span))]
        quarter = self.tempi.ticks_a_quarter
        exact = [
            room if Fraction(one.end, quarter) >= at + room else self._exact_end(one.end, at)
            for one, at, room in zip(heard, places, rooms, strict=True)
        ]
        if all(length is not None for length in exact):
            return [length for length in exact if length is not None]
        return [min(room, self._rounded(one.end, at)) for one, at, room in zip(heard, places, rooms, strict=True)]

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

    def _rounded(self, end: int, at: Fraction) -> Fraction:
        """The length up to the box nearest to a note-off; a note of four boxes or more is rounded to pairs of them."""
        index, least = self.beat_of(end), self._box(self._index(at))
        beat, box = self.beats[index], self._box(index)
        past = Fraction(end, self.tempi.ticks_a_quarter) - beat.start
        if beat.start + past - at >= 4 * box and (beat.length / box) % 2 == 0:
            box *= 2
        return max(least, beat.start + min(beat.length, floor(past / box + Fraction(1, 2)) * box) - at)

    def _box(self, index: int) -> Fraction:
        """What lengths are rounded to in a beat: its own division in threes, else the line's finest even one."""
        beat, own = self.beats[index], self.parts[index]
        if own not in _EVEN:
            return beat.length / own
        if own == 1 and kind_of(beat) == "threes":
            return beat.length / 3
        return beat.length / max(2, *(parts for parts in self.parts if parts in _EVEN))

    # -- how well it fits --

    def residual(self, heard: Sequence[Heard], places: Sequence[Fraction]) -> Residual:
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
