"""Time in MusicXML measures: where notes stand, how long they last, and the meter.

Conventions: quarters, exact. A note lasts its ``duration``; where the file's divisions are too coarse for a tuplet and
its duration is rounded, it lasts what its type, dots and tuplet say. Elements and attributes: W3C MusicXML 4.0.
"""

import re
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from typing import TYPE_CHECKING

from kitgen.errors import ReadError, TimeError
from kitgen.time import Meter

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_TYPES = {
    name: Fraction(2) ** power
    for power, name in enumerate(
        (
            "1024th", "512th", "256th", "128th", "64th", "32nd", "16th",
            "eighth", "quarter", "half", "whole", "breve", "long", "maxima",
        ),
        start=-8,
    )
}  # fmt: skip
_DECIMAL = re.compile(r"\d{1,9}(\.\d{1,9})?")


@dataclass(slots=True)
class Pace:
    """Divisions of a quarter in force, and which bar is being read."""

    divisions: Fraction = Fraction(1)
    number: str = ""


def walk(measure: "Element", pace: Pace) -> Iterator[tuple["Element", Fraction, Fraction]]:
    """Every note and gap of a measure, with its place and length; attributes too, as they come."""
    at = given = before = Fraction(0)
    exact = {given: at}  # where a place counted in rounded durations really is
    for element in measure:
        if element.tag == "attributes":
            if (text := element.findtext("divisions")) is not None:
                pace.divisions = _number_in(text, "divisions", pace)
            yield element, at, Fraction(0)
        elif element.tag == "note" and element.find("grace") is not None:
            yield element, at, Fraction(0)
        elif element.tag in ("note", "forward"):
            stated = _number_in(element.findtext("duration"), "duration", pace, least=0) / pace.divisions
            length = _written(element, stated, pace)
            if element.find("chord") is not None:
                yield element, before, length
                continue
            yield element, at, length
            before, at, given = at, at + length, given + stated
            exact[given] = at
        elif element.tag == "backup":
            given -= _number_in(element.findtext("duration"), "duration", pace, least=0) / pace.divisions
            if given < 0:
                raise ReadError(f"bar {pace.number} goes back to before its start")
            at = exact.get(given, given)


def _number_in(text: str | None, what: str, pace: Pace, *, least: Fraction | int = Fraction(1, 10**9)) -> Fraction:
    stripped = (text or "").strip()
    number = Fraction(stripped) if _DECIMAL.fullmatch(stripped) else None
    if number is None or number < least:
        raise ReadError(f"bar {pace.number} has {what} {stripped[:20]!r}; it must be a number, more than 0")
    return number


def _written(element: "Element", stated: Fraction, pace: Pace) -> Fraction:
    """The stated length, or that of the tuplet where the divisions cannot express it and it was rounded."""
    written, tuplet = _TYPES.get((element.findtext("type") or "").strip()), element.find("time-modification")
    if written is None or tuplet is None:
        return stated
    written *= 2 - Fraction(1, 2 ** len(element.findall("dot")))
    written *= _number_in(tuplet.findtext("normal-notes"), "normal-notes", pace)
    written /= _number_in(tuplet.findtext("actual-notes"), "actual-notes", pace)
    if (written * pace.divisions).denominator == 1 or abs(written - stated) * pace.divisions >= 1:
        return stated
    return written


def longest(parts: Sequence[Sequence["Element"]], wanted: AbstractSet[int]) -> dict[int, Fraction]:
    """How far the measures asked for reach in the part where they reach furthest, fillers left out."""
    longest: dict[int, Fraction] = {}
    for measures in parts:
        pace = Pace()
        for index, measure in enumerate(measures):
            pace.number = measure.get("number", "")
            if index in wanted:
                ends = (at + length for element, at, length in walk(measure, pace) if not is_filler(element))
                longest[index] = max(longest.get(index, Fraction(0)), *ends, Fraction(0))
            else:
                for text in measure.findall("attributes/divisions"):
                    pace.divisions = _number_in(text.text, "divisions", pace)
    return longest


def is_whole_rest(note: "Element") -> bool:
    """True for a rest that is as long as its bar, whatever it says."""
    rest = note.find("rest")
    return rest is not None and rest.get("measure") == "yes"


def is_filler(element: "Element") -> bool:
    """True for what only takes up room: a gap, or a rest without a note value, such as one for a whole bar."""
    if element.tag == "forward":
        return True
    rest = element.find("rest")
    return rest is not None and (rest.get("measure") == "yes" or element.find("type") is None)


def reach(element: "Element", end: Fraction, meter: Meter | None) -> Fraction:
    """How far an element fills its bar: a gap, or a rest without a note value, no further than the meter."""
    return min(end, meter.span) if meter is not None and is_filler(element) else end


def meter_of(time: "Element", pace: Pace) -> Meter | None:
    """A time signature with its grouping; None for music without one.

    Several signatures side by side, such as 2/4 + 3/8, are one meter in the finest unit.
    """
    pairs = list(zip(time.findall("beats"), time.findall("beat-type"), strict=False))
    if not pairs:
        return None
    written = " + ".join(f"{(above.text or '').strip()}/{(below.text or '').strip()}" for above, below in pairs)
    try:
        parts = [Meter.parse(part) for part in written.split(" + ")]
        unit = lcm(*(part.denominator for part in parts))
        groups = [size * unit // part.denominator for part in parts for size in _groups(part, alone=len(parts) == 1)]
        return Meter(sum(groups), unit, tuple(groups))
    except TimeError:
        raise ReadError(f"bar {pace.number} has the time signature {written[:40]!r}, which is no meter") from None


def _groups(part: Meter, *, alone: bool) -> tuple[int, ...]:
    """A signature's own groups; one of several without any is a group itself."""
    usual = part.groups == Meter(part.numerator, part.denominator).groups
    return (part.numerator,) if usual and not alone else part.groups
