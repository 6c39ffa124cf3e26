"""The same bar in eighths, triplets, sixteenths, quintuplets and sextuplets, the pulse unmoved."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import cycle
from typing import NamedTuple

from kitgen.apply.layers import laid, level_of, under_for
from kitgen.apply.pulse import beginning, listed, over
from kitgen.apply.setting import Application, Made, Setting
from kitgen.line import Line
from kitgen.pattern import Hit, Level
from kitgen.pattern.value import common_grid
from kitgen.time import Beat, Meters, unit_name

_MOST_BARS = 16
_STEADY_BARS = 5
_MOST_RUN = 24
_A_BEAT = (2, 3, 4, 5, 6)
_A_UNIT = (1, 2, 3)
_TUPLETS = {2: "duplets", 3: "triplets", 4: "quadruplets", 5: "quintuplets", 6: "sextuplets"}


class Rate(NamedTuple):
    """A stream of even strokes.

    Args:
        name: what its notes are called.
        step: from one stroke to the next, in quarters.
        a_beat: strokes in a beat, in the shortest where some hold others; 0 where beats are unequal.
    """

    name: str
    step: Fraction
    a_beat: int = 0

    @property
    def label(self) -> str:
        """What its row is called."""
        return f"{self.name}, {self.a_beat} a beat" if self.a_beat else self.name


def subdivide(line: Line, setting: Setting) -> Made:
    """Every beat the line strikes, filled with 2, then 3, 4, 5 and 6 even strokes; the foot does not move.

    Said to a student: the foot is the boss; the hands change gear over it, all strokes of a beat alike and evenly far
    apart. Beats the line leaves empty stay silent, and are counted. The first stroke of a beat is accented where the
    line accents something in that beat. Hands alternate through the stream, also through silent beats, so that odd
    numbers start with each hand in turn. The last row changes gear from bar to bar, up and, for a line of less than
    five bars, down again. Beats of a dotted quarter get the same numbers (2 of them are duplets, 3 its eighths); where
    beats are unequal, a stream that would change its speed inside the bar is left out: 7/8 has eighths, sixteenths and
    sixteenth triplets. Options: ``surface``, ``under``. Law: each row strikes in the same beats, those of the line, and
    every beat that is struck is filled evenly; the feet are the same in every row.
    """
    line, notes = beginning(line, _MOST_BARS)
    rates = rates_of(line.meters)
    default = "quarters"
    under, item = under_for(setting, line.meters, default)
    first, *others = rates
    names = [rate.name for rate in rates]
    made = laid(
        line,
        setting,
        _filled(line, [first.step] * len(line.meters.bars), setting),
        title="Changes of subdivision",
        say="",
        label=first.label,
        default=default,
    )
    rows = [
        (rate.label, over(_filled(line, [rate.step] * len(line.meters.bars), setting), under, line.meters))
        for rate in others
    ]
    gears, times = _gears(line, rates)
    run = line * times
    under, _ = under_for(setting, run.meters, default)
    rows.append(("from bar to bar", over(_filled(run, [gear.step for gear in gears], setting), under, run.meters)))
    notes += _about_beats(rates)
    if any(note.graces for note in line.notes):
        notes += ("grace notes of the line left out: every beat is filled evenly",)
    keep = "Fill" if item is None else f"Keep {item.words} going and fill"
    say = f"{keep} the beats of the line evenly, first in {first.name}, then in {listed(names[1:])}."
    return made._replace(instruction=say, rows=(*made.rows, *rows), notes=notes)


def rates_of(meters: Meters) -> tuple[Rate, ...]:
    """The streams a page goes through.

    2 to 6 strokes a beat where beats are equal or the shortest goes into the others; else 1 to 3 strokes to the widest
    grid that all beats are on.
    """
    full = {beat.full for beat in meters.beats}
    beat = min(full)
    if any(length % beat for length in full):
        unit = common_grid(full)
        return tuple(Rate(_name(unit, count), unit / count) for count in _A_UNIT)
    return tuple(Rate(_name(beat, count), beat / count, count) for count in _A_BEAT)


def _name(length: Fraction, count: int) -> str:
    """What so many even notes in a length are called: ``sixteenths``, ``triplets``."""
    step = length / count
    name = unit_name(step)
    if step.numerator & (step.numerator - 1) or " of " in name:
        value = f"{unit_name(length / 2)} " if length < 1 else ""
        return value + _TUPLETS[count]
    return "halves" if name == "half" else f"{name}s"


def _about_beats(rates: Sequence[Rate]) -> tuple[str, ...]:
    """What the page says about beats that are no plain ones."""
    names = [rate.name for rate in rates]
    if not rates[0].a_beat:
        return (f"beats are unequal here, so the page has what keeps its speed from beat to beat: {listed(names)}",)
    if (beat := rates[0].step * rates[0].a_beat).numerator != 3:
        return ()
    plain = [f"{rate.a_beat} are its {rate.name}" for rate in rates if rate.a_beat % 3 == 0]
    across = [str(rate.a_beat) for rate in rates if rate.a_beat % 3]
    return (f"the beat is a {unit_name(beat)}: {listed(plain)}; {listed(across)} go evenly across it",)


def _filled(line: Line, steps: Sequence[Fraction], setting: Setting) -> list[Hit]:
    """The beats the line strikes filled with strokes, those of each bar a step of its own apart."""
    label = setting.hand_surface("snare")
    hands = (setting.kit.lead, setting.kit.weak)
    struck = dict[Fraction, Level]()
    for note in line.notes:
        start = line.meters.beat_at(note.onset).start
        struck[start] = max(struck.get(start, Level.NORMAL), level_of(note))
    hits, place = [], 0
    for beat in line.meters.beats:
        for index, at in enumerate(_places(beat, steps[beat.bar - 1])):
            if beat.start in struck:
                level = Level.NORMAL if index else struck[beat.start]
                hits.append(Hit(at, hands[place % 2], label, level))
            place += 1
    return hits


def _places(beat: Beat, step: Fraction) -> Iterable[Fraction]:
    count = -(-beat.length // step)
    return (beat.start + step * index for index in range(count))


def _gears(line: Line, rates: Sequence[Rate]) -> tuple[list[Rate], int]:
    """The stream of every bar of the last row, and how often the line goes round in it.

    Bars the line leaves empty do not count, so that no stream falls into silence.
    """
    bars = line.meters.bars
    struck = {line.meters.beat_at(onset).bar for onset in line.onsets}
    turn = [*rates, *rates[-2:0:-1]]
    times = 1
    if len(struck) < _STEADY_BARS:
        times = max(1, min(-(-len(turn) // len(struck)), _MOST_RUN // len(bars)))
    going, gears = cycle(turn), []
    gear = turn[0]
    for number in [bar.number for bar in bars] * times:
        gear = next(going) if number in struck else gear
        gears.append(gear)
    return gears, times


APPLICATION = Application(
    "subdivide",
    "time itself",
    "its beats in 2, 3, 4, 5 and 6 over an unmoved pulse",
    subdivide,
    uses=("surface", "under"),
)
