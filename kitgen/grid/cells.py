"""Cells: what a limb does in one beat, or in two; every one of a kind, in the traditional order.

Conventions: a cell spans one beat of the meter (the quarter; the dotted quarter in compound meters), or two. Kinds are
note values: ``8ths`` and ``16ths`` are eighths and sixteenths wherever the beat holds whole numbers of them (two and
four in a quarter, three and six in a dotted quarter); ``triplets``, ``quintuplets`` and ``sextuplets`` divide a beat
of simple meters in 3, 5 and 6. The traditional order is common practice: the even cells first, from the number alone
to the full beat, which is the reference for all others (``1``, ``1 &``, ``1 e & a``; ``1``, ``1 trip let``); then what
begins on the number, the fullest first (``1 & a``, ``1 e &``, ``1 e a``, ``1 a``, ``1 e``); then what begins off it.
Cells of two beats come by their strokes, the number alone first.
"""

from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from kitgen.errors import OptionError, UnknownNameError
from kitgen.time import Meter, Meters, syllable

KINDS = ("8ths", "16ths", "triplets", "quintuplets", "sextuplets")
SPANS = (1, 2)
_SLOT = {"8ths": Fraction(1, 2), "16ths": Fraction(1, 4)}
_PARTS = {"triplets": 3, "quintuplets": 5, "sextuplets": 6}
_NUMBERED = (5, 7, 9)
_HALF = Fraction(1, 2)
_MOST_PARTS, _MOST_CELLS = 6, 255


@dataclass(frozen=True, slots=True)
class Cell:
    """What a limb does in one beat or two.

    Args:
        beats: boxes a beat, all of one length, such as ``("x..x",)``.

    >>> Cell(("x..x",)).places, Cell(("x.", ".x")).places
    ((Fraction(0, 1), Fraction(3, 4)), (Fraction(0, 1), Fraction(3, 2)))
    """

    beats: tuple[str, ...]

    def __post_init__(self) -> None:
        text = "".join(self.beats)
        if not self.beats or len({len(beat) for beat in self.beats}) > 1 or set(text) - set("x.") or "x" not in text:
            raise OptionError(f"no cell {' '.join(self.beats)!r}; a cell is boxes of x and ., one x or more")

    @property
    def parts(self) -> int:
        """Parts a beat."""
        return len(self.beats[0])

    @property
    def span(self) -> int:
        """Beats it lasts."""
        return len(self.beats)

    @property
    def places(self) -> tuple[Fraction, ...]:
        """Where it strikes, in beats from its start."""
        return tuple(
            beat + Fraction(index, self.parts)
            for beat, boxes in enumerate(self.beats)
            for index, box in enumerate(boxes)
            if box == "x"
        )

    def __str__(self) -> str:
        return " ".join(self.beats)

    @property
    def starts_on_number(self) -> bool:
        """True where its first stroke is on the number."""
        return self.beats[0][0] == "x"

    @property
    def is_number(self) -> bool:
        """True for the number alone."""
        return self.places == (Fraction(0),)

    def is_even(self, meter: Meter) -> bool:
        """True for strokes spread evenly from the number on, the number alone too; two to a beat of threes are not.

        >>> [Cell((boxes,)).is_even(Meter(4, 4)) for boxes in ("x...", "x.x.", "xxxx", "x..x", ".x.x")]
        [True, True, True, False, False]
        """
        if self.is_number:
            return True
        steps = [step for step in range(1, self.parts) if not self.parts % step]
        if _in_threes(self.parts, meter):
            steps = [step for step in steps if 2 * step != self.parts]
        return self.span == 1 and any(self.places == _every(step, self.parts) for step in steps)

    def complement(self) -> "Cell | None":
        """The places it leaves empty; None where there are none."""
        swapped = tuple(beat.translate(_SWAPPED) for beat in self.beats)
        return Cell(swapped) if "x" in "".join(swapped) else None

    def dealt(self, first: int) -> "Cell | None":
        """Every second of its strokes, from the first (0) or the second (1) on; None where there are none."""
        kept = self.places[first::2]
        boxes = (
            "".join("x" if beat + Fraction(index, self.parts) in kept else "." for index in range(self.parts))
            for beat in range(self.span)
        )
        return Cell(tuple(boxes)) if kept else None

    def plain(self, meter: Meter) -> str:
        """What it is in plainer values, where every beat of it can be written so: ``triplets``, ``8ths``, a quarter."""
        if self.parts != 6 or meter.denominator >= 8:
            return ""
        steps = {
            step: all(not boxes[i::step].count("x") for boxes in self.beats for i in range(1, step)) for step in (2, 3)
        }
        names = [name for step, name in ((2, "triplets"), (3, "8ths")) if steps[step]]
        return "quarters" if len(names) == 2 else "".join(names)


_SWAPPED = str.maketrans("x.", ".x")


def _every(step: int, parts: int) -> tuple[Fraction, ...]:
    return tuple(Fraction(slot, parts) for slot in range(0, parts, step))


