"""The four limbs of a player."""

from enum import IntEnum

from kitgen.errors import UnknownNameError


class Limb(IntEnum):
    """A limb, in the order rows are printed: hands over feet, right over left.

    >>> Limb.parse("rh"), Limb.LF.words, Limb.RF.mirrored
    (<Limb.RH: 0>, 'left foot', <Limb.LF: 3>)
    """

    RH = 0
    LH = 1
    RF = 2
    LF = 3

    @classmethod
    def parse(cls, text: "str | Limb") -> "Limb":
        """A limb from its two letters, in either case.

        Raises:
            UnknownNameError: none of RH, LH, RF, LF.
        """
        if isinstance(text, Limb):
            return text
        try:
            return cls[text.strip().upper()]
        except KeyError:
            raise UnknownNameError("limb", text, [limb.name for limb in cls]) from None

    @property
    def words(self) -> str:
        """The limb in words, as tracks are named: ``right hand``."""
        return f"{'right' if self.name[0] == 'R' else 'left'} {'hand' if self.is_hand else 'foot'}"

    @property
    def is_hand(self) -> bool:
        """True for hands, False for feet."""
        return self <= Limb.LH

    @property
    def mirrored(self) -> "Limb":
        """The same limb on the other side."""
        return Limb(self ^ 1)


LIMBS = tuple(Limb)
HAND_LIMBS = (Limb.RH, Limb.LH)
FEET = (Limb.RF, Limb.LF)
