"""The pattern as a value, and its four operators.

Conventions: quarters, exact. A pattern is canonical: hits sorted by onset then limb, one hit a limb an instant,
so equal music compares equal and hashes the same.
"""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from math import gcd, lcm

from kitgen.errors import ClashError, FeelError, PatternError
from kitgen.kit import Limb
from kitgen.pattern.feel import EVEN, Feel
from kitgen.pattern.hit import Hit
from kitgen.time import Meters, count_name


@dataclass(frozen=True)
class Pattern:
    """Hits over a span, under a map of meters, with a feel.

    The operators and their laws: ``+`` one after the other (associative; silence of span 0 is its identity), ``|``
    together (associative and commutative where defined; the shorter tiles, so it must divide the longer), ``*``
    repeat, ``>>`` displace by quarters, wrapping at the span (displacing by a then b is displacing by a+b).

    Args:
        hits: the hits, in any order.
        meters: the map of meters; its span is the pattern's.
        feel: even or swung; a pattern of span 0 is always even.

    Raises:
        ClashError: two hits of one limb at one instant; names limb, bar and count.
        PatternError: a hit outside the span; a length running into the limb's next hit; a flam whose other hand
            is busy.
    """

    hits: tuple[Hit, ...]
    meters: Meters
    feel: Feel = field(default=EVEN)

    def __post_init__(self) -> None:
        hits = tuple(self.hits)
        keys = _keys(hits)
        if any(first >= second for first, second in pairwise(keys)):
            order = sorted(range(len(hits)), key=keys.__getitem__)
            hits = tuple(hits[index] for index in order)
            self._check_clashes(hits)
        object.__setattr__(self, "hits", hits)
        if hits and hits[-1].onset >= self.meters.span:
            raise PatternError(f"a hit at {hits[-1].onset} quarters, in a span of {self.meters.span}")
        if any(hit.length is not None or hit.ornament is not None for hit in hits):
            self._check_lengths()
            self._check_graces()
        if not self.meters.runs and self.feel != EVEN:
            object.__setattr__(self, "feel", EVEN)

    def _check_clashes(self, hits: tuple[Hit, ...]) -> None:
        for previous, hit in pairwise(hits):
            if hit.limb == previous.limb and hit.onset == previous.onset:
                where = count_name(self.meters, hit.onset) if hit.onset < self.span else f"{hit.onset} quarters"
                what = (
                    f"{previous.surface} and {hit.surface}"
                    if previous.surface != hit.surface
                    else f"{hit.surface} twice"
                )
                raise ClashError(
                    f"the {hit.limb.words} ({hit.limb.name}) would play {what} at {where}; "
                    "one limb strikes once at an instant: give one of them to another limb"
                )

    def _check_lengths(self) -> None:
        for limb in Limb:
            own = [hit for hit in self.hits if hit.limb == limb]
            for index, hit in enumerate(own):
                following = own[index + 1].onset if index + 1 < len(own) else own[0].onset + self.span
                if hit.length is not None and hit.onset + hit.length > following:
                    raise PatternError(
                        f"the {hit.surface} of the {limb.words} at {count_name(self.meters, hit.onset)} lasts "
                        f"{hit.length} quarters, past that limb's next hit {following - hit.onset} quarters later"
                    )

    def _check_graces(self) -> None:
        struck = {(hit.onset, hit.limb) for hit in self.hits}
        for hit in self.hits:
            if hit.ornament is not None and hit.ornament.has_graces and (hit.onset, hit.limb.mirrored) in struck:
                raise PatternError(
                    f"the {hit.ornament.value} at {count_name(self.meters, hit.onset)} needs the "
                    f"{hit.limb.mirrored.words}, which strikes at the same instant; take one of them away"
                )

    @property
    def span(self) -> Fraction:
        """Length in quarters."""
        return self.meters.span

    @property
    def limbs(self) -> tuple[Limb, ...]:
        """The limbs that play, in the order of rows."""
        playing = {hit.limb for hit in self.hits}
        return tuple(limb for limb in Limb if limb in playing)

    @property
    def onsets(self) -> tuple[Fraction, ...]:
        """Every instant at which something is struck, once each."""
        return tuple(dict.fromkeys(hit.onset for hit in self.hits))

    def __iter__(self) -> Iterator[Hit]:
        return iter(self.hits)

    def with_hits(self, hits: Iterable[Hit]) -> "Pattern":
        """Other hits under the same meters and feel."""
        return Pattern(tuple(hits), self.meters, self.feel)

    def with_feel(self, feel: Feel) -> "Pattern":
        """The same hits with another feel."""
        return Pattern(self.hits, self.meters, feel)

    def under(self, meters: Meters) -> "Pattern":
        """The same hits barred otherwise.

        Raises:
            PatternError: the map has another span.
        """
        if meters.span != self.span:
            raise PatternError(f"a pattern of {self.span} quarters cannot be barred as {meters.span}")
        return Pattern(self.hits, meters, self.feel)

    def __add__(self, other: "Pattern") -> "Pattern":
        if not isinstance(other, Pattern):
            return NotImplemented
        if not self.meters.runs:
            return other
        if not other.meters.runs:
            return self
        self._same_feel(other)
        later = tuple(hit.at(hit.onset + self.span) for hit in other.hits)
        return Pattern(self.hits + later, self.meters + other.meters, self.feel)

    def __or__(self, other: "Pattern") -> "Pattern":
        if not isinstance(other, Pattern):
            return NotImplemented
        self._same_feel(other)
        first, second = self._tiled_alike(other)
        if first.meters != second.meters:
            raise PatternError(
                f"patterns under different meters cannot sound together ({first.meters} against {second.meters}); "
                "bar one of them like the other with .under(meters)"
            )
        return Pattern(first.hits + second.hits, first.meters, self.feel)

    def __mul__(self, times: int) -> "Pattern":
        if not isinstance(times, int):
            return NotImplemented
        if times < 0:
            raise PatternError(f"a pattern cannot be repeated {times} times; 0 or more")
        if times == 1:
            return self
        hits = self.hits + tuple(
            hit.at(hit.onset + start) for start in (self.span * turn for turn in range(1, times)) for hit in self.hits
        )
        return Pattern(hits if times else (), self.meters * times, self.feel)

    def __rshift__(self, by: Fraction | int) -> "Pattern":
        if not isinstance(by, Fraction | int):
            return NotImplemented
        if not self.span:
            return self
        return self.with_hits(hit.at((hit.onset + by) % self.span) for hit in self.hits)

    def _same_feel(self, other: "Pattern") -> None:
        if self.feel != other.feel:
            raise FeelError(
                f"two feels at once: {self.feel} and {other.feel}; set one feel on both, with swing(...) at the end"
            )

    def _tiled_alike(self, other: "Pattern") -> "tuple[Pattern, Pattern]":
        short, long = sorted((self.span, other.span))
        if short == long:
            return self, other
        if not short or long % short:
            raise PatternError(self._no_tiling(other))
        return self * int(long / self.span), other * int(long / other.span)

    def _no_tiling(self, other: "Pattern") -> str:
        if not self.span or not other.span:
            return "a pattern of span 0 cannot sound together with a longer one"
        both = common_span(self.span, other.span)
        bar = (self.meters.only or self.meters.bars[0].meter).span
        return (
            f"a pattern of {self.span} quarters and one of {other.span} do not fit into each other; they meet after "
            f"{both / bar} bars: use over(..., to_lcm=True) to go there"
        )


def common_span(first: Fraction, second: Fraction) -> Fraction:
    """The shortest span that both lengths divide.

    >>> common_span(Fraction(3), Fraction(4)), common_span(Fraction(3, 2), Fraction(1))
    (Fraction(12, 1), Fraction(3, 1))
    """
    down = lcm(first.denominator, second.denominator)
    return Fraction(lcm(int(first * down), int(second * down)), down)


def common_grid(lengths: Collection[Fraction]) -> Fraction:
    """The longest length that goes a whole number of times into all of these.

    >>> common_grid([Fraction(3, 4), Fraction(1, 2)])
    Fraction(1, 4)
    """
    down = lcm(*(length.denominator for length in lengths))
    return Fraction(gcd(*(int(length * down) for length in lengths)), down)


def _keys(hits: tuple[Hit, ...]) -> list[int]:
    """A whole number a hit, in the order of onset then limb; equal only for one limb at one instant.

    Whole numbers because comparing fractions is what sorting a long pattern would spend its time on.
    """
    onsets = [hit.onset for hit in hits]
    down = lcm(*{onset.denominator for onset in onsets})
    return [
        (onset.numerator * (down // onset.denominator)) << 2 | hit.limb for onset, hit in zip(onsets, hits, strict=True)
    ]
