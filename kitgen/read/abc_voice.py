"""One voice of an ABC tune, sign by sign.

Conventions: quarters, exact. A length is a multiple of the unit; ``>`` and ``<`` take from one note what they give the
other; a tuplet ``(p:q:r`` puts p notes into the time of q for the next r. Source: C. Walshaw and others, "The ABC Music
Standard 2.1", 2011, section 4.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from fractions import Fraction

from kitgen.errors import ReadError
from kitgen.read.score_bars import mark_of, with_graces
from kitgen.read.score_written import Notehead, ScoreBar, Signs
from kitgen.time import Meter

_LENGTH = r"(\d{0,4})(/*)(\d{0,4})"
_NOTE = r"[_^=]*[/\d]*?([A-Ga-g][,']*)"
_SIGNS = {
    "words": re.compile(r'"[^"]*"|`+|\\$|[\s$]|\*'),
    "decoration": re.compile(r"!([^!\s][^!]*)!|\+([a-z][^+]*)\+|(\.)(?=[^|(-])|([~H-Wh-w])"),
    "grace": re.compile(r"\{([^}]*)\}"),
    "tuplet": re.compile(r"\((\d)(?::(\d{0,2}))?(?::(\d{0,2}))?"),
    "bar": re.compile(r"(\.?[|:\[\]]*[|:][|:\]]*)(?:\s*\[?(?=\d))?([\d,.-]*)|\[(?=\d)([\d,.-]+)|\[\|"),
    "chord": re.compile(r"\[([^\]]*)\]" + _LENGTH + r"(\s*\.?-)?"),
    "note": re.compile(_NOTE + _LENGTH + r"(\s*\.?-)?"),
    "rest": re.compile(r"([zx])" + _LENGTH),
    "bars of rest": re.compile(r"([ZX])(\d{0,3})"),
    "broken": re.compile(r"(>+|<+)"),
    "tie": re.compile(r"\.?-"),
    "slur": re.compile(r"\.?\(|\)"),
    "overlay": re.compile(r"&"),
    "spacer": re.compile(r"y\d*"),
}
_INSIDE = re.compile(r"[.~H-Wh-w]*" + _NOTE + _LENGTH + r"(\s*\.?-)?")
_NORMAL = {2: 3, 3: 2, 4: 3, 6: 2, 8: 3}
_ACCENTS = frozenset(("accent", "emphasis", ">", "L", "marcato", "^"))
_MARKS = {".": "staccato", "staccato": "staccato", "wedge": "staccatissimo", "tenuto": "tenuto", "^": "strong-accent"}
_MOST_BARS = 1000


def _times(number: str, slashes: str, below: str) -> Fraction:
    """What a length multiplies the unit by: ``3/2``, ``/``, ``//``, ``2``."""
    above = Fraction(int(number)) if number else Fraction(1)
    if not slashes:
        return above
    return above / (int(below) if below else 2 ** len(slashes)) if below != "0" else above


