"""A small library as others read it: mido and pretty_midi on every file, timelines and swing against what is published.

Sources: G. Toussaint, A mathematical analysis of African, Brazilian and Cuban clave rhythms, Bridges 2002, pp. 157-168
(son, rumba, bossa-nova); E. Demaine and others, The distance geometry of music, Computational Geometry 42, 2009 (bell
of seven strokes in twelve); H. Cheston and others, Jazz Trio Database, Transactions of the International Society for
Music Information Retrieval, 2024 (medians of the swing ratio by tempo). Shell and mambo bell: common practice.
"""

import json
from io import BytesIO
from pathlib import Path

import mido
import pytest

from kitgen.kit import SURFACES
from kitgen.make.library import sections_in
from kitgen.make.library_recipe import LibraryRecipe
from kitgen.write.human import MOST_MS
from kitgen.write.library import write_library
from tests.outside.test_midi_readers import heard_by_pretty_midi, onsets_in

pytestmark = pytest.mark.slow
STYLES = "bell-6-8,bossa,cascara,guaguanco,jazz-waltz,mambo,rock,samba,seven-8,songo,swing"
SECTIONS = "groove,clave-hand,fill-1-bar,fill-2-beats,ending,play-along"


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small library, as people play."""
    recipe = LibraryRecipe(style=STYLES, section=SECTIONS, without="RH")
    return made(tmp_path_factory.mktemp("made") / "library", recipe)


def made(out: Path, recipe: LibraryRecipe) -> Path:
    """A library in a folder."""
    write_library(out, sections_in(recipe), title="Small", recipe=str(recipe))
    return out


def entries(folder: Path) -> list[dict[str, object]]:
    """What its manifest says of each page."""
    pages: list[dict[str, object]] = json.loads((folder / "manifest.json").read_text("utf-8"))["pages"]
    return pages


def strokes(track: mido.MidiTrack) -> list[tuple[int, int]]:
    """Tick and key of each note."""
    now, out = 0, []
    for message in track:
        now += message.time
        if message.type == "note_on" and message.velocity:
            out.append((now, message.note))
    return out


def test_mido_reads_every_file_and_every_file_loops(library: Path) -> None:
    """Tracks of a file end together, after whole bars of its meter; every note ends before that."""
    paths = sorted(library.rglob("*.mid"))
    assert len(paths) > 200
    for path in paths:
        midi = mido.MidiFile(path)
        (end,) = {sum(message.time for message in track) for track in midi.tracks}
        (meter,) = {(m.numerator, m.denominator) for m in midi.tracks[0] if m.type == "time_signature"}
        assert end % (midi.ticks_per_beat * 4 * meter[0] // meter[1]) == 0, path
        for track in midi.tracks:
            now, last, sounding = 0, 0, set[int]()
            for message in track:
                now += message.time
                if message.type == "note_on":
                    assert message.note not in sounding, path
                    sounding.add(message.note)
                elif message.type == "note_off":
                    sounding.discard(message.note)
                    last = now
            assert not sounding, path
            assert last < end, path


def test_pretty_midi_hears_what_mido_reads(library: Path) -> None:
    """Both readers agree on every note, key and velocity of the loops and play-alongs of four styles."""
    for style in ("samba", "swing", "bell-6-8", "seven-8"):
        for path in sorted((library / style).glob("*.mid"))[::3]:
            data = path.read_bytes()
            midi = mido.MidiFile(file=BytesIO(data))
            ours = sorted(stroke for track in midi.tracks for stroke in strokes(track))
            assert (
                sorted(
                    (tick, key) for (tick, key, _), n in onsets_in(heard_by_pretty_midi(data)).items() for _ in range(n)
                )
                == ours
            ), path


def test_names_say_what_the_files_are(library: Path) -> None:
    """Bpm, meter and bars of a file's name are those that mido finds in the file."""
    for entry in entries(library):
        files = entry["files"]
        assert isinstance(files, dict)
        path = library / files["mid"]
        style, section = path.parent.name, path.stem.removeprefix(f"{path.parent.name}-")
        assert str(entry["recipe"]).startswith(f"kitgen library --style {style} --section ")
        midi = mido.MidiFile(path)
        meter = next(m for m in midi.tracks[0] if m.type == "time_signature")
        end = sum(message.time for message in midi.tracks[0])
        bars = end // (midi.ticks_per_beat * 4 * meter.numerator // meter.denominator)
        assert f"bpm-{meter.numerator}-{meter.denominator}-{bars}bar" in section, path
        unit = {"quarter": 1.0, "half": 2.0, "dotted quarter": 1.5, "eighth": 0.5}[entry["tempo"]["unit"]]  # type: ignore[index]  # read from JSON
        tempo = next(m.tempo for m in midi.tracks[0] if m.type == "set_tempo")
        bpm = float(section.partition("bpm-")[0].rpartition("-")[2].replace("_", "."))
        assert mido.tempo2bpm(tempo) / unit == pytest.approx(bpm, abs=0.01)


