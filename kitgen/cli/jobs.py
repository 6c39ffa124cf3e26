"""Processes that write pages side by side."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from kitgen.errors import OptionError

if TYPE_CHECKING:
    from concurrent.futures import Executor

_MOST_JOBS = 61  # what a pool of processes can wait for on every system


def check_jobs(jobs: int) -> None:
    """Raise where so many processes cannot be.

    Raises:
        OptionError: fewer than one, or more than can be waited for.
    """
    if not 1 <= jobs <= _MOST_JOBS:
        raise OptionError(f"--jobs {jobs}: pages are written 1 to {_MOST_JOBS} at a time")


@contextmanager
def side_by_side(jobs: int, pages: int) -> "Iterator[Executor | None]":
    """What writes pages side by side; None where one process does it all.

    Args:
        jobs: how many at a time.
        pages: how many there are.
    """
    if min(jobs, pages) < 2:
        yield None
        return
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    # fresh processes, not copies of this one, which has threads once an engraver is loaded
    executor = ProcessPoolExecutor(min(jobs, pages), get_context("spawn"), _leave_interruptions)
    try:
        _start(executor, min(jobs, pages))
        yield executor
    finally:
        executor.shutdown(cancel_futures=True)


def _start(executor: "Executor", jobs: int) -> None:
    """Start every process now, while interruptions are left alone: so the new ones leave them alone from the first."""
    from signal import SIG_IGN, SIGINT, signal
    from threading import current_thread, main_thread

    ours = current_thread() is main_thread()  # no other thread may say what happens on an interruption
    before = signal(SIGINT, SIG_IGN) if ours else None
    try:
        for _ in range(jobs):
            executor.submit(_leave_interruptions)
    finally:
        if ours:
            signal(SIGINT, before)


def _leave_interruptions() -> None:
    """An interruption from the keyboard is for the process that asked; the others end when it has told them to."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)
