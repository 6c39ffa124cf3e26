"""Box rows of a pattern: parsed, and printed so that they read back equal.

A row is a limb (RH LH RF LF), a surface label, then groups of level characters, a group a beat divided by the number of
its characters: ``X`` accent, ``x`` normal, ``t`` tap, ``g`` ghost, ``f`` feather, ``-`` held, ``.`` silent, ``|`` a
barline. Ornaments stand in rows of their own beneath, named by ornament and limb: ``flam RH x... ....``. A ``count`` row
may stand on top and is only read past. Blank lines part blocks of bars, so that long rows can be broken at barlines; a
line ``meter 3/4`` before a block changes the meter. Holds running past the end come back at the start of the row.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from math import lcm

from kitgen.errors import KitgenError, PatternError
from kitgen.kit import SURFACES, Limb, surface
from kitgen.pattern.feel import EVEN, Feel
from kitgen.pattern.hit import Hit, Level, Ornament
from kitgen.pattern.value import Pattern
from kitgen.time import Beat, Meter, Meters, syllable

WIDTH = 80
LEVELS = {level.char: level for level in Level}
_ORNAMENTS = {ornament.value: ornament for ornament in Ornament}
_MOST_BOXES = 960
_SHORT = {"trip": "t", "let": "l", "la": "l", "li": "i"}


@dataclass(frozen=True, slots=True)
class BoxRow:
    """One row: what stands before it, and its groups beat by beat."""

    head: str
    groups: tuple[str, ...]


# ---- printing --------------------------------------------------------------------------------------------------


def rows_of(pattern: Pattern, *, counts: bool = True, count_quarters: bool = False) -> tuple[BoxRow, ...]:
    """A pattern as rows, a count row first, all divided alike so that columns line up.

    Args:
        pattern: the pattern.
        counts: print the count row.
        count_quarters: number the quarters of each bar instead of the meter's beats.
    """
    beats = pattern.meters.beats
    parts = _parts(pattern)
    rows = [_count_row(pattern, parts, by_quarters=count_quarters)] if counts else []
    hits = sorted(pattern.hits, key=lambda hit: (hit.limb, _TABLE_ORDER[hit.surface], hit.onset))
    for limb, of_limb in groupby(hits, key=lambda hit: hit.limb):
        own = list(of_limb)
        for label, struck in groupby(own, key=lambda hit: hit.surface):
            marks = [(h.onset, h.level.char, h.length) for h in struck]
            rows.append(BoxRow(f"{limb.name} {label}", _groups(pattern.span, beats, parts, marks)))
        for ornament in Ornament:
            if marks := [(h.onset, "x", None) for h in own if h.ornament is ornament]:
                rows.append(BoxRow(f"{ornament.value} {limb.name}", _groups(pattern.span, beats, parts, marks)))
    return tuple(rows)


_TABLE_ORDER = {label: index for index, label in enumerate(SURFACES)}


def _parts(pattern: Pattern) -> list[int]:
    """Boxes a beat: as few as show every edge, and no fewer than an even neighbour has."""
    beats = pattern.meters.beats
    found = dict.fromkeys((beat.start for beat in beats), 1)
    for hit in pattern.hits:
        edges = [hit.onset]
        if hit.length is not None:
            edges += [hit.onset + hit.length / 2, hit.onset + hit.length]
        for edge in edges:
            at = edge % pattern.span
            beat = pattern.meters.beat_at(at)
            found[beat.start] = lcm(found[beat.start], ((at - beat.start) / beat.length).denominator)
    usual = max((n for n in found.values() if n in (2, 4)), default=1)
    threes = {beat.start for beat in beats if beat.meter.denominator >= 8 and beat.length == 3 * beat.meter.unit}
    return [
        (3 if start in threes else usual) if n == 1 else (usual if n == 2 and usual == 4 and start not in threes else n)
        for start, n in found.items()
    ]


def _groups(
    span: Fraction,
    beats: Sequence[Beat],
    parts: Sequence[int],
    marks: Sequence[tuple[Fraction, str, Fraction | None]],
) -> tuple[str, ...]:
    chars = {onset: char for onset, char, _ in marks}
    held: set[Fraction] = set()
    long = [(onset, onset + length) for onset, _, length in marks if length is not None]
    groups = []
    for beat, count in zip(beats, parts, strict=True):
        box = beat.length / count
        places = [beat.start + box * index for index in range(count)]
        if long:
            held = {at for at in places if any(a < at < b or a < at + span < b for a, b in long)}
        groups.append("".join(chars.get(at) or ("-" if at in held else ".") for at in places))
    return tuple(groups)


def _count_row(pattern: Pattern, parts: Sequence[int], *, by_quarters: bool) -> BoxRow:
    groups = []
    bar_starts = {bar.number: bar.start for bar in pattern.meters.bars}
    for beat, count in zip(pattern.meters.beats, parts, strict=True):
        boxes = []
        for index in range(count):
            at = beat.start + beat.length * Fraction(index, count)
            counted = _quarter_beat(beat, at, bar_starts[beat.bar]) if by_quarters else beat
            said = syllable(counted, (at - counted.start) / counted.length)
            boxes.append("." if said == "ta" else _SHORT.get(said, said)[-1:])
        groups.append("".join(boxes))
    return BoxRow("count", tuple(groups))


def _quarter_beat(beat: Beat, at: Fraction, bar_start: Fraction) -> Beat:
    number = (at - bar_start) // 1
    return Beat(beat.bar, number + 1, bar_start + number, Fraction(1), Meter(4, 4))


def render_rows(
    pattern: Pattern, *, counts: bool = True, count_quarters: bool = False, width: int = WIDTH, meter: Meter | None = None
) -> str:
    """Rows as text, broken at barlines to a width, that :func:`parse_rows` reads back equal.

    Args:
        pattern: the pattern.
        counts: print the count row.
        count_quarters: number quarters instead of beats.
        width: columns to keep within; a single bar may be wider.
        meter: the meter the reader will assume, so that a ``meter`` line is only printed where it changes.
    """
    rows = rows_of(pattern, counts=counts, count_quarters=count_quarters)
    if not any(row.head != "count" for row in rows):
        rows = (*rows, BoxRow("rest", _groups(pattern.span, pattern.meters.beats, _parts(pattern), ())))
    margin = max(len(row.head) for row in rows) + 2
    blocks = []
    for block in _blocks(pattern, rows, width - margin):
        first, last = block
        lines = []
        if pattern.meters.bars[first].meter != meter:
            meter = pattern.meters.bars[first].meter
            lines.append(f"meter {meter}")
        for row in rows:
            bars = _bars(pattern, row)[first:last]
            if first == 0 or row.head == "count" or any(char in bar for bar in bars for char in "xXtgf-"):
                lines.append(f"{row.head:<{margin}}{' | '.join(bars)}")
        if len(lines) == 1 or all(line.startswith(("count", "meter")) for line in lines):
            lines.append(f"{'rest':<{margin}}{' | '.join(_rest_bars(pattern, rows[0], first, last))}")
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks)


def _bars(pattern: Pattern, row: BoxRow) -> list[str]:
    numbers = (beat.bar for beat in pattern.meters.beats)
    paired = zip(numbers, row.groups, strict=True)
    return [" ".join(group for _, group in members) for _, members in groupby(paired, key=lambda pair: pair[0])]


def _rest_bars(pattern: Pattern, row: BoxRow, first: int, last: int) -> list[str]:
    return ["".join(" " if char == " " else "." for char in bar) for bar in _bars(pattern, row)[first:last]]


def _blocks(pattern: Pattern, rows: Sequence[BoxRow], room: int) -> Iterator[tuple[int, int]]:
    """Runs of bars (first, past the last) that fit the width and keep one meter; at most four bars."""
    widths = [len(bar) for bar in _bars(pattern, rows[0])]
    first = 0
    for index in range(1, len(widths) + 1):
        here = pattern.meters.bars
        if (
            index == len(widths)
            or index - first == 4
            or here[index].meter != here[first].meter
            or here[index - 1].length != here[index - 1].meter.span
            or sum(widths[first : index + 1]) + 3 * (index - first) > room
        ):
            yield first, index
            first = index


# ---- parsing ---------------------------------------------------------------------------------------------------


def parse_rows(text: str | Iterable[str], meter: Meter | str = "4/4", *, feel: Feel = EVEN) -> Pattern:
    """Read box rows.

    Args:
        text: lines, or one text with lines parted by newlines or ``;``.
        meter: the meter they stand under until a ``meter`` line.
        feel: the feel of the pattern.

    Raises:
        PatternError: names the row, bar and what was expected; ClashError where a limb would strike twice.

    >>> p = parse_rows("RF bass x..x x..X; LF hat-foot ..x. ..x.")
    >>> p.span, len(p.hits)
    (Fraction(2, 1), 6)
    """
    meter = Meter.parse(meter) if isinstance(meter, str) else meter
    lines = text.replace(";", "\n").splitlines() if isinstance(text, str) else list(text)
    meters = Meters()
    strips: dict[str, dict[int, str]] = {}
    beats_before = 0
    for block in _text_blocks(lines):
        rows = [line for line in block if not line.startswith("meter ")]
        for line in block:
            if line.startswith("meter "):
                meter = Meter.parse(line.removeprefix("meter "))
        counts = {head: groups for head, groups in (_split(line) for line in rows)}
        if len(counts) != len(rows):
            raise PatternError("a row stands twice in one block: " + _first_double([_split(line)[0] for line in rows]))
        length = _block_beats(counts, meter)
        for head, groups in counts.items():
            strips.setdefault(head, {}).update(enumerate(groups, start=beats_before))
        beats_before += length
        span = sum((meter.beats[index % len(meter.beats)] for index in range(length)), Fraction(0))
        meters += Meters(((meter, span),))
    if not meters.runs:
        raise PatternError("no rows; a row is a limb, a surface and its boxes: RF bass x..x x..x")
    return _pattern_of(strips, meters, feel)


def _text_blocks(lines: Iterable[str]) -> Iterator[list[str]]:
    stripped = (line.strip() for line in lines)
    for filled, block in groupby(stripped, key=bool):
        if filled:
            yield list(block)


def _split(line: str) -> tuple[str, list[str]]:
    """A row's head and its groups, barlines kept as groups of their own."""
    words = line.replace("|", " | ").split()
    take = 1 if words[0].lower() in ("count", "rest") else 2
    return " ".join(words[:take]), words[take:]


