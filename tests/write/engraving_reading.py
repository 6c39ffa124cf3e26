"""Pictures looked at element by element, by an XML parser alone.

Conventions: the drawing's own units, 180 a staff space, y downwards.
"""

import re
from collections import Counter
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import fromstring

from kitgen.page import Page
from kitgen.spell import Choices
from kitgen.write.engraving import EngravedRow, Engraving, engrave
from kitgen.write.engraving_svg import Picture
from tests.write.musicxml_reading import page_with

SVG = "{http://www.w3.org/2000/svg}"
WIDTH_PT, STAFF_PT = 520.0, 20.0
_MOVED = re.compile(r"translate\((-?\d+), ?(-?\d+)\)")


def engraved(page: Page, how: Choices | None = None, *, bar_repeats: bool = False) -> Engraving:
    """A page as a teacher's sheet has it."""
    return engrave(page, how or Choices(), bar_repeats=bar_repeats, width_pt=WIDTH_PT, staff_pt=STAFF_PT)


def row(rows: str, meter: str = "4/4", how: Choices | None = None, *, times: int = 1) -> EngravedRow:
    """The one row of a page of box rows."""
    return engraved(page_with(rows, meter, times=times), how).rows[0]


def tree(picture: Picture) -> Element:
    """A picture, parsed."""
    parsed: Element = fromstring(picture.svg)
    return parsed


def trees(found: EngravedRow) -> list[Element]:
    """All pictures of a row, parsed."""
    return [tree(picture) for picture in found.systems]


def glyphs(root: Element) -> Counter[str]:
    """How often each glyph is drawn, by its code point."""
    return Counter(use.get("href", "")[1:5] for use in root.iter(f"{SVG}use"))


def groups(root: Element, kind: str) -> list[Element]:
    """What is drawn of one kind: ``note``, ``rest``, ``beam`` ..."""
    return [group for group in root.iter(f"{SVG}g") if (group.get("class") or "").split(" ")[0] == kind]


def places(root: Element, kind: str) -> list[tuple[int, int]]:
    """Where the glyphs of one kind of thing stand."""
    return [
        (int(moved[1]), int(moved[2]))
        for group in groups(root, kind)
        for use in group.iter(f"{SVG}use")
        if (moved := _MOVED.search(use.get("transform", "")))
    ]


def heads(root: Element) -> list[tuple[int, int]]:
    """Where heads of full size stand, without the parentheses around them."""
    return [
        (int(moved[1]), int(moved[2]))
        for group in groups(root, "notehead")
        for use in group.iter(f"{SVG}use")
        if use.get("href", "")[1:5] not in ("E26A", "E26B")
        and (how := use.get("transform", "")).endswith("scale(0.72, 0.72)")
        and (moved := _MOVED.search(how))
    ]


def said(root: Element) -> list[list[tuple[float, str]]]:
    """Words of one size with a middle, line by line from above, each with its middle."""
    lines: dict[float, list[tuple[float, str]]] = {}
    for text in root.iter(f"{SVG}text"):
        if text.get("text-anchor") == "middle":
            lines.setdefault(float(text.get("y", "")), []).append((float(text.get("x", "")), text.text or ""))
    return [sorted(lines[y]) for y in sorted(lines)]


def words(root: Element) -> list[list[str]]:
    """The same, without places."""
    return [[word for _, word in line] for line in said(root)]
