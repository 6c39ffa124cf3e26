"""What falls together: the limbs that strike at one instant, where, and the few notes around it to loop.

A meeting is a set of two limbs or more that strike at once, one of them moving, at a place of the beat. A kernel is the
shortest stretch of whole or half beats around a meeting that holds two to four instants; looped by itself it is where a
unison is learned (common practice). It is shown where it stands in its bar, the rest of the bar empty, so that its
counts are those of the rows.
"""

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from itertools import groupby, pairwise
from typing import NamedTuple

from kitgen.apply.losses import name_of
from kitgen.apply.pulse import listed
from kitgen.kit import Limb
from kitgen.pattern import Pattern
from kitgen.time import Beat, Meters, syllable

LimbSet = frozenset[Limb]
_FEWEST, _MOST = 2, 4


class Meeting(NamedTuple):
    """Limbs that strike together, and at which part of the beat."""

    limbs: LimbSet
    place: Fraction


class Kernel(NamedTuple):
    """The notes around a meeting.

    Args:
        label: says what falls together and where, and what to loop.
        pattern: a bar that holds those notes only.
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


def meetings(pattern: Pattern, moving: Collection[Limb]) -> dict[Meeting, Fraction]:
    """Every set of limbs that strike at once with a moving one at a place of the beat, and where first, in order."""
    found: dict[Meeting, Fraction] = {}
    for limbs, onsets in collisions(pattern, moving).items():
        for onset in onsets:
            beat = pattern.meters.beat_at(onset)
            found.setdefault(Meeting(limbs, (onset - beat.start) / beat.length), onset)
    return dict(sorted(found.items(), key=lambda item: item[1]))


def kernels(pattern: Pattern, sets: Collection[Meeting], moving: Sequence[Limb]) -> tuple[Kernel, ...]:
    """The notes to loop around the first of each of some meetings, what loops alike told together.

    Where no stretch holds two to four instants there is none.

    >>> from kitgen.pattern import parse_rows
    >>> whole = parse_rows("LH snare x... x...; RF bass x..x x..x; LF hat-foot ..x. ..x.")
    >>> (found,) = kernels(whole, list(meetings(whole, [Limb.LH])), [Limb.LH])
    >>> found.label
    'left hand and bass together on 1; loop beat 1'
    >>> found.pattern == parse_rows("LH snare x... ....; RF bass x..x ....; LF hat-foot ..x. ....")
    True
    """
    met, labels = meetings(pattern, moving), dict[tuple[str, Pattern], list[str]]()
    for meeting in sets:
        at = met[meeting]
        beat = pattern.meters.beat_at(at)
        where = _counted(pattern.meters, beat, meeting.place)
        for stretch in _stretches(pattern.meters, beat, at):
            looped = _cut(pattern, stretch)
            if _FEWEST <= len(looped.onsets) <= _MOST:
                said = f"{_players(pattern, meeting.limbs, moving, at)} together on {where}"
                labels.setdefault((stretch.words, looped), []).append(said)
                break
    return tuple(Kernel(f"{'; '.join(said)}; loop {words}", looped) for (words, looped), said in labels.items())


class _Stretch(NamedTuple):
    start: Fraction
    end: Fraction
    words: str


def _cut(pattern: Pattern, stretch: _Stretch) -> Pattern:
    """A stretch of a pattern in its bar, nothing else in it."""
    bar = next(bar for bar in pattern.meters.bars if bar.start <= stretch.start < bar.end)
    inside = (hit.at(hit.onset - bar.start) for hit in pattern.hits if stretch.start <= hit.onset < stretch.end)
    return Pattern(tuple(inside), Meters(((bar.meter, bar.length),)), pattern.feel)


def _stretches(meters: Meters, beat: Beat, at: Fraction) -> Iterator[_Stretch]:
    """Stretches of a bar that hold an instant: its beat, with the next, with the one before, a share of it."""
    yield _Stretch(beat.start, beat.end, f"beat {beat.number}")
    for before, after in pairwise(meters.beats):
        if before.bar == after.bar and beat in (before, after):
            yield _Stretch(before.start, after.end, f"beats {before.number} and {after.number}")
    for parts, name in ((2, "half"), (4, "quarter")) if beat.meter.denominator < 8 else ((3, "third"),):
        part = beat.length / parts
        index = (at - beat.start) // part
        start = beat.start + index * part
        yield _Stretch(start, start + part, f"the {_ORDINALS[index]} {name} of beat {beat.number}")


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
