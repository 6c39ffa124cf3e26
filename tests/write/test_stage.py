"""Files written one by one are there together or not at all."""

from pathlib import Path

import pytest

from kitgen.errors import WriteError
from kitgen.write.stage import Stage, staged


def contents(folder: Path) -> dict[str, bytes]:
    """Every file under a folder by its path, hidden ones too."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def fill(stage: Stage, *names: str) -> None:
    """Write files that hold their own names."""
    for name in names:
        stage.write(name, name.encode())


def test_files_appear_together(tmp_path: Path) -> None:
    """Nothing is at the place before the end; then everything, and nothing else beside it."""
    out = tmp_path / "deep" / "down"
    with staged(out) as stage:
        fill(stage, "a", "inside/b")
        with stage.open("c") as file:
            file.write(b"in ")
            file.write(b"pieces")
        assert not out.exists()
    assert contents(tmp_path / "deep") == {"down/a": b"a", "down/inside/b": b"inside/b", "down/c": b"in pieces"}


@pytest.mark.parametrize("error", [KeyboardInterrupt, OSError(28, "No space left on device"), ValueError])
@pytest.mark.parametrize("there", [False, True])
def test_a_failure_leaves_what_was_there(
    tmp_path: Path, error: BaseException | type[BaseException], *, there: bool
) -> None:
    """Interrupted midway, or the disk full: no new file, no folder, nothing hidden; what was there is as it was."""
    out = tmp_path / "out"
    if there:
        with staged(out) as stage:
            fill(stage, "a", "old")
    before = contents(tmp_path)

    def half_way() -> None:
        with staged(out, force=True) as stage:
            fill(stage, "a", "new")
            raise error

    with pytest.raises((KeyboardInterrupt, WriteError, ValueError)):
        half_way()
    assert contents(tmp_path) == before
    assert out.exists() is there


def test_a_full_disk_is_told(tmp_path: Path) -> None:
    """A full disk is one sentence with the folder and what to do."""

    def half_way() -> None:
        with staged(tmp_path / "out") as stage:
            fill(stage, "a")
            raise OSError(28, "No space left on device")

    with pytest.raises(WriteError, match=r"cannot write to .*out: No space left on device; choose another --out"):
        half_way()


def test_a_failing_move_is_taken_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where files move into a folder that is there and one cannot, those that have moved go back."""
    out = tmp_path / "out"
    with staged(out) as stage:
        stage.write("a", b"first a")
        stage.write("b", b"first b")
    before = contents(tmp_path)
    replace = Path.replace

    def failing(self: Path, target: Path) -> Path:
        if self.name == "b" and self.parent.name == "new":
            raise OSError(5, "Input/output error")
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", failing)

    def again() -> None:
        with staged(out, force=True) as stage:
            fill(stage, "a", "b", "c")

    with pytest.raises(WriteError, match="Input/output error"):
        again()
    assert contents(tmp_path) == before


def test_other_bytes_are_not_overwritten(tmp_path: Path) -> None:
    """A file that differs stops the run, unless forced; one that is the same does not."""
    out = tmp_path / "out"
    with staged(out) as stage:
        fill(stage, "a", "b")
    with staged(out) as stage:
        fill(stage, "a", "c")

    def changed() -> None:
        with staged(out) as stage:
            fill(stage, "d")
            stage.write("a", b"other")

    with pytest.raises(WriteError, match="a would be overwritten; choose another --out, or --force to replace"):
        changed()
    assert contents(out) == {"a": b"a", "b": b"b", "c": b"c"}


def test_force_takes_away_what_an_earlier_manifest_lists(tmp_path: Path) -> None:
    """With force, files of the old manifest that are not written again go, if they are still as it says."""
    import hashlib
    import json

    out = tmp_path / "out"
    sums = {name: hashlib.sha256(name.encode()).hexdigest() for name in ("in/a", "in/b")}
    pages = [{"files": {"mid": name}, "sha256": {"mid": digest}} for name, digest in sums.items()]
    with staged(out) as stage:
        fill(stage, "in/a", "in/b", "in/mine")
        stage.write("manifest.json", json.dumps({"pages": pages}).encode())
    with staged(out, force=True) as stage:
        stage.write("in/a", b"other")
        stage.write("manifest.json", b"{}")
    assert contents(out) == {"in/a": b"other", "in/mine": b"in/mine", "manifest.json": b"{}"}


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    """Where a file stands nothing is written."""
    place = tmp_path / "out"
    place.write_bytes(b"mine")

    def write() -> None:
        with staged(place) as stage:
            fill(stage, "a")

    with pytest.raises(WriteError, match="out is a file; give --out a folder"):
        write()
    assert contents(tmp_path) == {"out": b"mine"}
