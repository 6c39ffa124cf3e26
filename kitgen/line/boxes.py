"""Box notation of a line: a group of characters a beat, the beat divided by their number.

``x`` struck, ``X`` accented, ``-`` held, ``.`` silent, ``|`` a barline where one is. A note lasts its box and
the holds after it. In the spirit of the box notation of rhythm research (one box, one unit of time).
"""

from collections.abc import Iterator
from fractions import Fraction
from itertools import groupby

from kitgen.errors import LineError
from kitgen.line.bars import Reader, fitted, printable
from kitgen.line.value import Line, Note
from kitgen.time import Meter

_MOST_BOXES = 960


def parse(text: str, meter: Meter, *, pad: bool) -> Line:
    """Read box notation under a meter; errors name the character's position."""
    reader = Reader(text, meter)
    notes: list[tuple[Fraction, Fraction, bool]] = []
    at, beat = Fraction(0), 0
    open_note = False
    for position, group in _groups(text):
        if group == "|":
            reader.barline(at, position)
            continue
        if len(group) > _MOST_BOXES:
            raise reader.error(f"a beat of {len(group)} boxes; at most {_MOST_BOXES}", position)
        box = meter.beats[beat % len(meter.beats)] / len(group)
        for offset, char in enumerate(group):
            if char == "-":
                if not open_note:
                    raise reader.error("a hold '-' with no note before it to hold", position + offset)
                start, length, accent = notes[-1]
                notes[-1] = (start, length + box, accent)
            elif char in "xX":
                notes.append((at, box, char == "X"))
            elif char != ".":
                raise reader.error(
                    f"unknown character {char!r} in boxes; a box is x, X, - or ., spaces part beats", position + offset
                )
            open_note = char in "xX" or (open_note and char == "-")
            at += box
        beat += 1
    return Line(tuple(Note(*note) for note in notes), fitted(reader, at, pad=pad))


def _groups(text: str) -> Iterator[tuple[int, str]]:
    start = None
    for index, char in enumerate(text + " "):
        if char.isspace() or char == "|":
            if start is not None:
                yield start, text[start:index]
                start = None
            if char == "|":
                yield index, "|"
        elif start is None:
            start = index


def render(line: Line) -> str:
    """The canonical boxes of a line: as few a beat as show every start and end; barlines between bars.

    Raises:
        LineError: the line's meter changes (boxes are typed under one), its notes carry what boxes cannot show, or a
            beat would take more boxes than can be read.
    """
    printable(line, "boxes")
    paired = zip((beat.bar for beat in line.meters.beats), groups_of(line), strict=True)
    return " | ".join(
        " ".join(group for _, group in members) for _, members in groupby(paired, key=lambda pair: pair[0])
    )


def groups_of(line: Line) -> tuple[str, ...]:
    """The boxes of each beat, whatever the line's meters.

    Raises:
        LineError: a beat would take more boxes than can be read.
    """
    heads = {note.onset: "X" if note.accent else "x" for note in line.notes}
    held = iter(line.notes)
    note = next(held, None)
    groups = []
    for beat, parts in zip(line.meters.beats, _boxes_a_beat(line), strict=True):
        if parts > _MOST_BOXES:
            raise LineError(
                f"bar {beat.bar}, beat {beat.number} would take {parts} boxes to show its notes; at most {_MOST_BOXES}"
            )
        box, chars = beat.length / parts, []
        for index in range(parts):
            at = beat.start + index * box
            while note is not None and note.end <= at:
                note = next(held, None)
            sounding = note is not None and note.onset < at
            chars.append(heads.get(at) or ("-" if sounding else "."))
        groups.append("".join(chars))
    return tuple(groups)


def _boxes_a_beat(line: Line) -> tuple[int, ...]:
    """Parts a beat, raised to two where a beat struck whole would look like one box of many."""
    plain = 2 if any(parts in (2, 4) for parts in line.parts_a_beat) else 1
    return tuple(plain if parts == 1 else parts for parts in line.parts_a_beat)
