"""A chart played out as rows, one a passage of its form."""

from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from kitgen.kit import PLAYERS, Player
from kitgen.page import Row
from kitgen.pattern import EVEN, Feel, Hit, Pattern, performed
from kitgen.styles.chart import Chart
from kitgen.styles.chart_play import Play

_IN_THREES = Fraction(3, 2)
"""The least ratio that is nearer to triplets than to even eighths or sixteenths."""
_BEFORE_END = Fraction(1, 16)
"""Quarters before the end of a bar at which a fill that it ends with is surely played."""


class Performance(NamedTuple):
    """A chart as it is played.

    Args:
        rows: a row a passage.
        tempi: (played bar from 1, quarters a minute) where the tempo changes after the first bar.
        feel: the feel of every row.
        mixed: sections differ in feel, and those that swing are written as they sound, in triplets.
        play: what it was made of, for whoever explains it.
    """

    rows: tuple[Row, ...]
    tempi: tuple[tuple[int, float], ...]
    feel: Feel
    mixed: bool
    play: Play


def performance(chart: Chart, *, player: Player = PLAYERS["school"], hand: str = "right", turn: int = 0) -> Performance:
    """A chart played out.

    Args:
        chart: the chart.
        player: who plays; says what a hand needs on its way.
        hand: hand setting of the kit: ``right``, or ``left`` for everything mirrored.
        turn: which of several fills comes first.
    """
    play = Play(chart, player, turn)
    feels = [play.feel(passage) for passage in play.passages]
    mixed = len(set(feels)) > 1
    hits = [replace(hit, limb=hit.limb.mirrored) if hand == "left" else hit for hit in play.hits]
    rows = []
    parts = play.by_passage([hit.onset for hit in hits])
    for index, (feel, part) in enumerate(zip(feels, parts, strict=True)):
        start, end = play.spans[index]
        own = tuple(_moved(hit, start, end) for hit in hits[part])
        pattern = Pattern(own, play.meters.cut(start, end), feel)
        rows.append(Row(play.label(index), _written_out(pattern, _pace(play, index)) if mixed else pattern))
    return Performance(tuple(rows), tuple(play.tempi()), EVEN if mixed else feels[0], mixed, play)


def _pace(play: Play, passage: int) -> Fraction:
    """How wide a passage swings at its own tempo."""
    section = play.section(passage)
    return section.style.feel.resolved(section.tempo).ratio or Fraction(1)


def _written_out(pattern: Pattern, ratio: Fraction) -> Pattern:
    """A swung pattern even: as it sounds two to one, or as it is written where it swings less than half as wide."""
    if not pattern.feel.unit or ratio < _IN_THREES:
        return pattern.with_feel(EVEN)
    return performed(pattern.with_feel(Feel(pattern.feel.unit, Fraction(2))))


def _moved(hit: Hit, start: Fraction, end: Fraction) -> Hit:
    cut = hit.length is not None and hit.onset + hit.length > end
    return replace(hit, onset=hit.onset - start, length=end - hit.onset if cut else hit.length)


def written_fills(play: Play) -> dict[int, Fraction]:
    """The written bars in which a fill begins, each with where: the first place, where it differs from time to time.

    A bar that is played without a fill at first, being left for the coda only later, is none of them.
    """
    found: dict[int, Fraction] = {}
    firsts = dict[int, Fraction]()
    for one in play.bars:
        firsts.setdefault(one.written.number, one.start + one.written.length - _BEFORE_END)
    for fill in play.fills:
        bar = play.bar_at(fill.begins)
        place = fill.begins - bar.start
        number = bar.written.number
        if not play.in_fill(firsts[number]):
            continue
        found[number] = min(place, found.get(number, place))
    return found
