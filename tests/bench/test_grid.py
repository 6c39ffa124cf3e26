"""Enumeration at scale against plain Python, and a grid made and written against mido saving its files."""

from functools import partial
from io import BytesIO

import mido

from kitgen.grid import masks
from kitgen.grid.granted import granted
from kitgen.make.applied import elements_in
from kitgen.make.grid_recipe import GridRecipe
from kitgen.make.gridded import gridded
from kitgen.write.manifest import Folder, folder_files
from tests.bench.race import Race

SLOTS = 16
RECIPE = GridRecipe(moving="LH", under="samba")


def by_masks() -> int:
    """All sixteenth bars of one stroke or more, reduced to necklaces."""
    return masks.count(SLOTS, masks.density(0, SLOTS), rotations=False)


def by_hand() -> int:
    """The same line by line in plain Python: one of each necklace, the smallest of its turns."""
    full, found = (1 << SLOTS) - 1, 0
    for mask in range(1 << SLOTS):
        if 0 <= mask.bit_count() <= SLOTS:
            turned, smallest = mask, True
            for _ in range(SLOTS - 1):
                turned = turned >> 1 | (turned & 1) << SLOTS - 1
                if turned & full < mask:
                    smallest = False
            found += smallest
    return found


def test_necklaces_at_least_fifty_times_faster_than_plain_python(race: Race) -> None:
    """65,536 sixteenth bars filtered and reduced to their 4,116 necklaces."""
    assert by_masks() == by_hand() == 4116

    race("necklaces by masks", lambda: by_masks, "plain Python", lambda: by_hand, at_most=1 / 50, rounds=5)


def made() -> dict[str, bytes]:
    """A grid of sixteen pages: made, its elements read, every file of its folder."""
    pages, steps, numbers = gridded(RECIPE)
    elements = [elements_in(page) for page in pages]
    known, one_new = granted(elements, steps)
    folder = Folder("A grid", str(RECIPE), pages, elements, numbers=numbers, known=known, one_new=one_new)
    return folder_files(folder)


def saved(files: list[mido.MidiFile]) -> None:
    """The same MIDI files saved by mido."""
    for file in files:
        file.save(file=BytesIO())


def test_a_grid_against_mido_saving_its_files(race: Race) -> None:
    """A samba grid for the left hand, made and written, in at most eight times what mido needs to save its files."""
    files = [mido.MidiFile(file=BytesIO(data)) for name, data in made().items() if name.endswith(".mid")]
    assert len(files) == 2 * 16

    race(
        "samba grid, made and written",
        lambda: made,
        "mido saving its files",
        lambda: partial(saved, files),
        at_most=8,
        rounds=3,
    )
