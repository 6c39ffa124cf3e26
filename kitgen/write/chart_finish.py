"""What a system of a chart lacks as the engraver draws it: the frame of its mark, and the note of a tempo.

The engraver's own note is a letter of a font that may not be there, so one is drawn here.
"""

import re

from kitgen.write.chart_mei import TEMPO
from kitgen.write.engraving_svg import Drawn

_WORDS = re.compile(rf'<text x="(-?\d+)" y="(-?\d+)"[^>]*>(?:(?!</text>).)*?{TEMPO}', re.DOTALL)
_NOTE = (
    '<g transform="translate({x} {y})"><ellipse cx="75" cy="-62" rx="82" ry="56" transform="rotate(-24 75 -62)"/>'
    '<path d="M145 -80V-420" fill="none" stroke="black" stroke-width="26"/></g>'
)
_ROOM = "\N{NO-BREAK SPACE}" * 4
_FRAME = re.compile(r'(<g class="reh">\s*)<rect (?:stroke="black" )?stroke-width="20" fill-opacity="0"')


def finished(drawing: Drawn) -> Drawn:
    """A drawing with its mark framed, and a quarter note at each place where the document has the sign for it."""
    notes = "".join(_NOTE.format(x=found[1], y=found[2]) for found in _WORDS.finditer(drawing.body))
    body = _FRAME.sub(r'\1<rect stroke="black" stroke-width="28" fill="none"', drawing.body)
    return drawing._replace(body=body.replace(TEMPO, _ROOM) + notes)
