"""Kinds of file a page is heard from, and the MIDI file each is made of."""

HEARD_OF = {
    "wav": "mid",
    "play_wav": "play",
    "click_wav": "play",
    "without_wav": "without",
    "play_without_wav": "play_without",
}
SOUNDS = tuple(HEARD_OF)
"""Kinds of file that are heard, the loop first; in libraries also what is without some limbs."""
