"""A page as a Standard MIDI File: the loop, and the file to play along with.

The loop (``.mid``): format 1; a conductor track with tempo, meter, markers and counts as text; a track for each
limb that plays, all on channel 10; exactly whole bars. The play-along (``.play.mid``): a count-in, the page as
often as asked, a track named ``click``. What a reader could not tell from the notes (ornaments, lengths, the
recipe) stands in text events.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from kitgen.errors import OptionError
from kitgen.kit import Limb
from kitgen.page import Page
from kitgen.pattern import Pattern
from kitgen.pattern.boxes import quarter_of
from kitgen.time import Beat, Meter, bpm_value, syllable, unit_name
from kitgen.write import smf
from kitgen.write.sounding import Note, Sounding, sounding

TRACKS = ("limb", "one")
_META, _OFF, _ON = 0, 1, 2
_PHRASE_BARS = 4
_STICKS, _CLICK, _CLICK_ONE = 37, 77, 76
_FAST_QUARTERS = 180


@dataclass(frozen=True, slots=True)
class PlayAlong:
    """How a play-along is laid out.

    Args:
        repeats: how often the page is played.
        tempi: counts a minute for each time through, in turn, the last kept; empty for the page's start throughout.
    """

    repeats: int = 4
    tempi: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if not 1 <= self.repeats <= 64:
            raise OptionError(f"--repeats {self.repeats}; a page is played through 1 to 64 times")
        for tempo in self.tempi:
            bpm_value(tempo)


def loop(page: Page, *, tracks: str = "limb", seed: int = 0, keys: Mapping[str, int] | None = None) -> bytes:
    """The page as the bytes of a MIDI file that loops.

    Args:
        page: the page.
        tracks: ``limb`` for a track a limb, ``one`` for all limbs in one.
        seed: of the small variation of velocities.
        keys: MIDI keys by surface label, where not General MIDI's.
    """
    sound = sounding(page.pattern, tempo_quarters=page.tempo.quarters, seed=seed, keys=keys)
    notes = (
        [
            (tick if tick >= 0 else tick + sound.end, limb, key, velocity, off if tick >= 0 else sound.end - 1)
            for tick, limb, key, velocity, off in sound.notes
        ]
        if any(note[0] < 0 for note in sound.notes)
        else sound.notes
    )
    conductor = [
        *_head(page, sound),
        *_meters(page.pattern, sound.ticks, 0),
        *_counts(page, sound, 0),
        *_markers(page, sound, 0),
    ]
    conductor.append((0, _META, smf.tempo(page.tempo.quarters)))
    chunks = [smf.track(conductor, sound.end)]
    for name, limbs in _parts(page.pattern, tracks):
        chunks.append(smf.track(_part(name, limbs, notes, sound.texts, tracks), sound.end))
    return smf.file(chunks, sound.ticks)


def rounding_ms(page: Page) -> float:
    """The largest error of the loop's ticks, in milliseconds; 0 where they are exact, as nearly always."""
    return 1000 * sounding(page.pattern, tempo_quarters=page.tempo.quarters).worst_s


