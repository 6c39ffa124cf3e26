"""Findings of ``kitgen check`` about styles: what cannot be read, and what breaks the rules of styles."""

from collections.abc import Iterator
from pathlib import Path

from kitgen.errors import ReadError
from kitgen.kit import PLAYERS, Player
from kitgen.read.style_files import style_paths
from kitgen.read.styles import read_style
from kitgen.styles.rules import style_findings


def check_styles(path: Path, by: Player | None = None) -> tuple[str, ...]:
    """Findings about a style's file, or about every style of a folder.

    A file of a folder that is no style is a finding, so that the others are looked at as well.

    Args:
        path: the file or folder.
        by: who has to be able to play everything at its fastest; an advanced player when left out.

    Raises:
        ReadError: a single file that is no style.
    """
    player = by or PLAYERS["advanced"]
    if not path.is_dir():
        return tuple(map(str, style_findings(read_style(path), player)))
    return tuple(finding for one in style_paths(path) for finding in _of_one(one, player))


def _of_one(path: Path, player: Player) -> Iterator[str]:
    try:
        yield from (f"{path.stem}: {finding}" for finding in style_findings(read_style(path), player))
    except ReadError as error:
        yield str(error)
