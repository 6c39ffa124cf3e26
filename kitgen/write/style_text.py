"""A style as its file: TOML text that :func:`kitgen.read.styles.read_style` reads back equal.

Keys stand in the order of :mod:`kitgen.read.style_keys`; what is usual is left out. Boxes of a beat are as few as
nearly all rows take that divide it, and what differs stands in a pattern's ``also-boxes``.
"""

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import cycle, groupby
from math import lcm
from typing import NamedTuple

from kitgen.errors import PatternError
from kitgen.pattern import BoxRow, Hit, Pattern, rows_of
from kitgen.pattern.box_blocks import in_blocks
from kitgen.pattern.box_parse import MOST_BOXES
from kitgen.pattern.boxes import fewest_boxes
from kitgen.styles import Role, Style, StylePattern, TempoRange
from kitgen.styles.parts import UNITS

_WIDTH = 110
_NEARLY_ALL = 0.5
_UNIT_NAMES = {unit: name for name, unit in UNITS.items()}
_HEADS = (
    ("time", (Role.GROOVE, Role.VARIATION, Role.SIMPLER, Role.FULLER)),
    ("fills", (Role.FILL,)),
    ("ways in and out", (Role.ENDING, Role.INTRO, Role.PICKUP)),
)


class _Row(NamedTuple):
    """Strokes that stand in one row, and the boxes each beat takes for them."""

    hits: tuple[Hit, ...]
    boxes: tuple[int, ...]
    ornaments: bool = False


def style_text(style: Style, *, comments: Sequence[str] = ()) -> str:
    """The file of a style; its name, which is the file's, is not in it.

    Args:
        style: the style.
        comments: lines to stand above everything, for who writes on.

    Raises:
        PatternError: what box rows do not say: strokes that take too many boxes, or a fill of several bars that begins
            inside the first.
    """
    rows = {item.name: _rows(item.pattern) for item in style.patterns}
    feet = _rows(style.feet) if style.feet is not None else []
    boxes = _boxes_a_beat(style, [row for own in rows.values() for row in own], feet)
    lines = [
        "#:schema style.schema.json",
        "",
        *(f"# {line}".rstrip() for line in comments),
        *([""] if comments else []),
    ]
    lines += _above(style, boxes, feet)
    head = ""
    for item in style.patterns:
        group = next(name for name, roles in _HEADS if item.role in roles)
        if group != head:
            lines += ["", f"# ---- {group} ----"]
            head = group
        lines += ["", "[[pattern]]", *_pattern(style, item, rows[item.name], boxes)]
    return "\n".join(lines) + "\n"


# ---- above the patterns ----------------------------------------------------------------------------------------------


def _above(style: Style, boxes: Sequence[int], feet: Sequence[_Row]) -> Iterator[str]:
    yield f"title = {_quoted(style.title)}"
    yield f"words = {_quoted(style.words)}"
    yield f"meter = {_quoted(str(style.meter))}"
    unit = _quoted(_UNIT_NAMES[style.tempo.unit])
    yield f"tempo = {{ low = {style.tempo.low:g}, high = {style.tempo.high:g}, unit = {unit} }}"
    if style.feel.unit:
        yield f"swing = {_quoted(style.feel.ratio_text)}"
    if style.feel.unit == 16:
        yield "swing-unit = 16"
    if style.count_quarters:
        yield 'counting = "quarters"'
    if style.clave is not None:
        kind = f", kind = {_quoted(style.clave.kind)}" if style.clave.kind != "son" else ""
        yield f"clave = {{ side = {_quoted(style.clave.side)}{kind} }}"
    alike = len(set(boxes)) == 1
    yield f"boxes-a-beat = {boxes[0] if alike else list(boxes)}"
    if style.feet is not None:
        yield from ('feet = """', *_text(style.feet, feet, boxes), '"""')
    yield from _list("leads", style.leads)
    yield from _list("sticks", style.sticks, usual=("sticks",))
    if style.count_in_bars != 1:
        yield f"count-in-bars = {style.count_in_bars}"
    if not style.crash_in_fills:
        yield "crash-in-fills = false"
    if style.phrase_bars != (4, 8):
        yield f"phrase-bars = {list(style.phrase_bars)}"
    yield from _list("forms", style.forms)
    if style.micro is not None:
        yield f"micro-timing = {_quoted(style.micro)}"
    yield from _list("notes", style.notes, a_line_each=True)
    yield from _list("sources", style.sources, a_line_each=len(style.sources) > 1)


# ---- patterns --------------------------------------------------------------------------------------------------------


def _pattern(style: Style, item: StylePattern, rows: Sequence[_Row], boxes: Sequence[int]) -> Iterator[str]:
    yield f"name = {_quoted(item.name)}"
    yield f"role = {_quoted(item.role.value)}"
    yield f"words = {_quoted(item.words)}"
    if item.source != style.sources[0]:
        yield f"source = {_quoted(item.source)}"
    yield from _tempo(style.tempo, item.tempo)
    yield from _list("sections", item.sections)
    if item.lands != ("crash" if style.crash_in_fills and item.role is Role.FILL else "time"):
        yield f"lands = {_quoted(item.lands)}"
    if item.own_feet:
        yield "own-feet = true"
    per_bar = len(style.meter.beats)
    also = {own for row in rows for beat, own in enumerate(row.boxes) if boxes[beat % per_bar] % own}
    if also:
        yield f"also-boxes = {sorted(also)}"
    yield from _list("accepts", item.accepts)
    yield from ('rows = """', *_text(item.pattern, rows, boxes, item), '"""')


