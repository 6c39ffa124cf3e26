"""Time, then the line round the drums at the end of the phrase."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from kitgen.apply.layers import level_of, ornament_of
from kitgen.apply.setting import FILLS, Application, Made, Setting
from kitgen.apply.timekeeping import in_threes, plain_time, time_surface
from kitgen.apply.voicing import with_crash, with_hands
from kitgen.errors import RefusedError
from kitgen.kit import HATS, Limb
from kitgen.line import Line, Note
from kitgen.pattern import Hit, Level, Pattern
from kitgen.pattern.sticking import Stroke
from kitgen.time import Beat, Meters, count_name

_EIGHTH = Fraction(1, 2)
_DRUMS = {
    1: ("snare",),
    2: ("snare", "floor-tom"),
    3: ("snare", "mid-tom", "floor-tom"),
    4: ("snare", "high-tom", "mid-tom", "floor-tom"),
}
_LAST = {
    "1-beat": "last beat",
    "2-beats": "last 2 beats",
    "1-bar": "last bar",
    "2-bars": "last 2 bars",
}


class _Phrase(NamedTuple):
    """The bars of one phrase: its meters, where the fill starts, where it lands, and the rhythm in between."""

    meters: Meters
    start: Fraction
    landing: Fraction
    notes: tuple[Note, ...]
    remarks: tuple[str, ...]


def fill(line: Line, setting: Setting) -> Made:
    """A phrase of time whose end is the line round the drums, landing on a crash with the bass under it.

    Said to a student: the time before a fill and the time after it are the exercise; count through the fill, let the
    feet go on, and know which hand ends it, because the other one has the crash. Options: ``phrase`` (bars),
    ``fill`` (how long: 1-beat, 2-beats, 1-bar, 2-bars), ``land`` one or and-of-4, ``surface`` for the time (on a
    cymbal the hat foot plays 2 and 4). The rhythm is the end of the line; where that is silent, its first beats that
    play. It goes down the drums, snare to floor tom, by the beat, a short one by half beats. Refused where no time
    would be left, where the line has nothing to play, and where a bar has no "&" to land on. Law: before the fill
    the page is plain time with a crash on 1, which is where the fill lands as the page comes round; in the fill the
    hands strike the line's own onsets.
    """
    label = time_surface(setting, "closed-hat", "ride")
    phrase = _phrase(line, setting)
    kit, on_one = setting.kit, setting.land == "one"
    crash = setting.need("crash")
    crash_hand = kit.limb_for(crash)
    lands = Hit(Fraction(0) if on_one else phrase.landing, crash_hand, crash, Level.ACCENT)
    time = plain_time(phrase.meters, setting, label, threes=in_threes(line))
    hits = [hit for hit in time if hit.onset < phrase.start or not hit.limb.is_hand]
    if not on_one:
        hits = [hit for hit in hits if hit.onset or hit.surface != label]
    if label in HATS:
        hits = [hit for hit in hits if hit.onset < phrase.start]
        pulse = (beat.start for beat in phrase.meters.beats if beat.start >= phrase.start)
        hits += (Hit(at, kit.bass_foot, "bass") for at in pulse)
    hits = with_crash(hits, lands, kit.bass_foot)
    played = _hands(phrase, setting, [*hits, replace(lands, onset=phrase.landing)], crash_hand)
    row = Pattern((*hits, *played), phrase.meters)
    bars = len(phrase.meters.bars)
    return Made(
        f"Fill in the {_LAST[setting.fill]} of {bars}" + (" bars" if "beat" in setting.fill else ""),
        f"Keep time, then {_what(played)} while {_feet_words(label)}. "
        + _ends(phrase, played, crash_hand if setting.player.plays(crash_hand) else crash_hand.mirrored),
        ((f"{bars} bars with a fill", row),),
        (*phrase.remarks, _first_time(label, on_one=on_one)),
    )


# ---- which rhythm, and where -----------------------------------------------------------------------------------------


def _phrase(line: Line, setting: Setting) -> _Phrase:
    """The phrase that ends where the line ends, and the fill's rhythm.

    Raises:
        RefusedError: no time left, nowhere to land, nothing to play.
    """
    found = phrased(line, setting.phrase)
    start = _start(found.meters, setting.fill)
    if start is None:
        raise RefusedError(
            f"a fill of {_words(setting.fill)} leaves no time before it in a phrase of {setting.phrase} bars of "
            f"{found.meters.bars[-1].meter}; use --phrase {2 * setting.phrase if setting.phrase <= 8 else 16} or a "
            "shorter --fill"
        )
    landing, remarks = _landing(line, found.meters, setting)
    notes = [note for note in found.notes if start <= note.onset < landing]
    if not notes:
        moved = _first_that_plays(line, found.meters, start, landing)
        if moved is None:
            raise RefusedError(_nothing_for(line, setting))
        notes, where = moved
        remarks += (f"the line is silent in its {_LAST[setting.fill]}, so the fill is what it plays from {where}",)
    elif found.span - start > line.span:
        remarks += (f"the line is shorter than the fill and is repeated to last {_words(setting.fill)}",)
    if left := sum(1 for note in found.notes if note.onset > landing):
        many, it = ("s", "they fall") if left > 1 else ("", "it falls")
        remarks += (f"{left} note{many} of the line left out: {it} after the crash, which rings",)
    return _Phrase(found.meters, start, landing, tuple(notes), remarks)


def phrased(line: Line, bars: int) -> Line:
    """The last so many bars of a line that has been going round, so that its end is the end of the phrase."""
    turned = line
    while len(turned.meters.bars) < bars:
        turned += line
    return turned.cut(turned.meters.bars[-bars].start, turned.span)


def _start(meters: Meters, name: str) -> Fraction | None:
    """Where a fill of that name starts; None where it would begin with the phrase or before it."""
    count, unit = int(name[0]), meters.beats if "beat" in name else meters.bars
    return unit[-count].start if count < len(unit) else None


def _landing(line: Line, meters: Meters, setting: Setting) -> tuple[Fraction, tuple[str, ...]]:
    """Where the crash falls: the next 1, which is the end of the phrase, or the "&" before it."""
    if setting.land == "one":
        return meters.span, ()
    last, meter = meters.beats[-1], meters.bars[-1].meter
    if last.full not in (1, 2, 4):
        raise RefusedError(
            f'a bar of {meter} has no "& of 4" for the fill to land on, since its last beat is not halved; '
            "use --land one, or a line in 4/4"
        )
    threes = last.full == 1 and (in_threes(line) or line.parts_a_beat[-1] % 6 == 3)
    at = last.start + last.full * Fraction(2, 3) if threes else meters.span - _EIGHTH
    if threes:
        return at, ("in threes the fill lands on the last third of the last beat",)
    if meter.unit != 1 or meter.numerator != 4:
        return at, (f"the fill lands an eighth before the barline, in {meter} {_count(meters, at)}",)
    return at, ()


def _first_that_plays(line: Line, meters: Meters, start: Fraction, landing: Fraction) -> tuple[list[Note], str] | None:
    """The first place of the line, in beats of the same lengths, whose rhythm a fill can take; and where that is."""
    wanted = [beat.full for beat in meters.beats if beat.start >= start]
    whole_bars = len(wanted) >= len(meters.bars[-1].meter.beats)
    going_round = line * (2 + int(meters.span / line.span))
    beats = going_round.meters.beats
    for first in range(len(line.meters.beats)):
        at = beats[first].start
        if [beat.full for beat in beats[first : first + len(wanted)]] != wanted:
            continue
        if whole_bars and beats[first].number > 1:
            continue
        notes = [note.moved(start - at) for note in going_round.notes if at <= note.onset < at + landing - start]
        if notes and (whole_bars or notes[0].onset < start + wanted[0]):
            return notes, count_name(line.meters, at)
    return None


def _nothing_for(line: Line, setting: Setting) -> str:
    """Why a line has no rhythm for a fill, and what would do."""
    said = f"the line plays nothing where a fill of {_words(setting.fill)} could take its rhythm from"
    for name in FILLS:
        for land in dict.fromkeys((setting.land, "one")):
            other = replace(setting, fill=name, land=land)
            if other != setting and _works(line, other):
                return f"{said}; use --fill {name}" + (f" --land {land}" if land != setting.land else "")
    return f"{said}; use --as solo or --as groove"


def _works(line: Line, setting: Setting) -> bool:
    found = phrased(line, setting.phrase)
    start = _start(found.meters, setting.fill)
    if start is None:
        return False
    landing, _ = _landing(line, found.meters, setting)
    tail = any(start <= note.onset < landing for note in found.notes)
    return tail or _first_that_plays(line, found.meters, start, landing) is not None


# ---- round the drums -------------------------------------------------------------------------------------------------


def _hands(phrase: _Phrase, setting: Setting, around: Sequence[Hit], crash_hand: Limb) -> list[Hit]:
    """The strokes of the fill: on which drum, and with the hands that cost least on the way to the crash.

    Where the crash is a beat or less after the last stroke, the other hand ends the fill.
    """
    struck = [
        Stroke(note.onset, setting.need(drum), level_of(note), ornament_of(note, Limb.RH))
        for note, drum in zip(phrase.notes, _drums(phrase), strict=True)
    ]
    written = {note.onset: note.sticking for note in phrase.notes}
    last = phrase.notes[-1].onset
    near = phrase.landing - last <= phrase.meters.beat_at(last).full
    if near and not written[last] and setting.player.plays(crash_hand.mirrored):
        written[last] = "L" if crash_hand == setting.kit.lead else "R"
    beyond = phrase.meters + phrase.meters.cut(Fraction(0), phrase.meters.bars[0].end)
    return with_hands(struck, beyond, setting, written=written, held=around)


def _drums(phrase: _Phrase) -> Iterator[str]:
    """A drum for each note: each group of the beat that plays is on its own, downhill from the snare."""
    edges = _edges(phrase)
    groups = [next(index for index, edge in enumerate(edges) if note.onset < edge) for note in phrase.notes]
    playing = {group: place for place, group in enumerate(dict.fromkeys(groups))}
    drums = _DRUMS[min(len(playing), len(_DRUMS))]
    yield from (drums[playing[group] * len(drums) // len(playing)] for group in groups)


def _edges(phrase: _Phrase) -> list[Fraction]:
    """Where each group of the fill ends: a beat, or part of one where the fill has one beat or two."""
    beats = [beat for beat in phrase.meters.beats if beat.start >= phrase.start]
    parts = [_parts(beat, phrase.notes) for beat in beats]
    shares = [_shares(count) for count in parts]
    if len(beats) > 2 or sum(map(len, shares)) > len(_DRUMS):
        return [beat.end for beat in beats]
    return [beat.start + beat.full * share for beat, own in zip(beats, shares, strict=True) for share in own]


def _parts(beat: Beat, notes: Sequence[Note]) -> int:
    inside = [(note.onset - beat.start) / beat.full for note in notes if beat.start <= note.onset < beat.end]
    units = int(beat.full / beat.meter.unit) if beat.meter.denominator >= 8 else 1
    return lcm(units, *(place.denominator for place in inside))


def _shares(parts: int) -> list[Fraction]:
    """A beat of so many parts in groups: thirds of threes, halves of even ones, else the larger part first."""
    if parts % 3 == 0 and parts % 2:
        return [Fraction(1, 3), Fraction(2, 3), Fraction(1)]
    return [Fraction((parts + 1) // 2, parts) if parts > 1 else Fraction(1, 2), Fraction(1)]


# ---- words -----------------------------------------------------------------------------------------------------------


def _words(name: str) -> str:
    return name.replace("-", " ")


def _what(played: Sequence[Hit]) -> str:
    """What the hands do in the fill: round the drums, or on one of them where there is but one."""
    drums = list(dict.fromkeys(hit.surface for hit in played))
    if len(played) == 1:
        return f"play the fill, one stroke on the {drums[0].replace('-', ' ')},"
    if len(drums) == 1:
        return f"play the line on the {drums[0].replace('-', ' ')}"
    return "take the line round the drums"


def _feet_words(label: str) -> str:
    return "the bass keeps the beat" if label in HATS else "both feet go on"


def _ends(phrase: _Phrase, played: Sequence[Hit], crash_hand: Limb) -> str:
    """Which hand ends the fill, and what it leads to."""
    where = "1" if phrase.landing == phrase.meters.span else _count(phrase.meters, phrase.landing)
    last = max(played, key=lambda hit: hit.onset).limb
    crash = f"the crash on {where}, bass under it"
    if last == crash_hand:
        return f"The fill ends with the {last.words}, which then has to reach {crash}."
    return f"The fill ends with the {last.words} and leads to {crash}, with the {crash_hand.words}."


def _count(meters: Meters, onset: Fraction) -> str:
    """A count alone, as it is said."""
    return count_name(meters, onset).partition("count ")[2]


def _first_time(label: str, *, on_one: bool) -> str:
    if on_one:
        return "the crash on 1 is where the fill lands as the page comes round; the first time it only starts the page"
    return f"no second crash on 1, and no {label.replace('-', ' ')}: the crash rings over it, and the time goes on"


APPLICATION = Application(
    "fill",
    "phrase",
    "time, then the line round the drums, landing on a crash",
    fill,
    uses=("fill", "phrase", "land", "surface"),
)
