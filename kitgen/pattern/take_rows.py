"""A recorded performance as box rows: every stroke on its likeliest place, none dropped.

The look is that of a pattern's rows: a count row on top, a row a limb and surface, ornaments beneath, blocks parted at
barlines. Three things are added, since a recording holds what a page does not. A line ``bar 5`` over each block says
where it starts. A row ``buzz LH`` has a digit: how many bounces followed the stroke. A stroke that no limb is left for
stands in a row of its own, ``extra snare``, and one whose key means no known surface in a row ``key 58``. Places are
even; the lines at the end give the swing they were played with, and how far strokes lay from the grid in milliseconds.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby
from math import ceil
from statistics import median

from kitgen.kit import SURFACES, Limb
from kitgen.pattern.boxes import WIDTH, counted
from kitgen.pattern.hit import Ornament
from kitgen.pattern.take import Take
from kitgen.pattern.take_hands import Placed
from kitgen.pattern.transcription import Transcription, transcribed
from kitgen.time import Meters

_ORDER = {label: index for index, label in enumerate(SURFACES)}
_BLOCKS = (4, 2, 1)
_LEVELS = "Xxtgf"


def take_rows(take: Take, *, width: int = WIDTH) -> str:
    """A take as box rows, with lines on its timing on top.

    Args:
        take: the performance.
        width: columns to keep within; a single bar may be wider.
    """
    found = transcribed(take)
    return "\n\n".join(["\n".join(_summary(found)), *_blocks(found, width)])


def count_strokes(text: str) -> int:
    r"""How many strokes the rows of a page hold: level characters, one for a flam, two for a drag, and every bounce.

    >>> count_strokes("count  1.2.\nLH snare  x.X.\ndrag LH   ..x.\nbuzz LH   3...")
    7
    """
    total = 0
    for line in text.splitlines():
        head, _, boxes = line.partition("  ")
        kind = head.partition(" ")[0]
        if kind == Ornament.BUZZ.value:
            total += sum(int(char) for char in boxes if char.isdigit())
        elif kind in (Ornament.FLAM.value, Ornament.DRAG.value):
            total += boxes.count("x") * (1 if kind == Ornament.FLAM.value else 2)
        elif kind in Limb.__members__ or kind in ("extra", "key"):
            total += sum(boxes.count(char) for char in _LEVELS)
    return total


# ---- rows ------------------------------------------------------------------------------------------------------


def _heads(one: Placed) -> Iterator[tuple[tuple[int, ...], str, str]]:
    """The rows a gesture stands in: where the row stands among rows, its head, and the character."""
    main = one.gesture.main
    limb_order = len(Limb) if one.limb is None else int(one.limb)
    order = _ORDER.get(main.label, len(_ORDER) + main.key)
    if one.limb is not None:
        name, owner = f"{one.limb.name} {main.label}", one.limb.name
    elif one.extra:
        name = f"extra {main.label}" + (f" {one.extra}" if one.extra > 1 else "")
        owner = name
    else:
        name = owner = main.label
    group = (limb_order, 0 if one.limb is not None else order + 1, one.extra)
    yield (*group, 0, order), name, main.level.char
    if one.gesture.graces:
        kind = Ornament.FLAM if len(one.gesture.graces) == 1 else Ornament.DRAG
        yield (*group, 1, len(one.gesture.graces)), f"{kind.value} {owner}", "x"
    if one.gesture.bounces:
        yield (*group, 2, 0), f"{Ornament.BUZZ.value} {owner}", str(len(one.gesture.bounces))


def _blocks(found: Transcription, width: int) -> Iterator[str]:
    boxes = _boxes(found)
    rows = _filled(found, boxes)
    heads = [head for _, head in sorted(rows)]
    margin = max([len("count"), *map(len, heads)]) + 2
    counts = _bar_texts(found.meters, [counted(beat, n) for beat, n in zip(found.meters.beats, boxes, strict=True)])
    bars = {head: _bar_texts(found.meters, list(map("".join, groups))) for (_, head), groups in rows.items()}
    meter = None
    for first, last in _cuts(found.meters, [len(bar) for bar in counts], width - margin):
        lines = [f"bar {first + 1}"]
        if found.meters.bars[first].meter != meter:
            meter = found.meters.bars[first].meter
            lines.append(f"meter {meter}")
        lines.append(f"{'count':<{margin}}{' | '.join(counts[first:last])}")
        played = [head for head in heads if any(_is_struck(bar) for bar in bars[head][first:last])]
        lines += [f"{head:<{margin}}{' | '.join(bars[head][first:last])}" for head in played]
        if not played:
            rests = ("".join(" " if char == " " else "." for char in bar) for bar in counts[first:last])
            lines.append(f"{'rest':<{margin}}{' | '.join(rests)}")
        yield "\n".join(lines)


def _is_struck(bar: str) -> bool:
    return any(char not in " ." for char in bar)


def _boxes(found: Transcription) -> list[int]:
    """Boxes a beat: the division, a coarse one refined to the take's usual so that columns line up."""
    usual = Counter(parts for parts in found.parts if parts in (2, 3, 4)).most_common(1)
    common = usual[0][0] if usual else 1
    return [common if common % parts == 0 and parts < common else parts for parts in found.parts]


