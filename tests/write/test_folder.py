"""A folder is written whole or not at all; nothing is overwritten unless asked."""

import shutil
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitgen.errors import WriteError
from kitgen.write.folder import write_folder

FILES = {"a.txt": b"one", "b.txt": b"two", "manifest.json": b"{}"}


def contents(folder: Path) -> dict[str, bytes]:
    """Every file in a folder by name, hidden ones too; folders by their name and nothing."""
    return {path.name: path.read_bytes() if path.is_file() else b"folder" for path in sorted(folder.iterdir())}


def test_files_are_written_into_a_new_folder(tmp_path: Path) -> None:
    """The folder is made, with its parents, and holds the files and nothing else."""
    folder = tmp_path / "deep" / "down"
    write_folder(folder, FILES)
    assert contents(folder) == FILES


def test_the_same_bytes_again_are_no_conflict(tmp_path: Path) -> None:
    """Writing the same once more changes nothing, not even the time of a file."""
    write_folder(tmp_path, FILES)
    before = {path: path.stat().st_mtime_ns for path in tmp_path.iterdir()}
    write_folder(tmp_path, FILES)
    assert {path: path.stat().st_mtime_ns for path in tmp_path.iterdir()} == before


def test_other_files_are_left_alone(tmp_path: Path) -> None:
    """What else is in the folder stays, also with force."""
    (tmp_path / "notes.doc").write_bytes(b"mine")
    write_folder(tmp_path, FILES, force=True)
    assert contents(tmp_path) == {**FILES, "notes.doc": b"mine"}


def test_files_that_differ_are_kept_unless_forced(tmp_path: Path) -> None:
    """A file that would be overwritten stops the whole; force replaces it."""
    (tmp_path / "b.txt").write_bytes(b"mine")
    with pytest.raises(WriteError, match=r"b\.txt would be overwritten; choose another --out, or --force to replace"):
        write_folder(tmp_path, FILES)
    assert contents(tmp_path) == {"b.txt": b"mine"}
    (tmp_path / "a.txt").write_bytes(b"mine too")
    with pytest.raises(WriteError, match=r"a\.txt and 1 more would be overwritten"):
        write_folder(tmp_path, FILES)
    write_folder(tmp_path, FILES, force=True)
    assert contents(tmp_path) == FILES


def test_a_file_in_the_folders_place(tmp_path: Path) -> None:
    """A file where the folder should be, or above it, is an error that says so."""
    (tmp_path / "out").write_bytes(b"mine")
    with pytest.raises(WriteError, match="out is a file; give --out a folder"):
        write_folder(tmp_path / "out", FILES)
    with pytest.raises(WriteError, match="Not a directory; choose another --out"):
        write_folder(tmp_path / "out" / "below", FILES)
    assert contents(tmp_path) == {"out": b"mine"}


def test_a_name_too_long_for_the_system(tmp_path: Path) -> None:
    """What the file system refuses is told as it tells it."""
    with pytest.raises(WriteError, match="File name too long"):
        write_folder(tmp_path / "new" / ("x" * 300), FILES)
    assert contents(tmp_path) == {}


@settings(max_examples=max(20, settings().max_examples // 5))
@given(data=st.data(), at=st.integers(0, 8))
@pytest.mark.parametrize("error", [KeyboardInterrupt, OSError(28, "No space left on device"), MemoryError])
@pytest.mark.parametrize("moment", ["write_bytes", "replace", "copy2"])
def test_a_failure_at_any_moment_changes_nothing(
    tmp_path_factory: pytest.TempPathFactory, moment: str, error: BaseException, data: st.DataObject, at: int
) -> None:
    """Interrupted or refused at any step, with force or without, what was there is there again and nothing else."""
    names = st.sampled_from([*FILES, "other"])
    before = data.draw(st.dictionaries(names, st.sampled_from([b"mine", b"one", b""]), max_size=4))
    folder = tmp_path_factory.mktemp("folder")
    for name, text in before.items():
        (folder / name).write_bytes(text)
    new = not before and data.draw(st.booleans())
    target = folder / "deep" / "down" if new else folder
    with pytest.MonkeyPatch.context() as patch:
        counted = fail_at(patch, moment, at, error)
        try:
            write_folder(target, FILES, force=True)
        except (KeyboardInterrupt, MemoryError):
            failed = True
        except WriteError as told:
            assert "No space left on device; choose another --out" in str(told)  # noqa: PT017
            failed = True
        else:
            failed = False
    assert failed is (counted[0] > at)
    if failed:
        assert contents(folder) == before
    else:
        assert contents(target) == {**before, **FILES}


def fail_at(patch: pytest.MonkeyPatch, moment: str, at: int, error: BaseException | type[BaseException]) -> list[int]:
    """Let the file operation of that name fail, once, when it is called for the time numbered ``at`` from 0."""
    home = shutil if moment == "copy2" else Path
    real, calls = getattr(home, moment), [0]

    def failing(*args: object, **options: object) -> object:
        calls[0] += 1
        if calls[0] == at + 1:
            raise error
        return real(*args, **options)

    patch.setattr(home, moment, failing)
    return calls
