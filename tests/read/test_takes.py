"""Recorded performances are read with every key kept, and with the limbs that can be known."""

from pathlib import Path

import mido
import pytest

from kitgen.errors import ReadError, UnknownNameError
from kitgen.kit import GM_PERCUSSION, SURFACES, Limb
from kitgen.kit.pads import PADS, pad_map, pads_for
from kitgen.pattern.take import Take
from kitgen.read.takes import read_take
from kitgen.time import Meter


def saved(tmp_path: Path, **tracks: list[int]) -> Path:
    """A file with a track for each name, its keys struck a quarter apart on channel 10 (channel 3 in ``keys``)."""
    made = []
    for name, keys in tracks.items():
        track = mido.MidiTrack([mido.MetaMessage("track_name", name=name.replace("_", " "))])
        for key in keys:
            channel = 2 if name == "keys" else 9
            track.append(mido.Message("note_on", note=key, velocity=100, channel=channel))
            track.append(mido.Message("note_off", note=key, channel=channel, time=480))
        made.append(track)
    path = tmp_path / "take.mid"
    mido.MidiFile(tracks=made).save(path)
    return path


def heard(take: Take) -> list[tuple[int, str | None]]:
    """Key and surface of every stroke."""
    return [(stroke.key, stroke.surface) for stroke in take.strokes]


def test_pad_maps_name_real_surfaces_and_keys() -> None:
    """Every map names surfaces there are; in the General MIDI map only keys it has."""
    for keys in PADS.values():
        assert set(keys.values()) <= set(SURFACES)
        assert all(0 <= key <= 127 for key in keys)
    assert set(pad_map("gm")) <= set(GM_PERCUSSION)
    for key in (36, 37, 38, 40, 42, 44, 46, 51):
        assert len({keys[key] for keys in PADS.values()}) == 1
    assert {key: pad_map("edge-pads")[key] for key in (22, 26, 40, 58, 50, 47, 55, 52)} == {
        22: "closed-hat",
        26: "open-hat",
        40: "rim-shot",
        58: "floor-tom",
        50: "high-tom",
        47: "mid-tom",
        55: "crash",
        52: "crash-2",
    }
    assert all(pad_map("pages")[row.key] == row.label for row in SURFACES.values())
    with pytest.raises(UnknownNameError, match="edge-pads"):
        pad_map("edge")


def test_the_pad_map_is_chosen_by_the_keys(tmp_path: Path) -> None:
    """Edge and rim keys speak for edge pads; a map can be given instead."""
    assert [pads_for(keys) for keys in ({36}, {22}, {26, 38}, {58})] == ["gm", "edge-pads", "edge-pads", "edge-pads"]
    path = saved(tmp_path, drums=[36, 22, 55])
    assert heard(read_take(path)) == [(36, "bass"), (22, "closed-hat"), (55, "crash")]
    assert heard(read_take(path, pads="gm")) == [(36, "bass"), (22, None), (55, "splash")]
    with pytest.raises(UnknownNameError):
        read_take(path, pads="none")


def test_unknown_keys_are_kept(tmp_path: Path) -> None:
    """A key that means no surface is a stroke without one."""
    (stroke,) = read_take(saved(tmp_path, drums=[62])).strokes
    assert (stroke.surface, stroke.label, stroke.limb) == (None, "key 62", None)


def test_limbs_from_pedals_and_track_names(tmp_path: Path) -> None:
    """Feet are known by their pedals, hands only from the names of tracks."""
    take = read_take(saved(tmp_path, drums=[36, 44, 38, 51]))
    assert [stroke.limb for stroke in take.strokes] == [Limb.RF, Limb.LF, None, None]
    take = read_take(saved(tmp_path, right_hand=[42], left_hand=[38], left_foot=[36], click=[76, 76]))
    assert sorted((stroke.label, stroke.limb) for stroke in take.strokes) == [
        ("bass", Limb.LF),
        ("closed-hat", Limb.RH),
        ("snare", Limb.LH),
    ]


def test_only_the_drum_channel(tmp_path: Path) -> None:
    """Where anything is on channel 10 only that is the take; else everything; or the channel asked for."""
    assert heard(read_take(saved(tmp_path, keys=[60], drums=[36]))) == [(36, "bass")]
    assert heard(read_take(saved(tmp_path, keys=[38]))) == [(38, "snare")]
    path = saved(tmp_path, keys=[60], drums=[36])
    assert heard(read_take(path, channel=3)) == [(60, None)]
    with pytest.raises(ReadError, match="nothing is struck on channel 4; something is on 3, 10"):
        read_take(path, channel=4)
    with pytest.raises(ReadError, match="nothing is struck"):
        read_take(saved(tmp_path, drums=[]))


def test_time_tempo_and_meter(tmp_path: Path) -> None:
    """Times are quarters; tempo and meter changes are kept and tell seconds and bars."""
    track = mido.MidiTrack(
        [
            mido.MetaMessage("set_tempo", tempo=500_000),
            mido.MetaMessage("time_signature", numerator=3, denominator=4),
            mido.Message("note_on", note=38, velocity=90, channel=9, time=240),
            mido.MetaMessage("set_tempo", tempo=1_000_000, time=1200),
            mido.MetaMessage("time_signature", numerator=4, denominator=4),
            mido.Message("note_on", note=38, velocity=90, channel=9, time=480),
        ]
    )
    path = tmp_path / "change.mid"
    mido.MidiFile(tracks=[track]).save(path)
    take = read_take(path)
    assert [stroke.time_quarters for stroke in take.strokes] == [0.5, 4]
    assert (take.tempo_bpm, take.meter, take.name) == (120, Meter(3, 4), "change.mid")
    assert [take.seconds_at(place) for place in (0, 0.5, 3, 4)] == [0, 0.25, 1.5, 2.5]
    assert str(take.meters_until(4)) == "1 x 3/4, 1 x 4/4"
