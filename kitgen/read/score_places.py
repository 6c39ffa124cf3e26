"""What stands where on a percussion staff: clefs, and tables of surfaces by staff place and notehead.

Conventions: a step is counted from the bottom one of five lines, 0, upwards; noteheads have their MusicXML names. Under
a percussion clef places are read as in the treble clef (W3C MusicXML 4.0, element ``unpitched``). Only five lines have
places that mean the same drums in more than one score.

No two books agree on all places. ``usual`` has what most agree on, ``weinberg-1994`` the china cymbal where others have
a second crash, ``pages`` what this program writes, ``top-space`` the hat in the top space with the ride above the
staff, ``middle-line`` the snare on the middle line with the bass below the staff. Sources: for ``weinberg-1994`` N.
Weinberg, "Guidelines for Drumset Notation", Percussive Notes, June 1994, as open engraving libraries give it; for
``usual`` the same but for that cymbal, and common practice; the last two are conventions of schools, from such
libraries.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from kitgen.kit import SURFACES

_LETTERS = "CDEFGAB"
_CLEFS = {"G": ("G", 4, 2), "F": ("F", 3, 4), "C": ("C", 4, 3), "percussion": ("G", 4, 2), "none": ("G", 4, 2)}
"""For each clef the pitch it names and the line that pitch is on where the clef is in its usual place."""
WITHOUT_PLACES = ("TAB", "jianpu")


def diatonic(letter: str, octave: int) -> int:
    """How many steps a pitch is above C0."""
    return 7 * octave + _LETTERS.index(letter)


class Staff(NamedTuple):
    """A staff as far as places on it go.

    Args:
        bottom: the pitch on the bottom line, in steps above C0; None under a clef without pitches.
        percussion: True under a percussion clef.
        lines: how many lines it has.
    """

    bottom: int | None = diatonic("E", 4)
    percussion: bool = False
    lines: int = 5

    def under(self, sign: str, line: int | None, octaves: int = 0) -> "Staff":
        """The staff after a change of clef.

        Raises:
            KeyError: no such clef.
        """
        if sign in WITHOUT_PLACES:
            return self._replace(bottom=None, percussion=False)
        letter, octave, usual = _CLEFS[sign]
        bottom = diatonic(letter, octave) + 7 * octaves - 2 * ((line or usual) - 1)
        return self._replace(bottom=bottom, percussion=sign == "percussion")

    def step(self, letter: str, octave: int) -> int | None:
        """The place of a pitch on the staff; None where places say nothing."""
        if self.bottom is None or self.lines != 5 or letter not in _LETTERS or not letter:
            return None
        return diatonic(letter, octave) - self.bottom


def place_name(step: int) -> str:
    """A place as it is called in the treble clef.

    >>> place_name(0), place_name(9), place_name(-1)
    ('E4', 'G5', 'D4')
    """
    octave, letter = divmod(step + diatonic("E", 4), 7)
    return f"{_LETTERS[letter]}{octave}"


_Place = tuple[int, str]


def _table(*rows: tuple[str, str, str]) -> dict[_Place, str]:
    return {(Staff().step(place[0], int(place[1])) or 0, head): label for label, head, place in rows}


_HEADS = {"slash": "slashed"}
_PAGES = _table(
    *((row.label, _HEADS.get(row.head, row.head), row.place) for row in SURFACES.values() if row.label != "open-hat")
)
_DRUMS = _table(
    ("bass", "normal", "F4"), ("bass", "normal", "E4"), ("bass", "normal", "D4"), ("hat-foot", "x", "D4"),
    ("hat-foot", "x", "E4"), ("hat-foot", "x", "F4"), ("hat-foot", "x", "C4"), ("floor-tom", "normal", "G4"),
    ("floor-tom", "normal", "A4"), ("mid-tom", "normal", "B4"), ("mid-tom", "normal", "D5"),
    ("high-tom", "normal", "E5"), ("high-tom", "normal", "F5"), ("snare", "normal", "C5"), ("cross-stick", "x", "C5"),
    ("cross-stick", "circle-x", "C5"), ("rim-shot", "slashed", "C5"),
)  # fmt: skip
_USUAL = _DRUMS | _table(
    ("closed-hat", "x", "G5"), ("open-hat", "circle-x", "G5"), ("ride", "x", "F5"), ("ride-bell", "diamond", "F5"),
    ("ride-bell", "triangle", "F5"), ("crash", "x", "A5"), ("crash", "circle-x", "A5"), ("crash-2", "x", "B5"),
    ("china", "diamond", "B5"), ("splash", "x", "C6"), ("cowbell", "triangle", "E5"), ("ride", "x", "D5"),
    ("tambourine", "triangle", "B5"),
)  # fmt: skip
_TOP_SPACE = _DRUMS | _table(
    ("closed-hat", "x", "E5"), ("open-hat", "circle-x", "E5"), ("ride", "x", "G5"), ("ride-bell", "diamond", "G5"),
    ("crash", "circle-x", "G5"), ("crash", "x", "A5"), ("crash-2", "x", "B5"), ("cowbell", "triangle", "E5"),
)  # fmt: skip
_MIDDLE_LINE = _table(
    ("bass", "normal", "D4"), ("hat-foot", "x", "B3"), ("floor-tom", "normal", "F4"), ("floor-tom", "normal", "G4"),
    ("snare", "normal", "B4"), ("cross-stick", "x", "B4"), ("mid-tom", "normal", "D5"), ("high-tom", "normal", "E5"),
    ("closed-hat", "x", "G5"), ("open-hat", "circle-x", "G5"), ("ride", "x", "A5"), ("crash", "x", "B5"),
)  # fmt: skip

TABLES: Mapping[str, Mapping[_Place, str]] = MappingProxyType(
    {
        "usual": _USUAL,
        "weinberg-1994": _USUAL | _table(("china", "x", "B5")),
        "pages": _PAGES,
        "top-space": _TOP_SPACE,
        "middle-line": _MIDDLE_LINE,
    }
)


def table_for(struck: Iterable[_Place]) -> str:
    """The name of the table that noteheads speak for.

    ``middle-line`` where normal heads stand on B4 and D4 and none on C5; ``top-space`` where x heads on E5 are no
    fewer than those on G5; else ``usual``.

    >>> table_for([(9, "x"), (5, "normal"), (1, "normal")]), table_for([(7, "x"), (5, "normal"), (1, "normal")])
    ('usual', 'top-space')
    """
    heads = Counter(struck)
    low, middle, third_space = ((step, "normal") for step in (-1, 4, 5))
    if heads[low] and heads[middle] and not heads[third_space]:
        return "middle-line"
    top_space, above = heads[7, "x"], heads[9, "x"]
    return "top-space" if top_space and top_space >= above else "usual"
