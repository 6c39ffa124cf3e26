"""Writing many files one by one, whole or not at all, without holding them.

Files go to a hidden folder beside their place as they come. When all are there the folder becomes the place by one
rename; where there is a folder already, each file moves in and what was there before is put back if anything fails or
the run is interrupted.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from errno import ENOSPC
from pathlib import Path
from typing import BinaryIO

from kitgen.errors import WriteError
from kitgen.write.listed import digest_of, listed

_NEW, _OLD = "new", "old"
_FRESH = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)


class Stage:
    """Files on their way into a folder; names may have one folder in front."""

    def __init__(self, folder: Path, hidden: Path, *, force: bool) -> None:
        self.folder, self.force = folder, force
        self._new, self._old = hidden / _NEW, hidden / _OLD
        self._there = folder.is_dir()
        self._made: set[str] = set()
        self._new.mkdir()
        self._inside = str(self._new)  # joined as text, which is the quickest for thousands of small files

    def write(self, name: str, data: bytes) -> None:
        """Write a file.

        Raises:
            WriteError: it is in the folder, differs, and nobody said that it may be replaced.
        """
        if self._there and not self.force:
            self._check(name, data)
        file = os.open(self._place(name), _FRESH, 0o666)
        try:
            if os.write(file, data) != len(data):  # what a full disk may answer instead of an error
                raise OSError(ENOSPC, os.strerror(ENOSPC))
        finally:
            os.close(file)

    def open(self, name: str) -> BinaryIO:
        """A file to be written in pieces; the caller closes it."""
        return Path(self._place(name)).open("xb")

    def _place(self, name: str) -> str:
        inside = name.rpartition("/")[0]
        if inside and inside not in self._made:
            (self._new / inside).mkdir(parents=True, exist_ok=True)
            self._made.add(inside)
        return f"{self._inside}/{name}"

    def _check(self, name: str, data: bytes) -> None:
        place = self.folder / name
        if place.exists() and not (place.is_file() and place.read_bytes() == data):
            raise WriteError(f"{place} would be overwritten; choose another --out, or --force to replace")

    def move_in(self) -> None:
        """Put every file in its place.

        Raises:
            WriteError: a file written in pieces would be overwritten.
        """
        if not self._there:
            self._new.replace(self.folder)
            return
        done: list[Path] = []
        stale = list(_stale(self.folder, self._new)) if self.force else []
        try:
            for new in _files(self._new):
                place = self.folder / new.relative_to(self._new)
                if not self.force:
                    self._check(str(new.relative_to(self._new)), new.read_bytes())
                place.parent.mkdir(parents=True, exist_ok=True)
                self._keep(place)
                done.append(place)
                new.replace(place)
            for place in stale:
                self._keep(place)
                done.append(place)
        except BaseException:
            for place in reversed(done):
                old = self._old / place.relative_to(self.folder)
                if old.exists():
                    old.replace(place)
                else:
                    place.unlink(missing_ok=True)
            raise

    def _keep(self, place: Path) -> None:
        """Take a file out of the folder that is about to be replaced, so that it can be put back."""
        if place.is_file():
            old = self._old / place.relative_to(self.folder)
            old.parent.mkdir(parents=True, exist_ok=True)
            place.replace(old)


@contextmanager
def staged(folder: Path, *, force: bool = False) -> Iterator[Stage]:
    """Files for a folder, there together when the block ends, and not at all if it fails.

    Args:
        folder: where to; made if it is not there.
        force: replace files that differ, and take away those an earlier manifest lists that are not written again.

    Raises:
        WriteError: the folder cannot be written, or files that differ would be overwritten; nothing is changed.
    """
    if folder.exists() and not folder.is_dir():
        raise WriteError(f"{folder} is a file; give --out a folder")
    fresh = [parent for parent in folder.parents if not parent.exists()]
    hidden: Path | None = None
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        hidden = _hidden(folder)
        stage = Stage(folder, hidden, force=force)
        yield stage
        stage.move_in()
    except BaseException as error:
        _clear(hidden)
        for parent in fresh:
            with suppress(OSError):
                parent.rmdir()
        if isinstance(error, OSError) and not isinstance(error, WriteError):
            raise WriteError(f"cannot write to {folder}: {error.strerror or error}; choose another --out") from error
        raise
    _clear(hidden)


def _hidden(folder: Path) -> Path:
    for number in range(1000):
        hidden = folder.parent / f".writing-{folder.name}-{os.getpid()}-{number}"
        with suppress(FileExistsError):
            hidden.mkdir()
            return hidden
    raise WriteError(f"{folder.parent} holds a thousand folders named .writing-...; remove them")


def _clear(hidden: Path | None) -> None:
    if hidden is not None:
        import shutil  # slow to load

        shutil.rmtree(hidden, ignore_errors=True)


def _files(folder: Path) -> Iterator[Path]:
    for inside, _, names in os.walk(folder):
        yield from (Path(inside) / name for name in sorted(names))


def _stale(folder: Path, new: Path) -> Iterator[Path]:
    """Files that the folder's old manifest lists, that are as it says, and that are not written again."""
    for name, digest in listed(folder).items():
        inside = not Path(name).is_absolute() and ".." not in Path(name).parts
        if inside and not (new / name).exists() and digest_of(folder / name) == digest:
            yield folder / name