TIMELINES = [
    ("bossa", "groove", "left hand", "cross-stick", (0, 3, 6, 10, 13), 16),  # Toussaint 2002
    ("cascara", "groove", "left hand", "cross-stick", (0, 3, 6, 10, 12), 16),  # son clave, Toussaint 2002
    ("cascara", "groove", "right hand", "floor-shell", (0, 2, 3, 5, 7, 8, 10, 12, 13, 15), 16),  # common practice
    ("guaguanco", "groove", "left hand", "cross-stick", (0, 3, 7, 10, 12), 16),  # rumba clave, Toussaint 2002
    ("songo", "clave-hand", "left hand", "cross-stick", (2, 4, 8, 11, 15), 16),  # rumba clave from its side of two
    ("mambo", "groove", "right hand", "ride-bell", (0, 2, 4, 5, 6, 7, 9, 10, 11, 12, 14, 15), 16),  # common practice
    ("bell-6-8", "groove", "right hand", "ride-bell", (0, 2, 4, 5, 7, 9, 11), 12),  # Demaine and others 2009
    ("samba", "groove", "right foot", "bass", (0, 3, 4, 7, 8, 11, 12, 15), 16),  # common practice
]  # fmt: skip


@pytest.mark.parametrize(("style", "section", "limb", "surface", "places", "slots"), TIMELINES)
def test_timelines_stand_in_the_files(
    library: Path, style: str, section: str, limb: str, surface: str, places: tuple[int, ...], slots: int
) -> None:
    """Read by mido, a limb's strokes lie on the published places, within what a person plays."""
    paths = [path for path in (library / style).glob(f"{style}-{section}-[0-9]*.mid") if "without" not in path.name]
    assert paths
    for path in paths:
        midi = mido.MidiFile(path)
        end = sum(message.time for message in midi.tracks[0])
        tempo = next(m.tempo for m in midi.tracks[0] if m.type == "set_tempo")
        (track,) = (track for track in midi.tracks if track.name == limb)
        struck = [tick for tick, key in strokes(track) if key == SURFACES[surface].key]
        assert [round(tick * slots / end) % slots for tick in struck] == list(places)
        tick_ms = tempo / 1000 / midi.ticks_per_beat
        off_ms = [abs(tick - round(tick * slots / end) * end / slots) * tick_ms for tick in struck]
        assert max(off_ms) <= MOST_MS


@pytest.mark.parametrize(("bpm", "median"), [(110, 2.16), (150, 2.05), (190, 1.85), (210, 1.65)])
def test_swing_ratios_are_the_published_medians(tmp_path: Path, bpm: int, median: float) -> None:
    """The ride's pairs have the median ratio of the tempo to a twentieth, exactly; as people play, near it."""
    for exact in (True, False):
        recipe = LibraryRecipe(style="swing", section="groove", tempo=str(bpm), exact=exact)
        (path,) = made(tmp_path / str(exact), recipe).rglob("*.mid")
        midi = mido.MidiFile(path)
        (track,) = (track for track in midi.tracks if track.name == "right hand")
        ticks = midi.ticks_per_beat
        skips = [tick % ticks for tick, _ in strokes(track) if ticks // 4 < tick % ticks < ticks * 9 // 10]
        assert len(skips) == 2
        for skip in skips:
            assert skip / (ticks - skip) == pytest.approx(median, abs=0.03 if exact else 0.25)
