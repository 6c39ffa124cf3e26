"""A folder of pages: every file's bytes by name, and the manifest that tells of them."""

import hashlib
import json
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from kitgen import __version__
from kitgen.errors import OptionError, RefusedError, WriteError
from kitgen.page import Page, learned, new_in
from kitgen.page.chapters import begun
from kitgen.page.kinds import SOUNDS
from kitgen.time import unit_name
from kitgen.write.book import Book, bound
from kitgen.write.index import index_page
from kitgen.write.midi import PlayAlong
from kitgen.write.page_files import Manner, PageFiles, PageWork, page_files
from kitgen.write.text import page_text

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from kitgen.spell import Choices
    from kitgen.write.engraving import Engraving
    from kitgen.write.paper import Paper
    from kitgen.write.played import Hearing

KINDS = ("mid", "txt", "musicxml", "mxl", "svg", "pdf", "wav", "book")
"""Kinds of file there are to ask for; ``book`` is one PDF of all pages, every other a file or two a page."""
USUAL_KINDS = ("mid", "txt")


@dataclass(frozen=True)
class Folder:
    """Pages to write together.

    Args:
        title: heads the index.
        recipe: what made the folder.
        pages: the pages, in order.
        elements: of each page, what it takes to play it.
        refused: (application, reason) pairs.
        plays: of each page, how its play-along is laid out.
        tracks: ``limb`` or ``one``.
        seed: of the variation of velocities.
        keys: MIDI keys by surface label, where not General MIDI's.
        kinds: what to write, of ``KINDS``.
        more: other files to lay beside the pages, by name.
        numbers: of each page, its number; from 1 unless said.
        of: how many pages there are in all, where these are some of them.
        known: elements that are taken for granted.
        set_ups: of each page, who plays and on what where its recipe cannot say, by option.
        one_new: the pages keep the rule of one new element a page, and are held to it.
        choices: how pages are spelled, engraved and set; as usual unless said.
        bar_repeats: show a bar equal to the one before as a repeat sign.
        paper: what sheets are printed on; as usual unless said.
        chapters: title and number of the first page of each, also of those whose pages are not all here.
        beside: what some of the other files are, by name; they are linked, and checked as pages' files are.
        hearing: how pages are heard; as usual unless said.
        as_usual: of each page, what its play-along does as usual though it was asked for otherwise, and why.
    """

    title: str
    recipe: str
    pages: Sequence[Page]
    elements: Sequence[tuple[str, ...]]
    refused: Sequence[tuple[str, str]] = ()
    plays: Sequence[PlayAlong] = ()
    tracks: str = "limb"
    seed: int = 0
    keys: Mapping[str, int] | None = None
    kinds: tuple[str, ...] = USUAL_KINDS
    more: Mapping[str, bytes] = field(default_factory=dict)
    numbers: Sequence[int] = ()
    of: int = 0
    known: tuple[str, ...] = ()
    set_ups: Sequence[Mapping[str, str]] = ()
    one_new: bool = False
    choices: "Choices | None" = None
    bar_repeats: bool = False
    paper: "Paper | None" = None
    chapters: Sequence[tuple[str, int]] = ()
    beside: Mapping[str, str] = field(default_factory=dict)
    hearing: "Hearing | None" = None
    as_usual: Sequence[Sequence[str]] = ()


def kinds_of(words: str) -> tuple[str, ...]:
    """The kinds of file asked for.

    Raises:
        OptionError: one that is not written.
    """
    kinds = tuple(dict.fromkeys(word.strip() for word in words.split(",") if word.strip()))
    for kind in kinds:
        if kind not in KINDS:
            raise OptionError(f"--to {words}: no file of kind {kind!r} is written; there are {', '.join(KINDS)}")
    if not kinds:
        raise OptionError(f"--to names nothing; there are {', '.join(KINDS)}")
    return kinds


