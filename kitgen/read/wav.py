"""How long a WAV file lasts."""

import struct
import wave
from pathlib import Path
from typing import NamedTuple

from kitgen.errors import ReadError


class Lasting(NamedTuple):
    """Frames, and how many of them make a second."""

    frames: int
    rate: int


def lasting(path: Path) -> Lasting:
    """The length of a WAV file as its frames, which are counted, not believed of its header.

    Raises:
        ReadError: it cannot be read, or is no WAV file.
    """
    try:
        with path.open("rb") as data, wave.open(data) as file:
            width = file.getnchannels() * file.getsampwidth()
            return Lasting(len(file.readframes(file.getnframes())) // width, file.getframerate())
    except (OSError, EOFError, wave.Error, struct.error) as error:
        raise ReadError(f"{path} is no WAV file that can be read: {str(error) or 'it is cut off'}") from error
