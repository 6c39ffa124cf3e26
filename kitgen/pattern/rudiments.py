"""The forty international drum rudiments as data.

Conventions: strokes of one time through, starting with R, the hand that leads; lengths in the rudiment's own units,
whole numbers, the last one with the rest that follows it; ``unit`` says what a unit is usually written as, in quarters.
Every primary stroke is a stroke of its own (open rolls are not abbreviated); grace strokes belong to the stroke they
lead to, and a multiple bounce is one stroke that buzzes.

Sources: numbers, names and families are those of the International Drum Rudiments sheet (Percussive Arts Society,
1984). The sheet itself was not at hand: stickings are as commonly taught, lengths and accents as remembered; where
teachers' sheets are known to differ, ``doubt`` says in what.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

from kitgen.errors import PatternError, UnknownNameError
from kitgen.pattern.hit import Ornament

FAMILIES = ("roll", "diddle", "flam", "drag")
USUAL = "single-paradiddle"
"""The rudiment meant where nobody names one: the first that makes the hands swap."""

_OTHER = {"R": "L", "L": "R"}
_WORD = re.compile(r"(ll?(?=R)|rr?(?=L)|)([RL])(z?)(>?)([1-9]\d*|)")
_GRACED = (None, Ornament.FLAM, Ornament.DRAG)


class Primary(NamedTuple):
    """A primary stroke of a rudiment.

    Args:
        hand: ``R`` or ``L``.
        length: until the next one, in the rudiment's units.
        accent: True if accented.
        ornament: flam or drag for grace strokes of the other hand before it, buzz for a multiple bounce.
    """

    hand: str
    length: int = 1
    accent: bool = False
    ornament: Ornament | None = None

    @property
    def graces(self) -> int:
        """Grace strokes of the other hand before it: 0, 1 or 2."""
        return _GRACED.index(self.ornament) if self.ornament in _GRACED else 0

    @property
    def mirrored(self) -> "Primary":
        """The same with the other hand."""
        return self._replace(hand=_OTHER[self.hand])

    def __str__(self) -> str:
        return _OTHER[self.hand].lower() * self.graces + self.hand


@dataclass(frozen=True)
class Rudiment:
    """A rudiment.

    Args:
        number: its place in the list of forty.
        name: as options have it.
        family: one of ``FAMILIES``.
        unit: what its unit is usually written as, in quarters; parts of three stand for triplets in a simple meter.
        strokes: the primary strokes of one time through, starting with R.
        alternates: the next time through starts with the other hand.
        doubt: in what sheets and teachers differ, empty where they are not known to.

    Raises:
        PatternError: no stroke, a start on the left, a family there is not.
    """

    number: int
    name: str
    family: str
    unit: Fraction
    strokes: tuple[Primary, ...]
    alternates: bool
    doubt: str = ""

    def __post_init__(self) -> None:
        if not self.strokes or self.strokes[0].hand != "R":
            raise PatternError(f"the rudiment {self.name} has to start with a stroke of R; its mirror starts with L")
        if self.family not in FAMILIES:
            raise PatternError(f"the rudiment {self.name}: no family {self.family!r}; one of {', '.join(FAMILIES)}")

    @property
    def title(self) -> str:
        """Its name as a title: ``Drag paradiddle #1``."""
        words = re.sub(r"(?<!paradiddle)-", " ", re.sub(r"-(?=[12]$)", " #", self.name)).capitalize()
        return words.replace("army", "Army")

    @property
    def length(self) -> int:
        """One time through, in the rudiment's own units."""
        return sum(stroke.length for stroke in self.strokes)

    @property
    def mirrored(self) -> tuple[Primary, ...]:
        """The strokes of one time through that starts with L."""
        return tuple(stroke.mirrored for stroke in self.strokes)

    @cached_property
    def cycle(self) -> tuple[Primary, ...]:
        """The strokes until it starts again with the same hand: once through, or twice where it alternates."""
        return self.strokes + self.mirrored if self.alternates else self.strokes

    @property
    def sticking(self) -> str:
        """Its sticking as printed under notes, grace strokes in small letters.

        >>> rudiment("single-paradiddle").sticking, rudiment("single-ratamacue").sticking
        ('R L R R', 'llR L R L')
        """
        return " ".join(map(str, self.strokes))


