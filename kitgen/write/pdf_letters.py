"""Which characters can be printed, and what is printed for those that cannot.

The fonts that come with Typst hold the Latin, Greek and Cyrillic scripts and much else. A character they lack is
looked for in the system's fonts, so a sheet with one is the same only where the same fonts are. One that no font has is
printed as its number, ``[U+1F941]``, which can be read and searched. Control characters are left out.
"""

import unicodedata
from functools import lru_cache

from kitgen.write.pdf_typst import compiler

_PROBE = b"#set page(width: 40pt, height: 20pt)\n#text(font: sys.inputs.family, sys.inputs.character)"
_FAMILY = "Libertinus Serif"


class Letters:
    """Makes words printable, and remembers whether any needs the system's fonts."""

    def __init__(self) -> None:
        self.system_fonts = False

    def printable(self, words: str) -> str:
        """The words, with what no font has as its number and without control characters.

        >>> Letters().printable("Rock" + chr(7) + " & roll")
        'Rock & roll'
        """
        if words.isascii() and words.isprintable():
            return words
        return "".join(map(self._one, words))

    def _one(self, character: str) -> str:
        if character < "\x7f" or unicodedata.category(character) == "Cf":
            return character if character >= " " else ""
        if unicodedata.category(character) in ("Cc", "Cs"):
            return ""
        if _held(character, system_fonts=False):
            return character
        if not _held(character, system_fonts=True):
            return f"[U+{ord(character):04X}]"
        self.system_fonts = True
        return character


def literal(words: str) -> str:
    """Words for those parts of a document that no font shows: without control characters alone."""
    return "".join(character for character in words if unicodedata.category(character) not in ("Cc", "Cs"))


@lru_cache(maxsize=4096)
def _held(character: str, *, system_fonts: bool) -> bool:
    """Whether some font has it: a standard that forbids empty boxes is asked for."""
    asked = {"family": _FAMILY, "character": character}
    with compiler(system_fonts=system_fonts) as setter:
        try:
            setter.compile(_PROBE, format="pdf", sys_inputs=asked, pdf_standards="a-2b", timestamp=0)
        except RuntimeError:
            return False
    return True
