"""Pages to listen to: how long, how loud, without a seam, with the user's own font; and what is refused."""

import io
import struct
import wave
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import mido
import numpy as np
import pytest

from kitgen.errors import OptionError, ReadError
from kitgen.kit import SURFACES
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import parse_rows
from kitgen.write import audio_strokes
from kitgen.write.audio_font import BRUSHES, font_of
from kitgen.write.audio_level import loudness, true_peak
from kitgen.write.audio_strokes import strokes_of
from kitgen.write.midi import PlayAlong, loop, play_along
from kitgen.write.wav import wav_of, wavs_apart

ROCK = "RH closed-hat xx xx xx xx; LH snare . X . x; RF bass x . x ."


def page_of(rows: str = ROCK, *, bpm: float = 100, meter: str = "4/4") -> Page:
    """A page of one row."""
    return Page("a page", "", (Row("a row", parse_rows(rows, meter)),), Tempo.at(bpm, Fraction(1)), "kitgen")


def samples_in(data: bytes) -> np.ndarray:
    """The frames of a WAV file, of full scale 1."""
    with wave.open(io.BytesIO(data)) as file:
        assert (file.getnchannels(), file.getsampwidth()) == (2, 2)
        return np.frombuffer(file.readframes(file.getnframes()), "<i2").reshape(-1, 2) / 32767


def level(samples: np.ndarray) -> float:
    """The mean power of samples in dB."""
    return 10 * float(np.log10(np.mean(samples**2) + 1e-12))


@pytest.mark.parametrize("rate", [44100, 48000])
@pytest.mark.parametrize(
    ("bpm", "meter", "rows"), [(100, "4/4", ROCK), (97, "3/4", "RF bass x x x"), (400, "1/4", "RF bass x")]
)
def test_a_loop_lasts_exactly_its_bars(rate: int, bpm: float, meter: str, rows: str) -> None:
    """To the frame, at any tempo, at either rate, however short."""
    sound = wav_of(loop(page_of(rows, bpm=bpm, meter=meter)), seamless=True, rate=rate)
    beats = int(meter[0])
    assert len(samples_in(sound.data)) == round(beats * 60 / bpm * rate)
    assert sound.seconds == len(samples_in(sound.data)) / rate


def test_a_loop_has_no_seam() -> None:
    """Where nothing is struck at the seam the sound goes on over it as smoothly as in the middle."""
    once = samples_in(wav_of(loop(page_of("RH ride . X . X; RF bass . x . .")), seamless=True).data)
    seam = np.abs(np.diff(np.vstack([once[-500:], once[:500]]), axis=0))
    assert seam[499].max() <= 1.5 * seam.max(initial=0, where=np.arange(999)[:, None] != 499)
    turned = samples_in(wav_of(loop(page_of("RH ride X . X .; RF bass x . . .")), seamless=True).data)
    beat = round(0.6 * 48000)
    assert np.allclose(np.roll(once, -beat, axis=0), turned, atol=2e-3)


def test_what_rings_at_the_end_of_a_loop_goes_on_at_its_beginning() -> None:
    """A crash on the last beat is heard in the first; without ``seamless`` it rings on after the end."""
    midi = loop(page_of("RH crash . . . X"))
    beat = round(0.6 * 48000)
    around, once = (samples_in(wav_of(midi, seamless=seamless).data) for seamless in (True, False))
    assert level(around[:beat]) > -40
    assert not once[: 3 * beat].any()
    assert len(once) > len(around) + 48000
    assert np.abs(once[-48:]).max() < 0.002


@pytest.mark.parametrize(("closing", "limb"), [("closed-hat", "RH"), ("hat-foot", "LF")])
def test_an_open_hat_is_closed(closing: str, limb: str) -> None:
    """The next closed or pedal stroke ends an open hat, also over the seam of a loop."""
    opened = samples_in(wav_of(loop(page_of("RH open-hat X . . .")), seamless=True).data)
    gains = opened.max()
    rows = (
        f"RH open-hat X . . .; {limb} {closing} . g . ."
        if limb != "RH"
        else "RH open-hat X . . .; RH closed-hat . g . ."
    )
    closed = samples_in(wav_of(loop(page_of(rows)), seamless=True).data)
    later = slice(round(0.9 * 48000), round(1.8 * 48000))
    assert level(opened[later] / gains) > -70
    assert level(closed[later] / closed.max()) < -100
    over = (
        f"RH open-hat . . . X; {limb} {closing} g . . ."
        if limb != "RH"
        else "RH open-hat . . . X; RH closed-hat g . . ."
    )
    seam = samples_in(wav_of(loop(page_of(over)), seamless=True).data)
    assert level(seam[round(0.3 * 48000) : round(0.6 * 48000)]) < -100


