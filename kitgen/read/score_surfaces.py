"""Which surface a written notehead means.

In this order: what the score says in this program's words; the MIDI key of the note's instrument, a General MIDI
percussion key; the instrument's name or standard sound; the part's name where it says one instrument; the staff place
with the shape of the head (:mod:`kitgen.read.score_places`). A sign over a hat opens or closes it; one written below
the staff is closed by the foot.
"""

from collections.abc import Sequence
from typing import NamedTuple

from kitgen.errors import UnknownNameError
from kitgen.kit import HATS, surface_of_key
from kitgen.read.score_places import TABLES, place_name, table_for
from kitgen.read.score_sounds import (
    is_off_the_kit,
    is_percussion_key,
    key_words,
    surface_of_key_by_others,
    surface_said,
)
from kitgen.read.score_written import Notehead

AUTO = "auto"


class Told(NamedTuple):
    """What a notehead means: a surface's label, or what it is that has none; both empty for a melody's note."""

    label: str
    unknown: str = ""


class Reader:
    """Reads noteheads of one part.

    Args:
        heads: all noteheads of the part.
        part: the part's name.
        places: the table of staff places, a name of ``TABLES``; ``auto`` takes the one they speak for.

    Raises:
        UnknownNameError: no such table.
    """

    def __init__(self, heads: Sequence[Notehead], part: str = "", places: str = AUTO) -> None:
        if places != AUTO and places not in TABLES:
            raise UnknownNameError("table of staff places", places, [AUTO, *TABLES])
        self.part = part
        self.only_one = surface_said(part)
        self.off_the_kit = is_off_the_kit(part)
        placed = [(head.step, head.shape) for head in heads if head.step is not None and not self._said(head)]
        self.by_place = bool(placed) and not self.only_one and not self.off_the_kit
        self.places = table_for(placed) if places == AUTO else places

    def read(self, head: Notehead) -> Told:
        """What a notehead means."""
        told = self._said(head) or self._by_part_or_place(head)
        return told._replace(label=_of_hat(told.label, head) if told.label in HATS else told.label)

    def _said(self, head: Notehead) -> Told | None:
        """What the score says in words or by a key; None where it says nothing."""
        if head.surface:
            return Told(head.surface)
        if head.limb and head.key is not None and (own := surface_of_key(head.key)):
            return Told(own.label)
        if head.key is not None and is_percussion_key(head.key):
            label = surface_of_key_by_others(head.key)
            return Told(label, "" if label else key_words(head.key))
        if label := surface_said(head.sound):
            return Told(label)
        if is_off_the_kit(head.sound):
            return Told("", f"the instrument {head.sound!r}")
        return None

    def _by_part_or_place(self, head: Notehead) -> Told:
        if not head.unpitched:
            return Told("")
        if self.only_one:
            return Told(_by_shape(self.only_one, head.shape))
        if self.off_the_kit:
            return Told("", f"the instrument {self.part!r}")
        if head.step is None:
            named = head.sound or ("" if head.key is None else f"MIDI key {head.key}")
            return Told("", f"the instrument {named!r}" if named else "a head on a place that names no drum")
        if head.shape == "slash":
            return Told("", "a rhythmic slash")
        label = TABLES[self.places].get((head.step, head.shape), "")
        return Told(label, "" if label else f"{_a(head.shape)} head on {place_name(head.step)}")


def _a(shape: str) -> str:
    return f"an {shape}" if shape[:1] in "aeioux" else f"a {shape}"


def _by_shape(label: str, shape: str) -> str:
    """On a part of one drum the head tells the stick on the rim from the stroke."""
    return {"x": "cross-stick", "slashed": "rim-shot"}.get(shape, label) if label == "snare" else label


def _of_hat(label: str, head: Notehead) -> str:
    """A hat written below the staff is the foot's, whatever instrument it is; a sign opens or closes it."""
    if head.step is not None and head.step < 0:
        return "hat-foot"
    return f"{head.hat}-hat" if head.hat else label
