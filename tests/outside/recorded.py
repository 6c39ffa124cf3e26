"""The recorded takes kept beside the checkout, each transcribed once.

They are from the Groove MIDI Dataset 1.0.0 (Google LLC, CC BY 4.0; Gillick, Roberts, Engel, Eck, Bamman, ICML 2019).
"""

import csv
from functools import cache
from pathlib import Path

import pytest

from kitgen.pattern.transcription import Transcription, transcribed
from kitgen.read.takes import read_take
from kitgen.styles.draft import Draft, draft_of_take


def takes_in(shared_dir: Path) -> list[tuple[str, int, Path]]:
    """Style, note-ons as counted by the dataset, and path of every recording; skips where they are not."""
    folder = shared_dir / "data" / "takes"
    if not folder.is_dir():
        pytest.skip("the recorded takes are not beside the checkout")
    with (folder / "index.csv").open(encoding="utf-8", newline="") as file:
        return [(row["style"], int(row["notes"]), folder / row["file"]) for row in csv.DictReader(file)]


@cache
def transcription(path: Path) -> Transcription:
    """A recording on its likeliest grid."""
    return transcribed(read_take(path))


@cache
def draft(path: Path, style: str) -> Draft:
    """A recording as the draft of a style."""
    return draft_of_take(transcription(path), style, source=path.name)
