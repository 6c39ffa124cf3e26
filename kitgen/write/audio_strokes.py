"""Single strokes of a drum set as samples, played by a synthesizer from a sound font.

Each stroke is rendered once for its key and a velocity near its own, alone and until it has rung out, and kept; what
remains between the two velocities is made up by the square of velocity, the usual law of a sound font ("SoundFont
Technical Specification 2.04", 2006, 8.4.1).
Samples are floats of full scale 1, an array of (frame, left and right).
"""

import io
import math
import wave
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from kitgen.errors import ReadError
from kitgen.write import smf
from kitgen.write.audio_font import Font
from kitgen.write.audio_level import swings

if TYPE_CHECKING:
    import numpy as np

_FRAMES, _BLOCK = 48000, 64  # the synthesizer's rate, and the frames it makes at a time
_BLOCKS = _FRAMES // _BLOCK
_RUNGS = (8, 14, 20, 28, 38, 48, 58, 72, 88, 101, 115, 127)
_PLAIN_RUNGS = (24, 101)  # where velocity changes nothing but how loud it is
_ROOMS_S = (0.3, 2.4, 6.0)
"""Room for a stroke; one that has not rung out in it gets the next. The synthesizer takes as long for silence."""
_QUICK_KEYS = frozenset((35, 36, 37, 38, 39, 40, 42, 44, 56, 75, 76, 77))
_LONG_KEYS = frozenset((46, 49, 51, 52, 53, 55, 57, 59))  # open hat and cymbals
_LOUDEST = 1 - 2**-14
_SILENT = 3e-5  # less than a step of 16 bits
_QUIET_S = 0.02
_FADE_S = 0.01
_VOLUME, _REVERB, _CHORUS, _ALL_SOUND_OFF = 7, 91, 93, 120
_VOLUMES = (127, 64, 32, 16)  # the softer ones for fonts whose strokes would be clipped


def strokes_of(
    font: Font, wanted: Iterable[tuple[int, int]], rate: int, program: int = 0
) -> dict[tuple[int, int], tuple["np.ndarray", float]]:
    """Strokes by (key, velocity), each as samples and what to multiply them by.

    Args:
        font: a sound font.
        wanted: the keys and velocities.
        rate: frames a second.
        program: which of the font's drum sets, from 0; its first where it has no such set.

    Raises:
        ReadError: the synthesizer cannot play the font.
    """
    rungs = {each: _rung(each[1], _RUNGS if font.layered else _PLAIN_RUNGS) for each in wanted}
    kept = _kept(font, rate, program)
    missing = {(key, rungs[key, velocity]) for key, velocity in rungs} - kept.keys()
    cut: set[tuple[int, int]] = set()
    for place, room_s in enumerate(_ROOMS_S):
        if group := sorted(cut | {each for each in missing if _first_room(each[0]) == place}):
            made = _played(font, group, room_s, rate, program)
            cut = {each for each in group if each not in made}
            kept |= made
    return {
        (key, velocity): (kept[key, rung], font.gain(key, program) * (velocity / rung) ** 2)
        for (key, velocity), rung in rungs.items()
    }


def _first_room(key: int) -> int:
    return 0 if key in _QUICK_KEYS else 2 if key in _LONG_KEYS else 1


def _rung(velocity: int, rungs: Sequence[int]) -> int:
    return min(rungs, key=lambda rung: abs(math.log(velocity / rung)))


@lru_cache(maxsize=3)
def _kept(font: Font, rate: int, program: int) -> dict[tuple[int, int], "np.ndarray"]:  # noqa: ARG001  a store each
    return {}


def _played(
    font: Font, strokes: Sequence[tuple[int, int]], room_s: float, rate: int, program: int = 0
) -> dict[tuple[int, int], "np.ndarray"]:
    """Strokes as samples, each in a room of its own; without those that did not ring out in it, if there is a next."""
    import numpy as np

    room = round(room_s * _BLOCKS)
    made = {}
    for stroke, frames in zip(strokes, _unclipped(font, strokes, room, program), strict=True):
        ringing = np.flatnonzero(swings(frames) > _SILENT)
        end = int(ringing[-1]) + 1 if len(ringing) else 1
        if end <= len(frames) - round(_QUIET_S * _FRAMES) or room_s == _ROOMS_S[-1]:
            made[stroke] = _faded(_at_rate(frames[:end], rate), rate)
    return made


