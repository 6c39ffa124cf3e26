"""Whether the loops of a library are what their recipes make: every one whose style, kit and player are built in."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kitgen.errors import KitgenError
from kitgen.make.again import made_again, recipe_in
from kitgen.read.midi import page_of_midi
from kitgen.time import count_name

if TYPE_CHECKING:
    import mido


def remake_findings(midi: "mido.MidiFile", path: Path, entry: Mapping[str, Any]) -> Iterator[str]:
    """A finding where a loop has other strokes than its recipe makes.

    Args:
        midi: the loop.
        path: its file.
        entry: what the manifest says of its page.

    Raises:
        ReadError: the loop cannot be read.
    """
    text = str(entry["recipe"])
    recipe = recipe_in(text)
    if recipe is None or recipe.from_file:
        return
    try:
        meant = made_again(text).pattern
    except KitgenError as error:
        yield f"its recipe does not make it: {error}"
        return
    found = page_of_midi(midi, path).pattern
    if found.span != meant.span:
        yield f"it lasts {found.span} quarters, and its recipe makes {meant.span}"
    elif other := set(found.hits) ^ set(meant.hits):
        first = min(hit.onset for hit in other)
        yield f"it has other strokes than its recipe makes, first at {count_name(meant.meters, first)}"
