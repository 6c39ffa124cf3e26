"""Beats and after-beats of a bar, and where the backbeat falls."""

from collections.abc import Iterator
from fractions import Fraction

from kitgen.errors import RefusedError
from kitgen.time.meter import Bar, Meter, Meters


def beats_of(bar: Bar) -> list[tuple[Fraction, bool]]:
    """Starts of a bar's beats, each with whether it is an after-beat.

    After-beats are 2 and 4 of four, 2 and 3 of three, the second beat of each group otherwise; where the groups are
    threes (6/4) the first beat of every second group.
    """
    starts, at = [], bar.start
    groups = bar.meter.beat_groups
    lengths = iter(bar.meter.beats)
    for number, size in enumerate(groups):
        for index in range(size):
            if len(groups) == 1:
                after = index > 0
            elif set(groups) == {3}:
                after = number % 2 == 1 and index == 0
            else:
                after = index == 1
            if at < bar.end:
                starts.append((at, after))
            at += next(lengths)
    return starts


def backbeats_in(bar: Bar, *, half_time: bool = False) -> tuple[Fraction, ...]:
    """Where the backbeat falls in one bar, in quarters from the start of the map; nowhere in a bar of one beat.

    2 and 4; 2 and 3 of three; the second beat of each group otherwise. In half time the first beat of the second group
    (3 of four), and nowhere in a bar of fewer than three beats.
    """
    beats = beats_of(bar)
    if not half_time:
        return tuple(at for at, after in beats if after)
    if len(bar.meter.beats) < 3:
        return ()
    groups = bar.meter.beat_groups
    index = groups[0] if len(groups) > 1 else len(bar.meter.beats) - 1
    return tuple(at for at, _ in beats[index : index + 1])


def backbeats(meters: Meters, *, half_time: bool = False) -> Iterator[Fraction]:
    """Where the backbeat falls, bar after bar; see :func:`backbeats_in`.

    Raises:
        RefusedError: half time in a bar of fewer than three beats.
    """
    for bar in meters.bars:
        if half_time and len(bar.meter.beats) < 3:
            quarters = ", or write the line in 4/4" if bar.meter == Meter(2, 2) else ""
            raise RefusedError(
                f"half time needs a bar of three beats or more; {bar.meter} has {len(bar.meter.beats)}; "
                f"leave --half-time away{quarters}"
            )
        yield from backbeats_in(bar, half_time=half_time)
