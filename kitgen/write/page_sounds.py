"""The WAV files of a page: its loop without a seam, its play-along, and the click apart where it is asked for."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from kitgen.write.audio_level import SILENCE
from kitgen.write.played import Hearing
from kitgen.write.wav import Sound, wav_of, wavs_apart


class Sounds(NamedTuple):
    """What is heard of a page.

    Args:
        files: name and bytes by kind: ``wav``, ``play_wav``, ``click_wav``.
        said: what the manifest says of them.
    """

    files: Mapping[str, tuple[str, bytes]]
    said: Mapping[str, Any]


def page_sounds(
    loop: bytes, along: bytes | None, hearing: Hearing | None, *, stem: str, along_stem: str = ""
) -> Sounds:
    """The WAV files of a page.

    Args:
        loop: the MIDI file that loops.
        along: the one to play along with, on the keys of General MIDI as the loop is; None for none.
        hearing: how they are heard; None for as usual.
        stem: the loop's name without its ending.
        along_stem: the same of what is to be played along with; as the loop's unless said.
    """
    font, rate, apart = hearing or Hearing()
    name = along_stem or stem
    sounds = {"wav": (f"{stem}.wav", wav_of(loop, font=font, seamless=True, rate=rate))}
    if along is not None and apart:
        music, click = wavs_apart(along, font=font, rate=rate)
        sounds |= {"play_wav": (f"{name}.play.wav", music), "click_wav": (f"{name}.click.wav", click)}
    elif along is not None:
        sounds["play_wav"] = (f"{name}.play.wav", wav_of(along, font=font, rate=rate))
    said = {kind: _said(sound) for kind, (_, sound) in sounds.items()}
    return Sounds(
        {kind: (file, sound.data) for kind, (file, sound) in sounds.items()},
        {"font": "General MIDI" if font is None else font.name, "rate": rate, **said},
    )


def _said(sound: Sound) -> dict[str, float | None]:
    return {
        "seconds": round(sound.seconds, 3),
        "loudness_lufs": _or_none(sound.loudness),
        "true_peak_dbfs": _or_none(sound.peak_dbfs),
    }


def _or_none(level: float) -> float | None:
    """A level as JSON can say it: nothing for silence."""
    return None if level == SILENCE else level
