"""What is named by a word or is in a TOML file of the user's: its values, and how a recipe names it."""

import hashlib
from pathlib import Path
from typing import Any

from kitgen.errors import ReadError


def is_file(given: str) -> bool:
    """True where an option names a TOML file."""
    return given.lower().endswith(".toml")


def words_of(given: str, what: str) -> tuple[str, tuple[str, ...]]:
    """How a recipe names it: the word, or the file's name, and the file's name and hash if it is in one.

    Raises:
        ReadError: a file that cannot be read.
    """
    if not is_file(given):
        return given, ()
    path = Path(given)
    return path.name, (f"{path.name} sha256:{hashlib.sha256(_bytes_of(path, what)).hexdigest()}",)


def values_of(path: Path, what: str) -> dict[str, Any]:
    """The values of a file.

    Args:
        path: the file.
        what: what it should be, as in "a kit".

    Raises:
        ReadError: it cannot be read, or is no TOML file.
    """
    import tomllib  # slow to load, and most commands name no such file

    data = _bytes_of(path, what)
    try:
        return tomllib.loads(data.decode("utf-8-sig"))
    except RecursionError as error:
        raise ReadError(f"{path}: tables in tables without end; {what} is a short TOML file") from error
    except ValueError as error:
        raise ReadError(f"{path}: {error}; {what} is a TOML file") from error


def _bytes_of(path: Path, what: str) -> bytes:
    try:
        return path.read_bytes()
    except (OSError, ValueError) as error:
        raise ReadError(f"{path}: {getattr(error, 'strerror', None) or error}; {what} is a TOML file") from error
