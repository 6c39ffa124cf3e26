"""Ostinatos: short patterns that repeat under something else.

Two kinds: plain ones are worked out for any meter, beat by beat; the others are rows of their own, which must fit the
bar. All are written for a right-handed player and set for the kit's hands when used. Rows are traditional (common
practice); samba's heavier second pulse and the older baiao without its third stroke are said in their words.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from kitgen.errors import RefusedError, UnknownNameError
from kitgen.kit import Kit, Limb
from kitgen.pattern import Hit, Pattern, mirror, orchestrate, parse_rows, tile
from kitgen.time import Bar, Meter, Meters

_Plain = Callable[[Bar], Iterator[Hit]]


@dataclass(frozen=True, slots=True)
class Ostinato:
    """A named ostinato: its words, and either rows or a rule for any bar."""

    name: str
    words: str
    rows: str = ""
    rule: _Plain | None = None
    swings: bool = False
    latin: bool = False

    @property
    def title(self) -> str:
        """What it is called in a page's title."""
        return self.words if self.rule or self.name == "own" else self.name


def beats_of(bar: Bar) -> list[tuple[Fraction, bool]]:
    """Starts of a bar's beats, each with whether it is an after-beat: 2 and 4 of four, 2 and 3 of three."""
    starts, at = [], bar.start
    groups = bar.meter.beat_groups
    alone = len(groups) == 1
    lengths = iter(bar.meter.beats)
    for size in groups:
        for index in range(size):
            if at < bar.end:
                starts.append((at, index > 0 if alone else index == 1))
            at += next(lengths)
    return starts


_WHEN: dict[str, tuple[bool, ...]] = {"never": (), "always": (False, True), "beats": (False,), "after-beats": (True,)}


def _feet(*, bass: str = "never", hat: str = "never") -> _Plain:
    """A rule for plain feet: when each foot strikes, by ``_WHEN``."""

    def rule(bar: Bar) -> Iterator[Hit]:
        for at, after in beats_of(bar):
            if after in _WHEN[bass]:
                yield Hit(at, Limb.RF, "bass")
            if after in _WHEN[hat]:
                yield Hit(at, Limb.LF, "hat-foot")

    return rule


def _ride_eighths(bar: Bar) -> Iterator[Hit]:
    step = Fraction(1, 2) if bar.meter.denominator >= 4 else bar.meter.unit / 2
    at = bar.start
    while at < bar.end:
        yield Hit(at, Limb.RH, "ride")
        at += step


OSTINATOS: dict[str, Ostinato] = {
    item.name: item
    for item in (
        Ostinato("quarters", "bass on every beat", rule=_feet(bass="always")),
        Ostinato("hat-quarters", "hat foot on every beat", rule=_feet(hat="always")),
        Ostinato("hat-2-4", "hat foot on the after-beats, 2 and 4", rule=_feet(hat="after-beats")),
        Ostinato(
            "bass-1-3-hat-2-4", "bass on 1 and 3, hat foot on 2 and 4", rule=_feet(bass="beats", hat="after-beats")
        ),
        Ostinato(
            "quarters-hat-2-4", "bass on every beat, hat foot on 2 and 4", rule=_feet(bass="always", hat="after-beats")
        ),
        Ostinato(
            "samba",
            "samba feet, the second pulse heavier",
            "RF bass x..x X..x; LF hat-foot ..x. ..x.",
            latin=True,
        ),
        Ostinato("bossa", "bossa nova feet", "RF bass x. .x x. .x; LF hat-foot .. x. .. x.", latin=True),
        Ostinato(
            "baiao",
            "baiao feet, with the third stroke of the newer form",
            "RF bass x..X ..x.; LF hat-foot ..x. ..x.",
            latin=True,
        ),
        Ostinato("tumbao", "tumbao feet: & of 2, and 4", "RF bass .. .x .. x.; LF hat-foot .. x. .. x.", latin=True),
        Ostinato("ride-rock", "ride in even eighths", rule=_ride_eighths),
        Ostinato(
            "ride-swing",
            "swing ride, hat foot on 2 and 4",
            "RH ride x. xx x. xx; LF hat-foot .. x. .. x.",
            swings=True,
        ),
        Ostinato("ride-waltz", "jazz waltz ride, hat foot on 2", "RH ride x. xx x.; LF hat-foot .. x. ..", swings=True),
    )
}

_OWN_METERS = {"ride-waltz": Meter(3, 4)}
_FOUR_FOUR = Meter(4, 4)


def ostinato(name: str, meters: Meters | None = None) -> Pattern:
    """A named ostinato, for a right-handed player, on the even grid.

    Args:
        name: one of ``OSTINATOS``.
        meters: what to fill with it; its own shortest form when left out.

    Raises:
        UnknownNameError: no such ostinato.
        RefusedError: it does not fit these meters.

    >>> ostinato("samba").span, ostinato("quarters").span
    (Fraction(2, 1), Fraction(4, 1))
    """
    item = OSTINATOS.get(name)
    if item is None:
        raise UnknownNameError("ostinato", name, list(OSTINATOS))
    own = Meters.of(_OWN_METERS.get(name, _FOUR_FOUR))
    if item.rule is not None:
        where = own if meters is None else meters
        return Pattern(tuple(hit for bar in where.bars for hit in item.rule(bar)), where)
    pattern = parse_rows(item.rows, own.runs[0][0])
    return pattern if meters is None else _fill(pattern, meters, f"the {name} ostinato")


