"""What every test may count on: Hypothesis settings, and the folder of outside material."""

import os
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis.configuration import set_hypothesis_home_dir

ROOT = Path(__file__).resolve().parent.parent
BENCH = ROOT / "tests" / "bench"

# Without this the failing examples are kept in the working folder, wherever the tests are started from.
set_hypothesis_home_dir(ROOT / ".hypothesis")
settings.register_profile("default", max_examples=100, deadline=None, derandomize="CI" in os.environ)
settings.register_profile("thorough", max_examples=2000, deadline=None, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "default"))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark everything in tests/bench as a bench, so that no file there has to say so."""
    for item in items:
        if item.path.is_relative_to(BENCH):
            item.add_marker(pytest.mark.bench)


@pytest.fixture(scope="session")
def shared_dir() -> Path:
    """The folder ``shared`` beside the checkout, with material by others that does not ship with the project."""
    folder = ROOT.parent / "shared"
    if not folder.is_dir():
        pytest.skip("there is no folder 'shared' beside the checkout, and this test reads material kept there")
    return folder
