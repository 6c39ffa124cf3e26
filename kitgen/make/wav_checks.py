"""Whether the WAV files of a folder last as long as what is heard in them.

A loop lasts exactly its bars, to the frame, a play-along and its click at least as long as theirs: those of the MIDI
file they are of, where it is beside them, else of the page once through. A MIDI file, and so the sound, holds the
length of a quarter in whole microseconds.
"""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any

from kitgen.errors import KitgenError
from kitgen.make.again import made_again
from kitgen.make.series_checks import page_of_entry
from kitgen.page import Page
from kitgen.page.kinds import HEARD_OF
from kitgen.read.smf import load, tempo_map, tracks_of
from kitgen.read.wav import lasting

_LOOPS = ("wav", "without_wav")
_US_A_MINUTE = 60_000_000


def check_wav(folder: Path, kind: str, entry: Mapping[str, Any]) -> Iterator[str]:
    """Findings about a WAV file.

    Args:
        folder: the folder of the manifest.
        kind: one of ``kitgen.page.kinds.SOUNDS``.
        entry: what the manifest says of its page.

    Raises:
        ReadError: it, or what it is held against, cannot be read.
    """
    frames, rate = lasting(folder / entry["files"][kind])
    midi = entry["files"].get(HEARD_OF[kind], "")
    if midi and (folder / midi).is_file():
        least_s, what = _midi_seconds(folder / midi), f"{midi} lasts"
    elif (page := _page_of(folder, entry)) is not None:
        least_s, what = page_seconds(page), "its bars last"
    else:
        return
    off = frames - round(least_s * rate)
    if (kind in _LOOPS and abs(off) > 1) or off < -1:
        yield f"it lasts {frames / rate:.3f} s; {what} {least_s:.3f} s"


def page_seconds(page: Page) -> float:
    """How long a page lasts once through, in seconds."""
    bars = page.bars
    tempi = [(1, page.tempo.start), *page.tempo_changes, (len(bars) + 1, page.tempo.start)]
    seconds = 0.0
    for (first, bpm), (after, _) in pairwise(tempi):
        quarters = sum(bar.length for bar in bars[first - 1 : after - 1])
        seconds += float(quarters) * round(_US_A_MINUTE / float(bpm * page.tempo.unit)) / 1_000_000
    return seconds


def _midi_seconds(path: Path) -> float:
    file = load(path)
    return tempo_map(file).seconds_at(max(track.end_tick for track in tracks_of(file)))


def _page_of(folder: Path, entry: Mapping[str, Any]) -> Page | None:
    """The page, from its text or else made again; None where it can only be made from files."""
    if "txt" in entry["files"]:
        return page_of_entry(folder, entry)
    try:
        return made_again(str(entry["recipe"]))
    except (KitgenError, KeyError):
        return None
