"""Note values of a line: reciprocal numbers as in the open Humdrum representation **recip.

``4`` quarter, ``8`` eighth, ``12`` triplet eighth, dots, ``r`` rest, ``[`` ``_`` ``]`` the start, middle and
end of a tie, a trailing ``!`` an accent (ours), ``|`` a barline where one is. Source: D. Huron, The Humdrum
Toolkit reference manual (1994), representation **recip and, for ties, **kern.
"""

import re
from fractions import Fraction

from kitgen.errors import LineError
from kitgen.line.bars import Reader, fitted, printable
from kitgen.line.value import Line, Note
from kitgen.time import Meter

_TOKEN = re.compile(r"(?P<before>[\[_\]r]*)(?P<value>\d+)(?P<dots>\.*)(?P<after>[\[_\]r!]*)(?=\s|\||$)")
_SHORTEST = 512


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
    """True if bare numbers read as note values make whole bars."""
    values = [int(number) for number in re.findall(r"\d+", text)]
    if not values or not all(1 <= value <= _SHORTEST for value in values):
        return False
    return not sum(Fraction(4, value) for value in values) % meter.span


def render(line: Line) -> str:
    """The canonical note values of a line: notes broken at barlines, then into as few tied values as can be."""
    printable(line, "note values")
    words: list[str] = []
    spans = [(note.onset, note.length, "!" if note.accent else "", False) for note in line.notes]
    spans += [(start, length, "", True) for start, length in line.rests]
    for start, length, accent, is_rest in sorted(spans):
        pieces: list[str] = []
        for bar in line.meters.bars:
            inside = min(start + length, bar.end) - max(start, bar.start)
            if inside > 0:
                pieces += _values(inside)
        if is_rest:
            words += [f"{piece}r" for piece in pieces]
        elif len(pieces) == 1:
            words.append(pieces[0] + accent)
        else:
            words += [f"[{pieces[0]}{accent}", *(f"{piece}_" for piece in pieces[1:-1]), f"{pieces[-1]}]"]
    return " ".join(words)


def _values(length: Fraction) -> list[str]:
    """A length as note values, the longest first."""
    pieces: list[str] = []
    while length:
        best = None
        for dots in (0, 1, 2):
            reciprocal = 4 * (2 - Fraction(1, 2**dots)) / length
            if reciprocal.denominator == 1 and reciprocal <= _SHORTEST:
                best = (str(reciprocal) + "." * dots, length)
                break
        if best is None:
            value = next(v for v in range(1, _SHORTEST + 1) if Fraction(4, v) < length and _divides(length, v))
            best = (str(value), Fraction(4, value))
        pieces.append(best[0])
        length -= best[1]
    return pieces


def _divides(length: Fraction, value: int) -> bool:
    rest = length - Fraction(4, value)
    if (4 / rest).numerator <= _SHORTEST or rest.denominator * 4 <= _SHORTEST:
        return True
    raise LineError(f"a length of {length} quarters has no note values; use boxes")