def _first_double(heads: Sequence[str]) -> str:
    return next(head for index, head in enumerate(heads) if head in heads[:index])


def _block_beats(rows: dict[str, list[str]], meter: Meter) -> int:
    """Beats in a block; takes the barlines out of its rows after checking them."""
    a_bar = len(meter.beats)
    lengths: dict[str, int] = {}
    for head, groups in rows.items():
        beats, bar = 0, 1
        for group in groups:
            if group == "|":
                if beats != a_bar:
                    raise PatternError(f"row {head!r}, bar {bar}: {beats} beats before the barline; {meter} has {a_bar}")
                beats, bar = 0, bar + 1
            else:
                beats += 1
        if bar > 1 and beats not in (0, a_bar):
            raise PatternError(f"row {head!r}, bar {bar}: {beats} beats; {meter} has {a_bar}")
        groups[:] = [group for group in groups if group != "|"]
        lengths[head] = len(groups)
    expected = max(lengths.values(), default=0)
    for head, length in lengths.items():
        if length != expected or not length:
            raise PatternError(f"row {head!r} has {length} beats where the others have {expected or 'some'}")
    return expected


def _pattern_of(strips: dict[str, dict[int, str]], meters: Meters, feel: Feel) -> Pattern:
    hits: list[Hit] = []
    ornaments: dict[tuple[Limb, Fraction], Ornament] = {}
    for head, groups in strips.items():
        first, _, second = head.partition(" ")
        if first.lower() in ("count", "rest"):
            continue
        if first.lower() in _ORNAMENTS:
            limb = _limb(head, second)
            for onset, _, _ in _marks(head, groups, meters):
                ornaments[limb, onset] = _ORNAMENTS[first.lower()]
            continue
        limb, label = _limb(head, first), surface(second).label
        hits += [Hit(at, limb, label, LEVELS[char], None, held) for at, char, held in _marks(head, groups, meters)]
    dressed = [Hit(h.onset, h.limb, h.surface, h.level, ornaments.pop((h.limb, h.onset), None), h.length) for h in hits]
    if ornaments:
        (limb, _), ornament = next(iter(ornaments.items()))
        raise PatternError(f"row '{ornament.value} {limb.name}' marks a place where the {limb.words} strikes nothing")
    return Pattern(tuple(dressed), meters, feel)


