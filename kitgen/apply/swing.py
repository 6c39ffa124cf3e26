"""The line as comping under a swing ride."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import groupby
from typing import NamedTuple

from kitgen.apply.bass import thinned
from kitgen.apply.layers import lost_graces, stroke, without_graces
from kitgen.apply.setting import SWUNG, Application, Made, Setting
from kitgen.errors import OptionError, RefusedError
from kitgen.kit import Limb, surface
from kitgen.line import Line
from kitgen.pattern import Hit, Level, Pattern, auto_ratio
from kitgen.time import Bar, Meters

_ACCENTS_A_BAR = 2
_BARS_ALONE = 4
_MINUTE_MS = 60_000
_QUARTER, _EIGHTH = Fraction(1), Fraction(1, 2)


class _Pulse(NamedTuple):
    """A quarter of a bar under the swing ride.

    Args:
        at: in quarters.
        skips: the ride adds the skip note, and the hat foot falls.
        light: no feathered bass, where the bar has a group of three: a waltz has it on 1.
    """

    at: Fraction
    skips: bool
    light: bool


def swing(line: Line, setting: Setting) -> Made:
    """The line comped by the snare hand (or the bass foot) under the swing ride, hat on 2 and 4, bass feathered.

    Said to a student: the ride carries the band and never bends to the line; hat on 2 and 4; feather the bass so that
    it is felt more than heard; then speak the line underneath, softly, with one or two accents a bar. Options:
    ``limb`` (the hand that does not ride, or the bass foot), ``surface`` for that hand.

    The pulse is the quarter, in cut time too. The ride adds its skip note, and the hat foot falls, on 2 and 4; on the
    second beat of each group of a meter of threes (2 of three; 2 and 5 of five). Where a bar has accents of its own it
    keeps two, off the beat before on it and late before early; where it has none the last comp off the beat is
    accented, else the last on 2 or 4, else the last. The bass is feathered on every beat, in groups of three on their
    first; where the foot itself comps, a feathered stroke gives way to a comped one at its instant, and where the foot
    could not play both. Above the paces the player can keep, the ride leaves its skip notes out, and the bass is
    feathered on every other beat; the page says so.

    Refused under meters that count eighths, whose beats hold no swung pairs. Law: the comping limb's strokes above a
    feather are the line (in the bass, what the foot can play of it; the rest is counted on the page); ride and hat are
    as without the line; each bar that is comped has one or two accents.
    """
    comp, label = _comping(setting)
    pulses = list(_pulses(line.meters))
    time, plain = _time(pulses, setting)
    feathers, sparse = _feathers(pulses, setting)
    alone, above, played = time, time, line
    if comp.is_hand:
        bass = thinned(feathers, line.meters, setting, beside=time, feel=SWUNG)
        alone = [*time, *bass.hits]
        above = without_graces([*time, *_comps(line, comp, label)])
        low = bass.hits
    else:
        struck = set(line.onsets)
        free = [feather for feather in feathers if feather.onset not in struck]
        bass = thinned([*_comps(line, comp, label), *free], line.meters, setting, beside=time, feel=SWUNG)
        kept = {hit.onset for hit in bass.hits}
        played = Line(tuple(note for note in line.notes if note.onset in kept), line.meters)
        low = [*_comps(played, comp, label), *(hit for hit in bass.hits if hit.level is Level.FEATHER)]
    whole = Pattern((*above, *low), line.meters)
    return Made(
        f"Swing, comping in the {comp.words}",
        "Keep the ride going and feather the bass; comp the line softly under it, lean on the accents."
        if comp.is_hand
        else "Keep the ride going; the bass speaks the line and feathers the beats it leaves, lean on the accents.",
        (("time alone", _first_bars(alone, line.meters)), ("comping", whole)),
        (*_softened(played), *bass.notes(setting), *plain, *sparse, *lost_graces(line, whole)),
        feel=SWUNG,
        count_quarters=True,
    )


def _comping(setting: Setting) -> tuple[Limb, str]:
    """The limb that comps, and what on."""
    if setting.under not in (None, "none"):
        raise RefusedError("a swing brings its own ride and feet; leave --under away, or use --as limb --under")
    kit = setting.kit
    comp = kit.weak if setting.limb is None else setting.limb
    if comp not in (kit.weak, kit.bass_foot):
        busy = "rides" if comp.is_hand else "has 2 and 4"
        raise OptionError(
            f"--limb {comp.name}: the {comp.words} {busy}; comp with {kit.weak.name} or {kit.bass_foot.name}"
        )
    if comp.is_hand:
        label = setting.hand_surface("snare")
        if surface(label).rings != "short" or label == "closed-hat":
            raise OptionError(f"--surface {label} is for time, not for comping; comp on snare, cross-stick or a tom")
        return comp, label
    if setting.surface not in (None, "bass"):
        raise OptionError(f"--surface {setting.surface}: the {comp.words} comps on the bass; leave --surface away")
    surface("bass").check_limb(comp)
    return comp, "bass"


def _pulses(meters: Meters) -> Iterator[_Pulse]:
    """The quarters of every bar.

    Raises:
        RefusedError: a meter that counts eighths, or a bar that ends inside a pair.
    """
    for bar in meters.bars:
        meter = bar.meter
        if meter.denominator >= 8 or bar.length % _QUARTER:
            what = "is already felt in threes" if meter.is_compound else "counts eighths"
            raise RefusedError(
                f"no swing ride fits {meter}: it {what}; the ride fits meters of quarters or halves (4/4, 3/4, 5/4, "
                "2/2), so write the line in one of them, or use --as groove"
            )
        yield from _pulses_in(bar)


def _pulses_in(bar: Bar) -> Iterator[_Pulse]:
    a_beat = int(bar.meter.unit)
    groups = bar.meter.beat_groups if a_beat == 1 else (a_beat,) * bar.meter.numerator
    light = any(size % 2 for size in groups)
    at = bar.start
    for size in groups:
        for index in range(size):
            if at < bar.end:
                yield _Pulse(at, index % 2 == 1, light and index > 0)
            at += _QUARTER


def _time(pulses: list[_Pulse], setting: Setting) -> tuple[list[Hit], tuple[str, ...]]:
    """Ride and hat foot, and what the page says where the hand cannot keep the skip notes at the pace."""
    hand, foot = setting.kit.lead, setting.kit.hat_foot
    hits = [Hit(pulse.at, hand, setting.need("ride")) for pulse in pulses]
    hits += [Hit(pulse.at, foot, setting.need("hat-foot")) for pulse in pulses if pulse.skips]
    if _can_skip(setting, hand):
        return hits + [Hit(pulse.at + _EIGHTH, hand, "ride") for pulse in pulses if pulse.skips], ()
    return hits, (f"at {setting.pace:g} quarters a minute the ride leaves its skip notes out",)


def _can_skip(setting: Setting, hand: Limb) -> bool:
    """True if the player's hand can keep the ride with its skip notes: two, three and six strokes in a row."""
    quarter, rates = _MINUTE_MS / setting.pace, setting.player.rates(hand)
    short = quarter / float(1 + auto_ratio(setting.pace))
    return short >= rates.two and quarter / 2 >= rates.few and quarter * 2 / 3 >= rates.sustained


