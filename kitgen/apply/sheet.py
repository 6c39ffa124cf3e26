"""What a page is while it is re-voiced: strokes that know the line, rows of them, and a count of what is lost.

Also when anything has to be re-voiced at all: :func:`changes`.
"""

from bisect import bisect
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from kitgen.apply.losses import Loss
from kitgen.kit import HAND_LIMBS, HATS, Kit, Limb, Player
from kitgen.kit.places import steps
from kitgen.pattern import Hit, Level, Ornament, Pattern

LOW = frozenset(("bass", "floor"))
"""What a foot plays that is not the hat."""
DOUBLED = frozenset((Ornament.DIDDLE, Ornament.BUZZ))
"""Ornaments one hand plays with a bounce."""


def changes(patterns: Sequence[Pattern], kit: Kit, player: Player) -> bool:
    """True if something on a page is not there or cannot be played as it stands."""
    hits = [hit for pattern in patterns for hit in pattern.hits]
    used = {(hit.limb, hit.surface) for hit in hits}
    return (
        any(surface not in kit or not player.plays(limb) for limb, surface in used)
        or any(hit.ornament is not None and plain_for(hit, player) for hit in hits)
        or any(_strays(limb, surface, used, player) for limb, surface in used)
        or cannot_open({(hit.limb, hit.surface) for hit in hits}, kit, player)
    )


def plain_for(hit: Hit, player: Player) -> str:
    """Why a player cannot play an ornament, as a kind of loss; empty where they can."""
    if hit.ornament is None:
        return ""
    other = hit.limb.mirrored
    if hit.ornament.has_graces and not player.plays(other):
        return "graces-alone"
    doer = hit.limb if hit.ornament in DOUBLED else other
    return "singles" if hit.ornament is not Ornament.FLAM and player.profile(doer).single else ""


def _strays(limb: Limb, surface: str, used: Collection[tuple[Limb, str]], player: Player) -> bool:
    """True where a limb without travel has two places."""
    return not player.profile(limb).travels and any(limb == own and steps(surface, label) for own, label in used)


def cannot_open(used: Collection[tuple[Limb, str]], kit: Kit, player: Player) -> bool:
    """True where the hat is played open and closed, and no foot is there to open it."""
    if not {surface for _, surface in used} >= HATS:
        return False
    return unattended(used, kit, player)


def unattended(used: Collection[tuple[Limb, str]], kit: Kit, player: Player) -> bool:
    """True where no foot is on the hat pedal: its foot does not play, or stands in for the other on the bass."""
    low = any(limb == kit.hat_foot and surface in LOW for limb, surface in used)
    return not player.plays(kit.hat_foot) or (low and not player.plays(kit.bass_foot))


class Stroke(NamedTuple):
    """A hit, and whether the line is in it."""

    hit: Hit
    line: bool

    def on(self, *, limb: Limb | None = None, surface: str | None = None, louder: int = 0) -> "Stroke":
        """The same stroke by another limb, on another surface, at another level."""
        hit = self.hit
        level = Level(min(max(hit.level + louder, Level.FEATHER), Level.ACCENT))
        by, what = hit.limb if limb is None else limb, surface or hit.surface
        return Stroke(Hit(hit.onset, by, what, level, hit.ornament, hit.length), self.line)

    def plain(self) -> "Stroke":
        """The same stroke without its ornament; a roll ends with its buzz or its diddles."""
        hit = self.hit
        length = None if hit.ornament in DOUBLED else hit.length
        return Stroke(Hit(hit.onset, hit.limb, hit.surface, hit.level, None, length), self.line)


class Hands:
    """What the hands strike in a row, by hand and place, while some of it makes room for one surface."""

    def __init__(self, row: Iterable[Stroke], to: str, span: Fraction) -> None:
        self.to, self.span = to, span
        self.struck = {(one.hit.limb, one.hit.onset): one for one in row if one.hit.limb.is_hand}
        self.away = {
            hand: sorted(at for (limb, at), one in self.struck.items() if limb == hand and steps(one.hit.surface, to))
            for hand in HAND_LIMBS
            if to
        }

    def all(self) -> list[Stroke]:
        """Every stroke."""
        return list(self.struck.values())

    def at(self, hand: Limb, onset: Fraction) -> Stroke | None:
        """What a hand strikes at an instant."""
        return self.struck.get((hand, onset))

    def add(self, stroke: Stroke) -> None:
        """One stroke more, on the surface room is made for."""
        self.struck[stroke.hit.limb, stroke.hit.onset] = stroke

    def remove(self, stroke: Stroke) -> None:
        """One stroke less."""
        del self.struck[stroke.hit.limb, stroke.hit.onset]
        if steps(stroke.hit.surface, self.to):
            self.away[stroke.hit.limb].remove(stroke.hit.onset)

    def room(self, hand: Limb, onset: Fraction) -> tuple[Fraction, Fraction]:
        """Quarters a hand has to its nearest strokes elsewhere, on the shorter side and on both together."""
        away = self.away[hand]
        if not away:
            return self.span, 2 * self.span
        index = bisect(away, onset)
        before = onset - (away[index - 1] if index else away[-1] - self.span)
        after = (away[index] if index < len(away) else away[0] + self.span) - onset
        return min(before, after), before + after


class Sheet:
    """The rows of a page on their way, and what is lost on it."""

    def __init__(self, patterns: Sequence[Pattern], line: Collection[Limb]) -> None:
        self.given = patterns
        self.rows = [[Stroke(hit, hit.limb in line) for hit in pattern.hits] for pattern in patterns]
        self.lost: Counter[tuple[str, Limb | None, str, str, str]] = Counter()

    def patterns(self) -> list[Pattern]:
        """The rows as patterns."""
        return [
            pattern.with_hits(stroke.hit for stroke in row)
            for row, pattern in zip(self.rows, self.given, strict=True)
        ]  # fmt: skip

    def losses(self) -> tuple[Loss, ...]:
        """What was lost, counted."""
        return tuple(Loss(*key, number) for key, number in self.lost.items())

    def all(self) -> Iterator[Stroke]:
        """Every stroke of every row."""
        return (stroke for row in self.rows for stroke in row)

    def used(self) -> set[tuple[Limb, str]]:
        """Who plays what."""
        return {(stroke.hit.limb, stroke.hit.surface) for stroke in self.all()}

    def lose(self, kind: str, limb: Limb | None = None, surface: str = "", to: str = "", how: str = "") -> None:
        """Count a stroke that is left out or played otherwise, as a :class:`Loss`."""
        self.lost[kind, limb, surface, to, how] += 1

    def each(self, change: Callable[[int, Stroke], Stroke | None]) -> None:
        """Change every stroke, or take it out."""
        self.rows = [
            [new for old in row if (new := change(number, old)) is not None]
            for number, row in enumerate(self.rows)
        ]  # fmt: skip
