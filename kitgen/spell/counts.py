"""What is said under the notes of a bar."""

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

from kitgen.pattern.boxes import quarter_of
from kitgen.spell.values import Count
from kitgen.time import Bar, Meter, Meters, syllable


def counts_of(bar: Bar, onsets: Iterable[Fraction], *, system: str, by_quarters: bool = False) -> tuple[Count, ...]:
    """The syllable of every place that is struck, and of beats on which nothing is.

    Args:
        bar: the bar.
        onsets: what is struck in it, in order, in quarters from the start of the map.
        system: ``numbers`` or ``beat-function``; empty for no counts.
        by_quarters: number the quarters of the bar instead of its beats.
    """
    if not system:
        return ()
    places = tuple(dict.fromkeys((onset - bar.start).as_integer_ratio() for onset in onsets))
    return _counts(bar.meter, bar.length, places, system, "quarters" if by_quarters else "beats")


@lru_cache(maxsize=4096)
def _counts(
    meter: Meter, length: Fraction, places: tuple[tuple[int, int], ...], system: str, numbered: str
) -> tuple[Count, ...]:
    """As above, for places in a bar as numerator and denominator, which the cache finds faster than fractions."""
    beats = Meters(((meter, length),)).beats
    struck = {Fraction(*place) for place in places}
    heads = [Fraction(n) for n in range(-(-length // 1))] if numbered == "quarters" else [beat.start for beat in beats]
    found = []
    for at in sorted({*struck, *heads}):
        beat = next(beat for beat in reversed(beats) if beat.start <= at)
        if numbered == "quarters":
            beat = quarter_of(beat, at, Fraction(0))
        found.append(Count(at, syllable(beat, (at - beat.start) / beat.full, system=system), at in struck))
    return tuple(found)
