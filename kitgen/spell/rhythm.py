"""What is written in one bar of one voice: the beats of :mod:`kitgen.spell.cells`, and what lasts over several.

A note longer than its beat starts on a beat and is plain, or dotted up to the middle of a later beat. One that may last
as it likes does not cross the edge of a group of beats (the middle of a 4/4 bar) unless it fills whole groups; one
with a length of its own may, to the end of a beat, where beats are plain. Rests last over a group of beats, or half of
one of four. A tuplet lasts over beats of one group, or whole groups, if none of its parts starts with a beat between
them and all of them are struck; or all but one, where something happens inside each beat after the first. Common
practice.
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence

from kitgen.spell.beats import Shape, Span, shape_of
from kitgen.spell.cells import spell_beat
from kitgen.spell.gaps import FREE, HELD, SILENT, Gap, Gaps, within
from kitgen.spell.refusal import Unspellable
from kitgen.spell.search import SYMBOL, Piece, Step, fewest, step_of
from kitgen.spell.ticks import LENGTHS, SHORTEST, WRITTEN
from kitgen.spell.tuplets import parts_of, tuplet_step
from kitgen.time import Meter


def spell_bar(meter: Meter, length: int, gaps: Gaps) -> Step:
    """The spelling of a bar with the fewest symbols.

    Args:
        meter: its meter.
        length: its length in ticks.
        gaps: what happens in it, in ticks from the barline.

    Raises:
        Unspellable: names the first beat that has no spelling.
    """
    shape = shape_of(meter, length)
    if gaps == (Gap(0, SILENT),):
        return Step(SYMBOL, length, (Piece(0, length, "whole", 0, is_rest=True, struck=False),))
    plain = all(at % SHORTEST == 0 for at, _ in gaps)
    starts = [beat.start for beat in shape.beats]

    def steps(at: int, kind: str, until: int) -> Iterator[Step]:
        index = bisect_right(starts, at) - 1
        if beat := _rest_of_beat(shape, index, at, gaps):
            yield beat
        if at == starts[index]:
            yield from (_long_rests if kind == SILENT else _long_notes)(shape, index, kind, until)
            if not plain:
                yield from _long_tuplets(shape, index, gaps)

    found = fewest(gaps, 0, length, steps)
    if found is None:
        raise Unspellable(
            next(
                (at for index, at in enumerate(starts) if _rest_of_beat(shape, index, at, gaps) is None),
                0,
            )
        )
    return found


def _rest_of_beat(shape: Shape, index: int, at: int, gaps: Gaps) -> Step | None:
    """From a place in a beat to its end."""
    beat = shape.beats[index]
    inside = within(gaps, at, beat.end, origin=beat.start)
    found = spell_beat(beat.units, beat.unit, at - beat.start, inside)
    if found is None:
        return None
    return Step(found.cost, beat.end, tuple(piece.moved(beat.start) for piece in found.pieces))


def _long_notes(shape: Shape, index: int, kind: str, until: int) -> Iterator[Step]:
    """Notes that start on a beat and last longer than it."""
    beat = shape.beats[index]
    for length in LENGTHS:
        end = beat.start + length
        if beat.end < end <= until and _note_may(shape, index, end, is_free=kind == FREE, to_its_end=end == until):
            yield step_of(beat.start, length, kind)


def _note_may(shape: Shape, first: int, end: int, *, is_free: bool, to_its_end: bool) -> bool:
    starts = [beat.start for beat in shape.beats]
    last = bisect_right(starts, end - 1) - 1
    over = shape.beats[first : last + 1]
    alike = len({beat.size for beat in over}) == 1 and over[0].in_twos
    to_a_beat = over[-1].end == end
    if not to_a_beat and not (to_its_end and alike and 2 * (end - over[-1].start) == over[0].size):
        return False
    start = over[0].start
    crosses = any(start < edge < end for edge in shape.edges)
    if not crosses or (start in shape.edges and end in shape.edges):
        return True
    return not is_free and to_a_beat and alike


def _long_rests(shape: Shape, index: int, kind: str, until: int) -> Iterator[Step]:
    """Rests that start on a beat and last over a group of beats, or over half of one of four."""
    start = shape.beats[index].start
    for first, after in shape.groups:
        size = after - first
        for count in {size, size // 2} if size % 4 == 0 else {size}:
            if index < first or index + count > after or (index - first) % count or count < 2:
                continue
            over = shape.beats[index : index + count]
            length = over[-1].end - start
            dotted = WRITTEN.get(length, ("", 2))[1]
            if over[-1].end <= until and dotted <= (over[0].units == 3):
                yield step_of(start, length, kind)


def _long_tuplets(shape: Shape, index: int, gaps: Gaps) -> Iterator[Step]:
    """Tuplets over several beats from here on, the shortest first."""
    start = shape.beats[index].start
    for after in range(index + 2, len(shape.beats) + 1):
        over = shape.beats[index:after]
        end = over[-1].end
        groups = start in shape.edges and end in shape.edges
        inside = not any(start < edge < end for edge in shape.edges)
        whole = start == 0 and end == shape.end
        alike = whole or len({beat.size for beat in over}) == 1
        called_for = (groups or inside) and alike and _calls_for_one(over, gaps)
        if called_for and (step := tuplet_step(gaps, start, end)):
            yield step


def _calls_for_one(over: Sequence[Span], gaps: Gaps) -> bool:
    """True if what is struck in some beats is a tuplet over all of them, see above."""
    start, end = over[0].start, over[-1].end
    places = [at for at, _ in gaps if start < at < end]
    parts = parts_of([at - start for at in places], end - start)
    if (end - start) % parts or not all((beat.start - start) * parts % (end - start) for beat in over[1:]):
        return False
    struck = sum(start <= at < end and kind in (FREE, HELD) for at, kind in gaps)
    everywhere = all(any(beat.start < at < beat.end for at in places) for beat in over[1:])
    return struck == parts or (struck == parts - 1 and everywhere)
