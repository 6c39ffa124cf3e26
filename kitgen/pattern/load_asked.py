"""What every part of the coordination load is measured on, and what a measure answers."""

from collections.abc import Collection
from typing import NamedTuple

from kitgen.kit import Limb
from kitgen.pattern.load_view import View
from kitgen.pattern.load_weights import LoadWeights
from kitgen.pattern.value import Pattern
from kitgen.time import count_name

LimbSet = frozenset[Limb]


class Asked(NamedTuple):
    """What a part is measured on.

    Args:
        pattern: the pattern.
        view: the same in ticks.
        weights: the numbers.
        limb_weight: what a stroke of each limb weighs, in the order of limbs.
        pace: quarters a minute; None where nobody says.
        met: sets of limbs met before in the series; None outside a series.
    """

    pattern: Pattern
    view: View
    weights: LoadWeights
    limb_weight: tuple[float, ...]
    pace: float | None
    met: frozenset[LimbSet] | None

    def where(self, tick: int) -> str:
        """Bar and count of a tick."""
        return count_name(self.pattern.meters, self.view.onset(tick))


class Measured(NamedTuple):
    """A part's value before it is weighed, and in words what drives it; no words where it is 0."""

    value: float
    worst: str = ""


NOTHING = Measured(0.0)


def limbs_said(limbs: Collection[Limb]) -> str:
    """Limbs by their letters.

    >>> limbs_said({Limb.LF, Limb.RH})
    'RH+LF'
    """
    return "+".join(limb.name for limb in sorted(limbs))
