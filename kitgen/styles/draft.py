"""A style drafted from what somebody played: its most typical bars as groove and variations, its fills, work to do.

A draft is a whole style that the reader takes and the rules are asked about; what they find missing is work for the
writer, in their words. What was played is kept: nothing is made simpler or fuller, nothing is moved, and a stroke that
most alike bars do not have is left out.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from statistics import fmean
from typing import NamedTuple

from kitgen.errors import OptionError, PatternError
from kitgen.pattern import EVEN, Feel, Hit, Pattern
from kitgen.pattern.boxes import fewest_boxes
from kitgen.pattern.transcription import Transcription
from kitgen.styles.draft_bars import (
    Played,
    bars_of,
    fill_beats,
    in_twos,
    keeps_time,
    steps_likeness,
    time_kinds,
    without_landings,
)
from kitgen.styles.draft_families import common, compared, families, sampled
from kitgen.styles.parts import UNITS, Role, StylePattern, TempoRange
from kitgen.styles.rules import LEAST_VARIATIONS, style_findings
from kitgen.styles.value import Style
from kitgen.time import BPM_RANGE, Meter, Meters, unit_names

_MOST_TIMES = 5
_ALIKE = (0.7, 0.8, 0.9)
_FILLS_OF_A_LENGTH = 2
_CLEARLY_IN_TWOS = 0.06
_FINE = 6
_COMMON_FILL = 0.3
_MOST_FINDINGS = 16


class Draft(NamedTuple):
    """A style as far as it can be heard.

    Args:
        style: the style.
        work: what its writer has to know and to do, a line each.
    """

    style: Style
    work: tuple[str, ...]


class _Fill(NamedTuple):
    bar: Played
    beats: int
    crash: bool


def draft_of_take(found: Transcription, name: str, *, source: str) -> Draft:
    """A style drafted from a recorded performance.

    Args:
        found: the performance, transcribed.
        name: what the style is to be called, one lower-case-hyphenated word.
        source: where it comes from, such as the name of the file.

    Raises:
        PatternError: no bar keeps time.
    """
    hits, left = _with_limbs(found)
    draft = drafted(hits, found.meters, name, feel=found.feel, tempo=found.tempo_bpm, source=source)
    late = round(found.lean_ms)
    lies = f"{abs(late)} ms {'behind' if late > 0 else 'ahead of'} the beat" if late else "on the beat"
    work = [
        f"lean: the whole lies {lies}",
        "hands are told from pads, so look at who plays what",
    ]
    if left:
        work.append(f"left out: {left} strokes on unknown pads or beyond what four limbs can strike")
    if found.feel.unit:
        usual = f"the published median at {found.tempo_bpm:.0f} is {found.usual_feel.ratio_text}"
        work.append(f'swing: {found.feel.ratio_text} as played; {usual}, and swing = "auto" goes by such medians')
    return Draft(draft.style, (*draft.work[:1], *work, *draft.work[1:]))


def _with_limbs(found: Transcription) -> tuple[list[Hit], int]:
    """The strokes that a limb plays on a known surface, without flams for busy hands; and how many others there are."""
    hits, left = [], 0
    for place, members in groupby(found.placed, key=lambda one: one.place):
        here = list(members)
        limbs = {one.limb for one in here}
        for one in here:
            if one.limb is None or one.gesture.main.surface is None:
                left += 1
                continue
            main = one.gesture.main
            graces = one.gesture.ornament
            busy = graces is not None and graces.has_graces and one.limb.mirrored in limbs
            hits.append(Hit(place, one.limb, main.label, main.level, None if busy else graces))
    return hits, left


def drafted(hits: Iterable[Hit], meters: Meters, name: str, *, feel: Feel = EVEN, tempo: float, source: str) -> Draft:
    """A style drafted from strokes.

    Args:
        hits: what is struck, on the even page.
        meters: its bars; those of the most common meter are looked at.
        name: what the style is to be called.
        feel: the swing it is played with.
        tempo: quarters a minute.
        source: where it comes from.

    Raises:
        PatternError: no bar keeps time.
    """
    source = "".join(char if char.isprintable() else "?" for char in source).strip() or "a recording"
    meter = Counter(bar.meter for bar in meters.bars or Meters.of(Meter(4, 4))).most_common(1)[0][0]
    bars = bars_of(hits, meters, meter)
    fills = _fills(bars, meter)
    filled = {fill.bar.number for fill in fills}
    unfilled, time = [bar for bar in bars if bar.number not in filled], time_kinds(bars)
    steady = [bar for bar in unfilled if keeps_time(bar, meter, time)]
    keeping = without_landings(steady if 2 * len(steady) >= len(unfilled) else unfilled)
    if not keeping:
        raise PatternError(f"{source}: no bar of {meter} keeps time, so there is no groove to draft a style from")
    lasts = 1
    if steps_likeness(keeping, 2) > steps_likeness(keeping, 1) + _CLEARLY_IN_TWOS and in_twos(keeping, meter.span):
        keeping, lasts = in_twos(keeping, meter.span), 2
    bpm = _tempo(tempo, meter)
    patterns = [
        *_times(keeping, Meters.of(meter, lasts), feel, bpm, source),
        *_fill_patterns(fills, meter, feel, bpm, source),
    ]
    style = Style(
        name,
        name.replace("-", " ").capitalize(),
        f"drafted from {source}; say in a line what it is",
        meter,
        bpm,
        tuple(patterns),
        (source,),
        feel=feel,
        leads=_leads(patterns[0].pattern),
    )
    heard = f"{len(bars)} bars of {meter} at {round(tempo, 2):g} quarters a minute, {len(fills)} of them with a fill"
    return Draft(style, (f"A draft from {source}: {heard}.", *_work(style)))


def _tempo(quarters: float, meter: Meter) -> TempoRange:
    """A tenth to either side of the tempo, counted in the meter's own unit."""
    unit = meter.tempo_unit if meter.tempo_unit in UNITS.values() else Fraction(1)
    low, high = BPM_RANGE
    own = quarters / float(unit)
    slowest, fastest = (min(max(round(own * share), low), high) for share in (0.9, 1.1))
    return TempoRange(slowest, fastest, unit)


