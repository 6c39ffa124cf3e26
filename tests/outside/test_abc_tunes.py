"""Rhythms read from ABC tunes inside music21 are those music21's own ABC reader finds.

Source of every expected value: music21's parse of the same tune (M. S. Cuthbert and C. Ariza, ISMIR 2010), from the
fiddle tunes of "Ryan's Mammoth Collection" in its corpus. Left out are tunes in which it cannot be the measure: it
loses broken rhythm before a sign or text (``a>.b``), and ends a note tied, or slurred with a tie's sign, to one of
another pitch. Some files were damaged in the mail (lines end in ``=20``); those are refused, not guessed.
"""

import re
import warnings
from fractions import Fraction
from importlib.util import find_spec
from pathlib import Path

import pytest

from kitgen.errors import ReadError
from kitgen.read.scores import line_from_score

NO_MEASURE = re.compile(r'[<>]\s*["!.~()H-Wh-w]|">"|-')
STEP = 11


def tunes() -> list[Path]:
    """Every eleventh tune of the collection in which music21 can be the measure."""
    found = find_spec("music21")
    if found is None or found.origin is None:
        pytest.skip("music21 is not installed, and this test reads tunes inside it")
    folder = Path(found.origin).parent / "corpus" / "ryansMammoth"
    paths = sorted(folder.glob("*.abc"))[::STEP]
    music = re.compile(r"(?m)^[A-Za-z]:.*$")
    return [path for path in paths if not NO_MEASURE.search(music.sub("", path.read_text(encoding="utf-8")))]


def onsets_by_music21(path: Path) -> list[Fraction]:
    """Where something is struck, from the first note on."""
    import music21

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        score = music21.converter.parse(str(path), format="abc")
    notes = (note for note in score.parts[0].flatten().notes if not note.duration.isGrace)
    struck = (note for note in notes if not isinstance(note, music21.harmony.ChordSymbol))
    found = sorted({Fraction(note.offset).limit_denominator(960) for note in struck})
    return [onset - found[0] for onset in found]


@pytest.mark.slow
def test_onsets_of_fiddle_tunes() -> None:
    """Every onset of every tune, counted from the first: pickups, triplets, broken rhythm, changes of meter."""
    found = tunes()
    assert len(found) >= 60
    differing, damaged = [], []
    for path in found:
        try:
            onsets = line_from_score(path).onsets
        except ReadError as error:
            assert "'=" in str(error)  # noqa: PT017
            damaged.append(path.name)
            continue
        # music21 corpus, read by music21 itself
        if [onset - onsets[0] for onset in onsets] != onsets_by_music21(path):
            differing.append(path.name)
    assert differing == []
    assert len(damaged) <= 3


# The standard's own examples: C. Walshaw and others, "The ABC Music Standard 2.1", 2011, sections 4.3, 4.4, 4.13, 4.19.
EXAMPLES = {
    "L:1/16\nK:C\nA/2A/A A2 A3 A4 A6 A7 A8|": ["1/8", "1/8", "1/4", "1/2", "3/4", "1", "3/2", "7/4", "2"],
    "L:1/8\nK:C\na>b c<d a>>b a>>>b|": ["3/4", "1/4", "1/4", "3/4", "7/8", "1/8", "15/16", "1/16"],
    "L:1/8\nM:4/4\nK:C\n(2AB (3ABA (4ABAB (6ABABAB|": [
        *2 * ["3/4"], *3 * ["1/3"], *4 * ["3/8"], *6 * ["1/6"],
    ],
    "L:1/8\nM:6/8\nK:C\n(5ABABA (7ABABABA|": [*5 * ["3/10"], *7 * ["3/14"]],
    "L:1/8\nK:C\n(3:2:2 G4c2 (3:2:4 G2A2Bc|": ["4/3", "2/3", "2/3", "2/3", "1/3", "1/3"],
}  # fmt: skip


@pytest.mark.parametrize("music", EXAMPLES)
def test_lengths_the_standard_gives(music: str, tmp_path: Path) -> None:
    """Lengths, broken rhythm and tuplets as the standard defines them."""
    path = tmp_path / "example.abc"
    path.write_text(f"X:1\nM:none\n{music}\n", encoding="utf-8")
    # C. Walshaw and others, The ABC Music Standard 2.1 (from memory, section by section)
    assert [str(note.length) for note in line_from_score(path).notes] == EXAMPLES[music]
