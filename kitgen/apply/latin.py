"""The line over feet that go with the clave, and which side of the clave it agrees with."""

from typing import NamedTuple

from kitgen.apply.hands import in_hands
from kitgen.apply.layers import laid, stroke
from kitgen.apply.limb import in_one
from kitgen.apply.setting import Application, Made, Setting
from kitgen.kit import HAND_LIMBS, surface
from kitgen.line import Line
from kitgen.pattern import Hit
from kitgen.pattern.clave import EITHER, agreements, clave_span, side_of
from kitgen.time import Meter

_BRAZILIAN = ("samba", "bossa", "baiao")
_TUMBAO, _PLAIN = "tumbao", "bass-1-3-hat-2-4"
_FOR_TUMBAO = (Meter(4, 4), Meter(2, 2))


class _Side(NamedTuple):
    """The side of the clave a line agrees with, None where it has none, and what the page says of it."""

    side: str | None
    words: str


def latin(line: Line, setting: Setting) -> Made:
    """The line in the hands over tumbao feet (plain ones where those do not fit), with the clave it agrees with.

    Said to a student: get the feet going; clap the clave over them and say which half has three; then play the line and
    hear where it meets the clave. Options: ``limb`` for one limb instead of both hands, ``surface`` (a drum for both
    hands; floor-shell, cross-stick, a bell or a cymbal for the hand that usually plays it), ``under`` for other feet,
    ``clave`` son or rumba. One bar is played twice, since a clave lasts two, and goes with either side; over Brazilian
    feet it is not.

    The side is found by counting strokes on the clave (:func:`kitgen.pattern.clave.side_of`) and stands in the notes.
    Brazilian feet have no side, nor has a meter without a clave, nor an odd number of bars. Refused where the feet hold
    the limb or do not fit. Law: the strokes give the line's onsets; the feet, projected out, are untouched.
    """
    line, twice = (line, False) if setting.under in _BRAZILIAN else _two_bars(line)
    tumbao = all(meter in _FOR_TUMBAO for meter, _ in line.meters.runs)
    found = _side(line, setting)
    hits, who = _hits(line, setting)
    made = laid(
        line,
        setting,
        hits,
        title=f"Latin, {who}",
        say="Play the line evenly.",
        label="the line",
        default=_TUMBAO if tumbao else _PLAIN,
        over_say=f"Keep the {found.side} {setting.clave} clave in your ear."
        if found.side
        else "Where strokes meet they sound together.",
    )
    notes = [found.words]
    if twice:
        notes.append("one bar is played twice, since a clave lasts two")
    if not tumbao and setting.under is None:
        notes.append("tumbao feet are written for 4/4 and 2/2; here the feet are plain")
    return made._replace(notes=(*notes, *made.notes), clave=found.side, count_quarters=True)


def _two_bars(line: Line) -> tuple[Line, bool]:
    """A line of one bar twice, where a clave lasts two of its bars; True if so."""
    meter = line.meters.only
    span = None if meter is None else clave_span(meter)
    return (line * 2, True) if span is not None and line.span * 2 == span else (line, False)


def _hits(line: Line, setting: Setting) -> tuple[list[Hit], str]:
    """The strokes of the line, and who plays them."""
    kit, label = setting.kit, setting.surface
    one_hand = label is not None and surface(label).struck_by == "hand" and surface(label).head != "normal"
    if setting.limb is None and label is not None and one_hand:
        limb = kit.limb_for(label)
        return [stroke(note, limb, setting.need(label)) for note in line.notes], f"{surface(label).words}"
    if setting.limb is not None:
        return in_one(line, setting, setting.limb), setting.limb.words
    hits = in_hands(line, setting, setting.hand_surface("snare"), kind="computed")
    return hits, "both hands" if all(map(setting.player.plays, HAND_LIMBS)) else "one hand"


def _side(line: Line, setting: Setting) -> _Side:
    if setting.under in _BRAZILIAN:
        return _Side(None, f"{setting.under} feet have no clave side")
    kind, spans = setting.clave, {clave_span(meter) for meter, _ in line.meters.runs}
    if len(spans) > 1 or None in spans:
        return _Side(None, "a clave lasts two bars of 4/4, 2/2, 2/4 or 6/8, so this line has no clave side")
    counts = agreements(line.onsets, line.meters, kind=kind)
    if not counts:
        return _Side(None, "a clave lasts two bars, so this number of bars turns it round each time through: no side")
    side = side_of(line.onsets, line.meters, kind=kind, accents=line.accents)
    decided = {count.side for count in counts} - {EITHER}
    on = f"strokes on 3-2: {sum(n.three_two for n in counts)}, on 2-3: {sum(n.two_three for n in counts)}"
    if len(decided) > 1:
        return _Side(None, f"the line goes from one side of the {kind} clave to the other, so it has none ({on})")
    if side == EITHER:
        return _Side(None, f"the line goes with either side of the {kind} clave ({on})")
    if not decided:
        return _Side(side, f'the line goes with the {side} {kind} clave by its accented or lone "& of 2" alone ({on})')
    return _Side(side, f"the line agrees with the {side} {kind} clave ({on})")


APPLICATION = Application(
    "latin",
    "time",
    "the line over feet that go with the clave, and its side",
    latin,
    uses=("limb", "surface", "under", "clave"),
    rules=("clave-side", "crash-carried", "hat-closed"),
)
