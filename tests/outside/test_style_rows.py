"""Rows of styles against rhythms published by others, and against the ostinatos of the same names.

Sources, onsets counted from 0 on sixteen or twelve pulses, from the start of the 3-side where there is one:
G. T. Toussaint, A mathematical analysis of African, Brazilian, and Cuban clave rhythms, Bridges 2002, pp. 157-168 (son,
rumba, bossa nova); G. T. Toussaint, The Euclidean Algorithm Generates Traditional Musical Rhythms, Bridges 2005, pp.
47-56 (the seven strokes of samba in sixteen, begun on the last one of the published row); F. Gomez, A. Melvin, D.
Rappaport and G. T. Toussaint, Mathematical measures of syncopation, Bridges 2005 (the bell in twelve, bembe); E. D.
Demaine and others, The distance geometry of music, Computational Geometry 42 (2009) (the clave in twelve). The shell
pattern, the mambo bell, the feet and the ride are common practice.
"""

from fractions import Fraction

import pytest

from kitgen.apply.ostinatos import ostinato
from kitgen.kit import Limb
from kitgen.pattern import Level, stretch
from kitgen.read.styles import style_named
from kitgen.styles import StylePattern
from kitgen.styles.turned import turned

SON = (0, 3, 6, 10, 12)
RUMBA = (0, 3, 7, 10, 12)
BOSSA = (0, 3, 6, 10, 13)
SAMBA_NECKLACE = "x..x.x.x..x.x.x."
SHELL_3_2 = "x.xx.x.xx.x.xx.x"
MAMBO_BELL_2_3 = "x.x.xxxx.xxxx.xx"
RUMBA_IN_TWELVE = "x.x..x.x.x.."
BELL = "x.x.xx.x.x.x"


def struck(boxes: str) -> tuple[int, ...]:
    """The pulses at which something starts."""
    return tuple(pulse for pulse, char in enumerate(boxes) if char == "x")


def halves_swapped(onsets: tuple[int, ...]) -> tuple[int, ...]:
    """The other half of sixteen pulses first."""
    return tuple(sorted((onset + 8) % 16 for onset in onsets))


def pulses(item: StylePattern, limb: Limb, surface: str, *, a_quarter: int = 2) -> tuple[int, ...]:
    """Where a limb strikes a surface, on the pulses of two bars."""
    hits = [hit.onset * a_quarter for hit in item.pattern.hits if (hit.limb, hit.surface) == (limb, surface)]
    return tuple(map(int, hits))


def test_bossa_cross_stick_is_the_published_timeline() -> None:
    """The left hand of the bossa groove is the bossa-nova timeline (Toussaint 2002); swapped, its other half first."""
    bossa = style_named("bossa")
    assert pulses(bossa.groove, Limb.LH, "cross-stick") == BOSSA
    assert pulses(bossa.named("bars-swapped"), Limb.LH, "cross-stick") == halves_swapped(BOSSA)


def test_samba_cross_stick_is_the_published_row() -> None:
    """The seven strokes of samba (Toussaint 2005), begun on the last onset of the row, as the source says it is."""
    last = SAMBA_NECKLACE.rindex("x")
    begun = SAMBA_NECKLACE[last:] + SAMBA_NECKLACE[:last]
    assert pulses(style_named("samba").groove, Limb.LH, "cross-stick") == struck(begun)


@pytest.mark.parametrize(
    ("style", "pattern", "published", "two_first"),
    [
        ("cascara", "groove", SON, False),
        ("mambo", "clave-hand", SON, True),
        ("guaguanco", "groove", RUMBA, False),
        ("songo", "clave-hand", RUMBA, True),
    ],
)
def test_hands_that_play_the_clave(style: str, pattern: str, published: tuple[int, ...], *, two_first: bool) -> None:
    """The clave in the left hand is the published one (Toussaint 2002) on the side the style has; turned, the other."""
    on_its_side = halves_swapped(published) if two_first else published
    given = style_named(style)
    assert pulses(given.named(pattern), Limb.LH, "cross-stick") == on_its_side
    assert pulses(turned(given).named(pattern), Limb.LH, "cross-stick") == halves_swapped(on_its_side)


