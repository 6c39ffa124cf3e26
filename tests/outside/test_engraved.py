"""What is drawn, by the names of the standard for music fonts, and the pictures as other programs read them."""

import re
from pathlib import Path

import pytest
from lxml import etree

from kitgen.kit import SURFACES
from kitgen.write.engraving_notes import head_of
from kitgen.write.engraving_svg import picture, taken_apart
from kitgen.write.svg import page_svg
from tests.write.engraving_reading import engraved, glyphs, row, trees
from tests.write.musicxml_reading import page_with

SMUFL = {
    "noteheadWhole": "E0A2", "noteheadHalf": "E0A3", "noteheadBlack": "E0A4",
    "noteheadXWhole": "E0A7", "noteheadXHalf": "E0A8", "noteheadXBlack": "E0A9",
    "noteheadDiamondHalf": "E0D9", "noteheadDiamondBlack": "E0DB",
    "noteheadTriangleUpHalf": "E0BC", "noteheadTriangleUpBlack": "E0BE",
    "noteheadSlashedBlack1": "E0CF", "noteheadSlashedHalf1": "E0D1",
    "brassMuteOpen": "E5E7", "brassMuteClosed": "E5E5", "articAccentAbove": "E4A0", "articAccentBelow": "E4A1",
    "buzzRoll": "E22A", "tremolo1": "E220", "unpitchedPercussionClef1": "E069", "repeat1Bar": "E500",
    "restWhole": "E4E3", "restHalf": "E4E4", "restQuarter": "E4E5", "rest8th": "E4E6", "rest16th": "E4E7",
    "noteheadParenthesisLeft": "E0F5", "augmentationDot": "E1E7",
    "accidentalParensLeft": "E26A", "accidentalParensRight": "E26B",
}  # fmt: skip
"""Code points by name: W3C Music Notation Community Group, Standard Music Font Layout (SMuFL) 1.4, 2021, tables
"Noteheads", "Slashed noteheads", "Brass techniques", "Articulation", "Tremolos", "Rests" and others."""

HEADS = {
    "normal": ("noteheadBlack", "noteheadHalf"),
    "x": ("noteheadXBlack", "noteheadXHalf"),
    "diamond": ("noteheadDiamondBlack", "noteheadDiamondHalf"),
    "triangle": ("noteheadTriangleUpBlack", "noteheadTriangleUpHalf"),
    "slash": ("noteheadSlashedBlack1", "noteheadSlashedHalf1"),
}
"""The names of the heads in the table of surfaces, of quarters and of halves."""


@pytest.mark.parametrize("label", SURFACES)
@pytest.mark.parametrize(("boxes", "which"), [("x x x x", 0), ("x . x .", 1)])
def test_heads_have_their_names_in_the_standard(label: str, boxes: str, which: int) -> None:
    """Each surface's head, black on quarters and hollow on halves."""
    surface = SURFACES[label]
    limb = surface.side + ("H" if surface.struck_by == "hand" else "F")
    (root,) = trees(row(f"{limb} {label} {boxes}"))
    name = HEADS[surface.head][which]
    assert glyphs(root)[SMUFL[name]] == 4 - 2 * which


@pytest.mark.parametrize(
    ("rows", "name"),
    [
        ("RH open-hat x x x x", "brassMuteOpen"),
        ("RH open-hat x . . .; RH closed-hat . x x x", "brassMuteClosed"),
        ("RH snare X x x x", "articAccentAbove"),
        ("RF bass X x x x", "articAccentBelow"),
        ("RH snare x x x x; buzz RH x . . .", "buzzRoll"),
        ("RH snare x x x x; diddle RH x . . .", "tremolo1"),
        ("RH snare x x x x", "unpitchedPercussionClef1"),
        ("RH snare . . . .", "restWhole"),
        ("RH snare x . .x x", "rest8th"),
    ],
)
def test_signs_have_their_names_in_the_standard(rows: str, name: str) -> None:
    """Circle and plus of the hat, accents, rolls, clef and rests."""
    (root,) = trees(row(rows))
    assert glyphs(root)[SMUFL[name]] >= 1


def test_the_engravers_font_calls_its_glyphs_so() -> None:
    """Every glyph drawn, but for the heads drawn here, stands in the font's own list under its name above."""
    import verovio

    table = (Path(verovio.__file__).parent / "data" / "Bravura.xml").read_text("utf-8")
    listed = dict(re.findall(r'<g c="([0-9A-F]{4})"[^>]* n="([^"]+)"', table))
    ours = {code: name for name, code in SMUFL.items()}
    drawn_here = {"E0A7", "E0A8", "E0BC", "E0BE", "E0CF", "E0D1"}
    for code in ours.keys() & listed.keys() - drawn_here:
        assert listed[code] == ours[code]
    assert {"E0A4", "E0A9", "E0DB", "E5E7", "E22A", "E069"} <= ours.keys() & listed.keys()


def test_the_engravers_font_has_every_head_asked_of_it() -> None:
    """A head its font lacks would end the program; every head that documents ask for stands in the font's list."""
    import verovio

    table = (Path(verovio.__file__).parent / "data" / "Bravura.xml").read_text("utf-8")
    asked = {
        code
        for surface in SURFACES.values()
        for value in ("breve", "whole", "half", "quarter", "eighth", "64th")
        for code in re.findall(r"U\+([0-9A-F]{4})", head_of(surface.place, surface.head, value))
    }
    assert asked <= set(re.findall(r'<g c="([0-9A-F]{4})"', table))
    assert "E0A9" in asked


def test_lxml_reads_a_whole_page() -> None:
    """Another parser reads the page; it has the same glyphs as its rows and key, and each is defined once."""
    page = page_with("RH open-hat x . x .; LH rim-shot . X . X; RF bass x x x x", times=2)
    found = engraved(page)
    root = etree.fromstring(page_svg(page, found))
    elements = list(root.iter())
    names = [name for element in elements if (name := element.get("id"))]
    used = [href for element in elements if (href := element.get("href"))]
    assert len(set(names)) == len(names)
    assert {f"#{name}" for name in names} == set(used)
    parts = [*found.rows[0].systems, *found.key]
    assert len(used) == sum(one.svg.count("<use ") for one in parts)


def test_a_picture_is_taken_apart_and_put_together() -> None:
    """The drawing of a picture makes the same picture."""
    (one,) = row("RH snare x x x x", times=2).systems
    assert picture(taken_apart(one), 5.0) == one
