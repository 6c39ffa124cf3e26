"""What a student must have learned before a page is playable, read from its notes.

Elements are short texts, the kind first. Of each row, its voices (a voice is a limb, or hands that act as one):

- ``ostinato samba``: a named ostinato kept from the row's first bar to its last; its limbs give nothing else. Of two
  kept at once there is also ``ostinato hat-2-4 with ride-rock``. A limb that moves in one row of a page and happens to
  make an ostinato in another moves there as well.
- ``cell LH x.xx over samba``: what a voice does in one beat, on the fewest boxes that show it, over what the row keeps;
  ``cell LH x.xx`` where it keeps nothing. ``cell hands x.xx``: both hands on one surface and never together, in the
  row or on the whole page. ``cell RH+LH x``: both hands always together.
- ``sound LH snare``: a limb and what it strikes.
- ``change 3-4``: neighbouring beats of a bar that a voice divides in ways that do not fit into each other.
- ``against 3:2``: two limbs that spread so many strokes evenly over the same time, twice running or more.
- ``parts RH+LH+RF``: the voices of a row that move (what an ostinato holds does not), where there are two or more and
  some of them meet; ``turns RH+LH+RF`` where no two ever meet. A foot tapping the floor is the pulse, and no part.
- ``ornament flam``; ``contrast soft-accent``: accents beside taps or feathered strokes of one voice; ``contrast
  ghost``: ghost notes beside louder strokes of one voice.
- ``rest 4 bars``: so many bars, four or more, in which nothing plays but limbs that do the same in every bar.

Of the page: ``meter 6/8``, ``feel swing eighths``, ``application linear`` (said by its recipe, once that has been
verified), and what lengths show beyond cells: see :mod:`kitgen.page.written`. Kernels add nothing: what they
loop stands in the rows.
"""

from bisect import bisect_left
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import combinations, groupby, pairwise
from math import gcd, lcm
from typing import NamedTuple

from kitgen.kit import HAND_LIMBS, Limb
from kitgen.page.kept import kept_in_rows
from kitgen.page.value import Page
from kitgen.page.written import held_elements, written_elements
from kitgen.pattern import Hit, Level, Pattern
from kitgen.time import Meters

LONG_REST = 4
"""Bars from which a rest is an element: counting it is a task of its own."""

_SOFT = frozenset({Level.TAP, Level.FEATHER})
_PULSE = "floor"
_UNITS = {8: "eighths", 16: "sixteenths"}


class Voice(NamedTuple):
    """What is learned as one: a limb's strokes, or those of hands that act as one."""

    name: str
    hits: tuple[Hit, ...]


def elements_of(
    page: Page, *, ostinatos: Mapping[str, Pattern] | None = None, application: str | None = None
) -> tuple[str, ...]:
    """The elements of a page, sorted.

    Args:
        page: the page.
        ostinatos: patterns to look for in it, by name.
        application: the application its recipe names, once that has been verified.

    Raises:
        LineError: the page's line cannot be read under its meter.
    """
    found = {f"meter {meter}" for row in page.rows for meter, _ in row.pattern.meters.runs}
    if page.feel.unit:
        found.add(f"feel swing {_UNITS[page.feel.unit]}")
    if application:
        found.add(f"application {application}")
    found.update(written_elements(page.line, page.bars[0].meter))
    kept = kept_in_rows(page, ostinatos or {})
    held = [{limb for name in names for limb in (ostinatos or {})[name].limbs} for names in kept]
    free = [
        [hit for hit in row.pattern.hits if hit.limb not in limbs] for row, limbs in zip(page.rows, held, strict=True)
    ]
    as_one = _one_voice([hits for hits in free if hits])
    for row, names, limbs, hits in zip(page.rows, kept, held, free, strict=True):
        found.update(f"ostinato {name}" for name in {*names, " with ".join(names)} if name)
        found.update(_of_row(row.pattern, voices_of(hits, as_one=as_one), " with ".join(names)))
        found.update(_against(row.pattern, limbs))
    return tuple(sorted(found))


