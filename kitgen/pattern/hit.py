"""One stroke of one limb on one surface."""

from dataclasses import dataclass
from enum import Enum, IntEnum
from fractions import Fraction

from kitgen.errors import PatternError
from kitgen.kit import LIMBS, SURFACES, Limb, surface


class Level(IntEnum):
    """How loud a stroke is meant, softest first; velocities are chosen where MIDI is written."""

    FEATHER = 1
    GHOST = 2
    TAP = 3
    NORMAL = 4
    ACCENT = 5

    @property
    def char(self) -> str:
        """The level's character in box rows."""
        return " fgtxX"[self]


class Ornament(Enum):
    """What is added to a stroke."""

    FLAM = "flam"
    DRAG = "drag"
    DIDDLE = "diddle"
    BUZZ = "buzz"

    @property
    def has_graces(self) -> bool:
        """True for the ornaments played before the beat by the other hand."""
        return self in (Ornament.FLAM, Ornament.DRAG)


_PLAYABLE = frozenset(
    (limb, row.label) for row in SURFACES.values() for limb in LIMBS if (row.struck_by == "hand") is limb.is_hand
)


@dataclass(frozen=True, slots=True)
class Hit:
    """One stroke.

    Args:
        onset: quarters from the start of the pattern, 0 or later.
        limb: the limb that strikes.
        surface: label of what it strikes.
        level: how loud.
        ornament: flam, drag, diddle or buzz, hands only.
        length: how long it lasts in quarters, for sounds that have a length (a roll, a sweep).

    Raises:
        KitError: a limb on a surface it cannot play.
        UnknownNameError: no such surface.
        PatternError: an onset before 0, a length of 0 or less, an ornament on a foot.
    """

    onset: Fraction
    limb: Limb
    surface: str
    level: Level = Level.NORMAL
    ornament: Ornament | None = None
    length: Fraction | None = None

    def __post_init__(self) -> None:
        if type(self.onset) is not Fraction:
            object.__setattr__(self, "onset", _exact(self.onset, "an onset"))
        if (self.limb, self.surface) not in _PLAYABLE:
            surface(self.surface).check_limb(self.limb)
        if self.onset.numerator < 0:
            raise PatternError(f"a hit at {self.onset} quarters; a pattern starts at 0")
        if self.length is not None and type(self.length) is not Fraction:
            object.__setattr__(self, "length", _exact(self.length, "a length"))
        if self.length is not None and self.length <= 0:
            raise PatternError(f"a hit lasting {self.length} quarters; a length is more than 0, or left out")
        if self.ornament is not None and not self.limb.is_hand:
            raise PatternError(f"a {self.ornament.value} on the {self.limb.words}; ornaments are for the hands")

    def at(self, onset: Fraction) -> "Hit":
        """The same stroke at another place."""
        return Hit(onset, self.limb, self.surface, self.level, self.ornament, self.length)


def _exact(given: object, what: str) -> Fraction:
    if isinstance(given, Fraction | int):
        return Fraction(given)
    raise PatternError(f"{what} of {given!r}; positions are exact: give a Fraction or an int, in quarters")
