"""What falls together: the limbs that strike at one instant, where, and the few notes around it to loop.

A collision is a set of two limbs or more that strike at once, one of them moving. A kernel is the shortest stretch of
whole or half beats around a collision that holds two to four instants; looped by itself it is where a unison is learned
(common practice).
"""

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from typing import NamedTuple

from kitgen.apply.losses import name_of
from kitgen.apply.pulse import listed
from kitgen.kit import Limb
from kitgen.pattern import Pattern
from kitgen.time import Beat, Meter, Meters, syllable

LimbSet = frozenset[Limb]
_FEWEST, _MOST = 2, 4


class Kernel(NamedTuple):
    """The notes around a collision.

    Args:
        label: says what falls together and where.
        pattern: a short pattern of its own meter.
    """

    label: str
    pattern: Pattern


def collisions(pattern: Pattern, moving: Collection[Limb]) -> dict[LimbSet, tuple[Fraction, ...]]:
    """Every set of limbs that strike at once with a moving one, and where, in order of place."""
    found: dict[LimbSet, list[Fraction]] = {}
    for onset, hits in groupby(pattern.hits, key=lambda hit: hit.onset):
        limbs = frozenset(hit.limb for hit in hits)
        if len(limbs) > 1 and limbs & set(moving):
            found.setdefault(limbs, []).append(onset)
    return {limbs: tuple(onsets) for limbs, onsets in found.items()}


def together_notes(pattern: Pattern, moving: Sequence[Limb]) -> tuple[str, ...]:
    """What a page says of unisons, a sentence for each set of limbs; one where there are none.

    Args:
        pattern: the cell on every beat, over everything else.
        moving: the limbs that move, the others go on by themselves.

    >>> from kitgen.pattern import parse_rows
    >>> together_notes(parse_rows("LH snare x..x x..x; RF bass x... x..."), [Limb.LH])
    ('together, no flam: left hand and bass on every number',)
    """
    met = collisions(pattern, moving)
    if not met:
        who = " and ".join(limb.words for limb in moving)
        return (f"nothing falls together: the {who} play{'s' if len(moving) < 2 else ''} in between",)
    return tuple(
        f"together, no flam: {_players(pattern, limbs, moving, onsets[0])} on {_where(pattern.meters, onsets)}"
        for limbs, onsets in met.items()
    )


def kernels(pattern: Pattern, sets: Collection[LimbSet], moving: Sequence[Limb]) -> tuple[Kernel, ...]:
    """The notes to loop around the first collision of each of some sets of limbs, what loops alike told together.

    Where no stretch holds two to four instants there is none.

    >>> from kitgen.pattern import parse_rows
    >>> whole = parse_rows("LH snare x... x...; RF bass x..x x..x; LF hat-foot ..x. ..x.")
    >>> (found,) = kernels(whole, [frozenset({Limb.LH, Limb.RF})], [Limb.LH])
    >>> found.label, str(found.pattern.meters), len(found.pattern.hits)
    ('left hand and bass together, as on 1', '1 x 1/4', 4)
    """
    met, labels = collisions(pattern, moving), dict[Pattern, list[str]]()
    for limbs in sets:
        at = met[limbs][0]
        beat = pattern.meters.beat_at(at)
        where = _counted(pattern.meters, beat, (at - beat.start) / beat.length)
        for stretch in _stretches(pattern.meters, beat, at):
            looped = _cut(pattern, *stretch)
            if _FEWEST <= len(looped.onsets) <= _MOST:
                labels.setdefault(looped, []).append(f"{_players(pattern, limbs, moving, at)} together, as on {where}")
                break
    return tuple(Kernel("; ".join(words), looped) for looped, words in labels.items())


def _cut(pattern: Pattern, start: Fraction, length: Fraction) -> Pattern:
    """A stretch of a pattern as a bar of its own."""
    inside = (hit.at(hit.onset - start) for hit in pattern.hits if start <= hit.onset < start + length)
    meter = _meter_of(length, pattern.meters.beat_at(start).meter)
    return Pattern(tuple(inside), Meters.of(meter), pattern.feel)


def _stretches(meters: Meters, beat: Beat, at: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
    """Stretches that hold an instant: its beat, with the next, with the one before, the half it is in, a quarter."""
    yield beat.start, beat.length
    if beat.end + beat.length <= meters.span:
        yield beat.start, 2 * beat.length
    if beat.start >= beat.length:
        yield beat.start - beat.length, 2 * beat.length
    for share in (Fraction(1, 2), Fraction(1, 4)) if beat.meter.denominator < 8 else (Fraction(1, 3),):
        part = beat.length * share
        yield beat.start + (at - beat.start) // part * part, part


def _meter_of(length: Fraction, meter: Meter) -> Meter:
    """A bar that is a stretch, in the unit of its meter or a finer one."""
    below = meter.denominator
    while (length * below / 4).denominator > 1:
        below *= 2
    return Meter(int(length * below / 4), below)


# ---- words -----------------------------------------------------------------------------------------------------------


def _players(pattern: Pattern, limbs: LimbSet, moving: Sequence[Limb], at: Fraction) -> str:
    """Who falls together: moving limbs by name, the others by what they strike."""
    struck = {hit.limb: hit for hit in pattern.hits if hit.onset == at}
    own = [limb.words for limb in moving if limb in limbs]
    return listed([*own, *(name_of(struck[limb].surface) for limb in sorted(limbs) if limb not in moving)])


def _where(meters: Meters, onsets: Sequence[Fraction]) -> str:
    """Counts of a bar: ``every number``, ``every a`` where a place is met in every beat, else ``1 and the & of 2``."""
    by_place: dict[Fraction, list[Beat]] = {}
    for onset in onsets:
        beat = meters.beat_at(onset)
        by_place.setdefault((onset - beat.start) / beat.length, []).append(beat)
    every = {place for place, beats in by_place.items() if len(beats) == len(meters.beats)}
    words = ["every number" if not place else f"every {_said(meters.beats[0], place)}" for place in sorted(every)]
    for onset in onsets:
        beat = meters.beat_at(onset)
        if (place := (onset - beat.start) / beat.length) not in every:
            words.append(_counted(meters, beat, place))
    return listed(words)


def _counted(meters: Meters, beat: Beat, place: Fraction) -> str:
    said = str(beat.number) if not place else f"the {_said(beat, place)} of {beat.number}"
    return said if len(meters.bars) == 1 else f"{said} in bar {beat.bar}"


def _said(beat: Beat, place: Fraction) -> str:
    """A place of a beat as it is counted, or as the stroke of so many that it is."""
    said = syllable(beat, place)
    parts = place.denominator
    if said == "ta" or parts in (5, 7, 9):
        return f"{_ORDINALS[place.numerator]} of {parts}"
    return said


_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")
