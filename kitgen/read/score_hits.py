"""A percussion part's bars as hits on surfaces.

Conventions: quarters, exact. What is struck stands at :mod:`kitgen.read.score_surfaces`, and by which limb, where the
score does not tell it of all notes of an instant, at :mod:`kitgen.read.score_limbs`. ``>`` and ``^`` are accents,
parentheses ghost strokes; of other notes a velocity, where there is one, tells taps and feathered strokes. One grace
note is a flam, two or three a drag; a tremolo of one stroke is a diddle, any other a buzz. What is left out is said.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import groupby
from operator import itemgetter
from typing import NamedTuple

from kitgen.kit import Limb
from kitgen.pattern import Hit, Level, Ornament, Pattern
from kitgen.pattern.take import level_of
from kitgen.read.score_bars import laid_out, struck
from kitgen.read.score_limbs import alternated, limbs_at
from kitgen.read.score_surfaces import AUTO, Reader
from kitgen.read.score_written import Notehead, ScoreBar
from kitgen.time import Meters, count_name


class Drums(NamedTuple):
    """What a part plays on the kit.

    Args:
        pattern: the hits; None where no note of the part has a surface.
        table: the table of staff places that says what is struck; empty where the score names its instruments.
        left_out: what was not read, a sentence each.
    """

    pattern: Pattern | None
    table: str = ""
    left_out: tuple[str, ...] = ()

    @property
    def remarks(self) -> tuple[str, ...]:
        """What a reader should know: how surfaces were told, where the score does not say, and what was left out."""
        if not self.table:
            return self.left_out
        said = f"the score names no instruments; staff places and heads are read as in the table {self.table!r}"
        return said, *self.left_out


def pattern_of(bars: Sequence[ScoreBar]) -> Pattern | None:
    """The pattern of :func:`drums_of`."""
    return drums_of(bars).pattern


def drums_of(bars: Sequence[ScoreBar], part: str = "", places: str = AUTO) -> Drums:
    """What a part plays on the kit, its bars taken in the order given.

    Args:
        bars: the bars.
        part: the part's name.
        places: the table of staff places, where the score names no instruments.

    Raises:
        ReadError: a third hand or foot at one instant.
        UnknownNameError: no such table of staff places.
    """
    meters, starts = laid_out(bars)
    notes = list(struck(bars, starts))
    reader = Reader([head for _, head in notes], part, places)
    told = [(at, head, reader.read(head)) for at, head in notes]
    found = _Found(meters)
    for at, _, what in told:
        if what.unknown:
            found.leave_out(what.unknown, at)
    named = [(at, (head, what.label)) for at, head, what in told if what.label]
    if not named:
        return Drums(None)
    for at, together in groupby(named, key=itemgetter(0)):
        found.take(at, [pair for _, pair in together])
    pattern = Pattern(tuple(alternated(found.hits, frozenset(found.settled))), meters)
    return Drums(pattern, reader.places if reader.by_place else "", tuple(found.remarks()))


@dataclass(slots=True)
class _Found:
    """The hits of a part so far, and what was left out."""

    meters: Meters
    hits: list[Hit] = field(default_factory=list)
    settled: set[Fraction] = field(default_factory=set)
    missing: dict[str, list[Fraction]] = field(default_factory=dict)

    def leave_out(self, what: str, at: Fraction) -> None:
        """Note something that is left out."""
        self.missing.setdefault(what, []).append(at)

    def remarks(self) -> Iterator[str]:
        """What was left out, a sentence a thing."""
        for what, places in self.missing.items():
            times = f", {len(places)} times, first" if len(places) > 1 else ""
            yield f"{what} is left out{times} at {count_name(self.meters, places[0])}"

    def take(self, at: Fraction, heads: list[tuple[Notehead, str]]) -> None:
        """Take in what is struck at one instant."""
        if all(head.limb for head, _ in heads):
            hits = list(_told(at, heads))
            self.settled.add(at)
        else:
            hits = list(self._found(at, _one_each(heads)))
        busy = {hit.limb for hit in hits}
        for hit in hits:
            ornament = hit.ornament
            if ornament is not None and ornament.has_graces and hit.limb.mirrored in busy:
                self.leave_out(f"the grace note of a {ornament.value} for which no hand is free", at)
                hit = replace(hit, ornament=None)  # noqa: PLW2901  the stroke itself stays
            self.hits.append(hit)

    def _found(self, at: Fraction, heads: dict[str, Notehead]) -> Iterator[Hit]:
        wanted = {label: head.sticking for label, head in heads.items()}
        if any(wanted.values()):
            self.settled.add(at)
        for label, limb in limbs_at(at, wanted, self.meters):
            yield Hit(at, limb, label, _level(heads[label]), _ornament(heads[label]))


def _told(at: Fraction, heads: Sequence[tuple[Notehead, str]]) -> Iterator[Hit]:
    """The hits of an instant whose limbs the score tells; one accent may stand for all that are loud enough."""
    told = {Limb[head.limb]: (head, label) for head, label in reversed(heads)}
    accent = any(head.accent for head, _ in heads)
    for limb, (head, label) in told.items():
        yield Hit(at, limb, label, _level(head, under_accent=accent), _ornament(head))


def _one_each(heads: Sequence[tuple[Notehead, str]]) -> dict[str, Notehead]:
    """One head a surface: the same surface written in two voices is struck once."""
    found: dict[str, Notehead] = {}
    for head, label in heads:
        known = found.get(label, head)
        found[label] = replace(
            known,
            accent=known.accent or head.accent,
            ghost=known.ghost and head.ghost,
            graces=max(known.graces, head.graces),
            ornament=known.ornament or head.ornament,
            sticking=known.sticking or head.sticking,
        )
    return found


def _level(head: Notehead, *, under_accent: bool = False) -> Level:
    """How loud a head is; one accent may stand for all heads of an instant that are loud enough."""
    heard = Level.NORMAL if head.loudness is None else level_of(round(head.loudness))
    if head.accent or (under_accent and heard is Level.ACCENT):
        return Level.ACCENT
    if head.ghost:
        return Level.GHOST
    return Level.TAP if heard is Level.GHOST else min(heard, Level.NORMAL)


def _ornament(head: Notehead) -> Ornament | None:
    if head.graces:
        return Ornament.FLAM if head.graces == 1 else Ornament.DRAG
    return head.ornament
