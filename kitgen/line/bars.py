"""What the three notations share: where an error is, and filling whole bars."""

from fractions import Fraction

from kitgen.errors import LineError
from kitgen.line.value import Line, Mark
from kitgen.time import Meter, Meters, unit_name, unit_names


class Reader:
    """The text being read, for errors that name the place in it."""

    def __init__(self, text: str, meter: Meter) -> None:
        self.text, self.meter = text, meter

    def error(self, what: str, position: int) -> LineError:
        """An error naming the character (from 1) and the text around it."""
        return LineError(f"{what} (character {position + 1} of {short(self.text)!r})")

    def barline(self, at: Fraction, position: int) -> None:
        """Check a typed barline against the meter."""
        off = at % self.meter.span
        if off and at:
            bar = at // self.meter.span + 1
            missing = self.meter.span - off
            raise self.error(
                f"bar {bar} of {self.meter} is {in_words(missing)} too short (or {in_words(off)} too long) "
                "where its barline stands",
                position,
            )


def fitted(reader: Reader, span: Fraction, *, pad: bool) -> Meters:
    """Whole bars for a line of this span; with ``pad`` the last one is filled with rest."""
    bar = reader.meter.span
    over = span % bar
    if (over and not pad) or not span:
        full = span // bar
        raise LineError(
            f"bar {full + 1} of {reader.meter} is {in_words(bar - over)} too short in {short(reader.text)!r}"
            + (f" (or the line {in_words(over)} too long)" if full else "")
            + "; fill it, change --meter, or use --pad to fill it with rest"
        )
    return Meters.of(reader.meter, -(-span // bar))


def printable(line: Line, notation: str) -> None:
    """Raise unless a notation can carry everything the line holds."""
    meter = line.meters.only
    if meter is None and line.meters.runs:
        raise LineError(f"a line whose meter changes cannot be typed as {notation}")
    for note in line.notes:
        if note.graces or note.sticking or note.mark is not Mark.NONE:
            raise LineError(f"{notation} cannot carry the grace notes, stickings or articulations of this line")


def in_words(length: Fraction) -> str:
    """A length as a person says it: ``1 quarter``, ``3 sixteenths``, ``5/6 of a quarter``.

    >>> in_words(Fraction(3, 4)), in_words(Fraction(1))
    ('3 sixteenths', '1 quarter')
    """
    for unit in (Fraction(1), Fraction(1, 2), Fraction(1, 4), Fraction(1, 8)):
        count = length / unit
        if count.denominator == 1:
            return f"{count} {unit_names(unit) if count > 1 else unit_name(unit)}"
    return f"{length} of a quarter"


def short(text: str, most: int = 40) -> str:
    """The text on one line, cut where it is long."""
    flat = " ".join(text.split())
    return flat if len(flat) <= most else flat[: most - 3] + "..."