@pytest.mark.parametrize("style", ["cascara", "guaguanco"])
def test_the_shell_pattern(style: str) -> None:
    """The right hand on the shell is the usual one of ten strokes (common practice), on which the rumba clave lies."""
    shell = pulses(style_named(style).groove, Limb.RH, "floor-shell")
    assert shell == struck(SHELL_3_2)
    assert set(RUMBA) <= set(shell)


def test_the_mambo_bell() -> None:
    """The mambo's bell is the usual one in 2-3 (common practice)."""
    assert pulses(style_named("mambo").groove, Limb.RH, "ride-bell") == struck(MAMBO_BELL_2_3)


def test_the_bell_in_twelve() -> None:
    """The bell of 6/8 is the published one (Gomez and others 2005), and the clave hand that of Demaine and others."""
    style = style_named("bell-6-8")
    assert pulses(style.groove, Limb.RH, "ride-bell") == struck(BELL)
    assert pulses(style.named("clave-hand"), Limb.LH, "cross-stick") == struck(RUMBA_IN_TWELVE)


def test_second_line_accents_are_the_clave_and_the_big_four() -> None:
    """Accents of the street beat: the son clave (Toussaint 2002) and 4 of the second bar (common practice)."""
    hits = style_named("second-line").groove.pattern.hits
    accents = {int(hit.onset * 2) for hit in hits if hit.level is Level.ACCENT and hit.surface == "snare"}
    assert accents == {*SON, 14}


Struck = set[tuple[Fraction, Limb, str]]


def heard(item: StylePattern, *limbs: Limb) -> Struck:
    """What limbs strike in the first bars of a pattern, as long as an ostinato of one bar."""
    bar = item.pattern.meters.bars[0].length
    return {(hit.onset, hit.limb, hit.surface) for hit in item.pattern.hits if hit.limb in limbs and hit.onset < bar}


@pytest.mark.parametrize(
    ("name", "style", "pattern", "limbs"),
    [
        ("samba", "samba", "groove", (Limb.RF, Limb.LF)),
        ("bossa", "bossa", "bars-swapped", (Limb.RF,)),
        ("baiao", "baiao", "groove", (Limb.RF, Limb.LF)),
        ("songo", "songo", "tumbao-bass", (Limb.RF,)),
        ("tumbao", "mambo", "groove", (Limb.RF,)),
        ("tumbao", "cascara", "groove", (Limb.RF,)),
        ("ride-swing", "swing", "groove", (Limb.RH, Limb.LF)),
        ("ride-waltz", "jazz-waltz", "groove", (Limb.RH, Limb.LF)),
    ],
)
def test_styles_play_the_ostinatos_of_their_names(name: str, style: str, pattern: str, limbs: tuple[Limb, ...]) -> None:
    """What lines are played over is what the style plays (common practice), in the note values of the style."""
    item = style_named(style).named(pattern)
    bar = item.pattern.meters.bars[0].length
    written = ostinato(name)
    own = stretch(written, 2) if name == "samba" else written
    expected = {(hit.onset, hit.limb, hit.surface) for hit in own.hits if hit.limb in limbs and hit.onset < bar}
    assert heard(item, *limbs) == expected


@pytest.mark.parametrize("name", ["samba", "baiao"])
def test_the_heavier_pulse_is_the_same_in_style_and_ostinato(name: str) -> None:
    """The bass accents what it accents in the ostinato: samba's second pulse, baiao's push into it."""
    style = style_named(name)
    assert style.feet is not None
    own = stretch(ostinato(name), style.feet.span / ostinato(name).span) if name == "samba" else ostinato(name)
    assert [(hit.onset, hit.level) for hit in style.feet.hits] == [
        (hit.onset, hit.level) for hit in own.hits if hit.onset < style.feet.span
    ]
