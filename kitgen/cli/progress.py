"""Progress of long work: one line on a terminal's stderr, nothing where stderr is no terminal."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Told = Callable[[int, int], None]


@contextmanager
def progress(what: str) -> Iterator[Told]:
    """A function that is told how much is done, and of how much; the line is gone when the work ends.

    Args:
        what: what is being done, such as ``making pages``.
    """
    if not sys.stderr.isatty():
        yield _nothing
        return
    widest = 0

    def told(done: int, of: int) -> None:
        nonlocal widest
        words = f"{what}: {done} of {of}"
        widest = max(widest, len(words))
        print(f"\r{words:<{widest}}", end="", file=sys.stderr, flush=True)

    try:
        yield told
    finally:
        print(f"\r{'':<{widest}}\r", end="", file=sys.stderr, flush=True)


def _nothing(_done: int, _of: int) -> None:
    pass
