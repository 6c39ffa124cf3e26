"""How pages are to look on paper: the words of options and recipes into choices and paper.

The words are checked before anything else is done; what spells and sets music loads only where something unusual is
asked for.
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from kitgen.errors import OptionError

if TYPE_CHECKING:
    from kitgen.spell import Choices
    from kitgen.write.paper import Paper

WORDS: Mapping[str, tuple[str, ...]] = {
    "layout": ("auto", "hands-feet", "one", "time-line"),
    "beams": ("fours", "beats"),
    "write_swing": ("words", "triplets"),
    "rests": ("written", "counted"),
    "stickings": ("auto", "all", "none"),
    "counts": ("none", "numbers", "beat-function"),
    "paper": ("letter", "a4"),
    "print_size": ("normal", "large"),
}
"""What each option may be, the usual first; options are named as the fields of recipes are."""
FLAGS = ("bar_repeats",)
"""Options that are on or off, usually off."""


class Chosen(NamedTuple):
    """How pages look; None for what is usual.

    Args:
        choices: how they are spelled.
        bar_repeats: show a bar equal to the one before as a repeat sign.
        paper: what they are printed on.
    """

    choices: "Choices | None" = None
    bar_repeats: bool = False
    paper: "Paper | None" = None


def chosen(options: Mapping[str, Any]) -> Chosen:
    """What options ask for, by name; those left out are as usual.

    >>> chosen({"counts": "none", "tempo": "96"})
    Chosen(choices=None, bar_repeats=False, paper=None)

    Raises:
        OptionError: a word that is none of those an option may be; names the option and says which there are.
    """
    given = {name: options.get(name, words[0]) for name, words in WORDS.items()}
    for name, word in given.items():
        if word not in WORDS[name]:
            raise OptionError(f"--{name.replace('_', '-')} {word}: it is one of {', '.join(WORDS[name])}")
    flags = {name: bool(options.get(name, False)) for name in FLAGS}
    unusual = {name for name, word in given.items() if word != WORDS[name][0]}
    return Chosen(
        _choices(given) if unusual - {"paper", "print_size"} else None,
        flags["bar_repeats"],
        _paper(given) if unusual & {"paper", "print_size"} else None,
    )


def _choices(words: Mapping[str, str]) -> "Choices":
    from kitgen.spell import Choices

    return Choices(
        words["layout"],
        words["beams"],
        words["write_swing"],
        words["rests"],
        words["stickings"],
        "" if words["counts"] == "none" else words["counts"],
    )


def _paper(words: Mapping[str, str]) -> "Paper":
    from kitgen.write.paper import Paper

    return Paper(words["paper"], words["print_size"])