def _feathers(pulses: list[_Pulse], setting: Setting) -> tuple[list[Hit], tuple[str, ...]]:
    """The feathered bass, and what the page says where the foot cannot keep all of it at the pace."""
    foot = setting.kit.bass_foot
    fast = _MINUTE_MS / setting.pace < setting.player.rates(foot).sustained
    sparse = fast and any(pulse.skips and not pulse.light for pulse in pulses)
    hits = [
        Hit(pulse.at, foot, setting.need("bass"), Level.FEATHER)
        for pulse in pulses
        if not pulse.light and not (sparse and pulse.skips)
    ]
    words = f"at {setting.pace:g} quarters a minute the bass is feathered on every other beat only"
    return hits, (words,) if sparse else ()


def accents_of(line: Line) -> frozenset[Fraction]:
    """What is accented of the comping: in each bar at most two of the line's own accents, or one where it has none."""
    found: list[Fraction] = []
    for number, members in groupby(line.notes, key=lambda note: line.meters.beat_at(note.onset).bar):
        bar, inside = line.meters.bars[number - 1], list(members)
        own = [note for note in inside if note.accent]
        leaned = sorted(own or inside, key=lambda note: (_leaning(note.onset, bar), -note.onset))
        found += (note.onset for note in leaned[: _ACCENTS_A_BAR if own else 1])
    return frozenset(found)


def _leaning(at: Fraction, bar: Bar) -> int:
    """How much a drummer leans on a place, the most first: off the beat, then 2 and 4, then the rest."""
    if (at - bar.start) % _QUARTER:
        return 0
    return 1 if any(pulse.at == at and pulse.skips for pulse in _pulses_in(bar)) else 2


def _comps(line: Line, limb: Limb, label: str) -> list[Hit]:
    """The line as comping: soft but for its accents."""
    soft, accented = Level.TAP if limb.is_hand else Level.NORMAL, accents_of(line)
    return [stroke(note, limb, label, level=Level.ACCENT if note.onset in accented else soft) for note in line.notes]


def _softened(line: Line) -> tuple[str, ...]:
    """What the page says of accents of the line that are played softly."""
    softened = len(set(line.accents) - accents_of(line))
    if not softened:
        return ()
    return (f"{softened} accent{'s' if softened > 1 else ''} of the line played softly: one or two a bar are enough",)


def _first_bars(hits: list[Hit], meters: Meters) -> Pattern:
    """The time by itself, for as long as the line but four bars at most."""
    end = meters.bars[min(len(meters.bars), _BARS_ALONE) - 1].end
    return Pattern(tuple(hit for hit in hits if hit.onset < end), meters.cut(Fraction(0), end))


APPLICATION = Application(
    "swing",
    "time",
    "the line as comping under a swing ride",
    swing,
    uses=("limb", "surface"),
    rules=("crash-carried", "hat-closed", "foot-limit"),
)
