"""What a score's own words say is struck: names of instruments and parts, and MusicXML's standard sounds.

Conventions: words are taken in lower case. A name that says one surface of the kit gives its label; one that says an
instrument off the kit is known as such; any other (``Drums``, ``Percussion``) leaves it to the staff place. Source of
the sounds' names: W3C Music Notation Community Group, MusicXML 4.0, ``sounds.xml``.
"""

import re
from functools import lru_cache

from kitgen.kit import GM_PERCUSSION, SURFACES
from kitgen.kit.pads import PADS

_SOUNDS = {
    "drum.bass-drum": "bass", "drum.snare-drum": "snare", "metal.cymbal.crash": "crash",
    "metal.cymbal.splash": "splash", "metal.cymbal.chinese": "china", "metal.bells.cowbell": "cowbell",
    "wood.wood-block": "wood-block", "drum.tambourine": "tambourine",
}  # fmt: skip
_WORDS = (
    (r"(hi|high)[ -]?hat.*(pedal|foot)|(pedal|foot).*(hi|high)[ -]?hat", "hat-foot"),
    (r"open (hi|high)[ -]?hat|(hi|high)[ -]?hat.*open", "open-hat"),
    (r"(hi|high)[ -]?hat", "closed-hat"),
    (r"ride.*bell|bell.*ride", "ride-bell"),
    (r"\bride\b", "ride"),
    (r"(crash|second crash).*2|second crash", "crash-2"),
    (r"\bcrash\b", "crash"),
    (r"\bsplash\b", "splash"),
    (r"\bchin(a|ese)\b", "china"),
    (r"(side|cross)[ -]?stick|rim[ -]?click", "cross-stick"),
    (r"rim[ -]?shot", "rim-shot"),
    (r"shell", "floor-shell"),
    (r"\bsnare\b", "snare"),
    (r"\bkick\b|bass[ -]?drum", "bass"),
    (r"cow[ -]?bell", "cowbell"),
    (r"wood[ -]?block", "wood-block"),
    (r"\btambourine\b", "tambourine"),
    (r"hand[ -]?clap", "clap"),
    (r"floor[ -]?tom|low[ -]?tom|tom(-tom)? ?(3|low)", "floor-tom"),
    (r"(low-)?mid(dle)?[ -]?tom|medium tom|tom(-tom)? ?2", "mid-tom"),
    (r"(high|hi|rack|high-mid|hi mid)[ -]?tom|tom(-tom)? ?(1|high)", "high-tom"),
)
_KIT = re.compile(r"\b(drums?[ -]?(set|kit|line)?|kit|trap set|percussion|battery)\b")
_NO_KIT = re.compile(
    r"\b(triangle|cymbals|timpani|kettle ?drums?|shaker|maracas?|guiro|gu[ií]ro|cabasa|congas?|bongos?|timbales?|agogo|"
    r"claves?|cuica|vibraslap|whistle|gong|tam-?tam|glockenspiel|xylophone|marimba|vibraphone|chimes?|tubular bells|"
    r"crotales|castanets|temple blocks?|sleigh bells|ratchet|djembe|caj[oó]n|surdo|pandeiro|tenor drums?|caxixi|tabla|"
    r"finger snap|anvil|brake drum)\b"
)


def surface_of_key_by_others(key: int) -> str:
    """The surface a General MIDI key means in a score that this program did not write; empty for none."""
    return PADS["gm"].get(key, "")


def key_words(key: int) -> str:
    """A General MIDI key as people call it."""
    return f"{GM_PERCUSSION[key]} (MIDI key {key})"


def is_percussion_key(key: int | None) -> bool:
    """True if General MIDI has a percussion sound on that key."""
    return key in GM_PERCUSSION


@lru_cache(maxsize=256)
def surface_said(words: str) -> str:
    """The one surface a name says, or a standard sound; empty where it says none, or several.

    >>> surface_said("hi-hat%g closed"), surface_said("kick drum"), surface_said("drum set")
    ('closed-hat', 'bass', '')
    """
    lowered = words.strip().lower()
    if lowered in SURFACES:
        return lowered
    if lowered in _SOUNDS:
        return _SOUNDS[lowered]
    return next((label for pattern, label in _WORDS if re.search(pattern, lowered)), "")


@lru_cache(maxsize=256)
def is_off_the_kit(words: str) -> bool:
    """True if a name says an instrument that is no surface here.

    >>> is_off_the_kit("Triangle"), is_off_the_kit("Drums"), is_off_the_kit("Cymbal")
    (True, False, False)
    """
    lowered = words.strip().lower()
    return not surface_said(lowered) and _NO_KIT.search(lowered) is not None


@lru_cache(maxsize=256)
def names_a_kit(words: str) -> bool:
    """True if a name says a drum set, or percussion at large."""
    lowered = words.strip().lower()
    return not surface_said(lowered) and not is_off_the_kit(lowered) and _KIT.search(lowered) is not None
