"""A chart's file while it is read: where an error is in it, and values only charts have."""

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kitgen.errors import OptionError, UnknownNameError
from kitgen.read.style_text import StyleText
from kitgen.read.toml_files import shown

_SINGLE = re.compile(r"\s*\[\s*(section|figure)\s*\]\s*(?:#.*)?")
_NOUNS = {"how": "articulation", "who": "section of the band", "back": "jump", "as": "part of a form"}
_SUCH_AS = {
    "title": 'title = "Low Water"',
    "style": 'style = "swing"',
    "tempo": "tempo = 126",
    "mark": 'mark = "A"',
    "bars": "bars = 8",
    "bar": "bar = 4",
}
_HEAD = re.compile(r"\s*\[\[\s*(section|figure)\s*\]\]")
_BARS = re.compile(r"(\d{1,4})(?:-(\d{1,4}))?")


class ChartText(StyleText):
    """Where in a chart's file the reading is.

    Args:
        path: the file.
        text: what stands in it.
    """

    def __init__(self, path: Path, text: str) -> None:
        super().__init__(path, text)
        heads = [(n, found[1]) for n, line in enumerate(self.lines) if (found := _HEAD.match(line))]
        self._parts = [0, *(n for n, _ in heads), len(self.lines)]
        self._kinds = [kind for _, kind in heads]

    @property
    def single_head(self) -> tuple[int, str] | None:
        """The first line, from 1, that has a section or figure in one pair of brackets, and which of them."""
        found = ((number, _SINGLE.fullmatch(line)) for number, line in enumerate(self.lines, start=1))
        return next(((number, match[1]) for number, match in found if match), None)

    def choice(self, table: Mapping[str, Any], key: str, allowed: tuple[str, ...], usual: str | None = None) -> str:
        """One of some words; another is told by what the key is about."""
        try:
            return super().choice(table, key, allowed, usual)
        except UnknownNameError as error:
            raise UnknownNameError(_NOUNS.get(key, key), error.given, allowed) from None

    def enter_table(self, kind: str, number: int, where: str) -> None:
        """Go on to the section or figure of a number, from 1."""
        places = [place for place, one in enumerate(self._kinds, start=1) if one == kind]
        self.enter(places[number - 1] if number <= len(places) else 0, where)

    def bars(self, table: Mapping[str, Any], key: str) -> frozenset[int]:
        """Bars of a section: numbers, and runs such as "5-8"."""
        value = table.get(key, [])
        self.sought = key
        found: set[int] = set()
        for one in value if isinstance(value, list) else [value]:
            match = _BARS.fullmatch(str(one)) if type(one) in (int, str) else None
            if match is None or int(match[2] or match[1]) < int(match[1]):
                raise OptionError(f'{key} = {shown(value)}; it is a list of bars, such as [4, "7-8"]')
            found |= set(range(int(match[1]), int(match[2] or match[1]) + 1))
        return frozenset(found)

    def by_bar(self, table: Mapping[str, Any], key: str) -> tuple[tuple[int, str], ...]:
        """Words by bar; words alone are for the first bar."""
        value = table.get(key, {})
        self.sought = key
        pairs = {"1": value} if isinstance(value, str) else value
        if not isinstance(pairs, dict) or not all(
            name.isdecimal() and len(name) < 5 and isinstance(word, str) for name, word in pairs.items()
        ):
            raise OptionError(f'{key} = {shown(value)}; it is one word such as "mf", or {{ 1 = "mf", 5 = "f" }}')
        return tuple(sorted((int(name), word) for name, word in pairs.items()))

    def _value(self, table: Mapping[str, Any], key: str, usual: object) -> object:
        self.sought, self.row = key, 0
        value = table.get(key, usual)
        if value is None:
            such = f", such as {_SUCH_AS[key]}" if key in _SUCH_AS else ""
            raise OptionError(f"no {key}; {self.where or 'a chart'} says it{such}")
        return value
