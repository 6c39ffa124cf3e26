"""The systems of a chart as the engraver's document, in MEI, a page of the engraver for each system.

Nothing about notation is decided here; see :mod:`kitgen.write.engraving_mei`, whose writer also writes the bars that
show a groove. Source: Music Encoding Initiative, Guidelines 5.0, 2023: elements ``reh``, ``dir``, ``dynam``,
``repeatMark``, ``ending``, ``multiRest``; data type HEADSHAPE; W3C Music Notation Community Group, SMuFL 1.4, 2021,
"Slash noteheads".
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from kitgen.line import Mark
from kitgen.spell import Event, Measure, Stroke, Voice
from kitgen.spell.chart_score import STOPPING, ChartBar, Said
from kitgen.spell.chart_voices import SLASH
from kitgen.time import unit_name
from kitgen.write.engraving_mei import Document, Look, RowWriter, document, meter_attributes
from kitgen.write.engraving_nesting import broken_after, nested
from kitgen.write.engraving_notes import MIDDLE, head_of, loc_of, reach_of, rest, value_of
from kitgen.write.musicxml_text import xml_words

TEMPO_NOTES = {
    Fraction(2): "\ue000",
    Fraction(3, 2): "\ue001",
    Fraction(1): "\ue002",
    Fraction(1, 2): "\ue003",
    Fraction(3): "\ue004",
}
"""Letters for private use that stand for the note a tempo counts; whoever draws the picture puts the note there."""
_SLASHES = {"half": "E103", "whole": "E102"}
_BLACK_SLASH = "E101"
_ARTICULATIONS = {Mark.SHORT: "stacc", Mark.LONG: "ten"}
_CUE_RESTS = {"up": 10, "down": -5}
_LOOKS = {
    "style": 'fontstyle="normal" fontweight="bold"',
    "words": 'fontstyle="italic"',
    "who": 'fontstyle="italic" fontsize="75%"',
    "below": 'fontstyle="italic" fontsize="75%"',
    "fill": 'fontstyle="italic" fontsize="75%"',
}
_SMALL = ("who", "below", "fill")
_SIGN_BESIDE, _LETTER = 0.3, 0.2
"""Where a section's sign stands, in quarters from its start, and how much farther right for a letter of its mark."""
_GAP = "<rend>\N{NO-BREAK SPACE}\N{NO-BREAK SPACE}\N{NO-BREAK SPACE}</rend>"
_SIGN_AT, _SIGN_ROOM = Fraction(5, 6), Fraction(1, 8)
"""Where the sign for the coda stands in a bar that is left for it, and how far before it its words end, in quarters."""
_SWELLS = ("cresc.", "dim.")


def chart_document(systems: Sequence[Sequence[ChartBar]]) -> Document:
    """The document of a chart.

    Args:
        systems: its bars as they stand, a list a system.
    """
    bars = [bar for system in systems for bar in system]
    writer = _ChartWriter([bar.measure for bar in bars])
    parts = list[str]()
    for system in systems:
        parts.append("<pb/>")  # before the first as well, or the engraver breaks a full one itself
        for place, bar in enumerate(system):
            if bar is not bars[0] and bar.measure.shows_meter:
                parts.append(f"<scoreDef{meter_attributes(bar.measure.meter, seen=True)}/>")
            if bar.ending_starts or (bar.ending and place == 0):
                parts.append(f'<ending n="{bar.ending}.">' if bar.ending_starts else "<ending>")
            parts += writer.bar(bar, starts=place == 0, last=bar is bars[-1])
            if bar.ending_stops or (bar.ending and bar is system[-1]):
                parts.append("</ending>")
    return Document(document(bars[0].measure.meter, "".join(parts), meter=True), {}, writer.depth)