# ---- patterns --------------------------------------------------------------------------------------------------------


def _times(
    bars: Sequence[Played], meters: Meters, feel: Feel, tempo: TempoRange, source: str
) -> tuple[StylePattern, ...]:
    """The groove and its variations: what each family of alike bars has in common.

    Bars are held more and more strictly to be alike until there are as many variations as a style wants.
    """
    made: tuple[StylePattern, ...] = ()
    bars = sampled(bars)
    likenesses = compared(bars)
    for least_alike in _ALIKE:
        found = families(bars, likenesses, most=_MOST_TIMES, least_alike=least_alike)
        made = tuple(_in_common(found, len(bars), meters, feel, tempo, source))
        if len(made) > LEAST_VARIATIONS:
            break
    return made


def _in_common(
    found: Iterable[Sequence[Played]], of: int, meters: Meters, feel: Feel, tempo: TempoRange, source: str
) -> Iterator[StylePattern]:
    there: set[tuple[Hit, ...]] = set()
    for members in found:
        pattern = Pattern(common(members), meters, feel)
        if (there and len(members) < 2) or not pattern.hits or pattern.hits in there:
            continue
        role = Role.VARIATION if there else Role.GROOVE
        name = f"variation-{len(there)}" if there else "groove"
        there.add(pattern.hits)
        times = "once" if len(members) == 1 else f"{len(members)} times"
        words = f"heard {times} in {of}, most typically in bar {members[0].number}"
        yield StylePattern(name, role, pattern, words, source, tempo)


def _fills(bars: Sequence[Played], meter: Meter) -> list[_Fill]:
    """The fills found; what ends every few bars so, without toms and without a crash after it, is time and no fill."""
    by_number, time = {bar.number: bar for bar in bars}, time_kinds(bars)
    found = []
    for bar in bars:
        beats = fill_beats(bar, meter, time)
        following = by_number.get(bar.number + 1)
        if beats:
            found.append(_Fill(bar, beats, following is not None and following.crashes))
    if len(found) > _COMMON_FILL * len(bars):
        return [fill for fill in found if fill.crash or fill.bar.has_toms]
    return found


def _fill_patterns(
    fills: Sequence[_Fill], meter: Meter, feel: Feel, tempo: TempoRange, source: str
) -> Iterator[StylePattern]:
    """Of each length the plainest fills, those that land on a crash first."""
    ordered = sorted(fills, key=lambda fill: fill.beats)
    for beats, members in groupby(ordered, key=lambda fill: fill.beats):
        starts = sum(meter.beats[: len(meter.beats) - beats], Fraction(0))
        made: dict[tuple[Hit, ...], tuple[Pattern, _Fill]] = {}
        for fill in members:
            hits = tuple(hit for hit in fill.bar.hits if hit.onset >= starts)
            made.setdefault(hits, (Pattern(hits, Meters.of(meter), feel), fill))
        best = sorted(made.values(), key=lambda one: (not one[1].crash, max(fewest_boxes(one[0])) > _FINE))
        length = f"{beats}-beat{'s' if beats > 1 else ''}" if starts else "1-bar"
        for number, (pattern, fill) in enumerate(best[:_FILLS_OF_A_LENGTH], start=1):
            name = f"fill-{length}" + (f"-{number}" if number > 1 else "")
            words = f"as in bar {fill.bar.number}" + (", with a crash after it" if fill.crash else "")
            lands = "crash" if fill.crash else "time"
            yield StylePattern(name, Role.FILL, pattern, words, source, tempo, starts=starts, lands=lands)


def _leads(groove: Pattern) -> tuple[str, ...]:
    """The three loudest rows of the groove."""
    rows: dict[str, list[int]] = {}
    for hit in groove.hits:
        rows.setdefault(f"{hit.limb.name} {hit.surface}", []).append(hit.level)
    return tuple(sorted(rows, key=lambda head: -fmean(rows[head]))[:3])


# ---- what is left to do ----------------------------------------------------------------------------------------------


def _work(style: Style) -> Iterator[str]:
    tempo = f"{style.tempo.low:g} to {style.tempo.high:g} {unit_names(style.tempo.unit)}"
    yield f"tempo: {tempo} a minute is a tenth to either side of what was played; say where the style lives"
    yield "to say: title, words, notes, forms, who leads, and what each pattern is for"
    found = [str(finding) for finding in style_findings(style)]
    yield from (f"to mend: {words}" for words in found[:_MOST_FINDINGS])
    if len(found) > _MOST_FINDINGS:
        yield f"to mend: {len(found) - _MOST_FINDINGS} things more, which kitgen check names"


def draft_name(given: str) -> str:
    """A name for a draft, as it was given.

    Raises:
        OptionError: it is no lower-case-hyphenated word.
    """
    if not all(part.isascii() and part.isalnum() and part == part.lower() for part in given.split("-")):
        raise OptionError(f"a style cannot be called {given!r}; its name is one lower-case-hyphenated word: slow-funk")
    return given
