"""Box rows of a pattern: parsed, and printed so that they read back equal.

A row is a limb (RH LH RF LF), a surface label, then groups of level characters, a group a beat divided by the
number of its characters: ``X`` accent, ``x`` normal, ``t`` tap, ``g`` ghost, ``f`` feather, ``-`` held, ``.``
silent, ``|`` a barline. Ornaments stand in rows of their own beneath, named by ornament and limb: ``flam RH x...
....``. A ``count`` row may stand on top and is only read past. Blank lines part blocks of bars, so that long rows
can be broken at barlines, or between beats where one bar is too wide; a line ``meter 3/4`` before a block changes the
meter. A block may end in a short bar; where that cuts its last beat, a line ``last beat 1/2`` says to how many
quarters. Holds running past the end come back at the start of the row.

A bare stroke has no length of its own. Where all strokes of a row have one, the line ``lengths RH clap`` after the
rows says so: its strokes last their box and the holds after it, and no box is halved to show that.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import groupby
from math import lcm

from kitgen.errors import PatternError
from kitgen.kit import SURFACES
from kitgen.line import Line, Mark, line_groups
from kitgen.pattern.box_blocks import BoxRow, in_blocks
from kitgen.pattern.box_parse import MOST_BOXES
from kitgen.pattern.hit import Hit, Ornament
from kitgen.pattern.value import Pattern
from kitgen.time import Beat, Meter, Meters, syllable
from kitgen.time.counting import in_threes

WIDTH = 80
_SIXTHS = 6
_SHORT = {"trip": "t", "let": "l", "la": "l", "li": "i"}


def rows_of(
    pattern: Pattern, *, counts: bool = True, count_quarters: bool = False, parts: Sequence[int] = ()
) -> tuple[BoxRow, ...]:
    """A pattern as rows, a count row first, all divided alike so that columns line up.

    Args:
        pattern: the pattern.
        counts: print the count row.
        count_quarters: number the quarters of each bar instead of the meter's beats.
        parts: boxes of each beat, each a multiple of what :func:`fewest_boxes` says; found here when left out.

    Raises:
        PatternError: a beat would take more boxes than can be read.
    """
    parts = parts or _parts(pattern)
    rows = [_count_row(pattern.meters, parts, by_quarters=count_quarters)] if counts else []
    hits = sorted(pattern.hits, key=lambda hit: (hit.limb, _TABLE_ORDER[hit.surface], hit.onset))
    for limb, of_limb in groupby(hits, key=lambda hit: hit.limb):
        own = list(of_limb)
        for label, struck in groupby(own, key=lambda hit: hit.surface):
            marks = [(h.onset, h.level.char, h.length) for h in struck]
            rows.append(BoxRow(f"{limb.name} {label}", _groups(pattern.meters, parts, marks)))
        for ornament in dict.fromkeys(o for o in Ornament for h in own if h.ornament is o):
            at = [(h.onset, "x", None) for h in own if h.ornament is ornament]
            rows.append(BoxRow(f"{ornament.value} {limb.name}", _groups(pattern.meters, parts, at)))
    return tuple(rows)


def _head(hit: Hit) -> str:
    return f"{hit.limb.name} {hit.surface}"


def _told(pattern: Pattern) -> tuple[str, ...]:
    """The heads of rows all of whose strokes have lengths."""
    some = {_head(hit) for hit in pattern.hits if hit.length is not None}
    return tuple(sorted(some - {_head(hit) for hit in pattern.hits if hit.length is None})) if some else ()


_TABLE_ORDER = {label: index for index, label in enumerate(SURFACES)}


def fewest_boxes(pattern: Pattern) -> tuple[int, ...]:
    """Boxes of each beat: as few as show every edge.

    >>> from kitgen.pattern import parse_rows
    >>> fewest_boxes(parse_rows("RH ride x... x.x. x.. x..x"))
    (1, 2, 1, 4)

    Raises:
        PatternError: a beat would take more boxes than can be read.
    """
    beats = pattern.meters.beats
    found = dict.fromkeys((beat.start for beat in beats), 1)
    told = _told(pattern)
    for hit in pattern.hits:
        edges = [hit.onset]
        if hit.length is not None:
            edges += [hit.onset + hit.length]
            edges += [hit.onset + hit.length / 2] if _head(hit) not in told else []
        for edge in edges:
            at = edge % pattern.span
            beat = pattern.meters.beat_at(at)
            found[beat.start] = lcm(found[beat.start], ((at - beat.start) / beat.length).denominator)
    for beat, parts in zip(beats, found.values(), strict=True):
        if parts > MOST_BOXES:
            raise PatternError(
                f"bar {beat.bar}, beat {beat.number} would take {parts} boxes to show its strokes; at most {MOST_BOXES}"
            )
    return tuple(found.values())


def _parts(pattern: Pattern) -> list[int]:
    """Boxes a beat: as few as show every edge, and no fewer than an even neighbour has."""
    beats = pattern.meters.beats
    found = dict(zip((beat.start for beat in beats), fewest_boxes(pattern), strict=True))
    usual = max((n for n in found.values() if n in (2, 4)), default=1)
    threes = {beat.start for beat in beats if beat.meter.denominator >= 8 and beat.length == 3 * beat.meter.unit}
    return [
        (3 if start in threes else usual) if n == 1 else (usual if n == 2 and usual == 4 and start not in threes else n)
        for start, n in found.items()
    ]


def _groups(
    meters: Meters, parts: Sequence[int], marks: Iterable[tuple[Fraction, str, Fraction | None]]
) -> tuple[str, ...]:
    """The boxes of each beat, for marks as (onset, character, length held); a hold past the end starts the row."""
    beats = meters.beats
    boxes = [beat.length / count for beat, count in zip(beats, parts, strict=True)]
    groups = [["."] * count for count in parts]
    for onset, char, length in marks:
        index = meters.beat_index(onset)
        place = int((onset - beats[index].start) / boxes[index])
        groups[index][place] = char
        left = Fraction(0) if length is None else length - boxes[index]
        place += 1
        while left:
            held = min(parts[index] - place, int(left / boxes[index]))
            groups[index][place : place + held] = "-" * held
            left -= held * boxes[index]
            index, place = (index + 1) % len(beats), 0
    return tuple("".join(group) for group in groups)


def _count_row(meters: Meters, parts: Sequence[int], *, by_quarters: bool) -> BoxRow:
    groups, seen = [], {}
    bar_starts = {bar.number: bar.start for bar in meters.bars}
    for beat, count in zip(meters.beats, parts, strict=True):
        kind = (beat.meter, beat.number, beat.length, count)
        if kind not in seen:
            seen[kind] = counted(beat, count, bar_starts[beat.bar] if by_quarters else None)
        groups.append(seen[kind])
    return BoxRow("count", tuple(groups))


def counted(beat: Beat, count: int, quarters_from: Fraction | None = None) -> str:
    """How a beat is counted, a character a box; by the quarters from an instant if one is given.

    Sixths are said by the halves of the beat, ``1 trip let & trip let``, in beats of three units ``1 ta la ta li ta``.
    """
    if count == _SIXTHS and quarters_from is None and beat.length == beat.full:
        return f"{beat.number}"[-1:] + ("tltit" if in_threes(beat) else "tl&tl")
    boxes = []
    for index in range(count):
        at = beat.start + beat.length * Fraction(index, count)
        if quarters_from is None:
            said = syllable(beat, (at - beat.start) / beat.full)
        else:
            quarter = quarter_of(beat, at, quarters_from)
            said = syllable(quarter, at - quarter.start)
        boxes.append("." if said == "ta" else _SHORT.get(said, said)[-1:])
    return "".join(boxes)


def quarter_of(beat: Beat, at: Fraction, bar_start: Fraction) -> Beat:
    """The quarter of its bar that holds an instant, as a beat of its own, for pages counted in quarters."""
    number = (at - bar_start) // 1
    return Beat(beat.bar, number + 1, bar_start + number, Fraction(1), Meter(4, 4))


def render_rows(
    pattern: Pattern,
    *,
    counts: bool = True,
    count_quarters: bool = False,
    width: int = WIDTH,
    meter: Meter | None = None,
) -> str:
    """Rows as text, broken at barlines to a width, that :func:`kitgen.pattern.box_parse.parse_rows` reads back equal.

    Args:
        pattern: the pattern.
        counts: print the count row.
        count_quarters: number quarters instead of beats.
        width: columns to keep within; a bar that is wider is broken between beats, and a single beat may be wider.
        meter: the meter the reader will assume, so that a ``meter`` line is only printed where it changes.
    """
    rows = rows_of(pattern, counts=counts, count_quarters=count_quarters)
    if not any(row.head != "count" for row in rows):
        rows = (*rows, BoxRow("rest", _groups(pattern.meters, _parts(pattern), ())))
    return in_blocks(pattern.meters, rows, width, meter, _told(pattern))


def render_line(line: Line, *, width: int = WIDTH) -> str:
    """A line of any kind as a count row over a row of boxes, its grace notes and length marks beneath.

    For the eye: lines under changing meters, or with graces, have no typed notation.
    """
    groups = line_groups(line)
    rows = [
        _count_row(line.meters, [len(group) for group in groups], by_quarters=False),
        BoxRow("line", groups),
    ]
    for head, marked in (
        ("graces", {note.onset: str(note.graces) for note in line.notes if note.graces}),
        ("short", {note.onset: "s" for note in line.notes if note.mark is Mark.SHORT}),
        ("long", {note.onset: "l" for note in line.notes if note.mark is Mark.LONG}),
        ("stick", {note.onset: note.sticking for note in line.notes if note.sticking}),
    ):
        if marked:
            marks = [(onset, char, None) for onset, char in marked.items()]
            rows.append(BoxRow(head, _groups(line.meters, [len(g) for g in groups], marks)))
    return in_blocks(line.meters, rows, width, None)
