"""A groove someone would play: time, backbeat, and the line on the bass."""

from bisect import bisect_right
from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction

from kitgen.apply.bass import thinned
from kitgen.apply.layers import level_of
from kitgen.apply.setting import Application, Made, Setting
from kitgen.apply.timekeeping import hat_foot
from kitgen.errors import OptionError, RefusedError
from kitgen.kit import HATS, Limb
from kitgen.line import Line
from kitgen.line.stream import all_threes, parts_struck
from kitgen.pattern import Hit, Level, Pattern
from kitgen.time import Beat, backbeats

HALF = Fraction(1, 2)
_GHOSTS_A_BAR = 2
_QUARTER_PLACES = (Fraction(1, 4), Fraction(3, 4))
_NOT_FOR_TIME = frozenset(("crash", "crash-2", "splash", "china", "open-hat", "snare", "cross-stick", "rim-shot"))


def groove(line: Line, setting: Setting) -> Made:
    """Time on the hat (or ride), backbeat on the snare, the line on the bass; the snare has the backbeat to itself.

    Said to a student: hat and backbeat first, for as long as it takes; then the bass plays the line, and where the
    line falls on the backbeat the snare has already said it. Options: ``surface`` closed-hat or ride (on the ride the
    hat foot plays 2 and 4), ``half_time`` for the backbeat in the middle of the bar.

    The bass leaves out what the player's foot cannot play at the pace, and what leaves no air (see
    :func:`kitgen.pattern.quality.space`); the page says how much. In a bar with sixteenths the snare hand adds at most
    two ghost notes, on an "e" or "a" that is free and not next to a backbeat, if it can play a few sixteenths in a row
    at the pace. On the closed hat the last long note of a bar that is off the beat, where the time hand strikes, opens
    the hat, and the hand's next stroke closes it.

    Refused where the line falls on nothing but the backbeat. Law: the accents of the snare are the backbeats; the bass
    plays only notes of the line, never with the snare; what neither plays is counted on the page.
    """
    return kept_time(
        line,
        setting,
        setting.hand_surface("closed-hat", "ride"),
        name="Groove",
        say="the bass plays the line between",
        opens=True,
    )


def kept_time(line: Line, setting: Setting, label: str, *, name: str, say: str, opens: bool) -> Made:
    """Time on a surface, backbeat, and the line on the bass, as :func:`groove` says.

    Args:
        line: the line.
        setting: who plays, how fast, on what kit.
        label: what the time hand plays.
        name: the groove's, for the title.
        say: the end of the instruction.
        opens: long off-beat notes open the hat.
    """
    check_time(setting, label, name)
    time_hand = setting.kit.limb_for(label)
    back = frozenset(backbeats(line.meters, half_time=setting.half_time))
    kicks = kicks_of(line, setting, back)
    times = list(time_places(line))
    beside = [Hit(at, time_hand, label) for at in times] + snares(setting, time_hand.mirrored, back)
    if label not in HATS:
        beside += hat_foot(line.meters, setting)
    bass = thinned(kicks, line.meters, setting, beside=beside, back=back, share=HALF)
    ghosts = ghosts_of(line, setting, time_hand.mirrored, back, [*bass.hits, *beside])
    opened = _openings(line, setting, times, bass.hits) if opens and label == "closed-hat" else frozenset[Fraction]()
    hits = [
        Hit(hit.onset, hit.limb, "open-hat") if hit.limb == time_hand and hit.onset in opened else hit for hit in beside
    ]
    said = f"Keep the {label.removeprefix('closed-')} and the backbeat steady; {say}."
    if ghosts:
        said += " The ghost notes stay far under the backbeat."
    if opened:
        said += " Let the open hat sound until the next stroke on it."
    return Made(
        f"{name}{', half time' if setting.half_time else ''}",
        said,
        ((name.lower(), Pattern((*hits, *bass.hits, *ghosts), line.meters)),),
        (*given_to_the_snare(line, back), *bass.notes(setting)),
    )


def check_time(setting: Setting, label: str, name: str) -> None:
    """Raise unless time can be kept on a surface, and nothing else is to keep it.

    Raises:
        RefusedError: an ostinato is asked for; OptionError: a surface no time is kept on.
    """
    if setting.under not in (None, "none"):
        raise RefusedError(
            f"a {name.lower()} keeps its own time; leave --under away, or use --as limb --limb RF over an ostinato"
        )
    if label in _NOT_FOR_TIME:
        what = "belongs to the backbeat" if label in ("snare", "cross-stick", "rim-shot") else "rings too long for time"
        raise OptionError(f"--surface {label} {what}; keep time on closed-hat, ride, ride-bell or cowbell")


