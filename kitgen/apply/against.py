"""One limb against another: the line against even strokes, or even strokes against even strokes."""

from fractions import Fraction
from math import lcm
from typing import NamedTuple

from kitgen.apply.layers import lost_graces, opening, stroke, under_for
from kitgen.apply.limb import limb_surface, usual_surface
from kitgen.apply.pulse import beginning, listed, over
from kitgen.apply.setting import SWUNG, Application, Made, Setting
from kitgen.errors import OptionError, RefusedError
from kitgen.kit import Limb
from kitgen.line import Line
from kitgen.pattern import EVEN, Hit
from kitgen.time import Bar, Meters

_MOST_BARS = 32
_FEWEST, _MOST = 2, 9
_MOST_COUNTED = 3
_WAYS = (
    f"write how many even strokes a bar, {_FEWEST} to {_MOST}, such as 3, or one number against another, such as 3:2"
)


class Sides(NamedTuple):
    """Strokes a bar: of the one hand, None where it plays the line, and of the limb against it."""

    one: int | None
    other: int


def even_strokes(count: int, meters: Meters) -> tuple[Fraction, ...]:
    """So many evenly spaced places in every bar, the first on the 1, in quarters.

    >>> from kitgen.time import Meter
    >>> [str(at) for at in even_strokes(3, Meters.of(Meter(4, 4)))]
    ['0', '4/3', '8/3']
    """
    return tuple(bar.start + bar.length * Fraction(index, count) for bar in meters.bars for index in range(count))


