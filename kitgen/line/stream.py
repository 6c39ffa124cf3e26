"""The stream a line runs in: every place of its own subdivision, struck or not."""

from collections.abc import Collection, Sequence
from fractions import Fraction
from math import lcm

from kitgen.line.value import Line
from kitgen.time import Beat, Meters

_SIXTEENTH = Fraction(1, 4)


def grid_of(line: Line) -> list[tuple[Fraction, Fraction]]:
    """Every place of the line's own stream, as (place, length) in quarters.

    Even beats are all at the finest, beats in threes as they are. A beat that holds several units of its meter (the
    dotted quarter of 6/8, the three of 7/8) is divided by them, in halves or quarters of them if the line has those
    anywhere. One run of thirty-seconds makes no other beat finer than sixteenths.

    >>> [str(at) for at, _ in grid_of(Line.parse("8 8 8 8 4.", "7/8"))]
    ['0', '1/2', '1', '3/2', '2', '5/2', '3']
    """
    beats = list(zip(line.meters.beats, line.parts_a_beat, strict=True))
    plain = finest_division([parts for beat, parts in beats if _units(beat) == 1])
    finer = max((n for beat, parts in beats if (n := _parts_a_unit(beat, parts)) in (2, 4)), default=1)
    places = []
    for beat, divided in beats:
        units = _units(beat)
        parts = units if divided == 1 else divided
        wanted = units * finer if units > 1 else stream_parts(divided, plain)
        even = (n for n in range(parts, wanted + 1, parts) if wanted % n == 0 and beat.length / n >= _SIXTEENTH)
        count = max(even, default=parts)
        places += [(beat.start + beat.length * Fraction(k, count), beat.length / count) for k in range(count)]
    return places


def _units(beat: Beat) -> int:
    """Units of the meter in a beat: 3 in a dotted quarter of 6/8; 1 where the meter counts quarters or halves."""
    units = beat.length / beat.meter.unit
    return int(units) if beat.meter.denominator >= 8 and units.denominator == 1 else 1


def _parts_a_unit(beat: Beat, parts: int) -> int:
    units = _units(beat)
    return parts // units if units > 1 and parts % units == 0 else 1


def stream_parts(parts: int, finest: int) -> int:
    """Parts of a beat in a continuous stream: even beats all at the finest, odd beats as they are."""
    if parts == 1:
        return finest
    return lcm(parts, finest) if parts % 2 == 0 and finest % 2 == 0 else parts


def finest_division(parts: Sequence[int]) -> int:
    """How a stream divides a plain beat: the finest even division of any beat, else the finest odd one, else in two."""
    even = [count for count in parts if count % 2 == 0]
    odd = [count for count in parts if count % 2 and count > 1]
    return max(even or odd or [2])


def parts_struck(line: Line) -> tuple[int, ...]:
    """For each beat, into how many parts its onsets divide it, however long the notes are written."""
    return tuple(lcm(*(place.denominator for place in places)) for places in _places(line.onsets, line.meters))


def all_threes(parts: Collection[int]) -> bool:
    """True where of beats divided into so many parts every divided one is in three, and one is divided."""
    return {count for count in parts if count > 1} == {3}


def natural_sticking(line: Line) -> tuple[str, ...]:
    """R or L for each note, as if the stream of the line's own subdivision ran on between the notes.

    Even divisions: right on every other place from the beat (sixteenths: right on the numbers and "&"; eighths:
    right on the numbers, left on "&"). Odd divisions alternate through the stream, starting right where it starts.

    >>> "".join(natural_sticking(Line.parse("1 & 2 e & a 3 trip let 4 trip let")))
    'RRRLRLRLRLRL'
    """
    hands = natural_hands(line.onsets, line.meters)
    return tuple(note.sticking or hand for note, hand in zip(line.notes, hands, strict=True))


def natural_hands(onsets: Sequence[Fraction], meters: Meters) -> list[str]:
    """As :func:`natural_sticking`, for onsets in time order inside the span of the meters."""
    beats = _places(onsets, meters)
    struck = [lcm(*(place.denominator for place in places)) for places in beats]
    finest, running, hands = finest_division(struck), 0, list[str]()
    for places, parts in zip(beats, struck, strict=True):
        count = stream_parts(parts, finest)
        first = running if count % 2 else 0
        hands += ["RL"[(first + int(place * count)) % 2] for place in places]
        running = first + count if count % 2 else 0
    return hands


def _places(onsets: Sequence[Fraction], meters: Meters) -> list[list[Fraction]]:
    """For each beat the onsets in it, as parts of the whole beat."""
    found, index, size = [], 0, len(onsets)
    for beat in meters.beats:
        places, end = list[Fraction](), beat.end
        while index < size and (at := onsets[index]) < end:
            places.append((at - beat.start) / beat.full)
            index += 1
        found.append(places)
    return found
