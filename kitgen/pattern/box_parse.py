"""Box rows read into a pattern; the grammar stands in :mod:`kitgen.pattern.boxes`."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from kitgen.errors import KitgenError, PatternError
from kitgen.kit import Limb, surface
from kitgen.pattern.feel import EVEN, Feel
from kitgen.pattern.hit import Hit, Level, Ornament
from kitgen.pattern.value import Pattern
from kitgen.time import Beat, Meter, Meters

LEVELS = {level.char: level for level in Level}
_ORNAMENTS = {ornament.value: ornament for ornament in Ornament}
MOST_BOXES = 960


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
    runs: list[tuple[Meter, Fraction]] = []
    strips: dict[str, dict[int, str]] = {}
    beats_before = beats_in_run = 0
    cut, told = False, set[str]()
    for block in _text_blocks(lines):
        rows, said = _said(block)
        new = Meter.parse(said["meter"]) if "meter" in said else meter
        if new != meter:
            meter, beats_in_run, cut = new, 0, False
        told |= {" ".join(head.split()) for head in said.get("lengths", "").split(",")}
        heads = [head for head, _ in rows]
        if len(set(heads)) != len(heads):
            raise PatternError("a row stands twice in one block: " + _first_double(heads))
        if cut and rows:
            raise PatternError(f"rows in {meter} after a block whose last beat is cut; a cut beat ends its meter")
        counts = dict(rows)
        length = _block_beats(counts, meter)
        for head, groups in counts.items():
            strips.setdefault(head, {}).update(enumerate(groups, start=beats_before))
        beats_before += length
        beats = [meter.beats[(beats_in_run + index) % len(meter.beats)] for index in range(length)]
        if "last beat" in said:
            cut = True
            beats[-1:] = [_cut_beat(said["last beat"], beats)]
        beats_in_run += length
        runs.append((meter, sum(beats, Fraction(0))))
    meters = Meters(tuple(runs))
    if not meters.runs:
        raise PatternError("no rows; a row is a limb, a surface and its boxes: RF bass x..x x..x")
    if unknown := told - {"", *strips}:
        raise PatternError(f"lengths {min(unknown)}: there is no such row")
    return _pattern_of(strips, meters, feel, told)


def _text_blocks(lines: Iterable[str]) -> Iterator[list[str]]:
    stripped = (line.strip() for line in lines)
    for filled, block in groupby(stripped, key=bool):
        if filled:
            yield list(block)


def _said(block: Iterable[str]) -> tuple[list[tuple[str, list[str]]], dict[str, str]]:
    """The rows of a block as (head, groups), and what its ``meter``, ``lengths`` and ``last beat`` lines say."""
    rows, said = [], {}
    for line in block:
        for word in ("meter", "lengths", "last beat"):
            if line.startswith(word + " "):
                said[word] = line.removeprefix(word).strip()
                break
        else:
            rows.append(_split(line))
    return rows, said


def _cut_beat(text: str, beats: Sequence[Fraction]) -> Fraction:
    try:
        length = Fraction(text)
    except (ValueError, ZeroDivisionError):
        length = Fraction(0)
    if not beats or not 0 < length < beats[-1]:
        most = f"less than its {beats[-1]} quarters" if beats else "and stands under rows"
        raise PatternError(f"cannot cut the last beat to {text!r} quarters; it is more than 0, {most}")
    return length


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
                    raise PatternError(
                        f"row {head!r}, bar {bar}: {beats} beats before the barline; {meter} has {a_bar}"
                    )
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


def _pattern_of(strips: dict[str, dict[int, str]], meters: Meters, feel: Feel, told: Collection[str]) -> Pattern:
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
        marks = _marks(head, groups, meters, told=head in told)
        hits += [Hit(at, limb, label, LEVELS[char], None, held) for at, char, held in marks]
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


def _marks(
    head: str, groups: dict[int, str], meters: Meters, *, told: bool = False
) -> list[tuple[Fraction, str, Fraction | None]]:
    """Onset, level character and held length of everything a row strikes; of bare strokes too where that is told."""
    marks: list[tuple[Fraction, str, Fraction | None]] = []
    held, from_the_end, sounding = Fraction(0), Fraction(0), False
    for at, box, char, beat in _boxes(head, groups, meters):
        if char in LEVELS:
            marks.append((at, char, box if told else None))
            held, sounding = box, True
        elif char == ".":
            sounding = False
        elif sounding:
            held += box
            marks[-1] = (*marks[-1][:2], held)
        elif not marks and from_the_end == at:
            from_the_end += box
        else:
            raise PatternError(f"row {head!r}, bar {beat.bar}, beat {beat.number}: a hold '-' after silence")
    if from_the_end:
        if not sounding:
            raise PatternError(f"row {head!r} starts with a hold '-' that no stroke at its end begins")
        marks[-1] = (*marks[-1][:2], held + from_the_end)
    return marks


def _boxes(head: str, groups: dict[int, str], meters: Meters) -> Iterator[tuple[Fraction, Fraction, str, Beat]]:
    """Every box of a row: where, how long, its character, its beat."""
    for index, beat in enumerate(meters.beats):
        group = groups.get(index, ".")
        if len(group) > MOST_BOXES:
            raise PatternError(f"row {head!r}, bar {beat.bar}: a beat of {len(group)} boxes; at most {MOST_BOXES}")
        box = beat.length / len(group)
        for offset, char in enumerate(group):
            if char not in LEVELS and char not in ".-":
                raise PatternError(
                    f"row {head!r}, bar {beat.bar}, beat {beat.number}: unknown character {char!r}; "
                    "boxes are X x t g f - and ."
                )
            at = beat.start if char == "." else beat.start + offset * box  # where silence is does not matter
            yield at, box, char, beat
