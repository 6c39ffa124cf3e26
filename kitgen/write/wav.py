"""A page to listen to: its MIDI file as a WAV file, made here, with no other program.

Stereo, 16 bits, 44100 or 48000 frames a second. One gain for the whole file brings its true peak to just under -1 dBFS,
but raises nothing by more than 16 dB, so that a page of soft strokes stays softer than a loud one. The same MIDI file
and font make the same bytes. A loop lasts exactly its bars and goes round without a seam; anything else keeps its tail,
until it has rung out.
"""

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from kitgen.errors import OptionError
from kitgen.write.audio_font import font_of
from kitgen.write.audio_level import SILENCE, decibels, loudness, true_peak, wav_bytes
from kitgen.write.audio_render import Score, Struck, samples_of, score_of

if TYPE_CHECKING:
    import numpy as np

RATES, USUAL_RATE = (44100, 48000), 48000
CLICK = "click"
"""The name of the track that is apart when the click is."""
_HIGHEST_DBFS = -1.05
_MOST_RAISED_DB = 16.0


class Sound(NamedTuple):
    """A sound.

    Args:
        data: the bytes of the WAV file.
        seconds: how long it lasts.
        peak_dbfs: its true peak in dBFS, below -1; minus infinity for silence.
        loudness: integrated loudness in LUFS (ITU-R BS.1770); minus infinity for silence.
    """

    data: bytes
    seconds: float
    peak_dbfs: float
    loudness: float


class Apart(NamedTuple):
    """The same music in two sounds that, played together, are the whole: without its click, and the click alone."""

    music: Sound
    click: Sound


def wav_of(midi: bytes, *, font: Path | None = None, seamless: bool = False, rate: int = USUAL_RATE) -> Sound:
    """A MIDI file as sound.

    Args:
        midi: the file; all its tracks are played, on the drum set of channel 10.
        font: a sound font (``.sf2`` or ``.sf3``); None for the one that comes along.
        seamless: exactly the length of the file, with the ring of its end in its beginning, to go round and round;
            otherwise it lasts until everything has rung out.
        rate: frames a second, 44100 or 48000.

    Raises:
        OptionError: another rate.
        ReadError: a font or file that cannot be read; names it.
    """
    score = score_of(midi)
    samples = _samples(score, score.strokes(), font=font, loop=seamless, rate=rate)
    peak = true_peak(samples)
    return _sound(samples, peak, _gain(peak), rate)


def wavs_apart(midi: bytes, *, font: Path | None = None, rate: int = USUAL_RATE) -> Apart:
    """A play-along in two sounds of one length: the music with its count-in, and the click, for a mixer.

    Args:
        midi: the file; its track ``click`` is the click.
        font: a sound font (``.sf2`` or ``.sf3``); None for the one that comes along.
        rate: frames a second, 44100 or 48000.

    Raises:
        OptionError: another rate.
        ReadError: a font or file that cannot be read; names it.
    """
    import numpy as np

    score = score_of(midi)
    parts = [
        _samples(score, strokes, font=font, loop=False, rate=rate)
        for strokes in (score.strokes(without=CLICK), score.strokes(only=CLICK))
    ]
    longest = max(map(len, parts))
    music, click = (np.pad(part, ((0, longest - len(part)), (0, 0))) for part in parts)
    peaks = [true_peak(each) for each in (music, click, music + click)]
    gain = _gain(max(peaks))
    return Apart(_sound(music, peaks[0], gain, rate), _sound(click, peaks[1], gain, rate))


def check_rate(rate: int) -> None:
    """Raise where WAV files have no such rate.

    Raises:
        OptionError: says which there are.
    """
    if rate not in RATES:
        raise OptionError(f"--rate {rate}; a WAV file has {' or '.join(map(str, RATES))} frames a second")


def _samples(score: Score, strokes: list[Struck], *, font: Path | None, loop: bool, rate: int) -> "np.ndarray":
    check_rate(rate)
    return samples_of(strokes, score.seconds, font=font_of(font), rate=rate, loop=loop, program=score.program)


def _gain(peak: float) -> float:
    """What to multiply all samples of this true peak by."""
    most: float = 10 ** (_MOST_RAISED_DB / 20)
    return min(most, 10 ** (_HIGHEST_DBFS / 20) / peak) if peak else 1.0


def _sound(samples: "np.ndarray", peak: float, gain: float, rate: int) -> Sound:
    """Samples of this true peak, times the gain."""
    samples = samples * gain
    return Sound(
        wav_bytes(samples, rate),
        len(samples) / rate,
        decibels(peak * gain),
        loudness(samples, rate) if peak else SILENCE,
    )
