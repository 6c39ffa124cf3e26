"""Time: what a drummer plays while nothing else is asked for, worked out for any meter.

Two kinds, both common practice. Plain time: the hand on the hat or a cymbal in eighths (all units of 6/8 or 7/8,
quarters where the half is the beat), backbeat on the snare, bass on 1 and 3. Ride time, as in a jazz band: the ride on
every beat and on the "&" of each after-beat, hat foot on the after-beats, the bass feathered, the other hand free.
Eighths beside the ride of a jazz band swing.
A hand on the hat has the foot hold it; a hand on a cymbal leaves the foot its 2 and 4. Beats and after-beats are those
of :func:`kitgen.time.beats_of`. Everything is written in even eighths, except under a line in threes.
"""

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from kitgen.apply.setting import SWUNG, Setting
from kitgen.errors import OptionError
from kitgen.kit import HATS
from kitgen.line import Line
from kitgen.line.stream import all_threes, parts_struck
from kitgen.pattern import EVEN, Feel, Hit, Level
from kitgen.time import Bar, Beat, Meters, backbeats, beats_of

_NOT_FOR_TIME = frozenset(("snare", "cross-stick", "rim-shot", "clap", "lap"))
_SHORTEST_UNIT, _HALF = Fraction(1, 4), Fraction(1, 2)


def time_surface(setting: Setting, *labels: str) -> str:
    """What time is kept on: the surface the user chose, else the first of these that the kit has.

    Raises:
        OptionError: a surface for the feet, or the drum of the backbeat.
    """
    label = setting.hand_surface(*labels)
    if label in _NOT_FOR_TIME:
        raise OptionError(
            f"--surface {label}: time is kept on the hat or a cymbal; choose closed-hat, ride or ride-bell"
        )
    return label


def in_threes(line: Line) -> bool:
    """True where every divided beat of a line is in threes and its beats would be halved: time is then a shuffle."""
    return any(meter.denominator < 8 for meter, _ in line.meters.runs) and all_threes(parts_struck(line))


def offbeat(beat: Beat, *, threes: bool) -> Fraction | None:
    """The "&" of a beat, in quarters: its half, its last third in threes, its last unit in eighth meters.

    None where a short bar cuts it off, or the beat is one unit long.
    """
    if beat.meter.denominator >= 8:
        share = 1 - beat.meter.unit / beat.full
    else:
        share = Fraction(2, 3) if threes else Fraction(1, 2)
    at = beat.start + beat.full * share
    return at if beat.start < at < beat.end else None


def kept_time(meters: Meters, setting: Setting, label: str, *, threes: bool = False) -> list[Hit]:
    """Plain time on the hat, ride time on anything else."""
    keep = plain_time if label in HATS else ride_time
    return keep(meters, setting, label, threes=threes)


def plain_time(meters: Meters, setting: Setting, label: str, *, threes: bool = False) -> list[Hit]:
    """Hat or cymbal in eighths, backbeat on the snare, bass on 1 and 3; hat foot on 2 and 4 where the hand is off it.

    Args:
        meters: the bars to fill.
        setting: says the kit and its hands.
        label: what the hand keeps time on.
        threes: a shuffle, first and last of three, instead of halves.
    """
    kit = setting.kit
    hand = kit.limb_for(label)
    hits = [Hit(at, hand, label) for beat in meters.beats for at in _shares(beat, threes=threes)]
    hits += (Hit(at, hand.mirrored, "snare", Level.ACCENT) for at in backbeats(meters))
    hits += (Hit(at, kit.bass_foot, "bass") for bar in meters.bars for at, after in beats_of(bar) if not after)
    return hits if label in HATS else hits + hat_foot(meters, setting)


def ride_time(meters: Meters, setting: Setting, label: str, *, threes: bool = False) -> list[Hit]:
    """The ride of a jazz band, hat foot on 2 and 4, bass feathered; arguments as :func:`plain_time`.

    Every beat, and the "&" of each after-beat that follows a beat: ``x. xx x. xx`` in 4/4, ``x. xx x.`` in 3/4,
    ``x.. x.x`` in 6/8. The bass is feathered on every beat, in three on 1. In cut time the pulse is the quarter, as the
    band feels it, and the hat foot is on 2 and 4 of those; in threes it is the beat.
    """
    kit = setting.kit
    hand = kit.limb_for(label)
    if not threes and in_cut_time(meters):
        return list(_cut_time(meters, setting, label))
    hits = []
    late = {at for bar in meters.bars for at in _with_an_and(bar)}
    for beat in meters.beats:
        hits.append(Hit(beat.start, hand, label))
        and_of = offbeat(beat, threes=threes)
        if beat.start in late and and_of is not None:
            hits.append(Hit(and_of, hand, label))
        if beat.number == 1 or beat.meter.beat_groups != (3,):
            hits.append(Hit(beat.start, kit.bass_foot, "bass", Level.FEATHER))
    return hits + hat_foot(meters, setting)


def in_cut_time(meters: Meters) -> bool:
    """True where every bar counts halves, and holds whole quarters."""
    return all(bar.meter.denominator == 2 and bar.length.denominator == 1 for bar in meters.bars)


def by_quarters(line: Line, label: str) -> bool:
    """True where time on a surface beside a line goes by the quarter though the meter counts halves."""
    return label not in HATS and not in_threes(line) and in_cut_time(line.meters)


def _cut_time(meters: Meters, setting: Setting, label: str) -> Iterator[Hit]:
    """Ride time by the quarter: ``x. xx x. xx`` in a bar of 2/2."""
    kit = setting.kit
    hand = kit.limb_for(label)
    for bar in meters.bars:
        for index in range(int(bar.length)):
            at = bar.start + index
            yield Hit(at, hand, label)
            yield Hit(at, kit.bass_foot, "bass", Level.FEATHER)
            if index % 2:
                yield Hit(at + _HALF, hand, label)
                yield Hit(at, kit.hat_foot, "hat-foot")


def usual_feel(line: Line, label: str) -> Feel:
    """How time on a surface is played beside a line: swung on the ride, where the line has eighths and no sixteenths.

    Even under a line that is all in threes, which is written as it sounds, and where the beat is neither a quarter nor
    the half of cut time.
    """
    cut = in_cut_time(line.meters)
    if label in HATS or in_threes(line) or not (cut or all(meter.denominator == 4 for meter, _ in line.meters.runs)):
        return EVEN
    return SWUNG if set(parts_struck(line)) <= ({1, 2, 4} if cut else {1, 2, 3}) else EVEN


def hat_foot(meters: Meters, setting: Setting) -> list[Hit]:
    """The hat foot on the after-beats: 2 and 4."""
    after_beats = (at for bar in meters.bars for at, after in beats_of(bar) if after)
    return [Hit(at, setting.kit.hat_foot, "hat-foot") for at in after_beats]


def _with_an_and(bar: Bar) -> Iterator[Fraction]:
    """The beats whose "&" the ride plays too; the only beat of a bar is one."""
    beats = beats_of(bar)
    if len(beats) == 1:
        yield bar.start
    for (_, before), (at, after) in pairwise(beats):
        if after and not before:
            yield at


def _shares(beat: Beat, *, threes: bool) -> Iterator[Fraction]:
    unit = beat.meter.unit
    if beat.meter.denominator < 8:
        places = [Fraction(0), unit * (Fraction(2, 3) if threes else Fraction(1, 2))]
    elif unit < _SHORTEST_UNIT:
        places = [Fraction(0)]
    else:
        places = [unit * index for index in range(int(beat.full / unit))]
    yield from (beat.start + place for place in places if place < beat.length)
