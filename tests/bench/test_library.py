"""A library to its files, against the least there is: writing their bytes, mido saving their events, one process."""

import tracemalloc
from collections.abc import Callable, Iterator
from functools import partial
from itertools import count
from pathlib import Path
from time import perf_counter
from unittest.mock import patch

import pytest

from kitgen.cli.jobs import side_by_side
from kitgen.make.library import Section, sections_in
from kitgen.make.library_recipe import LibraryRecipe
from kitgen.write import smf
from kitgen.write.library import write_library
from kitgen.write.library_files import LibraryWork, section_files
from kitgen.write.stage import staged
from tests.bench.floors import mido_making, mido_saving
from tests.bench.race import Race, Turn, only_own_garbage

STYLES = "bossa,funk,jazz-waltz,mambo,rock,samba,seven-8,swing"
Tracks = list[tuple[list[smf.Event], int]]


def sections(style: str = STYLES, tempo: str | None = None) -> tuple[Section, ...]:
    """Every section of some styles."""
    return sections_in(LibraryRecipe(style=style, tempo=tempo))


class Events:
    """The events of every file that is made while they are kept: what there is before it is encoded."""

    def __init__(self) -> None:
        self.files: list[tuple[Tracks, int, bytes]] = []
        self._tracks: Tracks = []
        self._track, self._file = smf.track, smf.file

    def track(self, events: Iterator[smf.Event], end_tick: int) -> bytes:
        """Keep a track's events."""
        kept = list(events)
        self._tracks.append((kept, end_tick))
        return self._track(kept, end_tick)

    def file(self, tracks: list[bytes], ticks: int) -> bytes:
        """Keep a file's."""
        data = self._file(tracks, ticks)
        self.files.append((self._tracks, ticks, data))
        self._tracks = []
        return data


@pytest.fixture(scope="module")
def material() -> list[tuple[Tracks, int, bytes]]:
    """Events, ticks a quarter and bytes of every file of some styles."""
    events = Events()
    with patch.multiple(smf, track=events.track, file=events.file):
        for section in sections():
            section_files(LibraryWork(section))
    assert all(encoded(tracks, ticks) == data for tracks, ticks, data in events.files)
    return events.files


def encoded(tracks: Tracks, ticks: int) -> bytes:
    """A file of events."""
    return smf.file([smf.track(events, end) for events, end in tracks], ticks)


def test_encoding_and_writing_against_writing_alone(
    race: Race, material: list[tuple[Tracks, int, bytes]], tmp_path: Path
) -> None:
    """Files encoded and written whole or not at all, in no more than 3 times what writing their bytes takes."""
    turns = count()

    def ours() -> None:
        with staged(tmp_path / f"ours-{next(turns)}") as stage:
            for number, (tracks, ticks, _) in enumerate(material):
                stage.write(f"{number}.mid", encoded(tracks, ticks))

    def plain() -> None:
        folder = tmp_path / f"plain-{next(turns)}"
        folder.mkdir()
        for number, (_, _, data) in enumerate(material):
            (folder / f"{number}.mid").write_bytes(data)

    race("library, encoded and written", lambda: ours, "the same bytes written", lambda: plain, at_most=3, rounds=7)


@pytest.mark.parametrize(
    ("floor", "words", "at_most", "rounds"),
    [
        # about 10 times faster than mido saves the same events, its messages made beforehand
        (mido_saving, "mido saving the same", 0.12, 7),
        # where mido makes the messages too, as one who has events must
        (mido_making, "mido making and saving", 0.06, 3),
    ],
    ids=["saving", "making"],
)
def test_encoding_against_mido(
    race: Race,
    material: list[tuple[Tracks, int, bytes]],
    *,
    floor: Callable[[bytes], Turn],
    words: str,
    at_most: float,
    rounds: int,
) -> None:
    """How long events take to become files, against mido."""
    by_mido = [floor(data) for _, _, data in material]

    def saving() -> None:
        for save in by_mido:
            save()

    def ours() -> None:
        for tracks, ticks, _ in material:
            encoded(tracks, ticks)

    race("library, events to bytes", lambda: ours, words, lambda: saving, at_most=at_most, rounds=rounds)


def test_the_whole_way_against_mido_saving(race: Race, material: list[tuple[Tracks, int, bytes]]) -> None:
    """How long styles take to become files, pages made and all, against mido making files of the events alone."""
    by_mido = [mido_making(data) for _, _, data in material]
    works = [LibraryWork(section) for section in sections()]

    def saving() -> None:
        for save in by_mido:
            save()

    def ours() -> None:
        for work in works:
            section_files(work)

    race("styles to bytes", lambda: ours, "mido, same events", lambda: saving, rounds=3)


def test_two_processes_against_one(race: Race, tmp_path: Path) -> None:
    """How long two processes take, from start to end, against one; on a machine with nothing else to do."""
    turns = count()

    def written(jobs: int) -> None:
        with side_by_side(jobs, len(sections())) as executor:
            out = tmp_path / f"jobs-{next(turns)}"
            write_library(out, sections(), title="A library", recipe="kitgen library", executor=executor)

    two, one = partial(written, 2), partial(written, 1)
    race("library, two processes", lambda: two, "one process", lambda: one, rounds=2, clock=perf_counter)


def test_memory_is_flat_as_a_library_grows(tmp_path: Path) -> None:
    """Four times as many pages take no more than a quarter more memory at their peak."""
    peaks = [
        _peak(partial(_written, tmp_path / name, tempo)) for name, tempo in (("few", "100"), ("many", "97..103:2"))
    ]
    assert peaks[1] < 1.25 * peaks[0] + 200_000


def _written(out: Path, tempo: str) -> None:
    write_library(out, sections("rock", tempo), title="A library", recipe="kitgen library")


def _peak(turn: Turn) -> int:
    """The most memory that is in use at a time while something runs, in bytes."""
    with only_own_garbage():
        turn()  # what is loaded or kept on a first turn is there before the second
        tracemalloc.start()
        try:
            turn()
            return tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()
