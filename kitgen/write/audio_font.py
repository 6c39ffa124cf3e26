"""Sound fonts: the one that comes along, or the user's own, checked before anything is played with it.

The usual font is the General MIDI font of six megabytes that pretty_midi brings with it (under the GNU GPL, version 2).
A font is read as "SoundFont Technical Specification 2.04" (E-mu, 2006) lays it down: its parts are there, their records
are whole, and every number that points into a list stays inside it.
"""

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

from kitgen.errors import ReadError

_ALLOWED = "a sound font is a .sf2 or .sf3 file with a drum set in bank 128"
_USUAL = "TimGM6mb.sf2"
_USUAL_RAISED = ((42, 4.0), (44, 4.0), (46, 6.0), (51, 8.0), (53, 8.0), (59, 8.0))
"""Hats and rides, a stroke of which is 10 to 17 LU under one of the snare there, while time comes first in a band."""
_CHUNK = struct.Struct("<4sI")
_DRUM_BANK = 128
_COMPRESSED = 3
BRUSHES = 40
_DOUBLED = (43, 45, 47, 48, 49, 50, 51, 52, 53, 55, 57, 59, 75, 76, 77)
_USUAL_BRUSHES = ((38, 6.0), (40, 6.0), *((key, -6.0) for key in _DOUBLED))
"""Of its brushes, by how many dB more: taps are 6 dB under the snare of sticks, and some keys are laid twice."""
_SENDS, _VELOCITY_RANGE = (15, 16), 44  # generators: of chorus and reverb; of velocities
_RECORDS = {"phdr": 38, "pbag": 4, "pmod": 10, "pgen": 4, "inst": 22, "ibag": 4, "imod": 10, "igen": 4, "shdr": 46}
"""Bytes of a record in each list."""
_POINTERS = (
    ("phdr", 24, "pbag"),
    ("pbag", 0, "pgen"),
    ("pbag", 2, "pmod"),
    ("inst", 20, "ibag"),
    ("ibag", 0, "igen"),
    ("ibag", 2, "imod"),
)
"""Which list, the byte of its record at which a number stands, and the list that number points into."""


@dataclass(frozen=True, eq=False)
class Font:
    """A sound font, equal to nothing but itself: its bytes are too many to compare.

    Args:
        path: its file.
        data: what is in it.
        layered: a stroke may sound otherwise, not only louder, at another velocity.
        raised: by how many dB some of its keys are raised.
        brushes: by how many dB more in the drum set of brushes.
    """

    path: Path
    data: bytes
    layered: bool = True
    raised: tuple[tuple[int, float], ...] = ()
    brushes: tuple[tuple[int, float], ...] = ()

    def gain(self, key: int, program: int = 0) -> float:
        """What to multiply a key's strokes by, in a drum set."""
        every = (*self.raised, *(self.brushes if program == BRUSHES else ()))
        decibels = sum(raised for each, raised in every if each == key)
        return float(10 ** (decibels / 20))


def font_of(font: Path | None = None) -> Font:
    """A sound font that can be played with.

    Args:
        font: a ``.sf2`` or ``.sf3`` file; None for the one that comes along.

    Raises:
        ReadError: it cannot be opened, is no sound font, is damaged, or has no drum set; names the file.
    """
    path = _usual_font() if font is None else Path(font)
    try:
        return _checked(path, path.stat().st_mtime_ns, _USUAL_RAISED if font is None else ())
    except OSError as error:
        raise ReadError(f"the sound font {path} cannot be opened: {error.strerror or error}; {_ALLOWED}") from error


def _usual_font() -> Path:
    found = find_spec("pretty_midi")  # found, not loaded: only its font is wanted
    places = list(found.submodule_search_locations or ()) if found else []
    if not places:
        raise ReadError("the sound font that comes with pretty_midi is missing; install it, or name a .sf2 file")
    return Path(places[0]) / _USUAL


