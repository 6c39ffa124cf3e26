"""The line phrased over the whole kit, on top of soft taps and a foot ostinato."""

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from kitgen.apply.layers import laid, level_of, ornament_of, under_for
from kitgen.apply.setting import Application, Made, Setting
from kitgen.apply.voicing import with_hands
from kitgen.errors import OptionError
from kitgen.kit import Limb
from kitgen.line import Line, Note
from kitgen.line.stream import grid_of
from kitgen.pattern import Hit, Level, Pattern
from kitgen.pattern.sticking import Stroke
from kitgen.time import Meters, beats_of

_DOWNHILL = ("snare", "high-tom", "mid-tom")
_LOW = "floor-tom"
_CRASH_APART = 2
"""Beats between two crashes, at least: more often they are no accents."""


class Solo(NamedTuple):
    """A line over the kit: the strokes of the hands and the bass, and what the page says about them."""

    hits: tuple[Hit, ...]
    remarks: tuple[str, ...]


def solo(line: Line, setting: Setting) -> Made:
    """The line's notes stand out of a stream of taps: short ones go down the drums, long ones ring.

    Said to a student: the taps are the carpet, soft and even; the line is what people hear, so sing it while you play.
    A long note with a beat or more to ring is a crash with the bass under it, another long one the floor tom; short
    ones start on the snare and go down a drum with each beat, until a long note, a beat of rest or the bar ends.
    The line's notes are accents; where it has accents of its own, those are. Options: ``under`` for the feet (hat foot
    on 2 and 4 unless told, since the crashes need the bass; over feet that hold the bass the long notes go to the floor
    tom), ``surface`` for the cymbal. Refused over an ostinato for the hands. Law: the strokes of the hands above a tap
    are the line's onsets, and every crash has the bass under it.
    """
    default = usual_feet(line.meters)
    under, _ = under_for(setting, line.meters, default)
    played = soloed(line, setting, under)
    made = laid(
        line,
        setting,
        list(played.hits),
        title="Solo",
        say="Bring the line out over soft, even taps, and sing it; let long notes ring.",
        label="solo",
        default=default,
    )
    return made._replace(notes=(*made.notes, *played.remarks))


def usual_feet(meters: Meters) -> str:
    """The ostinato under a solo: hat foot on 2 and 4, or on every beat where bars have but one."""
    has_after_beats = any(after for bar in meters.bars for _, after in beats_of(bar))
    return "hat-2-4" if has_after_beats else "hat-quarters"


def soloed(line: Line, setting: Setting, under: Pattern | None) -> Solo:
    """The line over the kit, above an ostinato of the feet.

    Args:
        line: what stands out.
        setting: the kit, who plays, and the cymbal of the long notes.
        under: the ostinato; where it holds the bass foot no crash is played.
    """
    cymbal = setting.hand_surface("crash", "ride", "floor-tom")
    if cymbal in ("snare", "cross-stick", "rim-shot"):
        raise OptionError(f"--surface {cymbal} is where the taps are; choose a cymbal or a tom for the long notes")
    bass_is_held = under is not None and setting.kit.bass_foot in under.limbs
    drums = dict(zip(line.onsets, _drums(line), strict=True))
    crashes = [] if bass_is_held else list(_crashes(line))
    drums |= dict.fromkeys(crashes, cymbal)
    notes = {note.onset: note for note in line.notes}
    plain = not any(note.accent for note in line.notes)
    strokes = [
        Stroke(at, "snare", Level.TAP)
        if at not in notes
        else Stroke(
            at,
            setting.need(drums[at]),
            Level.ACCENT if plain else level_of(notes[at]),
            ornament_of(notes[at], Limb.RH),
        )
        for at, _ in grid_of(line)
    ]
    written = {note.onset: note.sticking for note in line.notes}
    hits = with_hands(strokes, line.meters, setting, written=written)
    hits += (Hit(at, setting.kit.bass_foot, "bass", level_of(notes[at])) for at in crashes)
    remarks = []
    if bass_is_held and any(line.is_long(note) for note in line.notes):
        remarks.append("the ostinato holds the bass, so long notes are played on the floor tom and not on a crash")
    return Solo(tuple(hits), tuple(remarks))


def _drums(line: Line) -> Iterator[str]:
    """The drum of each note that is no crash: long ones low, short ones down from the snare by the beat.

    Every bar starts from the snare again, and so does what follows a long note or a beat of rest.
    """
    start: int | None = None
    before: Note | None = None
    for note in line.notes:
        beat = line.meters.beat_index(note.onset)
        bar = line.meters.beats[beat].bar
        rested = before is None or note.onset - before.end >= line.meters.beats[beat].full
        if line.is_long(note):
            start = None
            yield _LOW
        else:
            start = beat if start is None or rested or line.meters.beats[start].bar < bar else start
            yield _DOWNHILL[min(beat - start, len(_DOWNHILL) - 1)]
        before = note


def _crashes(line: Line) -> Iterator[Fraction]:
    """Long notes with a beat or more until the next note, two beats or more from the crash before."""
    last: Fraction | None = None
    round_again = line.notes[0].onset + line.span if line.notes else line.span
    for note, following in zip(line.notes, (*line.onsets[1:], round_again), strict=bool(line.notes)):
        beat = line.meters.beat_at(note.onset).full
        rings = line.is_long(note) and following - note.onset >= beat
        if rings and (last is None or note.onset - last >= _CRASH_APART * beat):
            last = note.onset
            yield note.onset


APPLICATION = Application(
    "solo",
    "phrase",
    "the line over the whole kit, taps between, above a foot ostinato",
    solo,
    uses=("under", "surface"),
)