def composite(*sides: int) -> tuple[tuple[int, ...], int]:
    """Which counts are struck, from 1, where even strokes sound together, and how many counts there are.

    >>> composite(3, 2)
    ((1, 3, 4, 5), 6)
    """
    size = lcm(*sides)
    return tuple(at + 1 for at in range(size) if any(at % (size // count) == 0 for count in sides)), size


def against(line: Line, setting: Setting) -> Made:
    """The line against N even strokes a bar, or M even strokes a bar against N, the pulse in the feet.

    Said to a student: each side first by itself over the pulse, then both; where they meet they are together, no flam;
    say the counts of the note until the two are one rhythm. Options: ``against`` N (3 where the bar has an even number
    of beats, else 2; the line in one hand, the N in the other) or M:N (the line then gives meter and bars, no notes),
    each 2 to 9 strokes *a bar*; ``limb`` that plays the N, a hand or a foot; ``surface`` it plays them on; ``under``
    for the other feet. Refused: M:N where the one contains the other, a line of rest against N. Law: each side is
    evenly spaced in every bar; M and N meet gcd(M, N) times a bar; the line's side is the line; the pulse is the same
    in every row.
    """
    sides = _sides(setting.against, line.meters)
    if sides.one is None and not line.notes:
        raise RefusedError(
            "this line is all rest, and against needs something to play; use --as alone to count it, or even strokes "
            "on both sides (--against 3:2)"
        )
    line, notes = (beginning if sides.one is None else opening)(line, _MOST_BARS)
    limb, hand = _limbs(sides, setting)
    label = limb_surface(limb, setting)
    other = [Hit(at, limb, label) for at in even_strokes(sides.other, line.meters)]
    own = usual_surface(hand, setting.kit)
    if sides.one is None:
        one = [stroke(note, hand, own) for note in line.notes]
    else:
        one = [Hit(at, hand, own) for at in even_strokes(sides.one, line.meters)]
        notes = ("the line gives only the meter and the number of bars", *notes)
    under, item = under_for(setting, line.meters, _feet(limb, setting))
    name = "the line" if sides.one is None else f"{sides.one} a bar"
    rows = (
        (f"{name} in {hand.name}", over(one, under, line.meters)),
        (f"{sides.other} a bar in {limb.name}", over(other, under, line.meters)),
        ("together", over([*one, *other], under, line.meters)),
    )
    over_what = "" if item is None else f" over {item.words}"
    return Made(
        f"{'The line' if sides.one is None else sides.one} against {sides.other}",
        f"Play each side by itself{over_what} until it runs, then both together; say the counts aloud.",
        rows,
        (*_counts(sides, line.meters), *notes, *(lost_graces(line, rows[-1][1]) if sides.one is None else ())),
        feel=SWUNG if item is not None and item.swings else EVEN,
        count_quarters=item is not None and item.latin,
    )


def _sides(text: str | None, meters: Meters) -> Sides:
    """What is asked for, or the usual number against this meter.

    Raises:
        OptionError: no such numbers, or one of them contains the other.
    """
    if text is None:
        return Sides(None, 2 if len(meters.bars[0].meter.beats) % 2 else 3)
    try:
        numbers = [int(word) for word in text.split(":")]
    except ValueError:
        numbers = []
    if len(numbers) not in (1, 2) or not all(_FEWEST <= number <= _MOST for number in numbers):
        raise OptionError(f"--against {text}: {_WAYS}")
    if len(numbers) == 1:
        return Sides(None, numbers[0])
    one, other = numbers
    if one % other == 0 or other % one == 0:
        near = sorted(range(_FEWEST, _MOST + 1), key=lambda number: (abs(number - other), number))
        works = [f"{one}:{number}" for number in near if one % number and number % one][:2]
        raise OptionError(
            f"--against {text}: every stroke of the {min(one, other)} is one of the {max(one, other)} as well, so "
            f"nothing is against anything; {listed(works, 'or')} is"
        )
    return Sides(one, other)


def _limbs(sides: Sides, setting: Setting) -> tuple[Limb, Limb]:
    """The limb of the N, and the hand against it: the weak hand has the line, the lead hand the M, where it is free."""
    lead, weak = setting.kit.lead, setting.kit.weak
    limb = setting.limb
    if limb is None:
        limb = lead if sides.one is None else weak
    if limb.is_hand:
        return limb, limb.mirrored
    return limb, weak if sides.one is None else lead


def _feet(limb: Limb, setting: Setting) -> str:
    """The pulse in a foot that is free."""
    return "hat-quarters" if limb == setting.kit.bass_foot else "quarters"


def _counts(sides: Sides, meters: Meters) -> tuple[str, ...]:
    """The counts to say: of both sides together, or of the even strokes with the beats of each kind of bar."""
    if sides.one is not None:
        counts, size = composite(sides.one, sides.other)
        return (f"{sides.one} against {sides.other} in a bar: strokes fall on {_numbers(counts)} of {size}",)
    kinds = {bar.meter: bar for bar in reversed(meters.bars)}
    bars = sorted(kinds.values(), key=lambda bar: bar.number)[:_MOST_COUNTED]
    return tuple(_with_beats(sides.other, bar, meters) for bar in bars)


def _with_beats(count: int, bar: Bar, meters: Meters) -> str:
    """Where even strokes and the beats of a bar fall, counted through on their common grid."""
    beats = [(beat.start - bar.start) / bar.length for beat in meters.beats if beat.bar == bar.number]
    even = [Fraction(index, count) for index in range(count)]
    size = lcm(count, *(at.denominator for at in beats))
    start = f"{count} against the {len(beats)} beat{'s' if len(beats) > 1 else ''} of {bar.meter}"
    if set(even) <= set(beats):
        return f"{start}: the strokes are on {listed([str(beats.index(at) + 1) for at in even])}"
    if set(beats) <= set(even):
        return f"{start}: the beats are on strokes {listed([str(even.index(at) + 1) for at in beats])}"
    counts = sorted({int(at * size) + 1 for at in (*beats, *even)})
    return f"{start}: strokes and beats fall on {_numbers(counts)} of {size}"


def _numbers(counts: "tuple[int, ...] | list[int]") -> str:
    return ", ".join(map(str, counts))


APPLICATION = Application(
    "against",
    "time itself",
    "the line against even strokes, or one number against another",
    against,
    needs_notes=False,
    uses=("against", "limb", "surface", "under"),
)
