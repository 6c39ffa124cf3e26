"""What ``kitgen check`` looks for in a drum score by anyone: can its player play it, does it loop, was all of it read.

A score is judged at the tempo it gives first; one that gives none at 60 quarters a minute, slow enough that what is
found there is found at any tempo it may be meant for.
"""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from kitgen.errors import ReadError
from kitgen.kit import Player
from kitgen.make.checks import check_page
from kitgen.page import Page, Row, Tempo
from kitgen.read.scores import drum_parts, tempo_of_score

_SLOW = 60


def check_score(path: Path, by: Player | None = None) -> Iterator[str]:
    """Findings about the drum parts of a score: what was left out of them, and what cannot be played.

    Args:
        path: the score file.
        by: who has to be able to play it; a school player when left out.

    Raises:
        ReadError: it cannot be read, or has no part for the kit.
    """
    parts = drum_parts(path)
    if not parts:
        raise ReadError(f"{path.name}: no part of it names drums; check looks at what limbs play on the kit")
    tempo = Tempo.at(tempo_of_score(path) or _SLOW, Fraction(1))
    for name, drums in parts:
        yield from drums.left_out
        rows = (Row(name, drums.pattern),) if drums.pattern is not None else ()
        said = f"{name}: " if len(parts) > 1 else ""
        yield from (f"{said}{finding}" for finding in check_page(Page(path.stem, "Play it.", rows, tempo, ""), by))
