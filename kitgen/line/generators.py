"""Lines made by rule: evenly spread strokes, rests only, every cell of a beat."""

from itertools import combinations

from kitgen.errors import LineError
from kitgen.line.value import Line, Note
from kitgen.time import Meter, Meters

_FOUR_FOUR = Meter(4, 4)


def evenly(onsets: int, slots: int, *, meter: Meter = _FOUR_FOUR, bars: int = 1, turn: int = 0) -> Line:
    """``onsets`` strokes spread as evenly as can be over ``slots`` equal slots.

    The necklace is that of G. Toussaint, "The Euclidean algorithm generates traditional musical rhythms"
    (2005), reached by the rule that slot i is struck when i*onsets mod slots is below onsets.

    Args:
        onsets: how many strokes, 1 to slots.
        slots: how many equal slots fill the bars.
        meter: the meter.
        bars: bars that the slots fill.
        turn: start the necklace so many slots later.

    >>> str(evenly(3, 8, turn=0))
    'x- -x -- x-'
    """
    if not 1 <= onsets <= slots:
        raise LineError(f"cannot spread {onsets} strokes over {slots} slots; 1 to {slots} fit")
    meters = Meters.of(meter, bars)
    slot = meters.span / slots
    struck = [i for i in range(slots) if (i + turn) * onsets % slots < onsets]
    ends = [*struck[1:], slots]
    return Line(tuple(Note(i * slot, (j - i) * slot) for i, j in zip(struck, ends, strict=True)), meters)


def rests(meter: Meter = _FOUR_FOUR, bars: int = 1) -> Line:
    """A line of rest only.

    Raises:
        LineError: fewer than one bar.
    """
    if bars < 1:
        raise LineError(f"a rest of {bars} bars cannot be counted; 1 or more")
    return Line((), Meters.of(meter, bars))


def cells(parts: int, *, meter: Meter = _FOUR_FOUR) -> tuple[Line, ...]:
    """Every cell of one beat divided in ``parts``: few strokes first, early strokes first.

    Args:
        parts: parts of the beat, 1 to 9.
        meter: the cells span its first beat.

    Returns:
        2**parts - 1 one-beat lines: 15 of sixteenths, 7 of triplets, 3 of eighths.

    >>> [str(cell) for cell in cells(2)]
    ['x', '.x', 'xx']
    """
    if not 1 <= parts <= 9:
        raise LineError(f"no cells of {parts} parts; a beat is divided in 1 to 9")
    beat = meter.beats[0]
    meters, slot = Meters(((meter, beat),)), beat / parts
    return tuple(
        Line.of_onsets((slot * i for i in struck), meters)
        for strokes in range(1, parts + 1)
        for struck in combinations(range(parts), strokes)
    )