def rudiment(name: str) -> Rudiment:
    """The rudiment of a name or number.

    Args:
        name: as in ``RUDIMENTS``, or as the trade writes it, or a number from 1 to 40.

    Raises:
        UnknownNameError: no such rudiment; names the nearest.

    >>> rudiment("16") is rudiment("Single Paradiddle") is RUDIMENTS["single-paradiddle"]
    True
    """
    plain = re.sub(r"[\s_#-]+", "-", name.strip().lower()).strip("-")
    if plain.isdecimal() and 1 <= int(plain) <= len(RUDIMENTS):
        return list(RUDIMENTS.values())[int(plain) - 1]
    if plain in RUDIMENTS:
        return RUDIMENTS[plain]
    plain = re.sub(r"^\d+(?=-)", lambda number: _NUMBERS.get(number[0], number[0]), plain)
    likely = (plain,) if plain in RUDIMENTS else _ALSO_CALLED.get(plain, ())
    raise UnknownNameError("rudiment", name, list(RUDIMENTS), likely=likely)


_NUMBERS = {
    "5": "five", "6": "six", "7": "seven", "9": "nine", "10": "ten", "11": "eleven", "13": "thirteen",
    "15": "fifteen", "17": "seventeen",
}  # fmt: skip

_ALSO_CALLED = {
    "paradiddle": ("single-paradiddle",),
    "paradiddles": ("single-paradiddle", "double-paradiddle", "triple-paradiddle"),
    "paradiddle-diddle": ("single-paradiddle-diddle",),
    **dict.fromkeys(("singles", "single-strokes", "alternating"), ("single-stroke-roll",)),
    **dict.fromkeys(("doubles", "double-strokes", "double-stroke-roll", "open-roll"), ("double-stroke-open-roll",)),
    **dict.fromkeys(("buzz", "buzz-roll", "press-roll", "closed-roll"), ("multiple-bounce-roll",)),
    **dict.fromkeys(("ruff", "half-drag"), ("drag",)),
    **dict.fromkeys(("mill", "flammed-mill"), ("single-flammed-mill",)),
    **dict.fromkeys(("ratamacue", "ratamacues"), ("single-ratamacue", "double-ratamacue", "triple-ratamacue")),
    "drag-paradiddle": ("drag-paradiddle-1", "drag-paradiddle-2"),
    "drag-tap": ("single-drag-tap", "double-drag-tap"),
    "dragadiddle": ("single-dragadiddle",),
}


def _open_roll(strokes: int, release: int) -> tuple[str, bool]:
    """An open roll of an odd number of strokes: doubles, then an accented single; and whether the hands swap.

    The single falls to the hand that started if an even number of doubles came before it, and then the other hand
    is next.
    """
    doubles = strokes // 2
    words = [hand for _, hand in zip(range(doubles), "RL" * doubles, strict=False) for _ in "12"]
    return f"{' '.join(words)} {'RL'[doubles % 2]}>{release}", doubles % 2 == 0


_SWAPS, _STAYS = True, False
_RELEASE = "how long the last stroke is"

