"""The line in the hands, with a sticking."""

from collections.abc import Iterator, Sequence
from itertools import cycle

from kitgen.apply.layers import laid, level_of, ornament_of, stuck
from kitgen.apply.setting import Application, Made, Setting
from kitgen.kit import HAND_LIMBS
from kitgen.line import Line
from kitgen.line.stream import natural_sticking as natural_sticking
from kitgen.pattern import Hit
from kitgen.pattern.sticking import Stroke

TITLES = {
    "natural": "Hands, natural sticking",
    "alternating": "Hands, alternating",
    "doubles": "Hands, in doubles",
    "paradiddle": "Hands, in paradiddles",
    "together": "Both hands together",
    "computed": "Hands, easiest sticking",
}
"""What a page with the line in the hands is called, by its sticking."""
_BY_STROKE = {"alternating": "RL", "doubles": "RRLL", "paradiddle": "RLRRLRLL"}


def stickings(line: Line, kind: str) -> Iterator[str]:
    """R, L or B (both) for each note of the line, by a named sticking that no player's limits decide."""
    if kind == "natural":
        yield from natural_sticking(line)
    elif kind == "together":
        yield from "B" * len(line.notes)
    else:
        turn = cycle(_BY_STROKE[kind])
        yield from (next(turn) for _ in line.notes)


def in_hands(line: Line, setting: Setting, label: str, *, kind: str = "natural") -> list[Hit]:
    """The line's notes on one surface, by a named sticking; R is the hand that keeps time."""
    strokes = [Stroke(note.onset, label, level_of(note), ornament_of(note, setting.kit.lead)) for note in line.notes]
    return handed(strokes, line, setting, kind)


def handed(strokes: Sequence[Stroke], line: Line, setting: Setting, kind: str) -> list[Hit]:
    """Strokes as hits of the hands, by a named sticking.

    Args:
        strokes: one for each note of the line, in time order.
        line: what the sticking is read from; ``computed`` keeps the hands written in it and chooses the others.
        setting: says who plays, how fast, and how the hands are set.
        kind: one of ``STICKINGS``; ``together`` gives two hits a stroke.

    Returns:
        the hits, in no particular order.
    """
    right, left = setting.kit.lead, setting.kit.weak
    limbs = {"R": (right,), "L": (left,), "B": (right, left), "": ()}
    marks = [note.sticking for note in line.notes] if kind == "computed" else list(stickings(line, kind))
    told = [
        Hit(one.onset, limb, one.surface, one.level, one.ornament)
        for one, mark in zip(strokes, marks, strict=True)
        for limb in limbs[mark]
    ]
    free = [one for one, mark in zip(strokes, marks, strict=True) if not mark]
    return [*told, *stuck(free, line.meters, setting, held=told)] if free else told


def hands(line: Line, setting: Setting) -> Made:
    """The line on the snare with both hands.

    Said to a student: the right hand plays what falls on its side of the stream, as if the left filled in every gap
    without touching the drum. Options: ``sticking`` (natural, alternating, doubles, paradiddle, together, or computed:
    the one that costs this player least at this tempo, see :func:`kitgen.pattern.sticking.stick`), ``surface``,
    ``under`` for feet. Law: both hands together give the line's onsets; in the natural sticking of eighths no "&" is
    a right.
    """
    title, say = TITLES[setting.sticking], "Play the line with the sticking shown; both hands sound alike."
    able = [hand for hand in HAND_LIMBS if setting.player.plays(hand)]
    if len(able) < len(HAND_LIMBS):
        title, say = f"The line in the {able[0].words}", "Play the line with the one hand; every stroke sounds alike."
    return laid(
        line,
        setting,
        in_hands(line, setting, setting.hand_surface("snare"), kind=setting.sticking),
        title=title,
        say=say,
        label="the line",
    )


APPLICATION = Application(
    "hands",
    "hands",
    "the line in both hands, natural sticking or another",
    hands,
    uses=("sticking", "surface", "under"),
)
