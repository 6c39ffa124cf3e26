"""Typst, asked for bytes: everything it sets is handed over as data, and nothing is fetched or written.

Conventions: the template is source of our own and never changed; words and pictures go in as one JSON text, so that no
word is ever read as markup. Fonts are those that come with Typst; the system's own are looked at only for characters
these lack (:mod:`kitgen.write.pdf_letters`).
"""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from importlib.resources import files
from threading import Lock
from typing import TYPE_CHECKING, Any, Final

from kitgen.errors import WriteError

if TYPE_CHECKING:
    import typst

_ACCESSIBLE: Final = "ua-1"
"""ISO 14289-1, which the setter checks: tags, words for pictures, a title, headings in order, no empty boxes."""

_LOCK = Lock()  # a compiler sets one document at a time


@contextmanager
def compiler(*, system_fonts: bool = False) -> "Iterator[typst.Compiler]":
    """The compiler, for one thread at a time; one alone knows the system's fonts.

    Raises:
        WriteError: Typst is not there or cannot start.
    """
    with _LOCK:
        yield _compiler(system_fonts=system_fonts)


@cache
def _compiler(*, system_fonts: bool) -> "typst.Compiler":
    try:
        import typst
    except ImportError as error:
        raise WriteError(f"a PDF needs the package typst ({error}); install it, or leave pdf and book out") from error
    try:
        # a root that is there, whatever folder the program is run in; nothing is read from it
        return typst.Compiler(root=str(files("kitgen.write")), ignore_system_fonts=not system_fonts)
    except RuntimeError as error:
        raise WriteError(
            f"the fonts for a PDF cannot be read ({_first_line(error)}); leave pdf and book out"
        ) from error


def typeset(data: dict[str, Any], *, system_fonts: bool = False, template: str = "sheet.typ") -> bytes:
    """The PDF of sheets that are told in data; it keeps the rules of PDF/UA-1 unless words in it make that impossible.

    Args:
        data: as its template reads it.
        system_fonts: look at the system's fonts for what those that come along lack.
        template: the file of this room that sets it.

    Raises:
        WriteError: it cannot be set.
    """
    words = {"sheets": json.dumps(data, check_circular=False)}
    source = _template(template)
    with compiler(system_fonts=system_fonts) as setter:
        try:
            try:
                made = setter.compile(source, format="pdf", sys_inputs=words, timestamp=0, pdf_standards=_ACCESSIBLE)
            except RuntimeError:
                made = setter.compile(source, format="pdf", sys_inputs=words, timestamp=0)
        except RuntimeError as error:
            raise WriteError(f"the PDF cannot be set: {_first_line(error)}; leave pdf and book out") from error
    assert isinstance(made, bytes)
    return made


@cache
def _template(name: str) -> bytes:
    return files("kitgen.write").joinpath(name).read_bytes()


def _first_line(error: Exception) -> str:
    return (str(error).splitlines() or ["no reason given"])[0]
