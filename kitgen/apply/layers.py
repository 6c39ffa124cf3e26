"""What applications share: a line as strokes, and laying strokes over an ostinato without breaking it."""

from collections.abc import Sequence
from fractions import Fraction

from kitgen.apply.ostinatos import Ostinato, fitted_ostinato
from kitgen.apply.setting import SWUNG, Made, Setting
from kitgen.errors import RefusedError
from kitgen.kit import HATS, Limb
from kitgen.line import Line, Note
from kitgen.pattern import EVEN, Hit, Level, Ornament, Pattern
from kitgen.pattern.sticking import Stroke, stick
from kitgen.time import Meters

_BARS_ALONE = 4
STARTED = "; when it runs by itself, add the line. "
"""What an instruction says after the ostinato it starts with, and before the rest."""


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


def without_graces(hits: list[Hit]) -> list[Hit]:
    """Hits with the flams and drags taken off whose other hand is busy."""
    busy = {(hit.onset, hit.limb) for hit in hits}
    return [
        Hit(hit.onset, hit.limb, hit.surface, hit.level, None, hit.length)
        if hit.ornament is not None and hit.ornament.has_graces and (hit.onset, hit.limb.mirrored) in busy
        else hit
        for hit in hits
    ]


def lost_graces(line: Line, played: Pattern) -> tuple[str, ...]:
    """The note a page carries about grace notes of the line that nobody plays."""
    graced = {hit.onset for hit in played.hits if hit.ornament is not None}
    lost = sum(1 for note in line.notes if note.graces and note.onset not in graced)
    many, them = ("s", "them") if lost > 1 else ("", "it")
    return (f"{lost} grace note{many} of the line left out: no free hand for {them}",) if lost else ()


def laid(
    line: Line,
    setting: Setting,
    hits: list[Hit],
    *,
    title: str,
    say: str,
    label: str,
    default: str | None = None,
    over_say: str | None = None,
) -> Made:
    """Strokes as a page: by themselves, or over an ostinato that is heard alone first and never broken.

    Args:
        line: the line the strokes come from.
        setting: names the ostinato.
        hits: the strokes.
        title: of the page without an ostinato; what it is over is added.
        say: the instruction.
        label: of the row.
        default: the ostinato where the setting names none.
        over_say: the instruction over an ostinato, after it has been started; ``say`` unless given.
    """
    under, item = under_for(setting, line.meters, default)
    if under is None or item is None:
        whole = Pattern(tuple(without_graces(hits)), line.meters)
        return Made(title, say, ((label, whole),), lost_graces(line, whole))
    whole = together(hits, under)
    return Made(
        f"{title} over {item.title}",
        f"Start with {item.words}{STARTED}{over_say or say}",
        (("ostinato alone", _alone(under, item)), (label, whole)),
        lost_graces(line, whole),
        feel=SWUNG if item.swings else EVEN,
        count_quarters=item.latin,
    )


def _alone(under: Pattern, item: Ostinato) -> Pattern:
    """An ostinato by itself for as long as the line, four bars at most, and no less than once through."""
    bars = under.meters.bars
    end = min(under.span, max(item.span, bars[min(len(bars), _BARS_ALONE) - 1].end))
    end = next((bar.end for bar in bars if bar.end >= end), under.span)
    return Pattern(tuple(hit for hit in under.hits if hit.onset < end), under.meters.cut(Fraction(0), end))


def together(top: list[Hit], under: Pattern) -> Pattern:
    """Strokes over an ostinato, which stays untouched.

    Raises:
        RefusedError: the ostinato holds a limb the strokes need, or hand and foot would be on the hi-hat at once.
    """
    needed = {hit.limb for hit in top}
    if held := [limb for limb in under.limbs if limb in needed]:
        free = [limb.name for limb in Limb if limb not in under.limbs]
        raise RefusedError(
            f"the line needs the {held[0].words} ({held[0].name}), which the ostinato holds; "
            f"it leaves free: {', '.join(free) or 'no limb'}; name limbs with --limb or --order, or another --under"
        )
    above, below = {hit.surface for hit in top}, {hit.surface for hit in under.hits}
    if (above & HATS and "hat-foot" in below) or (below & HATS and "hat-foot" in above):
        raise RefusedError(
            "the line: a hand on the hi-hat needs the foot to hold it, and the foot would play; "
            "use --surface ride, or feet without the hat (--under quarters)"
        )
    return Pattern(tuple(without_graces([*top, *under.hits])), under.meters)


def under_for(setting: Setting, meters: Meters, default: str | None) -> tuple[Pattern | None, Ostinato | None]:
    """The ostinato a setting asks for, or the application's default; none if neither names one."""
    name = setting.under or default
    if name is None or name == "none":
        return None, None
    return fitted_ostinato(name, meters, setting.kit)


def holder_of(limb: Limb, setting: Setting, meters: Meters) -> str:
    """The words of the ostinato asked for, where it holds a limb; empty where it does not or there is none."""
    under, item = under_for(setting, meters, None)
    return item.words if under is not None and item is not None and limb in under.limbs else ""


def stuck(strokes: Sequence[Stroke], meters: Meters, setting: Setting, *, held: Sequence[Hit] = ()) -> list[Hit]:
    """Strokes of the hands with the sticking that costs least, for the setting's player, hands and pace.

    Args:
        strokes: in time order, two at one instant at most.
        meters: the meters they stand under.
        setting: says who plays, how fast, and how the hands are set.
        held: strokes whose hand is settled already.

    Raises:
        RefusedError: an instant with more strokes than free hands.
    """
    return list(stick(strokes, meters, pace=setting.pace, player=setting.player, hand=setting.kit.hand, held=held))


def opening(line: Line, most: int) -> tuple[Line, tuple[str, ...]]:
    """The first bars of a line, where it has more than a page of many rows can hold, and the note that says so."""
    bars = len(line.meters.bars)
    if bars <= most:
        return line, ()
    first = 0 if line.pickup else 1
    return line.measures(first, first + most - 1), (
        f"the first {most} of the line's {bars} bars; --measures chooses others",
    )
