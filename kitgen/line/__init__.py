"""Rhythm lines: the value, the three ways to type one, cells and generators.

Conventions: positions and lengths in quarters, exact; a line has no instrument. Notations and their rules are
in :mod:`kitgen.line.boxes`, :mod:`kitgen.line.counts` and :mod:`kitgen.line.values`.
"""

from kitgen.line.boxes import groups_of as line_groups
from kitgen.line.generators import cells, evenly, rests
from kitgen.line.notation import NOTATIONS, counted_not_valued, notation_of, parse, render
from kitgen.line.value import Line, Mark, Note

__all__ = [
    "NOTATIONS",
    "Line",
    "Mark",
    "Note",
    "cells",
    "counted_not_valued",
    "evenly",
    "line_groups",
    "notation_of",
    "parse",
    "render",
    "rests",
]
