"""What is named by a word or is in a TOML file of the user's: its values, and how a recipe names it."""

import hashlib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from kitgen.errors import ReadError, UnknownNameError

_SHOWN = 60


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
    return values_in(text_in(path, what), path, what)


def text_in(path: Path, what: str) -> str:
    """The text of a TOML file.

    Raises:
        ReadError: it cannot be read, or is no text.
    """
    data = _bytes_of(path, what)
    try:
        return data.decode("utf-8-sig")
    except ValueError as error:
        raise ReadError(f"{path}: {error}; {what} is a TOML file") from error


def values_in(text: str, path: Path, what: str) -> dict[str, Any]:
    """The values of a TOML file's text; ``path`` and ``what`` are for messages.

    Raises:
        ReadError: it is no TOML.
    """
    import tomllib  # slow to load, and most commands name no such file

    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise ReadError(f"{path}: tables in tables without end; {what} is a short TOML file") from error
    except ValueError as error:
        raise ReadError(f"{path}: {error}; {what} is a TOML file") from error


def check_keys(
    table: Mapping[str, Any],
    kind: str,
    keys: Sequence[str],
    also_called: Mapping[str, tuple[str, ...]] | None = None,
) -> None:
    """Raise at a key that a table may not have.

    Args:
        table: the table.
        kind: what its keys are, as in "key of a kit file".
        keys: those it may have.
        also_called: what some other words mean.

    Raises:
        UnknownNameError: names the nearest.
    """
    for key in table:
        if key not in keys:
            likely = tuple(name for name in (also_called or {}).get(key.lower(), ()) if name in keys)
            raise UnknownNameError(kind, key, tuple(keys), likely=likely)


def shown(given: object) -> str:
    """A value as a file has it, cut where it is long."""
    if isinstance(given, bool):
        return str(given).lower()
    try:
        words = repr(given)
    except (ValueError, RecursionError):  # a whole number of thousands of digits, tables in tables
        words = "a value too long to print"
    return words if len(words) <= _SHOWN else f"{words[:_SHOWN]}..."


def _bytes_of(path: Path, what: str) -> bytes:
    try:
        return path.read_bytes()
    except (OSError, ValueError) as error:
        raise ReadError(f"{path}: {getattr(error, 'strerror', None) or error}; {what} is a TOML file") from error
