"""How a style is played through: at a tempo, by somebody, from a seed; and a phrase of it."""

from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from kitgen.kit import PLAYERS, Player
from kitgen.pattern import Pattern
from kitgen.pattern.playability import playability
from kitgen.styles.parts import Role, StylePattern
from kitgen.styles.phrases import Room, cut, room_for
from kitgen.styles.value import Style

OWN, SHORT, TAG, RITARD = "own", "short", "tag", "ritard"
ENDINGS = (OWN, SHORT, TAG, RITARD)
"""The style's own ending; one short note; the last phrase three times, then its own; its own, slowing down."""
RITARD_BARS = 2
PHRASE_BARS = 4


class Phrase(NamedTuple):
    """A phrase that is played.

    Args:
        part: which part of the form it is of, from 0.
        section: what that is called.
        time: the name of what keeps time, with what is done to it.
        cue: the name of the fill or ending at its end; empty where there is none.
        cue_starts: where that begins, in quarters from the phrase's start; its end where there is none.
        lands: how it begins: ``crash``, ``time`` or ``silence``, as the cue before it says.
        pattern: its notes.
    """

    part: int
    section: str
    time: str
    cue: str
    cue_starts: Fraction
    lands: str
    pattern: Pattern

    @property
    def bars(self) -> int:
        """How long it is."""
        return len(self.pattern.meters.bars)


class Time(NamedTuple):
    """Something that keeps time, by name."""

    name: str
    pattern: Pattern


@dataclass(frozen=True)
class Playing:
    """How a style is played through.

    Args:
        style: the style.
        bpm: the tempo, in the style's unit.
        seed: chooses among what would do as well.
        player: who has to be able to play it.
        ending: one of ``ENDINGS``.
    """

    style: Style
    bpm: float
    seed: int = 0
    player: Player = field(default=PLAYERS["advanced"])
    ending: str = OWN

    @property
    def pace(self) -> float:
        """Quarters a minute."""
        return self.bpm * float(self.style.tempo.unit)

    @property
    def room(self) -> Room:
        """What a hand needs to cross the kit."""
        return room_for(self.player, self.pace, self.style.feel)

    def meant(self, *roles: Role) -> list[StylePattern]:
        """The patterns of some roles that are meant for the tempo; outside the style's tempi those nearest to it."""
        bpm = self.style.nearest(self.bpm)
        return [item for item in self.style.of_role(*roles) if item.tempo.holds(bpm)]

    def joins(self, before: Pattern | None, after: Pattern) -> bool:
        """True if the player gets from one phrase to the next, and through it."""
        if before is not None:
            bar = before.meters.bars[-1]
            after = cut(before, bar.start, bar.end) + after
        return not playability(after, self.player, self.pace, loops=False)
