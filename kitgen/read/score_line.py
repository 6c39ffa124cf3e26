"""A part's bars as a rhythm line: one note an onset.

Conventions: quarters, exact. Chords and voices collapse: at each onset there is one note, as long as that of the
first voice there, cut where the next onset comes.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby
from operator import itemgetter

from kitgen.line import Line, Mark, Note
from kitgen.read.score_bars import laid_out, struck
from kitgen.read.score_written import Notehead, ScoreBar

_MOST_GRACES = 3


def line_of(bars: Sequence[ScoreBar]) -> Line:
    """The line a part plays, its bars taken in the order given."""
    meters, starts = laid_out(bars)
    onsets = [(at, [head for _, head in together]) for at, together in groupby(struck(bars, starts), key=itemgetter(0))]
    ends = [*(at for at, _ in onsets[1:]), meters.span]
    notes = (_note(at, heads, end - at) for (at, heads), end in zip(onsets, ends, strict=bool(onsets)))
    return Line(tuple(notes) if onsets else (), meters, pickup=bool(starts and starts[0]))


def _note(at: Fraction, heads: list[Notehead], most: Fraction) -> Note:
    """One note for all that is struck at an instant, the first voice leading."""
    first = heads[0]
    chord = [head for head in heads if head.voice == first.voice]
    return Note(
        at,
        min(first.length, most),
        accent=any(head.accent for head in heads),
        mark=next((head.mark for head in chord if head.mark is not Mark.NONE), Mark.NONE),
        graces=min(_MOST_GRACES, max(head.graces for head in heads)),
        sticking=next((head.sticking for head in heads if head.sticking), ""),
    )
