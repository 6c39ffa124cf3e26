"""Bars of somebody's playing: how alike they are, which of them keep time, which end in a fill.

Conventions: onsets in quarters from the start of a bar. Bars are alike by what is struck where, a soft stroke counting
for less than a loud one; on the hat, the snare and the ride it does not matter how they are struck. Numbers here are
our own.
"""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from kitgen.pattern import Hit, Level
from kitgen.time import Meter, Meters

_CRASHES = frozenset(("crash", "splash", "china"))
_KINDS = {
    "rim-shot": "snare", "closed-hat": "hat", "open-hat": "hat", "ride-bell": "ride",
    "crash-2": "crash", "cross-stick": "snare",
}  # fmt: skip
_DRUMS = frozenset(("snare", "high-tom", "mid-tom", "floor-tom"))
_TIME = frozenset(("ride", "hat", "cowbell", "floor-shell"))
_WEIGHTS = {Level.FEATHER: 0.4, Level.GHOST: 0.5, Level.TAP: 0.8, Level.NORMAL: 1.0, Level.ACCENT: 1.0}
_MUCH, _COMMON_CRASH = 0.2, 0.3


def kind_of(surface: str) -> str:
    """What a surface counts as where bars are compared.

    >>> kind_of("open-hat"), kind_of("mid-tom")
    ('hat', 'mid-tom')
    """
    return _KINDS.get(surface, surface)


@dataclass(frozen=True)
class Played:
    """One bar, or two together, as played.

    Args:
        number: number of the bar, from 1.
        hits: what is struck, by onset from its start.
    """

    number: int
    hits: tuple[Hit, ...]

    @cached_property
    def weights(self) -> Mapping[tuple[int, int, str], float]:
        """What is struck where, and how much it counts; the onset as two numbers, which are quick to look up."""
        found: dict[tuple[int, int, str], float] = {}
        for hit in self.hits:
            place = (*hit.onset.as_integer_ratio(), kind_of(hit.surface))
            found[place] = max(found.get(place, 0), _WEIGHTS[hit.level])
        return found

    @cached_property
    def weight(self) -> float:
        """All of it together."""
        return sum(self.weights.values())

    @property
    def crashes(self) -> bool:
        """True if a crash is struck on its first beat."""
        return any(map(_lands, self.hits))

    @property
    def has_toms(self) -> bool:
        """True if a tom is struck in it."""
        return any(hit.surface.endswith("-tom") for hit in self.hits)

    def likeness(self, other: "Played") -> float:
        """How alike two are: 1 for the same strokes, 0 for none in common."""
        total = self.weight + other.weight
        shared = self.weights.keys() & other.weights.keys()
        return 2 * sum(min(self.weights[at], other.weights[at]) for at in shared) / total if total else 1.0


def bars_of(hits: Iterable[Hit], meters: Meters, meter: Meter) -> list[Played]:
    """The whole bars of a meter in which anything is struck, in order; what is held ends with its bar."""
    bars = meters.bars
    inside: dict[int, list[Hit]] = defaultdict(list)
    index = 0
    for hit in sorted(hits, key=lambda hit: hit.onset):
        while bars[index].end <= hit.onset:
            index += 1
        bar = bars[index]
        if bar.meter == meter and bar.length == meter.span:
            inside[bar.number].append(ended(hit.at(hit.onset - bar.start), meter.span))
    return [Played(number, tuple(struck)) for number, struck in sorted(inside.items())]


def ended(hit: Hit, end: Fraction) -> Hit:
    """A stroke that sounds no longer than to an instant."""
    return hit if hit.length is None else replace(hit, length=min(hit.length, end - hit.onset))


def time_kinds(bars: Sequence[Played]) -> frozenset[str]:
    """What keeps time: hat, ride and the like, and where they are little struck also what the hands strike most."""
    struck = Counter(kind_of(hit.surface) for bar in bars for hit in bar.hits if hit.limb.is_hand)
    much = sum(struck[kind] for kind in _TIME) >= _MUCH * struck.total()
    return _TIME if much else _TIME | {struck.most_common(1)[0][0]}


def without_landings(bars: Sequence[Played]) -> list[Played]:
    """Bars without the crash on their first beat, where only some have one: it belongs to the fill before."""
    if sum(bar.crashes for bar in bars) > _COMMON_CRASH * len(bars):
        return list(bars)
    kept = (replace(bar, hits=tuple(hit for hit in bar.hits if not _lands(hit))) for bar in bars)
    return [bar for bar in kept if bar.hits]


def _lands(hit: Hit) -> bool:
    return hit.onset == 0 and kind_of(hit.surface) in _CRASHES


def in_twos(bars: Sequence[Played], span: Fraction) -> list[Played]:
    """Bars that follow each other joined two by two, each pair beginning on a bar of odd number."""
    by_number = {bar.number: bar for bar in bars}
    pairs = []
    for bar in bars:
        following = by_number.get(bar.number + 1)
        if bar.number % 2 and following is not None:
            pairs.append(Played(bar.number, (*bar.hits, *(hit.at(hit.onset + span) for hit in following.hits))))
    return pairs


def steps_likeness(bars: Sequence[Played], step: int) -> float:
    """How alike bars are to the one so many bars later, on the average; 0 where there are too few to tell."""
    by_number = {bar.number: bar for bar in bars}
    pairs = [(bar, by_number[bar.number + step]) for bar in bars if bar.number + step in by_number]
    return sum(one.likeness(other) for one, other in pairs) / len(pairs) if len(pairs) >= 4 else 0.0


def keeps_time(bar: Played, meter: Meter, time: Collection[str]) -> bool:
    """True where what keeps time is struck in more than half of a bar's beats.

    Args:
        bar: the bar.
        meter: its meter.
        time: what keeps time, from :func:`time_kinds`.
    """
    struck = [
        any(start <= hit.onset < start + length and kind_of(hit.surface) in time for hit in bar.hits)
        for start, length in _beats(meter)
    ]
    return 2 * sum(struck) > len(struck)


def _beats(meter: Meter) -> list[tuple[Fraction, Fraction]]:
    """Where each beat of a bar starts, and its length."""
    return [(beat.start, beat.length) for beat in Meters.of(meter).beats]


# ---- fills -----------------------------------------------------------------------------------------------------------


def fill_beats(bar: Played, meter: Meter, time: Collection[str]) -> int:
    """How many beats at the end of a bar are a fill: nothing keeps time there, and the hands are busy on the drums.

    Args:
        bar: the bar.
        meter: its meter.
        time: what keeps time, from :func:`time_kinds`.
    """
    found, strokes = 0, 0
    for start, length in reversed(_beats(meter)):
        inside = [hit for hit in bar.hits if start <= hit.onset < start + length and hit.limb.is_hand]
        drums = [hit for hit in inside if kind_of(hit.surface) in _DRUMS]
        if not drums or any(kind_of(hit.surface) in time for hit in inside):
            break
        found, strokes = found + 1, strokes + len(drums)
    return found if strokes >= 2 * found else 0
