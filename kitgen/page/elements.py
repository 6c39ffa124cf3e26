"""What a student must have learned before a page is playable, read from its notes.

Elements are short texts, the kind first: ``meter 6/8``, ``feel swing eighths``, ``cell LH x.xx``, ``ostinato samba``,
``application linear``, ``ornament flam``, ``contrast soft-accent``, ``rest 4 bars``. A cell is what one limb does in
one beat, on the fewest boxes that show it.
"""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import groupby
from math import lcm

from kitgen.kit import Limb
from kitgen.page.value import Page
from kitgen.pattern import Level, Pattern, project

_LONG_REST = 2
_UNITS = {8: "eighths", 16: "sixteenths"}


def elements_of(
    page: Page, *, ostinatos: Mapping[str, Pattern] | None = None, application: str | None = None
) -> tuple[str, ...]:
    """The elements of a page, sorted.

    Args:
        page: the page.
        ostinatos: patterns to look for in it, by name.
        application: the application its recipe names, once that has been verified.
    """
    found = {f"meter {meter}" for meter, _ in page.pattern.meters.runs}
    if page.feel.unit:
        found.add(f"feel swing {_UNITS[page.feel.unit]}")
    if application:
        found.add(f"application {application}")
    for row in page.rows:
        found.update(_of_pattern(row.pattern))
        found.update(f"ostinato {name}" for name in ostinatos_in(row.pattern, ostinatos or {}))
    return tuple(sorted(found))


def _of_pattern(pattern: Pattern) -> Iterator[str]:
    for limb in pattern.limbs:
        yield from (f"cell {limb.name} {cell}" for cell in cells_of(pattern, limb))
    for hit in pattern.hits:
        if hit.ornament is not None:
            yield f"ornament {hit.ornament.value}"
    for limb in pattern.limbs:
        levels = {hit.level for hit in pattern.hits if hit.limb == limb}
        if Level.ACCENT in levels and levels & {Level.GHOST, Level.TAP, Level.FEATHER}:
            yield "contrast soft-accent"
    if rest := longest_rest_bars(pattern):
        yield f"rest {rest} bars"


def cells_of(pattern: Pattern, limb: Limb) -> tuple[str, ...]:
    """What a limb does in each beat it plays in, as boxes, each kind once in order of first use."""
    places: dict[Fraction, list[Fraction]] = {}
    for hit in pattern.hits:
        if hit.limb == limb:
            beat = pattern.meters.beat_at(hit.onset)
            places.setdefault(beat.start, []).append((hit.onset - beat.start) / beat.length)
    return tuple(dict.fromkeys(_boxes(struck) for struck in places.values()))


def _boxes(places: list[Fraction]) -> str:
    parts = lcm(*(place.denominator for place in places))
    struck = {place * parts for place in places}
    return "".join("x" if index in struck else "." for index in range(parts))


def longest_rest_bars(pattern: Pattern) -> int:
    """Whole bars in a row in which only limbs play that do the same in every bar (or none), the longest run.

    A foot that keeps time through a rest does not make the rest shorter. 0 if under two bars.
    """
    bars = pattern.meters.bars
    played: dict[Limb, dict[int, set[tuple[Fraction, str]]]] = {limb: {} for limb in pattern.limbs}
    for hit in pattern.hits:
        number = pattern.meters.beat_at(hit.onset).bar
        played[hit.limb].setdefault(number, set()).add((hit.onset - bars[number - 1].start, hit.surface))
    moving = [own for own in played.values() if len(own) < len(bars) or any(own[1] != bar for bar in own.values())]
    if played and not moving:
        return 0
    busy = set[int]().union(*moving)
    runs = groupby(bars, key=lambda bar: bar.number in busy)
    longest = max((len(list(run)) for struck, run in runs if not struck), default=0)
    return longest if longest >= _LONG_REST else 0


def ostinatos_in(pattern: Pattern, known: Mapping[str, Pattern]) -> tuple[str, ...]:
    """Names of the ostinatos a pattern keeps, those left out that are only part of another it keeps."""
    kept = {name: ostinato for name, ostinato in known.items() if keeps(pattern, ostinato)}
    limbs = {name: set(ostinato.limbs) for name, ostinato in kept.items()}
    return tuple(name for name in kept if not any(limbs[name] < limbs[other] for other in kept))


def keeps(pattern: Pattern, ostinato: Pattern) -> bool:
    """True if an ostinato's limbs play it, and only it, from the first bar to the last."""
    if not ostinato.hits or not pattern.span or pattern.span % ostinato.span:
        return False
    own = project(pattern, *ostinato.limbs)
    period = ostinato.span
    expected = {(hit.onset, hit.limb, hit.surface) for hit in ostinato.hits}
    played = [(hit.onset % period, hit.limb, hit.surface) for hit in own.hits]
    return set(played) == expected and len(played) == len(expected) * (pattern.span / period)
