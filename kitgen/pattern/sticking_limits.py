"""What the two hands of a player can do at a tempo, as the search for a sticking needs it: whole microseconds.

The first hand is the one that keeps time on the ride, the second the other one: right and left, for a left-handed kit
left and right. All else speaks of a right-handed player, and the sticking of a left-handed one is the mirror image.
"""

from fractions import Fraction
from typing import NamedTuple

from kitgen.errors import PatternError, UnknownNameError
from kitgen.kit import HANDS, Limb, Player

_MINUTE_US = 60_000_000
NEAR_US = 2
"""Microseconds a gap may fall short of a limit: rounding, not playing."""


class HandLimits(NamedTuple):
    """What one hand can do; times in microseconds.

    Args:
        plays: False where it is absent.
        single: single strokes only.
        stays: it keeps to one surface.
        two: shortest gap.
        few: shortest mean of the gaps of three or four strokes in a row.
        sustained: gap it can keep up.
        rebound: shortest gap to the bounce of a stroke; None where there is none.
        travel: to the same place, the next drum, across the kit.
    """

    plays: bool
    single: bool
    stays: bool
    two: int
    few: int
    sustained: int
    rebound: int | None
    travel: tuple[int, int, int]

    @property
    def quick(self) -> int:
        """Gap below which strokes of one hand in a row are doubles and no single strokes."""
        return self.sustained * 5 // 4

    @property
    def least(self) -> int:
        """The shortest gap there can be at all."""
        return self.two if self.rebound is None else self.rebound


class Limits(NamedTuple):
    """What both hands can do, and how long a quarter lasts.

    Args:
        quarter_us: microseconds a quarter.
        limbs: the hand that keeps time, and the other.
        each: what they can do, in this order.
        open_handed: the other hand plays the hats.
        near: microseconds within which hands that cross are in each other's way.
    """

    quarter_us: int
    limbs: tuple[Limb, Limb]
    each: tuple[HandLimits, HandLimits]
    open_handed: bool
    near: int

    @classmethod
    def of(cls, pace: float, player: Player, hand: str) -> "Limits":
        """The limits of a player.

        Args:
            pace: quarters a minute, above 0.
            player: who plays.
            hand: hand setting of the kit: ``right``, ``left`` or ``open``.

        Raises:
            PatternError: a pace that is none; UnknownNameError: no such hand setting.

        >>> from kitgen.kit import player
        >>> Limits.of(120, player("school"), "left").limbs
        (<Limb.LH: 1>, <Limb.RH: 0>)
        """
        if not 0 < pace < float("inf"):
            raise PatternError(f"a pace of {pace:g} quarters a minute; it is more than 0, 20 to 400 as a rule")
        if hand not in HANDS:
            raise UnknownNameError("hand setting", hand, HANDS)
        limbs = (Limb.LH, Limb.RH) if hand == "left" else (Limb.RH, Limb.LH)
        first, second = (_hand_limits(player, limb) for limb in limbs)
        return cls(round(_MINUTE_US / pace), limbs, (first, second), hand == "open", _us(player.hand.few))

    def us(self, onset: Fraction) -> int:
        """When an onset is, in microseconds."""
        return onset.numerator * self.quarter_us // onset.denominator


def _hand_limits(player: Player, limb: Limb) -> HandLimits:
    rates, profile, plays = player.rates(limb), player.profile(limb), player.plays(limb)
    return HandLimits(
        plays,
        profile.single,
        plays and not profile.travels,
        _us(rates.two),
        _us(rates.few),
        _us(rates.sustained),
        None if rates.rebound is None else _us(rates.rebound),
        (0, _us(player.travel(limb, across=False)), _us(player.travel(limb, across=True))),
    )


def _us(ms: float) -> int:
    return round(ms * 1000)
