"""A school year of pages, planned and written, against what saving its MIDI files costs."""

from functools import partial
from io import BytesIO

import mido
import pytest

from kitgen.course.naming import fewest_boxes
from kitgen.course.plan import Chapter, Goal, Plan
from kitgen.make.serial import series_of
from kitgen.make.series_recipe import SeriesRecipe
from kitgen.read.plans import PlanFile
from kitgen.write.manifest import Folder, folder_files
from tests.bench.race import Race, Turn

FEET = (
    "samba", "baiao", "songo", "quarters", "hat-quarters", "hat-2-4", "bossa", "tumbao", "bass-1-3-hat-2-4",
    "quarters-hat-2-4",
)  # fmt: skip
"""Those that are part of others before them, which teach them."""
PAGES, FEW = 200, 20
"""How many pages are timed, and how many are made where nothing is."""


def school_year(pages: int) -> Plan:
    """Ten ostinatos for the feet, and over each the cells of sixteenths, one hand after the other."""
    boxes = [fewest_boxes("".join(".x"[bits >> place & 1] for place in range(4))) for bits in range(1, 16)]
    elements = [f"ostinato {name}" for name in FEET]
    elements += [f"cell {hand} {cell} over {name}" for hand in ("LH", "RH") for name in FEET for cell in boxes]
    goals = tuple(Goal(f"goal {number}", element) for number, element in enumerate(elements[:pages], start=1))
    known = ("meter 4/4", "sound LH snare", "sound RH ride")
    return Plan("a school year", (Chapter("feet and hands", goals),), known)


def written(pages: int, seed: int = 0) -> dict[str, bytes]:
    """The plan's pages, planned, composed and written as text and MIDI."""
    source = PlanFile(school_year(pages), "school-year.toml")
    series = series_of(SeriesRecipe(plan=source.words, seed=seed), source)
    made = [one.page for one in series.pages]
    assert len(made) == pages
    return folder_files(
        Folder(series.title, "kitgen", made, [one.elements for one in series.pages], known=series.known, one_new=True)
    )


def saving(pages: int) -> Turn:
    """Mido saving every MIDI file of such a series of another seed, each of which it has in memory.

    Half the pages do, counted twice: they are alike.
    """
    loops = [data for name, data in written(pages, seed=1).items() if name.endswith(".mid")]
    files = [mido.MidiFile(file=BytesIO(data)) for data in loops]
    assert len(files) == 2 * pages
    return lambda: [file.save(file=BytesIO()) for file in files]


@pytest.mark.slow
def test_a_year_of_pages(race: Race) -> None:
    """Two hundred pages, each composed and proved to bring one new element, cost less than twenty such savings."""
    pages = FEW if race.timer.disabled else PAGES
    race(
        f"{pages} pages planned and written",
        lambda: partial(written, pages),
        "mido saving them",
        partial(saving, pages // 2),
        at_most=20,
        scale=2,
        rounds=1,
    )