@lru_cache(maxsize=2)  # a file that changed is another key
def _checked(path: Path, changed: int, raised: tuple[tuple[int, float], ...]) -> Font:  # noqa: ARG001  a key
    data = path.read_bytes()
    problem, parts = _outside(data), _parts(data)
    if not problem and int.from_bytes(parts.get("ifil", b"")[:2], "little") >= _COMPRESSED:
        data, problem = _plain(parts)
        parts = _parts(data)
    if problem := problem or _damage(parts) or _without_drums(parts["phdr"]):
        raise ReadError(f"the sound font {path} {problem}; {_ALLOWED}")
    dry, layered = _dry(data)
    return Font(path, dry, layered, raised, _USUAL_BRUSHES if raised else ())


def _dry(data: bytes) -> tuple[bytes, bool]:
    """The font without what it sends to reverb and chorus, so that no stroke is heard, however faintly, in the next.

    With it goes whether any of its sounds is for some velocities only.
    """
    import numpy as np

    changed, layered = bytearray(data), False
    parts = _parts(changed)
    for name in ("pgen", "igen"):
        kinds, amounts = np.frombuffer(parts[name], "<u2").reshape(-1, 2).T
        amounts[np.isin(kinds, _SENDS)] = 0
        layered = layered or bool(np.any(kinds == _VELOCITY_RANGE))
    return bytes(changed), layered


def _outside(data: bytes) -> str:
    """What is wrong with a sound font before one looks into it, in words; empty if nothing is."""
    if not data:
        return "is empty"
    if data[:4] != b"RIFF" or data[8:12] != b"sfbk":
        return "is no sound font: it does not start with RIFF and sfbk"
    return "is cut off" if len(data) < 8 + int.from_bytes(data[4:8], "little") else ""


def _plain(parts: dict[str, memoryview]) -> tuple[bytes, str]:
    """A compressed font without its compression, and what is wrong with it."""
    from kitgen.write.audio_compressed import uncompressed

    if problem := _missing(parts):
        return b"", problem
    try:
        return uncompressed(parts), ""
    except ValueError as error:
        return b"", f"is damaged: {error}"
    except ImportError:
        return b"", "holds compressed sounds, and the package soundfile that reads them is not installed"


def _missing(parts: dict[str, memoryview]) -> str:
    for name, size in (*_RECORDS.items(), ("smpl", 1)):
        if name not in parts:
            return f"is damaged: its part {name} is missing"
        if len(parts[name]) % size or not parts[name]:
            return f"is damaged: its list {name} has {len(parts[name])} bytes, not whole records of {size}"
    return ""


def _parts(data: bytes | bytearray) -> dict[str, memoryview]:
    """The lists of a sound font by name."""
    return {
        name: part
        for kind, chunk in _chunks(memoryview(data)[12:])
        if kind == "LIST"
        for name, part in _chunks(chunk[4:])
    }


def _chunks(data: memoryview) -> Iterator[tuple[str, memoryview]]:
    at = 0
    while at + _CHUNK.size <= len(data):
        name, size = _CHUNK.unpack_from(data, at)
        at += _CHUNK.size
        yield name.decode("latin-1"), data[at : at + size]
        at += size + size % 2


def _damage(parts: dict[str, memoryview]) -> str:
    import numpy as np

    if problem := _missing(parts):
        return problem

    def column(name: str, byte: int, kind: str) -> "np.ndarray":
        record = np.dtype({"names": ["at"], "formats": [kind], "offsets": [byte], "itemsize": _RECORDS[name]})
        return np.frombuffer(parts[name], record)["at"].astype(np.int64)

    for name, byte, target in _POINTERS:
        places = column(name, byte, "<u2")
        if np.any(np.diff(places) < 0) or places[-1] >= len(parts[target]) // _RECORDS[target]:
            return f"is damaged: a number in its list {name} points outside its list {target}"
    start, end = column("shdr", 20, "<u4")[:-1], column("shdr", 24, "<u4")[:-1]
    if np.any(start > end) or np.any(end > len(parts["smpl"]) // 2):
        return "is damaged: a sound in it ends outside the file"
    return ""


def _without_drums(presets: memoryview) -> str:
    size = _RECORDS["phdr"]
    banks = {int.from_bytes(presets[at + 22 : at + 24], "little") for at in range(0, len(presets) - size, size)}
    return "" if _DRUM_BANK in banks else f"has no drum set: its banks are {', '.join(map(str, sorted(banks)))}"
