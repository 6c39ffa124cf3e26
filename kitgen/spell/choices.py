"""What a teacher may choose about how a page is written."""

from dataclasses import dataclass

from kitgen.errors import UnknownNameError
from kitgen.spell.beams import EIGHTHS
from kitgen.spell.voices import LAYOUTS
from kitgen.time import SYSTEMS

SWINGS = ("words", "triplets")
RESTS = ("written", "counted")
STICKINGS = ("auto", "all", "none")


@dataclass(frozen=True, slots=True)
class Choices:
    """How a page is written.

    Args:
        layout: which limbs share a voice: ``auto``, ``hands-feet``, ``one`` or ``time-line``.
        eighths: beamed in ``fours`` that fill half a bar, or by ``beats``.
        swing: a swung page is written even, with ``words`` that say so, or in ``triplets``.
        rests: whole bars of rest are each ``written``, or ``counted`` under one number.
        stickings: R and L under strokes of the hands: ``all``, ``none``, or ``auto``: in rows where the hands play on
            drums alone and take turns on one, so that nothing else says which hand it is.
        counts: what is said under the notes: ``numbers``, ``beat-function``, or empty for nothing.
        count_quarters: number the quarters of each bar instead of the meter's beats.

    Raises:
        UnknownNameError: a choice there is not.
    """

    layout: str = "auto"
    eighths: str = "fours"
    swing: str = "words"
    rests: str = "written"
    stickings: str = "auto"
    counts: str = ""
    count_quarters: bool = False

    def __post_init__(self) -> None:
        for what, given, allowed in (
            ("layout", self.layout, LAYOUTS),
            ("beaming of eighths", self.eighths, EIGHTHS),
            ("way to write swing", self.swing, SWINGS),
            ("way to write rests", self.rests, RESTS),
            ("way to print stickings", self.stickings, STICKINGS),
            ("counting system", self.counts, ("", *SYSTEMS)),
        ):
            if given not in allowed:
                raise UnknownNameError(what, given, allowed)


USUAL = Choices()
