"""What ``kitgen check`` looks for in a folder of pages: that every file is there, as it was written, and holds true."""

import hashlib
import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from kitgen.errors import KitgenError, ReadError
from kitgen.kit import Kit, Player
from kitgen.make.again import recipe_in
from kitgen.make.applied import elements_in
from kitgen.make.checks import check_midi, check_page
from kitgen.make.recipe import command_of
from kitgen.make.series_checks import check_series, page_of_entry
from kitgen.make.set_ups import set_up_in
from kitgen.make.wav_checks import check_wav
from kitgen.page import Page
from kitgen.page.kinds import SOUNDS
from kitgen.pattern import Pattern
from kitgen.read.lines import bytes_of, text_of
from kitgen.read.smf import load
from kitgen.read.text import page_of_text
from kitgen.time import count_name

_PICTURES = ("svg", "pdf")  # of these only that they are as they were written is looked at


def check_folder(folder: Path, by: Player | None = None, *, one_new: bool = False) -> Iterator[str]:
    """Findings about a folder of pages: every file there and as the manifest says, elements as the notes say."""
    manifest = manifest_of(folder)
    for entry in manifest["pages"]:
        title = f"page {entry['number']} ({entry['title']})"
        for kind, name in entry["files"].items():
            path = folder / name
            if not path.is_file():
                yield f"{title}: {name} is missing"
                continue
            yield from (f"{title}: {finding}" for finding in _as_written(path, entry["sha256"].get(kind)))
            try:
                yield from (f"{title}, {name}: {finding}" for finding in _of_file(folder, kind, entry, by))
            except KitgenError as error:
                yield f"{title}: {error}"
    if book := manifest.get("book"):
        path = folder / book["file"]
        found = _as_written(path, book["sha256"]) if path.is_file() else [f"{path.name} is missing"]
        yield from (f"the book: {finding}" for finding in found)
    for one in manifest.get("beside", ()):
        path = folder / one["file"]
        yield from _as_written(path, one["sha256"]) if path.is_file() else [f"{path.name} is missing"]
    if one_new or manifest.get("one_new"):
        yield from check_series(folder, manifest)


def _as_written(path: Path, digest: object) -> Iterator[str]:
    """A finding where a file is not what the manifest says it is."""
    if hashlib.sha256(bytes_of(path)).hexdigest() != digest:
        yield f"{path.name} was changed after the manifest was written"


def _of_file(folder: Path, kind: str, entry: Mapping[str, Any], by: Player | None) -> Iterator[str]:
    """Findings about one file of a folder; who can play it is said of the text, which has the goal, if there is one."""
    path = folder / entry["files"][kind]
    said_by, on = set_up_in(entry)
    by, hand = by or said_by, on.hand if on else None
    if kind == "txt":
        page = page_of_text(text_of(bytes_of(path), path), path.name)
        yield from check_page(page, by, hand=hand)
        yield from _elements_agree(page, entry, on)
    elif kind in ("musicxml", "mxl"):
        yield from _of_score(folder, kind, entry)
    elif kind in SOUNDS:
        yield from check_wav(folder, kind, entry)
    elif kind not in _PICTURES:
        midi = load(path)
        yield from check_midi(midi, path, by, judged="txt" not in entry["files"], hand=hand)
        if kind == "mid" and command_of(str(entry.get("recipe", ""))) == "library":
            from kitgen.make.library_checks import remake_findings  # only libraries need it

            yield from remake_findings(midi, path, entry)


def _of_score(folder: Path, kind: str, entry: Mapping[str, Any]) -> Iterator[str]:
    """Findings about a score: that it can be read, and has the strokes of the text or MIDI file beside it."""
    from kitgen.read.scores import pattern_from_score  # only folders with scores need it

    score = pattern_from_score(folder / entry["files"][kind])
    if score is None:
        yield "it has no drum part"
        return
    other = next((kind for kind in ("txt", "mid") if kind in entry["files"]), None)
    if other is None or not (folder / entry["files"][other]).is_file():
        return
    page = page_of_entry(folder, entry)
    written, played = ({(hit.onset, hit.surface) for hit in found.hits} for found in (score, _as_spelled(page)))
    if written != played:
        first = min(onset for onset, _ in written ^ played)
        where = count_name(page.pattern.meters, first) if first < page.pattern.span else "its end"
        yield f"it has other strokes than the {'text' if other == 'txt' else 'MIDI file'}, first at {where}"


def _as_spelled(page: Page) -> Pattern:
    """The notes of a page as its recipe writes them: as they stand, or swung pairs in triplets."""
    if page.feel.unit and getattr(recipe_in(page.recipe), "write_swing", "words") == "triplets":
        from kitgen.spell import in_triplets

        return in_triplets(page.pattern)
    return page.pattern


def _elements_agree(page: Page, entry: Mapping[str, Any], on: Kit | None) -> Iterator[str]:
    found, said = set(elements_in(page, on)), set(entry["elements"])
    if found != said:
        parts = [f"listed but not there: {', '.join(sorted(said - found))}"] if said - found else []
        parts += [f"there but not listed: {', '.join(sorted(found - said))}"] if found - said else []
        yield f"its elements are not what its notes hold; {'; '.join(parts)}"


def manifest_of(folder: Path) -> dict[str, Any]:
    """What a folder's manifest says, once it is seen to be one.

    Raises:
        ReadError: there is none, or it is not one that kitgen wrote.
    """
    path = folder / "manifest.json"
    if not path.is_file():
        raise ReadError(f"{folder}: no manifest.json in it; check reads folders that kitgen wrote")
    text = text_of(bytes_of(path), path)
    try:
        manifest = json.loads(text)
        for entry in manifest["pages"]:
            entry["number"], entry["title"], entry["sha256"].get, set(entry["elements"])
            if not all(isinstance(name, str) for name in entry["files"].values()):
                raise TypeError("a file's name is no text")
        if "book" in manifest:
            manifest["book"]["sha256"], Path(manifest["book"]["file"])
        for one in manifest.get("beside", ()):
            one["sha256"], Path(one["file"])
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise ReadError(f"{path}: not a manifest kitgen wrote ({type(error).__name__}: {error})") from error
    return dict(manifest)
