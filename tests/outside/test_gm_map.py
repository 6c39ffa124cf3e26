"""The table of surfaces against the General MIDI percussion map and a published staff notation.

Keys: General MIDI level 1 percussion key map as printed in "Standard MIDI-File Format Spec. 1.1, updated" (D. Back,
1999), appendix 1.5; exclusive groups as in "General MIDI Lite", RP-033 (2001), section 3.1.8.1, and "General MIDI 2",
RP-024, version 1.2a, appendix B. A second reader of the map is the table that pretty_midi carries.

Staff places: N. Weinberg, Guide to Standardized Drumset Notation (Percussive Arts Society, 1998), as they stand in the
drum style named after its author in LilyPond's ly/drumpitch-init.ly; the book itself was not at hand.
"""

import re

import pytest
from pretty_midi import constants

from kitgen.kit import GM_PERCUSSION, SURFACES

PRINTED = """
35 Acoustic Bass Drum|36 Bass Drum 1|37 Side Stick|38 Acoustic Snare|39 Hand Clap|40 Electric Snare|41 Low Floor Tom
42 Closed Hi Hat|43 High Floor Tom|44 Pedal Hi-Hat|45 Low Tom|46 Open Hi-Hat|47 Low-Mid Tom|48 Hi Mid Tom
49 Crash Cymbal 1|50 High Tom|51 Ride Cymbal 1|52 Chinese Cymbal|53 Ride Bell|54 Tambourine|55 Splash Cymbal|56 Cowbell
57 Crash Cymbal 2|58 Vibraslap|59 Ride Cymbal 2|60 Hi Bongo|61 Low Bongo|62 Mute Hi Conga|63 Open Hi Conga|64 Low Conga
65 High Timbale|66 Low Timbale|67 High Agogo|68 Low Agogo|69 Cabasa|70 Maracas|71 Short Whistle|72 Long Whistle
73 Short Guiro|74 Long Guiro|75 Claves|76 Hi Wood Block|77 Low Wood Block|78 Mute Cuica|79 Open Cuica|80 Mute Triangle
81 Open Triangle
"""
MAP = {int(key): name for key, name in re.findall(r"(\d\d) ([^|\n]+)", PRINTED)}

EXCLUSIVE = ({42, 44, 46}, {71, 72}, {73, 74}, {78, 79}, {80, 81})

# What the sound of a surface is called in the map.
SOUNDS = {
    "crash": "Crash Cymbal 1",
    "crash-2": "Crash Cymbal 2",
    "splash": "Splash Cymbal",
    "china": "Chinese Cymbal",
    "ride": "Ride Cymbal 1",
    "ride-bell": "Ride Bell",
    "closed-hat": "Closed Hi Hat",
    "open-hat": "Open Hi-Hat",
    "hat-foot": "Pedal Hi-Hat",
    "cowbell": "Cowbell",
    "wood-block": "Hi Wood Block",
    "tambourine": "Tambourine",
    "high-tom": "High Tom",
    "mid-tom": "Low-Mid Tom",
    "floor-tom": "High Floor Tom",
    "snare": "Acoustic Snare",
    "cross-stick": "Side Stick",
    "clap": "Hand Clap",
    "bass": "Bass Drum 1",
}

# Sounds the map has no key for, and what stands in.
STANDING_IN = {
    "rim-shot": "Electric Snare",
    "floor-shell": "Claves",
    "lap": "Low Floor Tom",
    "floor": "Acoustic Bass Drum",
}

# Staff place (treble reading) and notehead in the published style.
STAFF = {
    "crash": ("A5", "x"),
    "closed-hat": ("G5", "x"),
    "open-hat": ("G5", "x"),
    "ride": ("F5", "x"),
    "ride-bell": ("F5", "diamond"),
    "cowbell": ("E5", "triangle"),
    "snare": ("C5", "normal"),
    "cross-stick": ("C5", "x"),
    "bass": ("F4", "normal"),
    "hat-foot": ("D4", "x"),
}

