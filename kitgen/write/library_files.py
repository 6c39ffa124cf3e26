"""The files of one section of a library at all its tempi: a function from one value to another, for any process."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, NamedTuple

from kitgen.errors import OptionError
from kitgen.make.library import LibraryPage, Section, Skipped, pages_of
from kitgen.make.library_words import PLAY_ALONG, limbs_of
from kitgen.page import Page
from kitgen.read.styles import style_named
from kitgen.write.along import Click, PlayAlong
from kitgen.write.chosen import Chosen, chosen
from kitgen.write.human import EXACT, PLAYED, Bend
from kitgen.write.manifest import page_entry
from kitgen.write.midi import loop, play_along
from kitgen.write.page_files import Manner, PageFiles, PageWork, page_files

KINDS = ("mid", "txt", "musicxml", "mxl", "svg", "pdf")
"""Kinds of file a library is written in; a book of thousands of pages is none."""

_PLACES = 4  # a pulse's sixteenths, which measurements of micro-timing number


class LibraryWork(NamedTuple):
    """A section and how its files are written."""

    section: Section
    kinds: tuple[str, ...] = ("mid",)


class PageMade(NamedTuple):
    """A page of a library that was made: its tempo, its entry in the manifest (without a number), its files."""

    bpm: float
    entry: Mapping[str, Any]
    files: tuple[tuple[str, bytes], ...]


class SectionMade(NamedTuple):
    """What was made of a section."""

    section: Section
    pages: tuple[PageMade, ...]
    skipped: tuple[Skipped, ...]


def section_files(work: LibraryWork) -> SectionMade:
    """The files of a section.

    Raises:
        KitgenError: a file that a page's recipe needs, or a picture, cannot be read or set.
    """
    pages: list[PageMade] = []
    skipped: list[Skipped] = []
    look = chosen(vars(work.section.recipe))
    for made in pages_of(work.section):
        if isinstance(made, Skipped):
            skipped.append(made)
        else:
            pages.append(_page_made(made, work, look))
    return SectionMade(work.section, tuple(pages), tuple(skipped))


def library_stem(made: LibraryPage) -> str:
    """A page's file name without ending, in its style's folder: style, section, bpm, meter, bars, clave."""
    page = made.page
    meter, bars = page.bars[0].meter, len(page.bars)
    parts = [
        made.style,
        made.section,
        f"{made.bpm:g}bpm".replace(".", "_"),
        f"{meter.numerator}-{meter.denominator}",
        f"{bars}bar{'s' if bars > 1 else ''}",
        *([f"clave-{page.clave}"] if page.clave else []),
    ]
    return f"{made.style}/{'-'.join(parts)}"


def _page_made(made: LibraryPage, work: LibraryWork, look: Chosen) -> PageMade:
    recipe, stem = work.section.recipe, library_stem(made)
    others = tuple(kind for kind in work.kinds if kind != "mid")
    manner = Manner(others, recipe.tracks, recipe.seed, None, *look)
    page_work = PageWork(made.page, 0, stem, PlayAlong(), None, manner)
    files = dict(_midi(made, work, stem)) if "mid" in work.kinds else {}
    written = page_files(page_work) if others else PageFiles({}, {})
    written = PageFiles(files | dict(written.files), written.unwritten)
    entry = page_entry(page_work, made.elements, [], written, {})
    return PageMade(made.bpm, entry, tuple(written.files.values()))


def _midi(made: LibraryPage, work: LibraryWork, stem: str) -> list[tuple[str, tuple[str, bytes]]]:
    """The loop, of a play-along the file with count-in and click, and each without the limbs a student is to play."""
    recipe, page = work.section.recipe, made.page
    human = EXACT if recipe.exact else replace(PLAYED, bends=_bends(work.section))
    how: dict[str, Any] = {"tracks": recipe.tracks, "seed": recipe.seed, "human": human}
    files = [("mid", (f"{stem}.mid", loop(page, **how)))]
    along = _along(made, work.section) if made.section == PLAY_ALONG else None
    if along is not None:
        files.append(("play", (f"{stem}.play.mid", play_along(page, along, **how))))
    limbs = limbs_of(recipe.without)
    playing = [limb for limb in page.pattern.limbs if limb not in limbs]
    if not limbs or not playing or len(playing) == len(page.pattern.limbs):
        return files
    out = f"{stem}-without-{'-and-'.join(limb.words.replace(' ', '-') for limb in limbs)}"
    files.append(("without", (f"{out}.mid", loop(page, **how, muted=limbs))))
    if along is not None:
        along = replace(along, muted=limbs)
        files.append(("play_without", (f"{out}.play.mid", play_along(page, along, **how))))
    return files


def _along(made: LibraryPage, section: Section) -> PlayAlong:
    """Once through, counted in by as many bars as the style is."""
    page = made.page
    usual = PlayAlong().lead_bars(page.bars[0].meter, page.tempo.quarters)
    longer = style_named(section.style).count_in_bars > usual
    return PlayAlong(1, click=_click(page), count_in="two-bars" if longer else "usual", ritard=made.ritard)


def _bends(section: Section) -> tuple[Bend, ...]:
    """What a style plays early or late, where amounts are published."""
    style = style_named(section.style)
    micro = style.micro_timing
    if micro is None or not micro.share:
        return ()
    pulse = style.tempo.unit
    place = pulse / _PLACES
    return tuple(
        Bend(pulse, place * number, place * share) for number, share in zip(micro.places, micro.share, strict=True)
    )


def _click(page: Page) -> Click:
    """The click that suits a page: 2 and 4 where eighths swing and there are such beats, else every beat."""
    if page.feel.unit == 8:
        try:
            click = Click("2-and-4")
            click.check(page)
        except OptionError:
            return Click()
        return click
    return Click()
