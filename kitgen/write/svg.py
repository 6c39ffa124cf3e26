"""A page as one stand-alone SVG picture: title, tempo, rows under their labels, what is looped apart, the key to heads.

Conventions: lengths in points, from the top left. Words are text, set literally, in families that are everywhere; each
glyph is there once. No references outside the file, no date: same page, same bytes. Source: W3C, Scalable Vector
Graphics (SVG) 1.1, second edition, 2011.
"""

import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from kitgen.page import Page
from kitgen.spell import Choices
from kitgen.spell.choices import USUAL
from kitgen.write.engraving import EngravedRow, Engraving
from kitgen.write.engraving_svg import FONTS, SPACE, Drawn, Picture, taken_apart
from kitgen.write.musicxml_text import xml_words
from kitgen.write.text import feel_words, tempo_words

_MARGIN, _LEAST_WIDTH, _USUAL_SPACE_PT = 18.0, 480.0, 5.0
_LETTER = 0.46
"""Width of a letter in sizes of the type, for breaking lines; a little more than Libertinus Serif's mean."""
_GLYPHS = re.compile(r'<g id="(E[0-9A-F]{3})-0">.*?</g>', re.DOTALL)


class _Type(NamedTuple):
    """A kind of words: size in points, how it looks, and the room above it."""

    size: float
    look: str
    above: float


_TITLE = _Type(18, ' font-weight="bold"', 0)
_HEADING = _Type(10, "", 0)
_TEMPO = _Type(11, ' font-style="italic"', 3)
_LABEL = _Type(11.5, ' font-weight="bold"', 14)
_APART = _Type(11.5, "", 20)


def page_svg(page: Page, engraving: Engraving, choices: Choices = USUAL) -> bytes:
    """The picture of a page, as bytes of an SVG file.

    Args:
        page: the page.
        engraving: its rows, engraved.
        choices: how they are written.

    Raises:
        WriteError: pictures that the engraver did not make.
    """
    pictures = (*(one for row in (*engraving.rows, *engraving.kernels) for one in row.systems), *engraving.key)
    width = max(_LEAST_WIDTH, *(one.width_pt for one in pictures))
    sheet = _Sheet(width, _size(engraving))
    if page.heading:
        sheet.words(page.heading, _HEADING)
    sheet.words(page.title, _TITLE)
    written = ", written in triplets" if choices.swing == "triplets" else ""
    feel = f"; {feel_words(page)}{written}" if page.feel.unit else ""
    sheet.words(f"{tempo_words(page.tempo)}{feel}", _TEMPO)
    for row in engraving.rows:
        sheet.row(row)
    if engraving.kernels:
        sheet.words("To loop on the side", _APART)
        for row in engraving.kernels:
            sheet.row(row)
    if engraving.key:
        sheet.words("Key to the heads", _APART)
        sheet.pictures(engraving.key)
    return sheet.svg(page.title).encode()


def _size(engraving: Engraving) -> float:
    """How much larger than usual the staff is, and the words with it; never smaller."""
    one = engraving.rows[0].systems[0]
    return max(1.0, one.width_pt / taken_apart(one).width * SPACE / _USUAL_SPACE_PT)


class _Sheet:
    """A picture that grows downwards."""

    def __init__(self, width: float, size: float) -> None:
        self.width = width
        self.size = size
        self.y = _MARGIN
        self.parts: list[str] = []
        self.glyphs: dict[str, str] = {}

    def words(self, text: str, kind: _Type) -> None:
        """Words in as many lines as they take."""
        size = kind.size * self.size
        self.y += kind.above
        for line in _lines(text, self.width / (size * _LETTER)):
            self.y += size * 1.25
            self.parts.append(
                f'<text x="{_MARGIN:g}" y="{round(self.y - size * 0.25, 2):g}" font-size="{round(size, 2):g}"'
                f"{kind.look}>{xml_words(line)}</text>\n"
            )

    def row(self, row: EngravedRow) -> None:
        """A label, then its systems."""
        times = f", {row.times} times" if row.times > 1 else ""
        self.words(f"{row.label}{times}", _LABEL)
        self.pictures(row.systems)

    def pictures(self, systems: Iterable[Picture]) -> None:
        """Pictures one under the other."""
        for one in systems:
            self.y += 5
            self.parts.append("".join(self._placed(one, taken_apart(one))))
            self.y += one.height_pt

    def _placed(self, one: Picture, drawing: Drawn) -> Iterator[str]:
        self.glyphs |= {found[1]: found[0] for found in _GLYPHS.finditer(drawing.glyphs)}
        scale = one.width_pt / drawing.width
        y = self.y - drawing.top * scale
        yield f'<g transform="translate({_MARGIN:g} {round(y, 3):g}) scale({scale:.6g})">'
        yield drawing.body
        yield "</g>\n"

    def svg(self, title: str) -> str:
        """The whole picture."""
        width, height = round(self.width + 2 * _MARGIN, 2), round(self.y + _MARGIN, 2)
        glyphs = "".join(self.glyphs[code] for code in sorted(self.glyphs))
        inside = f"<defs>{glyphs}</defs>\n{''.join(self.parts)}".replace('-0"', '"')
        return (
            '<?xml version="1.0" encoding="UTF-8"?>\n'
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}pt" height="{height:g}pt" '
            f'viewBox="0 0 {width:g} {height:g}" font-family="{FONTS}">\n<title>{xml_words(title)}</title>\n'
            f'<rect width="100%" height="100%" fill="white"/>\n{inside}</svg>\n'
        )


def _lines(text: str, letters: float) -> list[str]:
    """Text in lines of about so many letters; a word that is longer is broken."""
    most, lines = max(8, int(letters)), list[str]()
    parts = (word[at : at + most] for word in text.split() for at in range(0, len(word), most))
    for part in parts:
        if lines and len(lines[-1]) + 1 + len(part) <= most:
            lines[-1] += f" {part}"
        else:
            lines.append(part)
    return lines