def check_under(under: str | None, meters: Meters) -> None:
    """Raise where an ostinato's name, or its box rows, cannot be read at all, whatever it is to stand under.

    Raises:
        UnknownNameError: no such name; PatternError, KitError: rows that cannot be read.
    """
    if under in (None, "none"):
        return
    if _is_rows(under):
        parse_rows(under, meters.bars[0].meter)
    elif under not in OSTINATOS:
        raise UnknownNameError("ostinato", under, [*OSTINATOS, "none"])


def _is_rows(under: str) -> bool:
    words = under.split()
    return len(words) > 1 and words[0].upper() in Limb.__members__


def fitted_ostinato(under: str, meters: Meters, kit: Kit) -> tuple[Pattern, Ostinato]:
    """An ostinato by name or as box rows, filling a map and set for a kit's hands.

    Raises:
        UnknownNameError, PatternError: no such name; rows that cannot be read.
        RefusedError: it does not fit the meters, or the kit lacks one of its surfaces.
    """
    if _is_rows(under):
        item = Ostinato("own", "your own ostinato", under)
        meter = meters.only or meters.bars[0].meter
        pattern = _fill(parse_rows(under, meter), meters, "your ostinato")
    else:
        pattern = set_for(kit, ostinato(under, meters))
        item = OSTINATOS[under]
        if "ride" in item.words and any(hit.surface == "closed-hat" for hit in pattern.hits):
            item = replace(item, words=f"{item.words}, on the closed hat")
    for label in sorted({hit.surface for hit in pattern.hits}):
        if label not in kit:
            raise RefusedError(f"{item.words} needs a {label}, which the {kit.name} kit has not; {_plain_ones(kit)}")
    return pattern, item


def _fill(pattern: Pattern, meters: Meters, what: str) -> Pattern:
    """Tile rows over bars whose beats they were written for."""
    written = pattern.meters.runs[0][0]
    whole = (
        all(not bar.length % pattern.span or not pattern.span % bar.length for bar in meters.bars)
        and not meters.span % pattern.span
    )
    same_beats = all(meter == written or max(meter.denominator, written.denominator) <= 4 for meter, _ in meters.runs)
    if whole and same_beats and len({bar.length for bar in meters.bars if bar.length % pattern.span}) <= 1:
        return tile(pattern, meters)
    bars = pattern.span / written.span
    length = f"{bars} bar{'s' if bars > 1 else ''} of {written}" if bars >= 1 else f"{pattern.span} quarters"
    where = f"{len(meters.bars)} bar{'s' if len(meters.bars) > 1 else ''} of {meters.bars[0].meter}"
    raise RefusedError(f"{what} lasts {length} and does not fit {where}; {_plain_ones()}")


def _plain_ones(kit: Kit | None = None) -> str:
    """The ostinatos that fit any meter, and a kit if one is given."""
    bar = Meters.of(_FOUR_FOUR)
    fitting = [
        name
        for name, item in OSTINATOS.items()
        if item.rule and (kit is None or all(hit.surface in kit for hit in set_for(kit, ostinato(name, bar))))
    ]
    return f"these fit any meter: {', '.join(fitting)}" if fitting else "no ostinato fits it; use --under none"


def set_for(kit: Kit, pattern: Pattern) -> Pattern:
    """A pattern written for a right-handed player on a full kit, set for a kit's hands.

    Where there is no ride its part goes to the closed hat, unless the foot plays the hat.
    """
    labels = {hit.surface for hit in pattern.hits}
    if "ride" in labels and "ride" not in kit and "closed-hat" in kit and "hat-foot" not in labels:
        pattern = orchestrate(pattern, {"ride": "closed-hat"})
    if kit.hand == "left":
        return mirror(pattern)
    if kit.hand == "open" and any(hit.limb is Limb.RH and hit.surface.endswith("-hat") for hit in pattern.hits):
        return pattern.with_hits(
            Hit(h.onset, h.limb.mirrored if h.limb.is_hand else h.limb, h.surface, h.level, h.ornament, h.length)
            for h in pattern.hits
        )
    return pattern


def known_ostinatos(meters: Meters, kit: Kit) -> dict[str, Pattern]:
    """Every named ostinato that fits a map, in one bar or its own span, set for a kit: to look for in a page."""
    bar = Meters(((meters.bars[0].meter, meters.bars[0].meter.span),))
    found = {}
    for name, item in OSTINATOS.items():
        try:
            found[name] = set_for(kit, ostinato(name, bar if item.rule else None))
        except RefusedError:
            continue
    return found
