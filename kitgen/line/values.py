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
_NOT_ENDED = "a tie '[' that is not ended by ']'"
_BINARY = (1, 2, 4, 8, 16, 32, 64, 128, 256, 512)


class _Notes:
    """The notes read so far, and whether the last is tied on."""

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self.at = Fraction(0)
        self.tied = False
        self.notes: list[tuple[Fraction, Fraction, bool]] = []

    def take(self, match: re.Match[str], position: int) -> None:
        """Read one value with its signs."""
        length, signs = _length(self.reader, match, position), match["before"] + match["after"]
        if len(signs) != len(set(signs)):
            raise self.reader.error(f"a sign twice in {match.group()!r}", position)
        goes_on = "]" in signs or "_" in signs
        if goes_on != self.tied:
            what = f"{match.group()!r} ends a tie that never began" if goes_on else _NOT_ENDED
            raise self.reader.error(what, position)
        if "r" in signs:
            if signs != "r":
                raise self.reader.error("a rest is neither tied nor accented", position)
        elif self.tied:
            start, before, accent = self.notes[-1]
            self.notes[-1] = (start, before + length, accent or "!" in signs)
        else:
            self.notes.append((self.at, length, "!" in signs))
        self.tied = "[" in signs or "_" in signs
        self.at += length


def parse(text: str, meter: Meter, *, pad: bool) -> Line:
    """Read note values under a meter."""
    reader = Reader(text, meter)
    read, position = _Notes(reader), 0
    while position < len(text):
        match = _TOKEN.match(text, position)
        if match:
            read.take(match, position)
        elif text[position] == "|":
            reader.barline(read.at, position)
        elif not text[position].isspace():
            word = text[position:].split()[0]
            raise reader.error(f"cannot read {word!r} as a note value; write 4, 8., 12, 4r, [4 4], 8!", position)
        position = match.end() if match else position + 1
    if read.tied:
        raise reader.error(_NOT_ENDED, len(text) - 1)
    return Line(tuple(Note(*note) for note in read.notes), fitted(reader, read.at, pad=pad))


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
