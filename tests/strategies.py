"""Hypothesis strategies for meters, lines, patterns and feels, shared by every property test.

Conventions: small values (a few bars) that still hold what is hard: odd meters, short bars, changes of meter, tuplets
over several beats, ties over barlines, ornaments, holds that run past the end. Everything is built to be valid; nothing
is filtered out afterwards.
"""

from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from itertools import product

from hypothesis import settings
from hypothesis import strategies as st

from kitgen.kit import SURFACES, Limb
from kitgen.line import Line, Note
from kitgen.pattern import EVEN, Feel, Hit, Level, Ornament, Pattern
from kitgen.time import Meter, Meters

fewer = settings(max_examples=max(1, settings().max_examples // 4))
"""For properties beside the laws: a quarter of the profile's examples."""

USUAL_METERS = tuple(
    Meter.parse(text)
    for text in ("2/4", "3/4", "4/4", "5/4", "2/2", "3/8", "6/8", "9/8", "12/8", "5/8", "7/8")
)  # fmt: skip
GROUPED_METERS = tuple(
    Meter.parse(text)
    for text in ("2+3/8", "3+2+2/8", "2+2+2/8", "1+1+1/8", "2+3/4", "3+1/4", "3+3+2/8", "2+2+2+3/8", "3+4/16")
)  # fmt: skip
SWINGING_METERS = tuple(Meter.parse(text) for text in ("2/4", "3/4", "4/4", "5/4", "7/4", "2/2", "3/2"))

HAND_SURFACES = tuple(label for label, row in SURFACES.items() if row.struck_by == "hand")
FOOT_SURFACES = tuple(label for label, row in SURFACES.items() if row.struck_by == "foot")
LEVELS = tuple(Level)


# ---- meters ----------------------------------------------------------------------------------------------------------

ANY_METERS = tuple(
    Meter(sum(groups), below, groups)
    for below in (2, 4, 8, 16)
    for size in (1, 2, 3)
    for groups in product((1, 2, 3, 4), repeat=size)
)
"""Every grouping of up to three groups of up to four units."""

usual_meters = st.sampled_from(USUAL_METERS)
any_meters = st.one_of(usual_meters, st.sampled_from(GROUPED_METERS), st.sampled_from(ANY_METERS))

_CUTS = tuple(Fraction(n, d) for n, d in ((0, 1), (1, 2), (1, 4), (3, 4), (1, 3), (2, 3), (1, 8), (5, 6)))


def whole_maps(
    meters: st.SearchStrategy[Meter] = any_meters, *, max_bars: int = 3, max_runs: int = 1
) -> st.SearchStrategy[Meters]:
    """Maps of whole bars, of one meter unless more runs are asked for."""
    return _of_runs(meters, tuple(map(Fraction, range(1, max_bars + 1))), max_runs)


def maps(*, max_runs: int = 2, max_bars: int = 1) -> st.SearchStrategy[Meters]:
    """Maps with changes of meter and short bars, some of which cut a beat."""
    lengths = tuple(bars + cut for bars in range(max_bars + 1) for cut in _CUTS if bars + cut)
    return _of_runs(any_meters, lengths, max_runs)


@cache
def _of_runs(meters: st.SearchStrategy[Meter], bars: tuple[Fraction, ...], most: int) -> st.SearchStrategy[Meters]:
    run = st.tuples(meters, st.sampled_from(bars))
    return st.lists(run, min_size=1, max_size=most).map(
        lambda runs: Meters(tuple((meter, meter.span * bars) for meter, bars in runs))
    )


# ---- lines -----------------------------------------------------------------------------------------------------------


@st.composite
def lines(
    draw: st.DrawFn,
    over: st.SearchStrategy[Meters] | None = None,
    *,
    most_parts: int = 9,
    accents: bool = True,
) -> Line:
    """Lines of mixed subdivisions and m:n tuplets, with accents, rests and ties that cross beats and barlines.

    Args:
        draw: Hypothesis' own.
        over: the maps of meters; one meter, one or two whole bars when left out.
        most_parts: most parts that one, two or three beats are divided in.
        accents: let notes be accented.
    """
    meters = draw(whole_maps(max_bars=2) if over is None else over)
    boxes = _boxes(draw, meters, most_parts)
    notes: list[Note] = []
    sounding = False
    for (start, length), byte in zip(boxes, _bytes(draw, len(boxes)), strict=True):
        state = "xX-."[byte % 4]
        if state == "-" and sounding:
            last = notes.pop()
            notes.append(Note(last.onset, last.length + length, last.accent))
        elif state in "xX":
            notes.append(Note(start, length, accents and state == "X"))
        sounding = state in "xX" or (state == "-" and sounding)
    return Line(tuple(notes), meters)


def _boxes(draw: st.DrawFn, meters: Meters, most_parts: int) -> list[tuple[Fraction, Fraction]]:
    """The span as (start, length), each one of so many parts of one to three beats."""
    beats, found, first = meters.beats, [], 0
    drawn = _bytes(draw, 2 * len(beats))
    while first < len(beats):
        last = min(first + (0, 0, 0, 1, 2)[drawn[2 * first] % 5], len(beats) - 1)
        start, parts = beats[first].start, 1 + drawn[2 * first + 1] % most_parts
        box = (beats[last].end - start) / parts
        found += [(start + box * index, box) for index in range(parts)]
        first = last + 1
    return found


@st.composite
def said_lines(draw: st.DrawFn, meters: st.SearchStrategy[Meter] = usual_meters) -> Line:
    """Lines as counts can say them: each beat in halves, quarters or thirds, notes to the next or the beat's end."""
    over = draw(whole_maps(meters))
    onsets = _struck(draw, over, (1, 2, 4, 3))
    loud = _bytes(draw, len(onsets))
    return Line.of_onsets(onsets, over, accents=[at for at, byte in zip(onsets, loud, strict=True) if byte % 3 == 0])


def _struck(draw: st.DrawFn, meters: Meters, parts: Sequence[int]) -> list[Fraction]:
    """Some places of each beat divided in one of these numbers of parts, at most nine."""
    beats, onsets = meters.beats, []
    drawn = _bytes(draw, 3 * len(beats))
    for beat, kind, low, high in zip(beats, drawn[::3], drawn[1::3], drawn[2::3], strict=True):
        count, mask = parts[kind % len(parts)], low | high << 8
        onsets += [beat.start + beat.length * index / count for index in range(count) if mask >> index & 1]
    return onsets


def _bytes(draw: st.DrawFn, size: int) -> bytes:
    """So many small choices in one draw, which is many times quicker than one draw each."""
    return draw(st.binary(min_size=size, max_size=size))


# ---- feels -----------------------------------------------------------------------------------------------------------

ratios = st.one_of(
    st.sampled_from(tuple(Fraction(text) for text in ("1", "1.2", "1.5", "1.85", "2", "2.15", "3", "5"))),
    st.fractions(1, 5, max_denominator=40),
)

swings = st.builds(Feel, st.sampled_from((8, 16)), ratios)


feels = st.one_of(st.just(EVEN), swings, st.builds(Feel, st.sampled_from((8, 16)), st.none()))
"""Even, or swung eighths or sixteenths by any ratio, or ``auto``."""


# ---- patterns --------------------------------------------------------------------------------------------------------


@st.composite
def patterns(
    draw: st.DrawFn,
    *,
    over: st.SearchStrategy[Meters] | None = None,
    limbs: Sequence[Limb] = tuple(Limb),
    parts: Sequence[int] = (1, 2, 3, 4, 5, 6, 7, 9),
    feel: st.SearchStrategy[Feel] | None = None,
    ornaments: bool = True,
    lengths: bool = False,
) -> Pattern:
    """Patterns of up to four limbs on their own subdivisions, every level, with ornaments where a hand may play them.

    Args:
        draw: Hypothesis' own.
        over: the maps of meters; with changes and short bars when left out.
        limbs: the limbs that may play.
        parts: what a beat may be divided in.
        feel: the feel; even when left out.
        ornaments: dress some strokes of the hands.
        lengths: give some strokes a length, up to the limb's next stroke, also past the end.
    """
    meters = draw(over if over is not None else maps())
    mask = draw(_LIMB_MASKS)
    onsets = {limb: _struck(draw, meters, parts) for limb in limbs if mask >> limb & 1}
    hits = [hit for limb, own in onsets.items() for hit in _strokes(draw, limb, own)]
    if ornaments:
        hits = _dressed(draw, hits)
    if lengths:
        hits = [hit for limb in onsets for hit in _held(draw, [h for h in hits if h.limb is limb], meters.span)]
    return Pattern(tuple(hits), meters, draw(feel) if feel is not None else EVEN)


_LIMB_MASKS = st.sampled_from((15, 15, *range(16)))


def _strokes(draw: st.DrawFn, limb: Limb, onsets: Sequence[Fraction]) -> list[Hit]:
    labels = HAND_SURFACES if limb.is_hand else FOOT_SURFACES
    drawn = _bytes(draw, 3 + len(onsets))
    few = [labels[byte % len(labels)] for byte in drawn[:3]]
    choices = [(label, level) for label in few for level in (*LEVELS, Level.NORMAL)]
    return [Hit(at, limb, *choices[byte % len(choices)]) for at, byte in zip(onsets, drawn[3:], strict=True)]


_PLAIN = (None, None, None, Ornament.DIDDLE, Ornament.BUZZ)


def _dressed(draw: st.DrawFn, hits: Sequence[Hit]) -> list[Hit]:
    struck = {(hit.onset, hit.limb) for hit in hits}
    found = []
    for hit, byte in zip(hits, _bytes(draw, len(hits)), strict=True):
        allowed = _PLAIN if (hit.onset, hit.limb.mirrored) in struck else (*_PLAIN, Ornament.FLAM, Ornament.DRAG)
        ornament = allowed[byte % len(allowed)] if hit.limb.is_hand else None
        found.append(Hit(hit.onset, hit.limb, hit.surface, hit.level, ornament))
    return found


_SHARES = (None, None, *(Fraction(n, d) for n, d in ((1, 1), (1, 2), (1, 3))))


def _held(draw: st.DrawFn, own: Sequence[Hit], span: Fraction) -> list[Hit]:
    nexts = [*(hit.onset for hit in own[1:]), *(hit.onset + span for hit in own[:1])]
    found = []
    for hit, following, byte in zip(own, nexts, _bytes(draw, len(own)), strict=True):
        share = _SHARES[byte % len(_SHARES)]
        length = None if share is None else (following - hit.onset) * share
        found.append(Hit(hit.onset, hit.limb, hit.surface, hit.level, hit.ornament, length))
    return found


_SWINGING = st.sampled_from(SWINGING_METERS)


def swinging_patterns(
    *, threes: bool = False, lengths: bool = False, feel: st.SearchStrategy[Feel] = swings
) -> st.SearchStrategy[Pattern]:
    """Patterns with a swing, on binary places, or on binary and ternary ones, under meters whose beats hold pairs."""
    parts = (1, 2, 3, 4, 6) if threes else (1, 2, 4, 8)
    over = whole_maps(_SWINGING, max_bars=1, max_runs=2)
    return patterns(over=over, parts=parts, feel=feel, lengths=lengths)


pieces = patterns(over=maps(), parts=(1, 2, 3, 4))
"""Short even patterns without lengths, to be put together."""

held_pieces = patterns(over=maps(), parts=(1, 2, 3, 4), lengths=True)
"""Short even patterns some of whose strokes are held, also past the end."""


displacements = st.builds(Fraction, st.integers(-60, 60), st.sampled_from((1, 2, 3, 4, 5, 7, 12)))
"""Durations to displace by: any sign, any subdivision, also more than a span."""

factors = st.builds(Fraction, st.integers(1, 24), st.sampled_from((1, 2, 3, 5, 7, 9, 16)))
"""Factors to stretch by, awkward ones among them."""


# ---- elements --------------------------------------------------------------------------------------------------------

_CELLS = ("x", "xx", ".x", "x.xx", "xxx", "x.x")
_OVER = ("", " over samba", " over hat-2-4", " over hat-2-4 with ride-rock")


def elements() -> st.SearchStrategy[str]:
    """Elements of every kind, few enough that pages share them."""
    cell = st.tuples(st.sampled_from(("hands", "RH", "LH", "RF", "RH+LH")), st.sampled_from(_CELLS))
    return st.one_of(
        st.tuples(cell, st.sampled_from(_OVER)).map(lambda made: f"cell {made[0][0]} {made[0][1]}{made[1]}"),
        st.sampled_from(("sound RH ride", "sound LH snare", "sound RF bass", "sound RH snare")),
        st.sampled_from(
            ("ostinato samba", "ostinato hat-2-4", "ostinato ride-rock", "ostinato hat-2-4 with ride-rock")
        ),
        st.sampled_from(("meter 3/4", "meter 4/4", "value half", "tie", "rest eighth", "rest 4 bars", "rest 8 bars")),
        st.sampled_from(("change 3-4", "change 4-6", "against 3:2", "ornament flam", "application linear")),
        st.sampled_from(("parts RH+LH", "parts RH+LH+RF", "turns hands+RF", "contrast ghost", "contrast soft-accent")),
    )
