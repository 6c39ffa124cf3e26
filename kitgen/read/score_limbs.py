"""Which limb strikes what a score does not tell.

The rule, common practice: pedals are the feet's, everything else the hands'; of two hands at once the right has the
cymbal and the left the snare, as the standard kit says. Where two want one hand, what comes first in the table of
surfaces takes the other. A written sticking comes first; ``B`` on one drum is both hands on it. Drums struck one by
one, three or more in a row no further apart than an eighth, alternate, the right hand on numbers and "&" to begin with.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from kitgen.errors import ReadError
from kitgen.kit import SURFACES, Limb, kit
from kitgen.kit.places import BOUNCING
from kitgen.pattern import Hit
from kitgen.time import Meters, count_name

_ORDER = {label: rank for rank, label in enumerate(SURFACES)}
_STANDARD = kit("standard")
_ALTERNATING = BOUNCING | {"rim-shot"}
_APART, _IN_A_ROW = Fraction(1, 2), 3

Wanted = Mapping[str, str]
"""The sticking at each surface of an instant, by its label: ``R``, ``L``, ``B`` or empty."""


def limbs_at(at: Fraction, wanted: Wanted, meters: Meters) -> tuple[tuple[str, Limb], ...]:
    """The strokes of one instant, as surfaces with limbs.

    Raises:
        ReadError: more surfaces than hands, or than feet; names bar and count.
    """
    stickings = _on_hands(wanted)
    both = [label for label, letter in stickings.items() if letter == "B"]
    if both:
        return *((both[0], limb) for limb in (Limb.RH, Limb.LH)), *_placed(at, _feet(wanted), meters).items()
    return tuple(_placed(at, stickings, meters).items())


def _feet(wanted: Wanted) -> dict[str, str]:
    return {label: "" for label in wanted if not _STANDARD.limb_for(label).is_hand}


def _on_hands(wanted: Wanted) -> dict[str, str]:
    """The stickings; one at a foot goes to the only hand there, and both hands only where there is one surface."""
    hands = [label for label in wanted if _STANDARD.limb_for(label).is_hand]
    letters = [letter for letter in wanted.values() if letter]
    if len(hands) == 1 and letters:
        return {label: letters[0] if label in hands else "" for label in wanted}
    return {label: letter if label in hands and letter != "B" else "" for label, letter in wanted.items()}


def _placed(at: Fraction, wanted: Wanted, meters: Meters) -> dict[str, Limb]:
    found: dict[str, Limb] = {}
    taken: set[Limb] = set()
    for label in sorted(wanted, key=lambda label: (not wanted[label], -_ORDER[label])):
        usual = _STANDARD.limb_for(label)
        if usual.is_hand and wanted[label]:
            usual = Limb[f"{wanted[label]}H"]
        limb = usual.mirrored if usual in taken else usual
        if limb in taken:
            kind = "hand" if limb.is_hand else "foot"
            together = [other for other in wanted if _STANDARD.limb_for(other).is_hand == limb.is_hand]
            raise ReadError(
                f"{count_name(meters, at)}: {', '.join(together)} together need a third {kind}; take one away"
            )
        taken.add(limb)
        found[label] = limb
    return found


def alternated(hits: Sequence[Hit], settled: frozenset[Fraction]) -> list[Hit]:
    """The hits, runs of single strokes on drums with alternating hands.

    Args:
        hits: the hits in time order.
        settled: instants whose hands the score tells.
    """
    by_hand: dict[Fraction, list[int]] = {}
    for place, hit in enumerate(hits):
        if hit.limb.is_hand:
            by_hand.setdefault(hit.onset, []).append(place)
    found, run = list(hits), list[int]()
    for at, places in [*by_hand.items(), (Fraction(-1), [])]:
        alone = len(places) == 1 and hits[places[0]].surface in _ALTERNATING and at not in settled
        if not alone or (run and at - hits[run[-1]].onset > _APART):
            _alternate(found, run)
            run = []
        run = [*run, *places] if alone else run
    return found


def _alternate(hits: list[Hit], run: Sequence[int]) -> None:
    """Give the strokes of a run to the hands in turn, if there are enough of them."""
    if len(run) < _IN_A_ROW:
        return
    limb = Limb.RH if (hits[run[0]].onset * 2).denominator == 1 else Limb.LH
    for place in run:
        hits[place] = replace(hits[place], limb=limb)
        limb = limb.mirrored
