"""Human performances recorded on electronic drums are shown without losing a stroke.

The recordings are from the Groove MIDI Dataset 1.0.0 (Google LLC, CC BY 4.0; Gillick, Roberts, Engel, Eck, Bamman, ICML
2019). They are kept beside the checkout; without them these tests are skipped.
"""

from collections import Counter
from pathlib import Path
from statistics import median

import mido
import pytest

from kitgen.pattern.take_rows import count_strokes, take_rows
from kitgen.read.styles import read_style
from kitgen.read.takes import read_take
from kitgen.write.style_text import style_text
from tests.outside.recorded import draft, takes_in, transcription

# What each style is known to be played in: (share of beats divided in threes is at least, at most).
TRIPLETS = {
    "rock-shuffle": (0.8, 1),
    "latin-chacarera": (0.8, 1),
    "pop": (0, 0.1),
    "hiphop": (0, 0.1),
    "funk": (0, 0.1),
}


@pytest.fixture(scope="module")
def takes(shared_dir: Path) -> list[tuple[str, int, Path]]:
    """Style, note-ons as counted by the dataset, and path of every recording."""
    return takes_in(shared_dir)


def struck(path: Path) -> int:
    """Note-ons in a file, counted by the MIDI library alone."""
    return sum(m.type == "note_on" and m.velocity > 0 for track in mido.MidiFile(path).tracks for m in track)


def test_another_reader_hears_the_same(takes: list[tuple[str, int, Path]]) -> None:
    """What an independent MIDI reader hears is in the take; it leaves out a few notes struck again while they sound."""
    import pretty_midi

    for _, notes, path in takes:
        other = pretty_midi.PrettyMIDI(str(path))
        theirs = Counter(
            (other.time_to_tick(note.start), note.pitch, note.velocity)
            for instrument in other.instruments
            for note in instrument.notes
        )
        ours = Counter((round(one.time_quarters * 480), one.key, one.velocity) for one in read_take(path).strokes)
        assert not theirs - ours, path.name
        assert theirs.total() >= 0.99 * notes, path.name


def test_every_stroke_is_on_the_page(takes: list[tuple[str, int, Path]]) -> None:
    """Box characters, grace notes and bounces add up to the note-ons of the file, within 80 columns."""
    assert len(takes) == 23
    for _, notes, path in takes:
        text = take_rows(read_take(path))
        assert count_strokes(text) == notes == struck(path), path.name
        assert f"timing: {notes} strokes" in text
        assert max(map(len, text.splitlines())) <= 80, path.name


def test_every_pad_is_known(takes: list[tuple[str, int, Path]]) -> None:
    """With the map chosen by the keys no stroke is left without a surface."""
    for _, _, path in takes:
        assert all(stroke.surface for stroke in read_take(path).strokes), path.name


def test_the_grid_is_plausible(takes: list[tuple[str, int, Path]]) -> None:
    """Half of all strokes are within 22 ms of their place, few need a row of their own, shuffles are in threes."""
    for style, notes, path in takes:
        found = transcription(path)
        assert median(map(abs, found.off_ms)) <= 22, path.name
        assert sum(one.extra > 0 for one in found.placed) <= 0.05 * notes, path.name
        if style in TRIPLETS:
            low, high = TRIPLETS[style]
            assert low <= sum(parts in (3, 6) for parts in found.parts) / len(found.parts) <= high, path.name
        if style in ("jazz-swing", "soul"):
            assert found.feel.unit == 16, path.name
        if style == "jazz":
            assert found.feel.unit == 8, path.name


def test_every_take_drafts_a_style(takes: list[tuple[str, int, Path]], tmp_path: Path) -> None:
    """Every recording becomes the draft of a style that its reader takes, with a groove heard more than once."""
    for style, _, path in takes:
        drafted = draft(path, style)
        file = tmp_path / f"{style}.toml"
        file.write_text(style_text(drafted.style, comments=drafted.work), "utf-8")
        assert read_style(file) == drafted.style, path.name
        assert " times in " in drafted.style.groove.words, path.name


def test_drafts_are_what_their_styles_are_known_for(takes: list[tuple[str, int, Path]]) -> None:
    """Common practice, from memory: jazz rides with the hat on 2 and 4, funk and pop have the snare on the backbeat."""
    for style, _, path in takes:
        groove = draft(path, style).style.groove.pattern
        struck = {(hit.onset % 4, hit.surface) for hit in groove.hits}
        if style == "jazz":
            assert {(0, "ride"), (1, "ride"), (2, "ride"), (3, "ride"), (1, "hat-foot"), (3, "hat-foot")} <= struck
        if style in ("pop", "soul", "rock-shuffle"):
            assert all({(beat, "snare"), (beat, "rim-shot")} & struck for beat in (1, 3)), path.name
