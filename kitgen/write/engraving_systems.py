"""How many bars stand on a system, and how wide it is.

Conventions: widths are in staff spaces, of which a staff is four high. Four bars stand on a system, fewer where their
notes would stand too close to be read; a system with fewer bars than the others keeps the width of a bar.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import pow as power
from typing import NamedTuple

from kitgen.spell import Measure, Section
from kitgen.spell.bars import A_SYSTEM
from kitgen.write.engraving_words import room_of

COLUMN, TIGHT, BARLINE, GRACE = 2.3, 1.65, 2.0, 1.3
"""Room for notes at one instant, on the average and at the least, for a barline and for a grace note."""
CLEF, METER, REPEATS, SIGN = 4.0, 3.5, 6.0, 8.0
"""Room for these, and for a bar that is one sign."""
_BESIDE = 0.475
"""Of the page's width: as wide as each of two rows that stand side by side may be."""
_PROPORTION = 0.6
"""The engraver gives a note the room of its length to this power."""
_LEAST_LOOP, _AIR, _WIDER = 18.0, 1.25, 1.2
SYSTEM_BARS = (4, 3, 2, 1)


class System(NamedTuple):
    """Bars side by side, and their width together in staff spaces: wider than the page where one bar alone is."""

    measures: tuple[Measure, ...]
    width: float


def bars_a_system(measures: Sequence[Measure], width: float, signs: float = 0.0) -> int:
    """How many bars may stand side by side in so many staff spaces, if others like these were to fill the system.

    Args:
        measures: the bars of a row.
        width: of a system.
        signs: room that repeat signs take.
    """
    for count in SYSTEM_BARS[:-1]:
        chunks = chunked(measures, count)
        if all(_room_for(chunk, count, signs) <= width for chunk in chunks):
            return count
    return 1


def _room_for(chunk: Sequence[Measure], count: int, signs: float) -> float:
    """The least width of a system; where it is not full, bars like its widest fill it."""
    widest = max(_least((measure,)) - CLEF - METER for measure in chunk) + signs / len(chunk)
    return _least(chunk) + signs + widest * (count - standing(chunk))


def _least(chunk: Sequence[Measure]) -> float:
    """The least width of a system of these bars."""
    first, *others = chunk
    signs = sum(map(_is_sign, others)) + _is_sign(first._replace(same_as_before=False))
    full = [first, *(measure for measure in others if not measure.same_as_before)]
    gaps = [gap for measure in full for gap in _gaps(measure)]
    shortest = min(gaps, default=1.0)
    proportional = TIGHT * sum(power(gap / shortest, _PROPORTION) for gap in gaps)
    changes = sum(METER for measure in others if measure.shows_meter)
    return CLEF + METER + max(COLUMN * len(gaps), proportional) + sum(map(_extra, full)) + signs * SIGN + changes


def _is_sign(measure: Measure) -> bool:
    """True for a bar that is a repeat sign or a number of bars of rest."""
    return measure.same_as_before or measure.rest_bars > 0


def _gaps(measure: Measure) -> list[float]:
    """Quarters from each instant at which anything is written or said to the next."""
    if measure.in_rest:
        return []
    starts = [event.written.start for voice in measure.voices for event in voice.events]
    starts += [count.start for count in measure.counts]
    places = {start.numerator / start.denominator for start in starts}  # much faster than float(start)
    return [after - before for before, after in pairwise([*sorted(places), float(measure.length)])]


def _extra(measure: Measure) -> float:
    """Room for what is not in proportion: a barline, small notes, long syllables."""
    if measure.in_rest:
        return 0.0
    graces = sum([len(stroke.graces) for voice in measure.voices for event in voice.events for stroke in event.strokes])
    letters = sum(max(0.0, room_of(count.said) - COLUMN) for count in measure.counts)
    return BARLINE + graces * GRACE + letters


def written_out(section: Section) -> Section:
    """A row none of whose bars is a repeat sign."""
    return section._replace(measures=tuple(one._replace(same_as_before=False) for one in section.measures))


