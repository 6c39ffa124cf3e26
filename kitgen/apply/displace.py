"""The line shifted later, one of its own subdivisions at a time."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from kitgen.apply.layers import laid, under_for, without_graces
from kitgen.apply.pulse import beginning, over, plain_feet, voiced
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import RefusedError
from kitgen.line import Line
from kitgen.line.stream import parts_struck
from kitgen.pattern import Level, Ornament
from kitgen.pattern.value import common_grid
from kitgen.time import Meters, count_name, unit_name

_MOST_BARS = 96
_SHORTEST = Fraction(1, 8)
_SHORT_LINE = 2
_TUPLETS = {3: "triplet note", 5: "quintuplet note", 6: "sextuplet note", 7: "septuplet note"}


class Step(NamedTuple):
    """How far a line moves from row to row.

    Args:
        length: in quarters.
        mixed: True where the line has no single subdivision that can be counted, so that it moves beat by beat.
    """

    length: Fraction
    mixed: bool = False


def step_of(line: Line) -> Step:
    """The line's smallest own subdivision.

    That is the widest grid that holds its strokes and its beats: the finest even division, the partial of a line in
    triplets. A line of plain beats moves by half a beat (by an eighth in 6/8). Where the grid is one nobody counts, as
    the twelfths under sixteenths beside triplets, or ninths of a beat, the line moves by whole beats, so that every
    figure stays readable.

    >>> step_of(Line.parse("1 & 2 e & a 3 4 &")).length, step_of(Line.parse("1 trip let 2 3 4")).length
    (Fraction(1, 4), Fraction(1, 3))
    """
    beats, parts = line.meters.beats, parts_struck(line)
    own = {beat.full / count for beat, count in zip(beats, parts, strict=True)}
    grid = common_grid(own)
    if set(parts) == {1} and len(own) == 1:
        unit = beats[0].meter.unit
        return Step(unit if unit < grid else grid / 2)
    full = {beat.full for beat in beats}
    if grid >= _SHORTEST and not grid.denominator & (grid.denominator - 1):
        return Step(grid)
    if len(full) == 1 and grid in own and min(full) / grid in _TUPLETS:
        return Step(grid)
    return Step(common_grid(full), mixed=True)


def shifted(line: Line, by: Fraction) -> Line:
    """The line later by so many quarters, wrapping at its span; a note that reaches the end is cut there."""
    span = line.span
    starts = [((note.onset + by) % span, note) for note in line.notes]
    notes = (replace(note, onset=at, length=min(note.length, span - at)) for at, note in starts)
    return Line(tuple(notes), line.meters)


def displace(line: Line, setting: Setting) -> Made:
    """The line later by one of its own subdivisions in each row, over feet that keep the pulse.

    Said to a student: the feet do not move and neither does your count; the line does. Sing where the 1 is before you
    play a row. A line of one or two bars goes through all shifts of a bar, a longer one through those of a beat; where
    the line comes back to itself earlier, the rows stop there. Options: ``limb`` and ``surface`` (both hands on the
    snare unless told; their sticking is the natural one of the shifted line), ``under``. Refused where every place of
    the line is struck alike, so that no shift can be heard. Law: the row of shift k is the first row ``>> k * step``,
    stroke for stroke (in one limb: hit for hit), and the feet are the same in every row.
    """
    line, step, shifts, notes = _fitting(line, setting)
    default = plain_feet(setting)
    first = laid(
        line,
        setting,
        voiced(line, setting),
        title=f"Displaced by {_article(_unit(step, line.meters))}",
        say=f"Each row starts {_amount(1, step, line.meters)} later; the count and the feet stay where they are.",
        label="the line",
        default=default,
    )
    under, _ = under_for(setting, line.meters, default)
    rows = tuple(
        (
            _label(turn, step, line.meters),
            over(voiced(shifted(line, turn * step.length), setting), under, line.meters),
        )
        for turn in shifts[1:]
    )
    if step.mixed:
        unit = _unit(step, line.meters)
        notes += (f"moved {_article(unit)} at a time: the line has no single smaller subdivision to count in",)
    return first._replace(rows=first.rows + rows, notes=first.notes + notes)


def _fitting(whole: Line, setting: Setting) -> tuple[Line, Step, list[int], tuple[str, ...]]:
    """As much of a line as a page holds with a row a shift: the bars, the step, the shifts and the note about it."""
    line, notes = beginning(whole, _MOST_BARS // 2)
    while True:
        step = step_of(line)
        shifts = _shifts(line, step, setting)
        most = max(1, _MOST_BARS // len(shifts))
        if len(line.meters.bars) <= most:
            return line, step, shifts, notes
        line, notes = beginning(whole, most)


def _shifts(line: Line, step: Step, setting: Setting) -> list[int]:
    """How many steps later each row is, from 0, until the reach of the page ends or the line is itself again."""
    bars, beat = line.meters.bars, line.meters.beats[0].length
    reaches = [bars[0].length, line.span]
    if len(bars) > _SHORT_LINE and not step.mixed:
        reaches = [beat, *reaches]
    elif bars[0].length / step.length * len(bars) > _MOST_BARS:
        reaches = [beat]
    reach = next((reach for reach in reaches if reach >= 2 * step.length), line.span)
    most = min(-(-reach // step.length), _MOST_BARS)
    once = _heard(line, setting)
    back = next((turn for turn in range(1, most) if _heard(shifted(line, turn * step.length), setting) == once), most)
    if back == 1:
        raise RefusedError(
            f"moved by {_article(_unit(step, line.meters))} this line sounds the same, so no shift can be heard; leave "
            "some places empty, accent some (X in boxes, ! in note values), or use --as subdivide"
        )
    return list(range(back))


def _heard(line: Line, setting: Setting) -> Counter[tuple[Fraction, Level, Ornament | None]]:
    """What can be heard of a line as it is played, whichever hand it is; a foot plays no grace notes."""
    return Counter((hit.onset, hit.level, hit.ornament) for hit in without_graces(voiced(line, setting)))


def _unit(step: Step, meters: Meters) -> str:
    """A step in words: ``eighth``, ``triplet note``, ``beat``."""
    full = {beat.full for beat in meters.beats}
    if step.mixed and full == {step.length}:
        return "beat"
    name = unit_name(step.length)
    if " of " in name and len(full) == 1:
        return _TUPLETS.get(int(full.pop() / step.length), name)
    return name


def _amount(turn: int, step: Step, meters: Meters) -> str:
    unit = _unit(step, meters)
    if " of " in unit:
        return f"{turn * step.length} of a quarter"
    return f"{turn} {unit}{'s' if turn > 1 else ''}"


def _label(turn: int, step: Step, meters: Meters) -> str:
    """How much later a row is, and where the 1 of the line has gone: ``1 eighth later, its 1 on "& of 1"``."""
    place = count_name(meters, turn * step.length)
    return f"{_amount(turn, step, meters)} later, its 1 on {place.removeprefix('bar 1, count ')}"


def _article(unit: str) -> str:
    return unit if unit[0].isdigit() else f"{'an' if unit[0] in 'aeiou' else 'a'} {unit}"


APPLICATION = Application(
    "displace",
    "time itself",
    "the line shifted by one of its own subdivisions each time",
    displace,
    uses=("limb", "surface", "under"),
)
