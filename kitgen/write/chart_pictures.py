"""A chart engraved: a picture a system."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from kitgen.spell import Score, Section
from kitgen.spell.bars import A_SYSTEM
from kitgen.spell.chart_score import ChartBar, ChartScore
from kitgen.write.chart_finish import finished
from kitgen.write.chart_mei import chart_document, is_groove
from kitgen.write.engraving_key import CAPTION, KEY_SCALE, key_systems
from kitgen.write.engraving_mei import Document
from kitgen.write.engraving_svg import Picture, captioned, drawn, numbered, picture
from kitgen.write.engraving_words import width_of

_CLEF, _METER, _COLUMN, _BARLINE, _REPEAT, _SIGN = 4.0, 3.5, 2.8, 2.0, 3.0, 8.0
"""Room in staff spaces for these: notes at one instant are a column, a repeat of a bar or a number of rests a sign."""

_EM = 2.0
"""The size of words over the staff, with what bold ones are wider, in staff spaces."""


class EngravedSystem(NamedTuple):
    """A system.

    Args:
        picture: its picture.
        mark: the mark of the section that starts it; empty where none does.
        first: the number of its first bar.
        last: the number of its last bar.
    """

    picture: Picture
    mark: str
    first: int
    last: int


def engraved_chart(score: ChartScore, *, width_pt: float, staff_pt: float) -> tuple[EngravedSystem, ...]:
    """The pictures of a chart.

    Args:
        score: how it is written.
        width_pt: width of a full system, in points.
        staff_pt: height of the staff of five lines, in points.

    Raises:
        WriteError: the engraver cannot draw it.
    """
    space = staff_pt / 4
    width = width_pt / space
    systems, widths = list[Sequence[ChartBar]](), list[float]()
    for spelled in score.systems:
        parts = list(_fitting(spelled, width))
        systems += parts
        widths += [width] * len(parts) if len(parts) > 1 else [_wide(spelled, width)]
    drawings, _ = drawn(chart_document(systems), widths)
    found = []
    for system, drawing in zip(systems, drawings, strict=True):
        first, last = system[0].measure, system[-1].measure
        made = finished(drawing, first.number)
        made = numbered(made, first.number) if first.number > 1 else made
        found.append(EngravedSystem(picture(made, space), first.mark, first.number, last.number))
    return tuple(found)


def key_pictures(score: ChartScore, *, width_pt: float, staff_pt: float) -> tuple[Picture, ...]:
    """Each surface of the chart's grooves on the staff, with its name; none where no groove is written.

    Args:
        score: how the chart is written.
        width_pt: width of the music, in points.
        staff_pt: height of the staff, in points.
    """
    grooves = [bar.measure._replace(voices=tuple(filter(is_groove, bar.measure.voices))) for bar in score.bars]
    section = Section("", tuple(measure for measure in grooves if measure.voices))
    if not section.measures:
        return ()
    space, found = staff_pt / 4, []
    for mei, across, captions in key_systems(Score((section,)), width_pt / space / KEY_SCALE):
        ((drawing,), _) = drawn(Document(mei), (across,))
        found.append(picture(captioned(drawing, captions, CAPTION), space * KEY_SCALE))
    return tuple(found)


def _room(system: Sequence[ChartBar]) -> float:
    """The least width in which a system can be read."""
    repeats = _REPEAT * sum(bar.repeat_starts + bool(bar.repeat_ends) for bar in system)
    changes = _METER * sum(bar.measure.shows_meter for bar in system)
    return _CLEF + changes + repeats + sum(_needed(bar, starts=bar is system[0]) for bar in system)


def _needed(bar: ChartBar, *, starts: bool) -> float:
    measure = bar.measure
    if measure.in_rest:
        return _SIGN if measure.rest_bars else 0.0
    if measure.same_as_before and not starts:
        return _SIGN
    columns = {event.written.start for voice in measure.voices for event in voice.events}
    return len(columns) * _COLUMN + _BARLINE


def _fitting(system: Sequence[ChartBar], width: float) -> Iterator[Sequence[ChartBar]]:
    """A system, or its halves where it is too full."""
    half = (len(system) + 1) // 2
    while half < len(system) and system[half].measure.in_rest and not system[half].measure.rest_bars:
        half += 1
    if len(system) < 2 or half == len(system) or _room(system) <= width:
        yield system
        return
    second = system[half]
    start = second._replace(measure=second.measure._replace(new_system=True, same_as_before=False))
    yield from _fitting(system[:half], width)
    yield from _fitting((start, *system[half + 1 :]), width)


def _wide(system: Sequence[ChartBar], width: float) -> float:
    """As wide as the others where it is full; else as wide as its bars."""
    stands = sum(bar.measure.rest_bars > 0 or not bar.measure.in_rest for bar in system)
    usual = _CLEF + stands * (width - _CLEF) / A_SYSTEM
    return width if stands >= A_SYSTEM else min(width, max(usual, _room(system), *map(_words_end, system[:1])))


def _words_end(bar: ChartBar) -> float:
    """Where the words over the first bar of a system end, in staff spaces from its start."""
    said = [one.words for one in bar.said if one.kind in ("style", "words")]
    said += [f"mm = {bar.tempo[0]:g}"] if bar.tempo is not None else []
    starts = _CLEF + _METER * bar.measure.shows_meter + _REPEAT * bar.repeat_starts
    return starts + _EM * sum(width_of(words) + 1 for words in said)
