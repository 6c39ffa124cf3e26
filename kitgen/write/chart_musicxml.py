"""A chart as MusicXML 4.0: what the drummer of a band reads, with the form's own repeats and signs.

Conventions as in :mod:`kitgen.write.musicxml`. Bars are numbered as they are written. A slash of time is a note with a
slash for its head and no stem, so that every program shows it; the full band's figures are slashes with stems; cues are
cue notes. Slashes have an instrument of their own, which programs that play scores sound as a closed hat; the
performance is in the MIDI files. Source: W3C Music Notation Community Group, MusicXML 4.0, 2021: elements
``measure-style``, ``cue``, ``ending``, ``segno``, ``coda``, ``sound``.
"""

from collections.abc import Iterator
from fractions import Fraction
from math import lcm

from kitgen import __version__
from kitgen.kit import SURFACES
from kitgen.spell.chart_score import ChartBar, ChartScore, Said
from kitgen.spell.ticks import WRITTEN, in_ticks
from kitgen.styles.chart import Chart
from kitgen.time import Meter
from kitgen.write.musicxml_bars import attributes, direction, repeat_sign, voices_xml
from kitgen.write.musicxml_notes import SLASHES, Pen
from kitgen.write.musicxml_text import document, xml_words

_PART, _CHANNEL = "P1", 10
_LOOKS = {
    "style": 'font-style="normal" font-weight="bold"',
    "words": 'font-style="italic"',
    "who": 'font-size="8"',
    "below": 'font-size="8"',
    "fill": 'font-size="8"',
}
_TIME = "closed-hat"
_SWELLS = ("cresc.", "dim.")


def chart_musicxml(chart: Chart, score: ChartScore, *, recipe: str = "", heading: str = "") -> bytes:
    """A chart as the bytes of a MusicXML file.

    Args:
        chart: the chart.
        score: how it is written.
        recipe: the line that makes it again.
        heading: heads it, instead of the band.
    """
    pen = Pen(_divisions(score), _PART)
    return document(_PART, (*_header(chart, recipe, heading), *_part_list(score)), _measures(pen, score))


def _divisions(score: ChartScore) -> int:
    lengths = {
        event.written.length.denominator for bar in score.bars for voice in bar.measure.voices for event in voice.events
    }
    places = {said.start.denominator for bar in score.bars for said in bar.said}
    return lcm(*lengths, *places, *(bar.measure.length.denominator for bar in score.bars))


def _header(chart: Chart, recipe: str, heading: str) -> Iterator[str]:
    yield f"<work><work-title>{xml_words(chart.title)}</work-title></work>\n<identification>\n"
    if chart.words:
        yield f"<rights>{xml_words(chart.words)}</rights>\n"
    yield f"<encoding><software>kitgen {__version__}</software>\n"
    for element in ("stem", "beam"):
        yield f'<supports element="{element}" type="yes"/>\n'
    yield '<supports element="print" attribute="new-system" type="yes" value="yes"/>\n</encoding>\n'
    fields = {"heading": heading or chart.band, "recipe": recipe}
    inside = "".join(
        f'<miscellaneous-field name="{name}">{xml_words(words)}</miscellaneous-field>\n'
        for name, words in fields.items()
        if words
    )
    yield f"<miscellaneous>\n{inside}</miscellaneous>\n" if inside else ""
    yield "</identification>\n"


def _part_list(score: ChartScore) -> Iterator[str]:
    """The one part: an instrument for each surface in its grooves, and one for slashes and cues."""
    strokes = (
        stroke for bar in score.bars for voice in bar.measure.voices for one in voice.events for stroke in one.strokes
    )
    struck = {stroke.surface for stroke in strokes} - {""}
    labels = sorted(struck, key=lambda label: SURFACES[label].key)
    yield f'<part-list>\n<score-part id="{_PART}"><part-name>Drum set</part-name>\n'
    slashes = "<instrument-name>Time and figures</instrument-name>"
    yield f'<score-instrument id="{_PART}-{SLASHES}">{slashes}</score-instrument>\n'
    for label in labels:
        words = SURFACES[label].words
        name = f"<instrument-name>{words[0].upper()}{words[1:]}</instrument-name>"
        yield f'<score-instrument id="{_PART}-{label}">{name}</score-instrument>\n'
    for label, sounds_as in ((SLASHES, _TIME), *((label, label) for label in labels)):
        yield (
            f'<midi-instrument id="{_PART}-{label}"><midi-channel>{_CHANNEL}</midi-channel>'
            f"<midi-program>1</midi-program><midi-unpitched>{SURFACES[sounds_as].key + 1}</midi-unpitched>"
            "</midi-instrument>\n"
        )
    yield "</score-part>\n</part-list>\n"


