"""Recorded performances: a MIDI file read as a take, in its own time, with every key kept.

Conventions: times in quarters of the file's own tempo map, as floats. The drum channel is 10; a file without notes on
it is taken to be all drums. A track named ``click`` is no part of the performance. A track named after a limb (``right
hand``) tells whose strokes it holds; elsewhere the feet are known by their pedals, and hands are not known.
"""

from pathlib import Path

from kitgen.errors import ReadError
from kitgen.kit import Limb, kit
from kitgen.kit.pads import pad_map, pads_for
from kitgen.kit.surfaces import SURFACES
from kitgen.pattern.take import Stroke, Take
from kitgen.read import smf

_DRUM_CHANNEL = 10
_CLICK = "click"
_TRACK_LIMBS = {limb.words: limb for limb in Limb}
_STANDARD = kit("standard")


def read_take(path: Path, *, pads: str = "auto", channel: int | None = None) -> Take:
    """Read a recorded performance.

    Args:
        path: a MIDI file.
        pads: the pad map, ``gm``, ``edge-pads`` or ``pages``; ``auto`` takes ``pages`` where tracks are named after
            limbs, ``edge-pads`` where edge or rim keys are struck, else ``gm``.
        channel: the channel to read, 1 to 16; 10 where anything is played on it, else all.

    Returns:
        Every stroke; one whose key is in no map has no surface.

    Raises:
        ReadError: no readable MIDI file, or nothing is struck in it.
        UnknownNameError: no such pad map.
    """
    midi = smf.load(path)
    tracks = [track for track in smf.tracks_of(midi) if track.name.lower() != _CLICK]
    notes = [(_TRACK_LIMBS.get(track.name.lower()), note) for track in tracks for note in track.notes]
    channels = sorted({note.channel for _, note in notes})
    if channel is None and _DRUM_CHANNEL in channels:
        channel = _DRUM_CHANNEL
    notes = [(limb, note) for limb, note in notes if channel is None or note.channel == channel]
    if not notes:
        struck = f"; something is on {', '.join(map(str, channels))}" if channels else ""
        raise ReadError(f"{path}: nothing is struck" + (f" on channel {channel}{struck}" if channel else ""))
    if pads == "auto":
        pads = "pages" if any(limb is not None for limb, _ in notes) else pads_for({note.key for _, note in notes})
    surfaces, quarter = pad_map(pads), midi.ticks_per_beat
    strokes = []
    for limb, note in notes:
        label = surfaces.get(note.key)
        strokes.append(
            Stroke(note.start_tick / quarter, note.key, note.velocity, label, _limb(label) if limb is None else limb)
        )
    tempi, meters = smf.tempo_map(midi), smf.time_signatures(midi)
    return Take(
        tuple(strokes),
        tempi.bpm_at(0),
        meters[0][1],
        Path(path).name,
        tuple((tick / quarter, tempi.bpm_at(tick)) for tick, _ in tempi.changes[1:]),
        tuple((tick / quarter, meter) for tick, meter in meters[1:]),
    )


def _limb(label: str | None) -> Limb | None:
    """The foot on a pedal; None for hands, of which either may strike."""
    if label is None or SURFACES[label].struck_by != "foot":
        return None
    return _STANDARD.limb_for(label)
