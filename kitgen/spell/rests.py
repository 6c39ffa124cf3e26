"""Rests that two voices share are shown once."""

from collections.abc import Sequence
from fractions import Fraction

from kitgen.spell.values import Event, Voice


def shown_once(voices: Sequence[Voice]) -> tuple[Voice, ...]:
    """The voices of a bar, with rests hidden that rests of a voice before show already.

    A rest is hidden if rests of another voice fill the same time, from its start to its end; one in a tuplet is not,
    since the tuplet would have a hole.
    """
    found: list[Voice] = []
    before: list[_Ends] = []
    for voice in voices:
        own = _rest_ends(voice)
        shares = own and any(before)
        found.append(voice._replace(events=tuple(_hidden(e, before) for e in voice.events)) if shares else voice)
        before.append(own)
    return tuple(found)


_Ends = dict[Fraction, Fraction]
"""Where rests end, by their starts."""


def _rest_ends(voice: Voice) -> _Ends:
    rests = (event.written for event in voice.events if event.written.is_rest and event.shown)
    return {rest.start: rest.start + rest.length for rest in rests}


def _hidden(event: Event, before: Sequence[_Ends]) -> Event:
    written = event.written
    if not written.is_rest or written.tuplet is not None:
        return event
    end = written.start + written.length
    for ends in before:
        at = written.start
        while at < end and at in ends:
            at = ends[at]
        if at == end:
            return event._replace(shown=False)
    return event
