"""ABC tunes into bars as written.

Conventions: quarters, exact. Every tune of a file is a part, called by its title; a tune of several voices is a part a
voice. Only rhythm is read: lengths, tuplets, broken rhythm, ties, grace notes, chords, overlays, accents, staccato
dots, barlines with repeats and endings, changes of meter and unit. Whatever is not known is refused with its line: a
sign passed over could move all that follows. Source: C. Walshaw and others, "The ABC Music Standard 2.1", 2011.

What is not read: jumps such as da capo, macros.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from kitgen.errors import ReadError, TimeError
from kitgen.read.abc_voice import Voice
from kitgen.read.score_signs import tempo_in
from kitgen.read.score_written import ScoreBar
from kitgen.time import Meter

_FIELD = re.compile(r"([A-Za-z]):(.*)")
_INLINE = re.compile(r"\[([A-Za-z]):([^\]]*)\]")
_NAMED = re.compile(r'(?:name|nm)\s*=\s*"([^"]*)"')
_RATIO = re.compile(r"(\d{1,4})/(\d{1,4})")
_TEMPO = re.compile(r"(\d{1,3})/(\d{1,3})\s*=\s*(\d{1,4}(?:\.\d{1,4})?)|=?\s*(\d{1,4})\s*$")
_COMMON, _CUT = ("C", "c"), ("C|", "c|")
_LONGEST_SIXTEENTH = Fraction(3)


class Tune(NamedTuple):
    """The lines of one tune, each with its number in the file."""

    title: str
    lines: tuple[tuple[int, str], ...]


@dataclass(slots=True)
class _State:
    """What fields have said so far."""

    meter: Meter | None = None
    unit: Fraction | None = None
    voices: dict[str, Voice] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)
    now: str = ""

    @property
    def voice(self) -> Voice:
        """The voice in which music stands now."""
        if self.now not in self.voices:
            self.voices[self.now] = Voice()
        voice = self.voices[self.now]
        voice.meter, voice.unit = self.meter, self.unit or _usual_unit(self.meter)
        return voice


def tunes_of(data: bytes) -> tuple[Tune, ...]:
    """The tunes of a file.

    Raises:
        ReadError: there is none.
    """
    text = data.decode("utf-8-sig", errors="replace")
    found: list[list[tuple[int, str]]] = []
    for number, line in enumerate(text.splitlines(), start=1):
        if re.match(r"X:", line):
            found.append([])
        if found:
            found[-1].append((number, line))
    tunes = tuple(Tune(_title(lines), tuple(lines)) for lines in found)
    if not tunes:
        raise ReadError("has no ABC tune, which starts with a line 'X:1'; export it again, or as MusicXML")
    return tunes


def _title(lines: Sequence[tuple[int, str]]) -> str:
    titles = (" ".join(line[2:].partition("%")[0].split()) for _, line in lines if line.startswith("T:"))
    return next(filter(None, titles), "")


def parts_of(tunes: Sequence[Tune]) -> tuple[tuple[str, int, str], ...]:
    """Each part's name, the tune it is in, and the voice."""
    found: list[tuple[str, int, str]] = []
    for index, tune in enumerate(tunes):
        voices = _voices_in(tune)
        for place, (voice, name) in enumerate(voices.items(), start=1):
            called = tune.title or f"tune {index + 1}"
            found.append((f"{called}, {name or place}" if len(voices) > 1 else called, index, voice))
    return tuple(found)


def _voices_in(tune: Tune) -> dict[str, str]:
    """The voices of a tune with their names; one without a name where it has none."""
    found: dict[str, str] = {}
    for _, line in tune.lines:
        texts = [line[2:]] if line.startswith("V:") else [body for key, body in _INLINE.findall(line) if key == "V"]
        for text in texts:
            voice, name = _voice_field(text)
            found[voice] = found.get(voice) or name
    return found or {"": ""}


def _voice_field(text: str) -> tuple[str, str]:
    words = text.partition("%")[0].split()
    named = _NAMED.search(text)
    return words[0] if words else "", " ".join(named[1].split()) if named else ""


def bars_of(tune: Tune, voice: str) -> tuple[ScoreBar, ...]:
    """The bars of one voice of a tune.

    Raises:
        ReadError: something that is not known; names the line.
    """
    state = _State()
    for number, line in tune.lines:
        try:
            _line(state, line)
        except (ReadError, TimeError) as error:
            raise ReadError(f"line {number}: {error}") from None
    found = state.voices.get(voice) or next((each for name, each in state.voices.items() if not voice), None)
    return found.ended() if found else ()


def first_tempo(tune: Tune) -> float | None:
    """The tempo a tune gives first, in quarters a minute."""
    for _, line in tune.lines:
        for text in [line[2:]] if line.startswith("Q:") else []:
            if found := _TEMPO.search(re.sub(r'"[^"]*"', "", text.partition("%")[0])):
                quarters = Fraction(found[3]) * 4 * Fraction(int(found[1]), int(found[2]) or 1) if found[3] else None
                return tempo_in([str(float(quarters)) if quarters is not None else found[4]])
    return None


def _line(state: _State, line: str) -> None:
    """Take in one line of a tune."""
    if line.startswith("%"):
        return
    line = re.sub(r"(?<!\\)%.*", "", line).rstrip()
    if found := _FIELD.match(line):
        _take_field(state, found[1], found[2])
        return
    for piece, key in _pieces(line):
        if key:
            _take_field(state, key, piece)
        elif piece.strip():
            state.voice.music(piece)


def _pieces(line: str) -> Iterator[tuple[str, str]]:
    """Music and inline fields of a line in order, fields with their letters."""
    at = 0
    for found in _INLINE.finditer(line):
        yield line[at : found.start()], ""
        yield found[2], found[1]
        at = found.end()
    yield line[at:], ""


def _take_field(state: _State, key: str, text: str) -> None:
    text = text.strip()
    if key == "M":
        state.meter = _meter(text)
    elif key == "L":
        found = _RATIO.fullmatch(text)
        if found is None or not int(found[1]) or not int(found[2]):
            raise ReadError(f"the unit length {text[:20]!r} is no fraction such as 1/8")
        state.unit = 4 * Fraction(int(found[1]), int(found[2]))
    elif key == "V":
        state.now = _voice_field(text)[0]
    elif key == "m":
        raise ReadError("a macro (m:) is not read; write its notes out")


def _meter(text: str) -> Meter | None:
    """A meter as ABC writes it; None for free meter."""
    if text.lower() in ("none", ""):
        return None
    if text in _COMMON:
        return Meter(4, 4)
    if text in _CUT:
        return Meter(2, 2)
    try:
        return Meter.parse(text.replace("(", "").replace(")", "").replace(" ", ""))
    except TimeError:
        raise ReadError(f"the meter {text[:20]!r} is none; write one such as 6/8, 2+3/8, C or none") from None


def _usual_unit(meter: Meter | None) -> Fraction:
    """The unit length where none is given: a sixteenth in meters shorter than 3/4, else an eighth."""
    return Fraction(1, 4) if meter is not None and meter.span < _LONGEST_SIXTEENTH else Fraction(1, 2)
