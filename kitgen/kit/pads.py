"""Pad maps: which surface a recorded MIDI key means.

Three maps: ``gm``, every General MIDI percussion key that has a surface here; ``edge-pads``, an electronic kit whose
rims and edges have keys of their own; ``pages``, the keys this package writes, where a few sounds that General MIDI
lacks stand on keys of others. Keys are 0 to 127. A key in no map is kept by whoever reads it, without a surface.

Sources: the General MIDI level 1 percussion map as printed in "Standard MIDI-File Format Spec. 1.1, updated" (D. Back,
1999), appendix 1.5. The pads with edges and rims: the drum mapping published with the Groove MIDI Dataset 1.0.0
(Gillick, Roberts, Engel, Eck, Bamman, "Learning to Groove with Inverse Sequence Transformations", ICML 2019). A tom
struck on its rim is read as the tom, a snare struck on its rim as a rim shot: nothing here tells them further apart.
"""

from collections.abc import Collection, Mapping
from types import MappingProxyType

from kitgen.errors import UnknownNameError
from kitgen.kit.surfaces import SURFACES

# label, keys in General MIDI, keys on a kit with edge pads
_TABLE: tuple[tuple[str, tuple[int, ...], tuple[int, ...]], ...] = (
    ("bass", (35, 36), (35, 36)),
    ("cross-stick", (37,), (37,)),
    ("snare", (38,), (38,)),
    ("rim-shot", (40,), (40,)),
    ("clap", (39,), (39,)),
    ("floor-tom", (41, 43), (41, 43, 58)),
    ("mid-tom", (45, 47), (45, 47)),
    ("high-tom", (48, 50), (48, 50)),
    ("closed-hat", (42,), (42, 22)),
    ("open-hat", (46,), (46, 26)),
    ("hat-foot", (44,), (44,)),
    ("crash", (49,), (49, 55)),
    ("crash-2", (57,), (57, 52)),
    ("splash", (55,), ()),
    ("china", (52,), ()),
    ("ride", (51, 59), (51, 59)),
    ("ride-bell", (53,), (53,)),
    ("tambourine", (54,), (54,)),
    ("cowbell", (56,), (56,)),
    ("floor-shell", (75,), (75,)),
    ("wood-block", (76, 77), (76, 77)),
)
_EDGE_KEYS = frozenset((22, 26, 58))

_GM = {key: label for label, keys, _ in _TABLE for key in keys}
_EDGE_PADS = {key: label for label, _, keys in _TABLE for key in keys}

PADS: Mapping[str, Mapping[int, str]] = MappingProxyType(
    {
        "gm": MappingProxyType(_GM),
        "edge-pads": MappingProxyType(_EDGE_PADS),
        "pages": MappingProxyType(_GM | {row.key: row.label for row in SURFACES.values()}),
    }
)


def pad_map(name: str) -> Mapping[int, str]:
    """A pad map by name.

    Args:
        name: ``gm``, ``edge-pads`` or ``pages``.

    Returns:
        Surface labels by MIDI key.

    Raises:
        UnknownNameError: no such map.

    >>> pad_map("gm")[55], pad_map("edge-pads")[55], pad_map("edge-pads")[22]
    ('splash', 'crash', 'closed-hat')
    """
    try:
        return PADS[name]
    except KeyError:
        raise UnknownNameError("pad map", name, list(PADS)) from None


def pads_for(keys: Collection[int]) -> str:
    """The map recorded keys speak for: ``edge-pads`` if an edge or rim key (22, 26, 58) is among them, else ``gm``.

    >>> pads_for({36, 38, 22}), pads_for({36, 38, 42})
    ('edge-pads', 'gm')
    """
    return "gm" if _EDGE_KEYS.isdisjoint(keys) else "edge-pads"
