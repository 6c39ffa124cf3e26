"""Rows of styles against rhythms published by others.

Sources: G. Toussaint, A mathematical analysis of African, Brazilian and Cuban clave rhythms, Bridges 2002, pp. 157-168
(rumba, bossa-nova), onsets on sixteen pulses from the start of the 3-side.
"""

from kitgen.kit import Limb
from kitgen.read.styles import style_named
from kitgen.styles import StylePattern

RUMBA = (0, 3, 7, 10, 12)
BOSSA = (0, 3, 6, 10, 13)


def pulses(item: StylePattern, limb: Limb, surface: str) -> tuple[int, ...]:
    """Where a limb strikes a surface, on the sixteen eighths of two bars."""
    hits = [hit.onset * 2 for hit in item.pattern.hits if (hit.limb, hit.surface) == (limb, surface)]
    return tuple(map(int, hits))


def test_bossa_cross_stick_is_the_published_timeline() -> None:
    """The left hand of the bossa groove is the bossa-nova timeline (Toussaint 2002); swapped, its other half first."""
    bossa = style_named("bossa")
    assert pulses(bossa.groove, Limb.LH, "cross-stick") == BOSSA
    swapped = tuple(sorted((onset + 8) % 16 for onset in BOSSA))
    assert pulses(bossa.named("bars-swapped"), Limb.LH, "cross-stick") == swapped


def test_songo_left_hand_can_play_the_rumba_clave() -> None:
    """The songo's clave hand is the rumba clave (Toussaint 2002), with the half of two strokes first."""
    songo = style_named("songo")
    expected = tuple(sorted((onset + 8) % 16 for onset in RUMBA))
    assert pulses(songo.named("clave-hand"), Limb.LH, "cross-stick") == expected
