"""The named operations on patterns; arguments are never changed."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import cycle

from kitgen.errors import PatternError
from kitgen.kit import Limb, surface
from kitgen.line import Line
from kitgen.pattern.feel import EVEN, Feel
from kitgen.pattern.hit import Hit, Level
from kitgen.pattern.value import Pattern, common_span
from kitgen.time import Meter, Meters


def silence(meters: Meters | Meter | None = None, *, feel: Feel = EVEN) -> Pattern:
    """Nothing, for as long as a map of meters lasts (one bar of a meter; span 0 when left out)."""
    if isinstance(meters, Meter):
        meters = Meters.of(meters)
    return Pattern((), meters or Meters(), feel)


def tile(pattern: Pattern, meters: Meters) -> Pattern:
    """A pattern repeated to fill a map, and barred by it.

    Raises:
        PatternError: its span does not divide the map's.
    """
    if not pattern.span or meters.span % pattern.span:
        raise PatternError(
            f"a pattern of {pattern.span} quarters does not go a whole number of times into {meters.span} quarters"
        )
    return (pattern * int(meters.span / pattern.span)).under(meters)


def over(top: Pattern, bottom: Pattern, *, to_lcm: bool = False) -> Pattern:
    """Two patterns together, as ``|``; with ``to_lcm`` both repeat until they meet again."""
    if to_lcm and top.span and bottom.span:
        both = common_span(top.span, bottom.span)
        top, bottom = top * int(both / top.span), bottom * int(both / bottom.span)
    return top | bottom


def reverse(pattern: Pattern) -> Pattern:
    """Backwards: an onset t becomes -t modulo the span, so the downbeat stays. Undoes itself."""
    span = pattern.span
    return pattern.with_hits(hit.at(-hit.onset % span) for hit in pattern.hits)


def mirror(pattern: Pattern) -> Pattern:
    """Left and right limbs swapped, surfaces kept. Undoes itself."""
    return pattern.with_hits(
        Hit(hit.onset, hit.limb.mirrored, hit.surface, hit.level, hit.ornament, hit.length) for hit in pattern.hits
    )


def stretch(pattern: Pattern, by: Fraction | int) -> Pattern:
    """Every onset, length and the span times ``by``, under the same meters. Stretching by a then b is by ab.

    Raises:
        PatternError: a factor of 0 or less, or one that is not exact.
    """
    if not isinstance(by, Fraction | int):
        raise PatternError(f"cannot stretch by {by!r}; a factor is exact: give a Fraction or an int")
    if by <= 0:
        raise PatternError(f"cannot stretch by {by}; a factor is more than 0")
    meters = Meters(tuple((meter, length * by) for meter, length in pattern.meters.runs))
    hits = (
        Hit(h.onset * by, h.limb, h.surface, h.level, h.ornament, None if h.length is None else h.length * by)
        for h in pattern.hits
    )
    return Pattern(tuple(hits), meters, pattern.feel)


def project(pattern: Pattern, *limbs: Limb | str) -> Pattern:
    """Only what the given limbs play."""
    kept = {Limb.parse(limb) for limb in limbs}
    return pattern.with_hits(hit for hit in pattern.hits if hit.limb in kept)


def project_line(pattern: Pattern, *limbs: Limb | str, softest: Level = Level.FEATHER) -> Line:
    """The rhythm of some limbs (all when none is named) as a line: strokes of at least a level, accents kept.

    Each note lasts to the next or to its beat's end.
    """
    kept = {Limb.parse(limb) for limb in limbs} or set(Limb)
    heard = [hit for hit in pattern.hits if hit.limb in kept and hit.level >= softest]
    accents = (hit.onset for hit in heard if hit.level is Level.ACCENT)
    return Line.of_onsets((hit.onset for hit in heard), pattern.meters, accents=accents)


def orchestrate(pattern: Pattern, surfaces: Mapping[str, str] | Sequence[str], *limbs: Limb | str) -> Pattern:
    """The same strokes on other surfaces.

    Args:
        pattern: what to re-voice.
        surfaces: a mapping from old label to new, or labels the strokes take in turn.
        limbs: limbs it concerns; all when none is named.

    Raises:
        UnknownNameError: no such surface.
        PatternError: no surfaces to take in turn.
    """
    kept = {Limb.parse(limb) for limb in limbs} or set(Limb)
    for label in surfaces:
        surface(label)
    if not surfaces and not isinstance(surfaces, Mapping):
        raise PatternError("no surfaces for the strokes to take in turn; name one or more")
    turn = cycle(surfaces)

    def voice(hit: Hit) -> Hit:
        if hit.limb not in kept:
            return hit
        label = surfaces.get(hit.surface, hit.surface) if isinstance(surfaces, Mapping) else next(turn)
        return Hit(hit.onset, hit.limb, label, hit.level, hit.ornament, hit.length)

    return pattern.with_hits(voice(hit) for hit in pattern.hits)
