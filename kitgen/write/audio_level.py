"""How loud samples are, and samples as the bytes of a WAV file.

Conventions: samples are floats of full scale 1, an array of (frame, channel); levels are dB of full scale (dBFS),
loudness is LUFS. Sources: Recommendation ITU-R BS.1770-5 (2023), annex 1 for integrated loudness (measured by
pyloudnorm), annex 2 for the true peak, looked for between frames at four times their rate.
"""

import io
import math
import wave
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np

SILENCE = float("-inf")
_OVERSAMPLED = 4
_SPAN, _MARGIN = 1024, 64
_LOUD = 0.44  # the filter makes no more than 2.25 times of what frames hold
_LEAST_S = 0.4  # a block of the loudness measure
_LAST = 32767


def swings(samples: "np.ndarray") -> "np.ndarray":
    """Of each frame, how far it swings on the side that swings further."""
    import numpy as np

    left, right = np.abs(samples).T
    larger: np.ndarray = np.maximum(left, right)
    return larger


def true_peak(samples: "np.ndarray") -> float:
    """The largest swing, between frames too, of full scale 1."""
    import numpy as np
    from scipy.signal import resample_poly

    if not samples.size:
        return 0.0
    frames = swings(samples)
    peak = float(frames.max())
    if not peak:
        return 0.0
    spans = np.pad(frames, (0, -len(frames) % _SPAN)).reshape(-1, _SPAN).max(axis=1)
    between = [
        resample_poly(samples[max(0, at - _MARGIN) : at + _SPAN + _MARGIN], _OVERSAMPLED, 1, axis=0, window=_between())
        for at in np.flatnonzero(spans >= _LOUD * peak) * _SPAN
    ]
    return max(peak, *(float(np.abs(piece).max()) for piece in between))


@lru_cache(maxsize=1)
def _between() -> "np.ndarray":
    """The filter that finds what lies between frames."""
    from scipy.signal import firwin

    taps: np.ndarray = firwin(20 * _OVERSAMPLED + 1, 1 / _OVERSAMPLED, window=("kaiser", 5.0))
    return taps


def decibels(value: float) -> float:
    """A share of full scale in dBFS, to a hundredth.

    >>> decibels(0.5), decibels(0)
    (-6.02, -inf)
    """
    return round(20 * math.log10(value), 2) if value else SILENCE


def loudness(samples: "np.ndarray", rate: int) -> float:
    """Integrated loudness in LUFS, to a tenth, of what is not silent; under 0.4 s measured as if it went round."""
    import numpy as np
    from pyloudnorm import Meter

    least = math.ceil(_LEAST_S * rate) + 1
    if len(samples) < least:
        samples = np.tile(samples, (-(-least // len(samples)), 1))
    return round(float(Meter(rate).integrated_loudness(samples)), 1)


def wav_bytes(samples: "np.ndarray", rate: int) -> bytes:
    """Samples as a WAV file of 16 bits."""
    import numpy as np

    frames = np.clip(np.rint(samples * _LAST), -_LAST, _LAST).astype("<i2")
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(samples.shape[1])
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(frames.tobytes())
    return out.getvalue()
