"""Swing: what moves when an even page is played.

Onsets stay on the even grid while a pattern is composed, compared and spelled; :func:`performed` moves them.
In each pair a note on the middle goes to ratio/(1+ratio) of the pair and what lies between is carried along
linearly, so unisons stay unisons and no beat moves; so is the end of a sound that has a length. In a pair where any
limb plays threes the pair is played 2:1 by every limb and the threes stay where they are. Two cases the rule leaves
open are settled so: a pair in sixes (or nines, twelves), and one where this would make a limb strike twice at once, a
sound last no time or a flam meet the other hand, are played as written.
"""

from collections.abc import Callable, Collection, Mapping
from fractions import Fraction
from itertools import groupby

from kitgen.errors import FeelError
from kitgen.pattern.feel import EVEN, Feel
from kitgen.pattern.hit import Hit
from kitgen.pattern.value import Pattern
from kitgen.time import unit_name, unit_names

_HALF, _THIRD, _TWO_THIRDS = Fraction(1, 2), Fraction(1, 3), Fraction(2, 3)
_Warp = Callable[[Fraction], Fraction]


def swing(
    pattern: Pattern, *, ratio: str | Fraction = "auto", unit: int = 8, tempo_bpm: float | None = None
) -> Pattern:
    """The pattern with a swing feel; nothing moves until it is performed.

    Args:
        pattern: any pattern.
        ratio: ``auto``, ``N:M`` or a fraction, long to short.
        unit: 8 or 16, what swings.
        tempo_bpm: quarters a minute, from which ``auto`` is resolved; left open when absent.

    Raises:
        FeelError: a ratio outside 1:1 to 5:1.
    """
    feel = Feel.parse(ratio, unit=unit) if isinstance(ratio, str) else Feel(unit, ratio)
    return pattern.with_feel(feel if tempo_bpm is None else feel.resolved(tempo_bpm))


def performed(pattern: Pattern, *, tempo_bpm: float | None = None) -> Pattern:
    """The pattern as played: onsets where they sound, and an even feel.

    Args:
        pattern: any pattern.
        tempo_bpm: quarters a minute; needed only where the ratio is ``auto``.

    Raises:
        FeelError: ``auto`` without a tempo, or beats that do not hold whole pairs (6/8 with swung eighths).
    """
    if not pattern.feel.unit:
        return pattern
    played, _ = played_onsets(pattern, tempo_bpm=tempo_bpm)
    return _at(pattern, played)


def played_onsets(
    pattern: Pattern, *, tempo_bpm: float | None = None
) -> tuple[dict[Fraction, Fraction], tuple[Fraction, ...]]:
    """Where each onset sounds, and which pairs are not swung by the feel's ratio.

    Returns:
        a map from every onset, and every instant where a length ends (which may lie past the span), to where it is
        played, and the starts (quarters) of the pairs that hold threes.
    """
    feel = pattern.feel.resolved(tempo_bpm)
    assert feel.ratio is not None
    if feel.ratio == 1:
        return {at: at for hit in pattern.hits for at in _edges(hit)}, ()
    bent = _bent(feel.ratio)
    threes: list[Fraction] = []

    def warp_of(start: Fraction, inside: list[Hit]) -> _Warp | None:
        places = {(hit.onset - start) / pair for hit in inside}
        if all(place.denominator % 3 for place in places):
            return bent
        threes.append(start)
        return _warp_of_threes(start, pair, inside)

    pair = feel.pair
    return _moves(pattern, pair, warp_of), tuple(threes)


def with_threes_written(pattern: Pattern) -> Pattern:
    """The pattern with the pairs that hold threes written as they are played, so that the page shows what meets.

    A note on the middle of such a pair is written on its last third, where the threes have theirs.
    """
    if not pattern.feel.unit or pattern.feel.ratio == 1:
        return pattern

    def warp_of(start: Fraction, inside: list[Hit]) -> _Warp | None:
        if all(((hit.onset - start) / pair).denominator % 3 for hit in inside):
            return None
        return _warp_of_threes(start, pair, inside)

    pair = pattern.feel.pair
    return _at(pattern, _moves(pattern, pair, warp_of)).with_feel(pattern.feel)


