"""A folder of pages: every file's bytes by name, and the manifest that tells of them."""

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from kitgen import __version__
from kitgen.errors import OptionError
from kitgen.page import Page, learned, new_in
from kitgen.time import unit_name
from kitgen.write.index import index_page
from kitgen.write.midi import PlayAlong, loop, play_along
from kitgen.write.text import page_text

KINDS = ("mid", "txt", "musicxml", "mxl")
"""Kinds of file there are to ask for."""
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


def folder_files(folder: Folder) -> dict[str, bytes]:
    """Every file of a folder by name, the manifest and index last."""
    files: dict[str, bytes] = {}
    entries = []
    plays = folder.plays or [PlayAlong()] * len(folder.pages)
    numbers = folder.numbers or range(1, len(folder.pages) + 1)
    digits = len(str(max(*numbers, folder.of, 1)))
    set_ups = folder.set_ups or [{}] * len(folder.pages)
    for page, number, elements, new, play, set_up in zip(
        folder.pages, numbers, folder.elements, _new(folder), plays, set_ups, strict=True
    ):
        own = _page_files(page, file_stem(page, number, digits), play, folder, new)
        files |= dict(own.values())
        entry = _entry(page, number, elements, list(new), own)
        entries.append({**entry, "set_up": dict(set_up)} if set_up else entry)
    manifest = {
        "kitgen": __version__,
        "recipe": folder.recipe,
        "known": list(folder.known),
        **({"one_new": True} if folder.one_new else {}),
        "refused": [{"as": name, "why": why} for name, why in folder.refused],
        "pages": entries,
    }
    files["manifest.json"] = (json.dumps(manifest, indent=1, ensure_ascii=False) + "\n").encode()
    files["index.html"] = index_page(
        folder.title, folder.pages, entries, folder.refused, one_new=folder.one_new
    ).encode()
    return {**folder.more, **files}


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


def _page_files(
    page: Page, stem: str, play: PlayAlong, folder: Folder, new: Sequence[str]
) -> dict[str, tuple[str, bytes]]:
    made: dict[str, tuple[str, bytes]] = {}
    if "mid" in folder.kinds:
        voice = {"tracks": folder.tracks, "seed": folder.seed, "keys": folder.keys}
        made["mid"] = (f"{stem}.mid", loop(page, **voice))  # type: ignore[arg-type]  # one dictionary of three kinds
        made["play"] = (f"{stem}.play.mid", play_along(page, play, **voice))  # type: ignore[arg-type]  # as above
    if "txt" in folder.kinds:
        made["txt"] = (f"{stem}.txt", page_text(page, keys=folder.keys, new=new if folder.one_new else None).encode())
    if {"musicxml", "mxl"} & set(folder.kinds):
        from kitgen.write.musicxml import page_musicxml  # spelling is loaded where it is asked for
        from kitgen.write.musicxml_zip import compressed

        score = page_musicxml(page, keys=folder.keys)
        made |= {"musicxml": (f"{stem}.musicxml", score)} if "musicxml" in folder.kinds else {}
        made |= {"mxl": (f"{stem}.mxl", compressed(score))} if "mxl" in folder.kinds else {}
    return made


def _entry(
    page: Page, number: int, elements: tuple[str, ...], new: list[str], files: dict[str, tuple[str, bytes]]
) -> dict[str, object]:
    tempo = page.tempo
    feel = page.feel
    return {
        "number": number,
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
        "files": {kind: name for kind, (name, _) in files.items()},
        "sha256": {kind: hashlib.sha256(data).hexdigest() for kind, (_, data) in files.items()},
    }
