"""The stream a line runs in: every place of its own subdivision, struck or not."""

from collections.abc import Sequence
from fractions import Fraction
from math import lcm

from kitgen.line.value import Line
from kitgen.time import Meters


def grid_of(line: Line) -> list[tuple[Fraction, Fraction]]:
    """Every place of the line's own stream, as (place, length): finest even division, threes where it has threes."""
    finest = finest_division(line.parts_a_beat)
    places = []
    for beat, parts in zip(line.meters.beats, line.parts_a_beat, strict=True):
        count = stream_parts(parts, finest)
        places += [(beat.start + beat.length * Fraction(k, count), beat.length / count) for k in range(count)]
    return places


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
