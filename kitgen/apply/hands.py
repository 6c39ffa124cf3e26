"""The line in the hands, with a sticking."""

from collections.abc import Iterator
from itertools import cycle

from kitgen.apply.layers import finest_division, laid, parts_struck, stream_parts, stroke
from kitgen.apply.setting import Application, Made, Setting
from kitgen.line import Line
from kitgen.pattern import Hit

_TITLES = {
    "natural": "Hands, natural sticking",
    "alternating": "Hands, alternating",
    "doubles": "Hands, in doubles",
    "paradiddle": "Hands, in paradiddles",
    "together": "Both hands together",
}
_BY_STROKE = {"alternating": "RL", "doubles": "RRLL", "paradiddle": "RLRRLRLL"}


def natural_sticking(line: Line) -> tuple[str, ...]:
    """R or L for each note, as if the stream of the line's own subdivision ran on between the notes.

    Even divisions: right on every other place from the beat (sixteenths: right on the numbers and "&"; eighths:
    right on the numbers, left on "&"). Odd divisions alternate through the stream, starting right where it starts.

    >>> "".join(natural_sticking(Line.parse("1 & 2 e & a 3 trip let 4 trip let")))
    'RRRLRLRLRLRL'
    """
    struck = parts_struck(line)
    finest, hands, running = finest_division(struck), {}, 0
    for beat, parts in zip(line.meters.beats, struck, strict=True):
        count = stream_parts(parts, finest)
        first = running if count % 2 else 0
        for index in range(count):
            hands[beat.start + beat.length * index / count] = "RL"[(first + index) % 2]
        running = first + count if count % 2 else 0
    return tuple(note.sticking or hands[note.onset] for note in line.notes)


def stickings(line: Line, kind: str) -> Iterator[str]:
    """R, L or B (both) for each note of the line, by a named sticking."""
    if kind == "natural":
        yield from natural_sticking(line)
    elif kind == "together":
        yield from "B" * len(line.notes)
    else:
        turn = cycle(_BY_STROKE[kind])
        yield from (next(turn) for _ in line.notes)


def hands(line: Line, setting: Setting) -> Made:
    """The line on the snare with both hands.

    Said to a student: the right hand plays what falls on its side of the stream, as if the left filled in every gap
    without touching the drum. Options: ``sticking`` (natural, alternating, doubles, paradiddle, together),
    ``surface``, ``under`` for feet. Law: both hands together give the line's onsets; in the natural sticking of
    eighths no "&" is a right.
    """
    label = setting.hand_surface("snare")
    right, left = setting.kit.lead, setting.kit.weak
    hits: list[Hit] = []
    for note, hand in zip(line.notes, stickings(line, setting.sticking), strict=True):
        limbs = {"R": (right,), "L": (left,), "B": (right, left)}[hand]
        hits += [stroke(note, limb, label) for limb in limbs]
    return laid(
        line,
        setting,
        hits,
        title=_TITLES[setting.sticking],
        say="Play the line with the sticking shown; both hands sound alike.",
        label="the line",
    )


APPLICATION = Application(
    "hands",
    "hands",
    "the line in both hands, natural sticking or another",
    hands,
    uses=("sticking", "surface", "under"),
)
