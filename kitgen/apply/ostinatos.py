"""Ostinatos: short patterns that repeat under something else.

Two kinds: plain ones are worked out for any meter, beat by beat; the others are rows of their own, which must fit the
bar. All are written for a right-handed player and set for the kit's hands when used. Rows are traditional (common
practice); samba's heavier second pulse and the older baiao without its third stroke are said in their words.
"""

from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import cache
from typing import NamedTuple

from kitgen.errors import PatternError, RefusedError, UnknownNameError
from kitgen.kit import Kit, Limb
from kitgen.pattern import Hit, Pattern, mirror, orchestrate, parse_rows, stretch, tile
from kitgen.pattern.swing import in_triplets
from kitgen.time import Bar, Meter, Meters
from kitgen.time import beats_of as beats_of

_Plain = Callable[[Bar], Iterator[Hit]]


class Ostinato(NamedTuple):
    """A named ostinato: its words, and either rows or a rule for any bar.

    Args:
        name: as typed after ``--under``.
        title: what it is called in a page's title; empty to say what is played, which depends on the meter.
        words: what it is, for lists and instructions.
        rows: box rows, under its own meter.
        rule: the hits of any bar.
        swings: True if it is played swung unless told otherwise.
        latin: True for Latin feet, whose pages count quarters in cut time.
        by_pulse: True where the rows show a pulse a quarter, so that in cut time they are twice as long.
        span: length of one time through, in quarters, once it is fitted.
        short: what it is called where there is little room, after "over".
    """

    name: str
    title: str
    words: str
    rows: str = ""
    rule: _Plain | None = None
    swings: bool = False
    latin: bool = False
    by_pulse: bool = False
    span: Fraction = Fraction(0)
    short: str = ""


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
        Ostinato("quarters", "", "bass on every beat", rule=_feet(bass="always"), short="bass in four"),
        Ostinato("hat-quarters", "", "hat foot on every beat", rule=_feet(hat="always"), short="hat in four"),
        Ostinato("hat-2-4", "", "hat foot on 2 and 4", rule=_feet(hat="after-beats"), short="hat on 2-4"),
        Ostinato(
            "bass-1-3-hat-2-4",
            "",
            "bass on 1 and 3, hat foot on 2 and 4",
            rule=_feet(bass="beats", hat="after-beats"),
            short="feet in turn",
        ),
        Ostinato(
            "quarters-hat-2-4",
            "",
            "bass on every beat, hat foot on 2 and 4",
            rule=_feet(bass="always", hat="after-beats"),
            short="four and 2-4",
        ),
        Ostinato(
            "samba",
            "samba feet",
            "samba feet, the second pulse heavier",
            "RF bass x..x X..x; LF hat-foot ..x. ..x.",
            latin=True,
            by_pulse=True,
            short="samba",
        ),
        Ostinato(
            "bossa",
            "bossa nova feet",
            "bossa nova feet",
            "RF bass x. .x x. .x; LF hat-foot .. x. .. x.",
            latin=True,
            short="bossa",
        ),
        Ostinato(
            "baiao",
            "baiao feet",
            "baiao feet, with the third stroke of the newer form",
            "RF bass x..X ..x.; LF hat-foot ..x. ..x.",
            latin=True,
            by_pulse=True,
            short="baiao",
        ),
        Ostinato(
            "tumbao",
            "tumbao feet",
            "tumbao feet: bass on the & of 2 and on 4, hat foot on 2 and 4",
            "RF bass .. .x .. x.; LF hat-foot .. x. .. x.",
            latin=True,
            short="tumbao",
        ),
        Ostinato(
            "songo",
            "songo feet",
            "songo feet: bass on the & of 2 and on 4, hat foot on 1 and 3",
            "RF bass .. .x .. x.; LF hat-foot x. .. x. ..",
            latin=True,
            short="songo",
        ),
        Ostinato(
            "ride-rock", "the ride in eighths", "the ride in even eighths", rule=_ride_eighths, short="ride eighths"
        ),
        Ostinato(
            "ride-swing",
            "the swing ride",
            "the swing ride, hat foot on 2 and 4",
            "RH ride x. xx x. xx; LF hat-foot .. x. .. x.",
            swings=True,
            short="swing time",
        ),
        Ostinato(
            "ride-waltz",
            "the jazz waltz ride",
            "the jazz waltz ride, hat foot on 2",
            "RH ride x. xx x.; LF hat-foot .. x. ..",
            swings=True,
            short="waltz time",
        ),
    )
}

_WITH = " with "
_IN_FOUR = {"quarters": "in four", "quarters-hat-2-4": "in four"}


def short_name(names: str) -> str:
    """What lines are over, as short as a title needs it: of one ostinato, or of time with feet under it.

    >>> short_name("samba"), short_name("quarters-hat-2-4 with ride-swing"), short_name("hat-2-4 with ride-rock")
    ('samba', 'swing time in four', 'ride eighths, hat on 2-4')
    """
    found = sorted(names.split(_WITH), key=lambda name: not name.startswith("ride"))
    time, feet = found[0], found[1:]
    under = [_IN_FOUR.get(name, "") or f", {OSTINATOS[name].short}" for name in feet]
    return " ".join([OSTINATOS[time].short, *under]).replace(" ,", ",")


