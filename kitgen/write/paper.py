"""The paper a page is printed on: its size, its margins, and how big the print is.

Conventions: lengths in points, 72 to the inch. The left margin leaves room for the holes of a binder. Sizes: US Letter
is 8.5 by 11 inches (ANSI/ASME Y14.1), A4 is 210 by 297 millimetres (ISO 216).
"""

from dataclasses import dataclass

from kitgen.errors import OptionError

_MILLIMETRE = 72 / 25.4

SIZES = {"letter": (612.0, 792.0), "a4": (210 * _MILLIMETRE, 297 * _MILLIMETRE)}
"""Width and height by name."""

PRINTS = {"normal": (20.0, 10.5), "large": (28.0, 14.0)}
"""Height of the staff and size of the text by name; large print starts at 14 points (common practice)."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper.

    Args:
        size: ``letter`` or ``a4``.
        print: ``normal`` or ``large``, of notes and text together.

    Raises:
        OptionError: a size or print there is not.

    >>> Paper().width_pt, Paper("a4").music_width_pt < Paper().music_width_pt
    (612.0, True)
    """

    size: str = "letter"
    print: str = "normal"

    def __post_init__(self) -> None:
        for what, given, allowed in (("paper", self.size, SIZES), ("print size", self.print, PRINTS)):
            if given not in allowed:
                raise OptionError(f"no {what} is called {given!r}; there are {', '.join(allowed)}")

    @property
    def width_pt(self) -> float:
        """From edge to edge."""
        return SIZES[self.size][0]

    @property
    def height_pt(self) -> float:
        """From top to bottom."""
        return SIZES[self.size][1]

    @property
    def left_pt(self) -> float:
        """The margin with the holes: 7/8 of an inch."""
        return 63.0

    @property
    def right_pt(self) -> float:
        """The outer margin."""
        return 45.0

    @property
    def top_pt(self) -> float:
        """The margin above, in which a running head stands."""
        return 48.0

    @property
    def music_width_pt(self) -> float:
        """Between the margins: how wide a system is."""
        return round(self.width_pt - self.left_pt - self.right_pt, 2)

    @property
    def staff_pt(self) -> float:
        """Height of the five lines."""
        return PRINTS[self.print][0]

    @property
    def text_pt(self) -> float:
        """Size of the text."""
        return PRINTS[self.print][1]

    @property
    def lengths(self) -> dict[str, float]:
        """All of these, as a template reads them."""
        return {
            "width": self.width_pt,
            "height": self.height_pt,
            "left": self.left_pt,
            "right": self.right_pt,
            "top": self.top_pt,
            "music": self.music_width_pt,
            "text": self.text_pt,
        }


USUAL_PAPER = Paper()
