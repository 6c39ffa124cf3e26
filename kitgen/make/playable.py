"""A page's tempi, held against what its player can play."""

from dataclasses import replace
from fractions import Fraction
from math import floor
from typing import NamedTuple

from kitgen.errors import RefusedError
from kitgen.kit import PLAYERS, Player
from kitgen.page import Tempo
from kitgen.pattern import Pattern
from kitgen.pattern.findings import Finding
from kitgen.pattern.playability import fastest, playability
from kitgen.time import BPM_RANGE, unit_names

_STEP = 5


class Fitted(NamedTuple):
    """The tempi a page gets, and what the page says about them."""

    tempo: Tempo
    notes: tuple[str, ...] = ()


def fitted(
    pattern: Pattern,
    tempo: Tempo,
    *,
    player: Player,
    hand: str,
    said: bool,
    allow: bool,
    least: float = 0.0,
) -> Fitted:
    """Tempi at which a player can play a pattern.

    Tempi nobody asked for are lowered as far as it takes, to a multiple of 5, and the page says so; those asked for are
    kept.

    Args:
        pattern: the whole page, with its feel.
        tempo: what was asked for, or the usual.
        player: who plays.
        hand: hand setting of the kit.
        said: the tempo was asked for.
        allow: keep the page whatever is found, and say it there.
        least: quarters a minute below which the page makes no sense.

    Raises:
        RefusedError: it cannot be played at the tempo asked for, or at none; names the worst place and a way out.
    """
    goal = tempo.goal * float(tempo.unit)
    found = playability(pattern, player, goal, hand=hand)
    if not found:
        return Fitted(tempo if said else _narrowed(tempo, pattern, player, hand))
    if allow:
        return Fitted(tempo, tuple(f"not for {player.words} as it stands: {finding}" for finding in found))
    quarters = fastest(pattern, player, goal, hand=hand)
    bpm = floor(quarters / float(tempo.unit) + 1e-6)
    slowest = max(BPM_RANGE[0], tempo.low, least / float(tempo.unit))
    if said or bpm < slowest:
        better = _better(pattern, player, goal, hand)
        raise RefusedError(_refusal(found, bpm, tempo.unit, better))
    worst, bpm = min(found, key=lambda finding: finding.share), _even(bpm, slowest)
    return Fitted(
        replace(tempo, start=min(tempo.start, bpm), goal=bpm, high=bpm),
        (f"goal lowered to {bpm} for {player.words}: the {worst.limb.words} needs time",),
    )


def _even(bpm: int, slowest: float) -> int:
    """A tempo rounded down to one that stands on a metronome, in fives; as it is where that is too slow."""
    rounded = bpm - bpm % _STEP
    return rounded if rounded >= slowest else bpm


def _narrowed(tempo: Tempo, pattern: Pattern, player: Player, hand: str) -> Tempo:
    """A usual range that ends where the player does."""
    quarters = fastest(pattern, player, tempo.high * float(tempo.unit), hand=hand)
    high = floor(quarters / float(tempo.unit) + 1e-6)
    return tempo if high >= tempo.high else replace(tempo, high=max(tempo.goal, _even(high, tempo.goal)))


def _refusal(found: tuple[Finding, ...], bpm: int, unit: Fraction, better: str | None) -> str:
    worst = min(found, key=lambda finding: finding.share)
    others = len(found) - 1
    more = f", and {others} more limit{'s are' if others > 1 else ' is'} passed" if others else ""
    ways = [f"--tempo {bpm} ({unit_names(unit)}) is slow enough for all of it"] if bpm >= BPM_RANGE[0] else []
    ways += [way for way in worst.ways if "a minute" not in way]
    if better is not None:
        ways.append(f"--player {better} can play it")
    ways.append("make the page anyway with --allow-unplayable")
    return f"{worst.what}{more}; {', or '.join(ways)}"


def _better(pattern: Pattern, player: Player, goal: float, hand: str) -> str | None:
    """The next better of the built-in players who can play a pattern at the goal; None if neither can."""
    if player.name not in _LEVELS:
        return None
    better = _LEVELS[_LEVELS.index(player.name) + 1 :]
    return next((name for name in better if not playability(pattern, PLAYERS[name], goal, hand=hand)), None)


_LEVELS = ("beginner", "school", "advanced")