# Where books disagree: our place (common practice) and the published style's.
DISPUTED = {"high-tom": ("E5", "F5"), "mid-tom": ("D5", "D5"), "floor-tom": ("A4", "A4")}


def plain(name: str) -> str:
    """A name without the spellings on which printings of the map differ."""
    return re.sub(r"[ -]|igh", "", name.lower())


def test_the_map_is_the_printed_one() -> None:
    """The percussion map has the 47 printed keys, 35 to 81, under their printed names."""
    assert len(MAP) == 47
    assert GM_PERCUSSION == MAP


def test_another_reader_has_the_same_map() -> None:
    """Another library's map has the same sounds on the same keys, but for hyphens and the spelling of high."""
    theirs = dict(enumerate(constants.DRUM_MAP, start=35))
    assert {key: plain(name) for key, name in theirs.items()} == {key: plain(name) for key, name in MAP.items()}


@pytest.mark.parametrize("label", SOUNDS)
def test_each_surface_sounds_as_itself(label: str) -> None:
    """Each surface the map has a sound for has the key of that sound, and nothing stands in for it."""
    assert MAP[SURFACES[label].key] == SOUNDS[label]
    assert not SURFACES[label].stands_in


@pytest.mark.parametrize("label", STANDING_IN)
def test_what_stands_in_is_said(label: str) -> None:
    """Where the map has no key for a sound, the surface says what its key really is."""
    assert MAP[SURFACES[label].key] == STANDING_IN[label]
    assert plain(SURFACES[label].stands_in) == plain(STANDING_IN[label])


def test_every_surface_is_accounted_for() -> None:
    """There is no surface whose key is not checked here."""
    assert SOUNDS.keys() | STANDING_IN.keys() == SURFACES.keys()
    assert not SOUNDS.keys() & STANDING_IN.keys()


def test_only_the_hat_cuts_itself_off() -> None:
    """The hat's three sounds are one exclusive group; no other group holds two surfaces, so nothing else is cut."""
    keys = {label: row.key for label, row in SURFACES.items()}
    hats = {"closed-hat", "open-hat", "hat-foot"}
    assert {keys[label] for label in hats} == EXCLUSIVE[0]
    assert all(len(group & set(keys.values())) <= 1 for group in EXCLUSIVE[1:])
    assert {label for label, row in SURFACES.items() if row.rings == "open"} == {"open-hat"}


@pytest.mark.parametrize("label", STAFF)
def test_staff_places_and_heads(label: str) -> None:
    """Surfaces the published style has stand on its staff place with its notehead."""
    assert (SURFACES[label].place, SURFACES[label].head) == STAFF[label]


def test_the_china_departs_in_its_head() -> None:
    """The china stands on the published place, B5, with a diamond in place of the x, which the second crash has."""
    assert (SURFACES["china"].place, SURFACES["china"].head) == ("B5", "diamond")
    assert (SURFACES["crash-2"].place, SURFACES["crash-2"].head) == ("B5", "x")


@pytest.mark.parametrize("label", DISPUTED)
def test_toms_follow_common_practice(label: str) -> None:
    """Toms stand on E5, D5 and A4, one place each (common practice); the published style puts the high tom on F5."""
    ours, published = DISPUTED[label]
    assert SURFACES[label].place == ours
    assert SURFACES[label].head == "normal"
    assert (ours == published) is (label != "high-tom")


def test_cymbals_have_crosses_and_drums_heads() -> None:
    """Cymbals are written with x or diamond, drums struck with the stick's tip with plain heads."""
    for label, row in SURFACES.items():
        if row.rings in ("long", "open"):
            assert row.head in ("x", "diamond"), label
        if label in ("snare", "high-tom", "mid-tom", "floor-tom", "bass"):
            assert row.head == "normal", label
