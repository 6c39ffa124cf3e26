"""Rules of a tour that a player's limits make: how often a limb may strike in a row at a tempo.

A limb that has to strike every slot is held to its sustained rate. One held to two in a row rests at least every third
slot: its four strokes with the shortest way between them take four slots, and over a bar of any length the mean is no
shorter than theirs, one and a third of a slot. One that never strikes twice in a row has two slots a stroke. Rates:
:mod:`kitgen.kit.players`.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from kitgen.errors import RefusedError
from kitgen.grid.tours import Run
from kitgen.kit import Limb, Player
from kitgen.kit.players import Rates
from kitgen.pattern import Feel, Hit, Pattern
from kitgen.pattern.swing import played_onsets
from kitgen.time import Meter, Meters

_MINUTE_MS = 60_000
_NEAR = 1 + 1e-6


def slot_ms(slots: Sequence[Fraction], meter: Meter, feel: Feel, pace: float) -> float:
    """The shortest slot of a bar as it is played, in milliseconds.

    Args:
        slots: onsets of the slots of a bar, in quarters.
        meter: the meter.
        feel: even or swung.
        pace: quarters a minute.

    >>> from kitgen.pattern import EVEN
    >>> slot_ms([Fraction(n, 4) for n in range(16)], Meter(4, 4), EVEN, 60)
    250.0
    """
    hits = tuple(Hit(onset, Limb.LH, "snare") for onset in slots)
    pattern = Pattern(hits, Meters.of(meter), feel)
    moves = played_onsets(pattern, tempo_bpm=pace)[0] if feel.unit else {at: at for at in slots}
    played = [*sorted(moves.values()), pattern.span]
    return min(float(later - at) for at, later in pairwise(played)) * _MINUTE_MS / pace


def run_of(rates: Rates, gap_ms: float) -> Run | None:
    """How often a limb may strike in a row where slots are so far apart; None where it cannot keep up at all.

    >>> from kitgen.kit import player
    >>> [run_of(player("school").rates(Limb.RF), gap) for gap in (250, 200, 120, 100)]
    [<Run.ANY: 'any'>, <Run.TWICE: 'twice'>, <Run.ONCE: 'once'>, None]
    """
    gap = gap_ms * _NEAR
    if gap >= rates.sustained:
        return Run.ANY
    if gap >= rates.two and gap * 4 / 3 >= rates.sustained:
        return Run.TWICE
    return Run.ONCE if gap * 2 >= rates.sustained else None


def runs_at(limbs: Sequence[Limb], player: Player, gap_ms: float) -> tuple[Run, ...]:
    """How often each limb may strike in a row.

    Raises:
        RefusedError: a limb that is too slow even for every second slot.
    """
    found = []
    for limb in limbs:
        run = run_of(player.rates(limb), gap_ms)
        if run is None:
            raise RefusedError(
                f"slots are {gap_ms:.0f} ms apart, and the {limb.words} ({limb.name}) of {player.words} needs "
                f"{player.rates(limb).sustained:.0f} ms a stroke, so that it cannot even play every second one; "
                f"choose a slower --tempo, a coarser --subdivision, or leave {limb.name} out of --limbs"
            )
        found.append(run)
    return tuple(found)