def folder_files(
    folder: Folder,
    *,
    executor: "Executor | None" = None,
    told: Callable[[int, int], None] | None = None,
    sounds_to: Callable[[str, bytes], None] | None = None,
) -> dict[str, bytes]:
    """Every file of a folder by name, the manifest and index last.

    Args:
        folder: the folder.
        executor: writes pages side by side; the bytes are the same without it.
        told: is told how many pages are written, and of how many.
        sounds_to: is given each WAV file, of which a folder has too many to hold, as soon as it is made; none of them
            is among the files that are returned.

    Raises:
        RefusedError: what no page can be written as was asked for, and so nothing is made; WriteError: a picture or
            a sheet cannot be set.
    """
    files: dict[str, bytes] = {}
    entries, sheets = [], []
    works = list(_works(folder))
    set_ups = folder.set_ups or [{}] * len(works)
    as_usual = folder.as_usual or [()] * len(works)
    every = zip(works, folder.elements, _new(folder), set_ups, as_usual, _written(works, executor), strict=True)
    for done, (work, elements, new, set_up, otherwise, own) in enumerate(every, start=1):
        files |= dict(_kept(own, sounds_to))
        entry = page_entry(work, elements, list(new), own, set_up)
        entries.append({**entry, "played_as_usual": list(otherwise)} if otherwise else entry)
        sheets.append(own.engraving)
        if told is not None:
            told(done, len(works))
    _check_written(works, entries)
    book = _bound(folder, works, sheets, taken=files) if "book" in folder.kinds else None
    if book is not None:
        files[book.name] = book.data
    files["manifest.json"] = _manifest(folder, entries, book)
    files["index.html"] = index_page(
        folder.title,
        folder.pages,
        entries,
        folder.refused,
        one_new=folder.one_new,
        chapters=begun(folder.chapters, [work.number for work in works]),
        book=book.name if book else "",
        beside=folder.beside,
    ).encode()
    return {**folder.more, **files}


def _kept(own: PageFiles, sounds_to: Callable[[str, bytes], None] | None) -> Iterator[tuple[str, bytes]]:
    """The files of a page, less its sounds where they are given away."""
    for kind, (name, data) in own.files.items():
        if sounds_to is not None and kind in SOUNDS:
            sounds_to(name, data)
        else:
            yield name, data


def _manifest(folder: Folder, entries: Sequence[Mapping[str, Any]], book: Book | None) -> bytes:
    said: dict[str, object] = {
        "kitgen": __version__,
        "recipe": folder.recipe,
        "known": list(folder.known),
        **({"one_new": True} if folder.one_new else {}),
        "refused": [{"as": name, "why": why} for name, why in folder.refused],
    }
    if chapters := begun(folder.chapters, [entry["number"] for entry in entries]):
        said["chapters"] = [{"title": title, "page": page} for title, page in chapters]
    if book is not None:
        said["book"] = {"file": book.name, "sha256": _digest(book.data)}
    if folder.beside:
        every = folder.beside.items()
        said["beside"] = [{"file": name, "what": what, "sha256": _digest(folder.more[name])} for name, what in every]
    return (json.dumps({**said, "pages": entries}, indent=1, ensure_ascii=False) + "\n").encode()


def _works(folder: Folder) -> Iterator[PageWork]:
    """What each page's files are made of."""
    plays = folder.plays or [PlayAlong()] * len(folder.pages)
    numbers = folder.numbers or range(1, len(folder.pages) + 1)
    digits = len(str(max(*numbers, folder.of, 1)))
    keys = None if folder.keys is None else dict(folder.keys)
    look = (folder.choices, folder.bar_repeats, folder.paper)
    manner = Manner(folder.kinds, folder.tracks, folder.seed, keys, *look, folder.hearing)
    for page, number, new, play in zip(folder.pages, numbers, _new(folder), plays, strict=True):
        stem = file_stem(page, number, digits)
        yield PageWork(page, number, stem, play, new if folder.one_new else None, manner)


