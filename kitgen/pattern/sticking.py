"""Which hand plays which stroke."""

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from kitgen.kit import PLAYERS, Limb, Player
from kitgen.pattern.hit import Hit, Level, Ornament
from kitgen.time import Meters


class Stroke(NamedTuple):
    """A stroke of a hand, before it is said which hand."""

    onset: Fraction
    surface: str
    level: Level = Level.NORMAL
    ornament: Ornament | None = None


def stick(
    strokes: Sequence[Stroke],
    meters: Meters,
    *,
    pace: float,
    player: Player = PLAYERS["school"],
    hand: str = "right",
    held: Sequence[Hit] = (),
) -> tuple[Hit, ...]:
    """Hands for strokes, at least cost over all of them."""
    limbs = (Limb.RH, Limb.LH) if hand != "left" else (Limb.LH, Limb.RH)
    return tuple(
        Hit(stroke.onset, limbs[index % 2], stroke.surface, stroke.level, stroke.ornament)
        for index, stroke in enumerate(strokes)
    )
