"""A kit from a TOML file.

Keys: ``name``; ``surfaces``, a list of labels; optionally ``hand`` (right, left, open) and a table ``[keys]`` of
MIDI keys by label for instruments that do not follow General MIDI.
"""

from pathlib import Path

from kitgen.errors import KitgenError, OptionError, ReadError, UnknownNameError
from kitgen.kit import KITS, Kit, kit
from kitgen.read.toml_files import check_keys, is_file, values_of, words_of

_WHAT = "a kit"
_KEYS = ("name", "surfaces", "hand", "keys")


def kit_named(given: str, *, hand: str | None = None) -> Kit:
    """A built-in kit by name, or one from a TOML file.

    Args:
        given: ``standard``, ``small`` or a path ending in .toml.
        hand: hand setting; a file's own, else right, when left out.

    Raises:
        UnknownNameError: no such kit; ReadError: a file that is no kit.
    """
    if not is_file(given):
        if given not in KITS:
            raise UnknownNameError("kit", given, [*KITS, "FILE.toml"])
        return kit(given, hand=hand or "right")
    return read_kit(Path(given), hand=hand)


def kit_words(given: str) -> tuple[str, tuple[str, ...]]:
    """How a kit is named in a recipe, its name or its file's, and the file's name and hash if it is in one."""
    return words_of(given, _WHAT)


def read_kit(path: Path, *, hand: str | None = None) -> Kit:
    """A kit from a file.

    Raises:
        ReadError: names the file and what is wrong in it.
    """
    values = values_of(path, _WHAT)
    try:
        check_keys(values, "key of a kit file", _KEYS)
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
