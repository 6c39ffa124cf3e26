"""The same sound in other note values: twice as long at twice the tempo, or half as long at half of it."""

from dataclasses import replace
from fractions import Fraction

from kitgen.apply.layers import lost_graces, under_for
from kitgen.apply.pulse import beginning, over, voiced
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import RefusedError
from kitgen.line import Line
from kitgen.pattern import stretch
from kitgen.time import BPM_RANGE, Meter, Meters, unit_name

_MOST_BARS = 96
_FACTORS = {"twice": Fraction(2), "half": Fraction(1, 2)}


def value(line: Line, setting: Setting) -> Made:
    """The line and its pulse in twice (or half) the note values, counted twice (or half) as fast: it sounds the same.

    Said to a student: nothing you hear changes and your hands do what they did; only the page looks different. Which
    meter it is barred in follows from where the beats go:

    - twice: two bars of 2/4, 4/4 or 2/2 for one; 3/2 for 3/4, 5/2 for 5/4; a bar of 3/4 for each beat of 6/8, 9/8,
      12/8; 5/4 and 7/4 for 5/8 and 7/8, in their groups
    - half: one bar of 4/4 for two (2/4 for each where their number is odd); one of 2/4 for two; 2/4 for 2/2; 3/8 with
      the eighth as its beat for 3/4

    Options: ``value`` twice or half, ``surface``, ``under`` for other feet than the pulse. Refused: meters whose half
    would be counted in shorter notes than eighths or in unequal beats that were equal (5/4), an odd number of 2/4 bars
    halved, 3/2 doubled, feet that swing (what is an eighth now would not be one), a tempo out of range. Law: stretched
    back, the row is the line in the hands, in its natural sticking, over its pulse.
    """
    by, setting = _FACTORS[setting.value], replace(setting, limb=None)
    line, meters, notes = _fitting(line, by)
    _check_tempo(meters, by, setting)
    under, item = under_for(setting, line.meters, "quarters")
    if item is not None and item.swings:
        raise RefusedError(f"{item.words} is swung, and its eighths would be no eighths any more; use --under quarters")
    played = over(voiced(line, setting), under, line.meters)
    written = stretch(played, by).under(meters)
    return Made(
        f"In {setting.value} the note values",
        "Make it sound as the line did; hands and foot do the same, only the page looks different.",
        ((f"in {setting.value} the values", written),),
        (sounds_like(line.meters, meters, by, setting.pace), *notes, *lost_graces(line, played)),
        count_quarters=item is not None and item.latin,
        speed=by,
    )


def _fitting(line: Line, by: Fraction) -> tuple[Line, Meters, tuple[str, ...]]:
    """As much of a line as fits a page in its new values, the new bars, and the note that says so."""
    old, new = len(line.meters.bars), len(rebarred(line.meters, by).bars)
    most = old if new <= _MOST_BARS else max(2, _MOST_BARS * old // new // 2 * 2)
    line, notes = beginning(line, most)
    return line, rebarred(line.meters, by), notes


def _check_tempo(meters: Meters, by: Fraction, setting: Setting) -> None:
    """Raise where what was asked for is no tempo in the new values."""
    unit, (slowest, fastest) = meters.bars[0].meter.tempo_unit, BPM_RANGE
    bpm = setting.pace * float(by / unit)
    if not slowest <= bpm <= fastest:
        other = "half" if by > 1 else "twice"
        raise RefusedError(
            f"in {setting.value} the values that tempo would be {unit_name(unit)} = {bpm:g}, and a page goes from "
            f"{slowest} to {fastest}; choose another --tempo, or --value {other}"
        )


def rebarred(meters: Meters, by: Fraction) -> Meters:
    """A map of meters for the same sound at twice or half the note values.

    Args:
        meters: what the sound was written under.
        by: 2 or 1/2.

    Raises:
        RefusedError: a meter nobody would write it in.

    >>> str(rebarred(Meters.of(Meter(4, 4)), Fraction(2))), str(rebarred(Meters.of(Meter(3, 4), 2), Fraction(1, 2)))
    ('2 x 4/4', '2 x 1+1+1/8')
    """
    to = _doubled if by > 1 else _halved
    return Meters(tuple((to(meter, length / meter.span), length * by) for meter, length in meters.runs))


def _doubled(meter: Meter, bars: Fraction) -> Meter:  # noqa: ARG001  one shape for both ways
    above, below, groups = meter.numerator, meter.denominator, _own_groups(meter)
    if below > 8:
        return Meter(above, below // 2, groups)
    if below == 8:
        return Meter(3, 4) if meter.is_compound else Meter(above, 4, groups)
    if below == 4:
        return _quarters_doubled(meter)
    if below == 2 and set(meter.groups) == {2}:
        return Meter(2, 2)
    raise RefusedError(f"{meter} in twice the values would be counted in notes longer than a half; use --value half")


def _quarters_doubled(meter: Meter) -> Meter:
    """Bars of 4/4 where the quarters go in twos, of 3/2 where they go in threes, else one bar of halves."""
    above, groups = meter.numerator, set(meter.groups)
    if above <= 2:
        return Meter(2, 4)
    if all(size % 2 == 0 for size in groups):
        return Meter(4, 4)
    return Meter(3, 2) if groups == {3} else Meter(above, 2, _own_groups(meter))


def _halved(meter: Meter, bars: Fraction) -> Meter:
    above, below, groups = meter.numerator, meter.denominator, meter.groups
    if below < 4:
        return Meter(above, below * 2, _own_groups(meter))
    if below > 4:
        raise RefusedError(
            f"{meter} in half the values would be counted in shorter notes than eighths; use --value twice"
        )
    if set(groups) == {3}:
        return Meter(3, 8, (1, 1, 1))
    if above <= 2 and bars % 2:
        raise RefusedError(
            f"{bars} bar{'s' if bars > 1 else ''} of {meter} in half the values would end inside a bar; make their "
            "number even with --bars, or use --value twice"
        )
    if above <= 2 or (groups == (2, 2) and not bars % 2):
        return meter
    if all(size % 2 == 0 for size in groups):
        return Meter(above // 2, 4)
    raise RefusedError(
        f"{meter} in half the values would be {above}/8, which nobody counts in {above} equal beats; use --value twice"
    )


def _own_groups(meter: Meter) -> tuple[int, ...]:
    """The groups of a meter, where they are more than its single units."""
    return meter.groups if set(meter.groups) != {1} else ()


def sounds_like(old: Meters, new: Meters, by: Fraction, pace: float) -> str:
    """Which tempo of a page in other values is which tempo of the line.

    Args:
        old: the bars it was written in.
        new: the bars it is written in.
        by: how many times as long its notes are written.
        pace: quarters a minute, as it was written.
    """
    before, after = old.bars[0].meter.tempo_unit, new.bars[0].meter.tempo_unit
    times = before * by / after
    bpm = max(1, round(pace / float(before) / times.denominator)) * times.denominator
    return (
        f"{unit_name(after)} = {bpm * times} on this page sounds as {unit_name(before)} = {bpm} does in the line; "
        f"what was {_name(before)} is now {_name(before * by)}"
    )


def _name(length: Fraction) -> str:
    name = unit_name(length)
    return f"{'an' if name[0] in 'aeiou' else 'a'} {name}"


APPLICATION = Application(
    "value",
    "time itself",
    "the same sound in twice or half the note values",
    value,
    uses=("value", "surface", "under"),
)
