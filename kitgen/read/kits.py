"""A kit from a TOML file.

Keys: ``name``; ``surfaces``, a list of labels; optionally ``hand`` (right, left, open) and a table ``[keys]`` of
MIDI keys by label for instruments that do not follow General MIDI.
"""

import hashlib
from pathlib import Path

from kitgen.errors import KitgenError, OptionError, ReadError, UnknownNameError
from kitgen.kit import KITS, Kit, kit

_KEYS = ("name", "surfaces", "hand", "keys")


def kit_named(given: str, *, hand: str | None = None) -> Kit:
    """A built-in kit by name, or one from a TOML file.

    Args:
        given: ``standard``, ``small`` or a path ending in .toml.
        hand: hand setting; a file's own, else right, when left out.

    Raises:
        UnknownNameError: no such kit; ReadError: a file that is no kit.
    """
    if not given.lower().endswith(".toml"):
        if given not in KITS:
            raise UnknownNameError("kit", given, [*KITS, "FILE.toml"])
        return kit(given, hand=hand or "right")
    return read_kit(Path(given), hand=hand)


def kit_words(given: str) -> tuple[str, tuple[str, ...]]:
    """How a kit is named in a recipe, its name or its file's, and the file's name and hash if it is in one."""
    path = Path(given)
    if path.suffix.lower() != ".toml":
        return given, ()
    return path.name, (f"{path.name} sha256:{hashlib.sha256(_bytes_of(path)).hexdigest()}",)


def _bytes_of(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except (OSError, ValueError) as error:
        raise ReadError(f"{path}: {getattr(error, 'strerror', None) or error}; a kit is a TOML file") from error


def read_kit(path: Path, *, hand: str | None = None) -> Kit:
    """A kit from a file.

    Raises:
        ReadError: names the file and what is wrong in it.
    """
    import tomllib  # slow to load, and most commands name no kit file

    try:
        values = tomllib.loads(_bytes_of(path).decode("utf-8-sig"))
    except (ValueError, RecursionError) as error:
        raise ReadError(f"{path}: {error}; a kit is a TOML file") from error
    try:
        for key in values:
            if key not in _KEYS:
                raise UnknownNameError("key of a kit file", key, _KEYS)
        keys = values.get("keys", {})
        surfaces = values.get("surfaces", [])
        if not isinstance(surfaces, list) or not all(isinstance(label, str) for label in surfaces):
            raise OptionError("'surfaces' is a list of labels in quotes")
        if not isinstance(keys, dict) or not all(type(key) is int for key in keys.values()):
            raise OptionError("[keys] gives a MIDI key, a number, to each label")
        return Kit(
            str(values.get("name", path.stem)),
            tuple(surfaces),
            hand or str(values.get("hand", "right")),
            tuple(keys.items()),
        )
    except KitgenError as error:
        raise ReadError(f"{path}: {error}") from error