def _of_row(pattern: Pattern, voices: Sequence[Voice], over: str) -> Iterator[str]:
    over = over and f" over {over}"
    for voice in voices:
        beats = _beats_of(voice.hits, pattern.meters)
        yield from {f"cell {voice.name} {_boxes(places)}{over}" for places in beats.values()}
        yield from _changes(beats, pattern.meters)
        yield from held_elements(voice.hits, pattern.meters)
        yield from {f"sound {hit.limb.name} {hit.surface}" for hit in voice.hits}
        yield from _contrasts({hit.level for hit in voice.hits})
    yield from _parts_played(voices)
    yield from {f"ornament {hit.ornament.value}" for hit in pattern.hits if hit.ornament is not None}
    if rest := longest_rest_bars(pattern):
        yield f"rest {rest} bars"


def _contrasts(levels: Collection[Level]) -> Iterator[str]:
    if Level.ACCENT in levels and not _SOFT.isdisjoint(levels):
        yield "contrast soft-accent"
    if Level.GHOST in levels and max(levels) > Level.GHOST:
        yield "contrast ghost"


def _parts_played(voices: Sequence[Voice]) -> Iterator[str]:
    """The voices of a row that are put together, at once or in turn."""
    parts = [voice for voice in voices if any(hit.surface != _PULSE for hit in voice.hits)]
    if len(parts) > 1:
        onsets = [{hit.onset for hit in voice.hits} for voice in parts]
        meet = len(set[Fraction]().union(*onsets)) < sum(map(len, onsets))
        yield f"{'parts' if meet else 'turns'} {'+'.join(voice.name for voice in parts)}"


# ---- voices ----------------------------------------------------------------------------------------------------------


def voices_of(hits: Collection[Hit], *, as_one: bool = False) -> tuple[Voice, ...]:
    """The voices of some hits of one row.

    Args:
        hits: the hits, without those of an ostinato.
        as_one: a hand by itself here is one of two that act as one elsewhere on the page.
    """
    by_limb = {limb: tuple(hit for hit in hits if hit.limb == limb) for limb in Limb}
    right, left = (by_limb[hand] for hand in HAND_LIMBS)
    hands = tuple(hit for hit in hits if hit.limb in HAND_LIMBS)
    feet = [Voice(limb.name, own) for limb, own in by_limb.items() if own and not limb.is_hand]
    if hands and (as_one or _one_voice([hands])):
        return (Voice("hands", hands), *feet)
    if right and [hit.onset for hit in right] == [hit.onset for hit in left]:
        return (Voice("RH+LH", hands), *feet)
    return (*(Voice(hand.name, by_limb[hand]) for hand in HAND_LIMBS if by_limb[hand]), *feet)


def _one_voice(rows: Iterable[Collection[Hit]]) -> bool:
    """True where in some rows both hands strike, all on one surface, and never together."""
    surfaces, limbs = set[str](), set[Limb]()
    for hits in rows:
        hands = [hit for hit in hits if hit.limb in HAND_LIMBS]
        surfaces |= {hit.surface for hit in hands}
        limbs |= {hit.limb for hit in hands}
        if len(surfaces) > 1 or len({hit.onset for hit in hands}) < len(hands):
            return False
    return len(limbs) == len(HAND_LIMBS)


# ---- cells -----------------------------------------------------------------------------------------------------------


def cells_of(pattern: Pattern, limb: Limb) -> tuple[str, ...]:
    """What a limb does in each beat it plays in, as boxes, each kind once in order of first use."""
    beats = _beats_of([hit for hit in pattern.hits if hit.limb == limb], pattern.meters)
    return tuple(dict.fromkeys(map(_boxes, beats.values())))


_Beats = Mapping[int, tuple[Fraction, ...]]
"""Places struck in a beat, as parts of it, by the beat's index."""