def _written(works: Sequence[PageWork], executor: "Executor | None") -> Iterator[PageFiles]:
    """The files of each page, in order."""
    if executor is None:
        yield from map(page_files, works)
        return
    from concurrent.futures import BrokenExecutor

    try:
        yield from executor.map(page_files, works)
    except BrokenExecutor as error:
        raise WriteError(f"a process that wrote pages ended before it was done ({error}); use fewer --jobs") from error


def _check_written(works: Sequence[PageWork], entries: Sequence[Mapping[str, Any]]) -> None:
    """Raise where something was asked for that no page can be written as.

    Raises:
        RefusedError: says what, and why the first page cannot.
    """
    missing = [entry.get("not_written", {}) for entry in entries]
    if missing and all(missing):
        whose = f"{works[0].page.title}: " if len(works) == 1 else f"no page can be written so; {works[0].page.title}: "
        raise RefusedError(f"--to {','.join(missing[0])}: {whose}{next(iter(missing[0].values()))}")


def _bound(
    folder: Folder, works: Sequence[PageWork], engravings: Sequence["Engraving | None"], *, taken: Collection[str]
) -> Book:
    """The book of all pages that could be engraved."""
    from kitgen.write.pdf import Sheet

    sheets = [
        Sheet(work.page, engraving, work.number, work.new)
        for work, engraving in zip(works, engravings, strict=True)
        if engraving is not None
    ]
    return bound(sheets, works[0].manner, title=folder.title, chapters=folder.chapters, taken={*taken, *folder.more})


def page_texts(folder: Folder) -> Iterator[str]:
    """The text of each page, as it is written."""
    for page, new in zip(folder.pages, _new(folder), strict=True):
        yield page_text(page, keys=folder.keys, new=new if folder.one_new else None)


def _new(folder: Folder) -> Iterator[tuple[str, ...]]:
    """Of each page, the elements met there for the first time."""
    met = learned(folder.known)
    for elements in folder.elements:
        yield new_in(elements, met)
        met |= learned(elements)


def file_stem(page: Page, number: int, digits: int = 2) -> str:
    """A page's file name without ending: number (of so many digits, two at least), title, bpm, meter, bars, clave."""
    meter = page.bars[0].meter
    bars = len(page.bars)
    parts = [
        f"{number:0{max(digits, 2)}d}",
        page.slug,
        f"{page.tempo.start:g}bpm".replace(".", "_"),
        f"{meter.numerator}-{meter.denominator}",
        f"{bars}bar{'s' if bars > 1 else ''}",
    ]
    return "-".join(parts + ([f"clave-{page.clave}"] if page.clave else []))


def page_entry(
    work: PageWork, elements: tuple[str, ...], new: list[str], made: PageFiles, set_up: Mapping[str, str]
) -> dict[str, Any]:
    """What the manifest says of a page.

    Args:
        work: what its files are made of.
        elements: what it takes to play it.
        new: those among them that are met there for the first time.
        made: its files.
        set_up: who plays and on what, where its recipe cannot say.
    """
    page = work.page
    tempo, feel = page.tempo, page.feel
    return {
        "number": work.number,
        "title": page.title,
        "slug": page.slug,
        "recipe": page.recipe,
        "meter": str(page.bars[0].meter),
        "bars": len(page.bars),
        "swing": {"unit": feel.unit, "ratio": feel.ratio_text} if feel.unit else None,
        "clave": page.clave,
        "tempo": {
            "start": tempo.start,
            "goal": tempo.goal,
            "low": tempo.low,
            "high": tempo.high,
            "unit": unit_name(tempo.unit),
        },
        "elements": list(elements),
        "new": new,
        **({"grading": list(page.grading)} if page.grading else {}),
        "rows": [{"label": row.label, "first_bar": first, "bars": bars} for row, first, bars in page.row_bars()],
        "files": {kind: name for kind, (name, _) in made.files.items()},
        "sha256": {kind: _digest(data) for kind, (_, data) in made.files.items()},
        **({"sound": dict(made.sound)} if made.sound else {}),
        **({"not_written": dict(made.unwritten)} if made.unwritten else {}),
        **({"set_up": dict(set_up)} if set_up else {}),
    }


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
