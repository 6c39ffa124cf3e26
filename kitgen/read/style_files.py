"""Where styles are: the library's folder, and folders of the user's own."""

from pathlib import Path

from kitgen.errors import ReadError

_PACKAGE = Path(__file__).resolve().parents[1]


def grooves_folder() -> Path:
    """Where the library's styles are: beside the package in a checkout, inside it once installed."""
    inside = _PACKAGE / "grooves"
    return inside if inside.is_dir() else _PACKAGE.parent / "grooves"


def style_names() -> tuple[str, ...]:
    """The names of the library's styles, in alphabetical order."""
    return tuple(sorted(path.stem for path in grooves_folder().glob("*.toml")))


def style_paths(folder: Path) -> tuple[Path, ...]:
    """The style files of a folder, in order of their names.

    Raises:
        ReadError: a folder without any.
    """
    paths = tuple(sorted(folder.glob("*.toml")))
    if not paths:
        raise ReadError(f"{folder}: no style in it; a style is a file NAME.toml")
    return paths


def holds_styles(folder: Path) -> bool:
    """True for a folder with TOML files and no manifest."""
    return any(folder.glob("*.toml")) and not (folder / "manifest.json").is_file()
