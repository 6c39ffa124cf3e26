"""Published measures of a rhythm that goes round: how syncopated, how complex, how even.

Conventions: a rhythm is its struck slots (from 0, rising) and the number of equal slots in the cycle; everything is
cyclic, so that the last note lasts to the first of the next time round. A meter is given by its divisions from the
whole down: (2, 2, 2, 2) is 4/4 in sixteenths, (2, 2, 3) is 12/8 in eighths. A level is how deep a slot first appears in
them, 0 the strongest. Results are int or Fraction unless sines or logarithms are asked for. A rhythm that strikes
nothing measures 0.

Names are used differently by different writers; each function says whose measure it is. Where readings differ:

1. Longuet-Higgins and Lee's syncopation is read note by note in :func:`syncopation` and rest by rest of the metric tree
   in :func:`tree_syncopation`; a note held over two strong places counts once in the one, twice in the other. A rest
   as strong as its note, a syncopation of strength 0 in the source, adds nothing to either.
2. Keith's measure is given with his weights in :func:`keith` and as a plain count in :func:`keith_offbeats`.
3. The note-to-beat distance counts double only what ends strictly inside the second beat after it, which is what the
   values its authors printed ask for.
4. The clock score looks for the best place of a clock of a given unit, here usually the beat, since a longer clock has
   fewer ticks and so always scores less.
"""

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate, combinations, pairwise
from math import gcd, log2, pi, prod, sin

from kitgen.errors import LineError, OptionError

Struck = Sequence[int]


