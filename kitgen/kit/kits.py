"""Kits: the surfaces at hand, how the hands are set, and which limb then plays what.

Hand settings: ``right`` (ride and hat with the right hand, bass with the right foot), ``left`` (everything
mirrored), ``open`` (hat with the left hand uncrossed, ride and snare with the right).
"""

from dataclasses import dataclass, field

from kitgen.errors import KitError, UnknownNameError
from kitgen.kit.limbs import Limb
from kitgen.kit.surfaces import SURFACES, surface

HANDS = ("right", "left", "open")

_OPEN_SIDES = {"closed-hat": "L", "open-hat": "L", "snare": "R", "cross-stick": "R", "rim-shot": "R", "high-tom": "R"}


@dataclass(frozen=True)
class Kit:
    """Surfaces at hand and the hand setting.

    Args:
        name: the kit's name.
        surfaces: labels of the surfaces it has, in any order; kept in the table's order.
        hand: ``right``, ``left`` or ``open``.
        keys: MIDI keys other than General MIDI's, as (label, key) pairs.

    Raises:
        KitError, UnknownNameError: a surface or hand setting that does not exist.

    >>> kit("standard").limb_for("ride"), kit("standard", hand="left").limb_for("ride")
    (<Limb.RH: 0>, <Limb.LH: 1>)
    """

    name: str
    surfaces: tuple[str, ...]
    hand: str = "right"
    keys: tuple[tuple[str, int], ...] = field(default=())

    def __post_init__(self) -> None:
        if self.hand not in HANDS:
            raise UnknownNameError("hand setting", self.hand, HANDS)
        if not self.surfaces:
            raise KitError(f"kit {self.name!r} has no surfaces; list some of: {', '.join(SURFACES)}")
        for label in (*self.surfaces, *(label for label, _ in self.keys)):
            surface(label)
        for label, key in self.keys:
            if not 0 <= key <= 127:
                raise KitError(f"MIDI key {key} for {label}; a key is 0 to 127")
        order = list(SURFACES)
        object.__setattr__(self, "surfaces", tuple(sorted(set(self.surfaces), key=order.index)))
        object.__setattr__(self, "keys", tuple(sorted(self.keys)))

    def __contains__(self, label: str) -> bool:
        return label in self.surfaces

    def limb_for(self, label: str) -> Limb:
        """The limb that usually plays a surface under this hand setting."""
        row = surface(label)
        side = _OPEN_SIDES.get(label, row.side) if self.hand == "open" else row.side
        name = side + ("H" if row.struck_by == "hand" else "F")
        return Limb[name].mirrored if self.hand == "left" else Limb[name]

    def key_of(self, label: str) -> int:
        """The MIDI key a surface sounds on."""
        return dict(self.keys).get(label, surface(label).key)

    @property
    def hand_words(self) -> str:
        """What the title of a page for these hands ends with; empty for the right-handed."""
        return "" if self.hand == "right" else f", {self.hand}-handed"

    @property
    def lead(self) -> Limb:
        """The hand that keeps time."""
        return self.limb_for("ride")

    @property
    def weak(self) -> Limb:
        """The other hand."""
        return self.lead.mirrored

    @property
    def bass_foot(self) -> Limb:
        """The foot on the bass drum."""
        return self.limb_for("bass")

    @property
    def hat_foot(self) -> Limb:
        """The foot on the hi-hat."""
        return self.limb_for("hat-foot")


_SMALL = (
    "crash",
    "closed-hat",
    "open-hat",
    "snare",
    "cross-stick",
    "rim-shot",
    "bass",
    "hat-foot",
    "lap",
    "floor",
    "clap",
)

KITS = {"standard": tuple(SURFACES), "small": _SMALL}


def kit(name: str, *, hand: str = "right") -> Kit:
    """A built-in kit: ``standard``, or ``small`` (no toms, no ride).

    Raises:
        UnknownNameError: no such kit or hand setting.
    """
    if name not in KITS:
        raise UnknownNameError("kit", name, list(KITS))
    return Kit(name, KITS[name], hand)
