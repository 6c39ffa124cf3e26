"""Events of a voice inside their beams and tuplets, as the engraver's documents nest them."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from kitgen.spell import Written


class _Span(NamedTuple):
    """From one event to another, both inside, with what stands before and after."""

    first: int
    last: int
    start: str
    end: str


def nested(pieces: Sequence[tuple[str, str]], values: Sequence[Written], stem: str, *, seen: bool = True) -> str:
    """The events of a voice inside their beams and tuplets.

    Args:
        pieces: an element an event, after the small notes before it: in front of a beam, since within it they would
            be the beam's first.
        values: the rhythm of each.
        stem: where stems point, and beams and numbers stand: ``up`` or ``down``.
        seen: beams and numbers are printed.
    """
    tuplets = list(_tuplets(values, "above" if stem == "up" else "below", seen=seen))
    spans = [*tuplets, *(_widened(beam, tuplets) for beam in _beams(values))] if seen else tuplets
    starts, ends = [""] * len(pieces), [""] * len(pieces)
    for span in sorted(spans, key=lambda span: (span.first, -span.last)):
        starts[span.first] += span.start
        ends[span.last] = span.end + ends[span.last]
    return "".join(
        [graces + start + piece + end for (graces, piece), start, end in zip(pieces, starts, ends, strict=True)]
    )


def _tuplets(values: Sequence[Written], place: str, *, seen: bool) -> Iterator[_Span]:
    first = 0
    for index, written in enumerate(values):
        tuplet = written.tuplet
        if tuplet is None:
            continue
        if written.starts:
            first = index
        if written.stops:
            number = f'num.place="{place}"' if seen else 'num.visible="false"'
            bracket = "true" if tuplet.bracket and seen else "false"
            start = (
                f'<tuplet num="{tuplet.actual}" numbase="{tuplet.normal}" {number} '
                f'bracket.place="{place}" bracket.visible="{bracket}">'
            )
            yield _Span(first, index, start, "</tuplet>")


def _beams(values: Sequence[Written]) -> Iterator[_Span]:
    first = 0
    for index, written in enumerate(values):
        if written.beams and written.beams[0] == "begin":
            first = index
        if written.beams and written.beams[0] == "end":
            yield _Span(first, index, "<beam>", "</beam>")


def _widened(beam: _Span, tuplets: Iterable[_Span]) -> _Span:
    """The beam, with the whole of a tuplet that it would else cut."""
    for tuplet in tuplets:
        if beam.first < tuplet.first <= beam.last < tuplet.last:
            beam = beam._replace(last=tuplet.last)
        elif tuplet.first < beam.first <= tuplet.last < beam.last:
            beam = beam._replace(first=tuplet.first)
    return beam


def broken_after(values: Sequence[Written]) -> list[int]:
    """After each event, how many beams go on where fewer do than both neighbours have; 0 elsewhere."""
    found = [0] * len(values)
    before = -1
    for index, written in enumerate(values):
        if not written.beams:
            continue
        if before >= 0:
            joined = sum(beam in ("continue", "end") for beam in written.beams)
            if 0 < joined < min(len(written.beams), len(values[before].beams)):
                found[before] = joined
        before = index
    return found