def levels(divisions: Sequence[int]) -> tuple[int, ...]:
    """The metric level of every slot of a meter, 0 the strongest.

    >>> levels((2, 2, 2))
    (0, 3, 2, 3, 1, 3, 2, 3)
    >>> levels((2, 3))
    (0, 2, 2, 1, 2, 2)

    Raises:
        OptionError: a division below 2.
    """
    if any(division < 2 for division in divisions):
        raise OptionError(f"divisions {tuple(divisions)}; each divides in 2 or more")
    slots = prod(divisions)
    sizes = [slots // parts for parts in accumulate(divisions, int.__mul__, initial=1)]
    return tuple(next(level for level, size in enumerate(sizes) if slot % size == 0) for slot in range(slots))


def weights(divisions: Sequence[int]) -> tuple[int, ...]:
    """The metric weight of every slot: at how many levels a beat falls there (F. Lerdahl and R. Jackendoff, 1983).

    >>> weights((2, 2, 3))
    (4, 1, 1, 2, 1, 1, 3, 1, 1, 2, 1, 1)
    """
    return tuple(len(divisions) + 1 - level for level in levels(divisions))


# ---- syncopation -----------------------------------------------------------------------------------------------------


def syncopation(struck: Struck, slots: int, level: Sequence[int]) -> int:
    """How far each note outlasts stronger places than its own, summed, played round and round.

    H. C. Longuet-Higgins and C. S. Lee, "The Rhythmic Interpretation of Monophonic Music", Music Perception 1(4), 1984,
    read note by note: the strongest silent slot between a note and the next against the note's own, when it is
    stronger.

    Args:
        struck: struck slots.
        slots: slots in the cycle.
        level: the level of each slot, 0 the strongest, as :func:`levels` gives.
    """
    _check(struck, slots)
    _one_each(level, slots, "level")
    total = 0
    for start, length in zip(struck, intervals(struck, slots), strict=True):
        strongest = min((level[slot % slots] for slot in range(start + 1, start + length)), default=level[start])
        total += max(level[start] - strongest, 0)
    return total


def tree_syncopation(struck: Struck, slots: int, divisions: Sequence[int]) -> int:
    """Longuet-Higgins and Lee's syncopation rest by rest of the metric tree, played round and round.

    The cycle is divided until each part is silent, or struck at its start alone. A silent part is a rest (or the rest
    of a held note); where its place is stronger than that of the last note before it, it adds the difference of their
    levels. Source as for :func:`syncopation`.
    """
    _check(struck, slots)
    level = levels(divisions)
    _one_each(level, slots, "slot of the divisions")
    on, total = set(struck), 0
    parts = [(0, slots, 0)] if struck else []
    while parts:
        start, end, depth = parts.pop()
        inside = [slot for slot in range(start, end) if slot in on]
        if not inside:
            before = max((slot for slot in struck if slot < start), default=struck[-1])
            total += max(level[before] - level[start], 0)
        elif inside != [start]:
            size = (end - start) // divisions[depth]
            parts += [(at, at + size, depth + 1) for at in range(start, end, size)]
    return total


def keith(struck: Struck, slots: int) -> int:
    """Keith's syncopation: 1 for a note that ends off the beat, 2 for one that starts off it, 3 for both.

    M. Keith, "From Polychords to Polya", 1991: hesitation 1, anticipation 2, syncopation 3. The beat of a note is its
    length rounded down to a power of two, in slots; it is off the beat where that does not divide its place.

    Raises:
        OptionError: the cycle is no power of two slots.
    """
    return sum(
        2 * (start % beat > 0) + ((start + length) % beat > 0) for start, length, beat in _with_beats(struck, slots)
    )


def keith_offbeats(struck: Struck, slots: int) -> int:
    """How many notes start off their own beat: Keith's measure as G. T. Toussaint counts it (2013), without weights.

    Raises:
        OptionError: the cycle is no power of two slots.
    """
    return sum(start % beat > 0 for start, _, beat in _with_beats(struck, slots))


def note_to_beat_distance(struck: Struck, slots: int, beat: int) -> Fraction:
    """The mean over notes of 1/distance to the nearest beat, in beats: 0 for a note on one, doubled when held over.

    The weighted measure of F. Gomez, A. Melvin, D. Rappaport and G. T. Toussaint, "Mathematical Measures of
    Syncopation", Bridges 2005. Doubled is a note that ends strictly after the next beat and strictly before the one
    after.

    Args:
        struck: struck slots.
        slots: slots in the cycle.
        beat: slots a beat; divides the cycle.

    Raises:
        OptionError: beats do not fill the cycle.
    """
    _check(struck, slots)
    _fits(beat, slots, "beat")
    total = Fraction(0)
    for start, length in zip(struck, intervals(struck, slots), strict=True):
        after = start % beat
        if after:
            held = beat < after + length < 2 * beat
            total += Fraction((1 + held) * beat, min(after, beat - after))
    return total / max(len(struck), 1)


def off_beatness(struck: Struck, slots: int) -> int:
    """How many strokes stand where no even division of the cycle has one: at slots coprime to their number.

    G. T. Toussaint, "Mathematical Features for Recognizing Preference in Sub-Saharan African Traditional Rhythm
    Timelines", 2005.
    """
    _check(struck, slots)
    return sum(gcd(slot, slots) == 1 for slot in struck)


# ---- complexity ------------------------------------------------------------------------------------------------------


def metric_complexity(struck: Struck, slots: int, weight: Sequence[int]) -> int:
    """How far the metric weights at the strokes fall short of the most so many strokes could have.

    G. T. Toussaint, "A mathematical analysis of African, Brazilian, and Cuban clave rhythms", Bridges 2002.

    Args:
        struck: struck slots.
        slots: slots in the cycle.
        weight: the weight of each slot, as :func:`weights` gives.
    """
    _check(struck, slots)
    _one_each(weight, slots, "weight")
    return sum(sorted(weight, reverse=True)[: len(struck)]) - sum(weight[slot] for slot in struck)


def cognitive_cost(struck: Struck, slots: int, divisions: Sequence[int]) -> Fraction:
    """What each part of the cycle costs to grasp, averaged over the parts of a level and summed over the levels.

    J. Pressing, "Cognitive complexity and the structure of musical patterns", 1997, with the kinds and costs that C.
    Song, C. Harte and M. Pearce (2015) give: nothing after the start 0, evenly filled 1, a run from the start 2, an
    upbeat to a struck next part 3, a silent start 5. Levels go down to parts of two slots; the part after the last is
    the first.
    """
    _check(struck, slots)
    _one_each(levels(divisions), slots, "slot of the divisions")
    on, total = set(struck), Fraction(0)
    for parts in accumulate(divisions, int.__mul__, initial=1):
        size = slots // parts
        if size > 1:
            costs = [
                _part_cost(_inside(struck, at, size), size, next_struck=(at + size) % slots in on)
                for at in range(0, slots, size)
            ]
            total += Fraction(sum(costs), parts)
    return total


def clock_score(struck: Struck, slots: int, unit: int, *, place: int | None = None, silence: int = 4) -> int:
    """What speaks against a steady clock: its ticks on unaccented strokes, and four times those on silence.

    D.-J. Povel and P. Essens, "Perception of Temporal Patterns", Music Perception 2(4), 1985: the C-score, accents as
    in :func:`accents`, of the place of the clock that scores least.

    Args:
        struck: struck slots.
        slots: slots in the cycle.
        unit: slots from tick to tick; divides the cycle.
        place: the slot of the first tick, 0 to unit - 1; the best when left out.
        silence: what a tick on silence weighs, 4 in the source.

    Raises:
        OptionError: ticks do not fill the cycle.
    """
    _check(struck, slots)
    _fits(unit, slots, "unit of the clock")
    on, stressed = set(struck), set(accents(struck, slots))
    against = [0 if slot in stressed else 1 if slot in on else silence for slot in range(slots)]
    if not struck:
        return 0
    return min(sum(against[first % unit :: unit]) for first in (range(unit) if place is None else (place,)))


def best_clock(struck: Struck, slots: int, units: Sequence[int], *, silence: int = 4) -> tuple[int, int, int]:
    """The unit, place and score of the clock that least speaks against; the shortest and earliest of equals.

    Povel and Essens 1985; see :func:`clock_score`. A longer clock has fewer ticks to be spoken against.
    """
    found = [
        (clock_score(struck, slots, unit, place=place, silence=silence), unit, place)
        for unit in units
        for place in range(unit)
    ]
    if not found:
        raise OptionError("no unit to try; give the slots of at least one clock")
    score, unit, place = min(found)
    return unit, place, score


def accents(struck: Struck, slots: int) -> tuple[int, ...]:
    """The strokes heard as accented though all are struck alike.

    D.-J. Povel and H. Okkerman, "Accents in equitone sequences", 1981, as rules in Povel and Essens 1985: a stroke by
    itself, the second of two, the first and last of a longer run. Strokes run together at the smallest unit that holds
    the rhythm. Equal steps all the way round, which the source leaves open, have no runs: every stroke is by itself.

    >>> accents((0, 1, 3, 5, 6, 7, 9), 12)
    (1, 3, 5, 7, 9)
    """
    _check(struck, slots)
    lengths = intervals(struck, slots)
    near = gcd(slots, *lengths)
    if set(lengths) <= {near}:
        return tuple(struck)
    runs: list[list[int]] = []
    for slot in struck:
        if runs and slot - runs[-1][-1] == near:
            runs[-1].append(slot)
        else:
            runs.append([slot])
    if lengths[-1] == near:
        runs[0] = runs.pop() + runs[0]
    return tuple(sorted({slot for run in runs for slot in (run[-1:] if len(run) < 3 else (run[0], run[-1]))}))


def interval_entropy(struck: Struck, slots: int) -> float:
    """The entropy in bits of the lengths from stroke to stroke (C. E. Shannon, 1948): 0 where all are alike."""
    return _entropy(Counter(intervals(struck, slots)))


def distance_entropy(struck: Struck, slots: int) -> float:
    """The entropy in bits of the distances between all pairs of strokes (G. T. Toussaint, 2013)."""
    return _entropy(interval_content(struck, slots))


def tallness(struck: Struck, slots: int) -> int:
    """How often the commonest distance between two strokes occurs: the tallest bar of Toussaint's histogram (2013)."""
    return max(interval_content(struck, slots).values(), default=0)


# ---- evenness --------------------------------------------------------------------------------------------------------


def chordal_evenness(struck: Struck, slots: int) -> float:
    """The summed straight distances between all pairs of strokes, the cycle a circle of radius 1; more is evener.

    S. Block and J. Douthett, "Vector products and intervallic weighting", 1994; for rhythms E. D. Demaine and others,
    "The distance geometry of music", Computational Geometry 42, 2009.
    """
    return sum(2 * sin(pi * size / slots) * count for size, count in sorted(interval_content(struck, slots).items()))


def geodesic_evenness(struck: Struck, slots: int) -> int:
    """The summed distances between all pairs of strokes round the cycle, the short way, in slots; more is evener.

    G. T. Toussaint, "The geometry of musical rhythm", 2005. It cannot tell many rhythms apart that the straight
    distances of :func:`chordal_evenness` do.
    """
    return sum(size * count for size, count in interval_content(struck, slots).items())


def euclidean(onsets: int, slots: int) -> tuple[int, ...]:
    """Strokes as evenly as can be, in the rotation that Bjorklund's grouping gives.

    G. T. Toussaint, "The Euclidean Algorithm Generates Traditional Musical Rhythms", Bridges 2005: groups are joined
    with what is left over until at most one is left over, and once at least, as the table printed there has it.

    >>> euclidean(5, 8)
    (0, 2, 3, 5, 6)

    Raises:
        LineError: fewer than 1 stroke or more than the slots.
    """
    if not 1 <= onsets <= slots:
        raise LineError(f"cannot spread {onsets} strokes over {slots} slots; 1 to {slots} fit")
    groups: list[tuple[int, ...]] = [(1,)] * onsets
    left: list[tuple[int, ...]] = [(0,)] * (slots - onsets)
    while len(left) > 1 or (left and groups[0] == (1,)):
        pairs = min(len(groups), len(left))
        joined = [group + more for group, more in zip(groups, left, strict=False)]
        groups, left = joined, groups[pairs:] or left[pairs:]
    boxes = [box for group in groups + left for box in group]
    return tuple(slot for slot, box in enumerate(boxes) if box)


def is_maximally_even(struck: Struck, slots: int) -> bool:
    """True where so many strokes on have at most two lengths, one slot apart (J. Clough and J. Douthett, 1991)."""
    _check(struck, slots)
    many = len(struck)
    for steps in range(1, many):
        spans = {(struck[(index + steps) % many] - slot) % slots for index, slot in enumerate(struck)}
        if max(spans) - min(spans) > 1:
            return False
    return True


def has_oddity(struck: Struck, slots: int) -> bool:
    """True where no two strokes halve the cycle: rhythmic oddity.

    S. Arom, "African Polyphony and Polyrhythm", 1991; also said of cycles of an odd number of slots, which nothing
    halves.
    """
    _check(struck, slots)
    return slots % 2 == 1 or not {(slot + slots // 2) % slots for slot in struck} & set(struck)


def is_deep(struck: Struck, slots: int) -> bool:
    """True where the distances that occur between two strokes each occur a different number of times.

    T. A. Johnson, "Foundations of Diatonic Theory", 2003, in the wider sense of Demaine and others 2009.
    """
    counts = list(interval_content(struck, slots).values())
    return len(counts) == len(set(counts))


# ---- the cycle itself ------------------------------------------------------------------------------------------------


def intervals(struck: Struck, slots: int) -> tuple[int, ...]:
    """Slots from each stroke to the next, the last to the first of the next time round.

    >>> intervals((0, 3, 6, 10, 12), 16)
    (3, 3, 4, 2, 4)
    """
    _check(struck, slots)
    return tuple(
        after - slot for slot, after in zip(struck, [*struck[1:], *(at + slots for at in struck[:1])], strict=True)
    )


def interval_content(struck: Struck, slots: int) -> Counter[int]:
    """How often each distance, the short way round, occurs between two strokes.

    >>> sorted(interval_content((0, 4, 6, 10, 12), 16).items())
    [(2, 2), (4, 3), (6, 4), (8, 1)]
    """
    _check(struck, slots)
    return Counter(min(b - a, slots - b + a) for a, b in combinations(struck, 2))


def rotated(struck: Struck, slots: int, by: int) -> tuple[int, ...]:
    """The rhythm begun so many slots later.

    >>> rotated((0, 3, 6, 10, 12), 16, 8)
    (2, 4, 8, 11, 14)
    """
    _check(struck, slots)
    return tuple(sorted((slot - by) % slots for slot in struck))


def necklace(struck: Struck, slots: int) -> tuple[int, ...]:
    """The one rotation that stands for all: the smallest when slot i is worth 2**i.

    >>> necklace((0, 3, 6), 8) == necklace((0, 3, 5), 8)
    True
    """
    return min(
        (rotated(struck, slots, by) for by in range(slots)), key=lambda turned: sum(1 << slot for slot in turned)
    )


def hamming_distance(one: Struck, other: Struck, slots: int) -> int:
    """How many slots are struck in one of two rhythms only (R. W. Hamming, 1950)."""
    _check(one, slots)
    _check(other, slots)
    return len(set(one) ^ set(other))


# ---- help ------------------------------------------------------------------------------------------------------------


def _check(struck: Struck, slots: int) -> None:
    if any(b <= a for a, b in pairwise(struck)) or any(not 0 <= slot < slots for slot in struck):
        raise LineError(f"struck slots {tuple(struck)} of {slots}; from 0, rising, each below {slots}")


def _one_each(values: Sequence[int], slots: int, what: str) -> None:
    if len(values) != slots:
        raise OptionError(f"{slots} slots and {len(values)} of the kind {what!r}; give one for each slot")


def _fits(part: int, slots: int, what: str) -> None:
    if part < 1 or slots % part:
        raise OptionError(f"a {what} of {part} slots does not go into {slots}; give one that divides {slots}")


def _inside(struck: Struck, start: int, size: int) -> list[int]:
    return [slot - start for slot in struck if start <= slot < start + size]


def _with_beats(struck: Struck, slots: int) -> list[tuple[int, int, int]]:
    """Each note's start, length and the power of two not above it."""
    if slots < 1 or slots & (slots - 1):
        raise OptionError(f"a cycle of {slots} slots; Keith's measure halves it down to one, so give 2, 4, 8, 16 or 32")
    return [
        (start, length, 1 << (length.bit_length() - 1))
        for start, length in zip(struck, intervals(struck, slots), strict=True)
    ]


def _part_cost(inside: list[int], size: int, *, next_struck: bool) -> int:
    unit, many = gcd(size, *inside), len(inside)
    if inside in ([], [0]):
        return 0
    if many * unit == size:
        return 1
    to_the_end = inside[-1] == size - unit
    if inside[0] == 0 and not (to_the_end and next_struck):
        return 2
    return 3 if to_the_end and next_struck else 5


def _entropy(counts: Counter[int]) -> float:
    total = counts.total()
    return sum(count / total * log2(total / count) for count in counts.values())
