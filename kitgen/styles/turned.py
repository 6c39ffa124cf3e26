"""A style with its clave the other way round: what lasts the whole clave has its halves swapped.

Conventions: time, ways in and fills that last whole claves are begun half a clave later or earlier. An ending that is
the clave itself is turned too, and keeps its last chord for the stroke that is now the last; any other stands as it
was, as does what lasts half a clave or less. Of these, what speaks the old side with its accents is left out where the
style has another. Common practice: a chart in the other clave is played with the bars swapped.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from kitgen.errors import OptionError
from kitgen.kit import Limb
from kitgen.pattern import Level, Pattern
from kitgen.pattern.clave import agreement, clave, clave_span, swapped
from kitgen.styles.parts import Role, StylePattern
from kitgen.styles.value import Clave, Style
from kitgen.time import Meters

_PAIRS = (
    ("3-2", "2-3"),
    ("three-side", "two-side"),
    ("three and two", "two and three"),
    ("three strokes, then two", "two strokes, then three"),
    ("three strokes, then on two", "two strokes, then on three"),
)
_SWAPS = dict(_PAIRS) | {there: here for here, there in _PAIRS}
_ORDER = {"first": "second", "second": "first"}
_SWAPPED = re.compile("|".join(rf"\b{words}\b" for words in _SWAPS))
_BAR_BY_NUMBER = re.compile(r"\b(?:first|second) bar\b|\bbar\b.* comes (?:first|second)\b")
_SENTENCE = re.compile(r"(?<=\.) ")
_LAST_PLACE = re.compile(r" on (?:the & of )?\d(?= with the crash)|(?<=with the crash) on (?:the & of )?\d")


def on_side(style: Style, side: str | None) -> Style:
    """A style on the side of the clave that is asked for; the very style where none is, or where it is there already.

    Args:
        style: the style.
        side: ``3-2``, ``2-3`` or None.

    Raises:
        OptionError: no such side, or a style that has no clave.
    """
    if side is None:
        return style
    swapped(side)
    return style if style.clave and style.clave.side == side else turned(style)


def turned(style: Style) -> Style:
    """A style with its clave the other way round.

    Raises:
        OptionError: a style that has no clave.
    """
    if style.clave is None:
        raise OptionError(f"{style.title} has no clave, so it has no side to turn to; its bars stand as they are")
    side = Clave(swapped(style.clave.side), style.clave.kind)
    patterns = tuple(_on_the_side([_turned(item, style.clave) for item in style.patterns], side))
    still = [item.name for item in patterns if _speaks(item, side) == style.clave.side]
    crossing = (f"Still in {style.clave.side}, for want of others: {', '.join(still)}.",) if still else ()
    return replace(
        style,
        clave=side,
        words=_said(style.words),
        patterns=patterns,
        feet=None if style.feet is None else _round(style.feet, style.clave),
        notes=(*filter(None, map(_note, style.notes)), *crossing),
    )


def _turned(item: StylePattern, given: Clave) -> StylePattern:
    """A pattern turned by half a clave, if it lasts whole claves and can be."""
    pattern = _round(item.pattern, given)
    if pattern is item.pattern:
        return item
    if item.role is Role.FILL:
        return replace(item, pattern=pattern, words=f"the bars swapped: {item.words}")
    if item.role is not Role.ENDING:
        return replace(item, pattern=pattern, words=_said(item.words))
    if not _is_clave(item.pattern, given):
        return item
    ended = _ended(pattern, max(hit.onset for hit in item.pattern.hits if hit.limb is not Limb.LF))
    return replace(item, pattern=ended, words=_LAST_PLACE.sub("", _said(item.words)))


def _round(pattern: Pattern, given: Clave) -> Pattern:
    """A pattern begun half a clave later from 3-2, earlier from 2-3; the very pattern where it is no whole clave."""
    span = clave_span(pattern.meters.runs[0][0])
    if span is None or pattern.span % span:
        return pattern
    return pattern >> (-span / 2 if given.side == "3-2" else span / 2)


def _is_clave(pattern: Pattern, given: Clave) -> bool:
    """True if hands and bass strike nothing but the clave, every stroke of it."""
    struck = {hit.onset for hit in pattern.hits if hit.limb is not Limb.LF}
    return struck == set(clave(given.kind, given.side, pattern.meters.runs[0][0]))


def _ended(pattern: Pattern, was_last: Fraction) -> Pattern:
    """A turned ending whose last stroke is played as the last one was before, and that one as the other.

    The hat foot stays on its beats, and stops with the rest.
    """
    last = max(hit.onset for hit in pattern.hits if hit.limb is not Limb.LF)
    now = (was_last + pattern.span / 2) % pattern.span
    to = {last: now, now: last}
    return pattern.with_hits(
        hit if hit.limb is Limb.LF else hit.at(to.get(hit.onset, hit.onset))
        for hit in pattern.hits
        if hit.onset <= last
    )


def _on_the_side(patterns: Sequence[StylePattern], given: Clave) -> Iterator[StylePattern]:
    """The patterns without fills and endings that speak the other side, where there are others (fills: as long)."""
    against = {item.name for item in patterns if _speaks(item, given) == swapped(given.side)}
    for item in patterns:
        others = [one for one in patterns if one.role is item.role and one.name not in against]
        if item.role is Role.FILL:
            others = [one for one in others if one.length == item.length]
        if item.name not in against or not others:
            yield item


def _speaks(item: StylePattern, given: Clave) -> str:
    """The side a fill or an ending speaks with its accents at the end of a clave; empty where that is not told."""
    meter = item.pattern.meters.runs[0][0]
    span = clave_span(meter)
    whole = item.role in (Role.FILL, Role.ENDING) and span is not None
    if not whole or span is None or (item.pattern.span > span / 2 and item.pattern.span % span):
        return ""
    before = -item.pattern.span % span
    accents = (hit.onset + before for hit in item.pattern.hits if hit.level is Level.ACCENT)
    found = agreement(accents, Meters(((meter, before + item.pattern.span),)), kind=given.kind)
    return "" if found is None else found.side


def _said(words: str) -> str:
    """Words with the sides swapped, and the numbers of bars where they are named."""
    words = _SWAPPED.sub(lambda found: _SWAPS[found[0]], words)
    if _BAR_BY_NUMBER.search(words):
        words = re.sub(r"\b(?:first|second)\b", lambda found: _ORDER[found[0]], words)
    return words


def _note(note: str) -> str:
    """A note without the sentences that tell how to swap the bars, which is done."""
    return " ".join(_said(sentence) for sentence in _SENTENCE.split(note) if "swap" not in sentence)
