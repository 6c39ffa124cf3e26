"""The ``race`` fixture, and the table of ratios at the end of a run."""

import pytest

from tests.bench.race import Race, Result, Timer

_RESULTS = pytest.StashKey[list[Result]]()


@pytest.fixture
def race(benchmark: Timer, pytestconfig: pytest.Config) -> Race:
    """Measures the ratio of two pieces of work."""
    return Race(benchmark, pytestconfig.stash.setdefault(_RESULTS, []))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print every ratio that was measured."""
    if results := config.stash.get(_RESULTS, []):
        terminalreporter.section("ratios")
        for result in results:
            terminalreporter.write_line(str(result))
