"""The bytes printed in the standard, and the bytes written here for the same events.

Source: Standard MIDI Files 1.0 (MIDI Manufacturers Association, RP-001), as reproduced in "Standard MIDI-File Format
Spec. 1.1, updated" (D. Back, 1999): the table of variable-length quantities, the meta events, and the worked example in
format 0 and 1. Only what the drum writer can say is written again: format 1, channel 10.
"""

from collections.abc import Sequence

import pytest

from kitgen.write import smf
from tests.write.heard import load, timed

# The table of variable-length quantities: number, bytes in hexadecimal.
QUANTITIES = (
    (0x00000000, "00"),
    (0x00000040, "40"),
    (0x0000007F, "7f"),
    (0x00000080, "8100"),
    (0x00002000, "c000"),
    (0x00003FFF, "ff7f"),
    (0x00004000, "818000"),
    (0x00100000, "c08000"),
    (0x001FFFFF, "ffff7f"),
    (0x00200000, "81808000"),
    (0x08000000, "c0808000"),
    (0x0FFFFFFF, "ffffff7f"),
)

# The worked example in format 1: 4/4 at 120, then a track for each of three channels.
HEADER = "4d546864 00000006 0001 0004 0060"
TEMPO_TRACK = "4d54726b 00000014 00 ff58040402 1808 00 ff5103 07a120 8300 ff2f00"
TRACKS = (
    "4d54726b 00000010 00 c005 8140 904c20 8140 4c00 00 ff2f00",
    "4d54726b 0000000f 00 c12e 60 914340 8220 4300 00 ff2f00",
    "4d54726b 00000015 00 c246 00 923060 00 3c60 8300 3000 00 3c00 00 ff2f00",
)
# The events of those tracks as the text tells them: tick, message.
EVENTS = (
    ((0, "c005"), (192, "904c20"), (384, "904c00")),
    ((0, "c12e"), (96, "914340"), (384, "914300")),
    ((0, "c246"), (0, "923060"), (0, "923c60"), (384, "923000"), (384, "923c00")),
)
# The same music in format 0.
FORMAT_0 = (
    "4d546864 00000006 0000 0001 0060 4d54726b 0000003b 00 ff58040402 1808 00 ff5103 07a120 00 c005 00 c12e 00 c246 "
    "00 923060 00 3c60 60 914340 60 904c20 8140 823040 00 3c40 00 814340 00 804c40 00 ff2f00"
)
# tick, channel from 1, key, velocity: the struck notes of the example as the text lists them
STRUCK = ((0, 3, 48, 96), (0, 3, 60, 96), (96, 2, 67, 64), (192, 1, 76, 32))
END_TICK = 384


def of_hex(text: str) -> bytes:
    """Bytes from hexadecimal digits, spaces between."""
    return bytes.fromhex(text.replace(" ", ""))


@pytest.mark.parametrize(("number", "expected"), QUANTITIES)
def test_variable_length_quantities(number: int, expected: str) -> None:
    """Every row of the standard's table."""
    assert smf.quantity(number).hex() == expected


@pytest.mark.parametrize("number", [-1, 0x10000000])
def test_what_is_no_quantity_is_refused(number: int) -> None:
    """The standard's largest quantity is 0FFFFFFF; beyond it, and below 0, there is none."""
    with pytest.raises(ValueError, match="is no quantity of a MIDI file, which is 0 to 268435455"):
        smf.quantity(number)


def test_tempo() -> None:
    """120 quarters a minute is 500000 microseconds a quarter."""
    assert smf.tempo(120).hex() == "ff510307a120"


def test_time_signatures() -> None:
    """4/4 with 24 clocks a click, 6/8 with 36: a click every dotted quarter."""
    assert smf.meter(4, 4, clocks_a_click=24).hex() == "ff580404021808"
    assert smf.meter(6, 8, clocks_a_click=36).hex() == "ff580406032408"