def _tempo(style: TempoRange, own: TempoRange) -> Iterator[str]:
    if own.low != style.low:
        yield f"tempo-low = {own.low:g}"
    if own.high != style.high:
        yield f"tempo-high = {own.high:g}"


def _rows(pattern: Pattern) -> list[_Row]:
    """The rows of a pattern as they are printed: a limb's surfaces, then its ornaments."""
    rows = []
    hits = sorted(pattern.hits, key=lambda hit: (hit.limb, hit.surface, hit.onset))
    for _, of_limb in groupby(hits, key=lambda hit: hit.limb):
        own = list(of_limb)
        for _, struck in groupby(own, key=lambda hit: hit.surface):
            rows.append(_row(pattern, struck))
        rows += [
            _row(pattern, [_bare(hit) for hit in own if hit.ornament is kind], ornaments=True)
            for kind in dict.fromkeys(hit.ornament for hit in own if hit.ornament is not None)
        ]
    return rows


def _row(pattern: Pattern, hits: Iterable[Hit], *, ornaments: bool = False) -> _Row:
    own = tuple(hits)
    return _Row(own, fewest_boxes(pattern.with_hits(own)), ornaments)


def _bare(hit: Hit) -> Hit:
    return Hit(hit.onset, hit.limb, hit.surface, hit.level, hit.ornament)


def _boxes_a_beat(style: Style, rows: Sequence[_Row], feet: Sequence[_Row]) -> tuple[int, ...]:
    """Boxes of each beat of a bar: for beats of one length the fewest that nearly all rows fit, all feet, and swing."""
    lengths = style.meter.beats
    found = {}
    for length in set(lengths):
        least = lcm(*_taken(feet, lengths, length), _swung(style, length))
        wanted = Counter(own for own in _taken(rows, lengths, length) if own > 1)  # a stroke on the beat fits any
        offered = [boxes for boxes in sorted({lcm(least, own) for own in (1, *wanted)}) if boxes <= MOST_BOXES] or [
            least
        ]
        enough = _NEARLY_ALL * max(_fitting(wanted, boxes) for boxes in offered)
        found[length] = next(boxes for boxes in offered if _fitting(wanted, boxes) >= enough)
    return tuple(found[length] for length in lengths)


def _swung(style: Style, length: Fraction) -> int:
    """Boxes that show the middle of every swung pair of a beat."""
    return int(2 * length / style.feel.pair) if style.feel.unit and length % style.feel.pair == 0 else 1


def _fitting(wanted: Counter[int], boxes: int) -> int:
    return sum(count for own, count in wanted.items() if boxes % own == 0)


def _taken(rows: Iterable[_Row], lengths: Sequence[Fraction], length: Fraction) -> list[int]:
    """The boxes that rows take in beats of one length."""
    return [own for row in rows for own, beat in zip(row.boxes, cycle(lengths), strict=False) if beat == length]


def _text(
    pattern: Pattern, rows: Sequence[_Row], boxes: Sequence[int], item: StylePattern | None = None
) -> Iterator[str]:
    """Rows as lines; of a fill or pickup that begins inside its bar only the beats it has."""
    beats, per_bar = pattern.meters.beats, len(boxes)
    made = [_drawn(pattern, row, boxes) for row in rows]
    told = _with_lengths(pattern)
    first = 0 if item is None else sum(beat.start < item.starts for beat in beats)
    if first and len(pattern.meters.bars) > 1:
        raise PatternError("a fill of several bars begins inside the first of them, which box rows cannot say")
    margin = max(len(row.head) for row in made) + 2
    if first:
        yield from (f"{row.head:<{margin}}{' '.join(row.groups[first:])}" for row in made)
        if told:
            yield f"{'lengths':<{margin}}{', '.join(told)}"
        return
    widest = max(len(group) for row in made for group in row.groups) + 1
    width = max(_WIDTH, margin + widest * per_bar)
    yield from in_blocks(pattern.meters, made, width, pattern.meters.only, told).splitlines()


def _drawn(pattern: Pattern, row: _Row, boxes: Sequence[int]) -> BoxRow:
    usual = [boxes[beat % len(boxes)] for beat in range(len(row.boxes))]
    parts = [whole if whole % own == 0 else own for whole, own in zip(usual, row.boxes, strict=True)]
    return rows_of(pattern.with_hits(row.hits), counts=False, parts=parts)[-1 if row.ornaments else 0]


def _with_lengths(pattern: Pattern) -> tuple[str, ...]:
    """Heads of the rows all of whose strokes have lengths."""
    heads: dict[str, bool] = {}
    for hit in pattern.hits:
        head = f"{hit.limb.name} {hit.surface}"
        heads[head] = heads.get(head, True) and hit.length is not None
    return tuple(sorted(head for head, whole in heads.items() if whole))


# ---- values ----------------------------------------------------------------------------------------------------------


def _quoted(text: str) -> str:
    """A text as TOML quotes it, which is as JSON does where every character can be printed."""
    return json.dumps(text, ensure_ascii=False)


def _list(key: str, texts: Sequence[str], *, usual: Sequence[str] = (), a_line_each: bool = False) -> Iterator[str]:
    if tuple(texts) == tuple(usual):
        return
    if a_line_each:
        yield from (f"{key} = [", *(f"    {_quoted(text)}," for text in texts), "]")
    else:
        yield f"{key} = [{', '.join(map(_quoted, texts))}]"