# ---- bars ------------------------------------------------------------------------------------------------------------


def _measures(pen: Pen, score: ChartScore) -> Iterator[str]:
    meter: Meter | None = None
    repeating = False
    last = score.bars[-1]
    for bar in score.bars:
        measure = bar.measure
        yield f'<measure number="{measure.number}">\n'
        if measure.new_system and measure.number > 1:
            yield '<print new-system="yes"/>\n'
        yield _left(bar)
        sign = repeat_sign(starts=measure.same_as_before, before=repeating)
        yield attributes(pen, measure, measure.number, meter, sign)
        yield from _before(pen, bar)
        yield from voices_xml(pen, measure, measure.number)
        yield from _after(bar)
        yield _right(bar, last=bar is last)
        yield "</measure>\n"
        meter, repeating = measure.meter, measure.same_as_before


def _left(bar: ChartBar) -> str:
    if not (bar.repeat_starts or bar.ending_starts):
        return ""
    style = "<bar-style>heavy-light</bar-style>" if bar.repeat_starts else ""
    ending = f'<ending number="{bar.ending}" type="start"/>' if bar.ending_starts else ""
    repeat = '<repeat direction="forward"/>' if bar.repeat_starts else ""
    return f'<barline location="left">{style}{ending}{repeat}</barline>\n'


def _right(bar: ChartBar, *, last: bool) -> str:
    ends = bool(bar.repeat_ends)
    style = "light-heavy" if last or ends or bar.fine else "light-light" if bar.section_ends else ""
    kind = "stop" if ends else "discontinue"
    ending = f'<ending number="{bar.ending}" type="{kind}"/>' if bar.ending_stops else ""
    times = f' times="{bar.repeat_ends}"' if bar.repeat_ends > 2 else ""
    repeat = f'<repeat direction="backward"{times}/>' if ends else ""
    if not (style or ending):
        return ""
    drawn = f"<bar-style>{style}</bar-style>" if style else ""
    return f'<barline location="right">{drawn}{ending}{repeat}</barline>\n'


def _before(pen: Pen, bar: ChartBar) -> Iterator[str]:
    """What is said at the start of a bar and over places in it."""
    if bar.measure.mark:
        yield direction(f'<rehearsal halign="left" enclosure="square">{xml_words(bar.measure.mark)}</rehearsal>')
    if bar.segno:
        yield direction("<segno/>", '<sound segno="sign"/>')
    if bar.coda:
        yield direction("<coda/>", '<sound coda="coda"/>')
    if bar.tempo is not None:
        yield _tempo(*bar.tempo)
    for said in bar.said:
        yield _words(pen, said)
    if bar.dynamic:
        yield _dynamic(bar.dynamic)


def _tempo(bpm: float, unit: Fraction) -> str:
    sound = f'<sound tempo="{bpm * float(unit):g}"/>'
    kind, dots = WRITTEN.get(in_ticks(unit) or 0, ("quarter", 0))
    beat = f"<beat-unit>{kind}</beat-unit>" + "<beat-unit-dot/>" * dots
    return direction(f"<metronome>{beat}<per-minute>{bpm:g}</per-minute></metronome>", sound)


def _words(pen: Pen, said: Said) -> str:
    offset = said.start.numerator * (pen.divisions // said.start.denominator)
    place = f"<offset>{offset}</offset>" if offset else ""
    found = direction(f'<words halign="left" {_LOOKS[said.kind]}>{xml_words(said.words)}</words>', place)
    return found.replace('placement="above"', 'placement="below"') if said.kind == "below" else found


def _dynamic(dynamic: str) -> str:
    if dynamic in _SWELLS:
        inside = f'<words font-style="italic">{dynamic}</words>'
    else:
        inside = f"<dynamics><{dynamic}/></dynamics>"
    return f'<direction placement="below"><direction-type>{inside}</direction-type></direction>\n'


def _after(bar: ChartBar) -> Iterator[str]:
    """What is said at the end of a bar."""
    if bar.to_coda:
        yield direction('<words halign="right">To</words>')
        yield direction("<coda/>", '<sound tocoda="coda"/>')
    if bar.jump:
        sound = '<sound dalsegno="sign"/>' if bar.jump.startswith("D.S.") else '<sound dacapo="yes"/>'
        yield direction(f'<words halign="right" font-style="italic">{xml_words(bar.jump)}</words>', sound)
    if bar.fine:
        yield direction('<words halign="right" font-style="italic">Fine</words>', '<sound fine="yes"/>')
    if bar.repeat_ends > 2:
        yield direction(f'<words halign="right">play {bar.repeat_ends} times</words>')
