"""Parts of a note in the engraver's documents: its place and head, its value, its signs, the small notes before it.

Conventions: staff places count from the bottom line, 0, in steps; heads are named by their SMuFL code points. Sources:
Music Encoding Initiative, Guidelines 5.0, 2023: element ``note``, data type HEADSHAPE; W3C Music Notation Community
Group, SMuFL 1.4, 2021, "Noteheads".
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cache
from typing import NamedTuple

from kitgen.pattern import Level
from kitgen.spell import Event, Stroke, Voice, Written
from kitgen.write.engraving_glyphs import CROSS_HALF, CROSS_WHOLE, SLASHED, SLASHED_HALF, TRIANGLE, TRIANGLE_HALF

_DURATIONS = {
    "long": "long", "breve": "breve", "whole": "1", "half": "2", "quarter": "4", "eighth": "8", "16th": "16",
    "32nd": "32", "64th": "64", "128th": "128", "256th": "256",
}  # fmt: skip
_LONG, _HALF, _BLACK = range(3)
_HEADS = {
    "normal": ("", "", ""),
    "x": (CROSS_WHOLE.stands_in, CROSS_HALF.stands_in, "E0A9"),
    "diamond": ("E0D9", "E0D9", "E0DB"),
    "triangle": (TRIANGLE_HALF.stands_in, TRIANGLE_HALF.stands_in, TRIANGLE.stands_in),
    "slash": (SLASHED_HALF.stands_in, SLASHED_HALF.stands_in, SLASHED.stands_in),
}
"""SMuFL code points of heads: for whole, half and shorter notes."""
_STEPS = {step: index for index, step in enumerate("CDEFGAB")}
_BOTTOM_LINE = 7 * 4 + _STEPS["E"]
_UP, _DOWN = 6, -2
"""Where rests stand while another voice plays, unless its heads are there: on a line, so that hooks are in spaces."""
MIDDLE, _WHOLE_REST, _CLEAR = 4, 6, 5
_HEAD, _STEM, _ACCENT = 1, 7, 3
"""How far below its place half a head, a stem and an accent under it reach, in half spaces."""
_DEEP = {"16th": 2, "32nd": 2, "64th": 4, "128th": 4, "256th": 6}
"""How much further down than others, of which the quarter's reaches 3 half spaces, rests with several hooks reach."""
_REST = 3


@cache
def loc_of(place: str) -> int:
    """A staff place, step then octave, counted in steps from the bottom line.

    >>> loc_of("E4"), loc_of("C5"), loc_of("D4")
    (0, 5, -1)
    """
    return 7 * int(place[1]) + _STEPS[place[0]] - _BOTTOM_LINE


@cache
def head_of(place: str, head: str, value: str) -> str:
    """The attributes for a head of the table of surfaces at its place, on a note of some value."""
    kind = _HALF if value == "half" else _LONG if value in ("whole", "breve", "long") else _BLACK
    code = _HEADS[head][kind]
    return f' loc="{loc_of(place)}"' + (f' head.shape="U+{code}"' if code else "")


def value_of(written: Written) -> str:
    """Attributes for a note value."""
    return _value(written.type, written.dots)


@cache
def _value(kind: str, dots: int) -> str:
    return f' dur="{_DURATIONS[kind]}"' + (f' dots="{dots}"' if dots else "")


def signs(shown: Sequence[Stroke], stem: str) -> str:
    """Accent and hat: one accent a chord, at its stem's end; the hat's sign above."""
    found = ""
    if any(stroke.level is Level.ACCENT and stroke.accent for stroke in shown):
        found = f'<artic artic="acc" place="{"above" if stem == "up" else "below"}"/>'
    for hat in [stroke.hat for stroke in shown if stroke.hat]:
        found += f'<artic artic="{"open" if hat == "open" else "stop"}" place="above"/>'
    return found


