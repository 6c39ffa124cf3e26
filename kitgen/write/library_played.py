"""How a page of a library is played: counted in and clicked as its style is, led by what leads the style.

A play-along that an option does not suit is played as usual, and says so.
"""

from dataclasses import replace
from typing import NamedTuple

from kitgen.errors import KitgenError, OptionError
from kitgen.make.library import LibraryPage, Section
from kitgen.make.library_recipe import USUAL, LibraryRecipe
from kitgen.make.library_words import PLAY_ALONG, limbs_of, start_of
from kitgen.page import Page
from kitgen.styles import Style
from kitgen.write.along import Click, PlayAlong
from kitgen.write.audio_font import BRUSHES
from kitgen.write.human import EXACT, PLAYED, Bend, Human
from kitgen.write.played import suited

_PLACES = 4  # a pulse's sixteenths, which measurements of micro-timing number


class Along(NamedTuple):
    """How a page is played along with.

    Args:
        made: the page; its recipe does not ask for what does not suit it.
        how: its play-along.
        as_usual: what is not done as asked for, and why.
    """

    made: LibraryPage
    how: PlayAlong
    as_usual: tuple[str, ...] = ()


def along_of(made: LibraryPage, section: Section) -> Along | None:
    """Once through, counted in by as many bars as the style is; None for what is looped alone.

    Raises:
        KitgenError: words that are no click, count-in or limbs.
    """
    if made.section != PLAY_ALONG:
        return None
    recipe, page = section.recipe, made.page
    how = PlayAlong(
        1,
        click=_usual_click(page) if recipe.click == USUAL else Click.parse(recipe.click),
        count_in=_count_in(page, section),
        muted=limbs_of(recipe.mute),
        start=start_of(recipe.form, recipe.from_),
        ritard=made.ritard,
    )
    try:
        suited((page,), (how,), (made.elements,))
    except KitgenError as error:
        return _as_usual(made, how, error)
    return Along(made, how)


def _as_usual(made: LibraryPage, how: PlayAlong, error: KitgenError) -> Along:
    page, of_click = made.page, str(error).startswith("--click")
    recipe = LibraryRecipe.parse(page.recipe)
    recipe = replace(recipe, click=USUAL) if of_click else replace(recipe, from_=None)
    how = replace(how, click=_usual_click(page)) if of_click else replace(how, start="")
    return Along(made._replace(page=replace(page, recipe=str(recipe))), how, (f"as usual, not {error}",))


def _count_in(page: Page, section: Section) -> str:
    """As it is asked for; as usual, by two bars where the style has more than one."""
    asked = section.recipe.count_in
    usual = PlayAlong().lead_bars(page.bars[0].meter, page.tempo.quarters)
    return "two-bars" if asked == USUAL and section.made_of.count_in_bars > usual else asked


def _usual_click(page: Page) -> Click:
    """The click that suits a page: 2 and 4 where eighths swing and there are such beats, else every beat."""
    if page.feel.unit == 8:
        try:
            click = Click("2-and-4")
            click.check(page)
        except OptionError:
            return Click()
        return click
    return Click()


def human_of(section: Section) -> Human:
    """How far a style's pages leave the grid and their levels: not at all where that is asked for."""
    if section.recipe.exact:
        return EXACT
    style = section.made_of
    voices = dict.fromkeys(head.split()[1] for head in style.leads)
    return replace(PLAYED, bends=_bends(style), leads=tuple(voices))


def program_of(section: Section) -> int:
    """The drum set: brushes for a style that is played with nothing else, else the usual one."""
    return BRUSHES if section.made_of.sticks == ("brushes",) else 0


def _bends(style: Style) -> tuple[Bend, ...]:
    """What a style plays early or late, where amounts are published."""
    micro = style.micro_timing
    if micro is None or not micro.share:
        return ()
    pulse = style.tempo.unit
    place = pulse / _PLACES
    return tuple(
        Bend(pulse, place * number, place * share) for number, share in zip(micro.places, micro.share, strict=True)
    )
