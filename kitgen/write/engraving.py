"""A page engraved: a picture a system, for whoever sets the page.

Labels, titles and tempo are not in the pictures; stickings, counts and bar numbers at the starts of systems are, in a
box at every eighth bar of a row. Bars are numbered as they are played, as in the ``.mid``. Rows equal in all that is
drawn are engraved once.
"""

import hashlib
from collections import OrderedDict
from collections.abc import Iterator, Mapping, Sequence
from math import inf
from typing import NamedTuple

from kitgen.errors import OptionError
from kitgen.page import Page
from kitgen.spell import Choices, Score, Section, spell_page
from kitgen.spell.choices import USUAL
from kitgen.write.engraving_key import CAPTION, KEY_SCALE, key_systems
from kitgen.write.engraving_mei import Document, Look, row_document
from kitgen.write.engraving_svg import Drawn, Picture, captioned, drawn, numbered, picture
from kitgen.write.engraving_systems import System, loop_systems, page_systems, wider, written_out

_REMEMBERED = 512
"""Documents whose drawings are kept, the last that were asked for."""
_LEAST_HEIGHTS = 5
_MOST_TRIES = 6
"""How often a row is given more room where its words touch: four bars to two, to one, then a wider one."""


class EngravedRow(NamedTuple):
    """A row, a picture a system.

    Args:
        label: its label.
        times: how often it is played.
        systems: its pictures.
    """

    label: str
    times: int
    systems: tuple[Picture, ...]


class Engraving(NamedTuple):
    """A page in pictures.

    Args:
        rows: its rows.
        kernels: what is looped apart from them.
        key: each surface of the page on the staff, with its name.
    """

    rows: tuple[EngravedRow, ...]
    kernels: tuple[EngravedRow, ...]
    key: tuple[Picture, ...]


def engrave(
    page: Page,
    choices: Choices = USUAL,
    *,
    keys: Mapping[str, int] | None = None,  # noqa: ARG001  asked of every writer; no key is in the pictures
    bar_repeats: bool = False,
    width_pt: float,
    staff_pt: float,
) -> Engraving:
    """The pictures of a page.

    Args:
        page: the page.
        choices: how it is written.
        keys: MIDI keys by surface, where not General MIDI's.
        bar_repeats: a bar equal to the one before is a repeat sign.
        width_pt: width of a full system, in points.
        staff_pt: height of the staff of five lines, in points.

    Raises:
        SpellingError: a rhythm no note values write; names row, bar and count, and offers the nearest.
        WriteError: the engraver cannot draw it.
        OptionError: no staff, or one too high for the width.
    """
    if not 0 < staff_pt * _LEAST_HEIGHTS <= width_pt < inf:
        raise OptionError(
            f"a staff {staff_pt:g} points high on a width of {width_pt:g} points; "
            f"the width is at least {_LEAST_HEIGHTS} times the height"
        )
    score = spell_page(page, choices)
    if not bar_repeats:
        score = score._replace(sections=tuple(map(written_out, score.sections)))
    space = staff_pt / 4
    width = width_pt / space
    rows, kernels = [], []
    placed = zip(score.sections, page_systems(score.sections, width), page.row_bars(), strict=True)
    for index, (section, systems, (_, bar, _)) in enumerate(placed):
        is_last = index == len(score.sections) - 1
        look = Look(section.measures[0].shows_meter, section.times > 1, is_last)
        rows.append(_engraved(section, systems, look, (width, space), bar))
    for section in map(written_out, score.kernels):
        look = Look(section.measures[0].shows_meter, loops=True)
        kernels.append(_engraved(section, loop_systems(section, width), look, (width, space)))
    return Engraving(tuple(rows), tuple(kernels), tuple(_key(score, width, space)))


def _engraved(
    section: Section, systems: Sequence[System], look: Look, paper: tuple[float, float], bar: int = 0
) -> EngravedRow:
    """A row, on paper so many staff spaces of so many points wide; ``bar`` numbers its first bar, 0 for no numbers."""
    width, space = paper
    drawings, clear = _drawings(systems, look)
    for _ in range(_MOST_TRIES):
        if all(clear):
            break
        systems = wider(systems, clear, width)
        drawings, clear = _drawings(systems, look)
    pictures, before = [], 0
    for system, drawing in zip(systems, drawings, strict=True):
        number = bar + before if bar else 0
        smaller = min(1.0, width / system.width)
        is_mark = before > 0 and bool(system.measures[0].mark)
        shown = numbered(drawing, number, mark=is_mark) if number > 1 else drawing
        pictures.append(picture(shown, space * smaller))
        before += len(system.measures)
    return EngravedRow(section.label, section.times, tuple(pictures))


def _drawings(systems: Sequence[System], look: Look) -> "_Drawings":
    document = row_document([system.measures for system in systems], look)
    return _remembered(document, tuple(system.width for system in systems))


def _key(score: Score, width: float, space: float) -> Iterator[Picture]:
    """The surfaces of a score on the staff."""
    for mei, across, captions in key_systems(score, width / KEY_SCALE):
        ((drawing,), _) = _remembered(Document(mei), (across,))
        yield picture(captioned(drawing, captions, CAPTION), space * KEY_SCALE)


_Drawings = tuple[list[Drawn], list[bool]]
_MEMORY: OrderedDict[str, _Drawings] = OrderedDict()


def _remembered(document: Document, widths: tuple[float, ...]) -> _Drawings:
    """The drawings of a document, from memory if it was drawn before."""
    named = f"{widths} {document.depth} {sorted(document.words.items())} {document.mei}"
    name = hashlib.sha256(named.encode()).hexdigest()
    found = _MEMORY.pop(name, None)
    if found is None:
        found = drawn(document, widths)
    _MEMORY[name] = found
    while len(_MEMORY) > _REMEMBERED:
        _MEMORY.popitem(last=False)
    return found
