"""Small figures of notes for the head of a sheet, drawn here so that no font is needed for them.

Conventions: a figure is a stand-alone SVG in black whose text is at most the 3 of a triplet; it is set at ``height_em``
times the size of the text beside it, the note heads on its base line.
"""

from fractions import Fraction
from typing import NamedTuple

from kitgen.pattern import Feel
from kitgen.time import unit_name


class Figure(NamedTuple):
    """A figure.

    Args:
        svg: the picture.
        height_em: its height in sizes of the text beside it.
        alt: what it shows, in words.
    """

    svg: str
    height_em: float
    alt: str


_BASE, _TOP = 17.2, 3.0
_FLAGS = {Fraction(1, 2): 1, Fraction(1, 4): 2, Fraction(1, 8): 3}
_OPEN = (Fraction(2), Fraction(4))


def note_figure(unit: Fraction) -> Figure | None:
    """The note value a bpm counts; None where there is no note of that length.

    Args:
        unit: its length in quarters.
    """
    dotted = unit not in (*_FLAGS, *_OPEN, Fraction(1))
    plain = unit * 2 / 3 if dotted else unit
    if plain not in (*_FLAGS, *_OPEN, Fraction(1)):
        return None
    flags = _FLAGS.get(plain, 0)
    parts = [_head(3.4, filled=plain not in _OPEN)]
    width = 7.0
    if plain != 4:
        parts.append(_stem(5.9))
        parts += [_flag(5.9, _TOP + 3.4 * number) for number in range(flags)]
        width = 11.0 if flags else 7.0
    if dotted:
        parts.append(f'<circle cx="{width + 1.2:g}" cy="{_BASE - 1:g}" r="1"/>')
        width += 2.6
    return Figure(_svg(width, parts), 1.3, f"{unit_name(unit)} note")


def swing_figure(feel: Feel) -> Figure | None:
    """The usual sign of swing: two even notes, then the long and the short of a triplet; None of an even feel."""
    if not feel.unit:
        return None
    beams = 1 if feel.unit == 8 else 2
    parts = [
        *(_head(x) + _stem(x + 2.5) for x in (3.4, 14.4)),
        *(_beam(5.4, 17.4, _TOP + 3.2 * number) for number in range(beams)),
        '<path d="M23.5 10.2h7M23.5 13.2h7" fill="none" stroke="#000" stroke-width="0.9"/>',
        *(_head(x) + _stem(x + 2.5) for x in (39.4, 53.4)),
    ]
    if beams == 1:
        parts.append(_flag(55.9, _TOP))
    else:
        parts += [_beam(41.4, 56.4, _TOP), _beam(51.9, 56.4, _TOP + 3.2)]
    parts.append('<path d="M39 1.6v-2.6h6.4M51.6 -1h6.4v2.6" fill="none" stroke="#000" stroke-width="0.7"/>')
    three = '<text x="48.5" y="1.4" text-anchor="middle" font-family="Libertinus Serif" font-style="italic"'
    parts.append(f'{three} font-size="8">3</text>')
    small, long, short = ("eighths", "quarter", "eighth") if beams == 1 else ("sixteenths", "eighth", "sixteenth")
    alt = f"two {small} written, a triplet {long} and {short} played"
    return Figure(_svg(61.5, parts, top=-5), 1.75, alt)


def _svg(width: float, parts: list[str], top: float = 0) -> str:
    height = _BASE + 2.2 - top
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}pt" height="{height:g}pt" '
        f'viewBox="0 {top:g} {width:g} {height:g}">{"".join(parts)}</svg>'
    )


def _head(x: float, *, filled: bool = True) -> str:
    ink = 'fill="#000"' if filled else 'fill="none" stroke="#000" stroke-width="1.1"'
    size = (2.75, 1.95) if filled else (2.4, 1.6)
    where = f'cx="{x:g}" cy="{_BASE:g}" transform="rotate(-20 {x:g} {_BASE:g})"'
    return f'<ellipse rx="{size[0]}" ry="{size[1]}" {where} {ink}/>'


def _stem(x: float) -> str:
    return f'<path d="M{x:g} {_BASE - 0.7:g}V{_TOP:g}" fill="none" stroke="#000" stroke-width="0.8"/>'


def _flag(x: float, y: float) -> str:
    return f'<path d="M{x - 0.4:g} {y:g}c0.5 3.4 5.4 4.2 3.6 9.4c0.3-3.3-2-4.6-3.6-5z"/>'


def _beam(left: float, right: float, y: float) -> str:
    return f'<path d="M{left:g} {y - 0.4:g}H{right:g}v2.1H{left:g}z"/>'
