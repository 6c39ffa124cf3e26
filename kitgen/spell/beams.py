"""Beams, which show the beat, and tuplets' brackets.

A beam joins notes with flags that follow one another without a rest inside one beat (2/2 has halves for beats, compound
meters dotted quarters, odd meters their groups), or four eighths that fill two quarters of a group (half a 4/4 bar), or
one tuplet over several beats, where it stops at the edge of a group. Further beams break between tuplets, and where
the quarters of a longer beat, and for 32nds the eighths, begin. A lone further beam is a hook towards what it fills its
place with. A tuplet has a bracket unless beams hold just its notes. Common practice.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import groupby, pairwise
from typing import NamedTuple

from kitgen.spell.beats import Span, joined_of, shape_of
from kitgen.spell.gaps import Gaps
from kitgen.spell.rhythm import spell_bar
from kitgen.spell.search import Piece, Ratio
from kitgen.spell.ticks import FLAGS, TICKS, in_quarters
from kitgen.spell.values import Tuplet, Written
from kitgen.time import Meter

EIGHTHS = ("fours", "beats")
"""How eighths are beamed: in fours that fill half a bar, or by the beat."""
_MOST = max(FLAGS.values())


@lru_cache(maxsize=4096)
def written_bar(meter: Meter, length: int, gaps: Gaps, *, eighths: str = "fours") -> tuple[Written, ...]:
    """One bar of one voice, spelled and beamed.

    Args:
        meter: its meter.
        length: its length in ticks.
        gaps: what happens in it, in ticks from the barline.
        eighths: one of ``EIGHTHS``.

    Raises:
        Unspellable: names the first beat that has no spelling.
    """
    pieces = spell_bar(meter, length, gaps).pieces
    runs = list(_runs(pieces, meter, length, fours=eighths == "fours"))
    beams: dict[int, tuple[str, ...]] = {}
    for group, run in runs:
        beams |= zip((piece.start for piece in run), _beams(run, group), strict=True)
    bare = {ratio for ratio in {piece.ratio for piece in pieces} if any(_is_shown_by(ratio, run) for _, run in runs)}
    return tuple(
        Written(
            in_quarters(piece.start),
            in_quarters(piece.end - piece.start),
            piece.type,
            piece.dots,
            piece.is_rest,
            piece.struck,
            beams.get(piece.start, ()),
            piece.ratio and Tuplet(*piece.ratio[2:], piece.ratio not in bare),
            piece.ratio is not None and piece.start == piece.ratio.start,
            piece.ratio is not None and piece.end == piece.ratio.end,
            piece.is_rest and len(pieces) == 1,
        )
        for piece in pieces
    )


class _Group(NamedTuple):
    """What may share a beam: where it starts and ends, whether in twos, and which part of a tuplet over groups."""

    start: int
    end: int
    in_twos: bool
    part: int = 0


def _runs(pieces: Sequence[Piece], meter: Meter, length: int, *, fours: bool) -> Iterator[tuple[_Group, list[Piece]]]:
    """Notes that go under one beam, two or more, with their group."""
    beats, edges, _ = shape_of(meter, length)
    joined = [span for span in joined_of(meter, length) if _is_joined(pieces, span, fours=fours)]

    def group_of(piece: Piece) -> _Group:
        ratio = piece.ratio
        if ratio is not None and any(ratio.start < beat.start < ratio.end for beat in beats):
            part = sum(ratio.start < edge <= piece.start for edge in edges)
            return _Group(ratio.start, ratio.end, in_twos=True, part=part)
        for start, end in joined:
            if start <= piece.start < end:
                return _Group(start, end, in_twos=True)
        return _of_beat(next(beat for beat in reversed(beats) if beat.start <= piece.start), piece.start)

    for group, members in groupby(pieces, key=group_of):
        for has_flags, run in groupby(members, key=lambda piece: not piece.is_rest and piece.type in FLAGS):
            notes = list(run)
            if has_flags and len(notes) > 1:
                yield group, notes


def _of_beat(beat: Span, at: int) -> _Group:
    """The part of a beat that beams hold together: all of it, but of a very long one the half or the unit."""
    size = min(beat.size, 2 * TICKS) if beat.in_twos else beat.unit if beat.unit >= TICKS else beat.size
    start = at - (at - beat.start) % size
    return _Group(start, start + size, beat.in_twos)


def _is_joined(pieces: Sequence[Piece], span: tuple[int, int], *, fours: bool) -> bool:
    """True if a beam holds all of a span of several beats: short ones always, quarters if they are full of eighths."""
    start, end = span
    if end - start < 2 * TICKS:
        return True
    inside = [piece for piece in pieces if start <= piece.start < end]
    return fours and all((p.type, p.dots, p.ratio, p.is_rest) == ("eighth", 0, None, False) for p in inside)


def _is_shown_by(ratio: Ratio | None, run: Sequence[Piece]) -> bool:
    """True if a beam shows what is in a tuplet: it holds that alone, or all of it under further beams."""
    inside = [piece for piece in run if piece.ratio == ratio]
    if ratio is None or not inside or (inside[0].start, inside[-1].end) != (ratio.start, ratio.end):
        return False
    return len(inside) == len(run) or all(FLAGS[piece.type] > 1 for piece in inside)


def _beams(run: Sequence[Piece], group: _Group) -> Iterator[tuple[str, ...]]:
    """The beams of each note of a run, the first beam first."""
    levels = [FLAGS[piece.type] for piece in run]
    joins = [0, *(_joined(first, second, group) for first, second in pairwise(run)), 0]
    for index, piece in enumerate(run):
        found = []
        for level in range(1, levels[index] + 1):
            before = joins[index] >= level and levels[index - 1] >= level
            after = joins[index + 1] >= level and levels[index + 1] >= level
            if before or after:
                found.append("continue" if before and after else "end" if before else "begin")
            else:
                found.append(_hook(piece, joins[index], joins[index + 1], group))
        yield tuple(found)


def _joined(first: Piece, second: Piece, group: _Group) -> int:
    """How many beams may join two neighbours."""
    if first.ratio != second.ratio:
        return 1
    at = second.start - group.start
    if second.ratio is not None or at % (TICKS // 2):
        return _MOST
    return 1 if group.in_twos and at % TICKS == 0 else 2


def _half_of(ratio: Ratio, at: int) -> int:
    """Where the half of a tuplet starts that holds a place; of one that has no halves the tuplet itself."""
    middle = (ratio.start + ratio.end) // 2
    return middle if ratio.actual % 2 == 0 and at >= middle else ratio.start


def _hook(piece: Piece, before: int, after: int, group: _Group) -> str:
    """Which way a lone beam points: to the neighbour it shares more beams with, else to the other half of its place."""
    if before != after:
        return "forward hook" if after > before else "backward hook"
    origin = group.start if piece.ratio is None else _half_of(piece.ratio, piece.start)
    return "backward hook" if (piece.start - origin) % (2 * (piece.end - piece.start)) else "forward hook"
