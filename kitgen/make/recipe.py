"""The recipe of an applied line: a command line in canonical form that makes the page again.

Canonical: the command, the line itself as boxes (or its file's name), every option that is not at its default in one
fixed order, and, as a comment a shell reads over, the version and the SHA-256 of each file named. Options that change
no note (where to write, overwriting, jobs, printing) are left out.
"""

import re
import shlex
from dataclasses import dataclass, fields

from kitgen import __version__
from kitgen.errors import ReadError

_COMMENT = "  # kitgen "
_BARE = re.compile(r"[\w./:,=+-]+", re.ASCII)
_NOT_IN_DOUBLE = frozenset('"\\$`!%')
_AFTER_A_SUM = re.compile(r"(?<= sha256:[0-9a-f]{64}), ")


@dataclass(frozen=True, kw_only=True)
class ApplyRecipe:
    """Everything that shapes a page of ``kitgen apply``; field names are option names.

    ``line`` is canonical text, or the name of the file it is from; ``sums`` are ``NAME sha256:HASH`` of the files
    named.
    """

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
    sums: tuple[str, ...] = ()

    def __str__(self) -> str:
        words = ["kitgen apply", _quoted(self.line)]
        for item in fields(self)[1:-1]:
            value = getattr(self, item.name)
            if value != item.default:
                words.append(option_of(item.name) + ("" if value is True else f" {_quoted(str(value))}"))
        return " ".join(words) + _COMMENT + ", ".join((__version__, *self.sums))

    @classmethod
    def parse(cls, text: str) -> "ApplyRecipe":
        """Read a recipe back.

        Raises:
            ReadError: no recipe of ``kitgen apply``, or of another version.
        """
        command, _, comment = text.rpartition(_COMMENT)
        version, _, files = comment.partition(", ")
        sums = _AFTER_A_SUM.split(files) if files else []
        try:
            words = shlex.split(command)
        except ValueError as error:
            raise ReadError(f"cannot read the recipe {text!r}: {error}") from None
        if len(words) < 3 or words[:2] != ["kitgen", "apply"]:
            raise ReadError(f"no recipe of 'kitgen apply': {text!r}")
        if version != __version__:
            raise ReadError(f"this recipe is of version {version}, this is {__version__}; make it with that version")
        known = {option_of(item.name): item for item in fields(cls)[1:-1]}
        values: dict[str, object] = {"line": words[2], "sums": tuple(sums)}
        rest = iter(words[3:])
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
        if "as_" not in values:
            raise ReadError(f"the recipe {text!r} names no application; --as says which")
        return cls(**values)  # type: ignore[arg-type]  # values were made from the fields' own types just above

    @property
    def from_file(self) -> bool:
        """True if the line or the kit is in a file."""
        return bool(self.sums)


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
