"""The engraver: a document in, a picture a page of it out.

One engraver serves all documents, its options set anew for each. Its pictures are made stand-alone and plain: no names
but those of glyphs, which come from the content, lengths in points, text in families that are everywhere. Same
document, same bytes.
"""

import hashlib
import re
from collections.abc import Iterator, Sequence
from functools import cache
from threading import Lock
from typing import Any, NamedTuple

from kitgen.errors import WriteError
from kitgen.write.engraving_glyphs import swapped
from kitgen.write.engraving_mei import Document
from kitgen.write.engraving_words import width_of, with_words
from kitgen.write.musicxml_text import xml_words

SPACE = 180
"""A staff space in the engraver's units."""
FONTS = "Libertinus Serif, Times New Roman, Times, serif"
_NUMBER, _HEAD_WIDTH = 290, 210
"""Size of bar numbers and width of a head, in the same."""
_MARK, _PAD, _RULE = 380, 75, 24
"""Size of rehearsal marks, the room inside their boxes and how thick those are."""
_OPTIONS = {
    "adjustPageHeight": True,
    "pageHeight": 60000,
    "pageMarginLeft": 0,
    "pageMarginRight": 0,
    "pageMarginTop": 0,
    "pageMarginBottom": 0,
    "spacingSystem": 0,
    "spacingStaff": 0,
    "breaks": "encoded",
    "minLastJustification": 0.0,
    "header": "none",
    "footer": "none",
    "font": "Bravura",
    "lyricSize": 4.0,
    "lyricWordSpace": 0.5,
    "beamMaxSlope": 0,
    "multiRestStyle": "block",
    "svgRemoveXlink": True,
    "svgFormatRaw": True,
}
_LOCK = Lock()
_IDS = re.compile(r' id="(?!E[0-9A-F]{3}-)[^"]*"')
_SUFFIX = re.compile(r'id="E[0-9A-F]{3}(-[^"]*")')
_UNSEEN = re.compile(r'<g class="[^"]*">\s*<ellipse [^>]*rx="90"[^>]*/>\s*</g>|<g class="[^"]*" ?/>')
"""What stands for things that are not drawn."""
_STAFF = re.compile(r'<g class="staff">\s*<path (?:stroke="black" )?d="M-?\d+ (\d+)')
_BRACKET = re.compile(
    r'(<g class="tupletNum">)((?:<use [^>]*/>)+)(</g><g class="tupletBracket">)'
    r'<polyline ([^>]*)points="([^"]*)"/><polyline [^>]*points="([^"]*)"/></g>'
)
_OUTER = re.compile(r'<g class="tupletBracket"><polyline [^>]*points="\S+ \d+,(-?\d+)')
_AT = re.compile(r"translate\((-?\d+), (-?\d+)\)")
_HEAD = re.compile(r'class="notehead">\s*<use [^>]*translate\((\d+)')
_DRAWN = ("path", "polyline")
"""What is drawn with lines; the engraver's style sheet says so, which pictures here do without. Beams are filled: with
an outline as well, they would run together on a screen."""
_NEEDLESS = (' font-size="0px"', ' font-family="Times, serif"', ' font-family="Bravura"')
_BREAKS = re.compile(r"\n\s*")
_INNER = re.compile(r'<svg class="definition-scale"[^>]*viewBox="0 0 (\d+) (\d+)"[^>]*>(.*)</svg>\s*</svg>', re.DOTALL)
_PARTS = re.compile(r'viewBox="0 (-?\d+) (\d+) (\d+)".*?<defs>(.*)</defs>(.*)</svg>', re.DOTALL)


class Picture(NamedTuple):
    """A stand-alone SVG picture, its root's width and height in points, with a viewBox.

    Args:
        svg: the picture.
        width_pt: its width.
        height_pt: its height.
    """

    svg: str
    width_pt: float
    height_pt: float


class Drawn(NamedTuple):
    """What the engraver has drawn, in its own units: glyphs, and what uses them; ``top`` is above all of it."""

    glyphs: str
    body: str
    width: int
    height: int
    top: int = 0


@cache
def _toolkit() -> Any:
    import verovio

    verovio.enableLog(verovio.LOG_OFF)
    return verovio.toolkit()


def drawn(document: Document, widths: Sequence[float]) -> tuple[list[Drawn], list[bool]]:
    """The pages of a document, and of each whether words under the staff are all clear of each other.

    Args:
        document: what to draw, a page a system.
        widths: of each page, in staff spaces.

    Raises:
        WriteError: the engraver makes nothing of it.
    """
    with _LOCK:
        pages = list(_pages(_toolkit(), document.mei, widths))
    placed = [_plain(page, document) for page in pages]
    return [drawing for drawing, _ in placed], [clear for _, clear in placed]


def _pages(toolkit: Any, document: str, widths: Sequence[float]) -> Iterator[str]:
    units = [max(100, int(width * SPACE / 10)) for width in widths]
    toolkit.setOptions(_OPTIONS | {"pageWidth": units[0]})
    toolkit.resetXmlIdSeed(1)
    if not toolkit.loadData(document) or toolkit.getPageCount() != len(widths):
        raise WriteError("the engraver could not draw a row; write it as MusicXML instead")
    wide = units[0]
    for page, unit in enumerate(units, start=1):
        if unit != wide:
            toolkit.setOptions({"pageWidth": unit})
            toolkit.redoLayout()
            wide = unit
        yield toolkit.renderToSVG(page)


