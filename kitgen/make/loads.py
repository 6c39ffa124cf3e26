"""How hard the pages of a file or folder are to coordinate, with the parts of each load, for ``kitgen check --load``.

Conventions: a page is as hard as its hardest row, played round and round at the page's goal. In a folder the pages are
a series in order: a set of limbs that strikes together counts as new on the first page that has it.
"""

from collections.abc import Collection, Iterator
from pathlib import Path
from typing import NamedTuple

from kitgen.errors import ReadError
from kitgen.make.checks import who_plays
from kitgen.make.folder_checks import manifest_of
from kitgen.page import Page
from kitgen.pattern import Pattern
from kitgen.pattern.load import PARTS, Load, limb_sets, load_of
from kitgen.pattern.load_asked import LimbSet
from kitgen.read.anything import read_anything
from kitgen.time import unit_names


class PageLoad(NamedTuple):
    """The load of one page.

    Args:
        name: the page's title, or the file's name.
        row: the label of its hardest row; empty where there is one row only.
        rows: how many rows it has.
        load: the load of that row.
        pace: the tempo it is measured at, in words; empty where the file has none.
    """

    name: str
    row: str
    rows: int
    load: Load
    pace: str

    @property
    def lines(self) -> tuple[str, ...]:
        """The total, the hardest row, then a table of what its load is made of, the greatest part first."""
        pace = f" at {self.pace}" if self.pace else ""
        head = [f"{self.name}: load {self.load.total:.1f}{pace}"]
        head += [f"  hardest of its {self.rows} rows: {self.row}"] if self.row else []
        return *head, *load_table(self.load)


def load_table(load: Load) -> tuple[str, ...]:
    """A row a part: what it adds, what was counted, what it is multiplied by, and what drives it most.

    >>> from kitgen.pattern import parse_rows
    >>> for line in load_table(load_of(parse_rows("RF bass x. x. .x .."))):
    ...     print(line)
      adds  part                      count  weight  most at
       3.2  rhythm of all together    12.67    0.25  from bar 1, count "1"
       3.0  beats unlike each other    6.07     0.5  right foot, from bar 1, count "1"
       2.0  limbs                         1       2  RF
       2.0  length before it repeats      2       1  4 beats before it repeats
       1.5  strokes                       3     0.5  from bar 1, count "1"
       1.3  strokes off the beat        1.3       1  right foot, bar 1, count "& of 3"
       1.0  sets of limbs                 1       1  one limb at once
       1.0  sets by place                 2     0.5  1 of them on the number
       1.0  changes of set                2     0.5  RF to RF is the rarest
    """
    table = [f"{'adds':>6}  {'part':24} {'count':>6} {'weight':>7}  most at"]
    table += [
        f"{part.share:6.1f}  {PARTS[part.name]:24} {round(part.value, 2):6g} {part.weight:7g}  {part.worst}"
        for part in load.heaviest_first
    ]
    return tuple(table)


def loads_of_path(path: Path) -> Iterator[PageLoad]:
    """The load of a file's page, or of every page of a folder in order.

    Args:
        path: a MIDI file this package wrote, a page of box text, a drum score, or a folder with a manifest.

    Raises:
        ReadError: it is none of these, or has no limbs to coordinate.
    """
    if not path.is_dir():
        yield _measured(path, None)[1]
        return
    met = frozenset[LimbSet]()
    for entry in manifest_of(path)["pages"]:
        files = entry["files"]
        name = files.get("txt") or files.get("mid")
        if name is None:
            raise ReadError(f"{path}: page {entry['number']} has neither text nor MIDI to measure")
        pattern, found = _measured(path / name, met)
        yield found._replace(name=f"page {entry['number']}, {entry['title']}")
        met |= limb_sets(pattern)


def _measured(path: Path, met: Collection[LimbSet] | None) -> tuple[Pattern, PageLoad]:
    """Everything a file plays, and its load."""
    what = read_anything(path).what
    if isinstance(what, Pattern):
        return what, PageLoad(path.name, "", 1, load_of(what, met=met), "")
    if not isinstance(what, Page):
        kind = type(what).__name__.lower()
        raise ReadError(f"{path.name}: a {kind} does not say which limb plays what; a load is measured on pages")
    return what.pattern, page_load(what, met)


def page_load(page: Page, met: Collection[LimbSet] | None = None) -> PageLoad:
    """The load of a page: that of its hardest row, at its goal.

    Args:
        page: the page.
        met: sets of limbs met on pages before it; None outside a series.
    """
    pace = page.tempo.goal * float(page.tempo.unit)
    _, hand = who_plays(page)
    loads = [(load_of(row.pattern, pace=pace, met=met, hand=hand), row.label) for row in page.rows]
    load, label = max(loads, key=lambda found: found[0].total)
    words = f"{page.tempo.goal:g} {unit_names(page.tempo.unit)} a minute"
    return PageLoad(page.title, label if len(page.rows) > 1 else "", len(page.rows), load, words)
