"""From the notes of a MIDI file to samples: every stroke laid where it sounds.

Conventions: samples are floats of full scale 1, an array of (frame, left and right); times are seconds. A stroke begins
at the frame nearest its time and rings out, whatever its note-off says, as drums do; but of the hi-hat's sounds the
next ends the one before, as in General MIDI. In a loop what rings at the end goes on at the beginning, and the first
stroke of the hat ends the last.
"""

import io
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from kitgen.errors import ReadError
from kitgen.read import smf
from kitgen.write.audio_font import Font
from kitgen.write.audio_strokes import strokes_of

if TYPE_CHECKING:
    import mido
    import numpy as np

_DRUM_CHANNEL = 10
_HAT_KEYS = frozenset((42, 44, 46))
_CHOKE_S = 0.008
_LEAST_S = 0.01


class Struck(NamedTuple):
    """A stroke: seconds from the start, key, velocity."""

    at_s: float
    key: int
    velocity: int


class Score(NamedTuple):
    """What is to be played: the strokes of each track by its name, how long it lasts in seconds, and the drum set."""

    tracks: tuple[tuple[str, tuple[Struck, ...]], ...]
    seconds: float
    program: int = 0

    def strokes(self, *, only: str | None = None, without: str | None = None) -> list[Struck]:
        """The strokes in order: of all tracks, of those with one name only, or of those without it."""
        return sorted(
            stroke for name, strokes in self.tracks if name != without and only in (None, name) for stroke in strokes
        )


def score_of(midi: bytes) -> Score:
    """The strokes of a MIDI file in seconds.

    Raises:
        ReadError: it is no MIDI file, has no length, or notes that are not a drum set's.
    """
    import mido

    try:
        file = mido.MidiFile(file=io.BytesIO(midi), clip=True)
    except (OSError, EOFError, ValueError, LookupError) as error:
        raise ReadError(f"what is to be heard is no MIDI file: {str(error) or 'it is cut off'}") from error
    tempi = smf.tempo_map(file)
    found = smf.tracks_of(file)
    for track in found:
        if other := next((note.channel for note in track.notes if note.channel != _DRUM_CHANNEL), None):
            raise ReadError(
                f"track {track.number} ({track.name}) plays on channel {other}; only a drum set can be heard, "
                f"on channel {_DRUM_CHANNEL}"
            )
    seconds = tempi.seconds_at(max((track.end_tick for track in found), default=0))
    if seconds < _LEAST_S:
        raise ReadError("a MIDI file that lasts no time cannot be heard; it is a hundredth of a second or more")
    tracks = (
        (
            track.name,
            tuple(Struck(tempi.seconds_at(note.start_tick), note.key, note.velocity) for note in track.notes),
        )
        for track in found
    )
    return Score(tuple(tracks), seconds, _program(file))


def _program(file: "mido.MidiFile") -> int:
    """The drum set the file begins with; 0, the standard one, where it says nothing."""
    changes = (message for track in file.tracks for message in track if message.type == "program_change")
    return next((change.program for change in changes if change.channel == _DRUM_CHANNEL - 1), 0)


def samples_of(
    strokes: Sequence[Struck], seconds: float, *, font: Font, rate: int, loop: bool, program: int = 0
) -> "np.ndarray":
    """Strokes as samples.

    Args:
        strokes: in order.
        seconds: how long they last: exactly, in a loop; else they ring on after it.
        font: a sound font.
        rate: frames a second.
        loop: lay what rings at the end over the beginning.
        program: the drum set.
    """
    import numpy as np

    sounds = strokes_of(font, {(stroke.key, stroke.velocity) for stroke in strokes}, rate, program)
    length = round(seconds * rate)
    placed = [
        (round(stroke.at_s * rate), *_cut(sounds[stroke.key, stroke.velocity], most, rate))
        for stroke, most in _with_room(strokes, seconds if loop else None, rate)
    ]
    if loop:
        out = np.zeros((length, 2), np.float32)
    else:
        out = np.zeros((max((length, *(at + len(sound) for at, sound, _ in placed))), 2), np.float32)
    for at, sound, gain in placed:
        _lay(out, at % len(out), sound * np.float32(gain))
    return out


def _with_room(strokes: Sequence[Struck], round_s: float | None, rate: int) -> Iterator[tuple[Struck, int | None]]:
    """Each stroke with the frames it has before the hat is struck again; None where nothing ends it."""
    hats = sorted({stroke.at_s for stroke in strokes if stroke.key in _HAT_KEYS})
    ends = dict(pairwise(hats))
    if hats and round_s is not None:
        ends[hats[-1]] = hats[0] + round_s
    for stroke in strokes:
        end = ends.get(stroke.at_s) if stroke.key in _HAT_KEYS else None
        yield stroke, None if end is None else round((end - stroke.at_s) * rate)


def _cut(sound: tuple["np.ndarray", float], most: int | None, rate: int) -> tuple["np.ndarray", float]:
    """A sound that dies away after so many frames."""
    import numpy as np

    samples, gain = sound
    fade = round(_CHOKE_S * rate)
    if most is None or len(samples) <= most + fade:
        return sound
    samples = samples[: most + fade].copy()
    samples[most:] *= np.linspace(1, 0, fade, dtype=np.float32)[:, None]
    return samples, gain


def _lay(out: "np.ndarray", at: int, sound: "np.ndarray") -> None:
    """Add a sound at a frame, going on at the beginning where the end is reached."""
    while len(sound):
        room = len(out) - at
        out[at : at + len(sound)] += sound[:room]
        sound, at = sound[room:], 0
