"""Lines composed of figures: the new one by itself, then beside what is known, then in phrases that land.

Nothing is drawn at random: a seed chooses among plans, which are tried in turn until no line of a page is like another.
"""

from collections.abc import Iterator
from typing import NamedTuple

from kitgen.course.bars import Material, bar_of, holds, size_of, turned
from kitgen.course.phrases import phrases as phrases_of
from kitgen.line import Line

_TIMES = 4
_TURNED, _MORE = "two bars, the second turned round", "two more bars"


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
        _add(rows, _by_itself(material))
        _add(rows, _beside(material, seed), most=2)
    for index in range(phrases):
        _add(rows, (Composed(*phrase) for phrase in phrases_of(material, seed + index)), most=1)
    return tuple(rows)


def _add(rows: list[Composed], found: Iterator[Composed], most: int | None = None) -> None:
    """The first of what is offered that are like nothing the page has."""
    lines = {row.line for row in rows}
    added = 0
    for row in found:
        if added == most:
            return
        if row.line not in lines and row.line.notes:
            rows.append(row._replace(label=_MORE) if row.label == _TURNED == rows[-1].label else row)
            lines.add(row.line)
            added += 1


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
            yield Composed(f"{material.called}, {where}", often * bars, _TIMES // bars)
        rest = bar_of(plain, "P", material.beats - size_of(new)) if size_of(new) < material.beats else None
        if rest is not None:
            yield Composed("once a bar", new + rest, _TIMES)
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
        bars = bar_of(material, first), bar_of(material, second)
        if bars[0] is None or bars[1] is None or bars[0] == bars[1]:
            continue
        if holds(bars[0] + bars[1], material.new[0]):
            yield Composed(_TURNED, bars[0] + bars[1], _TIMES // 2)