def through_stem(strokes: Sequence[Stroke]) -> str:
    """The attribute for a buzz's z, or for slashes that double each stroke."""
    through = [stroke for stroke in strokes if stroke.ornament]
    if any(stroke.buzz for stroke in through):
        return ' stem.mod="z"'
    slashes = max((stroke.slashes for stroke in through), default=0)
    return f' stem.mod="{slashes}slash"' if slashes else ""


def graces(strokes: Iterable[Stroke], stem: str) -> str:
    """The small notes before a chord."""
    found = ""
    for stroke in strokes:
        notes = [
            f'<note grace="unacc" dur="{_DURATIONS[grace.type]}" stem.dir="{stem}"'
            f"{head_of(grace.place, grace.head, grace.type)}" + (' stem.mod="1slash"/>' if grace.slash else "/>")
            for grace in stroke.graces
        ]
        if len(notes) > 1:
            found += f"<graceGrp><beam>{''.join(notes)}</beam></graceGrp>"
        elif notes:
            found += f"<graceGrp>{notes[0]}</graceGrp>"
    return found


def rest(event: Event, place: int) -> str:
    """A rest at a place; those of a half and more on a line."""
    written = event.written
    if not event.shown:
        return "<mSpace/>" if written.whole_bar else f"<space{value_of(written)}/>"
    if written.whole_bar or written.type == "whole":
        place = _WHOLE_REST if place == MIDDLE else place
    if written.whole_bar or written.type in ("whole", "half"):
        place += place % 2
    if place >= _UP:
        place += _DEEP.get(written.type, 0)
    return f'<mRest loc="{place}"/>' if written.whole_bar else f'<rest{value_of(written)} loc="{place}"/>'


# ---- places of rests and words ---------------------------------------------------------------------------------------


class Reach(NamedTuple):
    """What the voices of a row leave free.

    Args:
        up: where rests of upper voices stand, clear of the heads of lower ones all through the row.
        down: where those of lower voices stand.
        depth: how far under the bottom line notes, stems, accents and rests reach, in half spaces.
    """

    up: int
    down: int
    depth: int


def reach_of(voices: Iterable[Voice]) -> Reach:
    """What the voices of a row leave free."""
    found = set[tuple[str, str, Level]]()
    rests = set[str]()
    for voice in voices:
        found |= {(voice.stem, one.place, one.level) for event in voice.events for one in event.strokes}
        if voice.stem == "down":
            rests |= {event.written.type for event in voice.events if event.written.is_rest and event.shown}
    above = [loc_of(place) for stem, place, _ in found if stem == "up"]
    below = [loc_of(place) for stem, place, _ in found if stem == "down"]
    accents = any(level is Level.ACCENT for stem, _, level in found if stem == "down")
    depths = [_HEAD - at for at in above] + [_STEM + _ACCENT * accents - at for at in below]
    up = max([_UP, *(at + _CLEAR for at in below)])
    down = min([_DOWN, *(at - _CLEAR for at in above)])
    down -= down % 2
    depths += [_REST + _DEEP.get(kind, 0) // 2 - down for kind in rests]
    return Reach(up + up % 2, down, max([0, *depths]))


def shared_rests(voices: Sequence[Voice]) -> frozenset[Fraction]:
    """Where rests start that stand for hidden ones of another voice too, and so stand in the middle.

    Where any voice has a note meanwhile (the rests of a voice for what is held are never shown), they do not.
    """
    hidden = [_span(event.written) for voice in voices for event in voice.events if not event.shown]
    if not hidden:
        return frozenset()
    rests = [
        _span(event.written) for voice in voices for event in voice.events if event.written.is_rest and event.shown
    ]
    notes = [_span(event.written) for voice in voices for event in voice.events if event.strokes]
    return frozenset(
        start
        for start, stop in rests
        if any(first <= start and stop <= last for first, last in hidden)
        and not any(first < stop and start < last for first, last in notes)
    )


def _span(written: Written) -> tuple[Fraction, Fraction]:
    return written.start, written.start + written.length
