"""Does a folder keep the rule of one new element a page: proved from its files alone.

Elements are computed again from each page's text (or MIDI file), and the pages walked in order from what the manifest
takes for granted. Each page brings exactly one element not met before. A review, which is to be graded, brings none; a
page of long rests brings none, or a longer rest. A folder that does not say what it takes for granted is given the
elements of its first page. Where there is no text, what a MIDI file does not hold (the lengths of the page's line, and
that it is to be graded) is believed of the manifest.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from kitgen.errors import KitgenError, ReadError
from kitgen.make.applied import elements_in
from kitgen.make.set_ups import set_up_in
from kitgen.page import Page, learned, new_in
from kitgen.page.words import element_words
from kitgen.read.lines import bytes_of, text_of
from kitgen.read.midi import page_of_midi
from kitgen.read.smf import load
from kitgen.read.text import page_of_text

_WRITTEN = ("value", "tie", "rest")


def check_series(folder: Path, manifest: Mapping[str, Any]) -> Iterator[str]:
    """Findings about the rule of one new element a page.

    Args:
        folder: the folder.
        manifest: its manifest.
    """
    known = learned(_known(manifest))
    if not any({"txt", "mid"} & set(entry["files"]) for entry in manifest["pages"]):
        yield "what is new on its pages cannot be told from what is written of them; write txt or mid as well"
        return
    for index, entry in enumerate(manifest["pages"]):
        title = f"page {entry['number']} ({entry['title']})"
        try:
            page = page_of_entry(folder, entry)
            elements = _elements(page, entry)
        except KitgenError as error:
            yield f"{title}: what is new on it cannot be told: {error}"
            continue
        new = new_in(elements, known)
        if index or "known" in manifest:
            yield from (f"{title}: {finding}" for finding in _of_page(page, elements, new))
            if "new" in entry and sorted(entry["new"]) != sorted(new):
                yield f"{title}: the manifest calls new {_listed(entry['new'])}; its notes bring {_listed(new)}"
        known |= learned(elements)


def _known(manifest: Mapping[str, Any]) -> list[str]:
    known = manifest.get("known", [])
    if not isinstance(known, list) or not all(isinstance(element, str) for element in known):
        raise ReadError(f"'known' in the manifest is {known!r}; it is a list of elements")
    return known


def page_of_entry(folder: Path, entry: Mapping[str, Any]) -> Page:
    """The page of an entry of a manifest, from its text, or else its MIDI file.

    Raises:
        ReadError: it has neither, or they cannot be read.
    """
    files = entry["files"]
    if "txt" in files:
        path = folder / files["txt"]
        return page_of_text(text_of(bytes_of(path), path), path.stem)
    if "mid" in files:
        page = page_of_midi(load(folder / files["mid"]), folder / files["mid"])
        return replace(page, grading=tuple(entry.get("grading", ())))
    raise ReadError("it has neither a text nor a MIDI file")


def _elements(page: Page, entry: Mapping[str, Any]) -> tuple[str, ...]:
    """The elements of a page from its notes; what only its line shows from the manifest where there is no text."""
    found = elements_in(page, set_up_in(entry).on)
    if "txt" in entry["files"]:
        return found
    written = {one for one in entry["elements"] if one.split()[0] in _WRITTEN and not _is_long_rest(one)}
    return tuple(sorted({*found, *written}))


def _of_page(page: Page, elements: tuple[str, ...], new: tuple[str, ...]) -> Iterator[str]:
    rests = [element for element in elements if _is_long_rest(element)]
    if page.grading:
        if new:
            yield f"it is to be graded and brings {_listed(new)}; a review holds nothing new"
    elif rests and not [element for element in new if element not in rests]:
        return
    elif not new:
        yield "it brings nothing new, and is neither a review nor a page of long rests"
    elif len(new) > 1:
        yield f"it brings {len(new)} new elements, {_listed(new)}; a page brings one: put a page between"


def _is_long_rest(element: str) -> bool:
    return element.startswith("rest ") and element.endswith(" bars")


def _listed(elements: tuple[str, ...] | list[str]) -> str:
    return ", ".join(f"{element_words(element)} ({element})" for element in elements) or "nothing"
