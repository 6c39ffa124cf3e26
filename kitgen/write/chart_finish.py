"""What a system of a chart lacks as the engraver draws it: the frame of its mark, and the note of a tempo.

The engraver's own note is a letter of a font that may not be there, so one is drawn here, in the engraver's units.
"""

import re
from fractions import Fraction

from kitgen.write.chart_mei import TEMPO_NOTES
from kitgen.write.engraving_svg import Drawn

_SIGNS = {sign: unit for unit, sign in TEMPO_NOTES.items()}
_WORDS = re.compile(rf'<text x="(-?\d+)" y="(-?\d+)"[^>]*>(?:(?!</text>).)*?([{"".join(_SIGNS)}])', re.DOTALL)
_FRAME = re.compile(r'(<g class="reh">\s*)<rect (?:stroke="black" )?stroke-width="20" fill-opacity="0"')
_MARK = re.compile(r'<g class="reh">(?=\s*<rect [^>]*?x="(-?\d+)")')
_DIGIT, _APART = 150, 60
"""Width of a digit of a bar's number, and what stays free between the number and a mark."""
_ROOM = "\N{NO-BREAK SPACE}" * 3
_FILLED, _HOLLOW = "", ' fill="none" stroke="black" stroke-width="30"'
_STEM = '<path d="M145 -80V-420" fill="none" stroke="black" stroke-width="26"/>'
_FLAG = '<path d="M145 -420C150 -330 260 -310 215 -170C225 -260 170 -280 145 -300z"/>'
_DOT = '<circle cx="225" cy="-62" r="30"/>'


def finished(drawing: Drawn, number: int) -> Drawn:
    """A drawing with its mark framed, and a note at each place where the document has the sign for it.

    Args:
        drawing: of a system.
        number: its first bar's, which stands over the start of the staff from bar 2 on; a wide mark stands beside it.
    """
    least = _APART + _DIGIT * len(str(number)) if number > 1 else _APART
    notes = "".join(_note(int(found[1]), int(found[2]), _SIGNS[found[3]]) for found in _WORDS.finditer(drawing.body))
    body = _FRAME.sub(r'\1<rect stroke="black" stroke-width="28" fill="none"', drawing.body)
    body = _MARK.sub(lambda mark: f'<g class="reh" transform="translate({max(0, least - int(mark[1]))} 0)">', body)
    for sign in _SIGNS:
        body = body.replace(sign, _ROOM)
    return drawing._replace(body=body + notes)


def _note(x: int, y: int, unit: Fraction) -> str:
    """A note of so many quarters, its head standing on a line of words."""
    dotted = unit.numerator == 3
    plain = unit * 2 / 3 if dotted else unit
    hollow = plain >= 2
    size = 'rx="72" ry="46"' if hollow else 'rx="82" ry="56"'
    head = f'<ellipse cx="75" cy="-62" {size} transform="rotate(-24 75 -62)"{_HOLLOW if hollow else _FILLED}/>'
    flag = _FLAG if plain < 1 else ""
    return f'<g transform="translate({x} {y}) scale(0.66)">{head}{_STEM}{flag}{_DOT if dotted else ""}</g>'
