"""Scores into MEI by Verovio, in a process of its own.

Verovio ends the process it runs in on some damaged input, so it is never loaded into ours: this file is also the
program that the other process runs (kind of score as its argument, score on standard input, MEI on standard output).
"""

import sys

KINDS = {"mei": "MEI", "humdrum": "Humdrum"}
MOST_SECONDS = 120


def mei_by_verovio(text: str, kind: str) -> bytes:
    """The MEI that Verovio makes of a score.

    Args:
        text: the score.
        kind: ``mei`` or ``humdrum``.

    Raises:
        ReadError: Verovio makes no score of it, or takes too long.
    """
    import subprocess

    from kitgen.errors import ReadError

    command = [sys.executable, "-P", __file__, kind]
    try:
        done = subprocess.run(command, input=text.encode(), capture_output=True, timeout=MOST_SECONDS, check=False)
    except subprocess.TimeoutExpired:
        raise ReadError(f"was not read within {MOST_SECONDS} seconds; split the score") from None
    if done.returncode or not done.stdout:
        raise ReadError(f"is no {KINDS[kind]} that can be read as a score; export it again, or as MusicXML")
    return done.stdout


def _main(kind: str) -> int:
    """Turn the score on standard input into MEI on standard output; 1 if that cannot be done."""
    import os

    import verovio

    answer = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what Verovio prints must not get into the answer
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    toolkit.setOptions({"inputFrom": kind, "breaks": "none"})
    if not toolkit.loadData(sys.stdin.buffer.read().decode()):
        return 1
    with answer:
        answer.write(toolkit.getMEI({}).encode())
    return 0


if __name__ == "__main__":
    sys.exit(_main(sys.argv[1]))
