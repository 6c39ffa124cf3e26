"""What the words of a library's options ask for: tempi, sections, limbs."""

import re
from collections.abc import Sequence

from kitgen.errors import OptionError, UnknownNameError
from kitgen.kit import Limb
from kitgen.styles import Role, Style
from kitgen.styles.play_forms import play_form
from kitgen.time import bpm_value
from kitgen.time.ladder import MARKS

PLAY_ALONG = "play-along"
_USUAL_STEP, _LEAST_STEP, _MOST_STEP = 5.0, 1.0, 100.0
_MOST_TEMPI = 100
_MARKS = "marks"


def tempi_of(words: str) -> tuple[float, ...]:
    """The tempi asked for, slowest first: one, a range, or several of either separated by commas.

    Raises:
        TimeError: outside 20 to 400.
        OptionError: a range with a hyphen, one that does not climb, a step outside 1 to 100, or more tempi than a
            folder should hold.

    >>> tempi_of("90..120:10"), tempi_of("96,60..70"), tempi_of("60..72:marks")
    ((90, 100, 110, 120), (60, 65, 70, 96), (60, 63, 66, 69, 72))
    """
    found = {tempo for word in words.split(",") for tempo in _range(word.strip(), words)}
    if len(found) > _MOST_TEMPI:
        raise OptionError(f"--tempo {words}: that is {len(found)} tempi; {_MOST_TEMPI} at most, so take a larger step")
    return tuple(sorted(found))


def _range(word: str, whole: str) -> list[float]:
    first, dots, rest = word.partition("..")
    if not dots:
        if match := re.fullmatch(r"([\d.]+)\s*-\s*([\d.]+)", word):
            raise OptionError(f"--tempo {whole}: write a range with two dots, {match[1]}..{match[2]}")
        return [bpm_value(word)]
    last, colon, step_word = rest.partition(":")
    low, high = bpm_value(first), bpm_value(last)
    marks = step_word.strip().lower() == _MARKS
    try:
        step = float(step_word) if colon and not marks else _USUAL_STEP
    except ValueError:
        step = 0.0
    if not _LEAST_STEP <= step <= _MOST_STEP:
        raise OptionError(
            f"--tempo {whole}: a step of {step_word!r}; steps are {_LEAST_STEP:g} to {_MOST_STEP:g} counts a minute, "
            f"or the {_MARKS} of a metronome"
        )
    if high < low:
        raise OptionError(f"--tempo {whole}: from {low:g} down to {high:g}; give the slower tempo first")
    if marks:
        return [low, *(bpm_value(mark) for mark in MARKS if low < mark < high), high]
    steps = int((high - low) / step + 1e-6)
    return [*(bpm_value(low + turn * step) for turn in range(steps + 1)), high]


def usual_tempi(style: Style) -> tuple[float, ...]:
    """The slowest, the middle and the fastest of a style's tempi."""
    low, high = style.tempo.low, style.tempo.high
    return tuple(dict.fromkeys((low, bpm_value(round((low + high) / 2)), high)))


def sections_of(style: Style, words: str | None) -> tuple[str, ...]:
    """The sections asked for that a style has: its patterns in order, then the play-along; all where nobody says.

    Args:
        style: the style.
        words: names of patterns, roles of patterns (``fill``), or ``play-along``, separated by commas.
    """
    every = (*(item.name for item in style.patterns), PLAY_ALONG)
    if words is None:
        return every
    wanted = _split(words)
    named = {word for word in wanted if word in every}
    roles = {word for word in wanted if word not in named}
    return tuple(
        name for name in every if name in named or (name != PLAY_ALONG and style.named(name).role.value in roles)
    )


def check_sections(styles: Sequence[Style], words: str | None) -> None:
    """Raise where a section is asked for that none of the styles has.

    Raises:
        UnknownNameError: names the nearest; OptionError: no section at all.
    """
    if words is None:
        return
    names = {item.name for style in styles for item in style.patterns}
    known = [*dict.fromkeys((PLAY_ALONG, *(role.value for role in Role), *sorted(names)))]
    wanted = _split(words)
    if not wanted:
        raise OptionError(f"--section names nothing; name a pattern, a kind such as fill, or {PLAY_ALONG}")
    for word in wanted:
        if word not in known:
            raise UnknownNameError("section", word, known)
    if not any(sections_of(style, words) for style in styles):
        asked = ", ".join(style.name for style in styles)
        raise OptionError(f"--section {words}: no pattern of {asked} is called that or is of that kind")


def limbs_of(words: str | None) -> tuple[Limb, ...]:
    """The limbs a second file is without.

    Raises:
        UnknownNameError: no such limb; OptionError: all of them.
    """
    limbs = tuple(sorted({Limb.parse(word) for word in _split(words or "")}))
    if len(limbs) == len(Limb):
        raise OptionError(f"--without {words}: that leaves nobody; leave one in")
    return limbs


def check_limbs(without: str | None, mute: str | None) -> None:
    """Raise where limbs are left out that cannot be, or in both ways.

    Without limbs, files are written a second time; limbs that are mute are left out of the play-along itself.

    Raises:
        UnknownNameError: no such limb; OptionError: all of them, or both at once.
    """
    limbs_of(without)
    if without and mute:
        raise OptionError(
            f"--without {without} --mute {mute}: give one of them; --without writes every file a second time without "
            "these limbs, --mute leaves them out of the one play-along"
        )


def start_of(form: str, words: str | None) -> str:
    """The part of a form that a play-along begins with, by its number or name, as the number of its row.

    Raises:
        OptionError: a number the form has no part for; UnknownNameError: no part of that name.

    >>> start_of("aaba", "bridge"), start_of("aaba", None)
    ('3', '')
    """
    if words is None:
        return ""
    names = [part.section for part in play_form(form).parts]
    if words in names:
        return str(names.index(words) + 1)
    if not words.isdecimal():
        raise UnknownNameError(f"part of {form}", words, list(dict.fromkeys(names)))
    if not 1 <= int(words) <= len(names):
        raise OptionError(f"--from {words}: {form} has parts 1 to {len(names)}, or give a part's name")
    return str(int(words))


def _split(words: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(word.strip() for word in words.split(",") if word.strip()))
