"""Patterns: hits over a span, the algebra that combines them, swing, and box rows.

Conventions: onsets and lengths in quarters, exact; hits in order of onset, then limb; one hit a limb an instant.
"""

from kitgen.pattern.algebra import (
    mirror,
    orchestrate,
    over,
    project,
    project_line,
    reverse,
    silence,
    stretch,
    tile,
)
from kitgen.pattern.box_blocks import BoxRow
from kitgen.pattern.box_parse import parse_rows
from kitgen.pattern.boxes import render_line, render_rows, rows_of
from kitgen.pattern.feel import EVEN, Feel, auto_ratio
from kitgen.pattern.hit import Hit, Level, Ornament
from kitgen.pattern.swing import performed, straighten, swing
from kitgen.pattern.value import Pattern

__all__ = [
    "EVEN",
    "BoxRow",
    "Feel",
    "Hit",
    "Level",
    "Ornament",
    "Pattern",
    "auto_ratio",
    "mirror",
    "orchestrate",
    "over",
    "parse_rows",
    "performed",
    "project",
    "project_line",
    "render_line",
    "render_rows",
    "reverse",
    "rows_of",
    "silence",
    "straighten",
    "stretch",
    "swing",
    "tile",
]