class _ChartWriter:
    """Bars in order; counts the heads that are tied, by whether they are cues."""

    def __init__(self, measures: Sequence[Measure]) -> None:
        voices = [voice for measure in measures for voice in measure.voices]
        self.grooves = RowWriter(
            Look(), [one._replace(voices=tuple(filter(is_groove, one.voices))) for one in measures]
        )
        self.depth = reach_of(voices).depth
        self.named = {False: 0, True: 0}
        self.after: list[str] = []

    def bar(self, bar: ChartBar, *, starts: bool, last: bool) -> Iterator[str]:
        """The elements of a bar; none for one that stands under the number of rests before it."""
        measure = bar.measure
        if measure.in_rest and not measure.rest_bars:
            return
        self.after = []
        left = ' left="rptstart"' if bar.repeat_starts else ""
        right = _right(bar, last=last)
        yield f'<measure{left}{right}><staff n="1">'
        if measure.rest_bars:
            yield f'<layer n="1"><multiRest num="{measure.rest_bars}"/></layer>'
        elif measure.same_as_before and not starts:
            yield '<layer n="1"><mRpt num.visible="false"/></layer>'
        else:
            yield from self._voices(measure)
        yield "</staff>"
        yield from _said(bar)
        yield from self.after
        yield "</measure>"

    # ---- voices ------------------------------------------------------------------------------------------------------

    def _voices(self, measure: Measure) -> Iterator[str]:
        grooves = tuple(voice for voice in measure.voices if is_groove(voice))
        if grooves:
            yield from self.grooves.voices(measure._replace(voices=grooves))
        for voice in measure.voices:
            if voice not in grooves:
                yield from self._voice(voice)

    def _voice(self, voice: Voice) -> Iterator[str]:
        values = [event.written for event in voice.events]
        pieces = [
            ("", self._chord(event, voice, broken) if event.strokes else _rest(event, voice))
            for event, broken in zip(voice.events, broken_after(values), strict=True)
        ]
        cue = ' cue="true"' if voice.cue else ""
        yield f'<layer n="{voice.number}"{cue}>'
        inside = nested(pieces, values, voice.stem)
        yield inside.replace("<beam", '<beam cue="true"') if voice.cue else inside
        yield "</layer>"

    def _chord(self, event: Event, voice: Voice, broken: int) -> str:
        stroke, written = event.strokes[0], event.written
        own = f"{value_of(written)}{_head(stroke, written.type)}"
        own += ' stem.visible="false"' if stroke.stemless else f' stem.dir="{voice.stem}"'
        own += ' cue="true"' if voice.cue else ""
        own += f' breaksec="{broken}"' if broken else ""
        own += self._tie(stroke, cue=voice.cue)
        return f"<note{own}>{_signs(stroke, voice.stem)}</note>"

    def _tie(self, stroke: Stroke, *, cue: bool) -> str:
        """The name of a head that is tied, and the tie from it to the next one of its kind.

        The tie stands in the bar it begins in, so that both parts of one that goes over to another system are drawn.
        """
        if not stroke.tie:
            return ""
        self.named[cue] += 1
        kind, number = "c" if cue else "k", self.named[cue]
        if stroke.tie in ("start", "both"):
            self.after.append(f'<tie startid="#{kind}{number}" endid="#{kind}{number + 1}"/>')
        return f' xml:id="{kind}{number}"'


def is_groove(voice: Voice) -> bool:
    """True for a voice of a bar that shows a groove: its notes name what is struck."""
    return any(stroke.surface for event in voice.events for stroke in event.strokes)


def _right(bar: ChartBar, *, last: bool) -> str:
    if bar.repeat_ends:
        return ' right="rptend"'
    if last or bar.fine:
        return ' right="end"'
    return ' right="dbl"' if bar.section_ends else ""


def _head(stroke: Stroke, value: str) -> str:
    if stroke.head == SLASH:
        return f' loc="{loc_of(stroke.place)}" head.shape="U+{_SLASHES.get(value, _BLACK_SLASH)}"'
    return head_of(stroke.place, stroke.head, value)


def _signs(stroke: Stroke, stem: str) -> str:
    place = "above" if stem == "up" else "below"
    found = f'<artic artic="acc" place="{place}"/>' if stroke.accent else ""
    if stroke.mark is not Mark.NONE and stroke.tie not in ("stop", "both"):
        found += f'<artic artic="{_ARTICULATIONS[stroke.mark]}" place="{place}"/>'
    return found