def test_a_cymbal_rings_through_its_next_stroke() -> None:
    """Only the hat is choked: a second ride stroke adds to the first."""
    one, two = (wav_of(loop(page_of(rows)), seamless=True) for rows in ("RH ride X . . .", "RH ride X . X ."))
    assert two.loudness > one.loudness


@pytest.mark.parametrize(
    "rows", [ROCK, "RH crash XX XX XX XX; LH crash-2 XX XX XX XX; RF bass XX XX XX XX", "RF bass f . . ."]
)
def test_nothing_is_clipped(rows: str) -> None:
    """One gain keeps the true peak below -1 dBFS; the file says what it is."""
    sound = wav_of(loop(page_of(rows)), seamless=True)
    samples = samples_in(sound.data)
    assert sound.peak_dbfs < -1
    assert 20 * np.log10(true_peak(samples)) == pytest.approx(sound.peak_dbfs, abs=0.02)
    assert np.abs(samples).max() < 10 ** (-1 / 20)


def test_a_page_of_soft_strokes_is_softer_than_a_loud_one() -> None:
    """What is raised is raised by no more than 16 dB, so a feathered bass is not made a loud one."""
    feathered, normal = (wav_of(loop(page_of(f"RF bass {row}")), seamless=True) for row in ("f f f f", "x x x x"))
    assert feathered.loudness < normal.loudness - 10


def test_every_level_is_heard_and_softer_than_the_next() -> None:
    """Feather, ghost, tap, normal, accent: each is heard, and each at least 3 dB under the next."""
    wanted = [("36", velocity) for velocity in (28, 38, 58, 88, 115)]
    sounds = strokes_of(font_of(), {(36, velocity) for _, velocity in wanted}, 48000)
    peaks = [20 * np.log10(np.abs(sounds[36, velocity][0]).max() * sounds[36, velocity][1]) for _, velocity in wanted]
    assert peaks[0] > -60
    assert all(louder - softer >= 3 for softer, louder in pairwise(peaks))


def test_time_is_neither_louder_than_the_snare_nor_lost() -> None:
    """At one level: what keeps time, and the bass, are under the snare, by no more than 12 LU of single strokes."""
    labels = ("snare", "ride", "closed-hat", "hat-foot", "bass")
    heard = {}
    for label in labels:
        surface = SURFACES[label]
        samples, gain = strokes_of(font_of(), {(surface.key, 88)}, 48000)[surface.key, 88]
        heard[label] = loudness(np.pad(samples * gain, ((0, 48000), (0, 0)))[:24000], 48000)
    assert all(0 < heard["snare"] - heard[label] <= 12 for label in labels[1:]), heard


def test_a_feathered_bass_is_heard_under_the_ride() -> None:
    """In its own octaves, 40 to 160 Hz, a feathered stroke is at least 10 dB above the ride it is played under."""
    mean = {}
    for key, velocity in ((36, 28), (51, 88)):
        samples, gain = strokes_of(font_of(), {(key, velocity)}, 48000)[key, velocity]
        power = np.abs(np.fft.rfft(np.pad(samples[:4800], ((0, 4800), (0, 0)))[:4800, 0] * gain)) ** 2
        mean[key] = power[4:17].sum()  # ten hertz a place
    assert 10 * np.log10(mean[36] / mean[51]) > 10


def test_velocities_between_are_made_up_as_the_font_would_have_it() -> None:
    """A stroke raised from a neighbouring velocity is as loud as the synthesizer plays it at its own."""
    font = font_of()
    samples, gain = strokes_of(font, {(38, 80)}, 48000)[38, 80]
    played = audio_strokes._played(font, [(38, 80)], 1.5, 48000)
    assert np.abs(samples).max() * gain == pytest.approx(np.abs(played[38, 80]).max(), rel=0.02)


def test_the_same_file_makes_the_same_bytes() -> None:
    """Bytes do not depend on what was played before."""
    midi = play_along(page_of(), PlayAlong(1))
    first = wav_of(midi)
    audio_strokes._kept.cache_clear()
    wav_of(loop(page_of("RH ride t t t t; LH snare g X g x")))
    assert wav_of(midi) == first


def test_a_stroke_is_the_same_whatever_it_is_played_with() -> None:
    """Nothing of a loud stroke, its reverb least of all, is left in the next, so any order makes the same bytes."""
    wanted = [(key, velocity) for key in (36, 38, 40, 42, 51) for velocity in (28, 88, 127)]
    font = replace(font_of(), layered=True)
    together = strokes_of(font, wanted, 48000)
    audio_strokes._kept.cache_clear()
    for each in reversed(wanted):
        samples, gain = strokes_of(font, [each], 48000)[each]
        assert np.array_equal(samples, together[each][0])
        assert gain == together[each][1]
        audio_strokes._kept.cache_clear()


