"""So many bars of time, then as many of the line as a solo."""

from collections.abc import Sequence
from dataclasses import replace

from kitgen.apply.layers import lost_graces, together, under_for
from kitgen.apply.setting import SWUNG, Application, Made, Setting
from kitgen.apply.solo import soloed, usual_feet
from kitgen.apply.timekeeping import by_quarters, in_threes, kept_time, plain_time, time_surface, usual_feel
from kitgen.kit.places import steps
from kitgen.line import Line
from kitgen.pattern import EVEN, Hit, Level, Pattern

_TURNS = {2: "twos", 4: "fours", 8: "eights"}


def trade(line: Line, setting: Setting) -> Made:
    """Bars of time against bars of solo, turn and turn about, as a band trades with its drummer.

    Said to a student: sing the time in your head while you solo, so that your 1 comes where the band expects it; the
    hat foot never stops. Options: ``phrase`` for the bars of each turn (4 is trading fours), ``surface`` for the time
    (ride, swung under eighths, or closed hat with a backbeat), ``under`` for feet that go on under both. The line is
    repeated or cut to the turn, from its first bar that plays. Refused over an ostinato for the hands, and with the
    hand on a hat that the foot plays. Law: the first row is time and nothing else; the second is the line as a solo,
    over the same feet.
    """
    label, bars = time_surface(setting, "ride", "closed-hat"), setting.phrase
    turn, remarks = _one_turn(line, bars)
    feet, item = under_for(setting, turn.meters, _feet_of(turn, setting, label))
    played = soloed(turn, replace(setting, surface=None), feet)
    no_feet = Pattern((), turn.meters)
    if setting.under is None or feet is None:
        before = Pattern(tuple(kept_time(turn.meters, setting, label, threes=in_threes(turn))), turn.meters)
        feel = usual_feel(turn, label)
    else:
        feel = SWUNG if item is not None and item.swings else EVEN
        before = together(_hands_of_time(turn, setting, label, latin=item is not None and item.latin), feet)
    taken = tuple(hit for hit in played.hits if not _in_the_way(hit, played.hits, before, setting))
    solo = together(list(taken), no_feet if feet is None else feet)
    return Made(
        f"Trading {_TURNS.get(bars, f'{bars} bars')}",
        f"Play {bars} bars of time, then {bars} bars of the line as a solo over the feet, and come back to the time on "
        "1. Count the bars of the solo.",
        ((f"{bars} bars of time", before), (f"{bars} bars of solo", solo)),
        (*remarks, *_tap_left_out(played.hits, taken), *lost_graces(turn, solo), *played.remarks),
        feel=feel,
        count_quarters=by_quarters(turn, label) or (item is not None and item.latin),
    )


def _feet_of(turn: Line, setting: Setting, label: str) -> str:
    """The feet under the solo where nobody names any: the hat foot where the time has it."""
    meter = turn.meters.only
    if meter is None or not by_quarters(turn, label):
        return usual_feet(turn.meters)
    return " ".join([setting.kit.hat_foot.name, "hat-foot", *[".x"] * meter.numerator])


def _hands_of_time(turn: Line, setting: Setting, label: str, *, latin: bool) -> list[Hit]:
    """What the hands play for time over feet of their own: over Latin ones even eighths without a backbeat."""
    threes = in_threes(turn)
    if latin:
        time = plain_time(turn.meters, setting, label, threes=threes)
        return [hit for hit in time if hit.surface == label]
    return [hit for hit in kept_time(turn.meters, setting, label, threes=threes) if hit.limb.is_hand]


def _in_the_way(hit: Hit, solo: Sequence[Hit], time: Pattern, setting: Setting) -> bool:
    """True for a hand's last tap of the solo, where it would keep the hand from being back in time for the time."""
    if hit.level is not Level.TAP or hit != max((h for h in solo if h.limb == hit.limb), key=lambda h: h.onset):
        return False
    back = next((h for h in time.hits if h.limb == hit.limb), None)
    if back is None or back.surface == hit.surface:
        return False
    gap = float(time.span - hit.onset + back.onset) * 60_000 / setting.pace
    return gap < setting.player.travel(hit.limb, across=steps(hit.surface, back.surface) > 1)


def _tap_left_out(solo: Sequence[Hit], taken: Sequence[Hit]) -> tuple[str, ...]:
    return tuple(
        f"the last tap of the {hit.limb.words} left out: that hand is on its way back to the time"
        for hit in solo
        if hit not in taken
    )


def _one_turn(line: Line, bars: int) -> tuple[Line, tuple[str, ...]]:
    """So many bars of a line from its first bar that plays among as few as need be, and what was done to get them."""
    own = line.meters.bars
    first = next((bar.number - 1 for bar in own if bar.end > line.notes[0].onset), 0)
    first = first if first >= bars else 0
    going_round = line
    while len(going_round.meters.bars) < first + bars:
        going_round += line
    taken = going_round.meters.bars[first : first + bars]
    turn = going_round.cut(taken[0].start, taken[-1].end)
    lowest = 0 if line.pickup else 1
    if len(own) < bars:
        return turn, (f"the line's {len(own)} bar{'s' if len(own) > 1 else ''} repeated to make {bars}",)
    if first:
        return turn, (f"{bars} bars of the line from bar {first + lowest}, since the bars before it are rest",)
    if len(own) > bars:
        return turn, (f"the first {bars} of the line's {len(own)} bars; --measures chooses others",)
    return turn, ()


APPLICATION = Application(
    "trade",
    "phrase",
    "bars of time, then as many bars of the line as a solo",
    trade,
    uses=("phrase", "under", "surface"),
)
