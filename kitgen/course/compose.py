"""Lines composed of figures: the new one by itself, then beside what is known, then in phrases that land.

Nothing is drawn at random: a seed chooses among plans, which are tried in turn until no line of a page is like another.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from kitgen.course.bars import Material, bar_of, holds, size_of, turned
from kitgen.course.figures import cell_figure, silent_beat
from kitgen.course.phrases import phrases as phrases_of
from kitgen.line import Line
from kitgen.time import Meter

_TIMES = 4
_TURNED, _TWO, _MORE = "two bars, the second turned round", "two bars", "two more bars"


class Composed(NamedTuple):
    """A row of a page before it is laid on the kit: its label, its line, and how often it is played."""

    label: str
    line: Line
    times: int = 1


def composed(material: Material, seed: int = 0, *, phrases: int = 2) -> tuple[Composed, ...]:
    """The rows of a page, the plainest first, no two lines alike.

    Args:
        material: what they are made of.
        seed: chooses among the plans; the same seed gives the same rows.
        phrases: how many phrases of four bars end the page.

    Returns:
        the rows; fewer than asked for where the material gives no more that differ, none where it gives nothing.
    """
    rows = list[Composed]()
    if material.new:
        _add(rows, material, _by_itself(material))
        _add(rows, material, _beside(material, seed), most=2)
    for index in range(phrases):
        _add(rows, material, (Composed(*phrase) for phrase in phrases_of(material, seed + index)), most=1)
    return tuple(rows)


def first_rows(meter: Meter) -> tuple[Composed, ...]:
    """The rows of the very first page: full bars of the beat, only the last bar of a phrase ends on its 1."""
    beat, beats = cell_figure("x", meter), len(meter.beats)
    end = beat + silent_beat(meter) * (beats - 1) if beats > 1 else beat
    phrases = (
        Composed(f"{words} bars, the last ends on 1", beat * (beats * (bars - 1)) + end, _TIMES // 2)
        for words, bars in (("four", 4), ("eight", 8))
    )
    return Composed("on every beat", beat * beats, _TIMES), *phrases


def _add(rows: list[Composed], material: Material, found: Iterator[Composed], most: int | None = None) -> None:
    """The first of what is offered that look like nothing the page has."""
    looks = {_look(row.line, material) for row in rows}
    added = 0
    for row in found:
        if added == most:
            return
        look = _look(row.line, material)
        if look not in looks and row.line.notes:
            again = row.label in (_TURNED, _TWO) and rows[-1].label in (_TURNED, _TWO)
            rows.append(row._replace(label=_MORE) if again else row)
            looks.add(look)
            added += 1


def _look(line: Line, material: Material) -> object:
    """What is seen of a line on the page: its lengths only where they are shown."""
    if material.lengths:
        return line
    return line.span, tuple((note.onset, note.graces) for note in line.notes)


# ---- rows of a bar ---------------------------------------------------------------------------------------------------


def _by_itself(material: Material) -> Iterator[Composed]:
    """What is new as often as it goes into the bar, then once a bar; what is longer than a bar as it is."""
    new = material.new[0]
    plain = material._replace(known=())
    if size_of(new) <= material.beats:
        often = bar_of(plain, "N")
        if often is not None:
            where = "on every beat" if size_of(new) == 1 else "over and over"
            bars = 2 if size_of(new) == material.beats > 1 else 1
            yield Composed(f"{material.called}, {where}".removeprefix(", "), often * bars, _TIMES // bars)
        rest = bar_of(plain, "P", material.beats - size_of(new)) if size_of(new) < material.beats else None
        if rest is not None:
            same = often is not None and (new + rest).onsets == often.onsets
            yield Composed("once a bar" + ", the other beats plain" * same, new + rest, _TIMES)
    for figure in material.new:
        if size_of(figure) > material.beats:
            yield Composed(f"{material.called}, over the barline", figure, _TIMES // 2)


def _beside(material: Material, seed: int) -> Iterator[Composed]:
    """What is new beside what is known, in turns: a bar, then two bars the second of which turns it round."""
    if (not material.known and material.pulse is None) or size_of(material.new[0]) > material.beats:
        return
    one_bar = [bar for plan in turned(("NK", "KN", "NL", "LN"), seed) if (bar := bar_of(material, plan)) is not None]
    whole = size_of(material.new[0]) == material.beats > 1
    for bar in [bar for bar in one_bar if holds(bar, material.new[0]) and not whole][:1]:
        yield Composed("with what you know", bar, _TIMES)
    pairs = (("NKNK", "LNLN"), ("NNKK", "KKNN"), ("NPNK", "KNPN"), ("NNNK", "KKKN"), ("NKNL", "LNKN"), ("NNNP", "PPNP"))
    for first, second in turned(pairs, seed):
        one, other = bar_of(material, first), bar_of(material, second)
        if one is None or other is None or one == other:
            continue
        if holds(one + other, material.new[0]):
            yield Composed(_TURNED if is_turned(one, other) else _TWO, one + other, _TIMES // 2)


def is_turned(first: Line, second: Line) -> bool:
    """True if a bar is another one begun on another of its beats."""
    cuts = [beat.start for beat in first.meters.beats][1:]
    whole = [cut for cut in cuts if not any(note.onset < cut < note.end for note in first.notes)]
    return any(first.cut(cut, first.span) + first.cut(Fraction(0), cut) == second for cut in whole)
