"""What happens in a stretch of one voice: the places where something begins or stops, and what follows each.

Conventions: ticks from the start of the stretch; the first gap starts where the stretch does. A gap lasts to the next.
``FREE``: something is struck and lasts as long as looks best. ``HELD``: something is struck and sounds until the next
gap, exactly. ``TIED``: something struck before sounds on. ``SILENT``: nothing sounds.
"""

from typing import NamedTuple

FREE, HELD, TIED, SILENT = "free", "held", "tied", "silent"
_LATER = {FREE: SILENT, HELD: TIED, TIED: TIED, SILENT: SILENT}


class Gap(NamedTuple):
    """From ``at`` to the next gap, ``kind`` is what is there."""

    at: int
    kind: str


Gaps = tuple[Gap, ...]


def gap_at(gaps: Gaps, at: int, end: int) -> tuple[str, int]:
    """What is at a place, and until where; ``end`` is where the stretch ends.

    >>> gap_at((Gap(0, FREE), Gap(4, HELD)), 2, 6), gap_at((Gap(0, FREE), Gap(4, HELD)), 4, 6)
    (('silent', 4), ('held', 6))
    """
    kind = SILENT
    for gap in gaps:
        if gap.at > at:
            return kind, gap.at
        kind = gap.kind if gap.at == at else _LATER[gap.kind]
    return kind, end


def within(gaps: Gaps, start: int, end: int, *, origin: int | None = None) -> Gaps:
    """The part from one place to another: what was struck before it is held on, or over.

    Args:
        gaps: what happens in a longer stretch.
        start: of the part.
        end: of the part.
        origin: where to count from; the start of the part when left out.

    >>> within((Gap(0, FREE), Gap(4, HELD)), 2, 6)
    (Gap(at=0, kind='silent'), Gap(at=2, kind='held'))
    """
    origin = start if origin is None else origin
    found = [Gap(start - origin, gap_at(gaps, start, end)[0])]
    found += [Gap(at - origin, kind) for at, kind in gaps if start < at < end]
    return tuple(found)
