"""A few beats of the line, round and round over the barline until both start together again."""

from fractions import Fraction
from typing import NamedTuple

from kitgen.apply.layers import laid
from kitgen.apply.pulse import listed, plain_feet, voiced
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import OptionError, RefusedError
from kitgen.line import Line
from kitgen.pattern.value import common_span
from kitgen.time import Meter, Meters, unit_name

_FEWEST, _MOST = 1, 15
_WHOLE = (3, 5)
_USUAL = (3, 5, 7, 4, 2)
_FOUR_FOUR = Meter(4, 4)


class Cell(NamedTuple):
    """What goes over the bar.

    Args:
        line: the beats, barred as they were.
        meter: what they are barred in when they go round.
        beats: how many counts they last.
        unit: what one count lasts, in quarters.
        whole: True where they are the whole line.
    """

    line: Line
    meter: Meter
    beats: int
    unit: Fraction
    whole: bool


def over_bar(line: Line, setting: Setting) -> Made:
    """The first beats of the line over and over, barred in the meter, until they end with a barline.

    Said to a student: the feet have the bar, the hands have the line; count the bars aloud and know when both are on 1
    together again. Counts are the meter's beats; its units where beats are unequal (eighths in 7/8) or a bar is one
    beat (3/8). Options: ``beats`` 1 to 15; left out, a line that is 3 or 5 counts long is taken whole and barred in
    four (12/8 where beats are in threes, 2/2 where they are halves), any other gives its first 3, or 5 where the bar
    has a multiple of 3; ``limb``, ``surface``, ``under``. Refused where the beats fit the bar or the bar fits them,
    where the line has not so many, or where they are rest; a pickup, and bars of rest before the line, are left out.
    Law: the span is the least common multiple of the beats and the bar, and each time round, cut out of the row, is the
    beats as they were.
    """
    line, notes = _from_one(line)
    if line.meters.only is None:
        notes += (f"the meter of the line changes; here all is barred in {line.meters.bars[0].meter}",)
    cell = _cell(line, setting)
    span = common_span(cell.line.span, cell.meter.span)
    bars, times = int(span / cell.meter.span), int(span / cell.line.span)
    rounds = Line((cell.line * times).notes, Meters.of(cell.meter, bars))
    what = _counted(cell.beats, cell.unit, cell.meter)
    taken = "the whole line" if cell.whole else f"the first {what} of the line"
    made = laid(
        rounds,
        setting,
        voiced(rounds, setting),
        title=f"{what.capitalize()} against {cell.meter}",
        say=f"Count the bars aloud; the line starts on 1 again after {bars} bars.",
        label=f"{times} times round in {bars} bars",
        default=plain_feet(setting),
    )
    meet = (
        f"{taken} against {cell.meter}: they meet again after {bars} bars, when the line has gone round {times} times"
    )
    return made._replace(notes=(*notes, meet, *made.notes))


def _from_one(line: Line) -> tuple[Line, tuple[str, ...]]:
    """The line from the first bar it plays in, without a pickup, and what the page says about it."""
    bars, notes = line.meters.bars, tuple[str, ...]()
    if line.pickup and len(bars) > 1:
        line, notes = line.cut(bars[0].end, line.span), ("the pickup is left out, so that the line starts on 1",)
    if line.notes and (silent := line.meters.beat_at(line.onsets[0]).bar - 1):
        start = line.meters.bars[silent].start
        left = f"the {silent} bars of rest before the line are" if silent > 1 else "the bar of rest before the line is"
        line, notes = line.cut(start, line.span), (*notes, f"{left} left out")
    return line, notes


def _cell(line: Line, setting: Setting) -> Cell:
    """The beats that go over the bar, and the meter they are barred in.

    Raises:
        OptionError: a number of beats out of range; RefusedError: one that does not suit the line.
    """
    beats = setting.beats
    if beats is not None and not _FEWEST <= beats <= _MOST:
        raise OptionError(f"--beats {beats}; {_FEWEST} to {_MOST} beats of the line go over the bar, usually 3 or 5")
    meter = line.meters.bars[0].meter
    count = meter.tempo_unit if len(meter.beats) > 1 else meter.unit
    once = min(line.span, setting.turn or line.span)
    if once / count in _WHOLE and line.meters.only and beats in (None, once / count):
        return Cell(line.cut(Fraction(0), once), _in_four(count), int(once / count), count, whole=True)
    fitting = [number for number in range(_FEWEST, _MOST + 1) if _crosses(number, meter, count)]
    there = [number for number in fitting if number * count <= line.span]
    wanted = beats or next((number for number in _USUAL if number in there), None)
    if wanted is None or wanted not in there:
        raise RefusedError(_why_not(line, wanted, meter, count, fitting, there))
    cell = line.cut(Fraction(0), wanted * count)
    if not cell.notes:
        what = _counted(wanted, count, meter)
        raise RefusedError(f"the first {what} of this line are rest; take more with --beats, or others with --measures")
    return Cell(cell, meter, wanted, count, whole=cell.span == line.span)


def _crosses(number: int, meter: Meter, count: Fraction) -> bool:
    """True where so many counts go over the barline of a meter and come back to it later."""
    bar = meter.span / count
    return bool(number % bar and bar % number)


def _in_four(count: Fraction) -> Meter:
    """The meter of four (cut time: two) whose beats a line of 3 or 5 counts goes over."""
    if count >= 2:
        return Meter(2, int(4 / count))
    return _FOUR_FOUR if count.numerator == 1 else Meter(12, int(12 / count))


def _why_not(
    line: Line, wanted: int | None, meter: Meter, count: Fraction, fitting: list[int], there: list[int]
) -> str:
    """Why so many beats do not go over this bar, and what does."""
    bar = int(meter.span / count)
    if (wanted is not None and wanted in fitting) or (wanted is None and fitting):
        number = wanted or next(number for number in (*_USUAL, *fitting) if number in fitting)
        length = _counted(int(line.span // count), count, meter)
        bars = -(-number * count // line.span) * len(line.meters.bars)
        shorter = f"take fewer with --beats {listed([*map(str, there[:4])], 'or')}, or " if there else ""
        return (
            f"the line is {length} long and {number} would have to go over the bar; {shorter}repeat the line with "
            f"--bars {bars}"
        )
    if wanted is None or not fitting:
        return f"a bar of {meter} is one beat, and every number of beats fits it; use --meter to bar the line otherwise"
    many = wanted > 1
    if wanted < bar:
        where = f"{'fit' if many else 'fits'} {bar // wanted} times into the bar"
    else:
        where = f"{'are' if many else 'is'} {'one bar' if wanted == bar else f'{wanted // bar} bars'}"
    works = [*map(str, there[:4])] or [*map(str, fitting[:4])]
    more = "" if there else ", with the line repeated by --bars"
    what = _counted(wanted, count, meter)
    return f"{what} {where} of {meter}, so nothing goes over the bar; --beats {listed(works, 'or')} does{more}"


def _counted(number: int, count: Fraction, meter: Meter) -> str:
    """So many counts in words: ``3 beats``, ``5 eighths``."""
    name = "beat" if count in meter.beats and len(set(meter.beats)) == 1 else unit_name(count)
    return f"{number} {name}{'s' if number > 1 else ''}"


APPLICATION = Application(
    "over-bar",
    "time itself",
    "3 or 5 beats of the line against the bar until they meet again",
    over_bar,
    uses=("beats", "limb", "surface", "under"),
)
