"""Players: how fast each limb strikes and travels, and what a limb cannot do.

Working values in milliseconds are common practice, settable in a player file; published are only rates of one hand:
5 to 7 strokes a second in general, 10 for the fastest drummer (S. Fujii and others, Neuroscience Letters 459, 2009);
no published rate was found for a foot or for rebound doubles.
"""

from dataclasses import dataclass, field, replace
from types import MappingProxyType

from kitgen.errors import KitError, UnknownNameError
from kitgen.kit.limbs import Limb

_SHORTEST_MS, _LONGEST_MS = 20, 4000
_LEVELS = ("beginner", "school", "advanced")
SLOW = 1.5
"""How much longer a slow limb needs, unless told."""


@dataclass(frozen=True, slots=True)
class Rates:
    """Shortest gaps between strokes of one limb, in milliseconds.

    Args:
        sustained: mean gap over a bar or more.
        few: mean gap of three or four strokes in a row.
        two: one gap, two strokes in a row.
        rebound: one gap where the second stroke is the bounce of the first, on a drum; None where there is none.

    Raises:
        KitError: a value outside 20 to 4000, or a shorter run that needs longer gaps than a longer one.
    """

    sustained: float
    few: float
    two: float
    rebound: float | None = None

    def __post_init__(self) -> None:
        for name in ("sustained", "few", "two", "rebound"):
            value = getattr(self, name)
            if value is not None and not _SHORTEST_MS <= value <= _LONGEST_MS:
                raise KitError(
                    f"{name} of {value:g} ms; gaps between strokes are {_SHORTEST_MS} to {_LONGEST_MS} milliseconds"
                )
        if not self.sustained >= self.few >= self.two >= (self.rebound or 0):
            raise KitError(
                f"gaps of {self.sustained:g} ms sustained, {self.few:g} for three or four, {self.two:g} for two"
                + (f", {self.rebound:g} for a rebound" if self.rebound else "")
                + ": a longer run cannot be faster than a shorter one"
            )

    def slower(self, by: float) -> "Rates":
        """The same rates with every gap so many times as long."""
        rebound = None if self.rebound is None else self.rebound * by
        return Rates(self.sustained * by, self.few * by, self.two * by, rebound)


@dataclass(frozen=True, slots=True)
class LimbProfile:
    """What is special about one limb of a player.

    Args:
        absent: the limb does not play.
        slow: how many times as long it needs, 1 or more.
        single: single strokes only: no two faster than it can sustain, no doubles, drags or buzzes.
        travels: False where it stays on one surface.
    """

    absent: bool = False
    slow: float = 1.0
    single: bool = False
    travels: bool = True

    def __post_init__(self) -> None:
        if not 1 <= self.slow <= 10:
            raise KitError(f"slow of {self.slow:g}; a slow limb needs 1 to 10 times as long, {SLOW} unless told")

    @property
    def words(self) -> str:
        """What is special, in words; empty where nothing is."""
        if self.absent:
            return "does not play"
        said = [f"needs {self.slow:g} times as long"] if self.slow > 1 else []
        said += ["single strokes only"] if self.single else []
        said += [] if self.travels else ["stays on one surface"]
        return ", ".join(said)


_PLAIN = LimbProfile()


@dataclass(frozen=True)
class Player:
    """What a player can do at the kit.

    Args:
        name: the player's name: a level, or a file's.
        hand: rates of a hand.
        foot: rates of a foot.
        next_drum: milliseconds from one surface to a neighbouring one.
        across: milliseconds from one side of the kit to the other.
        limbs: profiles of the limbs that have one, as (limb, profile) pairs.

    Raises:
        KitError: both hands absent, or values that cannot be.
    """

    name: str
    hand: Rates
    foot: Rates
    next_drum: float
    across: float
    limbs: tuple[tuple[Limb, LimbProfile], ...] = field(default=())

    def __post_init__(self) -> None:
        if not _SHORTEST_MS <= self.next_drum <= self.across <= _LONGEST_MS:
            raise KitError(
                f"travel of {self.next_drum:g} ms to the next drum and {self.across:g} across the kit; the way across "
                f"is no shorter than the way to the next drum, both {_SHORTEST_MS} to {_LONGEST_MS} milliseconds"
            )
        own = {limb: profile for limb, profile in self.limbs if profile != _PLAIN}
        object.__setattr__(self, "limbs", tuple(sorted(own.items())))
        if not self.plays(Limb.RH) and not self.plays(Limb.LH):
            raise KitError(
                f"player {self.name!r} has both hands absent, and every page needs a hand; leave one of RH, LH to "
                "play, or write a page for the feet as an ostinato (--under) with one hand"
            )

    @property
    def words(self) -> str:
        """The player in a sentence: ``the school player``, or the name of a file's own in quotes."""
        return f"the {self.name} player" if self.name in _LEVELS else f"player {self.name!r}"

    def profile(self, limb: Limb) -> LimbProfile:
        """What is special about a limb."""
        return dict(self.limbs).get(limb, _PLAIN)

    def plays(self, limb: Limb) -> bool:
        """False where the limb is absent."""
        return not self.profile(limb).absent

    def rates(self, limb: Limb) -> Rates:
        """The shortest gaps of a limb, its profile heeded."""
        plain, own = self.hand if limb.is_hand else self.foot, self.profile(limb)
        rates = plain.slower(own.slow) if own.slow > 1 else plain
        return Rates(rates.sustained, rates.sustained, rates.sustained) if own.single else rates

    def travel(self, limb: Limb, *, across: bool) -> float:
        """Milliseconds a limb needs to another surface, its profile heeded."""
        return (self.across if across else self.next_drum) * self.profile(limb).slow

    def mirrored(self) -> "Player":
        """The same player, left and right swapped."""
        return replace(self, limbs=tuple((limb.mirrored, profile) for limb, profile in self.limbs))


PLAYERS = MappingProxyType(
    {
        player.name: player
        for player in (
            # hand: sustained, three or four in a row, two in a row, rebound; foot: sustained, a few, two in a row
            Player("beginner", Rates(250, 200, 150), Rates(350, 300, 250), 150, 300),
            Player("school", Rates(150, 125, 90, 75), Rates(220, 185, 150), 100, 200),
            Player("advanced", Rates(125, 95, 60, 58), Rates(160, 130, 100), 70, 140),
        )
    }
)


def player(name: str) -> Player:
    """A built-in player: ``beginner``, ``school`` or ``advanced``.

    Raises:
        UnknownNameError: no such player.

    >>> player("school").rates(Limb.LF).sustained
    220
    """
    try:
        return PLAYERS[name]
    except KeyError:
        raise UnknownNameError("player", name, [*PLAYERS, "FILE.toml"]) from None
