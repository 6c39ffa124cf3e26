"""A groove someone would play: time, backbeat, and the line on the bass."""

from collections.abc import Iterator
from fractions import Fraction

from kitgen.apply.layers import level_of, parts_struck
from kitgen.apply.ostinatos import beats_of
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import RefusedError
from kitgen.line import Line
from kitgen.pattern import Hit, Level, Pattern
from kitgen.time import Bar, Beat, Meters


def groove(line: Line, setting: Setting) -> Made:
    """Time on the hat (or ride), backbeat on the snare, the line on the bass; the snare has the backbeat to itself.

    Said to a student: hat and backbeat first, for as long as it takes; then the bass plays the line, and where the
    line falls on the backbeat the snare has already said it. Options: ``surface`` closed-hat or ride, ``half_time``
    for the backbeat in the middle of the bar. Refused where the line falls on nothing but the backbeat. Law: bass
    and snare together hold every note of the line, and never strike at one instant.
    """
    if setting.under not in (None, "none"):
        raise RefusedError(
            "a groove keeps its own time; leave --under away, or use --as limb --limb RF over an ostinato"
        )
    label = setting.hand_surface("closed-hat", "ride")
    time_hand = setting.kit.limb_for(label)
    back = set(backbeats(line.meters, half_time=setting.half_time))
    kicks = [note for note in line.notes if note.onset not in back]
    if not kicks:
        raise RefusedError(
            "every note of this line falls on the backbeat, so the bass has nothing; use --as hands or limb"
        )
    hits = [Hit(at, time_hand, label) for at in _time(line)]
    hits += [Hit(at, time_hand.mirrored, "snare", Level.ACCENT) for at in back]
    hits += [Hit(note.onset, setting.kit.bass_foot, "bass", level_of(note)) for note in kicks]
    notes = []
    if given := len(line.notes) - len(kicks):
        many, them = ("s", "them") if given > 1 else ("", "it")
        notes.append(f"{given} note{many} of the line on the backbeat: the snare plays {them}")
    if any(note.graces for note in line.notes):
        notes.append("grace notes of the line left out: the bass plays it")
    return Made(
        f"Groove{', half time' if setting.half_time else ''}",
        f"Keep the {label.removeprefix('closed-')} and the backbeat steady; the bass plays the line between.",
        (("groove", Pattern(tuple(hits), line.meters)),),
        tuple(notes),
    )


def backbeats(meters: Meters, *, half_time: bool = False) -> Iterator[Fraction]:
    """Where the backbeat falls: 2 and 4; 2 and 3 of three; the second beat of each group otherwise.

    In half time it falls on the first beat of the second group (3 of four).
    """
    for bar in meters.bars:
        yield from _half_time(bar) if half_time else (at for at, after in beats_of(bar) if after)


def _half_time(bar: Bar) -> Iterator[Fraction]:
    beats = beats_of(bar)
    if len(bar.meter.beats) < 3:
        raise RefusedError(f"half time needs a bar of three beats or more; {bar.meter} has {len(bar.meter.beats)}")
    groups = bar.meter.beat_groups
    index = groups[0] if len(groups) > 1 else len(bar.meter.beats) - 1
    if index < len(beats):
        yield beats[index][0]


def _time(line: Line) -> Iterator[Fraction]:
    """The hand's places, one feel throughout.

    Eighths (quarters where the half is the beat); the first and last of three where every divided beat is in
    threes; under any other odd division, the beat alone.
    """
    struck = parts_struck(line)
    shuffled = {parts for parts in struck if parts > 1} == {3}
    for beat, parts in zip(line.meters.beats, struck, strict=True):
        yield from (at for share in _shares(beat, parts, shuffled=shuffled) if (at := beat.start + share) < beat.end)


def _shares(beat: Beat, parts: int, *, shuffled: bool) -> list[Fraction]:
    unit = beat.meter.unit
    if beat.meter.denominator >= 8:
        return [unit * index for index in range(int(beat.length / unit) or 1)]
    if shuffled:
        return [Fraction(0), unit * Fraction(2, 3)]
    return [Fraction(0)] if parts % 2 and parts > 1 else [Fraction(0), unit / 2]


APPLICATION = Application(
    "groove", "time", "hat, backbeat, and the line on the bass", groove, uses=("surface", "half_time")
)