def _plain(svg: str, document: Document) -> tuple[Drawn, bool]:
    """A page of the engraver as a drawing without names, and whether its words are clear of each other."""
    found = _INNER.search(svg)
    if found is None:
        raise WriteError("the engraver drew something that is no row; write it as MusicXML instead")
    defs = _bare(svg.partition("<defs>")[2].partition("</defs>")[0])
    body = _UNSEEN.sub("", _IDS.sub("", found[3]))
    if of_this_page := _SUFFIX.search(defs):
        defs, body = (part.replace(of_this_page[1], '-0"') for part in (defs, body))
    words = with_words(body, int(found[2]), document.words, top_line=_top_line(body), depth=document.depth)
    body = _bare(words.body)
    for kind in _DRAWN:
        body = body.replace(f"<{kind} ", f'<{kind} stroke="black" ')
    body = _BRACKET.sub(_level, body)
    heights = [int(y) for y in _OUTER.findall(body)]
    top, end = min([0, *(y - _NUMBER // 2 for y in heights)]), max([words.height, *(y + _NUMBER // 2 for y in heights)])
    defs, body = swapped(defs, body)
    return Drawn(defs, body, int(found[1]), end, top), words.clear


def _bare(part: str) -> str:
    """Part of a picture without line breaks and what pictures here do without."""
    for needless in _NEEDLESS:
        part = part.replace(needless, "")
    return _BREAKS.sub("", part) if "\n" in part else part


def _level(bracket: "re.Match[str]") -> str:
    """A tuplet's bracket, and its number, drawn level like beams: as far out as its outer end."""
    sides = [[tuple(map(int, point.split(","))) for point in bracket[side].split()] for side in (5, 6)]
    bars = [y for side in sides for _, y in side[1:]]
    hook = sides[0][0][1] - sides[0][1][1]
    y = min(bars) if hook > 0 else max(bars)
    by = y - (sides[0][2][1] + sides[1][2][1]) // 2
    number = _AT.sub(lambda at: f"translate({at[1]}, {int(at[2]) + by})", bracket[2])
    lines = (f"{side[0][0]},{y + hook} {side[1][0]},{y} {side[2][0]},{y}" for side in sides)
    drawn = "".join(f'<polyline {bracket[4]}points="{line}"/>' for line in lines)
    return f"{bracket[1]}{number}{bracket[3]}{drawn}</g>"


def _top_line(body: str) -> int:
    """Where the top line of the staff is."""
    found = _STAFF.search(body)
    return 0 if found is None else int(found[1])


def numbered(drawing: Drawn, number: int, *, mark: bool = False) -> Drawn:
    """A drawing with the number of its first bar over the start of the staff, boxed where it is a rehearsal mark."""
    base = _top_line(drawing.body) - SPACE * 7 // 10
    if not mark:
        words = f'<text x="0" y="{base}" font-size="{_NUMBER}px" font-style="italic">{number}</text>'
        return drawing._replace(body=drawing.body + words, top=min(drawing.top, base - _NUMBER * 3 // 4))
    base -= _PAD
    high, wide = _MARK * 2 // 3 + 2 * _PAD, round(width_of(str(number)) * _MARK) + 2 * _PAD
    top = base + _PAD - high
    words = (
        f'<rect x="{_RULE // 2}" y="{top}" width="{wide}" height="{high}" fill="none" stroke="black" '
        f'stroke-width="{_RULE}"/><text x="{(wide + _RULE) // 2}" y="{base}" font-size="{_MARK}px" font-weight="bold" '
        f'text-anchor="middle">{number}</text>'
    )
    return drawing._replace(body=drawing.body + words, top=min(drawing.top, top - _RULE))


def captioned(drawing: Drawn, captions: Sequence[Sequence[str]], size: float) -> Drawn:
    """A drawing with words under each of its heads, centred, in lines.

    Args:
        drawing: of notes one after the other.
        captions: lines for each head.
        size: of the words, in staff spaces.
    """
    em = round(size * SPACE)
    base = max(drawing.height, _top_line(drawing.body) + 5 * SPACE)
    places = [int(x) + _HEAD_WIDTH // 2 for x in _HEAD.findall(drawing.body)]
    words = "".join(
        f'<text x="{x}" y="{base + em * (line + 1)}" font-size="{em}px" text-anchor="middle">{xml_words(text)}</text>'
        for x, lines in zip(places, captions, strict=True)
        for line, text in enumerate(lines)
    )
    deep = max(map(len, captions))
    return drawing._replace(body=drawing.body + words, height=base + em * deep + em * 2 // 5)


def picture(drawing: Drawn, space_pt: float) -> Picture:
    """A drawing as a stand-alone picture; a staff space is so many points."""
    high = drawing.height - drawing.top
    width, height = (round(length * space_pt / SPACE, 3) for length in (drawing.width, high))
    own = hashlib.sha256((drawing.glyphs + drawing.body).encode()).hexdigest()[:8]
    inside = f"<defs>{drawing.glyphs}</defs>{drawing.body}".replace('-0"', f'-{own}"')
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}pt" height="{height:g}pt" '
        f'viewBox="0 {drawing.top} {drawing.width} {high}" font-family="{FONTS}">{inside}</svg>\n'
    )
    return Picture(svg, width, height)


def taken_apart(made: Picture) -> Drawn:
    """The drawing a picture was made of.

    Raises:
        WriteError: a picture that was not made here.
    """
    found = _PARTS.search(made.svg)
    if found is None:
        raise WriteError("a picture that the engraver did not make")
    own = _SUFFIX.search(found[4])
    glyphs, body = (part.replace(own[1], '-0"') if own else part for part in (found[4], found[5]))
    return Drawn(glyphs, body, int(found[2]), int(found[3]) + int(found[1]), int(found[1]))
