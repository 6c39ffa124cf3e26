"""What applications share: a line as strokes, and laying strokes over an ostinato without breaking it."""

from fractions import Fraction
from math import lcm

from kitgen.apply.ostinatos import Ostinato, fitted_ostinato
from kitgen.apply.setting import Setting
from kitgen.errors import RefusedError
from kitgen.kit import Limb
from kitgen.line import Line, Note
from kitgen.pattern import Hit, Level, Ornament, Pattern, project
from kitgen.time import Meters


def level_of(note: Note) -> Level:
    """The level of a line's note."""
    return Level.ACCENT if note.accent else Level.NORMAL


def ornament_of(note: Note, limb: Limb) -> Ornament | None:
    """Grace notes as an ornament: one is a flam, more a drag; none on a foot."""
    if not note.graces or not limb.is_hand:
        return None
    return Ornament.FLAM if note.graces == 1 else Ornament.DRAG


def stroke(note: Note, limb: Limb, label: str, *, level: Level | None = None) -> Hit:
    """A line's note as a stroke of one limb."""
    return Hit(note.onset, limb, label, level or level_of(note), ornament_of(note, limb))


def without_graces(hits: list[Hit]) -> tuple[list[Hit], int]:
    """Hits with the flams and drags taken off whose other hand is busy, and how many that were."""
    busy = {(hit.onset, hit.limb) for hit in hits}
    bare = {
        index: Hit(hit.onset, hit.limb, hit.surface, hit.level, None, hit.length)
        for index, hit in enumerate(hits)
        if hit.ornament is not None and hit.ornament.has_graces and (hit.onset, hit.limb.mirrored) in busy
    }
    return [bare.get(index, hit) for index, hit in enumerate(hits)], len(bare)


def lost_graces(lost: int) -> tuple[str, ...]:
    """The note a page carries about graces taken off."""
    if not lost:
        return ()
    return (f"{lost} grace note{'s' if lost > 1 else ''} of the line left out: the other hand is busy there",)


def together(top: list[Hit], under: Pattern, what: str) -> tuple[Pattern, tuple[str, ...]]:
    """Strokes over an ostinato, which stays untouched.

    Raises:
        RefusedError: the ostinato holds a limb the strokes need; names what would be free.
    """
    needed = {hit.limb for hit in top}
    if held := [limb for limb in under.limbs if limb in needed]:
        free = [limb.name for limb in Limb if limb not in under.limbs]
        raise RefusedError(
            f"{what} needs the {held[0].words} ({held[0].name}), which the ostinato holds; "
            f"it leaves free: {', '.join(free) or 'no limb'}"
        )
    hits, lost = without_graces([*top, *under.hits])
    return Pattern(tuple(hits), under.meters), lost_graces(lost)


def under_for(setting: Setting, meters: Meters, default: str | None) -> tuple[Pattern | None, Ostinato | None]:
    """The ostinato a setting asks for, or the application's default; none if neither names one."""
    name = setting.under or default
    if name is None or name == "none":
        return None, None
    return fitted_ostinato(name, meters, setting.kit)


def grid_of(line: Line) -> list[tuple[Fraction, Fraction]]:
    """Every place of the line's own stream, as (place, length): finest even division, threes where it has threes."""
    finest = finest_division(line)
    places = []
    for beat, parts in zip(line.meters.beats, line.parts_a_beat, strict=True):
        count = stream_parts(parts, finest)
        places += [(beat.start + beat.length * Fraction(k, count), beat.length / count) for k in range(count)]
    return places


def stream_parts(parts: int, finest: int) -> int:
    """Parts of a beat in a continuous stream: even beats all at the finest, odd beats as they are."""
    if parts == 1:
        return finest
    return lcm(parts, finest) if parts % 2 == 0 and finest % 2 == 0 else parts


def finest_division(line: Line) -> int:
    """How the stream of a line divides a plain beat: its finest even division, else its finest odd one, else in two."""
    even = [parts for parts in line.parts_a_beat if parts % 2 == 0]
    odd = [parts for parts in line.parts_a_beat if parts % 2 and parts > 1]
    return max(even or odd or [2])


def limbs_alone(pattern: Pattern, limbs: tuple[Limb, ...]) -> Pattern:
    """One bar (or the whole, if shorter) of what some limbs play."""
    first = pattern.meters.bars[0].end
    own = project(pattern, *limbs)
    return Pattern(tuple(hit for hit in own.hits if hit.onset < first), pattern.meters.cut(Fraction(0), first))
