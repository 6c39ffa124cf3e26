"""Recipes: a command line in canonical form that makes a page again.

Canonical: the command, its argument (a line itself as boxes, or a file's name), every option that is not at its
default in one fixed order, and, as a comment a shell reads over, the version and the SHA-256 of each file named.
Options that change no note (where to write, overwriting, jobs, printing) are left out.
"""

import re
import shlex
from collections.abc import Callable, Mapping, Sequence
from dataclasses import MISSING, Field, dataclass, fields
from typing import Any, ClassVar, Self

from kitgen import __version__
from kitgen.errors import ReadError
from kitgen.page import Page

_COMMENT = "  # kitgen "
_BARE = re.compile(r"[\w./:,=+-]+", re.ASCII)
_NOT_IN_DOUBLE = frozenset('"\\$`!%')
_AFTER_A_SUM = re.compile(r"(?<= sha256:[0-9a-f]{64}), ")


@dataclass(frozen=True, kw_only=True)
class Recipe:
    """What shapes the pages of one command; field names are option names.

    A command's recipe is a subclass: ``command`` is its name, ``argument`` the field that stands without an option,
    and every other field an option with its default. ``sums`` are ``NAME sha256:HASH`` of the files named.
    """

    command: ClassVar[str]
    argument: ClassVar[str | None] = None

    sums: tuple[str, ...] = ()

    def __str__(self) -> str:
        words = ["kitgen", self.command]
        if self.argument is not None:
            words.append(_quoted(getattr(self, self.argument)))
        for item in self._options().values():
            value = getattr(self, item.name)
            if value != item.default:
                words.append(option_of(item.name) + ("" if value is True else f" {_quoted(str(value))}"))
        return " ".join(words) + _COMMENT + ", ".join((__version__, *self.sums))

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read a recipe back.

        Raises:
            ReadError: no recipe of this command, or of another version.
        """
        words, sums = _words_of(text)
        start = 2 if cls.argument is None else 3
        if len(words) < start or words[:2] != ["kitgen", cls.command]:
            raise ReadError(f"no recipe of 'kitgen {cls.command}': {text!r}")
        values: dict[str, Any] = {"sums": sums}
        if cls.argument is not None:
            values[cls.argument] = words[2]
        known = cls._options()
        rest = iter(words[start:])
        for word in rest:
            item = known.get(word)
            if item is None:
                raise ReadError(f"the recipe {text!r} has an unknown option {word!r}")
            if isinstance(item.default, bool):
                values[item.name] = True
                continue
            try:
                value = next(rest)
                values[item.name] = int(value) if "int" in str(item.type) else value
            except (StopIteration, ValueError):
                raise ReadError(f"the recipe {text!r} gives {word} no value it can take") from None
        for option, item in known.items():
            if item.default is MISSING and item.name not in values:
                raise ReadError(f"the recipe {text!r} lacks {option}, without which it makes nothing")
        return cls(**values)

    @classmethod
    def _options(cls) -> Mapping[str, Field[Any]]:
        """The fields that are options, by their option; a class's own stand before those it shares with others."""
        return {option_of(item.name): item for item in cls._in_order() if item.name not in ("sums", cls.argument)}

    @classmethod
    def _in_order(cls) -> tuple[Field[Any], ...]:
        if cls is Recipe:
            return fields(cls)
        (base,) = (kind for kind in cls.__bases__ if issubclass(kind, Recipe))
        own = {item.name: item for item in fields(cls)}  # a default of a base's may be its own
        return (*fields(cls)[len(fields(base)) :], *(own[item.name] for item in base._in_order()))

    @property
    def from_file(self) -> bool:
        """True if anything that shapes its notes is in a file; a sound font does not."""
        font = f"{getattr(self, 'font', None)} sha256:"
        return not all(entry.startswith(font) for entry in self.sums)

    def only(self, make: Callable[[Self], Sequence[Page]]) -> Page:
        """The one page it makes.

        Raises:
            ReadError: it takes something from a file, or makes several pages.
        """
        if self.from_file:
            raise ReadError(f"the kit or player of this recipe is in a file: {self}; make it from there")
        pages = make(self)
        if len(pages) > 1:
            raise ReadError(f"this recipe makes {len(pages)} pages: {self}; name one with --pages")
        return pages[0]


