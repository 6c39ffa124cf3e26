"""Count notation of a line: what is struck, as it is said.

Numbers are beats; ``e & a``, ``trip let`` (``la li`` in a beat of three) are places after the last number.
A number in parentheses is said but not struck: ``(2) &``. ``!`` after a count accents it. A note lasts to the
next one or to its beat's end. A number no higher than the one before it starts the next bar, as ``|`` does.
"""

import re
from dataclasses import dataclass, field
from fractions import Fraction

from kitgen.errors import LineError
from kitgen.line.bars import Reader, printable
from kitgen.line.value import Line
from kitgen.line.values import fills_bars
from kitgen.time import Meter, Meters, syllable
from kitgen.time.meter import Beat

_F = Fraction
_TOKEN = re.compile(r"\s+|\d+|trip|let|la|li|and|[&+ea()!|]", re.IGNORECASE)
_PLACES = {
    "e": _F(1, 4), "&": _F(1, 2), "a": _F(3, 4), "trip": _F(1, 3), "let": _F(2, 3), "la": _F(1, 3), "li": _F(2, 3),
}  # fmt: skip
_SAME = {"+": "&", "and": "&"}


@dataclass
class _State:
    """Where the reading stands: bar and beat from 0, what was said and what was struck, with accents."""

    reader: Reader
    bar: int = 0
    beat: int = 0
    said: bool = False
    silent: bool = False
    bars: int = 1
    last: Fraction | None = None
    struck: list[Fraction] = field(default_factory=list)
    accents: set[Fraction] = field(default_factory=set)

    def take(self, token: str, position: int) -> None:
        """Read one token that is not a space."""
        if token in "()":
            if self.silent == (token == "("):
                raise self.reader.error(f"{token!r} without its partner", position)
            self.silent = token == "("
        elif token == "|":
            if self.said or self.bar:
                self.bar, self.beat, self.said = self.bar + 1, 0, False
        elif token == "!":
            if self.last is None:
                raise self.reader.error("an accent '!' with no struck count before it", position)
            self.accents.add(self.last)
        else:
            self._count(token, _place(self.reader, self, token, position), position)

    def _count(self, token: str, at: Fraction, position: int) -> None:
        self.last = None if self.silent else at
        if self.silent:
            return
        if self.struck and at <= self.struck[-1]:
            raise self.reader.error(f"{token!r} comes too late in its beat: e & a, trip let go in order", position)
        self.struck.append(at)


def parse(text: str, meter: Meter, *, pad: bool) -> Line:  # noqa: ARG001  counts always make whole bars
    """Read counts under a meter; beats that are not said are rest, so bars are always whole."""
    reader, position = Reader(text, meter), 0
    state = _State(reader)
    while position < len(text):
        match = _TOKEN.match(text, position)
        if not match:
            raise reader.error(
                f"unknown character {text[position]!r} in counts; write numbers, e & a, trip let, (2) for a silent "
                "one; or boxes (x.x. xx) or note values (4 8 8)",
                position,
            )
        token = match.group().lower()
        if not token.isspace():
            state.take(_SAME.get(token, token), position)
        position = match.end()
    if state.silent:
        raise reader.error("'(' without its partner", len(text) - 1)
    _one_division_a_beat(reader, state, meter)
    return Line.of_onsets(state.struck, Meters.of(meter, state.bars), accents=state.accents)


def _place(reader: Reader, state: _State, token: str, position: int) -> Fraction:
    meter = reader.meter
    if token.isdigit():
        number = int(token)
        if not 1 <= number <= len(meter.beats):
            raise reader.error(f"count {number} in {meter}, {_beats_of(meter)}", position)
        if state.said and number - 1 <= state.beat:
            state.bar += 1
        state.beat, state.said = number - 1, True
        place = _F(0)
    else:
        meant = _in_threes_too(token, meter, state.beat)
        if meant is None:
            raise reader.error(f"{token!r} in a beat of three; its places are la li (or & a)", position)
        place, state.said = meant, True
    state.bars = max(state.bars, state.bar + 1)
    start = state.bar * meter.span + sum(meter.beats[: state.beat], _F(0))
    return start + place * meter.beats[state.beat]


def _beats_of(meter: Meter) -> str:
    """How far a meter is counted, and what to do where that is not far enough."""
    count = len(meter.beats)
    if meter.denominator >= 8:
        return f"which is counted 1 to {count}, the units as 1 la li (1 & in twos)"
    return f"which has beats 1 to {count}; change --meter, or start the next bar with |"


def _in_threes_too(token: str, meter: Meter, beat: int) -> Fraction | None:
    """The place a syllable means; in a beat of three "& a" means its second and third unit."""
    if meter.denominator >= 8 and meter.beats[beat] == 3 * meter.unit:
        return {"&": _F(1, 3), "a": _F(2, 3), "e": None}.get(token, _PLACES[token])
    return _PLACES[token]


def _one_division_a_beat(reader: Reader, state: _State, meter: Meter) -> None:
    meters = Meters.of(meter, state.bars)
    seen: dict[Fraction, set[bool]] = {}
    for at in state.struck:
        beat = meters.beat_at(at)
        parts = ((at - beat.start) / beat.length).denominator
        if parts > 1:
            kinds = seen.setdefault(beat.start, set())
            kinds.add(parts == 3)
            if len(kinds) > 1:
                raise LineError(
                    f"bar {beat.bar}, beat {beat.number} of {' '.join(reader.text.split())!r} mixes e & a with "
                    "trip let; type such a beat as boxes"
                )


def render(line: Line) -> str:
    """The canonical counts of a line.

    Raises:
        LineError: a place that has no syllable, or a length counts cannot say.
    """
    printable(line, "counts")
    meter = line.meters.only
    if meter is None:
        raise LineError("a line with no bars has no counts")
    words: dict[int, list[str]] = {bar.number: [] for bar in line.meters.bars}
    said: Beat | None = None
    for note in line.notes:
        beat = line.meters.beat_at(note.onset)
        place = (note.onset - beat.start) / beat.length
        word = str(beat.number) if not place else syllable(beat, place)
        if word == "ta" or place.denominator in (5, 7, 9):
            raise LineError(f"counts have no syllable for {place} of a beat; use boxes")
        if place and said != beat:
            words[beat.bar].append(f"({beat.number})")
        words[beat.bar].append(word + ("!" if note.accent else ""))
        said = beat
    text = " | ".join(" ".join(bar) or "(1)" for bar in words.values())
    if not set(text) - set("0123456789 |!") and fills_bars(text, meter):
        first, _, others = text.partition(" ")  # a silent count, lest the numbers be taken for note values
        text = f"{first} (&) {others}".rstrip()
    if parse(text, meter, pad=False) != line:
        raise LineError("counts cannot say the lengths of this line; use boxes or note values")
    return text
