"""A hip-hop groove: sixteenths swung a little, backbeat, and a bass that leaves space."""

from fractions import Fraction

from kitgen.apply.bass import thinned
from kitgen.apply.groove import (
    check_time,
    ghosts_of,
    given_to_the_snare,
    kicks_of,
    snares,
    time_places,
)
from kitgen.apply.setting import Application, Made, Setting
from kitgen.apply.timekeeping import hat_foot
from kitgen.errors import RefusedError
from kitgen.line import Line
from kitgen.line.stream import all_threes, parts_struck
from kitgen.pattern import Feel, Hit, Pattern
from kitgen.time import backbeats

_RATIO = Fraction(6, 5)
"""Long to short, 1.2:1: median of 30 breaks (A. Frane, Music Perception 34(3), 2017)."""
_SHARE = Fraction(1, 3)


def hip_hop(line: Line, setting: Setting) -> Made:
    """Hat in eighths, backbeat on the snare, the line on the bass with space kept; sixteenths swing 1.2:1.

    Said to a student: the hat walks in eighths, the snare sits on 2 and 4, and the bass says little; what falls between
    the eighths comes a touch late. Options: ``surface`` closed-hat or ride (then the hat foot plays 2 and 4),
    ``half_time`` for the backbeat in the middle of the bar.

    The bass leaves out what the player's foot cannot play at the pace, then all that is more than about a third of a
    bar's places, and what fills every beat of two bars; the page says how much. The snare hand adds one ghost note a
    bar, on an "e" or "a" that is free and not next to a backbeat. In cut time everything is written twice as long, and
    eighths swing.

    Refused where the line falls on nothing but the backbeat, where all its divided beats are in threes (that is a
    shuffle), under meters that count eighths, and where cut time and meters of quarters mix. Law: as the groove's; no
    bar has more bass than a third of its places, rounded.
    """
    label = setting.hand_surface("closed-hat", "ride")
    check_time(setting, label, "Hip-hop groove")
    feel = _feel(line)
    time_hand = setting.kit.limb_for(label)
    back = frozenset(backbeats(line.meters, half_time=setting.half_time))
    kicks = kicks_of(line, setting, back)
    beside = [Hit(at, time_hand, label) for at in time_places(line)] + snares(setting, time_hand.mirrored, back)
    if label != "closed-hat":
        beside += hat_foot(line.meters, setting)
    bass = thinned(kicks, line.meters, setting, beside=beside, back=back, feel=feel, share=_SHARE)
    ghosts = ghosts_of(line, setting, time_hand.mirrored, back, [*bass.hits, *beside], most=1, every_line=True)
    time = label.removeprefix("closed-")
    what = "eighths" if feel.unit == 8 else "sixteenths"
    late = "" if setting.straight else f", let the {what} between come a little late"
    return Made(
        f"Hip-hop groove{', half time' if setting.half_time else ''}",
        f"Keep the {time} and the backbeat steady{late}; the bass plays the line and leaves space.",
        (("hip-hop", Pattern((*beside, *bass.hits, *ghosts), line.meters)),),
        (*given_to_the_snare(line, back), *bass.notes(setting, "about a third")),
        feel=feel,
    )


def _feel(line: Line) -> Feel:
    """Swung sixteenths; in cut time swung eighths.

    Raises:
        RefusedError: beats that hold no such pairs, or a line that is a shuffle already.
    """
    meters = {meter for meter, _ in line.meters.runs}
    if other := sorted(str(meter) for meter in meters if meter.denominator not in (2, 4)):
        raise RefusedError(
            f"hip-hop swings the sixteenths of a quarter, and {other[0]} does not count quarters; write the line in "
            "4/4 or 2/4, or use --as groove"
        )
    if len({meter.denominator for meter in meters}) > 1:
        raise RefusedError(
            "hip-hop swings one note value, and this line mixes cut time with quarters; choose bars of one kind with "
            "--measures, or use --as groove"
        )
    if all_threes(parts_struck(line)):
        raise RefusedError("this line is in triplets, a shuffle, and hip-hop swings sixteenths; use --as groove")
    return Feel(8 if any(meter.denominator == 2 for meter in meters) else 16, _RATIO)


APPLICATION = Application(
    "hip-hop",
    "time",
    "swung sixteenths, backbeat, the line on a spare bass",
    hip_hop,
    uses=("surface", "half_time"),
    rules=("backbeat", "snare-for-bass", "crash-carried", "hat-closed", "foot-limit", "space"),
)
