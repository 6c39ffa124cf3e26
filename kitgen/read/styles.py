"""A style from a TOML file: one of the library's by name, or the user's own from a file or a folder.

A style's name is its file's; the keys of a file stand in :mod:`kitgen.read.style_keys`.
"""

import re
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from kitgen.errors import KitgenError, OptionError, PatternError, ReadError, UnknownNameError
from kitgen.pattern import Feel, Pattern
from kitgen.pattern.clave import KINDS, SIDES
from kitgen.read.style_files import grooves_folder, style_names, style_paths
from kitgen.read.style_keys import ALSO_CALLED, CLAVE_FORM, COUNTINGS, PATTERN_KEYS, STYLE_KEYS, TEMPO_FORM
from kitgen.read.style_text import StyleText
from kitgen.read.toml_files import check_keys, is_file, text_in, values_in, words_of
from kitgen.styles.forms import FORMS, SECTIONS
from kitgen.styles.micro import MICRO_TIMINGS
from kitgen.styles.parts import LANDINGS, UNITS, Role, StylePattern, TempoRange
from kitgen.styles.rows import Grid, row_fault, rows_pattern
from kitgen.styles.rules import ACCEPTABLE
from kitgen.styles.value import STICKS, Clave, Style
from kitgen.time import Meter

_WHAT = "a style"
_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def style_named(given: str) -> Style:
    """A style of the library by name, or one from a TOML file.

    Args:
        given: a name, or a path ending in .toml.

    Raises:
        UnknownNameError: no such style; names the nearest.
        ReadError: a file that is no style; names file, line and pattern, and what is allowed.
    """
    if is_file(given):
        return read_style(Path(given))
    if not _NAME.fullmatch(given) or not (grooves_folder() / f"{given}.toml").is_file():
        raise UnknownNameError("style", given, [*style_names(), "FILE.toml"])
    return _of_library(given)


def styles_in(folder: Path) -> tuple[Style, ...]:
    """Every style of a folder, in order of their names.

    Raises:
        ReadError: a folder without any, or a file in it that is no style.
    """
    return tuple(map(read_style, style_paths(folder)))


def style_words(given: str) -> tuple[str, tuple[str, ...]]:
    """How a style is named in a recipe: its name, or its file's with the file's hash beside it.

    Raises:
        ReadError: a file that cannot be read.
    """
    return words_of(given, _WHAT)


def read_style(path: Path) -> Style:
    """A style from a file.

    Raises:
        ReadError: names the file, the line and the pattern, what is wrong and what is allowed.
    """
    text = StyleText(path, text_in(path, _WHAT))
    values = values_in("\n".join(text.lines), path, _WHAT)
    try:
        return _style(text, values)
    except KitgenError as error:
        raise ReadError(f"{text.place(error)}: {error}") from error


@cache
def _of_library(name: str) -> Style:
    return read_style(grooves_folder() / f"{name}.toml")


def _style(text: StyleText, values: Mapping[str, Any]) -> Style:
    if "section" in values:
        raise OptionError("this is a chart, no style; kitgen chart makes it")
    check_keys(values, "key of a style", tuple(STYLE_KEYS), ALSO_CALLED)
    if not _NAME.fullmatch(text.path.stem):
        raise OptionError(f"a style is named after its file, and {text.path.stem!r} is no lower-case-hyphenated word")
    tempo, clave = _tempo(text, values), _clave(text, values)
    sources = text.list_of_words(values, "sources")
    if not sources:
        raise OptionError('no sources; say "common practice", or who published it')
    grid = _grid(text, values)
    crash = text.truth(values, "crash-in-fills", usual=True)
    patterns = _patterns(text, values, grid, tempo, sources[0], crash=crash)
    text.enter(0, "")
    return Style(
        text.path.stem,
        text.words(values, "title"),
        text.words(values, "words"),
        grid.meter,
        tempo,
        patterns,
        sources,
        feel=grid.feel,
        count_quarters=text.choice(values, "counting", COUNTINGS, "beats") == "quarters",
        clave=clave,
        leads=text.list_of_words(values, "leads"),
        feet=_rows(text, values, "feet", grid)[0] if "feet" in values else None,
        sticks=text.list_of_words(values, "sticks", ("sticks",), allowed=STICKS),
        count_in_bars=text.whole(values, "count-in-bars", 1),
        crash_in_fills=crash,
        phrase_bars=text.whole_numbers(values, "phrase-bars", (4, 8)),
        forms=text.list_of_words(values, "forms", allowed=tuple(FORMS)),
        micro=text.choice(values, "micro-timing", tuple(MICRO_TIMINGS)) if "micro-timing" in values else None,
        notes=text.list_of_words(values, "notes"),
    )


