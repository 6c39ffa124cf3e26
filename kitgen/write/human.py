"""How far a performance leaves the grid and its levels: seeded, small, and never past a stated bound.

Strokes of one instant move together, so that what is together stays together; the first stroke of a loop stays where
it is, so that the loop closes to the tick; no move takes more than a quarter of the way to the next stroke, so that
the order stays. Moves are at most 4 ms, and most are nearer 1: less than the 6 ms at which listeners notice a displaced
stroke in a fast regular series (A. Friberg, J. Sundberg, JASA 98(5), 1995), and of the size of the errors of
professionals' hi-hats, about 2 ms (S. Fujii et al., Music Perception 28(5), 2011). A style's own published micro-timing
(:mod:`kitgen.styles.micro`) comes on top where amounts are published, within 30 ms.

Who leads is played a little louder than its level, by 6, 4 and 2 velocities of 127, the other voices softer by 2: in
loudness, where 40 dB are a tenfold velocity (MMA, DLS Level 1), 1.6 dB at most. It is less at taps, and next to nothing
at ghosts and feathers, so that every voice stays within its level (from memory: a balance is heard from about 1 dB).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from kitgen.errors import OptionError
from kitgen.pattern import Level

MOST_MS, WIDEST_MS = 4.0, 30.0
_USUAL_SPREAD, _WIDEST_SPREAD = 2, 4
_SHARE_OF_GAP = 4
_SHADES = 1 << 15
_LED, _REST = (6, 4, 2), -2
MOST_LED = max(_LED)
_SOFT = {Level.FEATHER: (1, 0), Level.GHOST: (1, 0), Level.TAP: (3, -1)}  # the most up and down at soft levels


@dataclass(frozen=True, slots=True)
class Bend:
    """A place of a pulse that a style plays early or late.

    Args:
        pulse: length of the pulse, in quarters.
        place: where in it, in quarters.
        by: how much later, in quarters; early is negative.
    """

    pulse: Fraction
    place: Fraction
    by: Fraction


@dataclass(frozen=True, slots=True)
class Human:
    """How much a performance varies.

    Args:
        moves_ms: the most a stroke is moved by chance, in milliseconds; 0 for none.
        spread: the most a velocity is off its level's by chance; 0 for none.
        bends: what the style plays early or late.
        leads: the surfaces that lead the balance, loudest first; none where all are alike.

    Raises:
        OptionError: more than is human and readable again.
    """

    moves_ms: float = 0.0
    spread: int = _USUAL_SPREAD
    bends: tuple[Bend, ...] = ()
    leads: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.moves_ms <= MOST_MS:
            raise OptionError(f"strokes moved by {self.moves_ms:g} ms; they are moved by 0 to {MOST_MS:g}")
        if not 0 <= self.spread <= _WIDEST_SPREAD:
            raise OptionError(f"velocities spread by {self.spread}; it is 0 to {_WIDEST_SPREAD}")

    def lean(self, surface: str, level: Level) -> int:
        """By how much a surface is struck louder than its level has it; softer is negative.

        >>> led = Human(leads=("ride", "hat-foot"))
        >>> [led.lean(surface, Level.NORMAL) for surface in ("ride", "hat-foot", "snare")]
        [6, 4, -2]
        """
        if not self.leads:
            return 0
        place = self.leads.index(surface) if surface in self.leads else len(_LED)
        by = _LED[place] if place < len(_LED) else _REST
        up, down = _SOFT.get(level, (MOST_LED, _REST))
        return max(down, min(up, by))

    def moved(self, ticks: Sequence[int], *, end: int, second: float, quarter: int, seed: int) -> dict[int, int]:
        """Where each instant of a loop is played, by its tick.

        Args:
            ticks: the instants, in order, each once.
            end: the loop's end.
            second: ticks a second.
            quarter: ticks a quarter.
            seed: of the moves.
        """
        most, state = self.moves_ms * second / 1000, (seed * 2246822519 + 374761393) & 0x7FFFFFFF
        whole, widest = int(most), WIDEST_MS * second / 1000
        places: dict[int, int] = {}
        before = 0
        for index, tick in enumerate(ticks):
            after = ticks[index + 1] if index + 1 < len(ticks) else end
            state = (state * 1103515245 + 12345) & 0x7FFFFFFF
            state, first = (state * 1103515245 + 12345) & 0x7FFFFFFF, state >> 16
            by = max(-whole, min(whole, round((first + (state >> 16) - _SHADES) / _SHADES * most)))
            if self.bends:
                by += round(max(-widest, min(widest, self._bent(tick, quarter))))
            early, late = (tick - before) // _SHARE_OF_GAP, (after - tick) // _SHARE_OF_GAP
            places[tick] = tick + max(-early, min(late, by)) if tick else 0
            before = tick
        return places

    def _bent(self, tick: int, quarter: int) -> float:
        place = Fraction(tick, quarter)
        return sum(float(bend.by) * quarter for bend in self.bends if place % bend.pulse == bend.place)


USUAL = Human()
"""On the grid, with the usual small variation of velocities."""
EXACT = Human(0.0, 0)
"""On the grid, every level at its own velocity."""
PLAYED = Human(MOST_MS)
"""As a careful player would."""
