"""Tours as pages: first every set of limbs by itself, then the changes of two limbs, of three, of four.

Under an ostinato its limbs keep it throughout, and the changes of the free limbs are met at every place of it: the
pages begin with the ostinato alone and with one free limb. A page is whole bars and whole turns of the ostinato; where
the tour is not, its end goes over changes again and the page says so.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import partial
from itertools import combinations
from typing import NamedTuple

from kitgen.errors import KitgenError, RefusedError
from kitgen.grid.tour_plan import TourPlan, over_ground, pattern_of, set_words, slot_of, tour_of
from kitgen.grid.tours import Run, Tour, tour_without_triples
from kitgen.kit import Limb
from kitgen.page import Row
from kitgen.pattern import Hit, Pattern
from kitgen.time import Meter, Meters

_MOST_BARS, _ROW_BARS, _LEAST_BARS = 64, 4, 4
_NUMBERS = ("no", "one", "two", "three", "four")
_TRIED_METERS = (
    "4/4", "3/4", "2/4", "5/4", "6/8", "9/8", "12/8", "7/8", "3/8", "5/8", "7/16", "9/16", "13/16", "15/16",
)  # fmt: skip


class Sheet(NamedTuple):
    """A page without tempi and recipe; what it tours and how, ``tour`` None where it only shows sets."""

    title: str
    instruction: str
    rows: tuple[Row, ...]
    notes: tuple[str, ...] = ()
    kernels: tuple[Row, ...] = ()
    plan: TourPlan | None = None
    tour: Tour | None = None


def sheets_of(plan: TourPlan) -> tuple[Sheet, ...]:
    """The pages of a tour, in order.

    Raises:
        RefusedError: a tour too long for a page.
        OptionError: rules that leave nothing to play.
    """
    return tuple(make() for make in sheet_makers(plan))


def sheet_makers(plan: TourPlan) -> tuple[Callable[[], Sheet], ...]:
    """What makes each page of a tour, for those who want some of them; raises as :func:`sheets_of`."""
    changes = (partial(_changes, plan, count) for count in range(_fewest(plan), len(plan.limbs) + 1))
    return (partial(_sets, plan), *changes, *([partial(_varied, plan)] * plan.varied))


def _fewest(plan: TourPlan) -> int:
    """Limbs of the first page of changes: one over an ostinato, if it may rest; else two."""
    return 1 if plan.under_one and plan.silence else 2


# ---- the pages -------------------------------------------------------------------------------------------------------


def _sets(plan: TourPlan) -> Sheet:
    """Every set of the touring limbs by itself, a bar each, a stroke a beat."""
    size = len(plan.ground.meters.bars) if plan.under_one else 1
    rows = [Row(f"{plan.ground.title} alone", plan.ground.pattern, max(1, 2 // size))] if plan.under_one else []
    for count in range(1, len(plan.limbs) + 1):
        chosen = [sum(1 << bit for bit in bits) for bits in combinations(range(len(plan.limbs)), count)]
        hits = [
            Hit(start * plan.meter.span + beat.start, plan.limbs[bit], plan.surfaces[bit])
            for index, mask in enumerate(chosen)
            for start in range(index * size, index * size + size)
            for beat in Meters.of(plan.meter).beats
            for bit in range(len(plan.limbs))
            if mask >> bit & 1
        ]
        words = ", ".join(set_words(mask, plan.limbs) for mask in chosen)
        rows.append(Row(f"{_TOGETHER[count]}: {words}", over_ground(plan, hits, len(chosen) * size)))
    over = f" over {plan.ground.title}" if plan.under_one else ""
    return Sheet(
        f"Every combination of {_limb_words(plan.limbs)}{over}"
        if len(plan.limbs) > 1
        else f"{_first(plan)} on the beat{over}",
        _started(plan, "Let what strikes together fall exactly together, no flam."),
        tuple(rows),
        (f"{_many(size, 'bar')} for each set, in the order of the row's name",),
        plan=plan,
    )


EVEN_SLOTS = "keep every slot even"
"""What is said of slots that do not swing."""
_TOGETHER = ("", "one limb", "two together", "three together", "all four")


def _changes(plan: TourPlan, count: int) -> Sheet:
    """The tour of the first so many limbs."""
    own = replace(plan, limbs=plan.limbs[:count], surfaces=plan.surfaces[:count], runs=plan.runs[:count])
    return _tour_sheet(own, tour_of(own))


def _varied(plan: TourPlan) -> Sheet:
    """The longer walk of limbs that strike once or twice in a row."""
    tour = tour_without_triples(len(plan.limbs), seed=plan.seed, pulse=plan.pulse, whole=plan.bar)
    return _tour_sheet(plan, tour, varied=True)


def _tour_sheet(plan: TourPlan, tour: Tour, *, varied: bool = False) -> Sheet:
    bars = len(tour.sets) // plan.bar
    if bars > _MOST_BARS:
        raise RefusedError(
            f"every change of {_limb_words(plan.limbs)} takes {bars} bars of {plan.meter} in {plan.subdivision}, more "
            f"than {_MOST_BARS}; name fewer --limbs, or choose a finer --subdivision or a shorter --under"
        )
    over = f" over {plan.ground.title}" if plan.under_one else ""
    return Sheet(
        f"Every change of {_limb_words(plan.limbs)}{over}{_ruled(plan, varied=varied)}",
        _started(plan, f"Count aloud, {EVEN_SLOTS}, and go round again without a stop."),
        tuple(_rows(plan, tour.sets)),
        tuple(_notes(plan, tour, varied=varied)),
        (Row(f"{plan.ground.title} alone", plan.ground.pattern),) if plan.under_one else (),
        plan,
        tour,
    )


def _rows(plan: TourPlan, sets: Sequence[int]) -> Iterator[Row]:
    """A row for every four bars; what is shorter is played until it is four bars long."""
    bars = len(sets) // plan.bar
    if bars < _LEAST_BARS:
        yield Row(f"the whole tour, {_many(bars, 'bar')}", pattern_of(plan, sets), -(-_LEAST_BARS // bars))
        return
    whole = pattern_of(plan, sets)
    for first in range(0, bars, _ROW_BARS):
        last = min(first + _ROW_BARS, bars)
        start, end = first * plan.meter.span, last * plan.meter.span
        hits = tuple(hit.at(hit.onset - start) for hit in whole.hits if start <= hit.onset < end)
        label = f"bars {first + 1} to {last}" if last > first + 1 else f"bar {last}"
        joins = _joins(plan, sets, range(first, last))
        label += f": {joins}" if joins else ""
        yield Row(label, Pattern(hits, whole.meters.cut(start, end)))


def _joins(plan: TourPlan, sets: Sequence[int], bars: range) -> str:
    """Which limbs strike for the first time in some bars (from 0), the first bar of all left out: ``LF joins``."""
    found = []
    for bit, limb in enumerate(plan.limbs):
        bar = next((slot for slot, mask in enumerate(sets) if mask >> bit & 1), 0) // plan.bar
        if bar and bar in bars:
            found.append(f"{limb.name} joins" + (f" in bar {bar + 1}" if bar > bars.start else ""))
    return ", ".join(found)


def _notes(plan: TourPlan, tour: Tour, *, varied: bool) -> Iterator[str]:
    yield tour.proof
    if plan.places > 1:
        turn = plan.places * plan.slot
        yield (
            f"a change is what the free limbs do in one slot and in the next, at every one of the {plan.places} places "
            f"of {plan.ground.title}: {_many(len(tour.sets) // plan.places, 'turn')} of {_quarters(turn)}"
        )
    else:
        yield "a change is what strikes in one slot and what strikes in the next; the last slot leads back to the first"
    if varied:
        yield "ones and twos are mixed, which takes more slots; with the fewest every limb plays in twos"
        return
    yield from _parts(plan, tour)
    if twice := _names(_held(plan, Run.TWICE)):
        yield f"{twice} never three times in a row, and so always in twos"
    if more := len(tour.sets) - tour.bound:
        yield _filled_words(plan, tour, more)


def _ruled(plan: TourPlan, *, varied: bool) -> str:
    """The rules in a title."""
    if varied:
        return ", ones and twos"
    twos = ", in twos" if set(plan.runs) == {Run.TWICE} else ""
    once = _names(_held(plan, Run.ONCE))
    return ("" if plan.silence else ", no slot silent") + twos + (f", {once} never twice in a row" if once else "")


def _held(plan: TourPlan, to: Run) -> list[Limb]:
    return [limb for limb, run in zip(plan.limbs, plan.runs, strict=True) if run is to]


def _parts(plan: TourPlan, tour: Tour) -> Iterator[str]:
    """Which first bars hold every change of fewer limbs."""
    for count in range(_fewest(plan), len(plan.limbs)):
        part = tour_of(replace(plan, limbs=plan.limbs[:count], surfaces=plan.surfaces[:count], runs=plan.runs[:count]))
        size = len(part.sets)
        if size == part.bound and tour.sets[:size] == part.sets:
            bars = size // plan.bar
            words = _limb_words(plan.limbs[:count])
            if bars == 1:
                yield f"bar 1 holds every change of {words} and can be looped by itself"
            else:
                yield f"bars 1 to {bars} hold every change of {words} and can be looped by themselves"


def _filled_words(plan: TourPlan, tour: Tour, more: int) -> str:
    fits = [name for name in _TRIED_METERS if _fills(plan, tour.bound, Meter.parse(name))]
    way = f"; in {' or '.join(fits[:2])} it does of itself" if fits and not plan.under_one else ""
    return f"the last {_many(more, 'slot')} go over changes again, so that it ends with a bar{way}"


def _fills(plan: TourPlan, slots: int, meter: Meter) -> bool:
    """True if so many slots are whole bars of a meter that its beats divide into the same slots."""
    try:
        return slot_of(plan.subdivision, meter) == plan.slot and not slots * plan.slot % meter.span
    except KitgenError:
        return False


# ---- words ---------------------------------------------------------------------------------------------------------


def _started(plan: TourPlan, say: str) -> str:
    if not plan.under_one:
        return say
    return f"Start with {plan.ground.title}; when it runs by itself, add {_limb_words(plan.limbs)}. {say}"


def _first(plan: TourPlan) -> str:
    return plan.limbs[0].words.capitalize()


def _limb_words(limbs: Sequence[Limb]) -> str:
    """Limbs in words: ``both hands``, ``right hand and left foot``, ``three limbs (RH, LH, RF)``."""
    if len(limbs) == 1:
        return f"the {limbs[0].words}"
    if len(limbs) == 2:
        first, second = limbs
        if first.mirrored is second:
            return "both hands" if first.is_hand else "both feet"
        return f"{first.words} and {second.words}"
    named = "" if len(limbs) == len(Limb) else f" ({_names(limbs)})"
    return f"{_NUMBERS[len(limbs)]} limbs{named}"


def _names(limbs: Sequence[Limb]) -> str:
    return ", ".join(limb.name for limb in limbs)


def _many(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def _quarters(length: Fraction) -> str:
    return f"{length} quarter{'' if length == 1 else 's'}"
