"""Rhythms read from the tunes inside music21 are those music21 itself reads.

Source of every expected value: music21's own parse of the same file (see tests/corpus.py), under the same rules for
incomplete bars. Where the two cannot agree, tests/corpus.py says why, file by file.
"""

from collections.abc import Iterable
from functools import cache
from pathlib import Path
from statistics import mode

import pytest

from kitgen.line import Line
from kitgen.read.scores import line_from_score, score_parts
from tests import corpus

TUNES = 310
UNFOLDED = 30


@cache
def folded(path: Path) -> Line:
    """The line read from a tune, kept for the session."""
    return line_from_score(path)


def differing(tunes: Iterable[Path], *, unfold: bool = False) -> list[str]:
    """Names of the tunes where an onset, an accent or the length of the whole differs from music21's reading."""
    found = []
    for path in tunes:
        line = line_from_score(path, unfold=True) if unfold else folded(path)
        expected = corpus.reading(path, unfold=unfold)
        if (line.onsets, line.accents, line.span) != (expected.onsets, expected.accents, expected.span):
            found.append(corpus.name(path))
    return found


@pytest.fixture(scope="module")
def tunes() -> list[Path]:
    """The tunes every test may share."""
    return corpus.tunes(TUNES)


def test_the_list_has_what_it_should(tunes: list[Path]) -> None:
    """Some 300 tunes, in many meters, with pickups, split bars, triplets and changes of meter among them."""
    lines = [folded(path) for path in tunes]
    meters = {bar.meter for line in lines for bar in line.meters.bars}
    assert len(tunes) == len(set(tunes)) == TUNES
    assert len({(meter.numerator, meter.denominator) for meter in meters}) >= 10
    assert sum(line.onsets[0] > 0 for line in lines) >= 100
    assert sum(line.meters.only is None for line in lines) >= 5
    assert sum(any(at.denominator % 3 == 0 for at in line.onsets) for line in lines) >= 5


def test_onsets_accents_and_span(tunes: list[Path]) -> None:
    """Every onset of every tune, to the exact fraction of a quarter."""
    assert differing(tunes) == []  # music21 corpus, read by music21 itself


def test_lengths_of_single_voices(tunes: list[Path]) -> None:
    """Where no two notes sound together, every written length with its ties joined."""
    single = [path for path in tunes if corpus.reading(path).lengths is not None]
    assert len(single) >= 300
    for path in single:
        # music21 corpus, read by music21 itself
        assert tuple(note.length for note in folded(path)) == corpus.reading(path).lengths, corpus.name(path)


def test_repeats_unfolded(tunes: list[Path]) -> None:
    """Repeats and endings played out, in tunes where their meaning is beyond dispute."""
    repeating = [path for path in tunes if corpus.has_plain_repeats(path)][:UNFOLDED]
    assert len(repeating) == UNFOLDED
    assert differing(repeating, unfold=True) == []  # music21 corpus, repeats expanded by music21 itself


@pytest.mark.sweep
def test_whole_corpus() -> None:
    """All of it: the tunes that differ are just those whose files music21 cannot be the measure for."""
    # music21 corpus, read by music21 itself
    assert sorted(differing(corpus.every_tune())) == sorted(corpus.NO_MEASURE)


@pytest.mark.sweep
def test_parts_stay_together() -> None:
    """Where the first part does not fill its bars, or overfills them, it is as long as most parts all the same."""
    for path in corpus.every_tune():
        if corpus.NO_MEASURE.get(corpus.name(path)) in (corpus.OVERFULL, corpus.UNFILLED):
            spans = [line_from_score(path, part=number).span for number, _ in enumerate(score_parts(path), start=1)]
            assert spans[0] == mode(spans), corpus.name(path)


@pytest.mark.sweep
def test_every_plain_repeat_unfolded() -> None:
    """All tunes with repeats that can be played in one way only."""
    repeating = [path for path in corpus.every_tune() if corpus.has_plain_repeats(path)]
    assert len(repeating) >= 200
    # music21 corpus, repeats expanded by music21 itself
    assert [name for name in differing(repeating, unfold=True) if name not in corpus.NO_MEASURE] == []