def chunked(measures: Sequence[Measure], count: int) -> list[tuple[Measure, ...]]:
    """Bars in systems of at most so many; a system of the spelled row is never joined to the next."""
    found: list[list[Measure]] = []
    stood = 0
    for measure in measures:
        stands = measure.rest_bars > 0 or not measure.in_rest
        if not found or measure.new_system or (stands and stood >= count):
            found.append([])
            stood = 0
        found[-1].append(measure)
        stood += stands
    return [tuple(chunk) for chunk in found]


def standing(chunk: Iterable[Measure]) -> int:
    """How many bars of a system are seen: rests under one number stand as one."""
    return sum(measure.rest_bars > 0 or not measure.in_rest for measure in chunk)


def page_systems(sections: Sequence[Section], width: float) -> list[list[System]]:
    """The systems of each row of a page.

    Rows too short to fill a system share the width of a bar, so that they line up down the page; where that is near
    half of it, rows of one bar are no wider than half, so that two can stand side by side.
    """
    lengths = [standing(section.measures) for section in sections]
    short = [section for section, length in zip(sections, lengths, strict=True) if length < A_SYSTEM]
    signs = [REPEATS if section.times > 1 else 0.0 for section in short]
    alike = min((bars_a_system(one.measures, width, room) for one, room in zip(short, signs, strict=True)), default=0)
    alike = min(alike, max(2, *lengths))
    single = [section.measures for section in short if standing(section.measures) == 1]
    beside = all(_least(measures) + REPEATS <= _BESIDE * width for measures in single)
    return [
        _systems([section.measures], width, alike, beside=beside)
        if length < A_SYSTEM
        else _systems(chunked(section.measures, A_SYSTEM), width, A_SYSTEM)
        for section, length in zip(sections, lengths, strict=True)
    ]


def _systems(spelled: Sequence[Sequence[Measure]], width: float, most: int, *, beside: bool = False) -> list[System]:
    """The systems of a row, made of those it was spelled in; ``most`` bars fill one."""
    found = list[System]()
    for index, measures in enumerate(spelled):
        if standing(measures) >= A_SYSTEM or index < len(spelled) - 1:
            found += [_full(half, width) for half in _halved(tuple(measures), width)]
            continue
        before = max((standing(one.measures) for one in found), default=most)
        count = min(most, before, bars_a_system(measures, width))
        for chunk in chunked(measures, count):
            bars = standing(chunk)
            found.append(
                _full(chunk, width) if bars >= count else System(chunk, _short(bars, count, width, beside=beside))
            )
    return found


def _short(bars: int, count: int, width: float, *, beside: bool) -> float:
    """The width of a system with fewer bars than the others."""
    usual = CLEF + bars * (width - CLEF) / count
    return min(usual, _BESIDE * width) if beside and 2 * bars == count else usual


def _full(chunk: tuple[Measure, ...], width: float) -> System:
    """A system as wide as the page, or wider where its one bar needs more; it is drawn smaller then."""
    return System(chunk, max(width, _least(chunk)) if standing(chunk) == 1 else width)


def _halved(measures: tuple[Measure, ...], width: float) -> list[tuple[Measure, ...]]:
    """Bars on one system if there is room, else each half on its own, and so on."""
    bars = standing(measures)
    if bars < 2 or _least(measures) <= width:
        return [measures]
    halves = chunked(measures, (bars + 1) // 2)
    return [part for half in halves for part in _halved(half, width)]


def wider(systems: Sequence[System], clear: Sequence[bool], width: float) -> list[System]:
    """Systems again, with more room where words under the staff touch: half the bars, or a bar alone made wider."""
    found = list[System]()
    for system, is_clear in zip(systems, clear, strict=True):
        bars = standing(system.measures)
        if is_clear:
            found.append(system)
        elif bars > 1:
            found += [System(half, width) for half in chunked(system.measures, (bars + 1) // 2)]
        else:
            found.append(System(system.measures, max(width, system.width * _WIDER)))
    return found


def loop_systems(section: Section, width: float) -> list[System]:
    """The systems of a short pattern to loop: as narrow as can be read well."""
    count = bars_a_system(section.measures, width)
    return [
        System(chunk, max(_least(chunk), min(width, max(_LEAST_LOOP, _AIR * _least(chunk)))))
        for chunk in chunked(section.measures, count)
    ]