def test_a_font_of_layers_is_played_at_more_velocities() -> None:
    """Where a sound may be another at another velocity, strokes are made of nearer ones."""
    plain, layered = font_of(), replace(font_of(), layered=True)
    assert not plain.layered
    for font, gain in ((plain, (80 / 101) ** 2), (layered, (80 / 88) ** 2)):
        assert strokes_of(font, [(38, 80)], 48000)[38, 80][1] == pytest.approx(gain)


def test_click_and_music_apart_are_the_whole() -> None:
    """Played together the two are the play-along, and the count-in is the music's."""
    midi = play_along(page_of(), PlayAlong(1))
    whole, apart = wav_of(midi), wavs_apart(midi)
    music, click = samples_in(apart.music.data), samples_in(apart.click.data)
    assert len(music) == len(click) == len(samples_in(whole.data))
    assert np.allclose(music + click, samples_in(whole.data), atol=4e-5)
    bar = round(2.4 * 48000)
    assert music[:bar].any()
    assert not click[:bar].any()
    assert click[bar : bar + 4800].any()
    assert max(apart.music.peak_dbfs, apart.click.peak_dbfs) < -1


def test_loudness_is_stated() -> None:
    """A 997 Hz tone in one channel at full scale is -3.01 LUFS: ITU-R BS.1770-5 (2023), annex 1."""
    tone = np.sin(2 * np.pi * 997 * np.arange(48000 * 3) / 48000)
    assert loudness(np.stack([tone, 0 * tone], axis=1), 48000) == pytest.approx(-3.01, abs=0.1)


def test_a_peak_between_frames_is_found() -> None:
    """A tone of a quarter of the rate, taken at 45 degrees, swings 3 dB higher than its frames (BS.1770-5, annex 2)."""
    tone = np.sin(np.pi / 2 * np.arange(48000) + np.pi / 4)
    assert true_peak(np.stack([tone, tone], axis=1)[1000:-1000]) == pytest.approx(1, rel=0.05)


def test_silence_is_silence() -> None:
    """A page on which nothing is struck is as long as any, and minus infinity loud."""
    sound = wav_of(loop(page_of("RF bass . . . .")), seamless=True)
    assert (sound.peak_dbfs, sound.loudness) == (float("-inf"), float("-inf"))
    assert len(samples_in(sound.data)) == round(2.4 * 48000)


# ---- what is refused -------------------------------------------------------------------------------------------------


def test_another_rate_is_refused() -> None:
    """There are two rates."""
    with pytest.raises(OptionError, match="--rate 22050; a WAV file has 44100 or 48000 frames a second"):
        wav_of(loop(page_of()), rate=22050)


@pytest.mark.parametrize("data", [b"", b"MThd", b"no MIDI"])
def test_what_is_no_midi_file_is_refused(data: bytes) -> None:
    """No traceback for bytes that are something else."""
    with pytest.raises(ReadError, match="no MIDI file"):
        wav_of(data)


def damaged(data: bytes) -> dict[str, bytes]:
    """Fonts that are none, by what their error says."""
    phdr = data.index(b"phdr") + 8
    pbag = data.index(b"pbag") + 8
    bank, count = phdr + 22, int.from_bytes(data[phdr - 4 : phdr], "little") // 38
    drumless = bytearray(data)
    for index in range(count):
        drumless[bank + 38 * index : bank + 38 * index + 2] = struct.pack("<H", 0)
    return {
        "is empty": b"",
        "is no sound font": b"RIFF\x24\0\0\0WAVEfmt ",
        "is cut off": data[:-1000],
        "is damaged: a number in its list pbag points outside its list pgen": data[:pbag]
        + b"\xff\xff"
        + data[pbag + 2 :],
        "has no drum set: its banks are 0": bytes(drumless),
    }


def test_a_font_of_ones_own(tmp_path: Path) -> None:
    """A copy of the usual font sounds like it; fonts that cannot be read are refused by name, with what is allowed."""
    usual = font_of()
    own = tmp_path / "own.sf2"
    own.write_bytes(usual.data)
    midi = loop(page_of("RF bass x x x x"))
    assert wav_of(midi, font=own) == wav_of(midi)
    for number, (words, data) in enumerate(damaged(usual.data).items()):
        bad = tmp_path / f"bad {number}.sf2"
        bad.write_bytes(data)
        with pytest.raises(ReadError, match=rf"bad {number}.sf2 {words}.*; a sound font is a .sf2 or .sf3 file"):
            wav_of(midi, font=bad)
    for missing in (tmp_path / "none.sf2", tmp_path):
        with pytest.raises(
            ReadError, match=f"{missing.name} cannot be opened: .*; a sound font is a .sf2 or .sf3 file"
        ):
            wav_of(midi, font=missing)


