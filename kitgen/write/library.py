"""A library written section by section: files, manifest and index grow together, and no more than a few are held.

The folder is there whole or not at all (:mod:`kitgen.write.stage`). Its manifest has a line a page.
"""

import json
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from kitgen import __version__
from kitgen.errors import OptionError, RefusedError, WriteError
from kitgen.make.library import Section, Skipped, pages_of
from kitgen.make.library_words import limbs_of
from kitgen.write import library_index as index
from kitgen.write.library_files import KINDS, LibraryWork, PageMade, SectionMade, section_files
from kitgen.write.library_played import along_of
from kitgen.write.stage import staged
from kitgen.write.text import page_text

if TYPE_CHECKING:
    from concurrent.futures import Executor, Future

    from kitgen.write.played import Hearing

_AHEAD, _HEARD_AHEAD = 16, 4  # sounds are large


class Written(NamedTuple):
    """What a library that was written holds.

    Args:
        pages: how many pages.
        files: how many files, the manifest and the index left out.
        skipped: what was not made, a section each, and why.
        as_usual: what is played as usual though it was asked for otherwise, a line each.
    """

    pages: int
    files: int
    skipped: tuple[tuple[str, str], ...]
    as_usual: tuple[str, ...] = ()


def library_kinds(words: str) -> tuple[str, ...]:
    """The kinds of file asked for.

    Raises:
        OptionError: one that a library is not written in.
    """
    kinds = tuple(dict.fromkeys(word.strip() for word in words.split(",") if word.strip()))
    for kind in kinds or ("",):
        if kind not in KINDS:
            known = ", ".join(KINDS)
            raise OptionError(f"--to {words}: a library is written as {known}; {kind or 'nothing'} is none of them")
    return kinds


def write_library(
    out: Path,
    sections: Sequence[Section],
    *,
    title: str,
    recipe: str,
    kinds: tuple[str, ...] = ("mid",),
    force: bool = False,
    hearing: "Hearing | None" = None,
    executor: "Executor | None" = None,
    told: Callable[[int, int], None] | None = None,
) -> Written:
    """Write sections into a folder, a folder a style inside it.

    Args:
        out: where to.
        sections: what to write, sections of one style together.
        title: heads the index.
        recipe: what makes it all again.
        kinds: what to write of each page, of ``KINDS``.
        force: replace files that are there and differ.
        hearing: how pages are heard; as usual unless said.
        executor: writes sections side by side; the bytes are the same without it.
        told: is told how many sections are done, and of how many.

    Raises:
        WriteError: nothing is changed; RefusedError: no page of all can be played; OptionError: a click that suits
            no play-along.
    """
    works = (LibraryWork(section, kinds, hearing) for section in sections)
    otherwise = _Otherwise()
    with staged(out, force=force) as stage:
        pages = files = done = 0
        skipped: list[tuple[str, str]] = []
        with stage.open("manifest.json") as manifest, stage.open("index.html") as page:
            manifest.write(_head(recipe))
            page.write(index.head(title, _names(sections)).encode())
            every = _side_by_side(works, executor, _HEARD_AHEAD if "wav" in kinds else _AHEAD)
            for _, own in groupby(every, key=lambda made: made.section.style):
                for number, made in enumerate(own):
                    if not number:
                        page.write(index.style_begins(made.section.made_of).encode())
                    for one in made.pages:
                        otherwise.note(one)
                        for name, data in one.files:
                            stage.write(name, data)
                        pages, files = pages + 1, files + len(one.files)
                        manifest.write(_line(index.manifest_entry(one, pages), first=pages == 1))
                    if made.pages:
                        page.write(index.section_told(made, _limbs(made.section)).encode())
                    skipped += told_of(made.skipped)
                    done += 1
                    if told is not None:
                        told(done, len(sections))
                page.write(index.style_ends().encode())
            manifest.write(_foot(skipped))
            page.write(index.foot(skipped).encode())
        if not pages:
            raise RefusedError(
                f"no page can be made; {skipped[0][0]}: {skipped[0][1]}" if skipped else "no page asked for"
            )
        otherwise.check()
    return Written(pages, files, tuple(skipped), tuple(otherwise.lines))


class _Otherwise:
    """What was not played as asked for."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self._along = self._usual = 0
        self._why = ""

    def note(self, page: PageMade) -> None:
        """Look at a page."""
        if page.as_usual is None:
            return
        self._along += 1
        for why in page.as_usual:
            self._usual += 1
            self._why = self._why or why.removeprefix("as usual, not ")
            self.lines.append(f"{page.entry['title']} at {page.bpm:g} played {why}")

    def check(self) -> None:
        """Raise where no play-along is played as asked for.

        Raises:
            OptionError: says why of the first.
        """
        if self._along and self._along == self._usual:
            raise OptionError(self._why)


def library_texts(sections: Iterable[Section]) -> Iterator[str | tuple[str, str]]:
    """The text of each page; of what is not made, its name and why."""
    for section in sections:
        found = list(pages_of(section))
        for made in found:
            if not isinstance(made, Skipped):
                along = along_of(made, section)
                yield page_text((along.made if along else made).page, keys=dict(section.kit.keys) or None)
        yield from told_of([made for made in found if isinstance(made, Skipped)])


def manifest_text(out: Path) -> str:
    """The manifest of a library that was written."""
    return (out / "manifest.json").read_text("utf-8")


def told_of(skipped: Iterable[Skipped]) -> Iterator[tuple[str, str]]:
    """Style, section and tempi that are not made for one reason, and the reason of the slowest."""
    for (style, section), own in groupby(skipped, key=lambda one: (one.style, one.section)):
        several = list(own)
        yield f"{style}: {section} at {', '.join(f'{one.bpm:g}' for one in several)}", several[0].why


def _side_by_side(works: Iterable[LibraryWork], executor: "Executor | None", ahead: int) -> Iterator[SectionMade]:
    """What is made of each section, in order, with only so many asked for at a time."""
    if executor is None:
        yield from map(section_files, works)
        return
    from concurrent.futures import BrokenExecutor

    waiting: deque[Future[SectionMade]] = deque()
    try:
        for work in works:
            waiting.append(executor.submit(section_files, work))
            if len(waiting) >= ahead:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()
    except BrokenExecutor as error:
        raise WriteError(f"a process that wrote pages ended before it was done ({error}); use fewer --jobs") from error
    finally:
        for future in waiting:
            future.cancel()


def _names(sections: Iterable[Section]) -> list[tuple[str, str]]:
    styles = [section.made_of for section in {section.style: section for section in sections}.values()]
    return [(style.name, style.title) for style in styles]


def _limbs(section: Section) -> str:
    return " and ".join(limb.words for limb in limbs_of(section.recipe.without))


def _head(recipe: str) -> bytes:
    said = json.dumps({"kitgen": __version__, "recipe": recipe, "known": []}, ensure_ascii=False)
    return f'{said[:-1]},\n"pages": [\n'.encode()


def _line(entry: object, *, first: bool) -> bytes:
    return f"{'' if first else f',{chr(10)}'}{json.dumps(entry, ensure_ascii=False)}".encode()


def _foot(skipped: Iterable[tuple[str, str]]) -> bytes:
    refused = [{"as": name, "why": why} for name, why in skipped]
    return f'\n],\n"refused": {json.dumps(refused, ensure_ascii=False)}}}\n'.encode()
