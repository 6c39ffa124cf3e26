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
    "kitgen.kit": ("Kit", "Limb"),
    "kitgen.pattern": (
        "EVEN",
        "Feel",
        "Hit",
        "Level",
        "Ornament",
        "Pattern",
        "Take",
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
    "kitgen.page": ("Page", "Row"),
    "kitgen.apply": ("in_limb", "ostinato", "pass_linear"),
}
_HOME = {name: room for room, names in _ROOMS.items() for name in names}
__all__ = ["__version__", *sorted(_HOME)]

if TYPE_CHECKING:
    from kitgen.apply import in_limb, ostinato, pass_linear
    from kitgen.errors import KitgenError
    from kitgen.kit import Kit, Limb
    from kitgen.line import Line, Note
    from kitgen.page import Page, Row
    from kitgen.pattern import (
        EVEN,
        Feel,
        Hit,
        Level,
        Ornament,
        Pattern,
        Take,
        mirror,
        orchestrate,
        performed,
        project,
        reverse,
        silence,
        straighten,
        stretch,
        swing,
        tile,
    )
    from kitgen.time import Meter, Meters


def __getattr__(name: str) -> object:
    if name in _HOME:
        from importlib import import_module

        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'kitgen' has no attribute {name!r}")


def __dir__() -> list[str]:
    return __all__