def with_one_drum(data: bytes, *, compressed: bool) -> bytes:
    """The usual font with all its sounds but the snare's silent, as ``.sf2`` or, that sound in Ogg Vorbis, ``.sf3``."""
    smpl, shdr = data.index(b"smpl") + 8, data.index(b"shdr") + 8
    frames = np.frombuffer(data, "<i2", int.from_bytes(data[smpl - 4 : smpl], "little") // 2, smpl)
    count = int.from_bytes(data[shdr - 4 : shdr], "little") // 46
    silence = ogg_of(np.zeros(64, np.int16))
    sounds, headers = bytearray(), bytearray()
    for index in range(count):
        head = list(struct.unpack_from("<20sIIIIIBbHH", data, shdr + 46 * index))
        start, end = head[1:3]
        sound = frames[start:end] if b"snare" in head[0].lower() else np.zeros(64, np.int16)
        at = len(sounds) if compressed else len(sounds) // 2
        if compressed:
            sounds += ogg_of(sound) if sound.any() else silence
            head[1:5], head[9] = [at, len(sounds), 0, len(sound) - 1], head[9] | 0x10
        else:
            sounds += sound.astype("<i2").tobytes() + bytes(92)
            head[1:5] = [at, at + len(sound), at, at + len(sound) - 1]
        headers += struct.pack("<20sIIIIIBbHH", *head)
    ifil = b"ifil" + struct.pack("<IHH", 4, 3 if compressed else 2, 1)
    pdta = data.index(b"phdr")
    lists = (
        b"INFO" + ifil,
        b"sdta" + chunk(b"smpl", sounds),
        b"pdta" + data[pdta : shdr - 8] + chunk(b"shdr", headers),
    )
    return chunk(b"RIFF", b"sfbk" + b"".join(chunk(b"LIST", each) for each in lists))


def chunk(name: bytes, data: bytes | bytearray) -> bytes:
    """A RIFF chunk."""
    return name + struct.pack("<I", len(data)) + bytes(data) + bytes(len(data) % 2)


def ogg_of(sound: np.ndarray) -> bytes:
    """A sound in Ogg Vorbis."""
    import soundfile

    out = io.BytesIO()
    soundfile.write(out, sound, 44100, format="OGG", subtype="VORBIS")
    return out.getvalue()


def test_a_font_with_compressed_sounds(tmp_path: Path) -> None:
    """A ``.sf3`` sounds like the ``.sf2`` it was made of, as far as compression lets it; a broken one is refused."""
    midi = loop(page_of("LH snare x . x x"))
    fonts = {name: with_one_drum(font_of().data, compressed=name == "small.sf3") for name in ("plain.sf2", "small.sf3")}
    for name, data in fonts.items():
        (tmp_path / name).write_bytes(data)
    heard = [samples_in(wav_of(midi, font=tmp_path / name, seamless=True).data) for name in fonts]
    plain, small = heard
    assert level(plain) > -40
    assert level(small) == pytest.approx(level(plain), abs=2)
    assert level(plain - small) < level(plain) - 6
    broken = fonts["small.sf3"].replace(b"OggS", b"no!!", 1)
    (tmp_path / "broken.sf3").write_bytes(broken)
    with pytest.raises(ReadError, match=r"broken.sf3 is damaged: its sound '.*' cannot be decoded; a sound font is"):
        wav_of(midi, font=tmp_path / "broken.sf3")


def test_brushes_are_heard_where_the_file_asks_for_them() -> None:
    """A file that chooses the drum set of brushes has taps of another sound; sticks stay byte for byte as they were."""
    page = page_of("RH snare x . x .; RF bass x . . .")
    sticks, brushes = (samples_in(wav_of(loop(page, program=program)).data) for program in (0, BRUSHES))
    assert wav_of(loop(page, program=0)) == wav_of(loop(page))
    first = round(0.3 * 48000)
    size = min(len(sticks), len(brushes), first)
    assert not np.allclose(sticks[:size], brushes[:size], atol=0.05)
    again = mido.MidiFile(file=io.BytesIO(play_along(page, PlayAlong(1), program=BRUSHES)))
    chosen = {track.name: [one.program for one in track if one.type == "program_change"] for track in again.tracks}
    assert chosen["right hand"] == chosen["right foot"] == [BRUSHES]


@pytest.mark.parametrize("key", [36, 41, 42, 44, 45, 46, 50, 51, 53, 59, 76])
def test_what_is_no_brush_is_as_loud_beside_brushes(key: int) -> None:
    """Feet, hats, toms, rides and click keep their loudness within 1 dB in the other drum set."""
    heard = [
        level(samples[: 48000 // 2] * gain)
        for samples, gain in (strokes_of(font_of(), {(key, 88)}, 48000, set_)[key, 88] for set_ in (0, BRUSHES))
    ]
    assert abs(heard[0] - heard[1]) < 1
