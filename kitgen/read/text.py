"""A page of text, as :mod:`kitgen.write.text` writes it, or bare box rows, back into a page."""

import re
from dataclasses import dataclass, field
from fractions import Fraction

from kitgen.errors import KitgenError, ReadError
from kitgen.page import Page, Row, Tempo, TempoChange
from kitgen.pattern import EVEN, Feel, parse_rows
from kitgen.time import Meter, unit_name

_HEADS = (
    "title",
    "heading",
    "do",
    "meter",
    "tempo",
    "feel",
    "counting",
    "line",
    "clave",
    "change",
    "note",
    "letters",
    "midi keys",
    "recipe",
    "grading",
    "row",
    "play",
    "kernel",
    "new",
    "name",
    "ready",
    "grade",
)
_READ_OVER = ("new", "name", "ready", "grade")
_TIMES = re.compile(r"([1-9]\d?) times")
_HEAD = re.compile(rf"({'|'.join(_HEADS)}):\s*(.*)")
_NUMBER = r"(\d+(?:\.\d+)?)"
_TEMPO = re.compile(rf"{_NUMBER}(?: to {_NUMBER})? (.+?)s a minute(?:, range {_NUMBER} to {_NUMBER})?")
_CHANGE = re.compile(rf"{_NUMBER} (.+?) a minute from bar ([1-9]\d{{0,4}})")
_ODD_UNIT = re.compile(r"([1-9]\d*(?:/[1-9]\d*)?) of a quarter")
_UNITS = {unit_name(unit): unit for top in range(1, 65) for unit in (Fraction(top, 16),)}


def page_of_text(text: str, name: str) -> Page:
    """A page from its text; bare box rows make a page of one row.

    Args:
        text: the whole text.
        name: the file's name, for errors and for the title of bare rows.

    Raises:
        ReadError: says which line is wrong and why.
    """
    try:
        return _page(text, name)
    except ReadError:
        raise
    except KitgenError as error:
        raise ReadError(f"{name}: {error}") from error


@dataclass
class _Block:
    """The lines of a row or kernel as they are gathered."""

    kind: str
    label: str
    times: int = 1
    lines: list[str] = field(default_factory=list)


@dataclass
class _Text:
    """A page's text taken apart: headings, notes, rows and kernels, and what stands before the first of them."""

    name: str
    fields: dict[str, str] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    changes: list[TempoChange] = field(default_factory=list)
    blocks: list[_Block] = field(default_factory=list)
    bare: list[str] = field(default_factory=list)

    def take(self, line: str) -> None:
        """One line, to where it belongs."""
        match = _HEAD.fullmatch(line.rstrip()) if ":" in line else None
        if match is None:
            (self.blocks[-1].lines if self.blocks else self.bare).append(line)
        elif match[1] in ("row", "kernel"):
            self.blocks.append(_Block(match[1], match[2]))
        elif match[1] == "play":
            self._play(match[2])
        elif match[1] == "note":
            self.notes.append(match[2])
        elif match[1] == "change":
            self.changes.append(self._change(match[2]))
        elif match[1] not in _READ_OVER:
            if match[1] in self.fields:
                raise ReadError(f"{self.name}: {match[1]!r} stands twice; each heading once")
            self.fields[match[1]] = match[2]

    def _play(self, words: str) -> None:
        times = _TIMES.fullmatch(words)
        if times is None or not self.blocks:
            raise ReadError(f"{self.name}: 'play: {words}' stands under a row and is like: play: 4 times")
        self.blocks[-1].times = int(times[1])

    def _change(self, words: str) -> TempoChange:
        change = _CHANGE.fullmatch(words)
        if change is None:
            raise ReadError(f"{self.name}: 'change: {words}' is like: change: 112 quarters a minute from bar 33")
        return TempoChange(int(change[3]), float(change[1]))

    def rows(self) -> list[_Block]:
        """The rows and kernels; where there are none, the bare lines are a row."""
        if not any(block.kind == "row" for block in self.blocks):
            return [_Block("row", self.name, lines=self.bare), *self.blocks]
        if stray := next((line for line in self.bare if line.strip()), None):
            raise ReadError(
                f"{self.name}: {stray.strip()!r} before the first 'row:' is no heading ({', '.join(_HEADS)})"
            )
        return self.blocks


def _page(text: str, name: str) -> Page:
    taken = _Text(name)
    for line in text.splitlines():
        taken.take(line)
    fields, blocks = taken.fields, taken.rows()
    meter = Meter.parse(fields.get("meter", "4/4"))
    feel = _feel(fields.get("feel", "even"), name)
    made: dict[str, list[Row]] = {"row": [], "kernel": []}
    unit = meter.tempo_unit
    for block in blocks:
        pattern = parse_rows(block.lines, meter, feel=feel)
        made[block.kind].append(Row(block.label, pattern, block.times))
        meter = pattern.meters.bars[-1].meter
    return Page(
        fields.get("title", name),
        fields.get("do", ""),
        tuple(made["row"]),
        _tempo(fields.get("tempo"), unit, name),
        fields.get("recipe", ""),
        tuple(taken.notes),
        fields.get("counting") == "the quarters",
        fields.get("clave"),
        fields.get("line", ""),
        tuple(made["kernel"]),
        fields.get("heading", ""),
        _grading(fields.get("grading", "")),
        tuple(taken.changes),
    )


def _grading(words: str) -> tuple[str, ...]:
    """What a page is graded for, without the numbers that stand before each."""
    return tuple(text.removeprefix(f"{number} ") for number, text in enumerate(words.split("; "), start=1))


def _feel(words: str, name: str) -> Feel:
    if words == "even":
        return EVEN
    match = re.fullmatch(r"swing (eighths|sixteenths) (\S+)", words)
    if match is None:
        raise ReadError(f"{name}: cannot read the feel {words!r}; it is even, or like: swing eighths 2:1")
    return Feel.parse(match[2], unit=8 if match[1] == "eighths" else 16)


def _tempo(words: str | None, usual: Fraction, name: str) -> Tempo:
    if words is None:
        return Tempo.at(90, usual)
    match = _TEMPO.fullmatch(words)
    unit = _unit(match[3].replace("halve", "half")) if match else None
    if match is None or unit is None:
        raise ReadError(
            f"{name}: cannot read the tempo {words!r}; it is like: 60 to 90 quarters a minute, range 40 to 120"
        )
    start = float(match[1])
    goal = float(match[2] or start)
    return Tempo(start, goal, float(match[4] or start), float(match[5] or goal), unit)


def _unit(words: str) -> Fraction | None:
    """A note value from its words."""
    odd = _ODD_UNIT.fullmatch(words)
    return Fraction(odd[1]) if odd else _UNITS.get(words)
