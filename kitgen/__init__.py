"""Rhythm lines in, drum-set pages out.

    >>> from kitgen import Line, in_limb, ostinato
    >>> line = Line.parse("1 & 2 e & a 3 4 &")
    >>> over_samba = in_limb(line, "LH", "snare") | ostinato("samba")
    >>> over_samba.span
    Fraction(4, 1)

Names are loaded when first used, so importing the package costs next to nothing.
"""

from typing import TYPE_CHECKING

__version__ = "0.1.0"

_ROOMS = {
    "kitgen.errors": ("KitgenError",),
    "kitgen.time": ("Meter", "Meters"),
    "kitgen.line": ("Line", "Note"),
    "kitgen.kit": ("Kit", "Limb", "Player", "player"),
    "kitgen.pattern": (
        "EVEN",
        "Feel",
        "Hit",
        "Level",
        "Ornament",
        "Pattern",
        "mirror",
        "orchestrate",
        "performed",
        "project",
        "reverse",
        "silence",
        "straighten",
        "stretch",
        "swing",
        "tile",
    ),
    "kitgen.pattern.playability": ("playability",),
    "kitgen.pattern.sticking": ("Stroke", "stick"),
    "kitgen.pattern.take": ("Take",),
    "kitgen.page": ("Page", "Row"),
    "kitgen.apply": ("in_limb", "ostinato", "pass_linear"),
}
_HOME = {name: room for room, names in _ROOMS.items() for name in names}
__all__ = ["__version__", *sorted(_HOME)]

if TYPE_CHECKING:
    from kitgen.apply import in_limb as in_limb
    from kitgen.apply import ostinato as ostinato
    from kitgen.apply import pass_linear as pass_linear
    from kitgen.errors import KitgenError as KitgenError
    from kitgen.kit import Kit as Kit
    from kitgen.kit import Limb as Limb
    from kitgen.kit import Player as Player
    from kitgen.kit import player as player
    from kitgen.line import Line as Line
    from kitgen.line import Note as Note
    from kitgen.page import Page as Page
    from kitgen.page import Row as Row
    from kitgen.pattern import EVEN as EVEN
    from kitgen.pattern import Feel as Feel
    from kitgen.pattern import Hit as Hit
    from kitgen.pattern import Level as Level
    from kitgen.pattern import Ornament as Ornament
    from kitgen.pattern import Pattern as Pattern
    from kitgen.pattern import mirror as mirror
    from kitgen.pattern import orchestrate as orchestrate
    from kitgen.pattern import performed as performed
    from kitgen.pattern import project as project
    from kitgen.pattern import reverse as reverse
    from kitgen.pattern import silence as silence
    from kitgen.pattern import straighten as straighten
    from kitgen.pattern import stretch as stretch
    from kitgen.pattern import swing as swing
    from kitgen.pattern import tile as tile
    from kitgen.pattern.playability import playability as playability
    from kitgen.pattern.sticking import Stroke as Stroke
    from kitgen.pattern.sticking import stick as stick
    from kitgen.pattern.take import Take as Take
    from kitgen.time import Meter as Meter
    from kitgen.time import Meters as Meters


def __getattr__(name: str) -> object:
    if name in _HOME:
        from importlib import import_module

        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'kitgen' has no attribute {name!r}")


def __dir__() -> list[str]:
    return __all__