def _tempo(text: StyleText, values: Mapping[str, Any]) -> TempoRange:
    table = text.table(values, "tempo", TEMPO_FORM)
    check_keys(table, "key of a tempo", ("low", "high", "unit"))
    low, high = text.number(table, "low"), text.number(table, "high")
    unit = UNITS[text.choice(table, "unit", tuple(UNITS), "quarter")]
    text.sought = "tempo"
    return TempoRange(low, high, unit)


def _clave(text: StyleText, values: Mapping[str, Any]) -> Clave | None:
    if "clave" not in values:
        return None
    table = text.table(values, "clave", CLAVE_FORM)
    check_keys(table, "key of a clave", ("side", "kind"))
    return Clave(text.choice(table, "side", SIDES), text.choice(table, "kind", KINDS, KINDS[0]))


def _grid(text: StyleText, values: Mapping[str, Any]) -> Grid:
    meter = Meter.parse(text.words(values, "meter"))
    unit = text.whole(values, "swing-unit", 8)
    feel = Feel.parse(text.words(values, "swing", "even"), unit=unit)
    boxes = text.whole_numbers(values, "boxes-a-beat")
    beats = len(meter.beats)
    if len(boxes) not in (1, beats):
        raise OptionError(
            f"boxes-a-beat has {len(boxes)} numbers; it is one for all beats, or one for each of the {beats} of {meter}"
        )
    return Grid(meter, boxes if len(boxes) == beats else boxes * beats, (), feel)


def _patterns(
    text: StyleText, values: Mapping[str, Any], grid: Grid, tempo: TempoRange, source: str, *, crash: bool
) -> tuple[StylePattern, ...]:
    tables = values.get("pattern")
    text.sought = "pattern"
    if not isinstance(tables, list) or not tables or not all(isinstance(table, dict) for table in tables):
        raise OptionError("no [[pattern]]; a style has a groove and more, each under [[pattern]]")
    made: list[StylePattern] = []
    for number, table in enumerate(tables, start=1):
        text.enter(number, f"pattern {number}")
        check_keys(table, "key of a pattern", tuple(PATTERN_KEYS), ALSO_CALLED)
        name = text.words(table, "name")
        text.where = f"pattern {name!r}"
        if not _NAME.fullmatch(name):
            raise OptionError(f"name = {name!r}; a name is one lower-case-hyphenated word")
        if name in {one.name for one in made}:
            raise PatternError(f"two patterns are called {name!r}; give each a name of its own")
        made.append(_pattern(text, table, grid, tempo, source, crash=crash))
    return tuple(made)


def _pattern(
    text: StyleText, table: Mapping[str, Any], grid: Grid, tempo: TempoRange, source: str, *, crash: bool
) -> StylePattern:
    role = Role(text.choice(table, "role", PATTERN_KEYS["role"].allowed))
    also = text.whole_numbers(table, "also-boxes")
    pattern, starts = _rows(text, table, "rows", Grid(grid.meter, grid.boxes, also, grid.feel), short=role.ends_a_bar)
    if "lands" in table and role is not Role.FILL:
        text.sought = "lands"
        raise OptionError(f"lands stands in a {role.value}; only a fill lands")
    accepts = text.list_of_words(table, "accepts", allowed=ACCEPTABLE)
    return StylePattern(
        text.words(table, "name"),
        role,
        pattern,
        text.words(table, "words"),
        text.words(table, "source", source),
        _part_of(text, table, tempo),
        text.list_of_words(table, "sections", allowed=SECTIONS),
        starts,
        text.choice(table, "lands", LANDINGS, "crash" if crash and role is Role.FILL else "time"),
        text.truth(table, "own-feet", usual=False),
        accepts,
    )


def _part_of(text: StyleText, table: Mapping[str, Any], tempo: TempoRange) -> TempoRange:
    """The part of the style's tempi a pattern is for."""
    low, high = text.number(table, "tempo-low", tempo.low), text.number(table, "tempo-high", tempo.high)
    part = TempoRange(low, high, tempo.unit)
    if not tempo.holds(part.low) or not tempo.holds(part.high):
        raise OptionError(f"it is for {part}, and the style lives at {tempo}")
    return part


def _rows(
    text: StyleText, table: Mapping[str, Any], key: str, grid: Grid, *, short: bool = False
) -> tuple[Pattern, Any]:
    rows = text.rows(table, key)
    fault = row_fault(rows, grid, short=short)
    if fault:
        text.row = fault.line
        raise PatternError(fault.words)
    try:
        return rows_pattern(rows, grid, short=short)
    except KitgenError as error:
        text.row = _row_meant(rows.splitlines(), error)
        raise


def _row_meant(lines: Sequence[str], error: KitgenError) -> int:
    """Which line of rows an error is about, from 0: the one whose limb and surface, or unknown word, it names."""
    given = error.given if isinstance(error, UnknownNameError) else None
    heads = [line.split()[:2] for line in lines]
    found = (n for n, head in enumerate(heads) if head and (given in head or f"row {' '.join(head)!r}" in str(error)))
    return next(found, 0)
