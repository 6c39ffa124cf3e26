"""Writing a folder of files whole or not at all.

Files are first written to a hidden folder beside their place; only when all are there do they move in, each by one
rename. What was there before is put back if anything fails or the run is interrupted.
"""

import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from kitgen.errors import WriteError
from kitgen.write.listed import digest_of, listed


def write_folder(folder: Path, files: Mapping[str, bytes], *, force: bool = False) -> None:
    """Write files into a folder, made if it is not there.

    A file that is there already with the same bytes is left alone.

    Args:
        folder: where to.
        files: bytes by file name.
        force: replace files that differ, and take away those an earlier manifest lists that are not written again.

    Raises:
        WriteError: the folder cannot be written, or files that differ would be overwritten; nothing is changed.
    """
    try:
        if folder.exists() and not folder.is_dir():
            raise WriteError(f"{folder} is a file; give --out a folder")
        changed = {name: data for name, data in files.items() if not _same(folder / name, data)}
        taken = [name for name in changed if (folder / name).exists()]
        if taken and not force:
            more = f" and {len(taken) - 1} more" if len(taken) > 1 else ""
            raise WriteError(
                f"{folder / taken[0]}{more} would be overwritten; choose another --out, or --force to replace"
            )
        stale = _stale(folder, files) if force else []
        if changed:
            _move_in(folder, changed)
        for path in stale:
            path.unlink()
    except OSError as error:
        if isinstance(error, WriteError):
            raise
        raise WriteError(f"cannot write to {folder}: {error.strerror or error}; choose another --out") from error


def _same(path: Path, data: bytes) -> bool:
    return path.is_file() and path.stat().st_size == len(data) and path.read_bytes() == data


def _stale(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    """Files that the folder's old manifest lists, that are as it says, and that are no longer written."""
    return [
        folder / name
        for name, digest in listed(folder).items()
        if name not in files and Path(name).name == name and digest_of(folder / name) == digest
    ]


def _move_in(folder: Path, files: Mapping[str, bytes]) -> None:
    fresh = [parent for parent in (folder, *folder.parents) if not parent.exists()]
    done: list[Path] = []
    kept: dict[Path, Path] = {}
    stage = None
    try:
        folder.mkdir(parents=True, exist_ok=True)
        stage = _stage(folder)
        for index, data in enumerate(files.values()):
            (stage / f"new-{index}").write_bytes(data)
        for index, name in enumerate(files):
            place = folder / name
            if place.exists():
                kept[place] = stage / f"old-{index}"
                _copy(place, kept[place])
            done.append(place)
            (stage / f"new-{index}").replace(place)
    except BaseException:
        for place in done:
            if place in kept:
                kept[place].replace(place)
            else:
                place.unlink(missing_ok=True)
        if stage is not None:
            _clear(stage)
        for parent in fresh:
            with suppress(OSError):
                parent.rmdir()
        raise
    _clear(stage)


def _stage(folder: Path) -> Path:
    """A new hidden folder for files on their way in."""
    for number in range(1000):
        stage = folder / f".writing-{os.getpid()}-{number}"
        with suppress(FileExistsError):
            stage.mkdir()
            return stage
    raise WriteError(f"{folder} holds a thousand folders named .writing-...; remove them")


def _copy(place: Path, kept: Path) -> None:
    """Keep a file that is about to be replaced."""
    import shutil  # slow to load, and only wanted where files are replaced

    shutil.copy2(place, kept)


def _clear(stage: Path) -> None:
    with suppress(OSError):
        for left in stage.iterdir():
            left.unlink()
        stage.rmdir()
