"""Two pieces of work timed side by side, and the ratio of their times.

Conventions: a side is a function that gets one turn ready and returns it, so that only the turn is timed and every turn
starts with values nobody has used. The sides take turns and the shortest turn of each counts; seconds are those of the
processor where the system tells them finely, which are the seconds of an idle machine. So what else the machine does,
and whatever a first turn has to fetch, shows as little as it can. No seconds are judged: they differ from machine to
machine.
"""

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from time import get_clock_info, perf_counter, process_time
from typing import Any, Protocol

Turn = Callable[[], object]
Side = Callable[[], Turn]
Clock = Callable[[], float]

USUAL_CLOCK: Clock = process_time if get_clock_info("process_time").resolution < 1e-5 else perf_counter


class Timer(Protocol):
    """As much of the ``benchmark`` fixture as is used here; it comes without types."""

    disabled: bool
    extra_info: dict[str, Any]

    def pedantic(self, target: Callable[[Turn], object], *, setup: Callable[[], object], rounds: int) -> object:
        """Time the target so many times, each after an untimed setup."""


@dataclass(frozen=True, slots=True)
class Result:
    """A ratio, what it is of, and the most it may be where that is laid down."""

    what: str
    floor: str
    ratio: float
    at_most: float | None

    def __str__(self) -> str:
        allowed = "" if self.at_most is None else f"  (at most {self.at_most:g})"
        return f"{self.ratio:8.2f}  {self.what} : {self.floor}{allowed}"


@dataclass(frozen=True, slots=True)
class Race:
    """Measures ratios and keeps them for the table at the end."""

    timer: Timer
    results: list[Result] = field(default_factory=list)

    def __call__(
        self,
        what: str,
        side: Side,
        floor: str,
        floor_side: Side,
        *,
        at_most: float | None = None,
        scale: float = 1,
        rounds: int = 15,
        clock: Clock = USUAL_CLOCK,
    ) -> None:
        """Measure a ratio; without ``--benchmark-enable`` only run both sides once.

        Args:
            what: the work, in a few words.
            side: makes it ready.
            floor: the work it is held against, in a few words.
            floor_side: makes that ready.
            at_most: the most the ratio may be; None where it is only told.
            scale: how many times as much the work is as its floor.
            rounds: turns of each.
            clock: tells the seconds.

        Raises:
            AssertionError: the ratio is above ``at_most``, and again on a second try.
        """
        with only_own_garbage():
            heat = _Heat(side, floor_side, clock)
            self.timer.pedantic(heat.run, setup=lambda: ((heat.ready(),), {}), rounds=rounds)
            if self.timer.disabled:
                return
            ratio = heat.ratio / scale
            if at_most is not None and ratio > at_most:
                again = _Heat(side, floor_side, clock)
                for _ in range(rounds):
                    again.run(again.ready())
                ratio = min(ratio, again.ratio / scale)
        result = Result(what, floor, ratio, at_most)
        self.timer.extra_info |= {"floor": floor, "ratio": round(ratio, 3), "at_most": at_most}
        self.results.append(result)
        assert at_most is None or ratio <= at_most, str(result)


class _Heat:
    """Turns of both sides, and the seconds they took."""

    def __init__(self, side: Side, floor_side: Side, clock: Clock) -> None:
        self.side, self.floor_side, self.clock = side, floor_side, clock
        self.side_s: list[float] = []
        self.floor_s: list[float] = []

    def ready(self) -> Turn:
        """Time a turn of the floor, then get one of the other side ready."""
        turn = self.floor_side()
        gc.collect()
        self.floor_s.append(self._seconds(turn))
        turn = self.side()
        gc.collect()
        return turn

    def run(self, turn: Turn) -> None:
        """Time a turn."""
        self.side_s.append(self._seconds(turn))

    @property
    def ratio(self) -> float:
        """The shortest turn as a multiple of the floor's shortest."""
        return min(self.side_s) / min(self.floor_s)

    def _seconds(self, turn: Turn) -> float:
        started = self.clock()
        turn()
        return self.clock() - started


@contextmanager
def only_own_garbage() -> Iterator[None]:
    """Leave what is in memory already out of garbage collections, as if the program had just started."""
    gc.collect()
    gc.freeze()
    try:
        yield
    finally:
        gc.unfreeze()
