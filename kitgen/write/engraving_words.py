"""Stickings and counts under the staff: centred under their heads, in lines clear of all that is above them.

Conventions: the engraver's units. Widths of letters are those of a book face, near enough to see whether neighbours
touch.
"""

import re
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import lru_cache
from html import unescape
from typing import NamedTuple

from kitgen.write.musicxml_text import xml_words

_WORD = re.compile(
    r'<g class="verse">\s*<g class="syl">\s*<text x="(-?\d+)" y="(\d+)"[^>]*>\s*'
    r"<tspan[^>]*>\s*<tspan[^>]*>([^<]*)</tspan>\s*</tspan>\s*</text>\s*</g>\s*</g>"
)
UNSAID = "-"
"""What stands in the document for no word."""
_SMALL = re.compile(r"[lr]+(?=[LR]$)")
"""Stickings of small notes, which stand before the letter of the stroke itself."""
_HEADLESS = '<g class="note">'
"""What stands before words that are said where nothing starts."""
_HEADS = re.compile(
    r'class="notehead">(?:<use href="#E26[AB][^>]*/>)*<use [^>]*translate\((-?\d+), ?-?\d+\) scale\(0\.72'
)
"""Heads of full size, after the parenthesis before them."""
_LINE_AT = re.compile(r'<g class="syl">\s*<text x="-?\d+" y="(\d+)"')
_TO_MIDDLE, _TO_HEAD, _SLACK = 195, 80, 20
"""From where the engraver starts words to the middle of the head over them, to its left side, and how exactly."""
_SIZE, _LINE, _AIR, _GAP, _HANGING = 350, 385, 110, 60, 90
"""Size of the type, from line to line, room above the first line, between neighbours, and under the last."""
_HALF_SPACE = 90
_WIDE, _NARROW, _USUAL, _CAPITAL = 0.78, 0.3, 0.48, 0.62
_LETTERS = dict.fromkeys("mw&", _WIDE) | dict.fromkeys("iltjf1,.'", _NARROW)


class Placed(NamedTuple):
    """A drawing's body with its words, its height, and whether no two of them touch."""

    body: str
    height: int
    clear: bool


def with_words(body: str, height: int, words: Mapping[str, str], *, top_line: int, depth: int) -> Placed:
    """A body with what stands under the staff put where it belongs.

    Args:
        body: as the engraver drew it.
        height: of the drawing.
        words: by the letter that stands for them.
        top_line: of the staff.
        depth: how far under it the notes reach, in half spaces.
    """
    lines = sorted({int(y) for y in _LINE_AT.findall(body)})
    if not lines:
        return Placed(body, height, clear=True)
    top = top_line + 8 * _HALF_SPACE + max(3, depth) * _HALF_SPACE + _AIR
    bases = {y: top + _SIZE * 7 // 10 + index * _LINE for index, y in enumerate(lines)}
    placed: dict[int, list[tuple[int, str]]] = defaultdict(list)

    heads = sorted({int(x) for x in _HEADS.findall(body)})
    shown = {letter: (word, xml_words(word)) for letter, word in words.items()}

    def put(match: "re.Match[str]") -> str:
        if match[3] == UNSAID:
            return ""
        start = int(match[1])
        if not body.startswith(_HEADLESS, match.start() - len(_HEADLESS)):
            start = _under(heads, start)
        x, y = start + _TO_MIDDLE, bases[int(match[2])]
        word, escaped = shown.get(match[3]) or (unescape(match[3]), match[3])
        if small := _SMALL.match(word):
            x -= round(width_of(small[0]) * _SIZE / 2)
        placed[y].append((x, word))
        return f'<text x="{x}" y="{y}" font-size="{_SIZE}px" text-anchor="middle">{escaped}</text>'

    put_right = _WORD.sub(put, body)
    return Placed(put_right, max(bases.values()) + _HANGING, clear=all(map(_is_clear, placed.values())))


def _under(heads: Sequence[int], start: int) -> int:
    """Where words start under their head; the engraver moves some to the left of it where it sees room."""
    after = bisect_left(heads, start + _TO_HEAD - _SLACK)
    if after == len(heads) or heads[after] - start <= _TO_HEAD + _SLACK:
        return start
    return heads[after] - _TO_HEAD


def _is_clear(line: Sequence[tuple[int, str]]) -> bool:
    """True if no word of a line touches its neighbour."""
    end = -1e9
    for x, word in sorted(line):
        half = width_of(word) * _SIZE / 2
        if x - half < end + _GAP:
            return False
        end = x + half
    return True


@lru_cache(maxsize=1024)
def width_of(word: str) -> float:
    """The width of a word in sizes of its type."""
    return sum(_LETTERS.get(letter, _CAPITAL if letter.isupper() else _USUAL) for letter in word)


def room_of(word: str) -> float:
    """The room a word takes beside others, in staff spaces."""
    return (width_of(word) * _SIZE + 2 * _GAP) / (2 * _HALF_SPACE)
