"""Where it is said which hand strikes."""

from collections import defaultdict
from fractions import Fraction

from kitgen.kit import Limb
from kitgen.pattern import Pattern
from kitgen.spell.voices import TIME_KEEPERS


def shows_hands(pattern: Pattern, stickings: str) -> bool:
    """True if R and L are printed under a pattern.

    ``all`` and ``none`` are what they say. ``auto`` prints them where the hands take turns on a drum and neither keeps
    time, since then nothing else on the staff says which hand it is (common practice).

    Args:
        pattern: a row.
        stickings: one of :data:`kitgen.spell.choices.STICKINGS`.
    """
    return stickings == "all" or (stickings == "auto" and take_turns(pattern))


def take_turns(pattern: Pattern) -> bool:
    """True if both hands strike one drum, not always together, and neither strikes anything that keeps time."""
    struck: dict[str, dict[Limb, set[Fraction]]] = defaultdict(lambda: defaultdict(set))
    for hit in pattern.hits:
        if hit.limb.is_hand:
            if hit.surface in TIME_KEEPERS:
                return False
            struck[hit.surface][hit.limb].add(hit.onset)
    return any(len(by) == 2 and by[Limb.RH] != by[Limb.LH] for by in struck.values())
