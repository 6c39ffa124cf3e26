"""What a tour is of: limbs, slots, the ostinato under it and rules; and its slots as strokes.

Conventions: a tour starts at the first slot of a bar and at the first place of the ostinato; its last slot leads back
there. Slots are note values, ``8ths`` and ``16ths``, or parts of the beat.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import lcm

from kitgen.apply.layers import together
from kitgen.errors import OptionError, RefusedError, UnknownNameError
from kitgen.grid.ground import Ground
from kitgen.grid.tours import Run, Tour, ruled_tour
from kitgen.kit import Limb
from kitgen.pattern import Hit, Pattern, tile
from kitgen.pattern.value import common_grid
from kitgen.time import Meter, Meters

SUBDIVISIONS = ("8ths", "16ths", "triplets", "quintuplets", "sextuplets")
_LENGTHS = {"8ths": Fraction(1, 2), "16ths": Fraction(1, 4)}
_PARTS = {"triplets": 3, "quintuplets": 5, "sextuplets": 6}


@dataclass(frozen=True)
class TourPlan:
    """What is toured.

    Args:
        meter: the meter.
        limbs: the limbs that tour, 1 to 4, in the order in which they join.
        surfaces: what each of them strikes.
        ground: the ostinato that the other limbs keep; one without hits for none.
        subdivision: one of ``SUBDIVISIONS``.
        silence: slots may be silent.
        runs: how often each limb may strike in a row.
        varied: add a longer page in which limbs strike once or twice in a row, never three times.
        seed: chooses among tours that read as well.

    Raises:
        OptionError: limbs or a subdivision that cannot be, or rules that exclude each other.
        RefusedError: an ostinato that holds a limb or does not lie on the slots.
    """

    meter: Meter
    limbs: tuple[Limb, ...]
    surfaces: tuple[str, ...]
    ground: Ground
    subdivision: str = "16ths"
    silence: bool = True
    runs: tuple[Run, ...] = ()
    varied: bool = False
    seed: int = 0

    def __post_init__(self) -> None:
        named = ",".join(limb.name for limb in self.limbs)
        if not self.limbs or len(set(self.limbs)) < len(self.limbs):
            given = f"--limbs {named}" if named else "--limbs names no limb"
            raise OptionError(f"{given}; name one to four of RH, LH, RF, LF, each once")
        fewest = 2 if not self.under_one else 1
        if len(self.limbs) < fewest or (not self.silence and len(self.limbs) < 2):
            raise OptionError(
                f"--limbs {named}: one limb changes only between a stroke and a rest; name two or more, or an ostinato "
                "with --under for one limb to go round"
                if self.silence
                else f"--limbs {named}: one limb that is never silent has no changes; name two or more"
            )
        if self.varied and (self.under_one or not self.silence):
            raise OptionError("--no-triples is for limbs by themselves; leave out --under and --no-silence")
        if not self.runs:
            object.__setattr__(self, "runs", (Run.ANY,) * len(self.limbs))
        self._check_slots()

    def _check_slots(self) -> None:
        under = self.ground.pattern
        finest = common_grid([self.slot, *(hit.onset for hit in under.hits if hit.onset)])
        if finest * 2 < self.slot:
            fits = [name for name in SUBDIVISIONS if _lies_on(under, name, self.meter)]
            way = f"use --subdivision {' or '.join(fits)}" if fits else "choose another --under"
            raise RefusedError(
                f"{self.subdivision} do not hold every stroke of {self.ground.title} in {self.meter}; {way}"
            )

    @property
    def under_one(self) -> bool:
        """True over an ostinato."""
        return bool(self.ground.pattern.hits)

    @cached_property
    def slot(self) -> Fraction:
        """Length of a slot in quarters."""
        return slot_of(self.subdivision, self.meter)

    @cached_property
    def bar(self) -> int:
        """Slots of a bar."""
        return int(self.meter.span / self.slot)

    @cached_property
    def pulse(self) -> tuple[bool, ...]:
        """Which slots of a bar are beats."""
        beats = {beat.start for beat in Meters.of(self.meter).beats}
        return tuple(index * self.slot in beats for index in range(self.bar))

    @cached_property
    def places(self) -> int:
        """Slots of one turn of the ostinato, the shortest in which it comes back; 1 without one."""
        under = self.ground.pattern
        if not under.hits:
            return 1
        slots = int(under.span / self.slot)
        return next(n for n in range(1, slots + 1) if slots % n == 0 and (under >> n * self.slot) == under)


def _lies_on(under: Pattern, subdivision: str, meter: Meter) -> bool:
    try:
        slot = slot_of(subdivision, meter)
    except OptionError:
        return False
    return not any(hit.onset % slot for hit in under.hits)


def slot_of(subdivision: str, meter: Meter) -> Fraction:
    """Length of a slot in quarters.

    Raises:
        UnknownNameError: no such subdivision.
        OptionError: it does not divide the beats of the meter.

    >>> slot_of("16ths", Meter(6, 8)), slot_of("triplets", Meter(4, 4))
    (Fraction(1, 4), Fraction(1, 3))
    """
    if subdivision not in SUBDIVISIONS:
        raise UnknownNameError("subdivision", subdivision, SUBDIVISIONS)
    beats = set(meter.beats)
    if subdivision in _PARTS:
        if meter.denominator >= 8:
            raise OptionError(
                f"the beats of {meter} are written in eighths and hold no {subdivision}; "
                "use --subdivision 8ths or 16ths"
            )
        return beats.pop() / _PARTS[subdivision]
    slot = _LENGTHS[subdivision]
    if any(beat % slot or beat == slot for beat in beats):
        raise OptionError(
            f"{subdivision} do not divide the beats of {meter}; use --subdivision 16ths, or another meter"
        )
    return slot


def pattern_of(plan: TourPlan, sets: Sequence[int]) -> Pattern:
    """The slots of a tour, or of a part of it that is whole bars, as strokes over the ostinato."""
    bars = len(sets) // plan.bar
    hits = [
        Hit(slot * plan.slot, limb, label)
        for slot, mask in enumerate(sets)
        for bit, (limb, label) in enumerate(zip(plan.limbs, plan.surfaces, strict=True))
        if mask >> bit & 1
    ]
    return over_ground(plan, hits, bars)


def sets_in(plan: TourPlan, pattern: Pattern) -> tuple[int, ...]:
    """The sets of the touring limbs in a pattern, slot by slot: what :func:`pattern_of` was made of."""
    sets = [0] * int(pattern.span / plan.slot)
    for hit in pattern.hits:
        if hit.limb in plan.limbs:
            sets[int(hit.onset / plan.slot)] |= 1 << plan.limbs.index(hit.limb)
    return tuple(sets)


def set_words(mask: int, limbs: Sequence[Limb]) -> str:
    """A set of limbs in words.

    >>> set_words(0b101, tuple(Limb)), set_words(0, tuple(Limb))
    ('RH+RF', 'silence')
    """
    return "+".join(limb.name for bit, limb in enumerate(limbs) if mask >> bit & 1) or "silence"


def tour_of(plan: TourPlan) -> Tour:
    """The tour of all limbs of a plan, whole bars and whole turns."""
    rule = None if plan.silence else _never_silent
    return ruled_tour(
        len(plan.limbs),
        rule,
        runs=plan.runs,
        places=plan.places,
        seed=plan.seed,
        pulse=plan.pulse,
        whole=lcm(plan.bar, plan.places),
    )


def _never_silent(_place: int, here: int, there: int) -> bool:
    return bool(here and there)


def over_ground(plan: TourPlan, hits: Sequence[Hit], bars: int) -> Pattern:
    """Strokes over the ostinato, for so many bars."""
    meters = Meters.of(plan.meter, bars)
    if not plan.under_one:
        return Pattern(tuple(hits), meters)
    under, turn = plan.ground.pattern, plan.places * plan.slot
    once = Pattern(tuple(hit for hit in under.hits if hit.onset < turn), under.meters.cut(Fraction(0), turn))
    return together([*hits], tile(once, meters))
