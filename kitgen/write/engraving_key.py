"""The key to heads: every surface of a page on the staff, as it is written there, with its name beneath.

Surfaces stand in the order of the table of surfaces, cymbals first; stems are those of the page. Names are set in lines
that fit their column.
"""

from collections.abc import Iterator
from math import ceil
from typing import NamedTuple

from kitgen.kit import SURFACES
from kitgen.spell import Score
from kitgen.write.engraving_mei import document
from kitgen.write.engraving_notes import head_of

KEY_SCALE = 0.85
"""A key is so much smaller than the rows."""
CAPTION = 2.1
"""Size of the names, in staff spaces."""
_COLUMN, _HEAD = 14.0, 5.0
_LETTER = 0.46
"""Width of a letter, in sizes of the type; the mean of Libertinus Serif's lower case."""


class KeySystem(NamedTuple):
    """A system of the key: its document, its width in staff spaces, lines of words for each head."""

    document: str
    width: float
    captions: tuple[tuple[str, ...], ...]


def key_systems(score: Score, width: float) -> Iterator[KeySystem]:
    """The key of a score, in systems of at most so many staff spaces."""
    stems = stems_of(score)
    labels = [label for label in SURFACES if label in stems]
    if not labels:
        return
    most = max(1, int((width - _HEAD) // _COLUMN))
    rows = ceil(len(labels) / most)
    each = ceil(len(labels) / rows)
    for first in range(0, len(labels), each):
        own = labels[first : first + each]
        notes = "".join(_note(label, stems[label]) for label in own)
        measure = f'<measure right="invis"><staff n="1"><layer n="1">{notes}</layer></staff></measure>'
        captions = tuple(wrapped(SURFACES[label].words, _COLUMN / CAPTION / _LETTER) for label in own)
        yield KeySystem(document(f"{len(own)}/4", measure, meter=False), _HEAD + _COLUMN * len(own), captions)


def stems_of(score: Score) -> dict[str, str]:
    """Which way the stem of each surface points where it first stands."""
    found: dict[str, str] = {}
    for section in (*score.sections, *score.kernels):
        for measure in section.measures:
            for voice in measure.voices:
                for event in voice.events:
                    for stroke in event.strokes:
                        if stroke.shown:
                            found.setdefault(stroke.surface, voice.stem)
    return found


def _note(label: str, stem: str) -> str:
    surface = SURFACES[label]
    sign = '<artic artic="open" place="above"/>' if label == "open-hat" else ""
    return f'<note dur="4" stem.dir="{stem}"{head_of(surface.place, surface.head, "quarter")}>{sign}</note>'


def wrapped(words: str, letters: float) -> tuple[str, ...]:
    """Words in lines of at most so many letters; a longer word has a line to itself."""
    lines = [""]
    for word in words.split():
        joined = f"{lines[-1]} {word}".strip()
        if lines[-1] and len(joined) > letters:
            lines.append(word)
        else:
            lines[-1] = joined
    return tuple(lines)
