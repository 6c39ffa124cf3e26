"""The files of one page, of every kind asked for: a function from one value to another, for this process or another."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from kitgen.errors import FeelError, RefusedError
from kitgen.page import Page
from kitgen.write.midi import PlayAlong, loop, play_along
from kitgen.write.text import page_text

if TYPE_CHECKING:
    from kitgen.spell import Choices
    from kitgen.write.engraving import Engraving
    from kitgen.write.page_sounds import Sounds
    from kitgen.write.paper import Paper
    from kitgen.write.played import Hearing

SCORES = ("musicxml", "mxl")
"""Kinds of file that hold a page as a score."""
ENGRAVED = ("svg", "pdf", "book")
"""Kinds of file that a page is engraved for."""


class Manner(NamedTuple):
    """How every page of a folder is written; see :class:`kitgen.write.manifest.Folder`."""

    kinds: tuple[str, ...]
    tracks: str = "limb"
    seed: int = 0
    keys: Mapping[str, int] | None = None
    choices: "Choices | None" = None
    bar_repeats: bool = False
    paper: "Paper | None" = None
    hearing: "Hearing | None" = None


class PageWork(NamedTuple):
    """What the files of a page are made of.

    Args:
        page: the page.
        number: its number.
        stem: its files' names without their endings.
        play: how its play-along is laid out.
        new: what is new on it; None where nothing is said of that.
        manner: how it is written.
    """

    page: Page
    number: int
    stem: str
    play: PlayAlong
    new: tuple[str, ...] | None
    manner: Manner


class PageFiles(NamedTuple):
    """The files of a page.

    Args:
        files: name and bytes by kind.
        unwritten: why there is no file, by kind.
        engraving: its pictures, where a book is to be made of them.
        sound: what the manifest says of how it is heard.
    """

    files: Mapping[str, tuple[str, bytes]]
    unwritten: Mapping[str, str]
    engraving: "Engraving | None" = None
    sound: Mapping[str, Any] = {}


def page_files(work: PageWork) -> PageFiles:
    """The files of a page; a rhythm that no note values write leaves out what is written in them, and says so."""
    page, stem, manner = work.page, work.stem, work.manner
    made: dict[str, tuple[str, bytes]] = {}
    if "mid" in manner.kinds:
        made["mid"] = (f"{stem}.mid", loop(page, tracks=manner.tracks, seed=manner.seed, keys=manner.keys))
        along = play_along(page, work.play, tracks=manner.tracks, seed=manner.seed, keys=manner.keys)
        made["play"] = (f"{stem}{work.play.suffix}.play.mid", along)
    if "txt" in manner.kinds:
        made["txt"] = (f"{stem}.txt", page_text(page, keys=manner.keys, new=work.new).encode())
    sound: Mapping[str, Any] = {}
    if "wav" in manner.kinds:
        heard, sound = _sounds(work)
        made |= heard
    asked = [kind for kind in manner.kinds if kind in (*SCORES, *ENGRAVED)]
    if not asked:
        return PageFiles(made, {}, sound=sound)
    from kitgen.spell import SpellingError  # spelling is loaded where it is asked for

    try:
        notated, engraving = _notated(work)
    except (SpellingError, FeelError, RefusedError) as error:
        return PageFiles(made, dict.fromkeys(asked, str(error)), sound=sound)
    return PageFiles(made | notated, {}, engraving, sound)


def _sounds(work: PageWork) -> "Sounds":
    """What is heard of a page; on the keys of General MIDI, as sound fonts have them, whatever a kit's own are."""
    from kitgen.write.page_sounds import page_sounds

    page, manner = work.page, work.manner
    how: dict[str, Any] = {"tracks": manner.tracks, "seed": manner.seed}
    hearing = manner.hearing
    if hearing is not None and work.play.click.kind == "none":
        hearing = hearing._replace(click_apart=False)
    return page_sounds(
        loop(page, **how),
        play_along(page, work.play, **how),
        hearing,
        stem=work.stem,
        along_stem=f"{work.stem}{work.play.suffix}",
    )


def _notated(work: PageWork) -> tuple[dict[str, tuple[str, bytes]], "Engraving | None"]:
    """The files in which notes are written, and the page's pictures where a book needs them."""
    page, stem, manner = work.page, work.stem, work.manner
    from kitgen.spell.choices import USUAL

    choices = manner.choices or USUAL
    made: dict[str, tuple[str, bytes]] = {}
    if set(manner.kinds) & set(SCORES):
        from kitgen.write.musicxml import page_musicxml
        from kitgen.write.musicxml_zip import compressed

        score = page_musicxml(page, choices, keys=manner.keys, bar_repeats=manner.bar_repeats)
        made |= {"musicxml": (f"{stem}.musicxml", score)} if "musicxml" in manner.kinds else {}
        made |= {"mxl": (f"{stem}.mxl", compressed(score))} if "mxl" in manner.kinds else {}
    if not set(manner.kinds) & set(ENGRAVED):
        return made, None
    engraving = _engraving(page, manner, choices)
    if "svg" in manner.kinds:
        from kitgen.write.svg import page_svg

        made["svg"] = (f"{stem}.svg", page_svg(page, engraving, choices))
    if "pdf" in manner.kinds:
        from kitgen.write.pdf import Sheet, sheets_pdf

        sheet = Sheet(page, engraving, work.number, work.new)
        made["pdf"] = (f"{stem}.pdf", sheets_pdf([sheet], paper_of(manner), keys=manner.keys, choices=choices))
    return made, engraving if "book" in manner.kinds else None


def _engraving(page: Page, manner: Manner, choices: "Choices") -> "Engraving":
    from kitgen.write.engraving import engrave

    paper = paper_of(manner)
    return engrave(
        page,
        choices,
        keys=manner.keys,
        bar_repeats=manner.bar_repeats,
        width_pt=paper.music_width_pt,
        staff_pt=paper.staff_pt,
    )


def paper_of(manner: Manner) -> "Paper":
    """What pages are printed on."""
    from kitgen.write.paper import Paper

    return manner.paper or Paper()