def play_along(
    page: Page,
    how: PlayAlong | None = None,
    *,
    tracks: str = "limb",
    seed: int = 0,
    keys: Mapping[str, int] | None = None,
) -> bytes:
    """The page with count-in, click and repeats, as the bytes of a MIDI file."""
    how = how or PlayAlong()
    sound = sounding(page.pattern, tempo_quarters=page.tempo.quarters, seed=seed, keys=keys)
    first = page.pattern.meters.bars[0].meter
    clicks = list(_count_in(first, page.tempo.quarters, sound.ticks))
    lead = round(first.span * sound.ticks) * (2 if _in_halves(first, page.tempo.quarters) else 1)
    conductor = [
        *_head(page, sound),
        *_meters_before(first, lead),
        (0, _META, smf.text(smf.MARKER, "count-in")),
    ]
    conductor.append((0, _META, smf.tempo(float((how.tempi or (page.tempo.start,))[0] * page.tempo.unit))))
    notes: list[Note] = []
    texts: list[tuple[int, int, str]] = []
    for turn in range(how.repeats):
        start = lead + turn * sound.end
        notes += [(tick + start, limb, key, velocity, off + start) for tick, limb, key, velocity, off in sound.notes]
        texts += [(tick + start, limb, words) for tick, limb, words in sound.texts]
        conductor += [
            *_meters(page.pattern, sound.ticks, start),
            *_counts(page, sound, start),
            *_markers(page, sound, start),
        ]
        clicks += _click(page.pattern, sound.ticks, start)
        if how.tempi and turn:
            tempo = how.tempi[min(turn, len(how.tempi) - 1)]
            conductor.append((start, _META, smf.tempo(float(tempo * page.tempo.unit))))
    end = lead + how.repeats * sound.end
    chunks = [smf.track(conductor, end)]
    for name, limbs in _parts(page.pattern, tracks):
        chunks.append(smf.track(_part(name, limbs, notes, texts, tracks), end))
    chunks.append(smf.track([(0, _META, smf.text(smf.NAME, "click")), *clicks], end))
    return smf.file(chunks, sound.ticks)


def _head(page: Page, sound: Sounding) -> Iterator[smf.Event]:
    yield 0, -2, smf.text(smf.NAME, page.title)
    yield 0, -1, smf.text(smf.TEXT, page.recipe or "kitgen")
    feel = page.feel.resolved(page.tempo.quarters)
    start = page.tempo.start
    words = f"tempo {start:g} {unit_name(page.tempo.unit)}; feel {feel}"
    if sound.worst_s:
        words += f"; rounded, worst {sound.worst_s * 1000:.3f} ms"
    yield 0, -1, smf.text(smf.TEXT, words)


def _meters(pattern: Pattern, ticks: int, start: int) -> Iterator[smf.Event]:
    """Time signatures where the meter, or the length of its bars, changes."""
    before: Meter | None = None
    for bar in pattern.meters.bars:
        if bar.meter != before:
            before = bar.meter
            yield start + round(bar.start * ticks), _META, _signature(bar.meter)


def _meters_before(meter: Meter, lead: int) -> Iterator[smf.Event]:
    if lead:
        yield 0, _META, _signature(meter)


def _signature(meter: Meter) -> bytes:
    return smf.meter(meter.numerator, meter.denominator, clocks_a_click=min(255, max(1, int(meter.tempo_unit * 24))))


def _markers(page: Page, sound: Sounding, start: int) -> Iterator[smf.Event]:
    """The label of each row where it starts, and the bar number every four bars inside long rows."""
    bars = page.bars
    for row, first, count in page.row_bars():
        yield start + round(bars[first - 1].start * sound.ticks), _META, smf.text(smf.MARKER, row.label)
        for index in range(_PHRASE_BARS, count, _PHRASE_BARS):
            bar = bars[first - 1 + index]
            yield start + round(bar.start * sound.ticks), _META, smf.text(smf.MARKER, f"bar {bar.number}")


def _counts(page: Page, sound: Sounding, start: int) -> Iterator[smf.Event]:
    """What is said at every beat, and at every place where something is struck between beats."""
    said: dict[tuple[Meter, int, int], bytes] = {}
    places = iter(sound.places)
    written, played = next(places, (sound.end, sound.end))
    quarters = {bar.number: bar.start for bar in page.bars} if page.count_quarters else {}
    for beat in page.pattern.meters.beats:
        first, last = _tick(beat.start, sound.ticks), _tick(beat.end, sound.ticks)
        number = int(beat.start - quarters[beat.bar]) + 1 if quarters else beat.number
        yield start + first, _META, _number(number)
        while written < last:
            if written > first:
                key = (beat.meter, beat.number, written - first)
                if key not in said:
                    said[key] = smf.text(
                        smf.TEXT, _said(beat, Fraction(written - first, last - first), by_quarters=bool(quarters))
                    )
                yield start + played, _META, said[key]
            written, played = next(places, (sound.end, sound.end))
    for tick in sound.threes:
        yield start + tick, _META, smf.text(smf.TEXT, "threes")


