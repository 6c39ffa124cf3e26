"""A sound font with compressed sounds (SoundFont 3, ``.sf3``) as the same font without (SoundFont 2).

SoundFont 3 is SoundFont 2 but that each sound is an Ogg Vorbis stream: its header has bit 4 of the type set, names the
first byte of the stream and the one after its last, and counts its loop from the beginning of the sound. No standard
says so; these are the conventions in use, from memory.
"""

import io
import struct
from collections.abc import Mapping
from typing import NamedTuple

_HEADER = struct.Struct("<20sIIIIIBbHH")
_COMPRESSED = 0x10
_SILENT_FRAMES = 46  # after each sound, as SoundFont 2 asks


class _Sound(NamedTuple):
    name: bytes
    start: int
    end: int
    loop_start: int
    loop_end: int
    rate: int
    pitch: int
    correction: int
    link: int
    kind: int


def uncompressed(parts: Mapping[str, memoryview]) -> bytes:
    """The bytes of a SoundFont 2 file.

    Args:
        parts: the lists of the compressed font, by name.

    Raises:
        ValueError: a stream that is no sound; the message says which.
    """
    sounds = bytearray()
    headers = [_plain(_Sound(*header), parts["smpl"], sounds) for header in _HEADER.iter_unpack(parts["shdr"])]
    plain = {**parts, "ifil": struct.pack("<HH", 2, 4), "smpl": sounds, "shdr": b"".join(headers)}
    lists = {
        b"INFO": ("ifil", "isng", "INAM"),
        b"sdta": ("smpl",),
        b"pdta": ("phdr", "pbag", "pmod", "pgen", "inst", "ibag", "imod", "igen", "shdr"),
    }
    body = b"".join(
        _chunk(b"LIST", kind + b"".join(_chunk(name.encode(), bytes(plain[name])) for name in names if name in plain))
        for kind, names in lists.items()
    )
    return _chunk(b"RIFF", b"sfbk" + body)


def _chunk(name: bytes, data: bytes) -> bytes:
    return name + len(data).to_bytes(4, "little") + data + b"\0" * (len(data) % 2)


def _plain(header: _Sound, streams: memoryview, sounds: bytearray) -> bytes:
    """The header of a sound that is laid, uncompressed, after those there are."""
    first = len(sounds) // 2
    if header.kind & _COMPRESSED:
        sounds += _decoded(bytes(streams[header.start : header.end]), header.name)
        moved = first
    else:
        sounds += streams[2 * header.start : 2 * header.end]
        moved = first - header.start
    plain = header._replace(
        start=first,
        end=len(sounds) // 2,
        loop_start=max(0, header.loop_start + moved),
        loop_end=max(0, header.loop_end + moved),
        kind=header.kind & ~_COMPRESSED,
    )
    sounds += bytes(2 * _SILENT_FRAMES)
    return _HEADER.pack(*plain)


def _decoded(stream: bytes, name: bytes) -> bytes:
    import soundfile

    try:
        frames, _ = soundfile.read(io.BytesIO(stream), dtype="int16", always_2d=True)
    except (RuntimeError, TypeError, ValueError) as error:
        words = name.partition(b"\0")[0].decode("latin-1")
        raise ValueError(f"its sound {words!r} cannot be decoded") from error
    return bytes(frames[:, 0].astype("<i2").tobytes())
