"""Note values of a line: reciprocal numbers as in the open Humdrum representation **recip.

``4`` quarter, ``8`` eighth, ``12`` triplet eighth, dots, ``r`` rest, ``[`` ``_`` ``]`` the start, middle and
end of a tie, a trailing ``!`` an accent (ours), ``|`` a barline where one is. Source: D. Huron, The Humdrum
Toolkit reference manual (1994), representation **recip and, for ties, **kern.
"""

import re
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from itertools import islice

from kitgen.errors import LineError
from kitgen.line.bars import Reader, fitted, printable
from kitgen.line.value import Line, Note
from kitgen.time import Bar, Meter

_TOKEN = re.compile(r"(?P<before>[\[_\]r]*)(?P<value>\d+)(?P<dots>\.*)(?P<after>[\[_\]r!]*)(?=\s|\||$)")
_SHORTEST = 512
_BINARY = (1, 2, 4, 8, 16, 32, 64, 128, 256, 512)


def parse(text: str, meter: Meter, *, pad: bool) -> Line:
    """Read note values under a meter."""
    reader = Reader(text, meter)
    notes: list[tuple[Fraction, Fraction, bool]] = []
    at, tied, position = Fraction(0), False, 0
    while position < len(text):
        if text[position].isspace():
            position += 1
            continue
        if text[position] == "|":
            reader.barline(at, position)
            position += 1
            continue
        match = _TOKEN.match(text, position)
        if not match:
            raise reader.error(
                f"cannot read {text[position:].split()[0]!r} as a note value; write 4, 8., 12, 4r, [4 4], 8!", position
            )
        length = _length(reader, match, position)
        signs = match["before"] + match["after"]
        if len(signs) != len(set(signs)):
            raise reader.error(f"a sign twice in {match.group()!r}", position)
        goes_on = "]" in signs or "_" in signs
        if goes_on != tied:
            raise reader.error(
                f"{match.group()!r} ends a tie that never began" if goes_on else "a tie '[' that is not ended by ']'",
                position,
            )
        if "r" in signs:
            if set(signs) != {"r"}:
                raise reader.error("a rest is neither tied nor accented", position)
        elif tied:
            start, before, accent = notes[-1]
            notes[-1] = (start, before + length, accent or "!" in signs)
        else:
            notes.append((at, length, "!" in signs))
        tied = "[" in signs or "_" in signs
        at += length
        position = match.end()
    if tied:
        raise reader.error("a tie '[' that is not ended by ']'", len(text) - 1)
    return Line(tuple(Note(*note) for note in notes), fitted(reader, at, pad=pad))


def _length(reader: Reader, match: re.Match[str], position: int) -> Fraction:
    value, dots = int(match["value"]), len(match["dots"])
    if not 1 <= value <= _SHORTEST or dots > 3:
        raise reader.error(f"no note value {match['value']}{match['dots']}; 1 to {_SHORTEST}, up to 3 dots", position)
    return Fraction(4, value) * (2 - Fraction(1, 2**dots))


def fills_bars(text: str, meter: Meter) -> bool:
    """True if bare numbers read as note values make whole bars, from barline to barline."""
    parts = [[int(number) for number in re.findall(r"\d+", part)] for part in text.split("|")]
    if not any(parts) or not all(1 <= value <= _SHORTEST for values in parts for value in values):
        return False
    return not any(sum(Fraction(4, value) for value in values) % meter.span for values in parts)


def render(line: Line) -> str:
    """The canonical note values of a line: notes broken at barlines, then into few tied values.

    Raises:
        LineError: a length that no note values add up to, or what :func:`printable` refuses.
    """
    printable(line, "note values")
    words: list[str] = []
    spans = [(note.onset, note.length, "!" if note.accent else "", False) for note in line.notes]
    spans += [(start, length, "", True) for start, length in line.rests]
    bars, first = line.meters.bars, 0
    for start, length, accent, is_rest in sorted(spans):
        while bars[first].end <= start:
            first += 1
        pieces = _pieces(start, start + length, islice(bars, first, None))
        if is_rest:
            words += [f"{piece}r" for piece in pieces]
        elif len(pieces) == 1:
            words.append(pieces[0] + accent)
        else:
            words += [f"[{pieces[0]}{accent}", *(f"{piece}_" for piece in pieces[1:-1]), f"{pieces[-1]}]"]
    return " ".join(words)


def _pieces(start: Fraction, end: Fraction, bars: Iterable[Bar]) -> list[str]:
    """The note values from one instant to another; ``bars`` begins with the bar that holds the first."""
    pieces: list[str] = []
    for bar in bars:
        if bar.start >= end:
            break
        pieces += _values(min(end, bar.end) - max(start, bar.start))
    return pieces


@lru_cache(maxsize=1024)
def _values(length: Fraction) -> tuple[str, ...]:
    """A length as note values, the longest first: one if there is one, else two, else the longest and so on.

    Pieces are whole multiples of the length's own unit, so that a triplet's length falls into triplet values.

    >>> _values(Fraction(13, 4)), _values(Fraction(5, 3))
    (('2.', '16'), ('3', '12'))
    """
    wholes = length / 4
    if wholes.denominator > _SHORTEST:
        raise LineError(
            f"a length of {length} quarters has no note values, the shortest of which is {_SHORTEST}; use boxes"
        )
    single = _written(wholes.denominator, most_dots=2)
    plain = _written(wholes.denominator, most_dots=1)
    left, pieces = wholes.numerator, []
    while left:
        fits = [units for units in plain if units < left]
        units = left if left in single else next((u for u in fits if left - u in single), max(fits))
        pieces.append(single[units])
        left -= units
    return tuple(pieces)


@lru_cache(maxsize=128)
def _written(unit: int, *, most_dots: int) -> dict[int, str]:
    """Every note value that is a whole number of ``unit``-th notes, by that number, the longest first."""
    found: dict[int, str] = {}
    for dots in range(most_dots + 1):
        for value in range(1, _SHORTEST + 1) if dots < 2 else _BINARY:
            units = Fraction(unit, value) * (2 - Fraction(1, 2**dots))
            if units.denominator == 1:
                found.setdefault(int(units), str(value) + "." * dots)
    return dict(sorted(found.items(), reverse=True))