def in_triplets(pattern: Pattern) -> Pattern:
    """A pattern of eighths as it sounds swung at two to one, written in triplets, and even.

    Raises:
        FeelError: strokes on other places than eighths, which triplets cannot show.

    >>> from kitgen.pattern import parse_rows
    >>> in_triplets(parse_rows("RH ride x. xx", "2/4")) == parse_rows("RH ride x.. x.x", "2/4")
    True
    """
    if any(hit.onset % _HALF for hit in pattern.hits):
        raise FeelError("only eighths can be written in triplets; this swung pattern has strokes in between")
    return Pattern(
        tuple(hit if hit.onset % 1 == 0 else hit.at(hit.onset // 1 + _TWO_THIRDS) for hit in pattern.hits),
        pattern.meters,
    )


def straighten(pattern: Pattern, feel: Feel | None = None, *, threes: Collection[Fraction] = ()) -> Pattern:
    """The even pattern, with its feel, of which this is the performance.

    Undoes :func:`performed` of the same feel in pairs that hold no threes. Without a feel one is estimated: eighths,
    with the median place of the strokes inside a quarter's second half taken as the middle.

    Args:
        pattern: a performance, with an even feel.
        feel: the swing to undo.
        threes: starts (quarters) of the pairs known to hold threes, which are left as they are.

    Raises:
        FeelError: the pattern is not even, or the feel has no ratio.
    """
    if pattern.feel.unit:
        raise FeelError(f"this pattern is written even and swings {pattern.feel}; only a performance is straightened")
    feel = estimated(pattern) if feel is None else feel
    if not feel.unit:
        return pattern
    if feel.ratio is None:
        raise FeelError("swing auto takes its ratio from the tempo; give the feel a ratio to straighten")
    if feel.ratio == 1:
        return pattern.with_feel(feel)
    unbent, kept = _unbent(feel.ratio), frozenset(threes)
    moves = _moves(pattern, feel.pair, lambda start, _: None if start in kept else unbent)
    return _at(pattern, moves).with_feel(feel)


def estimated(pattern: Pattern) -> Feel:
    """The eighth swing a performance seems to have; even where its beats hold no eighths or nothing says otherwise."""
    if any(span % 1 for meter, length in pattern.meters.runs for span in (*meter.beats, length)):
        return EVEN
    places = [
        hit.onset % 1
        for hit in pattern.hits
        if _HALF <= hit.onset % 1 <= Fraction(5, 6) and hit.onset % 1 != Fraction(3, 4)
    ]
    if not places:
        return EVEN
    from statistics import median  # slow to load, and seldom wanted

    middle = median(places)
    return Feel(8, middle / (1 - middle)) if middle > _HALF else EVEN


def _bent(ratio: Fraction) -> _Warp:
    to = ratio / (1 + ratio)
    return lambda x: x * 2 * to if x < _HALF else to + (x - _HALF) * 2 * (1 - to)


def _unbent(ratio: Fraction) -> _Warp:
    to = ratio / (1 + ratio)
    return lambda x: x / (2 * to) if x < to else _HALF + (x - to) / (2 * (1 - to))


def _with_threes(x: Fraction) -> Fraction:
    """The 2:1 pair around threes that stay: the middle goes to the last third, in order, and the rest fits in."""
    if x <= _THIRD or x >= _TWO_THIRDS:
        return x
    return min(_THIRD + (x - _THIRD) * 2, _TWO_THIRDS)


def _ended(warp: _Warp, x: Fraction) -> Fraction:
    """Where a sound ends that stops at ``x``: carried along, but around threes only the middle moves."""
    return warp(x) if warp is not _with_threes or x == _HALF else x


def _edges(hit: Hit) -> tuple[Fraction, ...]:
    """Where a hit starts and, if it has a length, ends."""
    return (hit.onset,) if hit.length is None else (hit.onset, hit.onset + hit.length)


def _at(pattern: Pattern, moves: Mapping[Fraction, Fraction]) -> Pattern:
    """The pattern, even, with every onset and every end where the map says."""
    hits = []
    for hit in pattern.hits:
        places = [moves[at] for at in _edges(hit)]
        length = places[1] - places[0] if len(places) > 1 else None
        unmoved = places[0] == hit.onset and length == hit.length
        hits.append(hit if unmoved else Hit(places[0], hit.limb, hit.surface, hit.level, hit.ornament, length))
    return Pattern(tuple(hits), pattern.meters)


def _moves(
    pattern: Pattern, pair: Fraction, warp_of: Callable[[Fraction, list[Hit]], _Warp | None]
) -> dict[Fraction, Fraction]:
    """Where every onset and end goes; ``warp_of`` gives the move for a pair's start and hits, None to leave it."""
    _check_pairs(pattern, pair)
    moves: dict[Fraction, Fraction] = {}
    warps: dict[Fraction, _Warp | None] = {}
    for index, members in groupby(pattern.hits, key=lambda hit: hit.onset // pair):
        start, inside = index * pair, list(members)
        warp = warps[start] = warp_of(start, inside)
        for onset in dict.fromkeys(hit.onset for hit in inside):
            moves[onset] = onset if warp is None else start + warp((onset - start) / pair) * pair
    ends: dict[Fraction, Fraction] = {}
    for end in {edge for hit in pattern.hits for edge in _edges(hit)[1:]} - moves.keys():
        at = end % pattern.span
        start = at // pair * pair
        if start not in warps:
            warps[start] = warp_of(start, [])
        warp = warps[start]
        to = at if warp is None else start + _ended(warp, (at - start) / pair) * pair
        ends[end] = end - at + moves.get(at, to)
    return moves | ends


def _check_pairs(pattern: Pattern, pair: Fraction) -> None:
    for meter, length in pattern.meters.runs:
        uneven = [beat for beat in meter.beats if beat % pair]
        if uneven or (length % meter.span) % pair:
            finer = pair > _HALF and not any(beat % _HALF for beat in meter.beats)
            raise FeelError(
                f"a beat of {unit_name(uneven[0]) if uneven else 'cut length'} in {meter} does not divide into pairs "
                f"of {unit_names(pair / 2)}, so it cannot swing; use --swing even"
                + (", or --swing-unit 16" if finer else "")
            )


def _warp_of_threes(start: Fraction, pair: Fraction, inside: list[Hit]) -> _Warp | None:
    """How a pair that holds threes is played; None for as written."""
    struck = {(hit.limb, (hit.onset - start) / pair) for hit in inside}
    if any(place.denominator % 3 == 0 and place.denominator != 3 for _, place in struck):
        return None
    after = {(limb, _with_threes(place)) for limb, place in struck}
    onsets = {place for _, place in struck}
    held = ([(at - start) / pair for at in _edges(hit)] for hit in inside if hit.length is not None)
    lost = any(
        _with_threes(on) >= (_with_threes(end) if end in onsets else _ended(_with_threes, end)) for on, end in held
    )
    flams = (hit for hit in inside if hit.ornament is not None and hit.ornament.has_graces)
    busy = any((hit.limb.mirrored, _with_threes((hit.onset - start) / pair)) in after for hit in flams)
    return None if len(after) < len(struck) or lost or busy else _with_threes
