"""How the bars of a score become whole bars under a map of meters.

Conventions: quarters, exact; places inside a bar count from its start. The rules for incomplete bars are the project's
own and stand at :func:`laid_out`.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace
from fractions import Fraction

from kitgen.errors import ReadError
from kitgen.line import Mark
from kitgen.read.score_written import Notehead, ScoreBar
from kitgen.time import Meter, Meters

_COMMON_TIME = Meter(4, 4)
_UNITS_TRIED = (4, 8, 16, 32, 64, 2, 1)


def full_span(meter: Meter | None) -> Fraction:
    """How long a bar is meant to be: without a meter, as in 4/4."""
    return (meter or _COMMON_TIME).span


def length_of_bar(own: Fraction, rest: Fraction | None, others: Fraction, meter: Meter | None) -> Fraction:
    """How long a bar is, from what stands in it.

    Args:
        own: how far the part's notes, rests and gaps reach.
        rest: how long a rest for the whole bar says it is, None where there is none.
        others: how far the other parts reach in the same bar.
        meter: the meter in force.

    Returns:
        What the part itself fills. Where that is short of the meter, another part that is fuller counts, up to
        the meter; a rest for the whole bar is as long as the other parts, else as the meter at most.
    """
    full = full_span(meter)
    if own >= full:
        return own
    if own:
        return max(own, min(full, others))
    if others:
        return others
    return min(rest, full) if rest else Fraction(0)


def laid_out(bars: Sequence[ScoreBar]) -> tuple[Meters, tuple[Fraction, ...]]:
    """Whole bars under a map of meters, and where each written bar starts in it.

    An incomplete first bar (of several) is filled with rest in front; a short bar and the short bar after it
    that complete each other are one bar; an incomplete last bar is filled up with rest; any other bar of
    irregular length has its own meter; an empty bar is a bar of rest. Bars without a meter are 4/4 if that fits
    all of them, else each has its own.
    """
    metered = _with_meters(bars)
    runs: list[tuple[Meter, Fraction]] = []
    starts: list[Fraction] = []
    at, index = Fraction(0), 0
    while index < len(metered):
        lead, run, used = _next_bar(metered, index)
        for bar in metered[index : index + used]:
            starts.append(at + lead)
            lead += bar.length
        runs += run
        at += sum(length for _, length in run)
        index += used
    return Meters(tuple(runs)), tuple(starts)


_Runs = tuple[tuple[Meter, Fraction], ...]


def _next_bar(bars: Sequence[ScoreBar], index: int) -> tuple[Fraction, _Runs, int]:
    """The whole bar that starts with a written one: rest in front, its meters, how many written bars are in it."""
    bar, none = bars[index], Fraction(0)
    meter = bar.meter or _COMMON_TIME
    whole: _Runs = ((meter, meter.span),)
    if bar.length in (0, meter.span):
        return none, whole, 1
    if bar.length < meter.span:
        last = index + 1 == len(bars)
        if index == 0 and not last:
            return meter.span - bar.length, whole, 1
        if last:
            return none, whole, 1
        following = bars[index + 1]
        if following.meter == bar.meter and following.length and bar.length + following.length == meter.span:
            return none, whole, 2
    return none, own_meter(bar.length, like=meter, number=bar.number), 1


def own_meter(length: Fraction, *, like: Meter, number: str = "") -> _Runs:
    """The meters of a bar of irregular length: one that fits, in the usual unit where possible.

    A bar too long for one meter is written as bars of 4/4 and what is left over.

    Raises:
        ReadError: no meter has such a length.

    >>> [str(meter) for meter, _ in own_meter(Fraction(7, 2), like=Meter(4, 4))]
    ['7/8']
    """
    for unit in (like.denominator, *_UNITS_TRIED):
        count = length * unit / 4
        if count.denominator == 1 and count <= 64:
            return ((Meter(int(count), unit), length),)
    whole = Fraction(length // 4 * 4)
    if whole and whole != length:
        return ((_COMMON_TIME, whole), *own_meter(length - whole, like=_COMMON_TIME, number=number))
    if whole:
        return ((_COMMON_TIME, whole),)
    raise ReadError(f"bar {number} lasts {length} quarters, which is no meter; fill it up to a whole number of 64ths")


def _with_meters(bars: Sequence[ScoreBar]) -> list[ScoreBar]:
    """The bars with a meter each: where the score gives none, 4/4 if it fits, else the bar's own."""
    unmetered = [bar for bar in bars if bar.meter is None]
    if all(bar.length in (0, 4) for bar in unmetered[1:-1]) and all(bar.length <= 4 for bar in unmetered):
        return [replace(bar, meter=bar.meter or _COMMON_TIME) for bar in bars]
    return [bar if bar.meter else _with_own_meter(bar) for bar in bars]


