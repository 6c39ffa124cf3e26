"""The keys of a style's file and of its patterns; ``grooves/style.schema.json`` says the same to editors."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from kitgen.styles.forms import FORMS, SECTIONS
from kitgen.styles.micro import MICRO_TIMINGS
from kitgen.styles.parts import LANDINGS, Role
from kitgen.styles.rules import ACCEPTABLE
from kitgen.styles.value import STICKS


class Key(NamedTuple):
    """A key of a style's file.

    Args:
        kind: what its value is: ``words``, ``list``, ``number``, ``numbers``, ``truth``, ``rows``, ``table``,
            ``tables``.
        words: what it says.
        allowed: the words it may have; empty where they are free.
        needed: the file is no style without it.
    """

    kind: str
    words: str
    allowed: tuple[str, ...] = ()
    needed: bool = False


COUNTINGS = ("beats", "quarters")
TEMPO_FORM = '{ low = 80, high = 150, unit = "quarter" }'
CLAVE_FORM = '{ side = "2-3", kind = "son" }'

STYLE_KEYS: Mapping[str, Key] = MappingProxyType(
    {
        "title": Key("words", "its name on a page", needed=True),
        "words": Key("words", "what it is, one line", needed=True),
        "meter": Key("words", "its meter, such as 4/4 or 2+2+3/8", needed=True),
        "tempo": Key("table", f"the tempi it lives in, such as {TEMPO_FORM}", needed=True),
        "swing": Key("words", "even, auto (the ratio follows the tempo) or long:short such as 1.5:1"),
        "swing-unit": Key("number", "what swings: 8 eighths, 16 sixteenths", ("8", "16")),
        "counting": Key("words", "what pages count: the meter's beats or the quarters", COUNTINGS),
        "clave": Key("table", f"its clave, such as {CLAVE_FORM}"),
        "boxes-a-beat": Key("numbers", "boxes of a beat in its rows; a list where beats differ", needed=True),
        "feet": Key("rows", "what the feet play under everything, one or two bars"),
        "leads": Key("list", "the rows that lead the balance, loudest first, such as RH ride"),
        "sticks": Key("list", "what is held", STICKS),
        "count-in-bars": Key("number", "1, or 2: a bar of half notes and one of quarters", ("1", "2")),
        "crash-in-fills": Key("truth", "false where fills hold no crash and land on none"),
        "phrase-bars": Key("numbers", "usual lengths of phrases in bars"),
        "forms": Key("list", "forms it is usually played in", tuple(FORMS)),
        "micro-timing": Key("words", "name of its published micro-timing", tuple(MICRO_TIMINGS)),
        "notes": Key("list", "notes to the player, a sentence each"),
        "sources": Key("list", "common practice, or the published source: author, title, year", needed=True),
        "pattern": Key("tables", "its patterns, each under [[pattern]]", needed=True),
    }
)
PATTERN_KEYS: Mapping[str, Key] = MappingProxyType(
    {
        "name": Key("words", "its name in the style, one hyphenated word", needed=True),
        "role": Key("words", "what it is for", tuple(role.value for role in Role), needed=True),
        "words": Key("words", "what it is and how it is played, one line", needed=True),
        "rows": Key("rows", "its box rows", needed=True),
        "source": Key("words", "where it comes from; the style's first source when left out"),
        "tempo-low": Key("number", "the slowest tempo it is for, in the style's unit"),
        "tempo-high": Key("number", "the fastest tempo it is for"),
        "sections": Key("list", "sections of a form it is meant for", SECTIONS),
        "lands": Key("words", "what comes on the 1 after a fill", LANDINGS),
        "own-feet": Key("truth", "true where its feet are not the style's"),
        "also-boxes": Key("numbers", "other lengths a group may have here, for tuplets"),
        "accepts": Key("list", "rules whose warnings are meant", ACCEPTABLE),
    }
)
ALSO_CALLED = {
    "name": ("title", "name"), "patterns": ("pattern",), "groove": ("pattern",), "feel": ("swing",),
    "bpm": ("tempo",), "count-in": ("count-in-bars",), "source": ("sources", "source"), "title": ("name", "title"),
    "boxes": ("boxes-a-beat", "also-boxes"), "kind": ("role",), "section": ("sections",),
}  # fmt: skip
"""What other words for keys of a style mean."""
