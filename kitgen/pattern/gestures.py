"""Recorded strokes gathered into what the player meant: a stroke with its grace notes and its bounces.

Conventions: gaps in seconds, strokes in order of time. Strokes of one hand surface closer than 50 ms are one gesture,
since two hands in turn play about 20 strokes a second at the very most (10 a second for the fastest hand: Fujii and
others, Neuroscience Letters 459, 2009). One or two soft strokes before a louder one are its grace notes (flam, drag);
a stroke that sounds on at falling loudness is a buzz with so many bounces, and so are three strokes or more that run
into an accent. Two equal strokes above ghost level are a flam, the later one on the beat. Head and rim of the snare
are one drum here. Feet have no grace notes, so every stroke of a pedal stands for itself.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitgen.kit import SURFACES
from kitgen.pattern.hit import Level, Ornament
from kitgen.pattern.take import Stroke

MOST_GRACES, MOST_BOUNCES = 2, 9
_TIGHT_S = 0.050
_LOOSE_S = 0.080
_LONGEST_BUZZ_S = 0.250
_RISE, _LEAST_RISE = 1.5, 8
_EQUAL = 0.85
_SAME_DRUM = {"rim-shot": "snare"}


@dataclass(frozen=True, slots=True)
class Gesture:
    """One meant stroke.

    Args:
        main: the stroke that stands on the grid.
        graces: strokes before it, at most two.
        bounces: strokes that follow from it, at most nine.
    """

    main: Stroke
    graces: tuple[Stroke, ...] = ()
    bounces: tuple[Stroke, ...] = ()

    @property
    def size(self) -> int:
        """How many recorded strokes it holds."""
        return 1 + len(self.graces) + len(self.bounces)

    @property
    def ornament(self) -> Ornament | None:
        """What it is on a page: grace notes before the stroke say more than bounces after it."""
        if self.graces:
            return Ornament.FLAM if len(self.graces) == 1 else Ornament.DRAG
        return Ornament.BUZZ if self.bounces else None

    @property
    def lane(self) -> str:
        """What it sounds on: strokes of one lane follow each other."""
        return lane_of(self.main)


def lane_of(stroke: Stroke) -> str:
    """What a stroke sounds on: its surface, with head and rim of the snare as one, or its key."""
    return _SAME_DRUM.get(stroke.label, stroke.label)


def gestures_of(strokes: Sequence[Stroke], seconds_at: Callable[[float], float]) -> tuple[Gesture, ...]:
    """The gestures of a performance, by the time of their main strokes; they hold every stroke once.

    Args:
        strokes: in order of time.
        seconds_at: seconds from the start to a place in quarters.
    """
    lanes: dict[str, list[tuple[float, Stroke]]] = {}
    for stroke in strokes:
        lanes.setdefault(lane_of(stroke), []).append((seconds_at(stroke.time_quarters), stroke))
    found: list[Gesture] = []
    for lane in lanes.values():
        if _has_graces(lane[0][1]):
            for chain in _chains(lane):
                found += _of_chain(chain)
        else:
            found += (Gesture(stroke) for _, stroke in lane)
    return tuple(sorted(found, key=lambda gesture: (gesture.main.time_quarters, gesture.main.key)))


def _has_graces(stroke: Stroke) -> bool:
    return stroke.surface is not None and SURFACES[stroke.surface].struck_by == "hand"


def _chains(lane: Sequence[tuple[float, Stroke]]) -> Iterator[list[tuple[float, Stroke]]]:
    """Runs of strokes with less than the tight gap between neighbours."""
    chain = [lane[0]]
    for timed in lane[1:]:
        if timed[0] - chain[-1][0] >= _TIGHT_S:
            yield chain
            chain = []
        chain.append(timed)
    yield chain


def _of_chain(chain: Sequence[tuple[float, Stroke]]) -> Iterator[Gesture]:
    """Cut where the loudness jumps up; one or two strokes before the cut are grace notes of what follows it."""
    graces: tuple[Stroke, ...] = ()
    segments = list(_segments(chain))
    for index, segment in enumerate(segments):
        strokes = tuple(stroke for _, stroke in segment)
        followed = index + 1 < len(segments) and _rises(strokes[-1], segments[index + 1][0][1])
        if followed and not graces and len(strokes) <= MOST_GRACES:
            graces = strokes
            continue
        if not graces and len(strokes) == 2 and _is_flam(*strokes):
            yield Gesture(strokes[1], strokes[:1])
        else:
            yield Gesture(strokes[0], graces, strokes[1:])
        graces = ()


def _segments(chain: Sequence[tuple[float, Stroke]]) -> Iterator[list[tuple[float, Stroke]]]:
    segment = [chain[0]]
    for timed in chain[1:]:
        long = len(segment) > MOST_BOUNCES or timed[0] - segment[0][0] > _LONGEST_BUZZ_S
        if long or _rises(segment[-1][1], timed[1]):
            yield segment
            segment = []
        segment.append(timed)
    yield segment


def _rises(first: Stroke, second: Stroke) -> bool:
    return second.velocity >= max(_RISE * first.velocity, first.velocity + _LEAST_RISE)


def _is_flam(first: Stroke, second: Stroke) -> bool:
    return second.velocity >= _EQUAL * first.velocity and second.level > Level.GHOST


def merged(
    gestures: Sequence[Gesture], places: Sequence[Fraction], seconds_at: Callable[[float], float]
) -> list[tuple[Fraction, Gesture]]:
    """Gestures with their places, those of one lane on one place made one where a player could mean one.

    Args:
        gestures: in order of time.
        places: where each was put.
        seconds_at: seconds from the start to a place in quarters.
    """
    found: list[tuple[Fraction, Gesture]] = []
    latest: dict[tuple[Fraction, str], int] = {}
    for gesture, place in zip(gestures, places, strict=True):
        index = latest.get((place, gesture.lane))
        if index is not None and (both := _as_one(found[index][1], gesture, seconds_at)):
            found[index] = (place, both)
        else:
            latest[place, gesture.lane] = len(found)
            found.append((place, gesture))
    return found


def _as_one(first: Gesture, second: Gesture, seconds_at: Callable[[float], float]) -> Gesture | None:
    gap_s = seconds_at(second.main.time_quarters) - seconds_at(first.main.time_quarters)
    if gap_s > _LOOSE_S or not _has_graces(first.main):
        return None
    if second.main.velocity >= _EQUAL * first.main.velocity:
        graces = (*first.graces, first.main, *second.graces)
        if not first.bounces and len(graces) <= MOST_GRACES:
            return Gesture(second.main, graces, second.bounces)
    elif not second.graces:
        bounces = (*first.bounces, second.main, *second.bounces)
        if len(bounces) <= MOST_BOUNCES:
            return Gesture(first.main, first.graces, bounces)
    return None
