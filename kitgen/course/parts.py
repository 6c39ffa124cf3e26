"""Pages on which limbs are put together: the first of them as a groove has them, others at once or in turn.

Time in one hand, the other on the backbeat, the bass on every other beat (common practice); the voice that comes last
is the new one, and joins what runs by itself. Offered with eighths in the time first, then in quarters.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import islice

from kitgen.course.making import page_with
from kitgen.course.plan import Setup
from kitgen.kit import Kit, Limb
from kitgen.page import Page, Row
from kitgen.pattern import Hit, Level, Pattern
from kitgen.time import Meter, Meters

_SHORT = {
    "closed-hat": "hat", "snare": "snare", "bass": "bass", "hat-foot": "hat foot", "ride": "ride", "hands": "hands",
}  # fmt: skip
_FOR_TIME, _WITH_HAT_FOOT, _DRUM = ("closed-hat", "ride"), ("ride",), ("snare",)
_TIMES = 4

_Bar = Mapping[str, Sequence[str]]
"""What each voice does in each beat of a bar, in boxes; ``-`` for nothing."""


class _Band:
    """The voices of a page, the new one last, with what they play on."""

    def __init__(self, names: Sequence[str], setup: Setup, known: Collection[str]) -> None:
        self.kit, self.meter = setup.on, Meter.parse(setup.meter)
        roles = (self.kit.lead.name, self.kit.weak.name, "hands", self.kit.bass_foot.name, self.kit.hat_foot.name)
        self.names = sorted(names, key=roles.index)
        self.on = {name: _surface(name, self.names, self.kit, known) for name in self.names}
        self.beats = len(self.meter.beats)

    @property
    def words(self) -> list[str]:
        """The voices as a student calls them."""
        return [_SHORT.get(name) or _SHORT.get(self.on[name], self.on[name]) for name in self.names]

    def together(self, time: str = "x") -> dict[str, list[str]]:
        """A bar of all: the first voice on every beat, the others where they belong."""
        beats = range(self.beats)
        first = self.names[0]
        short = int(first in Limb.__members__ and not Limb[first].is_hand)
        where = {
            self.kit.weak.name: [beat % 2 == 1 for beat in beats],
            self.kit.bass_foot.name: [beat % 2 == 0 for beat in beats],
            self.kit.hat_foot.name: [beat >= self.beats - 2 for beat in beats],
        }
        bar = {name: ["x" if at else "-" for at in where[name]] for name in self.names[1:]}
        return {first: [*[time] * (self.beats - short), *["-"] * short], **bar}

    def in_turn(self, order: Sequence[str], strokes: int = 1) -> dict[str, list[str]]:
        """Bars in which each voice has so many beats, one voice after the other, over and over as often as it fits."""
        own = [name for name in order for _ in range(strokes)]
        bars = -(-len(own) // self.beats)
        turns = own * (self.beats * bars // len(own))
        filled = [*turns, *[""] * (self.beats * bars - len(turns))]
        return {name: ["x" if name == one else "-" for one in filled] for name in self.names}

    def at_once(self) -> dict[str, list[str]]:
        """A bar with one stroke of all on its first beat."""
        return {name: ["x", *["-"] * (self.beats - 1)] for name in self.names}

    def without(self, bar: _Bar, name: str) -> _Bar:
        """A bar without a voice."""
        return {other: beats for other, beats in bar.items() if other != name}

    def pattern(self, *bars: _Bar, alike: bool = False) -> Pattern:
        """Bars one after the other as what is played, with accents on the backbeat or all strokes alike."""
        hits, start = list[Hit](), 0
        for bar in bars:
            for name, beats in bar.items():
                hits += self._hits(name, beats, start, alike=alike)
            start += max(map(len, bar.values()))
        return Pattern(tuple(hits), Meters.of(self.meter, start // self.beats))

    def _hits(self, name: str, beats: Sequence[str], start: int, *, alike: bool) -> Iterator[Hit]:
        length, struck = self.meter.beats[0], 0
        backbeat = not alike and name == self.kit.weak.name and self.kit.lead.name in self.names
        for index, boxes in enumerate(beats, start):
            for place, box in enumerate(boxes):
                if box == "x":
                    limb = (self.kit.lead, self.kit.weak)[struck % 2] if name == "hands" else Limb[name]
                    level = Level.ACCENT if backbeat and index % 2 else Level.NORMAL
                    yield Hit(length * (index + Fraction(place, len(boxes))), limb, self.on[name], level)
                    struck += 1


def _surface(name: str, names: Collection[str], kit: Kit, known: Collection[str]) -> str:
    """What a voice plays on: the first of what suits it that it knows."""
    if name == kit.bass_foot.name:
        return "bass"
    if name == kit.hat_foot.name:
        return "hat-foot"
    wanted: tuple[str, ...] = _DRUM
    if name == kit.lead.name:
        wanted = _WITH_HAT_FOOT if kit.hat_foot.name in names else _FOR_TIME
    heard = [label for label in wanted if f"sound {name} {label}" in known]
    return next(iter(heard or [label for label in wanted if label in kit] or wanted))


def parts_pages(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:  # noqa: ARG001
    """Limbs together: what runs already, the new one by itself, all in quarters, in eighths, and a phrase."""
    band = _Band(element.partition(" ")[2].split("+"), setup, known)
    if band.beats == 1:
        return
    first, new = band.names[0], band.names[-1]
    times = ["xx"] if f"cell {first} xx" in known and band.on[first] != "ride" else []
    for time in (*times, "x"):
        yield from _page(_together(band, time, new), band, setup, "together", _start_with(band))


def _together(band: _Band, time: str, new: str) -> Iterator[Row]:
    bar, plain = band.together(time), band.together()
    *others, own = band.words
    first = bar[new].index("x")
    once = {**bar, new: [boxes if beat == first else "-" for beat, boxes in enumerate(bar[new])]}
    yield Row(f"{listed(others)} alone", band.pattern(band.without(bar, new)), _TIMES)
    yield Row(f"{own} alone", band.pattern({new: bar[new]}), _TIMES)
    yield Row("in turn, then at once", band.pattern(band.in_turn(band.names), band.at_once(), alike=True), _TIMES // 2)
    yield Row("all, on the beat", band.pattern(plain), _TIMES)
    if time != "x":
        yield Row(f"all, the {band.words[0]} in eighths", band.pattern(bar), _TIMES)
    yield Row(f"two bars: {own} once, then all", band.pattern(once, bar), _TIMES // 2)
    yield Row("a a a, ending", band.pattern(bar, bar, bar, band.at_once()))


def turns_pages(element: str, known: Collection[str], setup: Setup, seed: int) -> Iterator[Page]:  # noqa: ARG001
    """Limbs in turn: a beat each, the other way round, two beats each, in eighths, and a phrase."""
    band = _Band(element.partition(" ")[2].split("+"), setup, known)
    told = "One limb after the other, and every stroke alike, as if one hand played them all. Count out loud."
    if len(band.names) <= band.beats:
        yield from _page(_in_turn(band, known), band, setup, "in turn", told)


def _in_turn(band: _Band, known: Collection[str]) -> Iterator[Row]:
    forth, back = band.names, band.names[::-1]
    one, other = band.in_turn(forth), band.in_turn(back)
    yield Row("a beat each", band.pattern(one, alike=True), _TIMES)
    yield Row("the other way round", band.pattern(other, alike=True), _TIMES)
    two = band.pattern(band.in_turn(forth, 2), alike=True)
    yield Row("two beats each", two, _TIMES // len(two.meters.bars))
    two = band.pattern(band.in_turn(back, 2), alike=True)
    yield Row("two beats each, the other way round", two, _TIMES // len(two.meters.bars))
    if all(f"cell {name} {boxes}" in known for name in band.names for boxes in ("x", ".x")):
        yield Row("in eighths", band.pattern(_eighths(band), alike=True), _TIMES)
    ending = {forth[0]: ["x", *["-"] * (band.beats - 1)]}
    yield Row("a b a, ending", band.pattern(one, other, one, ending, alike=True))


def _eighths(band: _Band) -> _Bar:
    """A bar of eighths in turn, as many as make whole beats, each time round a beat of its own."""
    places = [name for name in band.names for _ in range(2)] if len(band.names) > band.beats else []
    places = places or list(islice(_round(band.names), 2 * band.beats - 2))
    bar = {name: ["-"] * band.beats for name in band.names}
    for name in band.names:
        for beat in range(band.beats):
            boxes = "".join("x" if one == name else "." for one in places[2 * beat : 2 * beat + 2])
            bar[name][beat] = {"x.": "x", ".x": ".x", "xx": "xx"}.get(boxes, "-")
    return bar


def _round(names: Sequence[str]) -> Iterator[str]:
    while True:
        yield from names


def _page(rows: Iterator[Row], band: _Band, setup: Setup, how: str, told: str) -> Iterator[Page]:
    """The rows as a page, each only once."""
    different = {row.pattern: row for row in reversed([row for row in rows if row.pattern.hits])}
    title = f"{listed(band.words)} {how}"
    page = page_with(tuple(reversed(different.values())), setup, title[0].upper() + title[1:], told)
    if page is not None:
        yield page


def _start_with(band: _Band) -> str:
    *others, new = band.words
    started = f"Start with the {listed(others)}; when that runs by itself, add the {new}."
    return f"{started} Strokes that meet are one sound. Count out loud."


def listed(words: Sequence[str]) -> str:
    """Words with commas and an ``and``.

    >>> listed(["hat", "snare", "bass"])
    'hat, snare and bass'
    """
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last
