"""What a player cannot play, in words for people: where, how much time there is, how much is needed, and ways out."""

from fractions import Fraction
from typing import NamedTuple

from kitgen.kit import Limb, Player
from kitgen.time import Meters, count_name


class Finding(NamedTuple):
    """Something a player cannot play.

    Args:
        rule: what is broken: ``absent``, ``two``, ``few``, ``sustained``, ``travel``, ``stays``, ``single``,
            ``rebound``, ``buzz``, ``graces``, ``crossed``, ``hat-held``, ``hat-soon`` or ``hat-left``.
        limb: whose stroke it is.
        onset: quarters from the start of the pattern.
        gap: milliseconds there are; 0 where time does not matter.
        limit: milliseconds the player needs; 0 where time does not matter.
        words: what is wrong, with bar, count and numbers.
        ways: ways out, the tempo that would do first if one would.
        places: at how many places the same limb breaks the same rule.
        part: what part of the tempo would do, where that is another than ``gap / limit``: with graces, which do not
            slow down with it, and where a slower second stroke is a rebound; 0 where none would.
    """

    rule: str
    limb: Limb
    onset: Fraction
    gap: float
    limit: float
    words: str
    ways: tuple[str, ...] = ()
    places: int = 1
    part: float | None = None

    @property
    def share(self) -> float:
        """What part of the tempo would do, less than 1; 0 where no tempo would."""
        if self.part is not None:
            return self.part
        return self.gap / self.limit if self.limit else 0.0

    @property
    def what(self) -> str:
        """What is wrong, without the ways out, and at how many places."""
        more = self.places - 1
        return self.words + (f" (and at {more} more place{'s' if more > 1 else ''})" if more else "")

    def __str__(self) -> str:
        return f"{self.what}; {', or '.join(self.ways)}"


def in_words(found: Finding, player: Player, meters: Meters, slower: str) -> Finding:
    """A finding with its sentence and its ways out.

    Args:
        found: the finding; its words are the surface, or both surfaces of a way.
        player: who plays.
        meters: the meters it stands under.
        slower: the way out by tempo; empty where there is none.
    """
    limb, need = found.limb, f"{player.words} needs {found.limit:.0f}"
    what, ways = _WORDS[found.rule]
    if found.limit:
        what = _TIMED.get(found.rule, what)
    sentence = what.format(
        limb=f"{limb.words} ({limb.name})",
        other=f"{limb.mirrored.words} ({limb.mirrored.name})",
        surface=found.words,
        gap=f"{found.gap:.0f}",
        need=need,
        name=player.words,
    )
    outs = [slower, *(ways if limb.is_hand else _FOOT_WAYS.get(found.rule, ways))]
    if not player.plays(limb.mirrored):
        outs = [way for way in outs if "{other}" not in way]
    outs = [way.format(other=limb.mirrored.words, surface=found.words) for way in outs if way]
    return found._replace(
        words=f"{count_name(meters, found.onset)}: {sentence}", ways=tuple(outs or ["leave a stroke out"])
    )


_OTHER = "give a stroke of them to the {other}"
_WORDS: dict[str, tuple[str, list[str]]] = {
    "absent": ("the {limb} would play {surface}, and that limb of {name} does not play", ["give it to the {other}"]),
    "two": ("the {limb} has {gap} ms between two strokes on {surface}; {need}", [_OTHER]),
    "few": ("the {limb} has {gap} ms a stroke for three or four in a row; {need}", [_OTHER]),
    "sustained": ("the {limb} has {gap} ms a stroke for a bar or more; {need}", [_OTHER]),
    "travel": ("the {limb} has {gap} ms from {surface}; {need}", [_OTHER, "stay on one surface"]),
    "stays": (
        "the {limb} would move to {surface}, and that limb of {name} stays on one surface",
        ["give it to the {other}", "keep to one surface with --surface"],
    ),
    "single": ("a {surface}, and the {limb} of {name} plays single strokes only",
               ["leave the ornament out"]),
    "rebound": ("a drag on {surface} needs a bounce of the {limb}, which {name} has not yet",
                ["make it a flam", "leave it out"]),
    "buzz": ("the buzz of the {limb} on {surface} has {gap} ms of room; {need}", ["leave the buzz out"]),
    "graces": ("the graces on {surface} are for the {other}, and that limb of {name} does not play",
               ["leave them out"]),
    "crossed": ("the hands cross too far, {limb} on {surface}", ["let the {other} play it", "choose a nearer surface"]),
    "hat-held": ("the {limb} strikes the hat under a hand on it, which it has to hold",
                 ["move the hand to the ride", "rest the foot"]),
    "hat-soon": ("the {limb} stamps the hat {gap} ms after a hand stroke on it; {need}",
                 ["move the hand to the ride"]),
    "hat-left": ("the {limb} plays {surface} and cannot hold the hat under the hand on it",
                 ["move the hand to the ride", "give {surface} to the {other}"]),
}  # fmt: skip
_TIMED = {
    "crossed": "the hands cross too far in {gap} ms, {limb} on {surface}; {need}",
    "hat-left": "the {limb} plays {surface} {gap} ms from a hand stroke on the hat, which it has to hold; {need}",
}
"""What is said where a slower tempo would do."""
_FOOT_WAYS: dict[str, list[str]] = {
    "two": ["leave one of them out", "give it to a hand"],
    "few": ["leave one of them out", "give it to a hand"],
    "sustained": ["leave some of them out", "give the line to a hand"],
    "travel": ["leave one of them out"],
    "absent": ["leave it out", "give it to the {other}"],
}
