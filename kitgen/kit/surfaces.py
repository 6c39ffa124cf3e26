"""The one table of surfaces, and the General MIDI percussion map.

One row a surface: label, General MIDI key, staff place, notehead, what strikes it, how it rings. Everything else
about a surface is derived from this table. Keys: General MIDI level 1 percussion map, as printed in "Standard
MIDI-File Format Spec. 1.1, updated" (D. Back, 1999), appendix 1.5. Staff places: N. Weinberg, Guide to Standardized
Drumset Notation (Percussive Arts Society, 1998), except the toms (E5, D5, A4, one place each: common practice).
Where General MIDI has no key for a sound the nearest one stands in and ``stands_in`` says so.
"""

from dataclasses import dataclass

from kitgen.errors import KitError, UnknownNameError
from kitgen.kit.limbs import Limb


@dataclass(frozen=True, slots=True)
class Surface:
    """Something struck in one way.

    Args:
        label: its name in rows, options and files.
        key: General MIDI percussion key.
        place: staff place in treble reading, step then octave.
        head: notehead: ``normal``, ``x``, ``diamond``, ``triangle`` or ``slash``.
        struck_by: ``hand`` or ``foot``.
        side: limb side it is reached with on a right-handed kit, ``R`` or ``L``: which hand usually plays it,
            or which foot has its pedal.
        rings: ``short`` for drums and wood, ``long`` for cymbals, ``open`` for an open hat, closed by the next hat
        stroke. words: the sound in words, for keys and legends. stands_in: what the key really is, where General
        MIDI has none for this sound.
    """

    label: str
    key: int
    place: str
    head: str
    struck_by: str
    side: str
    rings: str
    words: str
    stands_in: str = ""

    def check_limb(self, limb: Limb) -> None:
        """Raise unless a hand strikes a hand surface and a foot a pedal.

        Raises:
            KitError: names the limb and the surface.
        """
        if (self.struck_by == "hand") is not limb.is_hand:
            raise KitError(
                f"the {limb.words} ({limb.name}) cannot play {self.label}; it is played with a {self.struck_by}: "
                f"{', '.join(other.name for other in Limb if other.is_hand == (self.struck_by == 'hand'))}"
            )


SURFACES: dict[str, Surface] = {
    row.label: row
    for row in (
        # label, key, place, head, struck by, side, rings, words
        Surface("crash", 49, "A5", "x", "hand", "R", "long", "crash cymbal"),
        Surface("crash-2", 57, "B5", "x", "hand", "L", "long", "second crash cymbal"),
        Surface("splash", 55, "C6", "x", "hand", "L", "long", "splash cymbal"),
        Surface("china", 52, "B5", "diamond", "hand", "R", "long", "china cymbal"),
        Surface("ride", 51, "F5", "x", "hand", "R", "long", "ride cymbal"),
        Surface("ride-bell", 53, "F5", "diamond", "hand", "R", "long", "bell of the ride cymbal"),
        Surface("closed-hat", 42, "G5", "x", "hand", "R", "short", "closed hi-hat"),
        Surface("open-hat", 46, "G5", "x", "hand", "R", "open", "open hi-hat"),
        Surface("cowbell", 56, "E5", "triangle", "hand", "R", "short", "cowbell"),
        Surface("wood-block", 76, "E5", "x", "hand", "R", "short", "wood block"),
        Surface("tambourine", 54, "B5", "triangle", "hand", "R", "short", "tambourine"),
        Surface("high-tom", 50, "E5", "normal", "hand", "L", "short", "high tom"),
        Surface("mid-tom", 47, "D5", "normal", "hand", "R", "short", "middle tom"),
        Surface("snare", 38, "C5", "normal", "hand", "L", "short", "snare drum"),
        Surface("cross-stick", 37, "C5", "x", "hand", "L", "short", "cross-stick on the snare drum"),
        Surface("rim-shot", 40, "C5", "slash", "hand", "L", "short", "rim shot", "electric snare"),
        Surface("clap", 39, "B4", "x", "hand", "R", "short", "hand clap"),
        Surface("floor-tom", 43, "A4", "normal", "hand", "R", "short", "floor tom"),
        Surface("floor-shell", 75, "A4", "x", "hand", "R", "short", "shell of the floor tom", "claves"),
        Surface("lap", 41, "B4", "normal", "hand", "R", "short", "hand on the knee", "low floor tom"),
        Surface("bass", 36, "F4", "normal", "foot", "R", "short", "bass drum"),
        Surface("floor", 35, "F4", "x", "foot", "R", "short", "foot on the floor", "acoustic bass drum"),
        Surface("hat-foot", 44, "D4", "x", "foot", "L", "short", "hi-hat closed by the foot"),
    )
}

HATS = frozenset(("closed-hat", "open-hat"))
"""The hi-hat under a hand: the foot has to hold it."""

_ALSO_CALLED = {
    **dict.fromkeys(("hihat", "hat", "highhat"), ("closed-hat", "open-hat", "hat-foot")),
    **dict.fromkeys(("kick", "kickdrum", "bassdrum", "bd"), ("bass",)),
    **dict.fromkeys(("sidestick", "rimclick", "crossstick"), ("cross-stick",)),
    **dict.fromkeys(("tom", "toms"), ("high-tom", "mid-tom", "floor-tom")),
    **dict.fromkeys(("bell", "ridebell"), ("ride-bell", "cowbell")),
    **dict.fromkeys(("cymbal", "cymbals"), ("crash", "ride")),
    "snaredrum": ("snare",),
    "pedalhat": ("hat-foot",),
}

_BY_KEY = {row.key: row for row in SURFACES.values()}


def surface(label: str) -> Surface:
    """The surface of that label.

    Raises:
        UnknownNameError: no such surface; names the nearest.
    """
    try:
        return SURFACES[label]
    except KeyError:
        plain = "".join(char for char in label.lower() if char.isalpha())
        raise UnknownNameError("surface", label, list(SURFACES), likely=_ALSO_CALLED.get(plain, ())) from None


def surface_of_key(key: int) -> Surface | None:
    """The surface that sounds on a General MIDI key, if one does."""
    return _BY_KEY.get(key)


GM_PERCUSSION: dict[int, str] = dict(
    enumerate(
        (
            "Acoustic Bass Drum", "Bass Drum 1", "Side Stick", "Acoustic Snare", "Hand Clap", "Electric Snare",
            "Low Floor Tom", "Closed Hi Hat", "High Floor Tom", "Pedal Hi-Hat", "Low Tom", "Open Hi-Hat",
            "Low-Mid Tom", "Hi Mid Tom", "Crash Cymbal 1", "High Tom", "Ride Cymbal 1", "Chinese Cymbal",
            "Ride Bell", "Tambourine", "Splash Cymbal", "Cowbell", "Crash Cymbal 2", "Vibraslap",
            "Ride Cymbal 2", "Hi Bongo", "Low Bongo", "Mute Hi Conga", "Open Hi Conga", "Low Conga",
            "High Timbale", "Low Timbale", "High Agogo", "Low Agogo", "Cabasa", "Maracas",
            "Short Whistle", "Long Whistle", "Short Guiro", "Long Guiro", "Claves", "Hi Wood Block",
            "Low Wood Block", "Mute Cuica", "Open Cuica", "Mute Triangle", "Open Triangle",
        ),
        start=35,
    )
)  # fmt: skip
