"""What pages that go round the kit share: hands for their strokes, and crashes with the bass under them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from kitgen.apply.layers import stuck
from kitgen.apply.setting import Setting
from kitgen.kit import Limb
from kitgen.pattern import Hit
from kitgen.pattern.sticking import Stroke
from kitgen.time import Meters

_MINUTE_MS = 60_000
_EIGHTH = Fraction(1, 2)
_BRISK = Fraction(5, 6)
"""How far below a hand's sustained gap the strokes are put for choosing hands: so fast that the hands have to share."""


def with_hands(
    strokes: Sequence[Stroke],
    meters: Meters,
    setting: Setting,
    *,
    written: Mapping[Fraction, str],
    held: Sequence[Hit] = (),
) -> list[Hit]:
    """Strokes of the hands as hits: with the hands written in the line, else those that would cost least up to tempo.

    A sticking learned slowly has to hold when it is fast, so for runs closer than eighths hands are chosen as if they
    were a little closer than one hand can sustain.

    Args:
        strokes: in time order.
        meters: the meters they stand under.
        setting: says who plays and how the hands are set.
        written: R or L by onset, where the line says; R is the hand that keeps time.
        held: strokes whose hand is settled already; they are not given back.
    """
    hands = {"R": setting.kit.lead, "L": setting.kit.weak}
    told = [
        Hit(one.onset, hands[written[one.onset]], one.surface, one.level, one.ornament)
        for one in strokes
        if written.get(one.onset) in hands
    ]
    settled = {hit.onset for hit in told}
    free = [one for one in strokes if one.onset not in settled]
    brisk = replace(setting, pace=_brisk_pace(strokes, setting))
    return [*told, *stuck(free, meters, brisk, held=[*held, *told])]


def _brisk_pace(strokes: Sequence[Stroke], setting: Setting) -> float:
    """Quarters a minute at which the closest strokes ask for both hands; never below the setting's own pace."""
    closest = min((second.onset - first.onset for first, second in pairwise(strokes)), default=_EIGHTH)
    if closest >= _EIGHTH:
        return setting.pace
    sustained = setting.player.rates(setting.kit.lead).sustained
    return max(setting.pace, float(closest) * _MINUTE_MS / (sustained * float(_BRISK)))


def with_crash(hits: Iterable[Hit], crash: Hit, bass_foot: Limb) -> list[Hit]:
    """Hits with a crash and the bass under it; the hands leave what else they would play there."""
    at = crash.onset
    kept = [hit for hit in hits if hit.onset != at or not (hit.limb.is_hand or hit.limb == bass_foot)]
    return [*kept, crash, Hit(at, bass_foot, "bass", crash.level)]
