"""Where surfaces stand on a right-handed kit, for the time hands need between them and for crossed hands.

Places are centimetres from the middle of the snare drum as the player sees it, x to the right and y away; common
practice for a five-piece kit. A left-handed kit is its mirror image.
"""

from functools import cache
from math import dist
from types import MappingProxyType

from kitgen.kit.surfaces import SURFACES

_NEXT_CM, _CROSSED_CM = 52, 48
_BODY = (0, -15)

PLACES = MappingProxyType(
    {
        "snare": (0, 0),
        "cross-stick": (0, 0),
        "rim-shot": (0, 0),
        "closed-hat": (-40, 10),
        "open-hat": (-40, 10),
        "high-tom": (-15, 40),
        "mid-tom": (20, 40),
        "floor-tom": (50, 0),
        "floor-shell": (50, 0),
        "ride": (60, 45),
        "ride-bell": (60, 45),
        "crash": (40, 60),
        "crash-2": (-45, 55),
        "splash": (0, 60),
        "china": (85, 40),
        "cowbell": (5, 45),
        "wood-block": (10, 50),
        "tambourine": (-30, 50),
        "clap": _BODY,
        "lap": _BODY,
        "bass": (10, 30),
        "floor": (10, 30),
        "hat-foot": (-60, 10),
    }
)
assert PLACES.keys() == SURFACES.keys()

BOUNCING = frozenset(("snare", "high-tom", "mid-tom", "floor-tom"))
"""Surfaces a stick bounces back from fast enough for a rebound double."""


@cache
def steps(first: str, second: str) -> int:
    """How far one surface is from another: 0 the same place, 1 neighbours, 2 across the kit."""
    here, there = PLACES[first], PLACES[second]
    return 0 if here == there else 1 if dist(here, there) <= _NEXT_CM else 2


@cache
def side_of(label: str) -> int:
    """Which side of a right-handed player a surface is on: -1 left, 0 in front, 1 right."""
    x = PLACES[label][0]
    return 0 if abs(x) <= 20 else 1 if x > 0 else -1


@cache
def crossed(right: str, left: str) -> bool:
    """True if the right hand on one surface and the left on another cross too far to play, on a right-handed kit.

    The right hand on the hat over the left on the snare or the high tom is the usual set-up and no crossing.
    """
    return PLACES[left][0] - PLACES[right][0] > _CROSSED_CM