def kicks_of(line: Line, setting: Setting, back: Collection[Fraction]) -> list[Hit]:
    """The notes of a line that fall to the bass: all but those on the backbeat.

    Raises:
        RefusedError: there are none.
    """
    kicks = [Hit(n.onset, setting.kit.bass_foot, "bass", level_of(n)) for n in line.notes if n.onset not in back]
    if not kicks:
        raise RefusedError(
            "every note of this line falls on the backbeat, so the bass has nothing; use --as hands or limb"
        )
    return kicks


def snares(setting: Setting, hand: Limb, back: Collection[Fraction]) -> list[Hit]:
    """The backbeat on the snare."""
    return [Hit(at, hand, setting.need("snare"), Level.ACCENT) for at in sorted(back)]


def given_to_the_snare(line: Line, back: Collection[Fraction]) -> tuple[str, ...]:
    """What the page says of notes the bass leaves to the snare, and of grace notes."""
    notes = []
    if given := sum(note.onset in back for note in line.notes):
        many, them = ("s", "them") if given > 1 else ("", "it")
        notes.append(f"{given} note{many} of the line on the backbeat: the snare plays {them}")
    if any(note.graces for note in line.notes):
        notes.append("grace notes of the line left out: the bass plays it")
    return tuple(notes)


def ghosts_of(
    line: Line,
    setting: Setting,
    hand: Limb,
    back: Collection[Fraction],
    played: Sequence[Hit],
    *,
    most: int = _GHOSTS_A_BAR,
    every_line: bool = False,
) -> list[Hit]:
    """Ghost notes in the gaps of the snare hand, those soonest after a backbeat first.

    Args:
        line: the line; only one that has sixteenths gets any, unless told.
        setting: who plays, how fast.
        hand: the hand on the snare.
        back: the backbeats; no ghost is right before or after one.
        played: what else is struck; a ghost stands where nothing is.
        most: ghosts a bar.
        every_line: also where the line has no sixteenths.
    """
    struck, span, parts = {hit.onset for hit in played}, line.meters.span, parts_struck(line)
    if not back or not (every_line or any(count % 4 == 0 for count in parts)):
        return []
    ordered = sorted(back)

    def around(at: Fraction) -> tuple[Fraction, Fraction]:
        """How long since the last backbeat and to the next, round the loop."""
        index = bisect_right(ordered, at)
        return (at - ordered[index - 1]) % span, (ordered[index % len(ordered)] - at) % span

    found: dict[int, list[Fraction]] = {}
    for beat, count in zip(line.meters.beats, parts, strict=True):
        step = beat.full / 4
        slow = float(step) * 60_000 / setting.pace >= setting.player.rates(hand).few
        if not slow or not _has_quarters(beat) or (count % 2 and count > 1):
            continue
        found.setdefault(beat.bar, []).extend(
            at
            for share in _QUARTER_PLACES
            if (at := beat.start + beat.full * share) < beat.end and at not in struck and min(around(at)) > step
        )
    chosen = (at for places in found.values() for at in sorted(places, key=lambda at: (around(at)[0], at))[:most])
    return [Hit(at, hand, "snare", Level.GHOST) for at in chosen]


def _has_quarters(beat: Beat) -> bool:
    """True where a beat has an "e" and an "a"."""
    return beat.meter.denominator < 8 or beat.full == 2 * beat.meter.unit


def _openings(line: Line, setting: Setting, times: Collection[Fraction], bass: Sequence[Hit]) -> frozenset[Fraction]:
    """Where the hat opens: the last long off-beat note of each bar, where the time hand and the bass strike."""
    if "open-hat" not in setting.kit:
        return frozenset()
    able = set(times) & {hit.onset for hit in bass} - {beat.start for beat in line.meters.beats}
    last = {
        line.meters.beat_at(note.onset).bar: note.onset
        for note in line.notes
        if note.onset in able and line.is_long(note)
    }
    return frozenset(last.values())


def time_places(line: Line) -> Iterator[Fraction]:
    """Where the time hand strikes.

    Eighths (quarters where the half is the beat); the first and last of three where every divided beat is in
    threes; under any other odd division, the beat alone.
    """
    struck = parts_struck(line)
    shuffled = all_threes(struck)
    for beat, parts in zip(line.meters.beats, struck, strict=True):
        yield from (at for share in _shares(beat, parts, shuffled=shuffled) if (at := beat.start + share) < beat.end)


def _shares(beat: Beat, parts: int, *, shuffled: bool) -> list[Fraction]:
    unit = beat.meter.unit
    if beat.meter.denominator >= 8:
        return [unit * index for index in range(int(beat.length / unit) or 1)]
    if shuffled:
        return [Fraction(0), unit * Fraction(2, 3)]
    return [Fraction(0)] if parts % 2 and parts > 1 else [Fraction(0), unit / 2]


APPLICATION = Application(
    "groove",
    "time",
    "hat, backbeat, and the line on the bass",
    groove,
    uses=("surface", "half_time"),
    rules=("backbeat", "snare-for-bass", "crash-carried", "hat-closed", "foot-limit", "space"),
)