@pytest.mark.parametrize(("denominator", "power"), [(1, 0), (2, 1), (4, 2), (8, 3), (16, 4), (32, 5), (64, 6)])
def test_the_denominator_is_a_power_of_two(denominator: int, power: int) -> None:
    """The second byte of a time signature is the power of two below the line."""
    assert smf.meter(3, denominator, clocks_a_click=24)[4] == power


@pytest.mark.parametrize(
    ("kind", "number"), [(smf.TEXT, 0x01), (smf.NAME, 0x03), (smf.MARKER, 0x06), (smf.TEMPO, 0x51), (smf.METER, 0x58)]
)
def test_meta_events(kind: int, number: int) -> None:
    """A meta event is FF, its number, the length as a quantity, and the data."""
    assert smf.meta(kind, b"abc") == bytes((0xFF, number, 3)) + b"abc"
    assert smf.meta(kind, bytes(128))[:4] == bytes((0xFF, number, 0x81, 0x00))


def test_header() -> None:
    """MThd, six bytes, format 1, the number of tracks, ticks a quarter; words with the high byte first."""
    assert smf.file([b"", b"", b"", b""], 96) == of_hex(HEADER)


def test_the_tempo_track_of_the_example() -> None:
    """The first track of the worked example, byte for byte."""
    events = [
        (0, 0, smf.meter(4, 4, clocks_a_click=24)),
        (0, 1, smf.tempo(120)),
    ]
    assert smf.track(events, END_TICK) == of_hex(TEMPO_TRACK)


@pytest.mark.parametrize(("events", "expected"), list(zip(EVENTS, TRACKS, strict=True)))
def test_the_other_tracks_of_the_example(events: Sequence[tuple[int, str]], expected: str) -> None:
    """The three tracks of notes of the worked example, byte for byte, running status and all."""
    assert track_of(events) == of_hex(expected)


def track_of(events: Sequence[tuple[int, str]]) -> bytes:
    """A track of the example, its events in the order of the text."""
    ranked = [(tick, rank, bytes.fromhex(message)) for rank, (tick, message) in enumerate(events)]
    return smf.track(ranked, END_TICK)


def test_the_whole_example_in_format_1() -> None:
    """The worked example as a file of 118 bytes."""
    tempo = smf.track([(0, 0, smf.meter(4, 4, clocks_a_click=24)), (0, 1, smf.tempo(120))], END_TICK)
    data = smf.file([tempo, *map(track_of, EVENTS)], 96)
    assert len(data) == 118
    assert data == of_hex(HEADER + TEMPO_TRACK + "".join(TRACKS))


def test_the_example_of_format_0_holds_the_same_music() -> None:
    """The events of the format 0 example, told apart by channel and written in format 1, are the printed notes."""
    (track,) = load(of_hex(FORMAT_0)).tracks
    struck = tuple(
        (tick, message.channel + 1, message.note, message.velocity)
        for tick, message in timed(track)
        if message.type == "note_on" and message.velocity
    )
    assert struck == STRUCK
    tracks = load(of_hex(HEADER + TEMPO_TRACK + "".join(TRACKS))).tracks
    assert sorted(
        (tick, message.channel + 1, message.note, message.velocity)
        for track in tracks
        for tick, message in timed(track)
        if message.type == "note_on" and message.velocity
    ) == sorted(STRUCK)


def test_a_meta_event_breaks_running_status() -> None:
    """After a meta event the next channel message has its status byte again."""
    on, off = bytes((smf.NOTE_ON, 38, 88)), bytes((smf.NOTE_ON, 38, 0))
    events = [(0, 0, on), (0, 1, smf.text(smf.TEXT, "a")), (10, 0, off), (20, 0, on), (30, 0, off)]
    body = "00 992658 00 ff010161 0a 992600 0a 2658 0a 2600 0a ff2f00"
    assert smf.track(events, 40) == of_hex(f"4d54726b 00000017 {body}")


def test_a_track_that_would_end_before_its_last_event_is_refused() -> None:
    """A delta below 0 cannot be written, so such a track is refused rather than damaged."""
    with pytest.raises(ValueError, match="is no quantity of a MIDI file"):
        smf.track([(10, 0, bytes((smf.NOTE_ON, 38, 88)))], 5)
