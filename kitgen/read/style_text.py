"""A style's file while it is read: single values looked at, and where an error is in it.

TOML readers do not say where a key stands, so the line is looked for: in the part that is being read (above the first
``[[pattern]]``, or from one to the next) the first that has the key.
"""

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kitgen.errors import KitgenError, OptionError, UnknownNameError
from kitgen.read.toml_files import shown


class StyleText:
    """Where in a style's file the reading is.

    Args:
        path: the file.
        text: what stands in it.
    """

    def __init__(self, path: Path, text: str) -> None:
        self.path, self.lines = path, text.splitlines()
        heads = [n for n, line in enumerate(self.lines) if re.match(r"\s*\[\[\s*pattern\s*\]\]", line)]
        self._parts = [0, *heads, len(self.lines)]  # where parts begin, and the end
        self._part = 0
        self.where, self.sought, self.row = "", "", 0

    def enter(self, part: int, where: str) -> None:
        """Go on to a part of the file: 0 is above the first pattern, 1 the first pattern, and so on."""
        self._part = min(part, len(self._parts) - 2)
        self.where, self.sought, self.row = where, "", 0

    def place(self, error: KitgenError) -> str:
        """The file, the line if it can be told, and the pattern an error is in."""
        given = error.given if isinstance(error, UnknownNameError) else ""
        number = self._line_of(given) if given and "key" in str(error) else 0
        number = number or self._line_of(self.sought) or (self._parts[self._part] + 1 if self._part else 0)
        return ", ".join(filter(None, (str(self.path), f"line {number}" if number else "", self.where)))

    def _line_of(self, sought: str) -> int:
        """The line, from 1, of a key in the present part, or of the present row of it; 0 where it is not there."""
        key = re.compile(rf"\s*\[?\s*[\"']?{re.escape(sought)}[\"']?\s*[=\].]")
        for number in range(self._parts[self._part], self._parts[self._part + 1]) if sought else ():
            if key.match(self.lines[number]):
                first = number + 2 if re.search(r'("""|\'\'\')\s*$', self.lines[number]) else number + 1
                return first + self.row if sought in _ROWS else number + 1
        return 0

    # ---- single values -----------------------------------------------------------------------------------------------

    def words(self, table: Mapping[str, Any], key: str, usual: str | None = None) -> str:
        """One line of text.

        Raises:
            OptionError: another value, or none where one is needed.
        """
        value = self._value(table, key, usual)
        if not isinstance(value, str) or not value.isprintable() or not value.strip():
            raise OptionError(f"{key} = {shown(value)}; it is one line of text in quotes")
        return value.strip()

    def rows(self, table: Mapping[str, Any], key: str) -> str:
        """Rows: text of several lines.

        Raises:
            OptionError: another value, or none.
        """
        value = self._value(table, key, None)
        if not isinstance(value, str) or not value.strip():
            raise OptionError(f'{key} = {shown(value)}; it is box rows between """ and """, a row a line')
        return value

    def number(self, table: Mapping[str, Any], key: str, usual: float | None = None) -> float:
        """A number.

        Raises:
            OptionError: another value, or none where one is needed.
        """
        value = self._value(table, key, usual)
        if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) > 10**6:
            raise OptionError(f"{key} = {shown(value)}; it is a number, without quotes")
        return value

    def whole(self, table: Mapping[str, Any], key: str, usual: int) -> int:
        """A whole number.

        Raises:
            OptionError: another value.
        """
        value = self.number(table, key, usual)
        if not isinstance(value, int):
            raise OptionError(f"{key} = {shown(value)}; it is a whole number")
        return value

    def truth(self, table: Mapping[str, Any], key: str, *, usual: bool) -> bool:
        """True or false.

        Raises:
            OptionError: another value.
        """
        value = self._value(table, key, usual)
        if not isinstance(value, bool):
            raise OptionError(f"{key} = {shown(value)}; it is true or false, without quotes")
        return value

    def list_of_words(
        self, table: Mapping[str, Any], key: str, usual: tuple[str, ...] = (), *, allowed: tuple[str, ...] = ()
    ) -> tuple[str, ...]:
        """A list of single lines of text, of some words where only those are allowed.

        Raises:
            OptionError: another value, an empty line, or one that stands twice.
            UnknownNameError: a word that is not allowed; names the nearest.
        """
        value = self._value(table, key, list(usual))
        if not isinstance(value, list) or not all(isinstance(one, str) and one.isprintable() for one in value):
            raise OptionError(f'{key} = {shown(value)}; it is a list of texts, such as ["one", "two"]')
        found = tuple(one.strip() for one in value)
        if "" in found or len(set(found)) != len(found):
            raise OptionError(f"{key} = {shown(value)}; each text says something, and stands once")
        if unknown := next((one for one in found if allowed and one not in allowed), None):
            raise UnknownNameError(f"word for {key}", unknown, allowed)
        return found

    def whole_numbers(self, table: Mapping[str, Any], key: str, usual: tuple[int, ...] = ()) -> tuple[int, ...]:
        """A list of whole numbers; one by itself is a list of one.

        Raises:
            OptionError: another value, or a number below 1.
        """
        value = self._value(table, key, list(usual))
        found = [value] if type(value) is int else value
        if not isinstance(found, list) or not all(type(one) is int and 1 <= one <= 960 for one in found):
            raise OptionError(f"{key} = {shown(value)}; it is a whole number from 1, or a list of them")
        return tuple(found)

    def choice(self, table: Mapping[str, Any], key: str, allowed: tuple[str, ...], usual: str | None = None) -> str:
        """One of some words.

        Raises:
            UnknownNameError: another word; names the nearest.
        """
        value = self.words(table, key, usual)
        if value not in allowed:
            raise UnknownNameError(key, value, allowed)
        return value

    def table(self, table: Mapping[str, Any], key: str, like: str) -> Mapping[str, Any]:
        """A table of values.

        Raises:
            OptionError: another value, or none.
        """
        value = self._value(table, key, None)
        if not isinstance(value, dict):
            raise OptionError(f"{key} = {shown(value)}; write it like {key} = {like}")
        return value

    def _value(self, table: Mapping[str, Any], key: str, usual: object) -> object:
        self.sought, self.row = key, 0
        value = table.get(key, usual)
        if value is None:
            raise OptionError(f"no {key}; a style's file says it")
        return value


_ROWS = ("rows", "feet")
