"""The bytes of a Standard MIDI File.

Source: Standard MIDI Files 1.0 (RP-001). Running status is used for channel messages and broken by meta events, as the
standard asks, so that other writers of the same events make the same bytes.
"""

from collections.abc import Iterable
from functools import lru_cache

_VLQ_LIMIT = 0x0FFFFFFF
_SHORT = [bytes((value,)) for value in range(128)]

TEXT, NAME, MARKER, END, TEMPO, METER = 0x01, 0x03, 0x06, 0x2F, 0x51, 0x58
DRUMS = 9
NOTE_ON, NOTE_OFF = 0x90 | DRUMS, 0x80 | DRUMS

Event = tuple[int, int, bytes]
"""(tick, rank among events of one tick, message bytes)"""


@lru_cache(maxsize=4096)
def quantity(value: int) -> bytes:
    """A variable-length quantity.

    >>> quantity(0x0FFFFFFF).hex(), quantity(128).hex()
    ('ffffff7f', '8100')
    """
    if not 0 <= value <= _VLQ_LIMIT:
        raise ValueError(f"{value} is no quantity of a MIDI file, which is 0 to {_VLQ_LIMIT}")
    if value < 128:
        return _SHORT[value]
    out = [value & 0x7F]
    while value := value >> 7:
        out.append(value & 0x7F | 0x80)
    return bytes(reversed(out))


def meta(kind: int, data: bytes) -> bytes:
    """A meta event."""
    return bytes((0xFF, kind)) + quantity(len(data)) + data


def text(kind: int, words: str) -> bytes:
    """A meta event that holds text; characters MIDI has no agreed place for are spelled out or become "?"."""
    return meta(kind, plain(words).encode("latin-1", "replace"))


def plain(words: str) -> str:
    """Text with the typographic characters that have plain twins replaced by them."""
    for fancy, simple in (
        ("\u2019", "'"),
        ("\u2018", "'"),
        ("\u201c", '"'),
        ("\u201d", '"'),
        ("\u2013", "-"),
        ("\u2014", "-"),
    ):
        words = words.replace(fancy, simple)
    return words


def tempo(bpm_quarters: float) -> bytes:
    """A tempo in quarters a minute."""
    return meta(TEMPO, round(60_000_000 / bpm_quarters).to_bytes(3, "big"))


def meter(numerator: int, denominator: int, *, clocks_a_click: int) -> bytes:
    """A time signature; ``clocks_a_click`` is in MIDI clocks, 24 a quarter."""
    return meta(METER, bytes((numerator, denominator.bit_length() - 1, clocks_a_click, 8)))


def drum_set(program: int) -> bytes:
    """A change of the drum set, by its program from 0; 40 is the brushes in General MIDI 2 (MMA RP-024, 1999)."""
    return bytes((0xC0 | DRUMS, program))


def track(events: Iterable[Event], end_tick: int) -> bytes:
    """A track chunk: events in any order, ended exactly at a tick."""
    parts: list[bytes] = []
    add = parts.append  # thousands of files are made of these few lines
    now = running = 0
    quick = _SHORT
    for tick, _, message in sorted(events):
        delta = tick - now
        now = tick
        add(quick[delta] if 0 <= delta < 128 else quantity(delta))
        status = message[0]
        if status == running:
            add(message[1:])
        else:
            add(message)
            running = status if status < 0xF0 else 0
    add(quantity(end_tick - now))
    add(b"\xff\x2f\x00")
    out = b"".join(parts)
    return b"MTrk" + len(out).to_bytes(4, "big") + out


def file(tracks: Iterable[bytes], ticks_a_quarter: int) -> bytes:
    """A format 1 file of track chunks."""
    chunks = list(tracks)
    head = b"MThd\0\0\0\6\0\1" + len(chunks).to_bytes(2, "big") + ticks_a_quarter.to_bytes(2, "big")
    return head + b"".join(chunks)
