"""The swing of our styles in the MIDI files of their pages, by tempo, against published medians and the takes.

Medians: 1,106 trio tracks of working drummers, computed from the tables published with H. Cheston, J. L. Schlichting,
I. Cross and P. M. C. Harrison, "Jazz Trio Database", TISMIR 2024; below 110 the first is held. Widest: 3.5:1 (A.
Friberg and A. Sundstrom, Music Perception 19(3), 2002). The files are read by a reader that is not ours.
"""

import io
from itertools import pairwise
from pathlib import Path
from statistics import median

import mido
import pytest

from kitgen.kit import SURFACES
from kitgen.read.style_files import style_names
from kitgen.read.styles import style_named
from kitgen.styles.pages import style_pages
from kitgen.write.midi import loop
from tests.outside.recorded import takes_in, transcription

MEDIANS = ((110, 2.16), (130, 2.14), (150, 2.05), (170, 1.91), (190, 1.85), (210, 1.65), (230, 1.55), (250, 1.35),
           (270, 1.27), (290, 1.15))  # fmt: skip
WIDEST = 3.5
ROUNDED = 0.05
SWINGING = [name for name in style_names() if style_named(name).feel.unit == 8 and style_named(name).feel.ratio is None]
TIME_KEYS = {SURFACES[label].key for label in ("ride", "ride-bell", "closed-hat", "open-hat", "snare")}


def published(bpm: float) -> float:
    """The median at a tempo in quarters a minute, on the line between two measured ones, ends held."""
    if bpm <= MEDIANS[0][0]:
        return MEDIANS[0][1]
    for (low, first), (high, second) in pairwise(MEDIANS):
        if bpm <= high:
            return first + (second - first) * (bpm - low) / (high - low)
    return MEDIANS[-1][1]


def heard(data: bytes) -> tuple[float, float]:
    """The tempo of a file in quarters a minute, and the median ratio of the beats its offbeats divide."""
    midi = mido.MidiFile(file=io.BytesIO(data))
    tempi = [mido.tempo2bpm(m.tempo) for track in midi.tracks for m in track if m.type == "set_tempo"]
    places = []
    for track in midi.tracks:
        tick = 0
        for message in track:
            tick += message.time
            if message.type == "note_on" and message.velocity and message.note in TIME_KEYS:
                places.append(tick / midi.ticks_per_beat % 1)
    late = [place for place in places if 0.5 <= place < 0.8]
    return tempi[0], median(place / (1 - place) for place in late)


def test_there_are_styles_that_swing_by_tempo() -> None:
    """Medium and fast swing, two, waltz, five and brushes take their ratio from the tempo."""
    assert {"swing", "swing-up", "two-feel", "jazz-waltz", "swing-5-4", "brush-ballad"} <= set(SWINGING)


@pytest.mark.parametrize("name", SWINGING)
def test_a_page_swings_as_drummers_do_at_its_tempo(name: str) -> None:
    """At the slowest, a middle and the fastest goal the page's file has the median of the tempo it plays at."""
    style = style_named(name)
    for bpm in (style.tempo.low, (style.tempo.low + style.tempo.high) // 2, style.tempo.high):
        page = style_pages(style, bpm=bpm)[0]
        tempo, ratio = heard(loop(page))
        assert abs(ratio - published(tempo)) <= ROUNDED, (bpm, tempo, ratio, published(tempo))


def test_jazz_takes_swing_wider_than_the_median_and_within_what_was_measured(shared_dir: Path) -> None:
    """Two recorded jazz takes swing eighths wider than the trios' median, and about within the widest measured."""
    ratios = {}
    for style, _, path in takes_in(shared_dir):
        if style == "jazz":
            found = transcription(path)
            assert found.feel.ratio is not None
            ratios[found.tempo_bpm] = float(found.feel.ratio)
            assert abs(float(found.usual_feel.ratio or 0) - published(found.tempo_bpm)) <= ROUNDED
    assert len(ratios) == 2
    assert all(published(bpm) < ratio <= WIDEST * 1.1 for bpm, ratio in ratios.items()), ratios
