"""A page as MusicXML 4.0: exactly the bars of its ``.mid``, one part, one percussion staff.

The score is that of :func:`kitgen.spell.spell_page`; nothing about notation is decided here. A row that is played
several times is written out; what is looped apart from the rows (kernels) is left out, as in the ``.mid``. Title,
heading, instruction, recipe and the program's version stand in the head, no date. Every surface on the page is an
instrument of the part, on channel 10, its ``midi-unpitched`` the MIDI key and 1. Same page, same bytes.

Sources: W3C Music Notation Community Group, MusicXML 4.0, 2021: the schema, the tutorial's chapter "Percussion"
(part, instruments, channel, keys, stems) and the list of standard sounds.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import lcm

from kitgen import __version__
from kitgen.kit import SURFACES
from kitgen.page import Page, Row
from kitgen.pattern import Feel
from kitgen.spell import Choices, Score, Section, Stroke, spell_page
from kitgen.spell.choices import USUAL
from kitgen.spell.ticks import WRITTEN, in_ticks
from kitgen.time import unit_name
from kitgen.write.musicxml_bars import Placed, direction, measures_xml, played_bars
from kitgen.write.musicxml_notes import Pen
from kitgen.write.musicxml_text import document, xml_words
from kitgen.write.text import feel_words

_PART = "P1"
_CHANNEL = 10
_SOUNDS = {
    "crash": "metal.cymbal.crash", "crash-2": "metal.cymbal.crash", "splash": "metal.cymbal.splash",
    "china": "metal.cymbal.chinese", "ride": "metal.cymbal.ride", "ride-bell": "metal.cymbal.ride",
    "closed-hat": "metal.hi-hat", "open-hat": "metal.hi-hat", "hat-foot": "metal.hi-hat",
    "cowbell": "metal.bells.cowbell",
    "high-tom": "drum.tom-tom", "mid-tom": "drum.tom-tom", "floor-tom": "drum.tom-tom", "snare": "drum.snare-drum",
    "cross-stick": "drum.snare-drum", "rim-shot": "drum.snare-drum", "bass": "drum.bass-drum",
}  # fmt: skip


def page_musicxml(
    page: Page,
    choices: Choices = USUAL,
    *,
    keys: Mapping[str, int] | None = None,
    bar_repeats: bool = False,
) -> bytes:
    """The page as the bytes of a MusicXML file.

    Args:
        page: the page.
        choices: how it is written.
        keys: MIDI keys by surface, where not General MIDI's.
        bar_repeats: show a bar equal to the one before as a repeat sign; its notes are in the file all the same.

    Raises:
        SpellingError: a rhythm no note values write; names row, bar and count, and offers the nearest.
    """
    score = spell_page(replace(page, rows=tuple(map(_unwrapped, page.rows)), kernels=()), choices)
    bars = played_bars(score)
    pen = Pen(_divisions(score, bars), _PART)
    measures = measures_xml(pen, bars, _tempo(page) + _swing(score.feel, page), repeats=bar_repeats)
    return document(_PART, (*_header(page), *_part_list(score, keys or {})), measures)


def _unwrapped(row: Row) -> Row:
    """A row in which nothing is held past its end; one that had such notes is written out as often as it is played."""
    if all(hit.length is None or hit.onset + hit.length <= row.pattern.span for hit in row.pattern.hits):
        return row
    played = row.played
    rooms = ((hit, played.span - hit.onset) for hit in played.hits)
    cut = (replace(hit, length=room) if hit.length is not None and hit.length > room else hit for hit, room in rooms)
    return Row(row.label, played.with_hits(cut))


def _divisions(score: Score, bars: Sequence[Placed]) -> int:
    """The fewest parts of a quarter that hold every length, and every place where something is said."""
    counts = {count.start.denominator for bar in bars for count in bar.measure.counts}
    return lcm(score.divisions, *(bar.measure.length.denominator for bar in bars), *counts)


# ---- head ------------------------------------------------------------------------------------------------------------


def _header(page: Page) -> Iterator[str]:
    if page.title:
        yield f"<work><work-title>{xml_words(page.title)}</work-title></work>\n"
    yield f"<identification>\n<encoding><software>kitgen {__version__}</software>\n"
    for element in ("stem", "beam"):
        yield f'<supports element="{element}" type="yes"/>\n'
    yield '<supports element="print" attribute="new-system" type="yes" value="yes"/>\n</encoding>\n'
    fields = {"heading": page.heading, "instruction": page.instruction, "recipe": page.recipe}
    inside = "".join(
        f'<miscellaneous-field name="{name}">{xml_words(words)}</miscellaneous-field>\n'
        for name, words in fields.items()
        if words
    )
    if inside:
        yield f"<miscellaneous>\n{inside}</miscellaneous>\n"
    yield "</identification>\n"


def _part_list(score: Score, keys: Mapping[str, int]) -> Iterator[str]:
    """The one part, with an instrument for each surface on the page, in the order of their keys."""
    struck = {stroke.surface for section in score.sections for stroke in _strokes(section)}
    labels = sorted(struck, key=lambda label: SURFACES[label].key)
    yield f'<part-list>\n<score-part id="{_PART}"><part-name print-object="no">Drum set</part-name>\n'
    for label in labels:
        sound = f"<instrument-sound>{_SOUNDS[label]}</instrument-sound>" if label in _SOUNDS else ""
        words = SURFACES[label].words
        name = f"<instrument-name>{words[0].upper()}{words[1:]}</instrument-name>"
        yield f'<score-instrument id="{_PART}-{label}">{name}{sound}</score-instrument>\n'
    for label in labels:
        key = keys.get(label, SURFACES[label].key)
        yield (
            f'<midi-instrument id="{_PART}-{label}"><midi-channel>{_CHANNEL}</midi-channel>'
            f"<midi-program>1</midi-program><midi-unpitched>{key + 1}</midi-unpitched></midi-instrument>\n"
        )
    yield "</score-part>\n</part-list>\n"


def _strokes(section: Section) -> Iterator[Stroke]:
    for measure in section.measures:
        for voice in measure.voices:
            for event in voice.events:
                yield from event.strokes


def _tempo(page: Page) -> str:
    """The tempo the page starts at, as a metronome mark; in words where its unit is no note value."""
    tempo = page.tempo
    bpm, sound = f"{tempo.start:g}", f'<sound tempo="{tempo.quarters:g}"/>'
    value = WRITTEN.get(in_ticks(tempo.unit) or 0)
    if value is None:
        return direction(f'<words halign="left">{bpm} a minute ({unit_name(tempo.unit)})</words>', sound)
    beat = f"<beat-unit>{value[0]}</beat-unit>" + "<beat-unit-dot/>" * value[1]
    return direction(f"<metronome>{beat}<per-minute>{bpm}</per-minute></metronome>", sound)


def _swing(feel: Feel, page: Page) -> str:
    """What swings and by how much, in words and for playback; nothing where the page is even."""
    ratio = feel.resolved(page.tempo.quarters).ratio
    if not feel.unit or ratio is None or ratio == 1:
        return ""
    kind = "eighth" if feel.unit == 8 else "16th"
    sound = f"<first>{ratio.numerator}</first><second>{ratio.denominator}</second><swing-type>{kind}</swing-type>"
    words = feel_words(page)
    return direction(
        f'<words halign="left">{words[0].upper()}{xml_words(words[1:])}</words>',
        f"<sound><swing>{sound}</swing></sound>",
    )
