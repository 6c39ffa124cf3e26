"""From a pattern to what sounds: ticks, keys, velocities, note-offs, and the strokes an ornament adds.

Conventions: ticks from the start of the pattern; velocities 1 to 127. Velocities by level (feather 28, ghost 38,
tap 58, normal 88, accent 115) are common practice; a flam's grace note comes 35 ms before the beat (median 36 ms in
human takes, 25 to 40 in use) and at most a quarter of the gap before it.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import lcm

from kitgen.kit import SURFACES
from kitgen.pattern import Hit, Level, Ornament, Pattern
from kitgen.pattern.swing import played_onsets

USUAL_TICKS, ROUNDED_TICKS, MOST_TICKS = 480, 960, 32767
VELOCITIES = {Level.FEATHER: 28, Level.GHOST: 38, Level.TAP: 58, Level.NORMAL: 88, Level.ACCENT: 115}
_SPREAD = 2
_SECOND_STROKE = 3
_FAST_S = 0.125
_GRACE_S = 0.035
_BUZZ_S = 0.04
_MOST_BUZZ = 12
_SHORT_QUARTERS = Fraction(1, 4)
_HAT_LABELS = ("closed-hat", "open-hat", "hat-foot")

_RING = {label: ("short", "long", "open").index(row.rings) for label, row in SURFACES.items()}
_SHORT, _LONG, _OPEN = 0, 1, 2

Note = tuple[int, int, int, int, int]
"""(tick, limb, key, velocity, tick of the note-off)"""


@dataclass(frozen=True, slots=True)
class Sounding:
    """What a pattern sounds like at a tempo.

    Args:
        ticks: ticks a quarter.
        end: tick of the pattern's end.
        notes: notes in time order; graces before tick 0 have negative ticks.
        texts: (tick, limb, words) that say what a reader could not tell from the notes.
        places: (tick as written, tick as played) of every instant at which something is struck, in order.
        threes: ticks of swung pairs that were played in threes or as written.
        worst_s: largest rounding error in seconds; 0 where ticks are exact.
    """

    ticks: int
    end: int
    notes: tuple[Note, ...]
    texts: tuple[tuple[int, int, str], ...]
    places: tuple[tuple[int, int], ...]
    threes: tuple[int, ...]
    worst_s: float


def ticks_a_quarter(denominators: Iterable[int]) -> tuple[int, bool]:
    """480, or its smallest multiple in which places with these denominators are whole ticks; else 960 and False.

    >>> ticks_a_quarter([4, 7]), ticks_a_quarter([32003])
    ((3360, True), (960, False))
    """
    ticks = lcm(USUAL_TICKS, *denominators)
    return (ticks, True) if ticks <= MOST_TICKS else (ROUNDED_TICKS, False)


def sounding(
    pattern: Pattern, *, tempo_quarters: float, seed: int = 0, keys: Mapping[str, int] | None = None
) -> Sounding:
    """What a pattern sounds like.

    Args:
        pattern: the page's pattern, with its feel.
        tempo_quarters: quarters a minute: for graces, fast strokes and ``auto`` swing.
        seed: of the small variation of velocities.
        keys: MIDI keys by surface label, where not General MIDI's.
    """
    onsets = [hit.onset for hit in pattern.hits]
    moves, as_written = played_onsets(pattern, tempo_bpm=tempo_quarters) if pattern.feel.unit else ({}, ())
    played = [moves[onset] for onset in onsets] if moves else onsets
    ticks, exact = ticks_a_quarter({*map(_down, onsets), *map(_down, played), *_downs(pattern, as_written)})
    written_at, played_at = _ticks(onsets, ticks, exact=exact), _ticks(played, ticks, exact=exact)
    second = ticks * tempo_quarters / 60
    end = round(pattern.span * ticks)
    voice = _Voice(pattern.hits, played_at, end, ticks, second, seed, keys or {})
    worst = 0.0 if exact else max(abs(float(at * ticks - tick)) for at, tick in zip(played, played_at, strict=True))
    return Sounding(
        ticks,
        end,
        voice.notes(),
        tuple(voice.texts),
        tuple(dict.fromkeys(zip(written_at, played_at, strict=True))),
        tuple(round(start * ticks) for start in as_written),
        worst / second,
    )


def _down(place: Fraction) -> int:
    return place.denominator


def _downs(pattern: Pattern, more: Iterable[Fraction]) -> set[int]:
    """Denominators of whatever else must fall on a tick: lengths, swung pairs, barlines."""
    lengths = (hit.length for hit in pattern.hits if hit.length is not None)
    return {place.denominator for place in (*lengths, *more, *(length for _, length in pattern.meters.runs))}


def _ticks(places: Sequence[Fraction], ticks: int, *, exact: bool) -> list[int]:
    if exact:
        return [place.numerator * (ticks // place.denominator) for place in places]
    return [round(place * ticks) for place in places]


class _Voice:
    """Turns hits into notes, one pass forward for onsets and one backward for note-offs."""

    def __init__(
        self,
        hits: Sequence[Hit],
        at: Sequence[int],
        end: int,
        ticks: int,
        second: float,
        seed: int,
        keys: Mapping[str, int],
    ) -> None:
        self.hits, self.at, self.end, self.ticks, self.second = hits, at, end, ticks, second
        self.keys = {label: keys.get(label, row.key) for label, row in SURFACES.items()}
        self.state = (seed * 2654435761 + 97) & 0x7FFFFFFF
        self.texts: list[tuple[int, int, str]] = []

    def notes(self) -> tuple[Note, ...]:
        struck = self._struck()
        struck.sort()
        return self._with_offs(struck)

    def _struck(self) -> list[tuple[int, int, int, int, int, int]]:
        """(tick, limb, key, velocity, ring, longest) of every stroke, graces and rolls included."""
        out: list[tuple[int, int, int, int, int, int]] = []
        before: list[tuple[int, int]] = [(-(1 << 30), 0)] * 4
        fast, short = int(_FAST_S * self.second), int(_SHORT_QUARTERS * self.ticks)
        keys, state = self.keys, self.state
        closed = {tick for hit, tick in zip(self.hits, self.at, strict=True) if hit.surface == "closed-hat"}
        for hit, tick in zip(self.hits, self.at, strict=True):
            limb, level = hit.limb, hit.level
            state = (state * 1103515245 + 12345) & 0x7FFFFFFF
            velocity = VELOCITIES[level] + (state >> 16) % (2 * _SPREAD + 1) - _SPREAD
            last_tick, last_level = before[limb]
            if limb < 2 and level == last_level and tick - last_tick <= fast:
                velocity -= _SECOND_STROKE
            before[limb] = (tick, level)
            if closed and hit.surface == "hat-foot" and tick in closed:
                self.texts.append((tick, limb, "hat-foot under closed-hat"))
                continue
            longest = short
            if hit.length is not None:
                longest = max(1, int(hit.length * self.ticks))
            out.append((tick, limb, keys[hit.surface], velocity, _RING[hit.surface], longest))
            if hit.ornament is not None or hit.length is not None:
                out += self._added(hit, tick, velocity)
        return out

    def _added(self, hit: Hit, tick: int, velocity: int) -> list[tuple[int, int, int, int, int, int]]:
        """The strokes an ornament adds to a hit, and the text that tells a reader of them."""
        key, tail = self.keys[hit.surface], f" length {hit.length}" if hit.length is not None else ""
        if hit.ornament is None:
            self.texts.append((tick, hit.limb, tail.strip()))
            return []
        if hit.ornament.has_graces:
            self.texts.append((tick, hit.limb, hit.ornament.value + tail))
            count = 1 if hit.ornament is Ornament.FLAM else 2
            apart = self._grace_ticks(hit, tick, count)
            soft = VELOCITIES[Level.GHOST]
            return [(tick - apart * n, hit.limb.mirrored, key, soft, _SHORT, apart) for n in range(1, count + 1)]
        room = self._room_after(hit, tick)
        if hit.ornament is Ornament.DIDDLE:
            count = 1
        else:
            count = max(1, min(_MOST_BUZZ, int(room / (_BUZZ_S * self.second)) - 1))
        step = max(1, room // (count + 1))
        self.texts.append((tick, hit.limb, f"{hit.ornament.value} +{count}{tail}"))
        fade = 3 if hit.ornament is Ornament.BUZZ else 2
        return [
            (tick + step * n, hit.limb, key, max(VELOCITIES[Level.FEATHER], velocity - fade * n), _SHORT, step)
            for n in range(1, count + 1)
        ]

    @cached_property
    def _limb_ticks(self) -> dict[int, list[int]]:
        """Ticks at which each limb strikes, in order."""
        found: dict[int, list[int]] = {}
        for hit, tick in zip(self.hits, self.at, strict=True):
            found.setdefault(hit.limb, []).append(tick)
        return found

    def _grace_ticks(self, hit: Hit, tick: int, count: int) -> int:
        """Ticks between graces and beat: 35 ms, at most a quarter of the gap before the hit in the hands."""
        before = []
        for limb in (hit.limb, hit.limb.mirrored):
            if own := self._limb_ticks.get(limb):
                index = bisect_left(own, tick)
                before.append(own[index - 1] if index else own[-1] - self.end)
        return max(1, min(round(_GRACE_S * self.second), (tick - max(before)) // 4 // count))

    def _room_after(self, hit: Hit, tick: int) -> int:
        """Ticks a diddle or buzz may fill: its length, else to the hand's next stroke, an eighth at most."""
        own = self._limb_ticks[hit.limb]
        index = bisect_right(own, tick)
        following = own[index] if index < len(own) else own[0] + self.end
        asked = int(hit.length * self.ticks) if hit.length is not None else self.ticks // 2
        return max(2, min(asked, following - tick, self.end - tick))

    def _with_offs(self, struck: list[tuple[int, int, int, int, int, int]]) -> tuple[Note, ...]:
        """Notes with their ends: short sounds soon, cymbals at their next stroke, open hats at the next hat stroke."""
        end, last = self.end, self.end - 1
        hats = {self.keys[label] for label in _HAT_LABELS}
        first: dict[int, int] = {}
        later: dict[int, int] = {}
        out: list[Note] = []
        for tick, limb, key, velocity, ring, longest in reversed(struck):
            if first.get(key) != tick:
                later[key] = first.get(key, end)
                first[key] = tick
            off = later[key]
            if ring == _OPEN:
                nearest = (later[k] if first[k] <= tick else first[k] for k in hats if k in first)
                off = min([off, *(at for at in nearest if at > tick)])
            elif ring == _SHORT and tick + longest < off:
                off = tick + longest
            if off > last:
                off = last
            out.append((tick, limb, key, velocity, off if off > tick else tick + 1))
        out.reverse()
        return tuple(out)