def _at_rate(samples: "np.ndarray", rate: int) -> "np.ndarray":
    if rate == _FRAMES:
        return samples
    from scipy.signal import resample_poly

    common = math.gcd(rate, _FRAMES)
    resampled: np.ndarray = resample_poly(samples, rate // common, _FRAMES // common, axis=0)
    return resampled


def _faded(samples: "np.ndarray", rate: int) -> "np.ndarray":
    """Samples of their own whose last moment dies away, in single precision."""
    import numpy as np

    out = samples.astype(np.float32)
    fade = min(len(out), round(_FADE_S * rate))
    out[-fade:] *= np.linspace(1, 0, fade, dtype=np.float32)[:, None]
    return out


def _unclipped(
    font: Font, strokes: Sequence[tuple[int, int]], room: int, program: int, volumes: Sequence[int] = _VOLUMES
) -> "np.ndarray":
    """The strokes, an array of (stroke, frame, side); those that would be clipped played softer, and raised again."""
    import numpy as np

    volume, *softer = volumes
    frames = _rendered(font, _as_midi(strokes, room, volume, program))[: len(strokes) * room * _BLOCK]
    apart = frames.reshape(len(strokes), room * _BLOCK, 2)
    clipped = np.flatnonzero(np.maximum(apart.max(axis=(1, 2)), -apart.min(axis=(1, 2))) >= _LOUDEST)
    apart *= np.float32((_VOLUMES[0] / volume) ** 2)
    if softer and len(clipped):
        apart[clipped] = _unclipped(font, [strokes[int(place)] for place in clipped], room, program, softer)
    return apart


def _as_midi(strokes: Sequence[tuple[int, int]], room: int, volume: int, program: int) -> bytes:
    """A MIDI file of seconds, two ticks to a block; strokes come half a block early, so that none slips to the next."""
    events: list[smf.Event] = [(0, 0, smf.tempo(60)), *([(0, 0, smf.drum_set(program))] if program else [])]
    for control, value in ((_VOLUME, volume), (_REVERB, 0), (_CHORUS, 0)):
        events.append((0, 1, bytes((0xB0 | smf.DRUMS, control, value))))
    for place, (key, velocity) in enumerate(strokes):
        start, end = max(0, 2 * place * room - 1), 2 * (place + 1) * room - 1
        events.append((start, 3, bytes((smf.NOTE_ON, key, velocity))))
        events.append((end, 2, bytes((smf.NOTE_OFF, key, 64))))
        events.append((end, 2, bytes((0xB0 | smf.DRUMS, _ALL_SOUND_OFF, 0))))  # no trace of it in the next
    return smf.file([smf.track(events, 2 * len(strokes) * room + 2)], 2 * _BLOCKS)


def _rendered(font: Font, midi: bytes) -> "np.ndarray":
    import midirenderer
    import numpy as np

    try:
        data = midirenderer.render_wave_from(font.data, midi)
    except BaseException as error:  # a panic of the synthesizer is no Exception
        if isinstance(error, KeyboardInterrupt | SystemExit | MemoryError):
            raise
        raise ReadError(f"the sound font {font.path} cannot be played: {error}; take another .sf2 file") from error
    with wave.open(io.BytesIO(data)) as sound:
        if (sound.getframerate(), sound.getnchannels(), sound.getsampwidth()) != (_FRAMES, 2, 2):
            raise ReadError(f"the synthesizer makes {sound.getframerate()} frames a second, not {_FRAMES}; update it")
        frames = sound.readframes(sound.getnframes())
    return np.frombuffer(frames, "<i2").reshape(-1, 2) / np.float32(32768)
