"""Any readable file, told apart by its ending and by what is in it, as a page, a line, a pattern or a take."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from kitgen.errors import ReadError
from kitgen.line import Line
from kitgen.page import Page
from kitgen.pattern import Pattern
from kitgen.pattern.take import Take
from kitgen.read.lines import MIDI_ENDINGS, SCORE_ENDINGS, TEXT_ENDINGS, bytes_of, number_of, text_of

if TYPE_CHECKING:
    import mido

_DRUMS = 9


@dataclass(frozen=True, slots=True)
class Found:
    """What a file turned out to be, its name, and what was left out of it, a sentence each."""

    name: str
    what: Page | Line | Pattern | Take
    remarks: tuple[str, ...] = ()


def read_anything(path: Path, *, part: str | None = None, unfold: bool = False, pads: str = "auto") -> Found:
    """Whatever a file holds.

    Args:
        path: a text, MIDI or score file.
        part: part of a score or track of a MIDI file, by name or number.
        unfold: play out a score's repeats.
        pads: pad map of a take.

    Raises:
        ReadError: it cannot be read, or is nothing this package reads.
    """
    ending = path.suffix.lower()
    data = bytes_of(path)
    if ending in TEXT_ENDINGS:
        from kitgen.read.text import page_of_text

        return Found(path.name, page_of_text(text_of(data, path), path.stem))
    if ending in MIDI_ENDINGS:
        from kitgen.read.midi import is_ours, page_of_midi
        from kitgen.read.smf import load
        from kitgen.read.takes import read_take

        midi = load(path)
        if is_ours(midi):
            return Found(path.name, page_of_midi(midi, path))
        if pads == "auto" and not _is_drums(midi):
            from kitgen.read.midi_line import line_from_midi

            return Found(path.name, line_from_midi(path, part=number_of(part))[0])
        return Found(path.name, read_take(path, pads=pads))
    if ending in SCORE_ENDINGS:
        from kitgen.read.scores import drums_from_score, line_read

        drums = drums_from_score(path, part=number_of(part), unfold=unfold)
        if drums.pattern is not None:
            return Found(path.name, drums.pattern, drums.remarks)
        return Found(path.name, *line_read(path, part=number_of(part), unfold=unfold))
    if ending == ".toml":
        raise ReadError(f"{path.name}: a .toml file has no rows to show; kitgen check reads styles and charts")
    raise ReadError(
        f"{path.name}: cannot tell what kind of file this is; readable are "
        f"{', '.join((*TEXT_ENDINGS, *MIDI_ENDINGS, *SCORE_ENDINGS))}"
    )


def _is_drums(midi: "mido.MidiFile") -> bool:
    """True if anything is played on the drum channel, or a track is named after a limb."""
    from kitgen.kit import LIMBS

    limbs = {limb.words for limb in LIMBS}
    notes = (message for track in midi.tracks for message in track if message.type == "note_on")
    return any(message.channel == _DRUMS for message in notes) or any(track.name in limbs for track in midi.tracks)
