"""How a style ends: as its own endings say, with a short last note, a tag, or slowing down. Common practice."""

from collections.abc import Iterator
from fractions import Fraction

from kitgen.kit import Limb
from kitgen.pattern import Hit, Level, Pattern
from kitgen.styles.parts import Role
from kitgen.styles.phrases import phrase, time_for
from kitgen.styles.playing import OWN, Playing


def ended(playing: Playing, time: Pattern, bars: int, kind: str) -> Iterator[tuple[str, Fraction, Pattern]]:
    """Ways to end a phrase, the first choice first: name, where it begins in quarters, and the phrase's notes.

    Args:
        playing: how the style is played.
        time: what keeps time.
        bars: how long the phrase is.
        kind: ``own`` or ``short``.
    """
    style = playing.style
    if kind == OWN:
        for item in (*playing.meant(Role.ENDING), *style.of_role(Role.ENDING)):
            if item.bars <= bars:
                pattern = phrase(time, item, bars, room=playing.room)
                yield item.name, pattern.span - item.length, pattern
    yield "short last note", (bars - 1) * style.meter.span, _short(time, bars)


def _short(time: Pattern, bars: int) -> Pattern:
    """Time, and on the last bar's 1 bass and snare together, with nothing that rings."""
    whole = time_for(time, bars)
    start = whole.meters.bars[-1].start
    kept = [hit for hit in whole.hits if hit.onset < start and (hit.length is None or hit.onset + hit.length <= start)]
    last = [Hit(start, Limb.LH, "snare", Level.ACCENT), Hit(start, Limb.RF, "bass", Level.ACCENT)]
    return whole.with_hits([*kept, *last])
