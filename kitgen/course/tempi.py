"""The tempi of a composed page: by how finely its beats are divided, and what its player can play.

Starting tempi are common practice: a beginner reads quarters and eighths near 60, and what divides the beat further
more slowly; grids over an ostinato start slowest of all.
"""

from collections.abc import Sequence
from fractions import Fraction
from math import floor

from kitgen.course.plan import Setup
from kitgen.page import Row, Tempo
from kitgen.pattern import Pattern
from kitgen.pattern.playability import fastest
from kitgen.time import Meter, bpm_value

_BY_PARTS = {1: (60, 90, 50, 112), 2: (60, 88, 50, 108), 3: (52, 76, 44, 96), 4: (50, 72, 40, 92)}
_FINER = (40, 60, 36, 76)
_DOTTED = {1: (48, 72, 40, 92), 3: (44, 66, 40, 84)}
_SLOWEST = 30
_STEP = 2


def tempo_for(rows: Sequence[Row], setup: Setup) -> Tempo:
    """Start, goal and range: what the setup says, else by the finest division of a beat on the page."""
    unit = rows[0].pattern.meters.bars[0].meter.tempo_unit
    if setup.tempo is not None:
        slow, _, fast = setup.tempo.partition("..")
        first, last = bpm_value(slow), bpm_value(fast.partition(":")[0] or slow)
        return Tempo(first, last, first, last, unit)
    parts = max(_parts(row.pattern) for row in rows)
    table = _DOTTED if Meter.parse(setup.meter).is_compound else _BY_PARTS
    return Tempo(*table.get(parts, _FINER), unit)


def _parts(pattern: Pattern) -> int:
    """Into how many parts a beat is divided at most, by one limb."""
    found = 1
    for hit in pattern.hits:
        beat = pattern.meters.beat_at(hit.onset)
        found = max(found, ((hit.onset - beat.start) / beat.length).denominator)
    return found


def playable(pattern: Pattern, tempo: Tempo, setup: Setup) -> Tempo | None:
    """The tempi, none of them faster than the player can play a pattern; None where nobody counts as slowly as that."""
    unit = float(tempo.unit)
    most = floor(fastest(pattern, setup.by, tempo.high * unit, hand=setup.hand) / unit + 1e-6)
    if most >= tempo.high:
        return tempo
    most -= most % _STEP
    if most < _SLOWEST:
        return None
    start, goal = min(tempo.start, most), min(tempo.goal, most)
    if start == goal:
        start = max(min(_SLOWEST, goal), goal - 10)
    return Tempo(start, goal, min(tempo.low, start), most, Fraction(tempo.unit))