def _limb(head: str, text: str) -> Limb:
    try:
        return Limb.parse(text)
    except KitgenError as error:
        raise PatternError(
            f"row {head!r} starts with no limb: a row is a limb (RH LH RF LF), a surface and its boxes, "
            f"or an ornament ({', '.join(_ORNAMENTS)}) and a limb"
        ) from error


def _marks(head: str, groups: dict[int, str], meters: Meters) -> list[tuple[Fraction, str, Fraction | None]]:
    """Onset, level character and held length of everything a row strikes."""
    marks: list[tuple[Fraction, str, Fraction | None]] = []
    held, from_the_end, sounding = Fraction(0), Fraction(0), False
    for index, beat in enumerate(meters.beats):
        group = groups.get(index, ".")
        if len(group) > _MOST_BOXES:
            raise PatternError(f"row {head!r}, bar {beat.bar}: a beat of {len(group)} boxes; at most {_MOST_BOXES}")
        box = beat.length / len(group)
        for offset, char in enumerate(group):
            if char == "-":
                if sounding:
                    held += box
                    onset, level, _ = marks[-1]
                    marks[-1] = (onset, level, held)
                elif not marks and from_the_end == beat.start + offset * box:
                    from_the_end += box
                else:
                    raise PatternError(f"row {head!r}, bar {beat.bar}, beat {beat.number}: a hold '-' after silence")
            elif char in LEVELS:
                marks.append((beat.start + offset * box, char, None))
                held, sounding = box, True
            elif char == ".":
                sounding = False
            else:
                raise PatternError(
                    f"row {head!r}, bar {beat.bar}, beat {beat.number}: unknown character {char!r}; "
                    "boxes are X x t g f - and ."
                )
    if from_the_end:
        if not sounding:
            raise PatternError(f"row {head!r} starts with a hold '-' that no stroke at its end begins")
        onset, level, _ = marks[-1]
        marks[-1] = (onset, level, held + from_the_end)
    return marks