WRITTEN_OUT = "-in-triplets"
"""Ends the name of a swung ostinato that is written as it sounds."""

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
    if item.rule is not None:
        where = Meters.of(_FOUR_FOUR) if meters is None else meters
        return Pattern(tuple(hit for bar in where.bars for hit in item.rule(bar)), where)
    if item.by_pulse and meters is not None and len({meter.denominator == 2 for meter, _ in meters.runs}) > 1:
        raise RefusedError(f"the {name} ostinato lasts a pulse a beat, and cut time changes the pulse; {_plain_ones()}")
    own = _own_form(item, None if meters is None else meters.bars[0].meter)
    return own if meters is None else _fill(own, meters, f"the {name} ostinato")


def _own_form(item: Ostinato, under: Meter | None) -> Pattern:
    """One time through an ostinato written as rows, as it is written under a meter: in cut time a half is a pulse."""
    pattern = _written(item.rows, _OWN_METERS.get(item.name, _FOUR_FOUR))
    return stretch(pattern, 2) if item.by_pulse and under is not None and under.denominator == 2 else pattern


@cache
def _written(rows: str, meter: Meter) -> Pattern:
    """The rows of the table, which every page looks for, read once."""
    return parse_rows(rows, meter)


def check_under(under: str | None, meters: Meters) -> None:
    """Raise where an ostinato's name, or its box rows, cannot be read at all, whatever it is to stand under.

    Raises:
        UnknownNameError: no such name; PatternError, KitError: rows that cannot be read.
    """
    if under in (None, "none"):
        return
    if _is_rows(under):
        parse_rows(under, meters.bars[0].meter)
    elif under not in OSTINATOS and len(under.split()) > 1:
        raise PatternError(f"--under {under!r}: a row starts with its limb, such as RF bass x . x .")
    elif under not in OSTINATOS:
        raise UnknownNameError("ostinato", under, [*OSTINATOS, "none"])


def _is_rows(under: str) -> bool:
    words = under.split()
    return len(words) > 1 and words[0].upper() in Limb.__members__


def fitted_ostinato(under: str, meters: Meters, kit: Kit) -> tuple[Pattern, Ostinato]:
    """An ostinato by name or as box rows, filling a map and set for a kit's hands, with words for what it is there.

    Raises:
        UnknownNameError, PatternError: no such name; rows that cannot be read.
        RefusedError: it does not fit the meters, or the kit lacks one of its surfaces.
    """
    meter = meters.bars[0].meter
    if _is_rows(under):
        own = parse_rows(under, meters.only or meter)
        pattern = _fill(own, meters, "your ostinato")
        limbs = " and ".join(limb.name for limb in own.limbs) or "no limb"
        item = Ostinato("own", f"an ostinato in {limbs}", f"the ostinato in {limbs}", under, span=own.span)
    else:
        pattern = set_for(kit, ostinato(under, meters))
        item = OSTINATOS[under]
        span = meter.span if item.rule else _own_form(item, meter).span
        item = item._replace(title=item.title or _played(pattern), span=span)
        if not OSTINATOS[under].title:
            item = item._replace(words=item.title)
        if "ride" in item.words and any(hit.surface == "closed-hat" for hit in pattern.hits):
            item = item._replace(words=f"{item.words}, on the closed hat")
    for label in sorted({hit.surface for hit in pattern.hits}):
        if label not in kit:
            raise RefusedError(f"{item.words} needs a {label}, which the {kit.name} kit has not; {_plain_ones(kit)}")
    return pattern, item


def _played(pattern: Pattern) -> str:
    """What plain feet play, said by the beats of the first bar: ``bass on every beat, hat foot on 2 and 5``."""
    bar = pattern.meters.bars[0]
    numbers = {beat.start: beat.number for beat in pattern.meters.beats if beat.bar == 1}
    parts = []
    for label, words in (("bass", "bass"), ("hat-foot", "hat foot")):
        struck = [numbers[h.onset] for h in pattern.hits if h.surface == label and h.onset < bar.end]
        if len(struck) == len(numbers):
            parts.append(f"{words} on every beat")
        elif struck:
            *first, last = map(str, struck)
            parts.append(f"{words} on " + (f"{', '.join(first)} and {last}" if first else last))
    return ", ".join(parts) or "the feet"


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
    whole_bars = bars.denominator == 1
    length = f"{bars} bar{'s' if bars > 1 else ''} of {written}" if bars >= 1 else f"{pattern.span} quarters"
    where = f"{len(meters.bars)} bar{'s' if len(meters.bars) > 1 else ''} of {meters.bars[0].meter}"
    longer = whole_bars and not pattern.span % meters.span and meters.only is not None
    way_out = f"repeat the line with --bars {bars}; " if longer else ""
    raise RefusedError(f"{what} lasts {length} and does not fit {where}; {way_out}{_plain_ones()}")


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
    """Every named ostinato that fits a map, in one bar or its own span, set for a kit: to look for in a page.

    Those that swing are there in triplets as well, as they sound.
    """
    bar = Meters(((meters.bars[0].meter, meters.bars[0].meter.span),))
    found = {}
    for name, item in OSTINATOS.items():
        try:
            own = ostinato(name, bar) if item.rule else _own_form(item, meters.bars[0].meter)
            found[name] = set_for(kit, own)
            if item.swings:
                found[f"{name}{WRITTEN_OUT}"] = in_triplets(found[name])
        except RefusedError:
            continue
    return found
