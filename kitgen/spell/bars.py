"""Bars in a row: where systems begin, which bars repeat the one before, marks, and rests of several bars.

Each row starts a system with its label for a mark; so does every eighth bar after that, with its number. Four bars
stand on a system. A bar that equals the one before may be a repeat sign, except at the start of a system, after a tie,
or where nothing sounds. Whole bars of rest that are counted stand as one bar with their number; a mark and a change of
meter part them. Common practice.
"""

from collections.abc import Sequence
from itertools import groupby

from kitgen.spell.values import Measure, Section
from kitgen.time import Meter

A_SYSTEM, A_PHRASE = 4, 8
"""Bars on a system, and from mark to mark."""


def arranged(label: str, measures: Sequence[Measure], times: int, *, count_rests: bool) -> Section:
    """Bars as a section.

    Args:
        label: its rehearsal mark.
        measures: its bars.
        times: how often it is played.
        count_rests: bars of rest stand under one number.
    """
    measures = [_marked(measure, index, label) for index, measure in enumerate(measures)]
    if count_rests:
        measures = _counted(measures)
    found: list[Measure] = []
    stood = 0
    for index, measure in enumerate(measures):
        stands = measure.rest_bars > 0 or not measure.in_rest
        starts = index % A_PHRASE == 0 or (stands and stood == A_SYSTEM)
        same = not starts and _repeats(found[-1], measure)
        found.append(measure._replace(new_system=starts, same_as_before=same))
        stood = stands + (0 if starts else stood)
    return Section(label, tuple(found), times)


def _marked(measure: Measure, index: int, label: str) -> Measure:
    if index % A_PHRASE:
        return measure
    return measure._replace(mark=str(measure.number) if index else label)


def _counted(measures: Sequence[Measure]) -> list[Measure]:
    found: list[Measure] = []
    for (_, is_rest, _), run in groupby(enumerate(measures), key=lambda item: _kind(*item)):
        bars = [measure for _, measure in run]
        if is_rest and len(bars) > 1:
            bars = [bar._replace(in_rest=True, rest_bars=0 if index else len(bars)) for index, bar in enumerate(bars)]
        found += bars
    return found


def _kind(index: int, measure: Measure) -> tuple[int, bool, Meter]:
    """What bars have to share to stand under one number: a phrase, being rests, a meter."""
    return index // A_PHRASE, measure.is_silent and measure.length == measure.meter.span, measure.meter


def _repeats(before: Measure, measure: Measure) -> bool:
    return (
        before.voices == measure.voices
        and before.meter == measure.meter
        and before.length == measure.length
        and not measure.is_silent
        and not any(stroke.tie in ("stop", "both") for voice in measure.voices for stroke in voice.events[0].strokes)
    )