def _beats_of(hits: Iterable[Hit], meters: Meters) -> _Beats:
    places: dict[int, list[Fraction]] = {}
    beats = meters.beats
    index = 0
    for onset in dict.fromkeys(hit.onset for hit in hits):
        while beats[index].end <= onset:
            index += 1
        places.setdefault(index, []).append((onset - beats[index].start) / beats[index].length)
    return {index: tuple(struck) for index, struck in places.items()}


def _division(places: tuple[Fraction, ...]) -> int:
    return lcm(*(place.denominator for place in places))


def _boxes(places: tuple[Fraction, ...]) -> str:
    parts = _division(places)
    struck = {place * parts for place in places}
    return "".join("x" if index in struck else "." for index in range(parts))


def _changes(beats: _Beats, meters: Meters) -> Iterator[str]:
    for index, places in beats.items():
        if index + 1 in beats and meters.beats[index].bar == meters.beats[index + 1].bar:
            fewer, more = sorted((_division(places), _division(beats[index + 1])))
            if more % fewer:
                yield f"change {fewer}-{more}"


# ---- one rhythm against another --------------------------------------------------------------------------------------


def _against(pattern: Pattern, held: Collection[Limb]) -> Iterator[str]:
    """Even strokes of two limbs against each other, where an ostinato does not hold them both."""
    grid = lcm(pattern.span.denominator, *{hit.onset.denominator for hit in pattern.hits})
    onsets: dict[Limb, list[int]] = {}
    for hit in pattern.hits:
        onsets.setdefault(hit.limb, []).append(hit.onset.numerator * (grid // hit.onset.denominator))
    for first, second in combinations(onsets, 2):
        if not {first, second} <= set(held):
            yield from _polyrhythms(onsets[first], onsets[second], int(pattern.span * grid))


def _polyrhythms(first: Sequence[int], second: Sequence[int], span: int) -> Iterator[str]:
    """Where two limbs part and meet again twice running, with so many strokes each, spread evenly."""
    meeting = sorted({*first} & {*second})
    before = (0, 0)
    for start, end in pairwise([*meeting, *([span] if meeting and meeting[0] == 0 else [])]):
        counts = (_even_strokes(first, start, end), _even_strokes(second, start, end))
        now = (min(counts), max(counts))
        if now == before and now[0] > 1 and gcd(*now) == 1:
            yield f"against {now[1]}:{now[0]}"
        before = now


def _even_strokes(onsets: Sequence[int], start: int, end: int) -> int:
    """How many strokes spread evenly from one instant to another; 0 if they are uneven."""
    inside = [*onsets[bisect_left(onsets, start) : bisect_left(onsets, end)], end]
    return len(inside) - 1 if len({after - at for at, after in pairwise(inside)}) == 1 else 0


# ---- rests -----------------------------------------------------------------------------------------------------------


def longest_rest_bars(pattern: Pattern) -> int:
    """Whole bars in a row in which only limbs play that do the same in every bar (or none), the longest run.

    A foot that keeps time through a rest does not make the rest shorter. 0 if under four bars.
    """
    bars = pattern.meters.bars
    if len(bars) < LONG_REST:
        return 0
    played: dict[Limb, dict[int, set[tuple[Fraction, str]]]] = {limb: {} for limb in pattern.limbs}
    index = 0
    for hit in pattern.hits:
        while bars[index].end <= hit.onset:
            index += 1
        bar = bars[index]
        played[hit.limb].setdefault(bar.number, set()).add((hit.onset - bar.start, hit.surface))
    moving = [own for own in played.values() if len(own) < len(bars) or any(own[1] != bar for bar in own.values())]
    if played and not moving:
        return 0
    busy = set[int]().union(*moving)
    runs = groupby(bars, key=lambda bar: bar.number in busy)
    longest = max((len(list(run)) for struck, run in runs if not struck), default=0)
    return longest if longest >= LONG_REST else 0
