"""A percussion part's bars as hits on surfaces.

Conventions: quarters, exact; a notehead's MIDI key names its surface. Limbs are those the score
tells of all notes of an instant, else those of the standard kit, a written sticking first; where two hand surfaces want
one hand, the one that comes first in the table of surfaces takes the other. ``>`` and ``^`` are accents, parentheses
ghost strokes; of other notes a velocity, where there is one, tells taps and feathered strokes. One grace note is a
flam, two or three a drag; a tremolo of one stroke is a diddle, any other a buzz.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby
from operator import itemgetter

from kitgen.errors import ReadError
from kitgen.kit import GM_PERCUSSION, SURFACES, Limb, kit, surface_of_key
from kitgen.pattern import Hit, Level, Ornament, Pattern
from kitgen.pattern.take import level_of
from kitgen.read.score_bars import Notehead, ScoreBar, laid_out, struck
from kitgen.time import Meters, count_name

_ORDER = {label: rank for rank, label in enumerate(SURFACES)}
_STANDARD = kit("standard")


def pattern_of(bars: Sequence[ScoreBar]) -> Pattern | None:
    """The pattern a part plays, its bars taken in the order given; None where no note has a surface.

    Raises:
        ReadError: a note whose key has no surface among others that do; a third hand or foot at one instant.
        PatternError: grace notes for which the other hand is not free.
    """
    meters, starts = laid_out(bars)
    notes = list(struck(bars, starts))
    if not any(_label(head) for _, head in notes):
        return None
    hits: list[Hit] = []
    for at, together in groupby(notes, key=itemgetter(0)):
        hits += _hits(at, [head for _, head in together], meters)
    return Pattern(tuple(hits), meters)


def _label(head: Notehead) -> str:
    surface = None if head.key is None else surface_of_key(head.key)
    return "" if surface is None else surface.label


def _hits(at: Fraction, heads: list[Notehead], meters: Meters) -> Iterator[Hit]:
    """The hits of one instant; the same surface written in two voices is struck once."""
    if all(head.limb and _label(head) for head in heads):
        told = {Limb[head.limb]: head for head in reversed(heads)}
        accent = any(head.accent for head in heads)
        for limb, head in told.items():
            yield Hit(at, limb, _label(head), _level(head, under_accent=accent), _ornament(head))
        return
    by_label: dict[str, Notehead] = {}
    for head in heads:
        label = _label(head)
        if not label:
            name = "no key" if head.key is None else f"MIDI key {head.key} ({GM_PERCUSSION.get(head.key, 'unknown')})"
            raise ReadError(
                f"{count_name(meters, at)}: a note has {name}, which is no surface; the keys that are: "
                + ", ".join(f"{row.key} {row.label}" for row in sorted(SURFACES.values(), key=lambda row: row.key))
            )
        known = by_label.get(label, head)
        by_label[label] = replace(
            known,
            accent=known.accent or head.accent,
            ghost=known.ghost and head.ghost,
            graces=max(known.graces, head.graces),
            ornament=known.ornament or head.ornament,
        )
    for label, limb in _limbs(at, by_label, meters).items():
        yield Hit(at, limb, label, _level(by_label[label]), _ornament(by_label[label]))


def _limbs(at: Fraction, heads: dict[str, Notehead], meters: Meters) -> dict[str, Limb]:
    """A limb for each surface struck at one instant."""
    found: dict[str, Limb] = {}
    taken: set[Limb] = set()
    for label in sorted(heads, key=lambda label: (not heads[label].sticking, -_ORDER[label])):
        usual = _STANDARD.limb_for(label)
        if usual.is_hand and heads[label].sticking in ("R", "L"):
            usual = Limb[f"{heads[label].sticking}H"]
        limb = usual.mirrored if usual in taken else usual
        if limb in taken:
            kind = "hand" if limb.is_hand else "foot"
            together = [other for other in heads if _STANDARD.limb_for(other).is_hand == limb.is_hand]
            raise ReadError(
                f"{count_name(meters, at)}: {', '.join(together)} together need a third {kind}; take one away"
            )
        taken.add(limb)
        found[label] = limb
    return found


def _level(head: Notehead, *, under_accent: bool = False) -> Level:
    """How loud a head is; one accent may stand for all heads of an instant that are loud enough."""
    heard = Level.NORMAL if head.loudness is None else level_of(round(head.loudness))
    if head.accent or (under_accent and heard is Level.ACCENT):
        return Level.ACCENT
    if head.ghost:
        return Level.GHOST
    return Level.TAP if heard is Level.GHOST else min(heard, Level.NORMAL)


def _ornament(head: Notehead) -> Ornament | None:
    if head.graces:
        return Ornament.FLAM if head.graces == 1 else Ornament.DRAG
    return head.ornament
