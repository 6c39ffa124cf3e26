"""The pages of a library: each pattern of a style at each tempo, and the style played through a form.

Pages are made one at a time, in order of styles, sections and tempi; what cannot be played at a tempo is left out and
said. A tempo outside those a style lives in is served by the patterns that go to the end of its range.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from operator import attrgetter
from typing import Any, NamedTuple

from kitgen.errors import OptionError, RefusedError
from kitgen.kit import Kit, Player, kit, player
from kitgen.make.applied import carried, elements_in
from kitgen.make.library_recipe import USUAL, LibraryRecipe
from kitgen.make.library_styles import library_styles, on_their_side, style_on, without_a_clave
from kitgen.make.library_words import (
    PLAY_ALONG,
    check_limbs,
    check_sections,
    sections_of,
    start_of,
    tempi_of,
    usual_tempi,
)
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Hit
from kitgen.pattern.playability import playability
from kitgen.pattern.swing import with_threes_written
from kitgen.read.styles import style_words
from kitgen.styles import Role, Style, StylePattern
from kitgen.styles.loops import loop_of
from kitgen.styles.on_kit import on_kit
from kitgen.styles.phrasing import phrases_of, rows_of
from kitgen.styles.play_forms import USUAL_FORM, play_form
from kitgen.styles.playing import ENDINGS, OWN, RITARD, RITARD_BARS, SHORT, TAG, Playing


class Section(NamedTuple):
    """One section of one style at all its tempi: what is made in one go.

    Args:
        style: the style's name, or its file.
        name: the pattern, or ``play-along``.
        tempi: the tempi, in the style's unit.
        recipe: the recipe of all of the style.
        by: the player it names, where that is not built in.
        on: the kit, likewise.
    """

    style: str
    name: str
    tempi: tuple[float, ...]
    recipe: LibraryRecipe
    by: Player | None = None
    on: Kit | None = None

    @property
    def made_of(self) -> Style:
        """The style as it is played, on the side of the clave that is asked for."""
        return style_on(self.style, self.recipe.clave)

    @property
    def player(self) -> Player:
        """Who plays."""
        return self.by or player(self.recipe.player)

    @property
    def kit(self) -> Kit:
        """What is played on."""
        return self.on or kit(self.recipe.kit, hand=self.recipe.hand)


class LibraryPage(NamedTuple):
    """A page of a library.

    Args:
        style: the name of its style.
        section: the pattern, or ``play-along``.
        bpm: its tempo, in the style's unit.
        page: the page.
        elements: what it takes to play it.
        ritard: bars at its end that slow down.
    """

    style: str
    section: str
    bpm: float
    page: Page
    elements: tuple[str, ...]
    ritard: int = 0


class Skipped(NamedTuple):
    """A section that is not made at a tempo, and why."""

    style: str
    section: str
    bpm: float
    why: str


def sections_in(
    recipe: LibraryRecipe, given: str | None = None, *, by: Player | None = None, on: Kit | None = None
) -> tuple[Section, ...]:
    """Every section a recipe asks for, in order; its words are seen to be possible before any page is made.

    Args:
        recipe: the recipe.
        given: its styles with the places of their files, where they are in some.
        by: the player it names, where that is not built in.
        on: the kit, likewise.

    Raises:
        KitgenError: words that cannot be.
    """
    styles = on_their_side(library_styles(given or recipe.style), recipe.clave)
    check_sections(tuple(styles.values()), recipe.section)
    start_of(recipe.form, recipe.from_)
    check_limbs(recipe.without, recipe.mute)
    play_form(recipe.form)
    on = on or kit(recipe.kit, hand=recipe.hand)
    if recipe.ending not in ENDINGS:
        raise OptionError(f"--ending {recipe.ending}: it is one of {', '.join(ENDINGS)}")
    asked = None if recipe.tempo is None else tempi_of(recipe.tempo)
    return tuple(
        Section(source, section, asked or usual_tempi(style), _of_style(recipe, source, style), by, on)
        for source, style in styles.items()
        for section in sections_of(style, recipe.section)
    )


def _of_style(recipe: LibraryRecipe, source: str, style: Style) -> LibraryRecipe:
    """The recipe of one style, with the sums of its own files, and without a side where it has no clave."""
    name = style_words(source)[0]
    used = (name, recipe.player, recipe.kit, recipe.font)
    own = tuple(one for one in recipe.sums if one.rpartition(" sha256:")[0] in used)
    return replace(recipe, style=name, sums=own, clave=recipe.clave if style.clave else None)


def outside(sections: Sequence[Section], clave: str | None = None) -> Iterator[str]:
    """A sentence for each style that does not live at tempi asked for; first, who has no clave to turn."""
    firsts = [next(own) for _, own in groupby(sections, key=attrgetter("style"))]
    if words := without_a_clave((first.made_of for first in firsts), clave):
        yield words
    for first in firsts:
        style = first.made_of
        tempi = [f"{bpm:g}" for bpm in first.tempi if not style.tempo.holds(bpm)]
        if tempi:
            said = ", ".join(tempi)
            yield f"{style.name}: {said} bpm is not where it lives, {style.tempo}; made where it can be played"


def pages_of(section: Section) -> Iterator[LibraryPage | Skipped]:
    """The pages of a section, a tempo each."""
    style = section.made_of
    make = _play_along if section.name == PLAY_ALONG else _loop
    known: dict[tuple[tuple[Hit, ...], ...], tuple[str, ...]] = {}  # tempo changes no element
    for bpm in section.tempi:
        try:
            page = make(style, section, bpm)
        except RefusedError as error:
            yield Skipped(style.name, section.name, bpm, str(error))
            continue
        notes = tuple(row.pattern.hits for row in page.rows)
        if notes not in known:
            known[notes] = elements_in(page, section.kit)
        slowing = section.name == PLAY_ALONG and section.recipe.ending == RITARD
        yield LibraryPage(style.name, section.name, bpm, page, known[notes], RITARD_BARS if slowing else 0)


def remade(text: str) -> Page:
    """The page of a recipe that holds all it needs.

    Raises:
        ReadError: not such a recipe, not of one page, or its style or player is in a file.
        RefusedError: it cannot be played at its tempo.
    """
    return LibraryRecipe.parse(text).only(_pages)


def _pages(recipe: LibraryRecipe) -> list[Page]:
    found = [made for section in sections_in(recipe) for made in pages_of(section)]
    pages = [made.page for made in found if isinstance(made, LibraryPage)]
    if not pages:
        raise RefusedError("; ".join(made.why for made in found if isinstance(made, Skipped)))
    return pages


def _loop(style: Style, section: Section, bpm: float) -> Page:
    item, by = style.named(section.name), section.player
    if not _meant(style, item, bpm):
        raise RefusedError(f"it is for {item.tempo}")
    pattern = loop_of(style, item, bpm=bpm, player=by)
    row = Row(section.name.replace("-", " "), pattern)
    usual: dict[str, Any] = {"click": USUAL, "count_in": USUAL, "mute": None, "from_": None, "click_apart": False}
    recipe = replace(section.recipe, form=USUAL_FORM, ending=OWN, **usual)
    return _page(style, section, bpm, (row,), _instruction(item), recipe)


def _play_along(style: Style, section: Section, bpm: float) -> Page:
    recipe = section.recipe
    form = play_form(recipe.form)
    playing = Playing(style, bpm, recipe.seed, section.player, recipe.ending)
    return _page(
        style, section, bpm, rows_of(phrases_of(playing, form)), f"Play along: {form.words}{_ended(recipe)}.", recipe
    )


def _ended(recipe: LibraryRecipe) -> str:
    """How a play-along ends, where it is not as the style does."""
    words = {SHORT: "one short last note", TAG: "the last phrase three times", RITARD: "slowing down at the end"}
    return f"; {words[recipe.ending]}" if recipe.ending in words else ""


def _page(
    style: Style, section: Section, bpm: float, rows: Sequence[Row], instruction: str, recipe: LibraryRecipe
) -> Page:
    """A page at a tempo, held against its player.

    Raises:
        RefusedError: the player cannot play it.
    """
    pace = bpm * float(style.tempo.unit)
    feel = style.feel.resolved(pace)
    page = Page(
        f"{style.title}: {section.name.replace('-', ' ')}",
        instruction,
        tuple(replace(row, pattern=with_threes_written(row.pattern.with_feel(feel))) for row in rows),
        Tempo(bpm, bpm, min(bpm, style.tempo.low), max(bpm, style.tempo.high), style.tempo.unit),
        str(replace(recipe, section=section.name, tempo=f"{bpm:g}")),
        () if style.tempo.holds(bpm) else (f"outside the tempi the style lives in, {style.tempo}",),
        style.count_quarters,
        style.clave.side if style.clave else None,
        heading=recipe.heading or "",
    )
    (set_up,) = on_kit((replace(page, tempo=Tempo.at(bpm, page.tempo.unit)),), section.kit, section.player)
    page = replace(set_up, tempo=page.tempo)
    found = playability(page.pattern, section.player, pace, hand=section.kit.hand)
    if found:
        raise RefusedError(min(found, key=lambda finding: finding.share).what)
    return replace(page, notes=(*page.notes, *carried(page.pattern)))


def _instruction(item: StylePattern) -> str:
    """What to do with a loop, and what it is."""
    told = {
        Role.FILL: "Time, then the fill, round and round",
        Role.ENDING: "Time, then the ending",
        Role.INTRO: "The way in, then time",
        Role.PICKUP: "The pickup, then time",
    }.get(item.role, "Play it round and round")
    return f"{told}: {item.words}."


def _meant(style: Style, item: StylePattern, bpm: float) -> bool:
    """True if a pattern is for a tempo; outside the style's tempi, if it is for the nearest of these."""
    return item.tempo.holds(style.nearest(bpm))
