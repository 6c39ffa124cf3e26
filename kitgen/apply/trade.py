"""So many bars of time, then as many of the line as a solo."""

from dataclasses import replace

from kitgen.apply.layers import lost_graces, together, under_for
from kitgen.apply.setting import SWUNG, Application, Made, Setting
from kitgen.apply.solo import soloed, usual_feet
from kitgen.apply.timekeeping import in_threes, kept_time, plain_time, time_surface, usual_feel
from kitgen.line import Line
from kitgen.pattern import EVEN, Hit, Pattern

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
    feet, item = under_for(setting, turn.meters, usual_feet(turn.meters))
    played = soloed(turn, replace(setting, surface=None), feet)
    no_feet = Pattern((), turn.meters)
    solo = together(list(played.hits), no_feet if feet is None else feet)
    if setting.under is None or feet is None:
        before = Pattern(tuple(kept_time(turn.meters, setting, label, threes=in_threes(turn))), turn.meters)
        feel = usual_feel(turn, label)
    else:
        feel = SWUNG if item is not None and item.swings else EVEN
        before = together(_hands_of_time(turn, setting, label, latin=item is not None and item.latin), feet)
    return Made(
        f"Trading {_TURNS.get(bars, f'{bars} bars')}",
        f"Play {bars} bars of time, then {bars} bars of the line as a solo over the feet, and come back to the time on "
        "1. Count the bars of the solo.",
        ((f"{bars} bars of time", before), (f"{bars} bars of solo", solo)),
        (*remarks, *lost_graces(turn, solo), *played.remarks),
        feel=feel,
        count_quarters=item is not None and item.latin,
    )


def _hands_of_time(turn: Line, setting: Setting, label: str, *, latin: bool) -> list[Hit]:
    """What the hands play for time over feet of their own: over Latin ones even eighths without a backbeat."""
    threes = in_threes(turn)
    if latin:
        time = plain_time(turn.meters, setting, label, threes=threes)
        return [hit for hit in time if hit.surface == label]
    return [hit for hit in kept_time(turn.meters, setting, label, threes=threes) if hit.limb.is_hand]


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