def _filled(found: Transcription, boxes: Sequence[int]) -> dict[tuple[tuple[int, ...], str], list[list[str]]]:
    """The boxes of every row, by where the row stands among rows and its head."""
    rows: dict[tuple[tuple[int, ...], str], list[list[str]]] = {}
    beats = found.meters.beats
    index = 0
    for one in found.placed:
        while beats[index].end <= one.place:
            index += 1
        box = int((one.place - beats[index].start) / beats[index].length * boxes[index])
        for order, head, char in _heads(one):
            if (order, head) not in rows:
                rows[order, head] = [["."] * count for count in boxes]
            rows[order, head][index][box] = char
    return rows


def _bar_texts(meters: Meters, groups: Sequence[str]) -> list[str]:
    paired = zip((beat.bar for beat in meters.beats), groups, strict=True)
    return [" ".join(group for _, group in members) for _, members in groupby(paired, key=lambda pair: pair[0])]


def _cuts(meters: Meters, widths: Sequence[int], room: int) -> Iterator[tuple[int, int]]:
    """Runs of four, two or one bars (first, past the last) that fit the room and keep one meter."""
    first = 0
    while first < len(widths):
        for size in _BLOCKS:
            last = first + size
            inside = meters.bars[first:last]
            fits = sum(widths[first:last]) + 3 * (size - 1) <= room and len({bar.meter for bar in inside}) == 1
            if size == 1 or (len(inside) == size and fits):
                yield first, last
                first = last
                break


# ---- what it adds up to ----------------------------------------------------------------------------------------


def _summary(found: Transcription) -> list[str]:
    if not found.placed:
        return ["timing: no strokes"]
    away = sorted(abs(off) for off in found.off_ms)
    within = away[ceil(0.95 * len(away)) - 1]
    timing = f"median {median(away):.0f} ms, 95 % within {within:.0f} ms, worst {away[-1]:.0f} ms from the grid"
    lines = [f"timing: {found.strokes} strokes, {timing}"]
    if abs(found.lean_ms) >= 1:
        side = "behind" if found.lean_ms > 0 else "ahead of"
        lines.append(f"lean: {abs(found.lean_ms):.0f} ms {side} the beat on the whole, taken out before")
    if found.feel.unit:
        unit = "eighths" if found.feel.unit == 8 else "sixteenths"
        usual = f"usual at {found.tempo_bpm:.0f} is {found.usual_feel.ratio_text}"
        lines.append(f"feel: {unit} swung {found.feel.ratio_text}, written even; {usual}")
    if added := ", ".join(_added(found)):
        lines.append(f"added: {added}")
    return lines


def _added(found: Transcription) -> Iterator[str]:
    graces = Counter(len(one.gesture.graces) for one in found.placed)
    bounces = [len(one.gesture.bounces) for one in found.placed if one.gesture.bounces]
    extras = sum(one.extra > 0 for one in found.placed)
    yield from (_plural(graces[size], name) for size, name in ((1, "flam"), (2, "drag")) if graces[size])
    if bounces:
        yield f"{_plural(len(bounces), 'buzz')} of {_plural(sum(bounces), 'bounce')}"
    if extras:
        yield f"{_plural(extras, 'stroke')} in extra rows"


def _plural(count: int, word: str) -> str:
    return f"{count} {word}" + ("" if count == 1 else "es" if word.endswith("z") else "s")
