"""The line handed from limb to limb, no two together."""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from itertools import cycle
from math import gcd

from kitgen.apply.layers import laid, level_of, ornament_of, under_for
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import OptionError
from kitgen.kit import Kit, Limb, kit, surface
from kitgen.line import Line
from kitgen.line.stream import grid_of
from kitgen.pattern import Hit, Level, Pattern, silence

_USUAL_ORDER = (Limb.RH, Limb.LH, Limb.RF)


def pass_linear(
    line: Line,
    *,
    order: str | tuple[Limb, ...] = _USUAL_ORDER,
    gaps: str = "left",
    surfaces: Mapping[Limb, str] | None = None,
) -> Pattern:
    """Each note of the line to the next limb of an order, which starts over with the line.

    Args:
        line: the line.
        order: limbs in turn, as values or text ("RH LH RF").
        gaps: ``left`` silent, or ``filled``: the empty places of the line's stream go to the next limbs as taps, so
            that the stream is continuous and the line stands out of it.
        surfaces: what each limb strikes; usual ones when left out.

    Law: no two limbs at one instant, and the strokes above a tap give the line back.

    >>> [hit.limb.name for hit in pass_linear(Line.parse("1 & 2 3 4"), order="RH LH RF")]
    ['RH', 'LH', 'RF', 'RH', 'LH']
    """
    limbs = tuple(Limb.parse(word) for word in order.replace(",", " ").split()) if isinstance(order, str) else order
    if not limbs:
        raise OptionError("an order to pass the line in names limbs, such as RH LH RF")
    struck = {**linear_surfaces(kit("standard"), limbs), **(surfaces or {})}
    notes = {note.onset: note for note in line.notes}
    places = [at for at, _ in grid_of(line)] if gaps == "filled" else list(notes)
    hits = []
    for at, limb in zip(places, cycle(limbs), strict=False):
        note = notes.get(at)
        level = Level.TAP if note is None else level_of(note)
        hits.append(Hit(at, limb, struck[limb], level, None if note is None else ornament_of(note, limb)))
    return Pattern(tuple(hits), line.meters)


def linear_surfaces(on: Kit, limbs: Iterable[Limb], *, hat_foot: bool = False) -> dict[Limb, str]:
    """What each limb strikes in linear playing; the time hand leaves the hat where the foot plays it."""
    time = "ride" if hat_foot or on.hat_foot in limbs else "closed-hat"
    time_hand = on.limb_for(time)
    return {time_hand: time, time_hand.mirrored: "snare", on.bass_foot: "bass", on.hat_foot: "hat-foot"}


def linear(line: Line, setting: Setting) -> Made:
    """The line passed from limb to limb.

    Said to a student: only one limb at a time; say the limbs aloud before you play them; every stroke as loud as the
    next. Options: ``order`` (any limbs, each once), ``gaps`` left or filled, ``carry`` to let the order run on through
    repeats of the line until it comes round (or for as many bars as asked), ``under`` if it leaves the order's limbs
    free. Law: see :func:`pass_linear`.
    """
    limbs = setting.order or tuple(limb if setting.kit.hand != "left" else limb.mirrored for limb in _USUAL_ORDER)
    under, _ = under_for(setting, line.meters, None)
    hat_foot = under is not None and any(hit.surface == "hat-foot" for hit in under.hits)
    chosen = {**linear_surfaces(setting.kit, limbs, hat_foot=hat_foot), **_chosen(setting, limbs)}
    surfaces = {limb: setting.need(label) for limb, label in chosen.items() if limb in limbs}
    if setting.carry and setting.turn is None:
        strokes = len(grid_of(line)) if setting.gaps == "filled" else len(line.notes)
        line = line * (len(limbs) // gcd(len(limbs), strokes))
    once = line.span if setting.carry or setting.turn is None else setting.turn
    passed = silence()
    for start, end, times in _turns(line.span, once):
        passed += pass_linear(line.cut(start, end), order=limbs, gaps=setting.gaps, surfaces=surfaces) * times
    names = " ".join(limb.name for limb in limbs)
    say = "Pass the line round in this order, one limb at a time; no two of its strokes together."
    if setting.gaps == "filled":
        say += " The taps between stay under the line."
    if setting.carry:
        say += " The order carries on where the line repeats."
    return laid(
        line,
        setting,
        list(passed.hits),
        title=f"Linear {names}{', gaps filled' if setting.gaps == 'filled' else ''}",
        say=say,
        label=f"passed {names}",
    )


def _turns(span: Fraction, once: Fraction) -> Iterator[tuple[Fraction, Fraction, int]]:
    """A line that repeats, as (start, end, times through): its first turn, and what the last bars cut short."""
    times = int(span // once)
    if times:
        yield Fraction(0), once, times
    if span % once:
        yield once * times, span, 1


def _chosen(setting: Setting, limbs: tuple[Limb, ...]) -> dict[Limb, str]:
    """The surface the user chose, for the first limb of the order that can play it."""
    if setting.surface is None:
        return {}
    able = [limb for limb in limbs if limb.is_hand == (surface(setting.surface).struck_by == "hand")]
    if not able:
        names = " ".join(limb.name for limb in limbs)
        raise OptionError(f"--surface {setting.surface}: no limb of the order {names} can play it")
    return {able[0]: setting.surface}


APPLICATION = Application(
    "linear",
    "hands and feet",
    "the line handed from limb to limb, no two together",
    linear,
    uses=("order", "gaps", "carry", "surface", "under"),
)
