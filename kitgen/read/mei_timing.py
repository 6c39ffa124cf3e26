"""Time in MEI layers: where events stand, how long they last, and the meter.

Conventions: quarters, exact; a note lasts its ``dur``, dots and tuplet; each half of a tremolo between two notes lasts
half of what is written. Elements and attributes: Music Encoding Initiative, MEI Guidelines, version 5.0.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from kitgen.errors import ReadError, TimeError
from kitgen.read.mei_notes import integer, tag_of
from kitgen.time import Meter

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_NAMED = {"maxima": Fraction(32), "long": Fraction(16), "breve": Fraction(8)}
_POWERS = {str(2**power): Fraction(4, 2**power) for power in range(12)}
_SYMBOLS = {"common": Meter(4, 4), "cut": Meter(2, 2)}
_BRACKETS = ("beam", "tuplet", "bTrem", "fTrem", "graceGrp", "app", "lem", "choice", "corr", "reg", "expan", "add")
TIMED = ("note", "chord", "rest", "space")
_DEEPEST = 40


def walk(layer: "Element", number: str) -> Iterator[tuple["Element", Fraction, Fraction]]:
    """Every event of a layer with its place and length; grace notes have length 0."""
    at = Fraction(0)
    for element, factor in _events(layer, Fraction(1), 0, number):
        length = _duration(element, number) * factor if tag_of(element) in TIMED else Fraction(0)
        yield element, at, length
        at += length


def _events(bracket: "Element", factor: Fraction, depth: int, number: str) -> Iterator[tuple["Element", Fraction]]:
    """Events inside brackets of any kind, with what their written length is multiplied by (0 for grace notes)."""
    if depth > _DEEPEST:
        raise ReadError(f"bar {number} has brackets more than {_DEEPEST} deep")
    for child in bracket:
        tag = tag_of(child)
        if tag in ("beatRpt", "halfmRpt"):
            raise ReadError(f"bar {number} has a sign for a repeated beat, which is not read; write the notes out")
        if tag in _BRACKETS:
            yield from _events(child, factor * _factor(child), depth + 1, number)
            if tag in ("app", "choice"):
                continue
        elif child.get("grace") is not None:
            yield child, Fraction(0)
        else:
            yield child, factor


def _factor(bracket: "Element") -> Fraction:
    tag = tag_of(bracket)
    if tag == "tuplet":
        return Fraction(integer(bracket.get("numbase"), 2), max(1, integer(bracket.get("num"), 3)))
    return {"fTrem": Fraction(1, 2), "graceGrp": Fraction(0)}.get(tag, Fraction(1))


def _duration(element: "Element", number: str) -> Fraction:
    """Written length of a note, chord, rest or space, dots counted."""
    name = element.get("dur") or next((note.get("dur") for note in element if note.get("dur")), None) or ""
    length = _NAMED.get(name) or _POWERS.get(name)
    if length is None:
        raise ReadError(f"bar {number} has the duration {name[:20]!r}, which is no note value")
    dots = integer(element.get("dots"), 0) or sum(1 for child in element if tag_of(child) == "dot")
    return length * (2 - Fraction(1, 2 ** min(dots, 8)))


def meter_of(element: "Element") -> Meter | None:
    """The meter a definition gives, by its own attributes or as a sign."""
    if tag_of(element) == "meterSig":
        return meter_sign(element)
    return _meter_from(element.get("meter.count"), element.get("meter.unit"), element.get("meter.sym"))


def meter_sign(sign: "Element") -> Meter | None:
    """The meter of a sign; None where it gives none."""
    return _meter_from(sign.get("count"), sign.get("unit"), sign.get("sym"))


def _meter_from(count: str | None, unit: str | None, symbol: str | None) -> Meter | None:
    if count and unit:
        try:
            return Meter.parse(f"{count}/{unit}")
        except TimeError:
            raise ReadError(f"has the time signature {count[:20]}/{unit[:20]}, which is no meter") from None
    return _SYMBOLS.get(symbol or "")
