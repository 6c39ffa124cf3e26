"""Heads that the engraver cannot draw as they should be, drawn here.

The engraver ends the program it runs in when asked for a glyph its font lacks, and sets a head that is wider than its
body, as a slashed one is, beside the chord it belongs to. So a head of the right width that no surface has stands in
for it in the document, and is swapped in the picture. Outlines are in the units of the font, 250 a staff space, y
upwards. Source of names and code points: W3C Music Notation Community Group, SMuFL 1.4, 2021, "Noteheads" and "Slashed
noteheads".
"""

import re
from typing import NamedTuple


class Glyph(NamedTuple):
    """A glyph: its code point, the one that stands in for it, and its outlines, filled by the even-odd rule."""

    code: str
    stands_in: str
    outlines: tuple[str, ...]


_OVAL = "M283 61C258 118 176 138 100 103C23 69 -17 -5 9 -61C34 -118 116 -138 192 -103C269 -69 309 5 283 61z"
_HOLLOW = "M262 75C247 98 183 86 119 44C55 3 15 -52 30 -75C45 -98 109 -86 173 -44C237 -3 277 52 262 75z"
_SLASH = "M-62 -158l-17 24l434 292l17 -24z"
_CROSS = (
    "M0 -63L62 -125L147 -62L232 -125L294 -63L209 0L294 63L232 125L147 62L62 125L0 63L85 0z"
    "M38 -63L68 -93L147 -30L226 -93L256 -63L177 0L256 63L226 93L147 30L68 93L38 63L117 0z"
)
_WIDE_CROSS = (
    "M63 -63L125 -125L210 -62L295 -125L357 -63L272 0L357 63L295 125L210 62L125 125L63 63L148 0z"
    "M101 -63L131 -93L210 -30L289 -93L319 -63L240 0L319 63L289 93L210 30L131 93L101 63L180 0z"
)

CROSS_HALF = Glyph("E0A8", "E0B6", (_CROSS,))
"""noteheadXHalf"""
CROSS_WHOLE = Glyph("E0A7", "E0B5", (_WIDE_CROSS,))
"""noteheadXWhole"""
TRIANGLE = Glyph("E0BE", "E0B9", ("M0 -125l148 250l147 -250z",))
"""noteheadTriangleUpBlack"""
TRIANGLE_HALF = Glyph("E0BC", "E0B8", ("M0 -125l148 250l147 -250zM52 -95h191l-95 162z",))
"""noteheadTriangleUpHalf, also for longer notes."""
SLASHED = Glyph("E0CF", "E0B7", (_OVAL, _SLASH))
"""noteheadSlashedBlack1"""
SLASHED_HALF = Glyph("E0D1", "E0DD", (_OVAL + _HOLLOW, _SLASH))
"""noteheadSlashedHalf1, also for longer notes."""

_ALL = (CROSS_HALF, CROSS_WHOLE, TRIANGLE, TRIANGLE_HALF, SLASHED, SLASHED_HALF)


def swapped(glyphs: str, body: str) -> tuple[str, str]:
    """Definitions of glyphs and what uses them, with the heads that are meant instead of those that stand in."""
    for glyph in _ALL:
        if f'"{glyph.stands_in}-' in glyphs:
            paths = "".join(f'<path transform="scale(1,-1)" fill-rule="evenodd" d="{one}"/>' for one in glyph.outlines)
            own = f'<g id="{glyph.code}-0">{paths}</g>'
            glyphs = re.sub(rf'<g id="{glyph.stands_in}-.*?</g>', own, glyphs, flags=re.DOTALL)
            body = body.replace(f'"#{glyph.stands_in}-', f'"#{glyph.code}-')
    return glyphs, body