def _with_own_meter(bar: ScoreBar) -> ScoreBar:
    runs = own_meter(bar.length or _COMMON_TIME.span, like=_COMMON_TIME, number=bar.number)
    return replace(bar, meter=runs[0][0])


def struck(bars: Sequence[ScoreBar], starts: Sequence[Fraction]) -> Iterator[tuple[Fraction, Notehead]]:
    """Every notehead that is struck, with its place on the map and its whole length, ties joined.

    A tie joins a notehead to one of the same pitch that starts where it ends; a tie that leads nowhere or comes
    from nowhere joins nothing, and the note is struck.
    """
    found: list[tuple[Fraction, Notehead]] = []
    open_ties: defaultdict[tuple[str, Fraction], list[int]] = defaultdict(list)
    for bar, start in zip(bars, starts, strict=True):
        for head in bar.noteheads:
            at = start + head.at
            tied = open_ties[head.pitch, at] if head.tied_from else []
            if tied:
                place = tied.pop(0)
                first_at, first = found[place]
                found[place] = (first_at, replace(first, length=at + head.length - first_at))
            else:
                place = len(found)
                found.append((at, head))
            if head.tied_to:
                open_ties[head.pitch, at + head.length].append(place)
    return iter(sorted(found, key=lambda item: (item[0], item[1].voice)))


def with_graces(
    heads: Sequence[Notehead], graces: Mapping[tuple[Fraction, int], Sequence[str]]
) -> tuple[Notehead, ...]:
    """The noteheads of a bar in order, each with the grace notes before it.

    Args:
        heads: the noteheads as they come, chords in their own order.
        graces: pitches of the grace notes before each (place, voice). In a chord they belong to the notehead of
            the same pitch, else to its first.
    """
    ordered = sorted(heads, key=lambda head: (head.at, head.voice))
    for place, pitches in graces.items():
        chord = [index for index, head in enumerate(ordered) if (head.at, head.voice) == place]
        if chord:
            owner = next((index for index in chord if ordered[index].pitch in pitches), chord[0])
            ordered[owner] = replace(ordered[owner], graces=len(pitches))
    return tuple(ordered)


_SHORT = frozenset({"staccato", "staccatissimo", "spiccato", "strong-accent", "stacc", "stacciss", "spicc", "marc"})
_LONG = frozenset({"tenuto", "ten"})
_BOTH = frozenset({"detached-legato", "ten-stacc", "stacc-ten"})


def mark_of(names: AbstractSet[str]) -> Mark:
    """What articulations say about length, by their MusicXML or MEI names.

    A dot, a wedge and ``^`` make a note short, a tenuto long; both at once, or a tenuto under an accent, leave it
    to the written length.

    >>> mark_of({"tenuto"}), mark_of({"tenuto", "accent"}), mark_of({"strong-accent", "tenuto"})
    (<Mark.LONG: 'long'>, <Mark.NONE: ''>, <Mark.SHORT: 'short'>)
    """
    if names & {"strong-accent", "marc"}:
        return Mark.SHORT
    short, long = bool(names & (_SHORT | _BOTH)), bool(names & (_LONG | _BOTH))
    if short == long:
        return Mark.NONE
    if short:
        return Mark.SHORT
    return Mark.NONE if names & {"accent", "acc"} else Mark.LONG
