"""What is heard in the WAV, found by the rise of its energy alone, is where the MIDI file has its notes.

The finder knows nothing of how the sound is made: it reads frames with the standard library and looks for places where
the energy of two milliseconds is well above that of the fifteen before. Notes and tempi are read with mido.
"""

import io
import wave
from fractions import Fraction

import mido
import numpy as np
import pytest

from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Feel, Pattern, parse_rows
from kitgen.write.midi import PlayAlong, loop, play_along
from kitgen.write.wav import wav_of

STEP_S, BEFORE_S, APART_S = 0.001, 0.015, 0.03


def heard(data: bytes) -> tuple[np.ndarray, int]:
    """The mean of both channels, and the rate."""
    with wave.open(io.BytesIO(data)) as file:
        frames = np.frombuffer(file.readframes(file.getnframes()), "<i2").reshape(-1, 2)
        return frames.mean(axis=1), file.getframerate()


def rises(samples: np.ndarray, rate: int) -> list[float]:
    """Seconds at which the energy rises at least fivefold."""
    step, back = round(STEP_S * rate), round(BEFORE_S / STEP_S)
    power = np.add.reduceat(np.diff(samples, prepend=0) ** 2, np.arange(0, len(samples), step)) + 1.0
    found: list[float] = []
    for index in range(len(power)):
        before = power[max(0, index - back) : index]
        if power[index] > 5 * (before.max() if len(before) else 1.0) and power[index] > 1e-3 * power.max():
            at = index * step / rate
            if not found or at - found[-1] > APART_S:
                found.append(at)
    return found


def notes_in(data: bytes) -> list[float]:
    """Seconds at which mido has a note begin, those of one instant once."""
    at, found = 0.0, set[float]()
    for message in mido.MidiFile(file=io.BytesIO(data)):
        at += message.time
        if message.type == "note_on" and message.velocity:
            found.add(round(at, 6))
    return sorted(found)


def page_of(pattern: Pattern, bpm: float) -> Page:
    """A page of one row."""
    return Page("a page", "", (Row("a row", pattern),), Tempo.at(bpm, Fraction(1)), "kitgen")


@pytest.mark.parametrize("rate", [44100, 48000])
@pytest.mark.parametrize(
    ("rows", "bpm", "feel"),
    [
        ("RH closed-hat xx xx xx xx; LH snare . x . x; RF bass x . x .", 97, None),
        ("LH snare x..x ..x. .x.. x...; RF bass x. .x x. .x", 83, None),
        ("RH closed-hat xx xx xx xx; LF hat-foot . x . x", 140, Feel(8, Fraction(2))),
        ("RH cross-stick xxx x xxx x", 71.3, None),
    ],
)
def test_a_loop_sounds_where_its_notes_are(rows: str, bpm: float, feel: Feel | None, rate: int) -> None:
    """Every onset of the MIDI file is heard within three milliseconds, and nothing else begins."""
    pattern = parse_rows(rows)
    midi = loop(page_of(pattern if feel is None else pattern.with_feel(feel), bpm))
    found = rises(*heard(wav_of(midi, seamless=True, rate=rate).data))
    expected = notes_in(midi)
    assert len(found) == len(expected), (found, expected)
    assert max(abs(np.subtract(found, expected))) <= 0.003


def test_a_play_along_sounds_where_its_notes_are() -> None:
    """Sticks, click and page, over two tempi, to the last bar."""
    page = Page(
        "a", "", (Row("b", parse_rows("LH snare x . x .x; RF bass x . x .")),), Tempo(90, 120, 90, 120), "kitgen"
    )
    midi = play_along(page, PlayAlong(2, (90, 120)))
    found, expected = rises(*heard(wav_of(midi).data)), notes_in(midi)
    assert len(found) == len(expected), (found, expected)
    assert max(abs(np.subtract(found, expected))) <= 0.003


def brightness(rows: str) -> float:
    """The centre of the spectrum of a page's sound, in Hz."""
    samples, rate = heard(wav_of(loop(page_of(parse_rows(rows), 100)), seamless=True).data)
    spectrum = np.abs(np.fft.rfft(samples)) ** 2
    return float((spectrum * np.fft.rfftfreq(len(samples), 1 / rate)).sum() / spectrum.sum())


def test_the_drum_set_sounds_like_one() -> None:
    """The bass drum lies lowest, then snare, then cymbals (common practice); no piano is heard on channel 10."""
    bass, tom, snare, ride, hat = (
        brightness(rows)
        for rows in (
            "RF bass x x x x", "RH floor-tom x x x x", "LH snare x x x x", "RH ride x x x x", "RH closed-hat x x x x",
        )
    )  # fmt: skip
    assert bass < 200
    assert tom < 400
    assert bass < snare < min(ride, hat)
    assert min(ride, hat) > 3000