_TABLE: tuple[tuple[str, str, str, str, bool, str], ...] = (
    # name, family, unit, strokes: graces, hand, z for a bounce, > for an accent, length if not 1; hands; doubt
    ("single-stroke-roll", "roll", "1/4", "R L", _STAYS, ""),
    ("single-stroke-four", "roll", "1/6", "R L R L3", _STAYS, "16th triplet and eighth, or both twice as long"),
    ("single-stroke-seven", "roll", "1/6", "R L R L R L R6", _SWAPS, "its rhythm, a sextuplet and a quarter"),
    ("multiple-bounce-roll", "roll", "1/2", "Rz Lz", _STAYS, ""),
    ("triple-stroke-roll", "roll", "1/3", "R R R L L L", _STAYS, ""),
    ("double-stroke-open-roll", "roll", "1/4", "R R L L", _STAYS, ""),
    ("five-stroke-roll", "roll", "1/8", *_open_roll(5, 4), _RELEASE),
    ("six-stroke-roll", "roll", "1/4", "R>2 L L R R L>2", _STAYS,
     "some accent strokes 1 and 4; some play an even sextuplet"),
    ("seven-stroke-roll", "roll", "1/8", *_open_roll(7, 2), _RELEASE),
    ("nine-stroke-roll", "roll", "1/8", *_open_roll(9, 8), _RELEASE),
    ("ten-stroke-roll", "roll", "1/8", "R R L L R R L L R>2 L>6", _STAYS, ""),
    ("eleven-stroke-roll", "roll", "1/8", *_open_roll(11, 6), _RELEASE),
    ("thirteen-stroke-roll", "roll", "1/8", *_open_roll(13, 4), _RELEASE),
    ("fifteen-stroke-roll", "roll", "1/8", *_open_roll(15, 2), _RELEASE),
    ("seventeen-stroke-roll", "roll", "1/8", *_open_roll(17, 16), _RELEASE),
    ("single-paradiddle", "diddle", "1/4", "R> L R R", _SWAPS, ""),
    ("double-paradiddle", "diddle", "1/6", "R> L R L R R", _SWAPS, "some accent stroke 3 too"),
    ("triple-paradiddle", "diddle", "1/4", "R> L R L R L R R", _SWAPS, "some accent strokes 3 and 5 too"),
    ("single-paradiddle-diddle", "diddle", "1/6", "R> L R R L L", _STAYS, ""),
    ("flam", "flam", "1", "lR rL", _STAYS, ""),
    ("flam-accent", "flam", "1/3", "lR> L R", _SWAPS, ""),
    ("flam-tap", "flam", "1/2", "lR> R", _SWAPS, ""),
    ("flamacue", "flam", "1/4", "lR L> R L lR4", _SWAPS, "which hand the closing flam falls to, and its accent"),
    ("flam-paradiddle", "flam", "1/4", "lR> L R R", _SWAPS, ""),
    ("single-flammed-mill", "flam", "1/4", "lR> R L R", _SWAPS, ""),
    ("flam-paradiddle-diddle", "flam", "1/6", "lR> L R R L L", _SWAPS,
     "whether the hands swap; without the flam (19) they do not"),
    ("pataflafla", "flam", "1/4", "lR> L R rL>", _STAYS, ""),
    ("swiss-army-triplet", "flam", "1/3", "lR> R L", _STAYS, "some swap the hands; the accent"),
    ("inverted-flam-tap", "flam", "1/4", "lR> L rL> R", _STAYS, "four strokes, or two and the hands swap"),
    ("flam-drag", "flam", "1/6", "lR>2 L L R2", _SWAPS, "some write the double in the middle as grace strokes"),
    ("drag", "drag", "1", "llR rrL", _STAYS, "its name, half drag or ruff to some"),
    ("single-drag-tap", "drag", "1/2", "llR L>", _SWAPS, ""),
    ("double-drag-tap", "drag", "1/2", "llR llR L>", _SWAPS, ""),
    ("lesson-25", "drag", "1/4", "llR L R>2", _STAYS, "some swap the hands"),
    ("single-dragadiddle", "drag", "1/8", "R> R L2 R2 R2", _SWAPS, "the accent on the first stroke"),
    ("drag-paradiddle-1", "drag", "1/4", "R>2 llR L R R", _SWAPS, ""),
    ("drag-paradiddle-2", "drag", "1/4", "R>2 llR2 llR L R R", _SWAPS, ""),
    ("single-ratamacue", "drag", "1/6", "llR L R L>3", _SWAPS, ""),
    ("double-ratamacue", "drag", "1/6", "llR3 llR L R L>3", _SWAPS, ""),
    ("triple-ratamacue", "drag", "1/6", "llR3 llR3 llR L R L>3", _SWAPS, ""),
)  # fmt: skip


def _strokes(words: str) -> Iterator[Primary]:
    """Strokes from their words in the table."""
    for word in words.split():
        found = _WORD.fullmatch(word)
        assert found is not None, word
        graces, hand, bounce, accent, length = found.groups()
        ornament = Ornament.BUZZ if bounce else _GRACED[len(graces)]
        yield Primary(hand, int(length or 1), bool(accent), ornament)


RUDIMENTS: dict[str, Rudiment] = {
    name: Rudiment(number, name, family, Fraction(unit), tuple(_strokes(words)), alternates, doubt)
    for number, (name, family, unit, words, alternates, doubt) in enumerate(_TABLE, start=1)
}
