"""The command line from start to finish, against a Python that only imports click.

Every process runs the same Python with compiled files at hand, made in the first round. They are kept in a folder of
their own, so that it makes no difference how the package came here.
"""

import os
import subprocess
import sys
from functools import partial
from itertools import count
from pathlib import Path
from time import perf_counter

import pytest

from tests.bench.race import Race, Turn
from tests.conftest import ROOT

if sys.platform != "win32":
    import resource

# As the installed command does it.
KITGEN = ("-c", "import sys; from kitgen.cli import main; sys.exit(main())")
CLICK = ("-c", "import click")
LINE = "1 & 2 e & a 3 4 &"
ROUNDS = 20


def processor_s() -> float:
    """Seconds the processor has spent on processes started here that have ended; on Windows the seconds that pass."""
    if sys.platform == "win32":
        return perf_counter()
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


class Starter:
    """Runs Python in a folder, with compiled files kept there."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.environment = {
            name: value
            for name, value in os.environ.items()
            if name not in ("PYTHONDONTWRITEBYTECODE", "PYTHONPROFILEIMPORTTIME", "PYTHONTRACEMALLOC")
        } | {"PYTHONPATH": str(ROOT), "PYTHONPYCACHEPREFIX": str(folder / "compiled")}

    def __call__(self, *words: str) -> Turn:
        """A run of Python with these words; it fails unless it ends with exit code 0."""
        return partial(
            subprocess.run,
            [sys.executable, *words],
            cwd=self.folder,
            env=self.environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            check=True,
        )


@pytest.fixture
def started(tmp_path: Path) -> Starter:
    """Runs Python with words of a command line, in a folder of the test's own."""
    return Starter(tmp_path)


def test_help_starts_about_as_fast_as_click(race: Race, started: Starter) -> None:
    """``kitgen --help`` takes at most one and a half times as long as importing click."""
    race(
        "kitgen --help",
        lambda: started(*KITGEN, "--help"),
        "import click",
        lambda: started(*CLICK),
        at_most=1.5,
        rounds=ROUNDS,
        clock=processor_s,
    )


def test_a_first_page_takes_three_times_click_at_most(race: Race, started: Starter) -> None:
    """``kitgen apply`` writes a folder with a page in at most three times the time of importing click."""
    number = count()
    race(
        "kitgen apply",
        lambda: started(*KITGEN, "apply", LINE, "--as", "linear", "--out", f"page-{next(number)}"),
        "import click",
        lambda: started(*CLICK),
        at_most=3,
        rounds=ROUNDS,
        clock=processor_s,
    )
    assert (started.folder / "page-0" / "manifest.json").is_file()