@dataclass(slots=True)
class Voice:
    """What a voice holds so far.

    Args:
        meter: the meter in force.
        unit: the unit length.
    """

    meter: Meter | None = None
    unit: Fraction = Fraction(1, 2)
    bars: list[ScoreBar] = field(default_factory=list)
    heads: list[Notehead] = field(default_factory=list)
    graces: dict[tuple[Fraction, int], list[str]] = field(default_factory=dict)
    waiting: list[str] = field(default_factory=list)
    marks: set[str] = field(default_factory=set)
    tied: set[str] = field(default_factory=set)
    signs: Signs = field(default_factory=Signs)
    endings: tuple[int, ...] = ()
    at: Fraction = Fraction(0)
    reach: Fraction = Fraction(0)
    layer: int = 0
    scale: Fraction = Fraction(1)
    tuplet: tuple[Fraction, int] = (Fraction(1), 0)
    last: tuple[Fraction, Fraction, int] | None = None
    struck: tuple[Fraction, int] = (Fraction(0), 0)
    bar_meter: Meter | None = None

    def music(self, text: str) -> None:
        """Take in a piece of music.

        Raises:
            ReadError: a sign that is not known.
        """
        at = 0
        while at < len(text):
            kind, found = next(
                ((kind, hit) for kind, sign in _SIGNS.items() if (hit := sign.match(text, at)) and hit.end() > at),
                ("", None),
            )
            if found is None:
                raise ReadError(f"{text[at : at + 10]!r} is not read; take it out, or give the tune as MusicXML")
            self._take(kind, found)
            at = found.end()

    def _take(self, kind: str, found: re.Match[str]) -> None:
        """Take in one sign; slurs, spacers and words change nothing."""
        ways: dict[str, Callable[[re.Match[str]], object]] = {
            "note": self._note,
            "chord": self._chord,
            "rest": lambda found: self._sound([], _times(found[2], found[3], found[4])),
            "bars of rest": lambda found: self._rest_for(int(found[2] or 1)),
            "decoration": lambda found: self.marks.add(next(filter(None, found.groups()))),
            "grace": lambda found: self.waiting.extend(re.findall(r"[A-Ga-g][,']*", found[1])),
            "tuplet": lambda found: self._tuplet(int(found[1]), found[2], found[3]),
            "broken": lambda found: self._broken(found[1]),
            "tie": self._tie,
            "overlay": self._overlay,
            "bar": lambda found: self._barline(found[1] or "|", found[2] or found[3] or ""),
        }
        if kind in ways:
            ways[kind](found)

    def _note(self, found: re.Match[str]) -> None:
        self._sound([(found[1], bool(found[5]))], _times(found[2], found[3], found[4]))

    def _overlay(self, _: re.Match[str]) -> None:
        """Another voice from the start of the bar."""
        self.at, self.layer, self.last = Fraction(0), self.layer + 1, None

    def _tie(self, _: re.Match[str]) -> None:
        """A tie that stands apart from the note it leads on from."""
        tied = {head.pitch for head in self.heads if (head.at, head.voice) == self.struck}
        self.heads = [
            replace(head, tied_to=True) if (head.at, head.voice) == self.struck else head for head in self.heads
        ]
        self.tied |= tied

    def _tuplet(self, notes: int, time: str | None, over: str | None) -> None:
        compound = self.meter is not None and self.meter.numerator % 3 == 0 and self.meter.numerator > 3
        normal = int(time) if time else _NORMAL.get(notes, 3 if compound else 2)
        if not notes or not normal:
            raise ReadError("a tuplet of no notes; write how many, such as (3")
        self.tuplet = Fraction(normal, notes), int(over) if over else notes

    def _chord(self, found: re.Match[str]) -> None:
        inside = list(_INSIDE.finditer(re.sub(r'"[^"]*"|!([^!]*)!', "", found[1])))
        if not inside:
            raise ReadError(f"{found[0][:20]!r} is no chord of notes")
        first = _times(inside[0][2], inside[0][3], inside[0][4])
        pitches = [(each[1], bool(each[5]) or bool(found[5])) for each in inside]
        self._sound(pitches, first * _times(found[2], found[3], found[4]))

    def _sound(self, pitches: list[tuple[str, bool]], times: Fraction) -> None:
        """A note, chord or rest: its heads, and time goes on."""
        length = times * self.unit * self.scale
        ratio, left = self.tuplet
        if left:
            length, self.tuplet = length * ratio, (ratio, left - 1)
        if not self.heads and not self.at and not self.layer:
            self.bar_meter = self.meter
        if pitches and self.waiting:
            self.graces[self.at, self.layer] = self.waiting
            self.waiting = []
        names = {_MARKS.get(mark, mark) for mark in self.marks}
        for pitch, tie in pitches:
            self.heads.append(
                Notehead(
                    self.at,
                    length,
                    self.layer,
                    pitch,
                    tied_from=pitch in self.tied,
                    tied_to=tie,
                    accent=bool(self.marks & _ACCENTS),
                    mark=mark_of(names),
                )
            )
        self.tied = {pitch for pitch, tie in pitches if tie}
        self.marks = set()
        self.last = (self.at, length, self.layer)
        self.struck = (self.at, self.layer)
        self.scale = Fraction(1)
        self.at += length
        self.reach = max(self.reach, self.at)

    def _broken(self, signs: str) -> None:
        """Lengthen the note before and shorten the next one, or the other way round."""
        if self.last is None:
            raise ReadError(f"{signs!r} has no note before it")
        short = Fraction(1, 2 ** len(signs))
        before, after = (2 - short, short) if signs[0] == ">" else (short, 2 - short)
        at, length, layer = self.last
        changed = length * before
        self.heads = [
            replace(head, length=changed) if (head.at, head.voice) == (at, layer) else head for head in self.heads
        ]
        if self.reach == self.at:
            self.reach += changed - length
        self.at += changed - length
        self.last, self.scale = None, after

    def _rest_for(self, bars: int) -> None:
        if not 0 < bars <= _MOST_BARS:
            raise ReadError(f"a rest of {bars} bars; 1 to {_MOST_BARS} are read")
        for number in range(bars):
            self.reach = self.meter.span if self.meter else Fraction(4)
            self.bar_meter = self.meter
            if number + 1 < bars:
                self._end_bar(0)

    def _barline(self, line: str, passes: str) -> None:
        """A barline ends the bar if anything stands in it; its signs belong to the bar before or after."""
        before, _, after = line.strip(".").partition("|")
        if line.strip(".") in ("::", ":"):
            before, after = ":" * (len(line) > 1), ":" * (len(line) > 1)
        ends = before.startswith(":")
        if self.reach:
            self._end_bar(2 if ends else 0)
        elif ends and self.bars:
            self.bars[-1] = replace(self.bars[-1], signs=replace(self.bars[-1].signs, repeat_times=2))
        if ends or "||" in line or "]" in line:
            self.endings = ()
        if after.endswith(":"):
            self.signs = replace(self.signs, repeat_from=True)
            self.endings = ()
        if passes:
            self.endings = tuple(int(each) for each in re.findall(r"\d{1,3}", passes))

    def _end_bar(self, repeat: int) -> None:
        signs = replace(self.signs, repeat_times=repeat, endings=self.endings)
        heads = with_graces(self.heads, self.graces)
        meter = self.bar_meter if self.heads or self.reach else self.meter
        self.bars.append(ScoreBar(str(len(self.bars) + 1), meter, self.reach, heads, signs))
        self.heads, self.graces, self.signs = [], {}, Signs()
        self.at = self.reach = Fraction(0)
        self.layer, self.last = 0, None

    def ended(self) -> tuple[ScoreBar, ...]:
        """The bars, the last one ended."""
        if self.reach:
            self._end_bar(0)
        return tuple(self.bars)
