"""A line is read out of any MIDI file: exact grids exactly, played ones to the likeliest grid, and the rest refused."""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import mido
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kitgen.errors import OptionError, ReadError
from kitgen.line import Line
from kitgen.read.midi_line import line_from_midi
from kitgen.time import Meter, Meters

FILES = settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
Played = tuple[int, int, int]  # start tick, length in ticks, velocity


def saved(
    tmp_path: Path,
    notes: Sequence[Played],
    *,
    ticks: int = 480,
    meters: Sequence[tuple[int, str]] = ((0, "4/4"),),
    tempo_bpm: float = 120,
    name: str = "",
    channel: int = 1,
) -> Path:
    """A file with one track of notes under some time signatures."""
    events: list[tuple[int, int, mido.Message]] = [
        (0, 0, mido.MetaMessage("set_tempo", tempo=mido.bpm2tempo(tempo_bpm)))
    ]
    if name:
        events.append((0, 0, mido.MetaMessage("track_name", name=name)))
    for tick, text in meters:
        meter = Meter.parse(text)
        signature = mido.MetaMessage("time_signature", numerator=meter.numerator, denominator=meter.denominator)
        events.append((tick, 0, signature))
    for start, length, velocity in notes:
        on = mido.Message("note_on", note=60, velocity=velocity, channel=channel - 1)
        events += [(start, 2, on), (start + length, 1, on.copy(velocity=0))]
    track, now = mido.MidiTrack(), 0
    for tick, _, message in sorted(events, key=lambda event: event[:2]):
        track.append(message.copy(time=tick - now))
        now = tick
    path = tmp_path / "line.mid"
    mido.MidiFile(ticks_per_beat=ticks, tracks=[track]).save(path)
    return path


def as_played(line: Line, ticks: int, *, gate: Fraction = Fraction(1)) -> list[Played]:
    """The notes of a line in ticks, each let go after a share of its length; accents louder."""
    return [
        (round(note.onset * ticks), max(1, round(note.length * gate * ticks)), 115 if note.accent else 80)
        for note in line.notes
    ]


def quarters(*numbers: str) -> tuple[Fraction, ...]:
    """Fractions from text."""
    return tuple(Fraction(number) for number in numbers)


@pytest.mark.parametrize(
    "boxes",
    [
        "x.x. xxx x--- ..x- | x. xx x- -x",
        "x--- ---- x.x. .... | X... x.x. X... x...",
        "xxxxx x-x x..x xxxxxxx",
        "x-- x-x -x- xxx",
        "xxxxxxxx x.xxxx xx x",
    ],
)
@pytest.mark.parametrize("ticks", [480, 840, 10080])
def test_a_typed_line_comes_back(tmp_path: Path, boxes: str, ticks: int) -> None:
    """What is written on a grid is read back equal, lengths, rests and accents too."""
    line = Line.parse(boxes)
    found, residual = line_from_midi(saved(tmp_path, as_played(line, ticks), ticks=ticks))
    assert found == line
    assert (residual.worst_ms, residual.mean_ms, residual.count, residual.where) == (0, 0, len(line.notes), "")


