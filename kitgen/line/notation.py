"""Telling the three typed notations apart, reading any of them, printing a line back."""

import re

from kitgen.errors import LineError, UnknownNameError
from kitgen.line import boxes, counts, values
from kitgen.line.value import Line
from kitgen.time import Meter

_USUAL_VALUES = (1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64)
_LONG_NUMBER = re.compile(r"\d{7,}")
NOTATIONS = ("boxes", "counts", "values")
_READERS = {"boxes": boxes.parse, "counts": counts.parse, "values": values.parse}
_PRINTERS = {"boxes": boxes.render, "counts": counts.render, "values": values.render}


def notation_of(text: str, meter: Meter) -> str:
    """Which notation a line is typed in, by what is in it.

    Bare numbers are note values if they fill whole bars, else counts.

    >>> [notation_of(t, Meter(4, 4)) for t in ("x.x. x...", "1 & 2", "4 4 8 8 4", "1 2 3 4", "4. 8r 2")]
    ['boxes', 'counts', 'values', 'counts', 'values']
    """
    used = set("".join(text.split())) - set("|!")
    if not used & set("0123456789") and not used & set("&+eatlr()"):
        return "boxes"
    if used & set("[]_r.") and not used & set("&+eatl()"):
        return "values"
    if used <= set("0123456789"):
        return "values" if values.fills_bars(text, meter) else "counts"
    return "counts"


def parse(text: str, meter: Meter | str = "4/4", *, notation: str | None = None, pad: bool = False) -> Line:
    """Read a typed line in any of the three notations.

    Args:
        text: the line.
        meter: its meter, as a value or as text ("6/8").
        notation: ``boxes``, ``counts`` or ``values``; told from the text when left out.
        pad: fill an unfinished last bar with rest instead of refusing it.

    Raises:
        LineError: says what is wrong, at which character, and what is allowed.

    >>> parse("x- xx .x x-") == parse("1 2 & (3) & 4") == parse("4 8 8 8r 8 4")
    True
    """
    meter = Meter.parse(meter) if isinstance(meter, str) else meter
    if not text.strip():
        raise LineError('the line is empty; type one like "x.x. xxx x--- ..x-", "1 & 2 e & a 3 4" or "4 8 8 2"')
    if long := _LONG_NUMBER.search(text):
        raise LineError(
            f"a number of {len(long[0])} digits (character {long.start() + 1}); counts and values are shorter"
        )
    name = notation or notation_of(text, meter)
    if name not in _READERS:
        raise UnknownNameError("notation", name, NOTATIONS)
    try:
        return _READERS[name](text, meter, pad=pad)
    except LineError as error:
        if notation is None and name == "counts" and (other := _as_values(text, meter)):
            raise LineError(f"{error}; {other}") from None
        raise


def counted_not_valued(text: str, meter: Meter | str, notation: str | None) -> tuple[str, ...]:
    """A remark where bare numbers were read as counts though they look like note values."""
    meter = Meter.parse(meter) if isinstance(meter, str) else meter
    if notation is not None or notation_of(text, meter) != "counts" or text.strip().startswith("1"):
        return ()
    other = _as_values(text, meter)
    return (f"{' '.join(text.split())!r} was read as counts (beats struck); {other}",) if other else ()


def _as_values(text: str, meter: Meter) -> str:
    """What bare numbers would last as note values; empty if there is more in the text than numbers."""
    if set("".join(text.split())) - set("0123456789|!"):
        return ""
    if any(int(number) not in _USUAL_VALUES for number in re.findall(r"\d+", text)):
        return ""
    try:
        values.parse(text, meter, pad=False)
    except LineError as error:
        return f"as note values: {error} (--notation values)"
    return ""


def render(line: Line, notation: str = "boxes") -> str:
    """A line as canonical text that reads back equal.

    Raises:
        LineError: the notation cannot carry this line.
    """
    if notation not in _PRINTERS:
        raise UnknownNameError("notation", notation, NOTATIONS)
    return _PRINTERS[notation](line)