def _rest(event: Event, voice: Voice) -> str:
    made = rest(event, _CUE_RESTS[voice.stem] if voice.cue else MIDDLE)
    return made.replace("<rest", '<rest cue="true"') if voice.cue else made


# ---- over and under the staff ----------------------------------------------------------------------------------------


def _said(bar: ChartBar) -> Iterator[str]:
    """Marks, signs, words and dynamics of a bar: of what stands above it what is nearest to the staff comes first."""
    measure = bar.measure
    for kind in _SMALL:
        yield from (_words(measure, said) for said in bar.said if said.kind == kind)
    yield from _heading(bar)
    for is_there, sign in ((bar.segno, "segno"), (bar.coda, "coda")):
        if is_there:
            units = measure.meter.denominator / 4
            at = round(1 + units * (_SIGN_BESIDE + _LETTER * len(measure.mark)), 2)
            yield f'<repeatMark staff="1" tstamp="{at:g}" place="above" func="{sign}"/>'
    yield from _at_end(bar)
    if bar.dynamic in _SWELLS:
        yield _dir("1", 'fontstyle="italic"', bar.dynamic, place="below")
    elif bar.dynamic:
        yield f'<dynam staff="1" tstamp="1" place="below">{bar.dynamic}</dynam>'
    if measure.mark:
        look = 'rend="box" fontweight="bold" fontsize="125%"'
        yield f'<reh staff="1" tstamp="1"><rend {look}>{xml_words(measure.mark)}</rend></reh>'


def _heading(bar: ChartBar) -> Iterator[str]:
    """Tempo, style and words of a bar, on one line over its start; what stops or goes on there stands under them.

    Over threes, from whose brackets the engraver keeps no words away, an empty line lies under it.
    """
    parts, said = list[str](), [one for kind in ("style", "words") for one in bar.said if one.kind == kind]
    if bar.tempo is not None and bar.measure.number > 1:
        bpm, unit = bar.tempo
        note = TEMPO_NOTES.get(unit, f"{unit_name(unit)} ")
        parts.append(f"<rend {_LOOKS['style']}>{note}= {bpm:g}</rend>")
    apart = [one for one in said if one.words in STOPPING] if len(said) + len(parts) > 1 else []
    parts += [f"<rend {_LOOKS[one.kind]}>{xml_words(one.words)}</rend>" for one in said if one not in apart]
    if parts and any(event.written.tuplet for voice in bar.measure.voices for event in voice.events):
        yield _dir("1", _LOOKS["who"], "\N{NO-BREAK SPACE}" * sum(len(one.words) + 4 for one in said))
    for one in apart:
        yield _dir("1", _LOOKS[one.kind], one.words)
    if parts:
        yield f'<dir staff="1" tstamp="1" place="above">{_GAP.join(parts)}</dir>'


def _at_end(bar: ChartBar) -> Iterator[str]:
    """Where the form goes from the end of a bar."""
    measure = bar.measure
    look = 'halign="right" fontstyle="italic" fontweight="bold"'
    end = _beat(measure, measure.length)
    if bar.to_coda:
        yield _dir(_beat(measure, measure.length * _SIGN_AT - _SIGN_ROOM), look, "To Coda")
        at = _beat(measure, measure.length * _SIGN_AT)
        yield f'<repeatMark staff="1" tstamp="{at}" place="above" func="coda"/>'
    ends = [bar.jump] if bar.jump else []
    ends += ["Fine"] if bar.fine else []
    ends += [f"play {bar.repeat_ends} times"] if bar.repeat_ends > 2 else []
    for words in ends:
        yield _dir(end, look, words)


def _words(measure: Measure, said: Said) -> str:
    place = "below" if said.kind == "below" else "above"
    return _dir(_beat(measure, said.start), _LOOKS[said.kind], said.words, place=place)


def _dir(beat: str, look: str, words: str, *, place: str = "above") -> str:
    return f'<dir staff="1" tstamp="{beat}" place="{place}"><rend {look}>{xml_words(words)}</rend></dir>'


def _beat(measure: Measure, at: Fraction) -> str:
    """A place of a bar as the engraver counts it: in units of the meter, from 1."""
    return f"{float(at * measure.meter.denominator / 4) + 1:g}"
