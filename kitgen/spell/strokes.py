"""How one stroke is printed: its place and head, its grace notes, its sticking, and what the hat's foot has done.

A closed hat is unmarked, except that the first closed stroke after an open one carries a plus unless the foot closed it
before. A flam is one small eighth with a slash, a drag two small sixteenths, by the other hand on the same drum.
"""

from collections.abc import Iterable
from functools import lru_cache

from kitgen.kit import SURFACES, Limb
from kitgen.pattern import Hit, Level, Ornament
from kitgen.spell.values import Grace, Stroke

_GRACES = {Ornament.FLAM: 1, Ornament.DRAG: 2}


@lru_cache(maxsize=4096)
def stroke_of(
    limb: Limb,
    surface: str,
    level: Level,
    ornament: Ornament | None,
    hat: str,
    held: bool,  # noqa: FBT001  by place, since a call with keywords is found in the cache more slowly
    sticking: bool,  # noqa: FBT001
) -> Stroke:
    """A hit as a notehead.

    Args:
        limb: what strikes.
        surface: what is struck.
        level: how loud.
        ornament: what is added.
        hat: ``open``, ``closed`` or empty.
        held: the written length is meant.
        sticking: print R or L.
    """
    row = SURFACES[surface]
    graces = graces_of(_GRACES.get(ornament, 0) if ornament else 0, limb, surface)
    letters = limb.mirrored.name[0].lower() * len(graces) + limb.name[0] if sticking and limb.is_hand else ""
    return Stroke(limb, surface, row.place, row.head, level, ornament, held, "", hat, graces, letters)


def graces_of(count: int, limb: Limb | None, surface: str) -> tuple[Grace, ...]:
    """So many small notes before a stroke of a limb on a surface, or on a line without an instrument."""
    by = None if limb is None else limb.mirrored
    place, head = (SURFACES[surface].place, SURFACES[surface].head) if surface else LINE_PLACE
    if count == 1:
        return (Grace(by, surface, place, head, "eighth", slash=True),)
    beams = ("begin", *["continue"] * (count - 2), "end")[:count]
    return tuple(Grace(by, surface, place, head, "16th", slash=False, beams=(beam, beam)) for beam in beams)


LINE_PLACE = ("B4", "normal")
"""Where a line without an instrument stands: on the middle line."""


def hat_marks(hits: Iterable[Hit]) -> list[str]:
    """The hat's mark of each of some hits, in order: ``open``, ``closed`` where that has to be said, or empty."""
    found: list[str] = []
    is_open = False
    for hit in hits:
        label = hit.surface
        if label == "open-hat":
            found.append("open")
            is_open = True
        elif label in ("closed-hat", "hat-foot"):
            found.append("closed" if is_open and label == "closed-hat" else "")
            is_open = False
        else:
            found.append("")
    return found


def one_head_each(strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
    """The strokes of a chord, with one shown of those that share place and head: the loudest that is struck."""
    if len(strokes) < 2 or len({(stroke.place, stroke.head) for stroke in strokes}) == len(strokes):
        return strokes
    found: list[Stroke] = []
    for stroke in strokes:
        alike = [other for other in strokes if (other.place, other.head) == (stroke.place, stroke.head)]
        loudest = max(alike, key=lambda other: (other.tie not in ("stop", "both"), other.level))
        found.append(stroke if stroke is loudest else stroke._replace(shown=False))
    return tuple(found)
