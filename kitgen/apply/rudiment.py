"""A rudiment laid on the line, stroke by stroke, then moved round the kit."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import cycle
from math import gcd
from typing import NamedTuple

from kitgen.apply.layers import laid, level_of, ornament_of, under_for
from kitgen.apply.pulse import beginning, over
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import RefusedError
from kitgen.kit import HAND_LIMBS, Limb
from kitgen.line import Line
from kitgen.pattern import Hit, Level, Pattern
from kitgen.pattern.playability import playability
from kitgen.pattern.rudiments import USUAL, Primary, Rudiment
from kitgen.pattern.rudiments import rudiment as rudiment_of
from kitgen.pattern.value import common_span
from kitgen.time import Meter, Meters

_MOST_BARS = 40
_MOST_BARS_ALONE = 4
_SLOWEST = 4
_LEAD_DRUMS = ("mid-tom", "floor-tom")
_WEAK_DRUMS = ("high-tom",)
_NEAR_DRUMS = ("high-tom", "mid-tom")


class Written(NamedTuple):
    """A rudiment in its own rhythm.

    Args:
        meters: whole bars of one meter.
        strokes: (onset in quarters, stroke) pairs that fill them.
        even: the bars end where it comes round to its first stroke; else its last time through is cut short.
    """

    meters: Meters
    strokes: tuple[tuple[Fraction, Primary], ...]
    even: bool


def rudiment(line: Line, setting: Setting) -> Made:
    """A rudiment by itself, then one of its strokes for each note of the line, then the same round the kit.

    Said to a student: get the rudiment into your hands first; then the line tells you when, the rudiment tells you
    which hand. An accent is loud whether the rudiment has it or the line. Round the kit only the accents move, the
    right hand's to the middle and floor toms in turn, the left hand's to the high tom; a rudiment and line without
    any accent move on with the beats instead. Options: ``rudiment`` (single paradiddle unless told), ``limb`` (the hand
    it starts with), ``surface`` for the drum, ``carry`` to let it run on through repeats of the line until it comes
    round, ``under`` for feet. Refused on a foot, which has no grace notes and no
    bounces, and for a player of one hand. Law: the strokes of the
    hands are the line's onsets, the hands those of the rudiment over and over, mirrored every other time where it
    alternates; what is accented is what the rudiment or the line accents.
    """
    named = rudiment_of(setting.rudiment or USUAL)
    if gone := [hand for hand in HAND_LIMBS if not setting.player.plays(hand)]:
        raise RefusedError(
            f"a rudiment is a sticking for two hands, and the {gone[0].words} of {setting.player.words} does not play; "
            "--as stream has the line's accents among taps, --as limb --limb "
            f"{gone[0].mirrored.name} the line in the other hand"
        )
    first_hand = _first_hand(setting)
    drum = setting.hand_surface("snare")
    line, notes = beginning(line, _MOST_BARS)
    if setting.carry and setting.turn is None:
        line, more = _come_round(line, named)
        notes += more
    strokes = tuple(strokes_on(line, named, once=None if setting.carry else setting.turn))
    on_drum = [
        Hit(
            note.onset,
            first_hand if stroke.hand == "R" else first_hand.mirrored,
            drum,
            Level.ACCENT if stroke.accent else level_of(note),
            stroke.ornament or ornament_of(note, first_hand),
        )
        for note, stroke in zip(line.notes, strokes, strict=True)
    ]
    alone, own_notes = _alone(named, line.meters, setting, first_hand, drum)
    lost = sum(bool(note.graces and stroke.ornament) for note, stroke in zip(line.notes, strokes, strict=True))
    made = laid(
        line,
        setting,
        on_drum,
        title=f"{named.title} on the line",
        say=_instruction(named, on_drum, first_hand),
        label="on the line",
    )
    return made._replace(
        rows=(
            *made.rows[:-1],
            ("the rudiment", alone),
            made.rows[-1],
            ("round the kit", _over_feet(round_the_kit(on_drum, line.meters, setting), line.meters, setting)),
        ),
        notes=(*notes, *own_notes, *_lost_to_the_rudiment(lost), *made.notes, *_doubted(named)),
    )


def strokes_on(line: Line, named: Rudiment, *, once: Fraction | None = None) -> Iterator[Primary]:
    """The rudiment's stroke for each note of a line, its first one written for the right.

    Args:
        line: the line.
        named: the rudiment, over and over, mirrored every other time where it alternates.
        once: the rudiment starts over where so much of the line has gone by, in quarters; never when None.
    """
    turns, turn = cycle(named.cycle), Fraction(0)
    for note in line.notes:
        if once is not None and note.onset // once != turn:
            turns, turn = cycle(named.cycle), Fraction(note.onset // once)
        yield next(turns)


def as_written(named: Rudiment, meter: Meter, *, times: int = 1, period: Fraction | None = None) -> Written:
    """A rudiment in its own rhythm, in whole bars.

    Triplets of a simple meter are the plain values of a compound one. The bars are as few as it takes to come round
    to the hand it started with; where those would be more than four, as few as hold it once with either hand, and
    it goes on until they are full.

    Args:
        named: the rudiment.
        meter: of the bars.
        times: how many times as long as usual its values are.
        period: quarters the bars have to be a multiple of, for an ostinato of several bars.

    >>> from kitgen.pattern.rudiments import rudiment
    >>> [str(as_written(rudiment(name), Meter(4, 4)).meters) for name in ("single-paradiddle", "double-ratamacue")]
    ['1 x 4/4', '3 x 4/4']
    """
    unit = named.unit * times
    if meter.is_compound and named.unit.denominator % 3 == 0:
        unit *= Fraction(3, 2)
    whole = sum(stroke.length for stroke in named.cycle) * unit
    period = common_span(meter.span, period or meter.span)
    span = common_span(whole, period)
    even = span <= _MOST_BARS_ALONE * meter.span or span == whole
    if not even:
        span = period * -(-whole // period)
    return Written(Meters.of(meter, int(span / meter.span)), tuple(_stream(named, unit, span)), even)


def _stream(named: Rudiment, unit: Fraction, span: Fraction) -> Iterator[tuple[Fraction, Primary]]:
    at = Fraction(0)
    for stroke in cycle(named.cycle):
        if at >= span:
            return
        yield at, stroke
        at += stroke.length * unit


def round_the_kit(hits: list[Hit], meters: Meters, setting: Setting) -> list[Hit]:
    """Strokes on one drum moved round the kit.

    Accents go to the toms of their hand's side, those of a hand that has two to each in turn, and all else stays.
    A hand with grace notes to play goes along, so it has to be near: from the high tom it comes to the middle tom, not
    to the floor tom. Without an accent both hands move on with each beat that has strokes, and start over from the
    drum: each on its own side, or, where there are grace notes, together.
    """
    if any(hit.level is Level.ACCENT for hit in hits):
        return list(_accents_moved(hits, setting))
    return _beats_moved(hits, meters, setting)


def _accents_moved(hits: list[Hit], setting: Setting) -> Iterator[Hit]:
    lead = setting.kit.lead
    toms = {limb: _toms(labels, hits[0].surface, setting) for limb, labels in _sides(lead)}
    turns = {limb: cycle(labels) for limb, labels in toms.items()}
    for index, hit in enumerate(hits):
        if hit.level is not Level.ACCENT:
            yield hit
            continue
        label = next(turns[hit.limb])
        if (
            hit.limb == lead
            and _graced(hit)
            and any(
                other.limb != lead and other.level is Level.ACCENT
                for other in (hits[index - 1], *hits[index + 1 : index + 2])
            )
        ):
            label = toms[lead][0]
        yield replace(hit, surface=label)


def _beats_moved(hits: list[Hit], meters: Meters, setting: Setting) -> list[Hit]:
    if any(map(_graced, hits)):
        together_on = _toms(_NEAR_DRUMS, hits[0].surface, setting)
        toms = dict.fromkeys(HAND_LIMBS, together_on)
    else:
        toms = {limb: _toms(labels, hits[0].surface, setting) for limb, labels in _sides(setting.kit.lead)}
    stations = 1 + max(map(len, toms.values()))
    beats = [meters.beat_index(hit.onset) for hit in hits]
    order = {beat: index for index, beat in enumerate(dict.fromkeys(beats))}
    moved = []
    for hit, beat in zip(hits, beats, strict=True):
        place, labels = order[beat] % stations, toms[hit.limb]
        moved.append(replace(hit, surface=labels[(place - 1) % len(labels)]) if place else hit)
    return moved


def _sides(lead: Limb) -> tuple[tuple[Limb, tuple[str, ...]], ...]:
    return (lead, _LEAD_DRUMS), (lead.mirrored, _WEAK_DRUMS)


def _graced(hit: Hit) -> bool:
    return hit.ornament is not None and hit.ornament.has_graces


def _toms(labels: tuple[str, ...], drum: str, setting: Setting) -> tuple[str, ...]:
    """The toms a hand moves to, without the drum that is played on already; then the snare is one."""
    return tuple(setting.need(label) for label in labels if label != drum) or (setting.need("snare"),)


def _first_hand(setting: Setting) -> Limb:
    """The hand the rudiment starts with."""
    limb = setting.kit.lead if setting.limb is None else setting.limb
    if not limb.is_hand:
        raise RefusedError(
            f"--limb {limb.name}: a rudiment is for two sticks, and the {limb.words} has no grace notes and no "
            f"bounces; --limb RH or --limb LH says which hand starts, --as limb --limb {limb.name} puts the line in "
            "that foot, and --under lays feet under the hands"
        )
    return limb


def _come_round(line: Line, named: Rudiment) -> tuple[Line, tuple[str, ...]]:
    """The line repeated until the rudiment comes round to its first stroke, as far as a page holds that."""
    size, bars = len(named.cycle), len(line.meters.bars)
    times = size // gcd(size, len(line.notes))
    if times * bars <= _MOST_BARS:
        return line * times, ()
    return line * max(1, _MOST_BARS // bars), (
        f"the rudiment comes round with the line after {times * bars} bars, more than a page holds",
    )


def _alone(
    named: Rudiment, meters: Meters, setting: Setting, first_hand: Limb, drum: str
) -> tuple[Pattern, tuple[str, ...]]:
    """The rudiment in its own rhythm, slow enough for who plays, and what the page says about that."""
    meter = meters.bars[0].meter
    _, under = under_for(setting, meters, None)
    period = None if under is None else under.span
    times, notes = 1, list[str]()
    while True:
        written = as_written(named, meter, times=times, period=period)
        hits = [
            Hit(
                at,
                first_hand if stroke.hand == "R" else first_hand.mirrored,
                drum,
                Level.ACCENT if stroke.accent else Level.NORMAL,
                stroke.ornament,
            )
            for at, stroke in written.strokes
        ]
        pattern = _over_feet(hits, written.meters, setting)
        found = playability(pattern, setting.player, setting.pace, hand=setting.kit.hand)
        if times == _SLOWEST or not any(finding.share and finding.limb.is_hand for finding in found):
            break
        times *= 2
    if times > 1:
        notes.append(f"by itself the rudiment is written {times} times as slow as usual, to suit the tempo of the line")
    if not written.even:
        notes.append(f"the rudiment does not come out even in bars of {meter}: its last time through is cut short")
    return pattern, tuple(notes)


def _over_feet(hits: list[Hit], meters: Meters, setting: Setting) -> Pattern:
    under, _ = under_for(setting, meters, None)
    return over(hits, under, meters)


def _instruction(named: Rudiment, hits: list[Hit], first_hand: Limb) -> str:
    starts = named.strokes if first_hand is Limb.RH else named.mirrored
    swaps = ", and the same starting with the other hand" if named.alternates else ""
    if any(hit.level is Level.ACCENT for hit in hits):
        moves = "only the accents leave the drum, each hand's for the toms on its own side"
    elif any(map(_graced, hits)):
        moves = "both hands move on together, a drum a beat"
    else:
        moves = "both hands move on with each beat, each to the toms on its own side"
    return (
        f"Play the rudiment by itself ({' '.join(map(str, starts))}{swaps}), then give each note of the line its next "
        f"stroke. Round the kit {moves}."
    )


def _lost_to_the_rudiment(lost: int) -> tuple[str, ...]:
    if not lost:
        return ()
    return (f"{lost} of the line's notes with grace notes {'have' if lost > 1 else 'has'} the rudiment's own instead",)


def _doubted(named: Rudiment) -> tuple[str, ...]:
    return (f"sheets of the rudiments differ here: {named.doubt}",) if named.doubt else ()


APPLICATION = Application(
    "rudiment",
    "hands",
    "a rudiment laid on the line, then moved round the kit",
    rudiment,
    uses=("rudiment", "limb", "surface", "carry", "under"),
)
