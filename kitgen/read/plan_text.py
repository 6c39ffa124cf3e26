"""A plan's text while it is read: where an error is in it, and single values looked at.

TOML readers do not say where a key stands, so the line is looked for: below the chapter that is being read, the first
that has the key or value in question as a word of its own.
"""

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kitgen.errors import KitgenError, OptionError, UnknownNameError
from kitgen.read.lines import LineSource, is_file_name, read_line
from kitgen.read.toml_files import is_file, shown, words_of

ALSO_CALLED = {
    "name": ("title",), "goal": ("goals",), "chapters": ("chapter",), "knows": ("known",), "rest": ("rests",),
    "bpm": ("tempo",), "hands": ("hand",), "application": ("way", "application"), "as": ("way",),
    "over": ("over", "under"), "style": ("way",),
}  # fmt: skip
"""What other words for keys of a plan mean."""


class PlanText:
    """Where in a plan's file the reading is, and the files the plan has named so far.

    Args:
        path: the file.
        text: what stands in it.
        trail: the plans that led to this one, and this one, as full paths.
    """

    def __init__(self, path: Path, text: str, trail: tuple[str, ...]) -> None:
        self.path, self.text, self.trail = path, text, trail
        self.where, self.sought, self.first_line = "", "", 0
        self.sums: list[str] = []

    def place(self, error: KitgenError) -> str:
        """The file, the line if it can be told, and the part of the plan an error is in."""
        sought = error.given if isinstance(error, UnknownNameError) and "key" in error.kind else self.sought
        number = self._line_of(sought) or (self.first_line and self.first_line + 1)
        return ", ".join(filter(None, (str(self.path), f"line {number}" if number else "", self.where)))

    def _line_of(self, sought: str) -> int:
        """The line below the present chapter's first that has something as a key, else at all; 0 if none has."""
        lines = self.text.splitlines()[self.first_line :] if sought else []
        word = rf"(?<![\w-]){re.escape(sought)}(?![\w-])"
        found = (n for form in (rf"{word}\s*=", word) for n, line in enumerate(lines, 1) if re.search(form, line))
        return self.first_line + next(found, -self.first_line)

    def beside(self, given: str) -> str:
        """A file's name as seen from here, noted for recipes; other words as they are."""
        if not is_file(given):
            return given
        path = self.path.parent / given
        self.sums += words_of(str(path), "a file of this plan")[1]
        return str(path)

    # ---- single values -----------------------------------------------------------------------------------------------

    def words(self, table: Mapping[str, Any], key: str, usual: str = "") -> str:
        """One line of text."""
        value = table.get(key, usual)
        if not isinstance(value, str) or not value.isprintable():
            self.sought = key
            raise OptionError(f"{key} = {shown(value)}; it is one line of text in quotes")
        return value.strip()

    def line(self, table: Mapping[str, Any], meter: str) -> LineSource:
        """A line, typed or in a file beside the plan, which is noted for recipes."""
        words = self.words(table, "line")
        self.sought = "line"
        if words in ("", "-"):
            raise OptionError(f"line = {shown(words)}; a line is typed, or the name of a file with one")
        beside = str(self.path.parent / words)
        source = read_line(beside if is_file_name(beside) else words, meter=meter)
        self.sums += source.sums
        return source

    def number(self, table: Mapping[str, Any], key: str, usual: int = 0) -> int:
        """A whole number."""
        value = table.get(key, usual)
        if type(value) is not int or abs(value) > 10**9:
            self.sought = key
            raise OptionError(f"{key} = {shown(value)}; it is a whole number, without quotes")
        return value

    def truth(self, table: Mapping[str, Any], key: str) -> bool:
        """True or false; false where it is not there."""
        value = table.get(key, False)
        if not isinstance(value, bool):
            self.sought = key
            raise OptionError(f"{key} = {shown(value)}; it is true or false, without quotes")
        return value
