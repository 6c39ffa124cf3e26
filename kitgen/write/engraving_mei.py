"""A row of written music as the engraver's own document, in MEI.

Nothing about notation is decided here; it says in MEI what :mod:`kitgen.spell` has decided, a page of the engraver for
each system. MEI rather than the MusicXML that is handed out, because the engraver draws of it all that a percussion
score has: the circle of an open hat, struck heads, the z of a buzz. Here, and nowhere else, is what it has to be told
in its own way.

Source: Music Encoding Initiative, Guidelines 5.0, 2023: elements ``note``, ``verse``, ``multiRest``, ``mRpt``, ``tie``,
``lv``.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from string import ascii_lowercase
from types import MappingProxyType
from typing import NamedTuple

from kitgen.kit import Limb
from kitgen.spell import Count, Event, Measure, Stroke, Voice, Written
from kitgen.spell.beams import written_bar
from kitgen.spell.gaps import FREE, SILENT, Gap
from kitgen.spell.ticks import in_ticks
from kitgen.time import Meter
from kitgen.write.engraving_nesting import broken_after, nested
from kitgen.write.engraving_notes import (
    MIDDLE,
    graces,
    head_of,
    reach_of,
    rest,
    shared_rests,
    signs,
    through_stem,
    value_of,
)
from kitgen.write.engraving_words import UNSAID
from kitgen.write.musicxml_text import xml_words

_COUNTS = 9
"""The layer of what is said where nothing starts."""
_UNSEEN = 'loc="4" head.visible="false" stem.visible="false"'
_UNSAID = f'<layer n="{_COUNTS}"><note dur="4" {_UNSEEN}><verse n="1"><syl>{UNSAID}</syl></verse></note></layer>'
"""Stands under a bar without words at the end of a system; else the engraver would move the last word before it."""
_START = (
    '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0"><meiHead><fileDesc><titleStmt><title/>'
    "</titleStmt><pubStmt/></fileDesc></meiHead><music><body><mdiv><score>"
)
_END = "</section></score></mdiv></body></music></mei>"


class Look(NamedTuple):
    """What a row looks like, apart from its bars.

    Args:
        meter: the meter is printed at its start.
        loops: it stands between repeat signs.
        last: a final barline ends it, else a double one.
    """

    meter: bool = True
    loops: bool = False
    last: bool = False


class Document(NamedTuple):
    """What the engraver is given.

    Args:
        mei: the document.
        words: what stands under the staff, by the letter that stands for it in the document.
        depth: how far under the bottom line notes, stems and accents reach, in half spaces.
    """

    mei: str
    words: Mapping[str, str] = MappingProxyType({})
    depth: int = 0


def row_document(systems: Sequence[Sequence[Measure]], look: Look) -> Document:
    """The document of a row; a bar said to be the same as the one before is a sign, except at the start of a system.

    Stickings and counts stand there as one letter each, so that the engraver spaces notes by their rhythm alone.

    Args:
        systems: its bars as they stand, a list a system.
        look: how it looks.
    """
    first = systems[0][0]
    writer = RowWriter(look, [measure for system in systems for measure in system])
    parts = list[str]()
    for index, system in enumerate(systems):
        parts.append("<pb/>")  # before the first as well: where there is none, the engraver breaks a full system itself
        for place, measure in enumerate(system):
            if measure is not first and measure.shows_meter:
                parts.append(f"<scoreDef{meter_attributes(measure.meter, seen=True)}/>")
            closes = place == len(system) - 1
            ends = closes and index == len(systems) - 1
            parts += writer.measure(measure, starts=place == 0, closes=closes, ends=ends)
    words = {letter: word for word, letter in writer.letters.items()}
    return Document(document(first.meter, "".join(parts), meter=look.meter), words, writer.reach.depth)


def document(of: object, measures: str, *, meter: bool) -> str:
    """A document of measures under a meter, which is printed or not."""
    staff = f'<staffDef n="1" lines="5" clef.shape="perc"{meter_attributes(of, seen=meter)}/>'
    return f"{_START}<scoreDef><staffGrp>{staff}</staffGrp></scoreDef><section>{measures}{_END}"


def meter_attributes(meter: object, *, seen: bool) -> str:
    """The attributes of a meter, which is printed or not."""
    above, below = str(meter).split("/")
    return f' meter.count="{above}" meter.unit="{below}"' + ("" if seen else ' meter.visible="false"')


_Written = tuple[tuple[Voice, ...], tuple[Count, ...], Meter]
"""All that the layers of a bar say."""


class RowWriter:
    """Bars in order; remembers what is held on from one to the next, and which letter stands for which words."""

    def __init__(self, look: Look, measures: Sequence[Measure]) -> None:
        stuck = [_stuck(measure) for measure in measures]
        self.look = look
        self.letters: dict[str, str] = {}
        self.reach = reach_of(voice for measure in measures for voice in measure.voices)
        self.hand_a_line = any(len(set(starts)) < len(starts) for starts in stuck)
        self.counts_line = 1 + any(stuck) + self.hand_a_line
        self.said, self.said_here = False, False
        self.held: dict[tuple[str, Limb | None], str] = {}
        self.named = 0
        self.after: list[str] = []
        self.first = True
        self.recent: list[tuple[_Written, str, bool]] = []

    def measure(self, measure: Measure, *, starts: bool, closes: bool, ends: bool) -> Iterator[str]:
        """The elements of a bar that may start or close a system or end the row; none for one under a number before."""
        if measure.in_rest and not measure.rest_bars:
            return
        self.after, self.said_here = [], False
        self.said = self.said and not starts
        left = ' left="rptstart"' if self.look.loops and self.first else ""
        right = f' right="{self._right()}"' if ends else ""
        short = ' metcon="false"' if measure.length != measure.meter.span else ""
        yield f'<measure{left}{right}{short}><staff n="1">'
        self.first = False
        if measure.rest_bars:
            yield f'<layer n="1"><multiRest num="{measure.rest_bars}"/></layer>'
        elif measure.same_as_before and not starts:
            yield '<layer n="1"><mRpt num.visible="false"/></layer>'
        else:
            yield from self.voices(measure)
        if (closes or measure.rest_bars) and self.said and not self.said_here:
            yield _UNSAID
        yield "</staff>"
        if ends:
            end = float(measure.length * measure.meter.denominator / 4) + 1
            self.after += [f'<lv startid="#{name}" tstamp2="0m+{end:g}"/>' for name in self.held.values()]
        yield from self.after
        yield "</measure>"

    def _right(self) -> str:
        return "rptend" if self.look.loops else "end" if self.look.last else "dbl"

    # ---- voices ------------------------------------------------------------------------------------------------------

    def voices(self, measure: Measure) -> Iterator[str]:
        """The layers of a bar; of one like the bar before or the one before that, the same again."""
        named = self.named
        for known, layers, has_words in self.recent:
            if known == (measure.voices, measure.counts, measure.meter):
                self.said, self.said_here = self.said or has_words, has_words
                yield layers
                return
        layers = "".join(self._layers(measure))
        if self.named == named:  # what is tied has names, which are there once
            known = (measure.voices, measure.counts, measure.meter)
            self.recent = [(known, layers, self.said_here), *self.recent[:1]]
        yield layers

    def _layers(self, measure: Measure) -> Iterator[str]:
        said = {count.start: count.said for count in measure.counts}
        shared = shared_rests(measure.voices)
        for voice in measure.voices:
            struck = (event.written.start for event in voice.events if event.strokes)
            own = {start: said.pop(start) for start in struck if start in said}
            place = MIDDLE if len(measure.voices) == 1 else self.reach.up if voice.stem == "up" else self.reach.down
            values = [event.written for event in voice.events]
            pieces = [
                self._chord(event, voice.stem, broken, own.get(event.written.start, ""))
                if event.strokes
                else ("", rest(event, MIDDLE if event.written.start in shared else place))
                for event, broken in zip(voice.events, broken_after(values), strict=True)
            ]
            yield f'<layer n="{voice.number}">'
            yield nested(pieces, values, voice.stem)
            yield "</layer>"
        if said:
            yield f'<layer n="{_COUNTS}">'
            yield from self._only_said(measure, said)
            yield "</layer>"

    def _chord(self, event: Event, stem: str, broken: int, said: str) -> tuple[str, str]:
        """The small notes before a note or chord, and it."""
        written, strokes = event.written, event.strokes
        shown = [stroke for stroke in strokes if stroke.shown]
        inside = signs(shown, stem) + self._stickings(strokes) + self._verse(self.counts_line, said)
        own = f'{value_of(written)} stem.dir="{stem}"{through_stem(strokes)}'
        if broken:
            own += f' breaksec="{broken}"'
        if len(shown) == 1:
            note = f"<note{own}{self._head(shown[0], written)}>{inside}</note>"
        else:
            heads = "".join([f"<note{self._head(stroke, written)}/>" for stroke in shown])
            note = f"<chord{own}>{heads}{inside}</chord>"
        return graces(strokes, stem), note

    def _head(self, stroke: Stroke, written: Written) -> str:
        """Place, head and name of a notehead; a name only where a tie has to find it."""
        attributes = head_of(stroke.place, stroke.head, written.type)
        if stroke.parentheses:
            attributes += ' head.mod="paren"'
        if not stroke.tie:
            return attributes
        self.named += 1
        name, what = f"n{self.named}", (stroke.surface, stroke.limb)
        before = self.held.pop(what, "")
        if stroke.tie in ("stop", "both"):
            start = f'startid="#{before}"' if before else 'tstamp="0"'  # held on from the end of a row that loops
            self.after.append(f'<tie {start} endid="#{name}"/>')
        if stroke.tie in ("start", "both"):
            self.held[what] = name
        return f'{attributes} xml:id="{name}"'

    # ---- words under the staff ---------------------------------------------------------------------------------------

    def _stickings(self, strokes: Sequence[Stroke]) -> str:
        """A line for both hands, or where they strike together a line for each, the right one's above."""
        stuck = [stroke for stroke in strokes if stroke.sticking]
        if not stuck:
            return ""
        lines = (2 if self.hand_a_line and stroke.limb is Limb.LH else 1 for stroke in stuck)
        return "".join(self._verse(line, stroke.sticking) for line, stroke in zip(lines, stuck, strict=True))

    def _verse(self, line: int, words: str) -> str:
        """Words in a line under the staff; as long as there are letters, a letter stands for each."""
        if not words:
            return ""
        letter = xml_words(words)
        self.said, self.said_here = True, True
        if words in self.letters or len(self.letters) < len(ascii_lowercase):
            letter = self.letters.setdefault(words, ascii_lowercase[len(self.letters) % len(ascii_lowercase)])
        return f'<verse n="{line}"><syl>{letter}</syl></verse>'

    def _only_said(self, measure: Measure, said: Mapping[Fraction, str]) -> Iterator[str]:
        """What is said where no note starts, under heads that are not seen."""
        words = {in_ticks(start): word for start, word in said.items()}
        starts = sorted(start for start in words if start is not None)
        gaps = tuple(Gap(at, FREE if at in words else SILENT) for at in sorted({0, *starts}))
        values = written_bar(measure.meter, in_ticks(measure.length) or 0, gaps)
        pieces = []
        for written in values:
            verse = self._verse(self.counts_line, words.get(in_ticks(written.start), ""))
            value = value_of(written)
            note = f"<space{value}/>" if written.is_rest else f"<note{value} {_UNSEEN}>{verse}</note>"
            pieces.append(("", note))
        yield nested(pieces, values, "down", seen=False)


def _stuck(measure: Measure) -> list[Fraction]:
    """Where stickings stand in a bar, one for each hand."""
    return [
        event.written.start
        for voice in measure.voices
        for event in voice.events
        for stroke in event.strokes
        if stroke.sticking
    ]
