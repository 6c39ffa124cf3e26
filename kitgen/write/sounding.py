"""From a pattern to what sounds: ticks, keys, velocities, note-offs, and the strokes an ornament adds.

Conventions: ticks from the start of the pattern; velocities 1 to 127. Velocities by level (feather 28, ghost 38,
tap 58, normal 88, accent 115) are common practice; a flam's grace note comes 35 ms before the beat (median 36 ms in
human takes, 25 to 40 in use) and at most a quarter of the gap before it. Where strokes of hands and foot meet on the
hat, one of them sounds: the closed one, else the foot's; the others are said in texts.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from functools import cached_property
from math import lcm
from typing import NamedTuple

from kitgen.kit import SURFACES
from kitgen.pattern import Hit, Level, Ornament, Pattern
from kitgen.pattern.swing import played_onsets
from kitgen.write.human import USUAL, Human

USUAL_TICKS, ROUNDED_TICKS, MOST_TICKS = 480, 960, 32767
VELOCITIES = {Level.FEATHER: 28, Level.GHOST: 38, Level.TAP: 58, Level.NORMAL: 88, Level.ACCENT: 115}
_SECOND_STROKE = 2
_FAST_S = 0.125
_GRACE_S = 0.035
_BUZZ_S = 0.04
_MOST_BUZZ = 12
_SHORT_QUARTERS = Fraction(1, 4)
_HAT_LABELS = ("closed-hat", "hat-foot", "open-hat")

_IS_SHORT = {label: row.rings == "short" for label, row in SURFACES.items()}

Note = tuple[int, int, int, int, int]
"""(tick, limb, key, velocity, tick of the note-off)"""


class Sounding(NamedTuple):
    """What a pattern sounds like at a tempo.

    Args:
        ticks: ticks a quarter.
        end: tick of the pattern's end.
        notes: notes in time order; the graces of a stroke at tick 0 stand at the end of the loop.
        pickup: those among the notes that come before tick 0 where nothing has been played yet.
        texts: (tick, limb, words) that say what a reader could not tell from the notes.
        places: (tick as written, tick as played) of every instant at which something is struck, in order.
        threes: ticks of swung pairs that were played in threes or as written.
        worst_s: largest rounding error in seconds; 0 where ticks are exact.
    """

    ticks: int
    end: int
    notes: tuple[Note, ...]
    pickup: tuple[Note, ...]
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
    pattern: Pattern,
    *,
    tempo_quarters: float,
    seed: int = 0,
    keys: Mapping[str, int] | None = None,
    ticks: int | None = None,
    human: Human = USUAL,
) -> Sounding:
    """What a pattern sounds like.

    Args:
        pattern: the page's pattern, with its feel.
        tempo_quarters: quarters a minute: for graces, fast strokes and ``auto`` swing.
        seed: of the small variation of velocities.
        keys: MIDI keys by surface label, where not General MIDI's.
        ticks: ticks a quarter, rounded to where they are too few; as many as are needed when left out.
        human: how far strokes and velocities leave the grid and their levels.
    """
    onsets = [hit.onset for hit in pattern.hits]
    moves, as_written = played_onsets(pattern, tempo_bpm=tempo_quarters) if pattern.feel.unit else ({}, ())
    played = [moves[onset] for onset in onsets] if moves else onsets
    ends = _ends(pattern.hits, moves)
    more = (*ends.values(), *as_written, *(length for _, length in pattern.meters.runs))
    downs = {*map(_down, onsets), *map(_down, played), *map(_down, more)}
    given = ticks is not None
    if ticks is None:
        ticks, exact = ticks_a_quarter(downs)
    else:
        exact = not ticks % lcm(*downs)
    written_at, played_at = _ticks(onsets, ticks, exact=exact), _ticks(played, ticks, exact=exact)
    second = ticks * tempo_quarters / 60
    end = round(pattern.span * ticks)
    lengths = {
        index: Fraction(at - played_at[index], ticks)
        for index, at in zip(ends, _ticks(list(ends.values()), ticks, exact=exact), strict=True)
    }
    struck_at: Sequence[int] = played_at
    if human.moves_ms or human.bends:
        moved = human.moved(list(dict.fromkeys(played_at)), end=end, second=second, quarter=ticks, seed=seed)
        struck_at = [moved[tick] for tick in played_at]
    voice = _Voice(pattern.hits, struck_at, lengths, end, ticks, second, seed, keys or {}, human, played_at)
    if struck_at is not played_at:
        voice.say_moves()
    if given or not exact:
        voice.spelled = pattern.feel.pair if pattern.feel.unit else Fraction(1, ticks)
    worst = 0.0 if exact else max(abs(float(at * ticks - round(at * ticks))) for at in (*played, *more))
    notes, pickup = voice.notes()
    return Sounding(
        ticks,
        end,
        notes,
        pickup,
        tuple(voice.texts),
        tuple(dict.fromkeys(zip(written_at, played_at, strict=True))),
        tuple(round(start * ticks) for start in as_written),
        worst / second,
    )


def _down(place: Fraction) -> int:
    return place.denominator


def _ends(hits: Sequence[Hit], moves: Mapping[Fraction, Fraction]) -> dict[int, Fraction]:
    """Where each hit that has a length ends as played, by its index."""
    written = {index: hit.onset + hit.length for index, hit in enumerate(hits) if hit.length is not None}
    return {index: moves[end] for index, end in written.items()} if moves else written


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
        lengths: Mapping[int, Fraction],
        end: int,
        ticks: int,
        second: float,
        seed: int,
        keys: Mapping[str, int],
        human: Human,
        meant: Sequence[int],
    ) -> None:
        self.hits, self.at, self.lengths = hits, at, lengths
        self.end, self.ticks, self.second = end, ticks, second
        self.human, self.meant = human, meant
        self.keys = {label: keys.get(label, row.key) for label, row in SURFACES.items()}
        self.state = (seed * 2654435761 + 97) & 0x7FFFFFFF
        self.texts: list[tuple[int, int, str]] = []
        self.spelled: Fraction | None = None
        """Where ticks alone do not tell where strokes are written: multiples of this they do tell, in quarters."""

    def say_moves(self) -> None:
        """Say in a text a limb by how many ticks its strokes are moved, one after the other."""
        moves: dict[int, list[str]] = {}
        for hit, at, meant in zip(self.hits, self.at, self.meant, strict=True):
            moves.setdefault(hit.limb, []).append(str(at - meant))
        self.texts += [(0, limb, f"moved {' '.join(own)}") for limb, own in moves.items()]

    def notes(self) -> tuple[tuple[Note, ...], tuple[Note, ...]]:
        """Every note of the loop, and those among them that lead in to its beginning."""
        struck = self._struck()
        early = {(stroke[0] + self.end, stroke[1]) for stroke in struck if stroke[0] < 0}
        if early:
            struck = [(stroke[0] % self.end, *stroke[1:]) for stroke in struck]
        struck.sort()
        notes = self._with_offs(struck)
        return notes, tuple(note for note in notes if note[:2] in early) if early else ()

    def _struck(self) -> list[tuple[int, int, int, int, int, int]]:
        """(tick, limb, key, velocity, is short, longest) of every stroke, graces and rolls included."""
        out: list[tuple[int, int, int, int, int, int]] = []
        before: list[tuple[int, int, int]] = [(-(1 << 30), 0, 0)] * 4
        fast, short = int(_FAST_S * self.second), int(_SHORT_QUARTERS * self.ticks)
        keys, state, spread, led = self.keys, self.state, self.human.spread, bool(self.human.leads)
        for index, (hit, tick) in enumerate(zip(self.hits, self.at, strict=True)):
            limb, level = hit.limb, hit.level
            state = (state * 1103515245 + 12345) & 0x7FFFFFFF
            velocity = VELOCITIES[level] + (state >> 16) % (2 * spread + 1) - spread
            if led:
                velocity += self.human.lean(hit.surface, level)
            last_tick, last_level, last_velocity = before[limb]
            if spread and limb < 2 and level == last_level and tick - last_tick <= fast and last_velocity:
                velocity = min(velocity, last_velocity) - _SECOND_STROKE
                before[limb] = (tick, level, 0)  # what follows is a first stroke again
            else:
                before[limb] = (tick, level, velocity)
            length = self.lengths.get(index)
            if self.spelled is not None:
                self._spell(hit, index, self.spelled)
            if hit.surface in _HAT_LABELS and tick in self._shut[hit.surface]:
                words = f"unheard {hit.surface} {level.char} {hit.ornament.value if hit.ornament else ''}"
                self.texts.append((tick, limb, words.strip() + self._said(hit, length)))
                continue
            longest = short if length is None else max(1, int(length * self.ticks))
            out.append((tick, limb, keys[hit.surface], velocity, _IS_SHORT[hit.surface], longest))
            if hit.ornament is not None or length is not None:
                out += self._added(hit, tick, velocity, length)
        return out

    def _spell(self, hit: Hit, index: int, told: Fraction) -> None:
        """Say where a stroke is written, as quarters after its tick, but on the multiples that are told already."""
        off = hit.onset - Fraction(self.meant[index], self.ticks)
        if off or hit.length is not None or hit.onset % told:
            self.texts.append((self.at[index], hit.limb, f"written {off}"))

    def _said(self, hit: Hit, length: Fraction | None) -> str:
        """A length as text: as it is played, or as it is written where the stroke's place is said so too."""
        return "" if length is None else f" length {hit.length if self.spelled is not None else length}"

    @cached_property
    def _shut(self) -> dict[str, set[int]]:
        """By hat surface, the ticks at which a stroke on it is covered by one that shuts the hat more."""
        struck: dict[str, set[int]] = {label: set() for label in _HAT_LABELS}
        for hit, tick in zip(self.hits, self.at, strict=True):
            if hit.surface in struck:
                struck[hit.surface].add(tick)
        closed, foot, _ = struck.values()
        return dict(zip(_HAT_LABELS, (set[int](), closed, closed | foot), strict=True))

    def _added(
        self, hit: Hit, tick: int, velocity: int, length: Fraction | None
    ) -> list[tuple[int, int, int, int, int, int]]:
        """The strokes an ornament adds to a hit, and the text that tells a reader of them."""
        if hit.ornament is None:
            self.texts.append((tick, hit.limb, self._said(hit, length).strip()))
            return []
        if hit.ornament.has_graces:
            count = 1 if hit.ornament is Ornament.FLAM else 2
            step = self._grace_ticks(hit, tick, count)
            limb, soft = hit.limb.mirrored, min(VELOCITIES[Level.GHOST], velocity * 2 // 3)
            places = [(tick - step * n, soft) for n in range(1, count + 1)]
        else:
            room, limb = self._room_after(hit, tick, length), hit.limb
            count = 1
            if hit.ornament is Ornament.BUZZ:
                count = max(1, min(_MOST_BUZZ, int(room / (_BUZZ_S * self.second)) - 1))
            step = max(1, room // (count + 1))
            fade, least = 3 if hit.ornament is Ornament.BUZZ else 2, min(VELOCITIES[Level.FEATHER], velocity - 1)
            places = [(tick + step * n, max(least, velocity - fade * n)) for n in range(1, count + 1)]
        if hit.surface == "open-hat":
            places = [(at, soft) for at, soft in places if at % self.end not in self._shut["open-hat"]]
        self.texts.append((tick, hit.limb, f"{hit.ornament.value} +{len(places)}{self._said(hit, length)}"))
        return [(at, limb, self.keys[hit.surface], soft, True, step) for at, soft in places]

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

    @cached_property
    def _first_graces(self) -> dict[int, list[int]]:
        """Ticks, in order, at which each hand's grace notes for a stroke of the other begin."""
        found: dict[int, list[int]] = {}
        for hit, tick in zip(self.hits, self.at, strict=True):
            if hit.ornament is not None and hit.ornament.has_graces:
                count = 1 if hit.ornament is Ornament.FLAM else 2
                first = tick - count * self._grace_ticks(hit, tick, count)
                found.setdefault(hit.limb.mirrored, []).append(first % self.end)
        return {limb: sorted(ticks) for limb, ticks in found.items()}

    def _room_after(self, hit: Hit, tick: int, length: Fraction | None) -> int:
        """Ticks a diddle or buzz may fill: its length, else to the hand's next stroke, an eighth at most."""
        room = min(self.ticks // 2 if length is None else int(length * self.ticks), self.end - tick)
        for own in (self._limb_ticks[hit.limb], self._first_graces.get(hit.limb, ())):
            index = bisect_right(own, tick)
            if index < len(own):
                room = min(room, own[index] - tick)
        return max(2, room)

    def _with_offs(self, struck: list[tuple[int, int, int, int, int, int]]) -> tuple[Note, ...]:
        """Notes with their ends: short sounds soon, cymbals at their next stroke, hats at the next hat stroke.

        All limbs share a channel, so a note ends where the next of its key begins, whoever strikes that.
        """
        end, last = self.end, self.end - 1
        one_hat = dict.fromkeys((self.keys[label] for label in _HAT_LABELS), -1)
        first: dict[int, int] = {}
        later: dict[int, int] = {}
        out: list[Note] = []
        together: list[int] = []
        for tick, limb, key, velocity, is_short, longest in reversed(struck):
            sound = one_hat.get(key, key)
            if first.get(sound) != tick:
                later[sound] = first.get(sound, end)
                first[sound] = tick
            else:
                together.append(len(out))
            off = later[sound]
            if is_short and tick + longest < off:
                off = tick + longest
            if off > last:
                off = last
            out.append((tick, limb, key, velocity, off if off > tick else tick + 1))
        for index in together:
            _end_together(out, index)
        out.reverse()
        return tuple(out)


def _end_together(notes: list[Note], last: int) -> None:
    """Give notes of one key and tick, up to the one at ``last``, the end of the longest: the first to end stops all."""
    tick, _, key, *_ = notes[last]
    first = last
    while first and notes[first - 1][0] == tick:
        first -= 1
    alike = [index for index in range(first, last + 1) if notes[index][2] == key]
    end = max(notes[index][4] for index in alike)
    for index in alike:
        notes[index] = (*notes[index][:4], end)
