"""The line as the accents of a stream that never stops."""

from collections.abc import Collection
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from kitgen.apply.hands import handed, natural_sticking
from kitgen.apply.layers import holder_of, laid, ornament_of
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import RefusedError
from kitgen.line import Line, Note
from kitgen.line.stream import grid_of
from kitgen.pattern import Hit, Level, Ornament
from kitgen.pattern.sticking import Stroke

_SEXTUPLET = Fraction(1, 6)
_TITLES = {
    "tap": "Accents in the stream",
    "bass": "Accents in the stream, bass between",
    "double": "Accents in the stream, doubles between",
}
_SAY = {
    "tap": "The line is the accents, and every other place of the stream is a soft tap. Keep the stream even.",
    "bass": "The hands play the line as accents, and the bass fills every other place. Keep the stream even.",
    "double": "The line is the accents, and every tap between is two soft strokes of one hand. Keep the stream even.",
}
_STICKING_WORDS = {
    "natural": "",
    "alternating": ", alternating",
    "doubles": ", in doubles",
    "paradiddle": ", in paradiddles",
    "together": ", hands together",
    "computed": ", easiest sticking",
}


class Stream(NamedTuple):
    """A stream with a line in it.

    Args:
        line: a note at every place of the stream; the line's own where it has one.
        loud: onsets of the notes that stand out.
        notes: what the page says about it.
    """

    line: Line
    loud: frozenset[Fraction]
    notes: tuple[str, ...] = ()


def stream(line: Line, setting: Setting) -> Made:
    """The line's notes as accents, everything else of its stream soft.

    Said to a student: first play every place of the stream alike and softly, then lift the stick for the line only; the
    taps must not get louder because an accent comes. Options: ``taps`` (tap; bass: the bass foot has the places
    between, the hands the line alone; double: two soft strokes of one hand for each tap), ``sticking`` (natural unless
    told: right on the numbers and the "&" of sixteenths, whatever is accented), ``surface``, ``under`` for feet.

    A line that fills its stream gives its own accents, and its other notes are the taps; if all its notes are alike the
    stream is twice as fine, up to sextuplets. Refused where it would be finer, and where an ostinato holds the foot of
    ``bass``. Law: the strokes are every place of the stream; the accents are exactly the line.
    """
    whole = stream_with(line)
    full, loud = whole.line, whole.loud
    label = setting.hand_surface("snare")
    foot = setting.kit.bass_foot
    if setting.taps == "bass" and (held := holder_of(foot, setting, line.meters)):
        raise RefusedError(
            f"--taps bass needs the {foot.words}, and {held} holds it; use --taps tap, or other feet such as "
            "--under hat-2-4"
        )
    hits = _strokes(full, loud, setting, label)
    made = laid(
        line,
        setting,
        hits,
        title=_TITLES[setting.taps] + _STICKING_WORDS[setting.sticking],
        say=_SAY[setting.taps],
        label="the stream",
    )
    return made._replace(notes=(*whole.notes, *made.notes))


def stream_with(line: Line) -> Stream:
    """A line's stream, and which of its places stand out.

    Raises:
        RefusedError: every place is a note, all alike, and the stream cannot be finer.
    """
    places, notes = grid_of(line), {note.onset: note for note in line.notes}
    said: tuple[str, ...] = ()
    loud: Collection[Fraction] = notes
    if len(places) == len(notes) and 0 < len(line.accents) < len(notes):
        loud = line.accents
        said = ("the line fills its stream: its own accents stand out, and its other notes are the soft ones",)
    elif len(places) == len(notes):
        if min(length for _, length in places) / 2 < _SEXTUPLET:
            raise RefusedError(
                "every place of this line's stream is struck, and all alike, so nothing can stand out; accent some of "
                "its notes (X, or ! after a note value), leave some out, or use --as hands or --as rudiment"
            )
        places = [half for at, length in places for half in ((at, length / 2), (at + length / 2, length / 2))]
        said = ("the line fills its own stream, so the stream is twice as fine",)
    full = [
        replace(notes[at], length=min(length, notes[at].length)) if at in notes else Note(at, length)
        for at, length in places
    ]
    return Stream(Line(tuple(full), line.meters), frozenset(loud), said)


def _strokes(full: Line, loud: frozenset[Fraction], setting: Setting, label: str) -> list[Hit]:
    """Every place of the stream as a stroke: the loud ones as accents, the others as the setting's taps."""
    lead, kit = setting.kit.lead, setting.kit
    between = Ornament.DIDDLE if setting.taps == "double" else None
    if setting.taps != "bass":
        strokes = [
            Stroke(note.onset, label, Level.ACCENT, ornament_of(note, lead))
            if note.onset in loud
            else Stroke(note.onset, label, Level.TAP, between or ornament_of(note, lead))
            for note in full.notes
        ]
        return handed(strokes, full, setting, setting.sticking)
    own = Line(tuple(note for note in full.notes if note.onset in loud), full.meters)
    if setting.sticking == "natural":
        by_place = dict(zip(full.onsets, natural_sticking(full), strict=True))
        own = Line(tuple(replace(note, sticking=by_place[note.onset]) for note in own.notes), own.meters)
    strokes = [Stroke(note.onset, label, Level.ACCENT, ornament_of(note, lead)) for note in own.notes]
    hits = handed(strokes, own, setting, setting.sticking)
    return hits + [Hit(at, kit.bass_foot, "bass") for at in full.onsets if at not in loud]


APPLICATION = Application(
    "stream",
    "hands",
    "the line as accents, soft taps (or bass, or doubles) between",
    stream,
    uses=("taps", "sticking", "surface", "under"),
)
