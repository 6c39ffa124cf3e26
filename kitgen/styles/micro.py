"""Micro-timing of a style, where a measurement of it is published.

Only what a source gives stands here: which places of a pulse are early or late. Where the source that was read gives no
amount, ``share`` is empty and nothing is moved; a number made up would be worse than none.
"""

from fractions import Fraction
from typing import NamedTuple


class MicroTiming(NamedTuple):
    """How a pulse divided in equal places is bent.

    Args:
        name: as a style's file names it.
        places: the pulse's places that are bent, from 0, early ones negative in ``share``.
        share: by what part of a place each is moved; empty where no amount is published.
        words: what is bent, for notes.
        source: who measured it.
    """

    name: str
    places: tuple[int, ...]
    share: tuple[Fraction, ...]
    words: str
    source: str


MICRO_TIMINGS: dict[str, MicroTiming] = {
    item.name: item
    for item in (
        MicroTiming(
            "samba-pulse",
            (2, 3),
            (),
            "the third and fourth notes of every pulse come a little early",
            "F. Gouyon, 2007; L. Naveda, F. Gouyon, C. Guedes, M. Leman, 2011 (106 excerpts); direction only",
        ),
    )
}
