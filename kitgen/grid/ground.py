"""What goes on under a moving limb: an ostinato, a hand that keeps time, both or neither.

Conventions: a ground fills the fewest whole bars its ostinato comes out even in, usually one. It is built up in layers,
feet first and then the timekeeping hand, as it is taught (common practice). In swing time the bass is feathered, as a
jazz band wants it; Latin feet are straight and go with no swing time.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from typing import NamedTuple

from kitgen.apply.layers import together
from kitgen.apply.ostinatos import OSTINATOS, Ostinato, fitted_ostinato, ostinato, set_for, short_name
from kitgen.apply.pulse import listed
from kitgen.apply.setting import SWUNG, Setting
from kitgen.apply.timekeeping import ride_time
from kitgen.errors import RefusedError, UnknownNameError
from kitgen.kit import Kit, Limb
from kitgen.pattern import EVEN, Feel, Hit, Level, Pattern
from kitgen.pattern.algebra import silence
from kitgen.pattern.swing import in_triplets
from kitgen.time import Meter, Meters

TIMES = {"none": "", "beats": "on every beat", "eighths": "in eighths", "swing": "in swing time"}
"""How a hand keeps time, in words."""

_SHORT_TIMES = {"beats": "{} on the beat", "eighths": "{} eighths", "swing": "swing {}"}
_AS_OSTINATOS = {"ride eighths": "ride-rock", "swing ride": "ride-swing"}

_MOST_BARS, _FOUR = 8, 4


class Layer(NamedTuple):
    """What is heard when one more thing has been added to a ground.

    Args:
        title: what has been added, as titles have it.
        words: the same in a sentence.
        pattern: everything so far.
        short: the same where there is little room.
    """

    title: str
    words: str
    pattern: Pattern
    short: str


@dataclass(frozen=True)
class Ground:
    """What goes on under the moving limb.

    Args:
        under: the ostinato as it was asked for.
        pattern: everything that goes on; without hits where nothing does.
        layers: how it is built up.
        feel: how it is played unless told.
        by_pulse: its ostinato lasts twice as long in cut time.
        written_out: its swing is written as it sounds, and nothing swings any more.
        notes: what the pages say of that, a sentence each.
    """

    under: str
    pattern: Pattern
    layers: tuple[Layer, ...] = ()
    feel: Feel = EVEN
    by_pulse: bool = False
    written_out: bool = False
    notes: tuple[str, ...] = ()

    def feel_for(self, swing: str | None, unit: int) -> Feel:
        """How a page over it is played: swung as asked, or as it is itself; even where its swing is written out."""
        return self.feel if swing is None or self.written_out else Feel.parse(swing, unit=unit)

    @property
    def title(self) -> str:
        """What goes on, as titles have it; empty where nothing does.

        >>> from kitgen.kit import kit
        >>> ground_of("samba", Meter(4, 4), kit("standard"), time="beats").title
        'samba feet and the ride on every beat'
        """
        return " and ".join(layer.title for layer in self.layers)

    @property
    def short(self) -> str:
        """What goes on, as short as titles need it; empty where nothing does.

        >>> from kitgen.kit import kit
        >>> ground_of("samba", Meter(4, 4), kit("standard"), time="beats").short
        'samba, ride on the beat'
        >>> ground_of("quarters-hat-2-4", Meter(4, 4), kit("standard"), time="swing").short
        'swing time in four'
        """
        kept = _AS_OSTINATOS.get(self.layers[-1].short) if len(self.layers) > 1 and self.under in OSTINATOS else None
        if kept is not None and len(self.meters.bars[0].meter.beats) == _FOUR:
            return short_name(f"{self.under} with {kept}")
        return ", ".join(layer.short for layer in self.layers)

    @property
    def meters(self) -> Meters:
        """The bars it fills."""
        return self.pattern.meters

    def check_free(self, limbs: Collection[Limb], *, on: Kit) -> None:
        """Raise where it holds one of some limbs.

        Raises:
            RefusedError: names the limb, what holds it and the limbs that are free.
        """
        for limb in limbs:
            holder = next((layer for layer in self.layers if limb in layer.pattern.limbs), None)
            if holder is not None:
                free = [other.name for other in Limb if other not in self.pattern.limbs]
                way = "--time" if holder.title.startswith("the ") and limb == on.lead else "--under"
                raise RefusedError(
                    f"the {limb.words} ({limb.name}) cannot move, it is busy in the ostinato ({holder.title}); "
                    f"{_free_words(free)}, or choose another {way}"
                )


def _free_words(free: Iterable[str]) -> str:
    names = list(free)
    return f"free to move {'are' if len(names) > 1 else 'is'} {listed(names)}" if names else "no limb is free"


def ground_of(under: str, meter: Meter, on: Kit, *, time: str = "none", threes: bool = False) -> Ground:
    """The ground of an ostinato and a timekeeping hand.

    Args:
        under: an ostinato's name, its box rows, or ``none``.
        meter: the meter.
        on: the kit, with its hands.
        time: one of ``TIMES``.
        threes: the moving limb divides beats in other ways than twos, so that a swung ground is written as it sounds.

    Raises:
        UnknownNameError: no such ostinato or time; RefusedError: it does not fit the meter or the kit, or does not
            swing.
    """
    if time not in TIMES:
        raise UnknownNameError("time", time, list(TIMES))
    layers, item, pattern = list[Layer](), None, silence(meter)
    notes: tuple[str, ...] = ()
    if under != "none":
        pattern, item = _fitted(under, meter, on)
        if time == "swing":
            _check_swings(item)
            pattern, notes = _feathered(pattern) if under in OSTINATOS else (pattern, ())
        layers.append(Layer(item.title, item.words, pattern, _short(item, meter, pattern)))
    swings = item is not None and item.swings
    if time != "none":
        label = _time_surface(pattern, on)
        pattern = _with_time(time, label, pattern, on)
        title = f"the {label.replace('-', ' ')} {TIMES[time]}"
        layers.append(Layer(title, title, pattern, _SHORT_TIMES[time].format(label.removeprefix("closed-"))))
        swings = swings or (time == "swing" and meter.denominator == 4)
    ground = Ground(
        under,
        pattern,
        tuple(layers),
        SWUNG if swings else EVEN,
        item is not None and item.by_pulse,
        notes=notes,
    )
    return _written_in_threes(ground) if threes and swings else ground


def _fitted(under: str, meter: Meter, on: Kit) -> tuple[Pattern, Ostinato]:
    """An ostinato over the fewest bars it comes out even in."""
    for bars in range(1, _MOST_BARS):
        try:
            return fitted_ostinato(under, Meters.of(meter, bars), on)
        except RefusedError:
            if under in OSTINATOS:
                raise
    return fitted_ostinato(under, Meters.of(meter, _MOST_BARS), on)


def _check_swings(item: Ostinato) -> None:
    if item.latin:
        raise RefusedError(
            f"{item.title} are straight and do not swing; use --time eighths or beats with them, or --time swing with "
            "feet such as --under quarters-hat-2-4"
        )


def _feathered(pattern: Pattern) -> tuple[Pattern, tuple[str, ...]]:
    """Feet under swing time, and what the page says of that."""
    if not any(hit.surface == "bass" for hit in pattern.hits):
        return pattern, ()
    hits = (replace(hit, level=Level.FEATHER) if hit.surface == "bass" else hit for hit in pattern.hits)
    return pattern.with_hits(hits), ("feather the bass: it is felt more than heard",)


def _short(item: Ostinato, meter: Meter, pattern: Pattern) -> str:
    """What an ostinato is called in titles; plain feet in other bars than of four beats by what they play."""
    if item.name not in OSTINATOS:
        return "your ostinato"
    if not OSTINATOS[item.name].title and len(meter.beats) != _FOUR:
        return item.title.replace("hat foot", "hat")
    short = short_name(item.name)
    return short.replace("ride", "hat") if any(hit.surface == "closed-hat" for hit in pattern.hits) else short


def _time_surface(below: Pattern, on: Kit) -> str:
    label = "ride" if "ride" in on else "closed-hat"
    if label == "closed-hat" and any(hit.surface == "hat-foot" for hit in below.hits):
        raise RefusedError(
            f"the {on.name} kit has no ride, and on the closed hat no hand can keep time while the foot plays it; "
            "use feet without the hat (--under quarters), or --time none"
        )
    return label


def _with_time(time: str, label: str, below: Pattern, on: Kit) -> Pattern:
    hand = on.limb_for(label)
    if hand in below.limbs:
        raise RefusedError(f"the {hand.words} is busy in the ostinato and cannot keep time as well; use --time none")
    meters = below.meters
    if time == "beats":
        hits = [Hit(beat.start, hand, label) for beat in meters.beats]
    elif time == "eighths":
        hits = [Hit(hit.onset, hand, label) for hit in set_for(on, ostinato("ride-rock", meters)).hits]
    else:
        hits = [hit for hit in ride_time(meters, Setting(kit=on), label) if hit.limb == hand]
    return together(hits, below)


def _written_in_threes(ground: Ground) -> Ground:
    """A swung ground in triplets, as it sounds, so that under triplets the page shows what falls together."""
    return replace(
        ground,
        pattern=in_triplets(ground.pattern),
        layers=tuple(layer._replace(pattern=in_triplets(layer.pattern)) for layer in ground.layers),
        feel=EVEN,
        written_out=True,
        notes=(*ground.notes, "the swing is written as it sounds, in triplets"),
    )