def cells_of(kind: str, meter: Meter, *, span: int = 1) -> tuple[Cell, ...]:
    """Every cell of a kind, in the traditional order; of two beats, those that do not say one beat twice.

    Args:
        kind: one of ``KINDS``.
        meter: gives the beat.
        span: beats a cell lasts, 1 or 2.

    Raises:
        UnknownNameError: no such kind.
        OptionError: it does not fit the meter's beat, two beats do not fill its bars, or there are too many.

    >>> [len(cells_of(kind, Meter(4, 4))) for kind in KINDS]
    [3, 15, 7, 31, 63]
    >>> " ".join(map(str, cells_of("16ths", Meter(4, 4))[:6]))
    'x... x.x. xxxx x.xx xxx. xx.x'
    """
    parts = parts_of(kind, meter)
    if span not in SPANS:
        raise OptionError(f"--span {span}; a cell spans 1 beat or 2")
    if len(meter.beats) < 2 or len(meter.beats) % span:
        raise OptionError(
            f"cells of {span} beat{'s' if span > 1 else ''} need bars of "
            f"{'an even number of beats' if span > 1 else 'two beats or more'}; {meter} has {len(meter.beats)}"
        )
    count = (1 << parts * span) - (1 << parts if span > 1 else 1)
    if count > _MOST_CELLS:
        raise OptionError(
            f"there are {count} cells of {span} beat{'s' if span > 1 else ''} in {kind} in {meter}, more than "
            f"{_MOST_CELLS}, which no series gets through; use "
            + ("--span 1" if span > 1 else "coarser --cells, or --meter 4/4")
        )
    every = (struck for strokes in range(1, parts * span + 1) for struck in combinations(range(parts * span), strokes))
    found = (_cell(struck, parts, span) for struck in every)
    kept = [cell for cell in found if span == 1 or len(set(cell.beats)) > 1]
    return tuple(sorted(kept, key=lambda cell: _traditional(cell, meter)))


def _traditional(cell: Cell, meter: Meter) -> tuple[bool, bool, int, tuple[tuple[int, int, Fraction], ...]]:
    """Where a cell comes in the traditional order; other cells of two beats come by the fewest strokes."""
    even, count = cell.is_even(meter), len(cell.places)
    ranks = tuple((int(place), _rank(place % 1, cell.parts, meter), place) for place in cell.places)
    if cell.span > 1:
        return not even, False, count, ranks
    return not even, not cell.starts_on_number, count if even else -count, ranks


def _in_threes(parts: int, meter: Meter) -> bool:
    """True where a beat is three units of its meter, and has no half."""
    return meter.denominator >= 8 and parts % 3 == 0


def _rank(share: Fraction, parts: int, meter: Meter) -> int:
    """The number, the half of a beat that has one, what leads into the next number, and the rest."""
    if not share:
        return 0
    if share == _HALF and not _in_threes(parts, meter):
        return 1
    return 2 if share == 1 - Fraction(1, parts) else 3


def _cell(struck: tuple[int, ...], parts: int, span: int) -> Cell:
    boxes = "".join("x" if slot in struck else "." for slot in range(parts * span))
    return Cell(tuple(boxes[start : start + parts] for start in range(0, parts * span, parts)))


def parts_of(kind: str, meter: Meter) -> int:
    """In how many parts a kind of cell divides a meter's beat.

    Raises:
        UnknownNameError: no such kind.
        OptionError: it does not fit: beats of unequal length, or ones that a note value does not divide.

    >>> parts_of("8ths", Meter(4, 4)), parts_of("8ths", Meter(6, 8)), parts_of("16ths", Meter(12, 8))
    (2, 3, 6)
    """
    if kind not in KINDS:
        raise UnknownNameError("kind of cell", kind, KINDS)
    beats = set(meter.beats)
    if len(beats) > 1:
        raise OptionError(
            f"the beats of {meter} are not of one length, so that no cell fits them all; use a meter such as 4/4, "
            "5/4, 6/8 or 12/8"
        )
    beat = beats.pop()
    if kind in _SLOT:
        parts = beat / _SLOT[kind]
        if parts.denominator > 1 or not 2 <= parts <= _MOST_PARTS:
            fitting = ", ".join(other for other in _SLOT if _fits(beat / _SLOT[other]))
            raise OptionError(
                f"{kind} do not fit: a beat of {meter} lasts {parts} of them, and a cell has 2 to {_MOST_PARTS}; "
                + (f"use --cells {fitting}" if fitting else "use a meter such as 4/4 or 6/8")
            )
        return int(parts)
    if meter.denominator >= 8:
        raise OptionError(f"a beat of {meter} is in threes already and holds no {kind}; use --cells 8ths or 16ths")
    return _PARTS[kind]


def _fits(parts: Fraction) -> bool:
    return parts.denominator == 1 and 2 <= parts <= _MOST_PARTS


def said(cell: Cell, meter: Meter) -> str:
    """A cell as it is counted on 1 (and 2); as boxes where its places have no syllables of their own.

    In cells of two beats a number that is said but not struck stands in parentheses.

    >>> said(Cell(("x..x",)), Meter(4, 4)), said(Cell((".xx",)), Meter(4, 4)), said(Cell((".x", "x.")), Meter(4, 4))
    ('1 a', 'trip let', '(1) & 2')
    """
    beats, places = Meters.of(meter).beats, set(cell.places)
    silent = {Fraction(beat) for beat in range(cell.span)} - places if cell.span > 1 else set()
    named = [(place, syllable(beats[int(place)], place % 1)) for place in sorted(places | silent)]
    words = [f"({word})" if place in silent else word for place, word in named]
    return str(cell) if "ta" in words or cell.parts in _NUMBERED else " ".join(words)
