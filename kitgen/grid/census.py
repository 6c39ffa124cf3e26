"""How many lines there are under some conditions, and a few of them drawn without preference.

Conventions: what limbs do in a slot is a symbol: 2^L of them for L limbs, L + 1 where no two play at once. Density
counts the strokes of all limbs. Where there is a closed form it is used, and each row of the answer says which; only
syncopation, and distance together with other conditions, are gone through one by one (:mod:`kitgen.grid.masks`).
Turns of one another are counted once by Burnside's lemma: a turn that leaves a line as it is repeats n/d slots d times.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import comb, gcd
from random import Random
from typing import TYPE_CHECKING, NamedTuple

from kitgen.errors import OptionError
from kitgen.grid.counting import bracelets, lines, necklaces, with_gaps
from kitgen.kit import Limb

if TYPE_CHECKING:
    from kitgen.grid.masks import Filter

MOST_SLOTS, MOST_GONE_THROUGH = 64, 24
_TRIES = 200_000
Range = tuple[int, int]


class Counted(NamedTuple):
    """One row of an answer: what was counted, how many there are, and how that is known."""

    what: str
    number: int
    how: str


@dataclass(frozen=True)
class Census:
    """What is counted.

    Args:
        slots: places of the bar.
        limbs: limbs that play, 1 to 4.
        together: limbs may play at once.
        density: the fewest and the most strokes of all limbs.
        syncopation: the least and the most of it, for one limb (Longuet-Higgins and Lee's, going round).
        apart: strokes are at least so many slots apart, for one limb.
        rotations: turns of one another are different lines.

    Raises:
        OptionError: numbers outside these, or a condition for one limb with more of them.
    """

    slots: int = 16
    limbs: int = 1
    together: bool = True
    density: Range | None = None
    syncopation: Range | None = None
    apart: int = 1
    rotations: bool = True

    def __post_init__(self) -> None:
        if not 1 <= self.slots <= MOST_SLOTS:
            raise OptionError(f"--slots {self.slots}; 1 to {MOST_SLOTS}")
        if not 1 <= self.limbs <= len(Limb):
            raise OptionError(f"--limbs {self.limbs}; 1 to {len(Limb)}")
        if not 1 <= self.apart <= self.slots:
            raise OptionError(f"--apart {self.apart}; 1 to the number of slots, {self.slots}")
        if self.limbs > 1 and (self.syncopation or self.apart > 1):
            raise OptionError("--syncopation and --apart are of one limb's line; use --limbs 1")
        if self.one_by_one and self.slots > MOST_GONE_THROUGH:
            raise OptionError(
                f"these conditions are gone through line by line, and {self.slots} slots have {lines(self.slots)}; "
                f"use --slots {MOST_GONE_THROUGH} or fewer"
            )

    @property
    def symbols(self) -> int:
        """What a slot may hold."""
        return 1 << self.limbs if self.together else self.limbs + 1

    @property
    def one_by_one(self) -> bool:
        """True where no closed form here serves."""
        distant = self.apart > 1 and (self.density is not None or not self.rotations)
        return self.syncopation is not None or distant


def range_of(option: str, words: str | None) -> Range | None:
    """Two numbers from ``3-5``, or one twice from ``4``.

    >>> range_of("--density", "3-5"), range_of("--density", "4"), range_of("--density", None)
    ((3, 5), (4, 4), None)

    Raises:
        OptionError: anything else.
    """
    if words is None:
        return None
    low, dash, high = words.partition("-")
    if not low.strip().isdecimal() or (dash and not high.strip().isdecimal()):
        raise OptionError(f"{option} {words}: a number, or a range such as 3-5")
    found = (int(low), int(high) if dash else int(low))
    if found[0] > found[1]:
        raise OptionError(f"{option} {words}: write the smaller number first")
    return found


def counted(census: Census) -> tuple[Counted, ...]:
    """How many there are, condition after condition.

    >>> [row.number for row in counted(Census(16, density=(5, 5), rotations=False))]
    [65536, 4116, 2250, 4368, 273]
    """
    plain = replace(census, density=None, syncopation=None, apart=1, rotations=True)
    who = "1 limb" if census.limbs == 1 else f"{census.limbs} limbs" + ("" if census.together else ", never at once")
    every = f"lines of {census.slots} slots, {who}"
    rows = [Counted(every, _number(plain), f"{census.symbols}^{census.slots}")]
    if not census.rotations:
        rows.append(Counted("turns of one another once", _number(replace(plain, rotations=False)), _BURNSIDE))
        if census.symbols == 2:
            rows.append(Counted("and backwards once", bracelets(census.slots), "Burnside's lemma, turns and mirrors"))
    words = _conditions(census)
    if words:
        with_turns = replace(census, rotations=True)
        rows.append(Counted(words, _number(with_turns), _how(with_turns)))
        if not census.rotations:
            rows.append(Counted(f"{words}, turns once", _number(census), _how(census)))
    return tuple(rows)


_BURNSIDE = "Burnside's lemma"


def _conditions(census: Census) -> str:
    found = []
    if census.density is not None:
        found.append(f"{_span(census.density)} strokes")
    if census.syncopation is not None:
        found.append(f"syncopation {_span(census.syncopation)}")
    if census.apart > 1:
        found.append(f"strokes {census.apart} slots apart or more")
    return "with " + ", ".join(found) if found else ""


def _span(limits: Range) -> str:
    low, high = limits
    return str(low) if low == high else f"{low} to {high}"


def _how(census: Census) -> str:
    if census.one_by_one:
        return "gone through one by one"
    if not census.rotations:
        return _BURNSIDE
    return "closed form for cyclic gaps" if census.apart > 1 else "binomials"


def _number(census: Census) -> int:
    if census.one_by_one:
        from kitgen.grid import masks  # NumPy is slow to load, and closed forms do without

        return masks.count(census.slots, *_filters(census), rotations=census.rotations)
    if census.apart > 1:
        return with_gaps(census.slots, census.apart)
    if census.density is None:
        return (
            int(census.symbols**census.slots) if census.rotations else necklaces(census.slots, symbols=census.symbols)
        )
    low, high = census.density
    return sum(_with_strokes(census, strokes) for strokes in range(low, min(high, census.limbs * census.slots) + 1))


def _with_strokes(census: Census, strokes: int) -> int:
    if census.rotations:
        return _words(census, census.slots, strokes)
    both = gcd(census.slots, strokes)
    turns = [d for d in range(1, both + 1) if both % d == 0]
    return sum(_phi(d) * _words(census, census.slots // d, strokes // d) for d in turns) // census.slots


def _words(census: Census, slots: int, strokes: int) -> int:
    """Lines of so many slots with so many strokes."""
    if census.together:
        return comb(census.limbs * slots, strokes)
    return comb(slots, strokes) * int(census.limbs**strokes)


def _phi(number: int) -> int:
    return sum(1 for other in range(1, number + 1) if gcd(other, number) == 1)


def _filters(census: Census) -> "list[Filter]":
    from kitgen.grid import masks
    from kitgen.line.measures import levels

    found = []
    if census.density is not None:
        found.append(masks.density(*census.density))
    if census.apart > 1:
        found.append(masks.spaced(census.apart))
    if census.syncopation is not None:
        found.append(masks.syncopated(*census.syncopation, levels(_divisions(census.slots))))
    return found


def _divisions(slots: int) -> tuple[int, ...]:
    """A meter's divisions for so many slots, twos before threes before fives: 12 is 2, 2, 3, as 12/8 is."""
    found, left = [], slots
    for prime in (2, 3, 5, 7, 11, 13, 17, 19, 23):
        while left % prime == 0:
            found.append(prime)
            left //= prime
    return tuple(found)


# ---- samples ---------------------------------------------------------------------------------------------------------


def sampled(census: Census, many: int, *, seed: int = 0) -> Iterator[str]:
    """So many different lines, each as likely as any other, as boxes: a row a limb.

    Raises:
        OptionError: fewer than that there are.
    """
    there = _number(census)
    if not 1 <= many <= there:
        raise OptionError(
            f"--sample {many}; there are {there} such lines" + (", ask for 1 or more" if many < 1 else "")
        )
    if census.limbs == 1 and census.slots <= MOST_GONE_THROUGH:
        from kitgen.grid import masks

        found = masks.sample(census.slots, many, *_filters(census), rotations=census.rotations, seed=seed)
        yield from (_grouped(masks.boxes_of(mask, census.slots)) for mask in found)
        return
    random, drawn = Random(seed), set[tuple[int, ...]]()
    for _ in range(_TRIES):
        line = _drawn(census, random)
        if line is not None and line not in drawn:
            drawn.add(line)
            yield _shown(line, census)
        if len(drawn) == many:
            return
    raise OptionError(f"--sample {many} is too many to be drawn of {there}; ask for fewer")


def _drawn(census: Census, random: Random) -> tuple[int, ...] | None:
    """A line by chance, a number a slot whose bits are limbs; None where it has to be drawn again.

    Where turns are one line, each of its turns may come up, so that a line of few turns is kept as seldom as they are.
    """
    line = _any_line(census, random)
    if census.rotations:
        return line
    turns = {line[by:] + line[:by] for by in range(census.slots)}
    return max(turns) if random.randrange(len(turns)) == 0 else None


def _any_line(census: Census, random: Random) -> tuple[int, ...]:
    sets = [0, *(1 << limb for limb in range(census.limbs))] if not census.together else range(1 << census.limbs)
    if census.density is None:
        return tuple(random.choice(sets) for _ in range(census.slots))
    low, high = census.density
    counts = range(low, min(high, census.limbs * census.slots) + 1)
    weights = [_words(census, census.slots, strokes) for strokes in counts]
    (strokes,) = random.choices(counts, weights)
    slots = [0] * census.slots
    if census.together:
        for place in random.sample(range(census.limbs * census.slots), strokes):
            slots[place // census.limbs] |= 1 << place % census.limbs
    else:
        for slot in random.sample(range(census.slots), strokes):
            slots[slot] = 1 << random.randrange(census.limbs)
    return tuple(slots)


def _shown(line: tuple[int, ...], census: Census) -> str:
    return "\n".join(
        _grouped("".join("x" if symbol >> limb & 1 else "." for symbol in line)) for limb in range(census.limbs)
    )


def _grouped(boxes: str) -> str:
    """Boxes in groups of four, or of three where there are no whole fours."""
    size = next((size for size in (4, 3, 5) if len(boxes) % size == 0), len(boxes))
    return " ".join(boxes[start : start + size] for start in range(0, len(boxes), size))
