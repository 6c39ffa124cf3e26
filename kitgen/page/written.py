"""What lengths ask to be read beyond cells: long values, ties, and rests inside a beat.

A cell shows where a beat is struck. It does not show that a note is held past its beat, or that a stroke is followed
by a rest instead of lasting on, so these are elements of their own:

- ``value half``: a note struck on a beat and held longer than it, by the note value it is written in;
- ``tie``: a note that no one value writes inside its bar, or one struck off the beat and held over the next;
- ``rest eighth``: a rest of an eighth or more between a stroke and the end of its beat, by its longest plain value.

Beats of rest are counted like any others; shorter rests, and those of triplets, are read off the cell. Lengths are
those of the page's line, and of strokes that carry one; an ornament's length (a roll's) is none of these.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache

from kitgen.errors import LineError
from kitgen.line import Line, Note, parse
from kitgen.pattern import Hit
from kitgen.time import Meter, Meters

_VALUES = ("sixteenth", "eighth", "quarter", "half", "whole", "breve")
_NAMES = {Fraction(4, 16) * 2**power: name for power, name in enumerate(_VALUES)}
_PLAIN = tuple(_NAMES)
_NAMES |= {length * Fraction(3, 2): f"dotted-{name}" for length, name in tuple(_NAMES.items())}
_EIGHTH = Fraction(1, 2)
_BOXES = frozenset("xX-.| ")


@lru_cache(maxsize=1024)
def written_elements(words: str, meter: Meter) -> frozenset[str]:
    """The elements of a page's line.

    Args:
        words: the line in boxes, with its true lengths; empty for none.
        meter: the page's meter; a line that does not fill its bars was written in another one, and says nothing here.

    Raises:
        LineError: a character that stands for no box.

    >>> sorted(written_elements("x- -x x. x", Meter(4, 4)))
    ['rest eighth', 'value dotted-quarter']
    """
    if not words:
        return frozenset()
    try:
        return _of_line(parse(words, meter, notation="boxes"))
    except LineError:
        if set(words) <= _BOXES:
            return frozenset()
        raise


def held_elements(hits: Sequence[Hit], meters: Meters) -> frozenset[str]:
    """The elements of a voice's strokes that carry lengths; one without lasts to the next, or its beat's end."""
    lengths = {hit.onset: hit.length for hit in hits if hit.ornament is None and hit.length is not None}
    if not lengths:
        return frozenset()
    onsets = list(dict.fromkeys(hit.onset for hit in hits))
    notes = []
    for onset, following in zip(onsets, [*onsets[1:], meters.span], strict=True):
        length = lengths.get(onset) or meters.beat_at(onset).end - onset
        notes.append(Note(onset, min(length, following - onset)))
    return _of_line(Line(tuple(notes), meters))


def _of_line(line: Line) -> frozenset[str]:
    return frozenset(element for note in line.notes for element in (*_held(note, line), *_rest_after(note, line)))


def _held(note: Note, line: Line) -> Iterator[str]:
    """The long values and the tie of a note."""
    beat = line.meters.beat_at(note.onset)
    if note.end <= beat.end:
        return
    pieces = _pieces(note, line)
    if note.onset != beat.start or len(pieces) > 1 or note.length not in _NAMES:
        yield "tie"
    if note.onset == beat.start:
        for piece in pieces:
            longest = max((length for length in _NAMES if length <= piece), default=Fraction(0))
            if longest > beat.length:
                yield f"value {_NAMES[longest]}"


def _pieces(note: Note, line: Line) -> list[Fraction]:
    """How long a note sounds in each bar it touches."""
    pieces = []
    for bar in line.meters.bars[line.meters.beat_at(note.onset).bar - 1 :]:
        if bar.start >= note.end:
            break
        pieces.append(min(note.end, bar.end) - max(note.onset, bar.start))
    return pieces


def _rest_after(note: Note, line: Line) -> Iterator[str]:
    if note.end == line.span:
        return
    beat = line.meters.beat_at(note.end)
    following = next((other.onset for other in line.notes if other.onset >= note.end), line.span)
    if beat.start < note.end and following >= beat.end:
        rest = beat.end - note.end
        if rest >= _EIGHTH and rest.denominator & (rest.denominator - 1) == 0:
            yield f"rest {_NAMES[max(length for length in _PLAIN if length <= rest)]}"