@FILES
@given(
    parts=st.lists(st.tuples(st.integers(1, 16), st.integers(0, 2**16)), min_size=1, max_size=12),
    meter=st.sampled_from(["4/4", "3/4", "6/8", "7/8", "2/2", "12/8"]),
    ticks=st.sampled_from([480, 960, 5040]),
)
def test_every_grid_up_to_sixteen_is_exact(
    tmp_path: Path, parts: list[tuple[int, int]], meter: str, ticks: int
) -> None:
    """Onsets on any m:n grid, rounded to ticks, are read exactly."""
    bar = Meter.parse(meter)
    meters = Meters.of(bar, -(-len(parts) // len(bar.beats)))
    onsets = [
        beat.start + beat.length * Fraction(step, count)
        for beat, (count, mask) in zip(meters.beats, parts, strict=False)
        for step in range(count)
        if mask >> step & 1
    ]
    if not onsets:
        return
    notes = [(round(onset * ticks), 10, 80) for onset in onsets]
    found, residual = line_from_midi(saved(tmp_path, notes, ticks=ticks, meters=[(0, meter)]))
    assert found.onsets == tuple(onsets)
    assert residual.worst_ms == 0


@pytest.mark.parametrize(("count", "beats"), [(3, 2), (5, 4), (7, 2), (4, 3), (7, 3), (11, 4), (3, 4)])
def test_tuplets_over_several_beats_are_exact(tmp_path: Path, count: int, beats: int) -> None:
    """So many in the time of so many beats come out as they are."""
    onsets = [Fraction(beats * step, count) for step in range(count)]
    found, _ = line_from_midi(saved(tmp_path, [(round(onset * 480), 60, 80) for onset in onsets]))
    assert found.onsets == tuple(onsets)


@FILES
@given(
    groups=st.lists(
        st.sampled_from(["x...", "x.x.", "xxxx", "x.xx", ".xxx", "x..x", "..x.", "xx.x"]), min_size=4, max_size=4
    ),
    data=st.data(),
)
def test_played_sixteenths_come_back(tmp_path: Path, groups: list[str], data: st.DataObject) -> None:
    """Sixteenths played up to 8 ms off at 90 bpm are read as what they are."""
    line = Line.parse(" ".join(groups))
    off = st.integers(-5, 5)
    notes = [(max(0, start + data.draw(off)), length, velocity) for start, length, velocity in as_played(line, 480)]
    found, residual = line_from_midi(saved(tmp_path, notes, tempo_bpm=90))
    assert found.onsets == line.onsets
    assert residual.worst_ms <= 8


def test_triplets_and_sixteenths_are_told_apart(tmp_path: Path) -> None:
    """Each beat gets its own division; a deviation is told with its place."""
    shares = [(0, 166, 330), (0, 243, 355), (0, 122, 245, 361), (0, 312)]
    notes = [(480 * beat + share + 2, 60, 80) for beat, own in enumerate(shares) for share in own]
    found, residual = line_from_midi(saved(tmp_path, notes))
    assert found.onsets == quarters("0", "1/3", "2/3", "1", "3/2", "7/4", "2", "9/4", "5/2", "11/4", "3", "11/3")
    assert residual.count == 12
    assert residual.worst_ms == pytest.approx(14 / 480 * 500, abs=6)
    assert residual.where


def test_an_early_note_may_belong_to_the_next_bar(tmp_path: Path) -> None:
    """A last note just before the barline makes a new bar, filled with rest."""
    found, residual = line_from_midi(saved(tmp_path, [(0, 100, 80), (490, 100, 80), (1905, 100, 80)]))
    assert found.onsets == quarters("0", "1", "4")
    assert found.span == 8
    assert residual.where == 'bar 2, count "1"'


def test_chords_are_one_onset(tmp_path: Path) -> None:
    """Notes struck together count once, where the loudest is, and last as long as the longest."""
    notes = [(0, 480, 60), (14, 960, 90), (960, 480, 90), (965, 100, 50)]
    found, residual = line_from_midi(saved(tmp_path, notes))
    assert found.onsets == quarters("0", "2")
    assert residual.count == 2


@pytest.mark.parametrize("gate", ["1/2", "0.9", "0.95", "0.99"])
def test_lengths_of_a_file_that_lets_go_early(tmp_path: Path, gate: str) -> None:
    """Notes let go before their time are rounded to boxes; none lasts less than one."""
    line = Line.parse("x-x- x-xx x--- ---- | x-x. x-x- x-x- x-x-")
    found, _ = line_from_midi(saved(tmp_path, as_played(line, 480, gate=Fraction(gate))))
    assert found.onsets == line.onsets
    if gate != "1/2":
        assert [note.length for note in found] == [note.length for note in line]
    assert min(note.length for note in found) >= Fraction(1, 4)


def test_a_held_note_ends_at_the_next(tmp_path: Path) -> None:
    """A note still sounding is cut at the next onset, the last one at the end of its bar."""
    found, _ = line_from_midi(saved(tmp_path, [(0, 5000, 80), (480, 5000, 80)]))
    assert [note.length for note in found] == [1, 3]


def test_accents_only_where_there_are_two_levels(tmp_path: Path) -> None:
    """Two parted groups of velocities are accents and plain notes; a spread of velocities is neither."""

    def accents(*velocities: int) -> list[bool]:
        notes = [(240 * index, 200, velocity) for index, velocity in enumerate(velocities)]
        return [note.accent for note in line_from_midi(saved(tmp_path, notes))[0]]

    assert accents(80, 115, 80, 115) == [False, True, False, True]
    assert accents(78, 112, 82, 80, 118) == [False, True, False, False, True]
    assert not any(accents(80, 80, 80))
    assert not any(accents(60, 70, 80, 90, 100, 110))
    assert not any(accents(110, 110, 110, 60))


def test_meters_come_from_the_file(tmp_path: Path) -> None:
    """Time signatures are kept with their changes, unless a meter is given; the default is 4/4."""
    notes = [(0, 100, 80), (1440, 100, 80), (1920, 100, 80)]
    path = saved(tmp_path, notes, meters=[(0, "3/4"), (1440, "2/4")])
    found, _ = line_from_midi(path)
    assert found.meters == Meters.of(Meter(3, 4)) + Meters.of(Meter(2, 4))
    assert line_from_midi(path, meter=Meter(5, 4))[0].meters == Meters.of(Meter(5, 4))
    assert line_from_midi(saved(tmp_path, notes, meters=[]))[0].meters == Meters.of(Meter(4, 4), 2)


def two_tracks(tmp_path: Path) -> Path:
    """A conductor track, and two tracks on channels 1 and 2."""
    first, second = mido.MidiTrack(), mido.MidiTrack()
    for track, name, channel, ticks in ((first, "Horns", 0, 480), (second, "Reeds", 1, 240)):
        track.append(mido.MetaMessage("track_name", name=name))
        for _ in range(4):
            track.append(mido.Message("note_on", note=60, velocity=80, channel=channel))
            track.append(mido.Message("note_off", note=60, channel=channel, time=ticks))
    path = tmp_path / "parts.mid"
    mido.MidiFile(tracks=[mido.MidiTrack(), first, second]).save(path)
    return path


def test_parts_by_name_number_and_channel(tmp_path: Path) -> None:
    """A part is named, or counted among the tracks with notes; a channel is looked for in all of them."""
    path = two_tracks(tmp_path)
    quarter_line, eighth_line = quarters("0", "1", "2", "3"), quarters("0", "1/2", "1", "3/2")
    for asked in (None, 1, "1", "horns", " Horns "):
        assert line_from_midi(path, part=asked)[0].onsets == quarter_line
    for asked in (2, "2", "reeds"):
        assert line_from_midi(path, part=asked)[0].onsets == eighth_line
    assert line_from_midi(path, channel=2)[0].onsets == eighth_line
    for part in ("flutes", 3, 0, -1):
        with pytest.raises(ReadError, match="there are: 1 Horns, 2 Reeds"):
            line_from_midi(path, part=part)
    with pytest.raises(ReadError, match="no notes on channel 5; there are some on 1, 2"):
        line_from_midi(path, channel=5)
    with pytest.raises(OptionError, match="channels are 1 to 16"):
        line_from_midi(path, channel=17)


def test_only_the_divisions_asked_for(tmp_path: Path) -> None:
    """With divisions given, nothing else is used, and what does not fit is refused with place and deviation."""
    notes = [(0, 100, 80), (480, 100, 80), (640, 100, 80)]
    path = saved(tmp_path, notes)
    assert line_from_midi(path)[0].onsets == quarters("0", "1", "4/3")
    assert line_from_midi(path, subdivisions=[6])[0].onsets == quarters("0", "1", "4/3")
    with pytest.raises(ReadError) as caught:
        line_from_midi(path, subdivisions=[1, 2, 4])
    for said in ("line.mid", 'bar 1, count "trip of 2"', "42 ms", "divided by 4", "allowed are 31 ms", "1, 2, 4"):
        assert said in str(caught.value)
    for wrong in ([], [0], [65]):
        with pytest.raises(OptionError, match="parts a beat"):
            line_from_midi(path, subdivisions=wrong)


def test_onsets_too_close_for_any_division(tmp_path: Path) -> None:
    """Two notes that no division parts are one if they are close, and refused if not."""
    found, residual = line_from_midi(saved(tmp_path, [(0, 20, 70), (40, 100, 90), (480, 100, 80), (953, 40, 80)]))
    assert found.onsets == quarters("0", "1", "2")
    assert residual.count == 3
    with pytest.raises(ReadError, match=r"two notes 83 ms apart .* fall on one place"):
        line_from_midi(saved(tmp_path, [(0, 20, 70), (440, 20, 90), (520, 20, 90)]), subdivisions=[2])


def test_files_without_notes(tmp_path: Path) -> None:
    """A file without notes has no line."""
    with pytest.raises(ReadError, match="has no notes"):
        line_from_midi(saved(tmp_path, []))
