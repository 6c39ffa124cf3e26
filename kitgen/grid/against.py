"""Where a cell and what goes on divide a beat in ways that do not fit into each other: 3 against 2.

That is a polyrhythm, which is a study of its own and no cell over an ostinato (common practice). A beat that one of the
two does not divide is none: triplets go with feet on the numbers.
"""

from collections.abc import Collection, Sequence
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from kitgen.apply.ostinatos import OSTINATOS
from kitgen.apply.pulse import listed
from kitgen.errors import KitgenError, RefusedError
from kitgen.grid.cells import KINDS, Cell, cells_of
from kitgen.grid.ground import TIMES, Ground, ground_of
from kitgen.kit import Kit, Limb
from kitgen.time import Beat, Meter


class Clash(NamedTuple):
    """Parts of one beat against other parts.

    Args:
        cell: parts in which the cell divides the beat.
        ground: parts in which what goes on divides it.
        boxes: all strokes together, on the fewest boxes that show them.
        beats: the beats it is so on.
    """

    cell: int
    ground: int
    boxes: str
    beats: tuple[Beat, ...]

    @property
    def words(self) -> str:
        """``3 against 2 on beats 2 and 4``."""
        bars = {beat.bar for beat in self.beats}
        named = [f"{beat.number} of bar {beat.bar}" if bars != {1} else str(beat.number) for beat in self.beats]
        return f"{self.cell} against {self.ground} on beat{'s' if len(named) > 1 else ''} {listed(named)}"


def clashes(cell: Cell, ground: Ground) -> tuple[Clash, ...]:
    """Where a cell again and again stands against what goes on.

    >>> from kitgen.kit import kit
    >>> bossa = ground_of("bossa", Meter(4, 4), kit("standard"))
    >>> [(clash.words, clash.boxes) for clash in clashes(Cell(("xxx",)), bossa)]
    [('3 against 2 on beats 2 and 4', 'x.xxx.')]
    >>> clashes(Cell(("x..",)), bossa)
    ()
    """
    found: dict[tuple[int, int, str], list[Beat]] = {}
    for index, beat in enumerate(ground.meters.beats):
        own = {place % 1 for place in cell.places if int(place) == index % cell.span}
        under = {
            (hit.onset - beat.start) / beat.length for hit in ground.pattern.hits if beat.start <= hit.onset < beat.end
        }
        parts, others = _parts(own), _parts(under)
        if parts % others and others % parts:
            found.setdefault((parts, others, _boxes(own | under)), []).append(beat)
    return tuple(Clash(*key, tuple(beats)) for key, beats in found.items())


def clash_notes(cell: Cell, ground: Ground) -> tuple[str, ...]:
    """What a page says of them, a sentence each."""
    return tuple(f"{clash.words}: together they sound {clash.boxes}" for clash in clashes(cell, ground))


class Wanted(NamedTuple):
    """What a grid asks for besides its cells and its ostinato.

    Args:
        meter: the meter.
        on: the kit.
        time: how a hand keeps time.
        threes: swung grounds are written as they sound.
        moving: the limbs that move.
    """

    meter: Meter
    on: Kit
    time: str
    threes: bool
    moving: Collection[Limb]


def check_apart(cells: Sequence[Cell], ground: Ground, wanted: Wanted) -> None:
    """Raise where a cell stands against what goes on.

    Args:
        cells: the cells of a grid.
        ground: what goes on.
        wanted: the rest, to find what would fit.

    Raises:
        RefusedError: says where, what goes with the cells and which cells go with it.
    """
    first = next((clash for cell in reversed(cells) for clash in clashes(cell, ground)), None)
    if first is None:
        return
    ways = []
    if under := [name for name in OSTINATOS if _goes(cells, name, wanted)]:
        ways.append(f"--under {', '.join(under)}")
    elif times := [time for time in TIMES if _goes(cells, ground.under, wanted._replace(time=time))]:
        ways.append(f"--time {', '.join(times)}")
    kinds = {kind: _cells(kind, wanted.meter) for kind in KINDS[:3]}
    if fitting := [kind for kind, own in kinds.items() if own and not any(clashes(cell, ground) for cell in own)]:
        ways.append(f"--cells {', '.join(fitting)}")
    ways.append("--polyrhythm to practise just that")
    raise RefusedError(
        f"these cells over {ground.title} are a polyrhythm, {first.words}; what fits is {', or '.join(ways)}"
    )


def _goes(cells: Sequence[Cell], under: str, wanted: Wanted) -> bool:
    """True where cells go with an ostinato that leaves the moving limbs free."""
    try:
        ground = ground_of(under, wanted.meter, wanted.on, time=wanted.time, threes=wanted.threes)
    except KitgenError:
        return False
    held = set(ground.pattern.limbs) & set(wanted.moving)
    return not held and not any(clashes(cell, ground) for cell in cells)


def _cells(kind: str, meter: Meter) -> tuple[Cell, ...]:
    try:
        return cells_of(kind, meter)
    except KitgenError:
        return ()


def _parts(places: Collection[Fraction]) -> int:
    return lcm(*(place.denominator for place in places))


def _boxes(places: Collection[Fraction]) -> str:
    parts = _parts(places)
    return "".join("x" if Fraction(index, parts) in places else "." for index in range(parts))
