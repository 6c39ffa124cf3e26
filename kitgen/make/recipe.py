"""The recipe of an applied line: a command line in canonical form that makes the page again.

Canonical: the version, the command, the line itself as boxes (or the file's name and SHA-256), then every option
that is not at its default, in one fixed order. Options that change no note (where to write, overwriting, jobs,
printing) are left out.
"""

import shlex
from dataclasses import dataclass, fields

from kitgen import __version__
from kitgen.errors import ReadError

_HASH = " sha256:"


@dataclass(frozen=True, kw_only=True)
class ApplyRecipe:
    """Everything that shapes a page of ``kitgen apply``; field names are option names.

    ``line`` is canonical text, or ``NAME sha256:HASH`` for a line from a file.
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
    tracks: str = "limb"
    seed: int = 0
    repeats: int = 4

    def __str__(self) -> str:
        words = [f"kitgen {__version__} apply", shlex.quote(self.line)]
        for item in fields(self)[1:]:
            value = getattr(self, item.name)
            if value != item.default:
                words.append(option_of(item.name) + ("" if value is True else f" {shlex.quote(str(value))}"))
        return " ".join(words)

    @classmethod
    def parse(cls, text: str) -> "ApplyRecipe":
        """Read a recipe back.

        Raises:
            ReadError: no recipe of ``kitgen apply``, or of another version.
        """
        try:
            words = shlex.split(text)
        except ValueError as error:
            raise ReadError(f"cannot read the recipe {text!r}: {error}") from None
        if len(words) < 4 or words[0] != "kitgen" or words[2] != "apply":
            raise ReadError(f"no recipe of 'kitgen apply': {text!r}")
        if words[1] != __version__:
            raise ReadError(f"this recipe is of version {words[1]}, this is {__version__}; make it with that version")
        known = {option_of(item.name): item for item in fields(cls)[1:]}
        values: dict[str, object] = {"line": words[3]}
        rest = iter(words[4:])
        for word in rest:
            item = known.get(word)
            if item is None:
                raise ReadError(f"the recipe {text!r} has an unknown option {word!r}")
            if isinstance(item.default, bool):
                values[item.name] = True
            else:
                value = next(rest, "")
                values[item.name] = int(value) if "int" in str(item.type) else value
        if "as_" not in values:
            raise ReadError(f"the recipe {text!r} names no application; --as says which")
        return cls(**values)  # type: ignore[arg-type]  # values were made from the fields' own types just above

    @property
    def from_file(self) -> bool:
        """True if the line or the kit is named by a file and its hash."""
        return _HASH in self.line or _HASH in self.kit


def option_of(field: str) -> str:
    """The option a field stands for: ``half_time`` is ``--half-time``, ``as_`` is ``--as``."""
    return "--" + field.rstrip("_").replace("_", "-")
