"""How a place in the bar is said: the number system and the beat-function syllables.

Number system (common practice): 1 & · 1 e & a · 1 trip let, and in beats of three units 1 la li; places in between
are "ta"; fives, sevens and nines are numbered through after the beat. Beat-function syllables: R. Hoffman, W. Pelto
and J. W. White, "Takadimi: A Beat-Oriented System of Rhythm Pedagogy", Journal of Music Theory Pedagogy 10 (1996);
the fifth and seventh syllable of odd groups are from memory.
"""

from fractions import Fraction

from kitgen.errors import UnknownNameError
from kitgen.time.meter import Beat, Meters

_F = Fraction
_SIMPLE = {_F(1, 2): "&", _F(1, 4): "e", _F(3, 4): "a", _F(1, 3): "trip", _F(2, 3): "let"}
_THREES = {_F(1, 3): "la", _F(2, 3): "li", _F(1, 2): "&", _F(1, 4): "e", _F(3, 4): "a"}
_FUNCTION = {
    _F(0): "ta", _F(1, 2): "di", _F(1, 4): "ka", _F(3, 4): "mi", _F(1, 3): "ki", _F(2, 3): "da",
    _F(1, 6): "va", _F(5, 6): "ma",
}  # fmt: skip
_FIVES = ("ta", "ka", "di", "mi", "ti")
_SEVENS = ("ta", "va", "ki", "di", "da", "ma", "ti")

SYSTEMS = ("numbers", "beat-function")


def syllable(beat: Beat, place: Fraction, *, system: str = "numbers") -> str:
    """What is said at one place of a beat.

    Args:
        beat: the beat.
        place: where in the beat, as a share of the full beat, from 0 up to 1.
        system: ``numbers`` or ``beat-function``.

    Returns:
        The syllable; "ta" (numbers) or "" (beat-function) where the system has none.

    >>> from kitgen.time import Meter, Meters
    >>> beat = Meters.of(Meter(4, 4)).beats[1]
    >>> [syllable(beat, Fraction(n, 4)) for n in range(4)]
    ['2', 'e', '&', 'a']
    >>> [syllable(beat, Fraction(n, 3), system="beat-function") for n in range(3)]
    ['ta', 'ki', 'da']
    """
    if system not in SYSTEMS:
        raise UnknownNameError("counting system", system, SYSTEMS)
    parts = place.denominator
    if system == "beat-function":
        if parts in (5, 7):
            return (_FIVES if parts == 5 else _SEVENS)[place.numerator]
        return _FUNCTION.get(place, "")
    if not place:
        return str(beat.number)
    if parts in (5, 7, 9):
        return str(place.numerator + 1)
    return (_THREES if in_threes(beat) else _SIMPLE).get(place, "ta")


def in_threes(beat: Beat) -> bool:
    """True if the beat is made of three units of its meter (compound and odd meters)."""
    return beat.meter.denominator >= 8 and beat.full == 3 * beat.meter.unit


def count_name(meters: Meters, onset: Fraction) -> str:
    """Where an instant is, as a person would say it: ``bar 2, count "& of 3"``.

    >>> from kitgen.time import Meter
    >>> count_name(Meters.of(Meter(4, 4), 2), Fraction(13, 2))
    'bar 2, count "& of 3"'
    """
    beat = meters.beat_at(onset)
    place = (onset - beat.start) / beat.full
    if not place:
        return f'bar {beat.bar}, count "{beat.number}"'
    said = syllable(beat, place)
    if said == "ta" or place.denominator in (5, 7, 9):
        return f'bar {beat.bar}, count "{beat.number}" and {place} of the beat'
    return f'bar {beat.bar}, count "{said} of {beat.number}"'
