"""How pages are played along with and heard: the words of options and recipes into play-alongs and sounds.

What cannot be is told before anything else is done. Where there are several pages, one that a click or a row does not
suit is played as usual, and says so; one page by itself is refused.
"""

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

from kitgen.apply.ostinatos import OSTINATOS
from kitgen.errors import KitgenError, OptionError, ReadError
from kitgen.kit import Limb
from kitgen.make.again import recipe_in
from kitgen.make.recipe import option_of
from kitgen.page import Page
from kitgen.write.along import Click, PlayAlong

WAV = "wav"
_USUAL_RATE = 48000


class Hearing(NamedTuple):
    """How pages are heard as WAV files.

    Args:
        font: a sound font; None for the one that comes along.
        rate: frames a second.
        click_apart: the click of the play-along is a file of its own.
    """

    font: Path | None = None
    rate: int = _USUAL_RATE
    click_apart: bool = False


class Played(NamedTuple):
    """What options ask for.

    Args:
        along: the play-along, without what a page says of it.
        hearing: how pages are heard.
        words: the options as recipes hold them, by name.
        sums: ``NAME sha256:HASH`` of the sound font, if one is named.
    """

    along: PlayAlong
    hearing: Hearing
    words: Mapping[str, Any]
    sums: tuple[str, ...] = ()


def played(options: Mapping[str, Any], kinds: Sequence[str] = (), tempi: tuple[float, ...] = ()) -> Played:
    """What options ask for, by name; those left out are as usual.

    >>> played({"click": "bar", "mute": "LH,RH"}).words["mute"]
    'RH,LH'

    Args:
        options: the options of play-alongs and of sound.
        kinds: the kinds of file that will be written.
        tempi: of the play-along, one after the other.

    Raises:
        OptionError, UnknownNameError: a value that cannot be; ReadError: a sound font that cannot be played with.
    """
    click = Click.parse(options.get("click", "beats").lower())
    start = (options.get("from_") or "").strip()
    if options.get("from_") is not None and not start:
        raise OptionError("--from names no row; give its number or its label")
    along = PlayAlong(
        options.get("repeats"),
        tempi,
        click=click,
        count_in=options.get("count_in", "usual"),
        muted=_limbs(options.get("mute")),
        start=start,
    )
    hearing, sums = _hearing(options, needed=WAV in kinds)
    words = {
        "click": click.words,
        "count_in": along.count_in,
        "mute": ",".join(limb.name for limb in along.muted) or None,
        "from_": start or None,
        "font": hearing.font.name if hearing.font else None,
        "rate": hearing.rate,
        "click_apart": hearing.click_apart,
    }
    return Played(along, hearing, words, sums)


def _limbs(words: str | None) -> tuple[Limb, ...]:
    if words is None:
        return ()
    limbs = tuple(Limb.parse(word) for word in words.split(",") if word.strip())
    if not limbs:
        raise OptionError("--mute names no limb; name those to leave out, such as RH or RH,LH")
    return limbs


def _hearing(options: Mapping[str, Any], *, needed: bool) -> tuple[Hearing, tuple[str, ...]]:
    """How pages are heard, and the sum of the font; the font is looked at where it is named or needed."""
    given = options.get("font")
    font, rate = None if given is None else Path(given), options.get("rate", _USUAL_RATE)
    if rate != _USUAL_RATE:
        from kitgen.write.wav import check_rate

        check_rate(rate)
    if font is not None or needed:
        from kitgen.write.audio_font import font_of  # few commands make sound

        font_of(font)
    return Hearing(font, rate, bool(options.get("click_apart"))), () if font is None else (_sum_of(font),)


def _sum_of(font: Path) -> str:
    try:
        return f"{font.name} sha256:{hashlib.sha256(font.read_bytes()).hexdigest()}"
    except OSError as error:
        raise ReadError(f"the sound font {font} cannot be read: {error.strerror or error}") from error


class Suited(NamedTuple):
    """Pages and how each is played along with.

    Args:
        pages: the pages; the recipe of one that is played as usual does not ask for anything else.
        plays: of each page, its play-along.
        as_usual: of each page, what was not done as asked for, and why.
    """

    pages: tuple[Page, ...]
    plays: tuple[PlayAlong, ...]
    as_usual: tuple[tuple[str, ...], ...]


def suited(pages: Sequence[Page], plays: Sequence[PlayAlong], elements: Sequence[Sequence[str]]) -> Suited:
    """Play-alongs that suit their pages.

    Args:
        pages: the pages.
        plays: of each, its play-along as it was asked for.
        elements: of each, what it takes to play it; Latin feet among them are told from these.

    Raises:
        OptionError, UnknownNameError: a click or a row that suits none of them.
    """
    clicks = [_click_problem(*each) for each in zip(pages, plays, elements, strict=True)]
    rows = [_problem(play.first_row, page) for page, play in zip(pages, plays, strict=True)]
    found = Suited(tuple(pages), tuple(plays), ((),) * len(pages))
    found = _as_usual(found, clicks, "click", "beats", click=Click())
    return _as_usual(found, rows, "from_", None, start="")


def _as_usual(
    suited: Suited, problems: Sequence[KitgenError | None], option: str, word: str | None, **usual: Any
) -> Suited:
    """The same with what is usual where there is a problem; all of them together are one."""
    if problems and all(problems):
        raise next(problem for problem in problems if problem)
    pages, plays, told = [], [], []
    for page, play, before, problem in zip(*suited, problems, strict=True):
        pages.append(page if problem is None else replace(page, recipe=_without(page.recipe, option, word)))
        plays.append(play if problem is None else replace(play, **usual))
        told.append(before if problem is None else (*before, f"as usual, not {_said(problem, option)}"))
    return Suited(tuple(pages), tuple(plays), tuple(told))


def _said(problem: KitgenError, option: str) -> str:
    """A problem with the name of its option, which an unknown name does not say."""
    return str(problem) if str(problem).startswith("--") else f"{option_of(option)}: {problem}"


def _click_problem(page: Page, play: PlayAlong, elements: Sequence[str]) -> KitgenError | None:
    """Why a page is not clicked as asked for, if it is not."""
    if play.click.kind == "2-and-4" and (latin := next(filter(None, map(_latin_feet, elements)), None)):
        return OptionError(
            f"--click 2-and-4: {page.title!r} is over {latin}, and Latin is not felt on 2 and 4; take beats or bar"
        )
    return _problem(play.click.check, page)


def _latin_feet(element: str) -> str:
    """The title of a Latin ostinato, if that is what an element is."""
    kind, _, rest = element.partition(" ")
    item = OSTINATOS.get(rest.split(" ")[0]) if kind == "ostinato" else None
    return item.title if item and item.latin else ""


def _problem(check: Callable[[Page], object], page: Page) -> KitgenError | None:
    try:
        check(page)
    except KitgenError as error:
        return error
    return None


def _without(text: str, option: str, word: Any) -> str:
    """A recipe with an option as usual."""
    recipe = recipe_in(text)
    return text if recipe is None else str(replace(recipe, **{option: word}))