@lru_cache(maxsize=64)
def _number(number: int) -> bytes:
    return smf.text(smf.TEXT, str(number))


def _said(beat: Beat, place: Fraction, *, by_quarters: bool) -> str:
    """What is said at a place of a beat, whether the beats or the quarters are counted."""
    if not by_quarters:
        return syllable(beat, place)
    at = beat.start + place * beat.length
    counted = quarter_of(beat, at, beat.start - beat.length * (beat.number - 1))
    return syllable(counted, at - counted.start)


def _tick(place: Fraction, ticks: int) -> int:
    """A beat's or barline's tick, exact wherever the ticks are."""
    return place.numerator * ticks // place.denominator


def _parts(pattern: Pattern, tracks: str) -> list[tuple[str, tuple[Limb, ...]]]:
    if tracks not in TRACKS:
        raise OptionError(f"--tracks {tracks!r}; it is one of {', '.join(TRACKS)}")
    limbs = _with_grace_hands(pattern)
    if tracks == "one":
        return [("drum set", limbs)]
    return [(limb.words, (limb,)) for limb in limbs]


def _with_grace_hands(pattern: Pattern) -> tuple[Limb, ...]:
    """The limbs that play, with the hands that play only graces."""
    playing = set(pattern.limbs)
    playing |= {h.limb.mirrored for h in pattern.hits if h.ornament is not None and h.ornament.has_graces}
    return tuple(limb for limb in Limb if limb in playing)


def _part(
    name: str, limbs: Sequence[Limb], notes: Sequence[Note], texts: Sequence[tuple[int, int, str]], tracks: str
) -> list[smf.Event]:
    """The events of one track. In a track of all limbs each stroke's limb is said in a text."""
    on_bytes, off_bytes = smf.NOTE_ON, smf.NOTE_OFF
    events: list[smf.Event] = [(0, -1, smf.text(smf.NAME, name))]
    shared = tracks == "one"
    chosen = set(map(int, limbs))
    for tick, limb, key, velocity, off in notes:
        if limb in chosen:
            events.append((tick, _ON, bytes((on_bytes, key, velocity))))
            events.append((off, _OFF, bytes((off_bytes, key, 64))))
            if shared:
                events.append((tick, _META, smf.text(smf.TEXT, f"{Limb(limb).name} {key}")))
    for tick, limb, words in texts:
        if limb in chosen:
            events.append((tick, _META, smf.text(smf.TEXT, f"{Limb(limb).name} {words}" if shared else words)))
    return events


def _in_halves(meter: Meter, tempo_quarters: float) -> bool:
    """True where the count-in is a bar of half notes, then one of quarters: cut time, or fast four."""
    return meter.denominator == 2 or (
        meter.denominator == 4 and meter.numerator % 2 == 0 and tempo_quarters >= _FAST_QUARTERS
    )


def _count_in(meter: Meter, tempo_quarters: float, ticks: int) -> Iterator[smf.Event]:
    """Sticks: a bar of beats; in cut time or fast, a bar of halves and a bar of quarters."""
    places: list[Fraction] = []
    if _in_halves(meter, tempo_quarters):
        places += [Fraction(2 * index) for index in range(int(meter.span / 2))]
        places += [meter.span + index for index in range(int(meter.span))]
    else:
        at = Fraction(0)
        for beat in meter.beats:
            places.append(at)
            at += beat
    for index, place in enumerate(places):
        yield from _tap(round(place * ticks), _STICKS, 110 if not index else 96, ticks)


def _click(pattern: Pattern, ticks: int, start: int) -> Iterator[smf.Event]:
    for beat in pattern.meters.beats:
        first = beat.number == 1
        yield from _tap(start + round(beat.start * ticks), _CLICK_ONE if first else _CLICK, 100 if first else 80, ticks)


def _tap(tick: int, key: int, velocity: int, ticks: int) -> Iterator[smf.Event]:
    yield tick, _ON, bytes((smf.NOTE_ON, key, velocity))
    yield tick + ticks // 8, _OFF, bytes((smf.NOTE_OFF, key, 64))
