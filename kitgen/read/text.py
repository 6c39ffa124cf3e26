"""A page of text, as :mod:`kitgen.write.text` writes it, or bare box rows, back into a page."""

import re
from fractions import Fraction

from kitgen.errors import KitgenError, ReadError
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import EVEN, Feel, parse_rows
from kitgen.time import Meter, unit_name

_HEADS = (
    "title",
    "do",
    "meter",
    "tempo",
    "feel",
    "counting",
    "line",
    "clave",
    "note",
    "letters",
    "midi keys",
    "recipe",
    "row",
)
_HEAD = re.compile(rf"({'|'.join(_HEADS)}):\s*(.*)")
_NUMBER = r"(\d+(?:\.\d+)?)"
_TEMPO = re.compile(rf"{_NUMBER}(?: to {_NUMBER})? (.+?)s a minute(?:, range {_NUMBER} to {_NUMBER})?")
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


def _page(text: str, name: str) -> Page:
    fields: dict[str, str] = {}
    notes: list[str] = []
    rows: list[tuple[str, list[str]]] = []
    bare: list[str] = []
    for line in text.splitlines():
        match = _HEAD.fullmatch(line.rstrip()) if ":" in line else None
        if match is None:
            (rows[-1][1] if rows else bare).append(line)
        elif match[1] == "row":
            rows.append((match[2], []))
        elif match[1] == "note":
            notes.append(match[2])
        elif match[1] in fields:
            raise ReadError(f"{name}: {match[1]!r} stands twice; each heading once")
        else:
            fields[match[1]] = match[2]
    if not rows:
        rows = [(name, bare)]
    elif any(line.strip() for line in bare):
        stray = next(line for line in bare if line.strip())
        raise ReadError(f"{name}: {stray.strip()!r} before the first 'row:' is no heading ({', '.join(_HEADS)})")
    meter = Meter.parse(fields.get("meter", "4/4"))
    feel = _feel(fields.get("feel", "even"), name)
    made: list[Row] = []
    unit = meter.tempo_unit
    for label, lines in rows:
        pattern = parse_rows(lines, meter, feel=feel)
        made.append(Row(label, pattern))
        meter = pattern.meters.bars[-1].meter
    return Page(
        fields.get("title", name),
        fields.get("do", ""),
        tuple(made),
        _tempo(fields.get("tempo"), unit, name),
        fields.get("recipe", ""),
        tuple(notes),
        fields.get("counting") == "the quarters",
        fields.get("clave"),
        fields.get("line", ""),
    )


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
