"""Which styles a library is of, and on which side of the clave."""

from collections.abc import Iterable, Mapping
from functools import lru_cache

from kitgen.errors import OptionError
from kitgen.read.style_files import style_names
from kitgen.read.styles import style_named, style_words
from kitgen.styles import Style
from kitgen.styles.turned import on_side

ALL = "all"


def library_styles(words: str) -> dict[str, Style]:
    """The styles asked for, by name or file as they are given; ``all`` is the library's.

    Raises:
        UnknownNameError: no such style; OptionError: none at all, or two of one name;
            ReadError: a file that is no style.
    """
    given = style_names() if words.strip() == ALL else dict.fromkeys(filter(None, map(str.strip, words.split(","))))
    if not given:
        raise OptionError(f"--style names nothing; name styles, see kitgen list styles, or {ALL}")
    styles = {one: style_named(one) for one in given}
    names = [style.name for style in styles.values()]
    if double := next((name for name in names if names.count(name) > 1), None):
        raise OptionError(f"--style {words}: two styles are called {double}, and their files would be too")
    return styles


def canonical_styles(words: str) -> tuple[str, tuple[str, ...]]:
    """How styles are named in a recipe, with the sums of those that are in files.

    Raises:
        KitgenError: as :func:`library_styles`.
    """
    if words.strip() == ALL:
        return ALL, ()
    named = [style_words(one) for one in library_styles(words)]
    return ",".join(name for name, _ in named), tuple(dict.fromkeys(one for _, sums in named for one in sums))


def on_their_side(styles: Mapping[str, Style], side: str | None) -> dict[str, Style]:
    """Styles on a side of the clave; those that have none as they are.

    Raises:
        OptionError: no such side, or no style with a clave.
    """
    if side is None:
        return dict(styles)
    if not any(style.clave for style in styles.values()):
        on_side(next(iter(styles.values())), side)  # says why not
    return {source: _turned(style, side) if style.clave else style for source, style in styles.items()}


def without_a_clave(styles: Iterable[Style], side: str | None) -> str:
    """A sentence that names the styles a side of the clave says nothing to; empty where there are none."""
    names = ", ".join(style.name for style in styles if style.clave is None) if side else ""
    return f"--clave {side}: no clave in {names}; made as usual" if names else ""


def style_on(source: str, side: str | None) -> Style:
    """A style by name or file, on a side of its clave; as it is where no side is asked for."""
    style = style_named(source)
    return style if side is None else _turned(style, side)


@lru_cache(maxsize=64)
def _turned(style: Style, side: str) -> Style:
    return on_side(style, side)