def command_of(text: str) -> str:
    """The command a recipe is of; empty if it is of none."""
    words = text.split(maxsplit=2)
    return words[1] if len(words) > 1 and words[0] == "kitgen" else ""


def _words_of(text: str) -> tuple[list[str], tuple[str, ...]]:
    """A recipe's words, and the sums of its files.

    Raises:
        ReadError: quotes that do not close, or another version's recipe.
    """
    command, _, comment = text.rpartition(_COMMENT)
    version, _, files = comment.partition(", ")
    try:
        words = shlex.split(command)
    except ValueError as error:
        raise ReadError(f"cannot read the recipe {text!r}: {error}") from None
    if words[:1] == ["kitgen"] and version != __version__:
        raise ReadError(f"this recipe is of version {version}, this is {__version__}; make it with that version")
    return words, tuple(_AFTER_A_SUM.split(files)) if files else ()


@dataclass(frozen=True, kw_only=True, init=False, repr=False, eq=False)  # subclasses make theirs
class PageRecipe(Recipe):
    """How pages are written, printed and engraved, the same for every command that makes pages; shapes no note."""

    layout: str = "auto"
    beams: str = "fours"
    write_swing: str = "words"
    rests: str = "written"
    stickings: str = "auto"
    counts: str = "none"
    bar_repeats: bool = False
    paper: str = "letter"
    print_size: str = "normal"


@dataclass(frozen=True, kw_only=True, init=False, repr=False, eq=False)  # subclasses make theirs
class PlayRecipe(PageRecipe):
    """How pages are played along with and heard, the same for every command; shapes no note of theirs."""

    click: str = "beats"
    count_in: str = "usual"
    mute: str | None = None
    from_: str | None = None
    font: str | None = None
    rate: int = 48000
    click_apart: bool = False


@dataclass(frozen=True, kw_only=True)
class ApplyRecipe(PlayRecipe):
    """Everything that shapes a page of ``kitgen apply``.

    ``line`` is canonical text, or the name of the file it is from.
    """

    command: ClassVar[str] = "apply"
    argument: ClassVar[str | None] = "line"

    line: str
    as_: str
    meter: str = "4/4"
    notation: str | None = None
    pad: bool = False
    part: str | None = None
    channel: int | None = None
    subdivisions: str | None = None
    measures: str | None = None
    unfold: bool = False
    bars: int | None = None
    tempo: str | None = None
    swing: str | None = None
    swing_unit: int = 8
    under: str | None = None
    kit: str = "standard"
    hand: str = "right"
    limb: str | None = None
    surface: str | None = None
    order: str | None = None
    gaps: str = "left"
    carry: bool = False
    sticking: str = "natural"
    half_time: bool = False
    rudiment: str | None = None
    taps: str = "tap"
    last: int | None = None
    in_triplets: bool = False
    fill: str = "1-bar"
    phrase: int = 4
    form: int | None = None
    land: str = "one"
    section: str = "full"
    stop_time: bool = False
    against: str | None = None
    beats: int | None = None
    value: str = "twice"
    clave: str = "son"
    player: str = "school"
    allow_unplayable: bool = False
    tracks: str = "limb"
    seed: int = 0
    repeats: int | None = None
    title: str | None = None
    heading: str | None = None
    write_values: str = "as-played"


OPTIONS = tuple(item.name for item in fields(ApplyRecipe))
"""The names of a recipe's fields."""


def _quoted(word: str) -> str:
    """A word as shells on any system take it: bare or in double quotes where that is safe."""
    if _BARE.fullmatch(word):
        return word
    return shlex.quote(word) if set(word) & _NOT_IN_DOUBLE else f'"{word}"'


def option_of(field: str) -> str:
    """The option a field stands for: ``half_time`` is ``--half-time``, ``as_`` is ``--as``."""
    return "--" + field.rstrip("_").replace("_", "-")
