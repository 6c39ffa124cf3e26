"""A page as a Standard MIDI File: the loop, and the file to play along with.

The loop (``.mid``): format 1; a conductor track with tempo, meter, markers and counts as text; a track for each
limb that plays, all on channel 10; exactly whole bars. The play-along (``.play.mid``): a count-in, the page as
often as asked, a track named ``click``, laid out as ``along.py`` says. What a reader could not tell from the notes
(ornaments, lengths, the recipe) stands in text events.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, groupby
from operator import attrgetter

from kitgen.errors import OptionError
from kitgen.kit import Limb
from kitgen.page import Page, Tempo
from kitgen.pattern import Pattern
from kitgen.pattern.boxes import quarter_of
from kitgen.pattern.same import Same
from kitgen.time import Beat, Meter, syllable, unit_name
from kitgen.write import smf
from kitgen.write.along import Click, PlayAlong
from kitgen.write.human import USUAL, Human
from kitgen.write.sounding import Note, Sounding, sounding, ticks_a_quarter

__all__ = ["TRACKS", "PlayAlong", "check_tracks", "loop", "play_along", "rounding_ms"]

TRACKS = ("limb", "one")
_META, _OFF, _ON = 0, 1, 2
_PHRASE_BARS = 4
_RITARD_SHARE, _SLOWEST = 1 / 3, 4.0
_STICKS, _CLICK, _CLICK_ONE = 37, 77, 76


def loop(
    page: Page,
    *,
    tracks: str = "limb",
    seed: int = 0,
    keys: Mapping[str, int] | None = None,
    human: Human = USUAL,
    muted: Sequence[Limb] = (),
    program: int = 0,
) -> bytes:
    """The page as the bytes of a MIDI file that loops.

    Args:
        page: the page.
        tracks: ``limb`` for a track a limb, ``one`` for all limbs in one.
        seed: of the small variation of velocities.
        keys: MIDI keys by surface label, where not General MIDI's.
        human: how far strokes and velocities leave the grid and their levels.
        muted: limbs that are left out, for the student to play.
        program: the drum set, as ``smf.drum_set`` has it; said in every limb's track where it is not the usual one.
    """
    sound = _sounding(page.pattern, page.tempo.quarters, seed, keys, human)
    conductor = [
        *_head(page, sound, keys),
        *_meters(page.pattern, sound.ticks, 0),
        *_counts(page, sound, 0),
        *_markers(page, sound, 0),
    ]
    conductor += ((0, -1, smf.text(smf.TEXT, f"without {limb.words}")) for limb in muted)
    conductor.append((0, _META, smf.tempo(page.tempo.quarters)))
    conductor += _changes(page, page.tempo.start, sound.ticks, 0)
    chunks = [smf.track(conductor, sound.end)]
    for name, limbs in _parts(page.pattern, tracks, muted):
        events = _part(name, limbs, sound.notes, sound.texts, tracks)
        chunks.append(smf.track([*_drum_set(program), *events], sound.end))
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
    human: Human = USUAL,
    program: int = 0,
) -> bytes:
    """The page with count-in, click and repeats, as the bytes of a MIDI file.

    The count-in and the click have tracks of their own; a limb that is left out has none.

    Raises:
        OptionError: a click that does not suit the page, or no such row to begin with.
        UnknownNameError: no row of that label.
    """
    how = how or PlayAlong()
    how.click.check(page)
    page, skipped = _from_row(page, how.first_row(page))
    turns = how.turns(page)
    sounds = _sounds(page, how, turns, seed, keys, human)
    sound, unit, first = sounds[turns[0]], page.tempo.unit, page.bars[0].meter
    quarters = float(turns[0] * unit)
    lead = round(first.span * sound.ticks) * how.lead_bars(first, quarters)
    conductor = [
        *_head(page, max(sounds.values(), key=lambda each: each.worst_s), keys),
        *((0, -1, smf.text(smf.TEXT, f"without {limb.words}")) for limb in how.muted),
        *_signature(first, 0),
        (0, _META, smf.tempo(quarters)),
    ]
    if lead:
        conductor.append((0, _META, smf.text(smf.MARKER, "count-in")))
    notes = _moved(sound.pickup, lead - sound.end) if lead else []
    texts: list[tuple[int, int, str]] = []
    clicks: list[smf.Event] = []
    said: dict[float, list[smf.Event]] = {}
    tapped: dict[tuple[int, tuple[bool, ...]], list[smf.Event]] = {}
    start, bars = lead, len(page.bars)
    for number, tempo in enumerate(turns, start=1):
        sound = sounds[tempo]
        following = sounds[turns[number]].pickup if number < len(turns) else ()
        notes += _moved([note for note in sound.notes if note not in sound.pickup], start)
        notes += _moved(following, start)
        texts += [(tick + start, limb, words) for tick, limb, words in sound.texts]
        if tempo not in said:
            said[tempo] = [
                *_meters(page.pattern, sound.ticks, 0),
                *_counts(page, sound, 0),
                *_markers(page, sound, 0, skipped),
            ]
        conductor += _later(said[tempo], start)
        clicked = (sound.ticks, tuple(how.click.sounds_in(bars * (number - 1) + bar) for bar in range(bars)))
        if clicked not in tapped:
            tapped[clicked] = list(_clicks(page.pattern, how.click, *clicked))
        clicks += _later(tapped[clicked], start)
        if number > 1 and (tempo != turns[number - 2] or page.tempo_changes):
            conductor.append((start, _META, smf.tempo(float(tempo * unit))))
        conductor += _changes(page, tempo, sound.ticks, start)
        start += sound.end
    conductor += _ritard(page.pattern, how.ritard, sound.ticks, start - sound.end, float(turns[-1] * unit))
    chunks = [smf.track(conductor, start)]
    for name, limbs in _parts(page.pattern, tracks, how.muted):
        events = _part(name, limbs, notes, texts, tracks)
        chunks.append(smf.track([*_drum_set(program), *events], start))
    sticks = list(_sticks(how.counted(first, quarters), sound.ticks))
    for name, events in (("count-in", sticks), ("click", clicks)):
        if events or not _left_out(how, name):
            chunks.append(smf.track([(0, -1, smf.text(smf.NAME, name)), *events], start))
    return smf.file(chunks, sound.ticks)


def _drum_set(program: int) -> list[smf.Event]:
    """What chooses a drum set that is not the usual one, right after a track's name."""
    return [(0, _META, smf.drum_set(program))] if program else []


def _ritard(pattern: Pattern, bars: int, ticks: int, start: int, quarters: float) -> Iterator[smf.Event]:
    """Tempi that fall beat by beat over the last bars of the last time through."""
    first = len(pattern.meters.bars) - bars
    beats = [beat for beat in pattern.meters.beats if beat.bar > first] if bars else []
    for number, beat in enumerate(beats, start=1):
        slower = quarters * (1 - _RITARD_SHARE * number / len(beats))
        yield start + round(beat.start * ticks), _META, smf.tempo(max(slower, _SLOWEST))


def _from_row(page: Page, index: int) -> tuple[Page, int]:
    """The page from a row on, and how many of its bars that leaves out."""
    if not index:
        return page, 0
    skipped = page.row_bars()[index][1] - 1
    before = [change for change in page.tempo_changes if change.bar <= skipped + 1]
    tempo = Tempo.at(before[-1].bpm, page.tempo.unit) if before else page.tempo
    later = tuple(change._replace(bar=change.bar - skipped) for change in page.tempo_changes[len(before) :])
    return replace(page, rows=page.rows[index:], tempo=tempo, tempo_changes=later), skipped


def _changes(page: Page, bpm: float, ticks: int, start: int) -> Iterator[smf.Event]:
    """Tempi from later bars on; where the page is played at another tempo than its start, they are that much faster."""
    for bar, to in page.tempo_changes:
        quarters = float(to * page.tempo.unit) * bpm / page.tempo.start
        yield start + round(page.bars[bar - 1].start * ticks), _META, smf.tempo(quarters)


def _left_out(how: PlayAlong, name: str) -> bool:
    return how.count_in == "none" if name == "count-in" else how.click.kind == "none"


def _sounding(pattern: Pattern, quarters: float, seed: int, keys: Mapping[str, int] | None, human: Human) -> Sounding:
    return _sounded(Same(pattern), quarters, seed, None if keys is None else tuple(keys.items()), human)


@lru_cache(maxsize=2)  # a page is played as a loop, then to play along with
def _sounded(
    same: Same, quarters: float, seed: int, keys: tuple[tuple[str, int], ...] | None, human: Human
) -> Sounding:
    own = None if keys is None else dict(keys)
    return sounding(same.pattern, tempo_quarters=quarters, seed=seed, keys=own, human=human)


def _sounds(
    page: Page, how: PlayAlong, turns: Sequence[float], seed: int, keys: Mapping[str, int] | None, human: Human
) -> dict[float, Sounding]:
    """What the page sounds like at each tempo, all in the same ticks."""

    def at(tempo: float, ticks: int | None) -> Sounding:
        quarters = float(tempo * page.tempo.unit)
        pattern = page.pattern if how.feel is None else page.pattern.with_feel(how.feel.resolved(quarters))
        if ticks is None:
            return _sounding(pattern, quarters, seed, keys, human)
        return sounding(pattern, tempo_quarters=quarters, seed=seed, keys=keys, ticks=ticks, human=human)

    sounds = {tempo: at(tempo, None) for tempo in dict.fromkeys(turns)}
    ticks, _ = ticks_a_quarter(sound.ticks for sound in sounds.values())
    alike = how.feel is None or len(sounds) == 1  # else the file's one feel does not tell where strokes are written
    return {tempo: sound if alike and sound.ticks == ticks else at(tempo, ticks) for tempo, sound in sounds.items()}


def _moved(notes: Iterable[Note], by: int) -> list[Note]:
    """Notes later by so many ticks."""
    return [(tick + by, limb, key, velocity, off + by) for tick, limb, key, velocity, off in notes]


def _head(page: Page, sound: Sounding, keys: Mapping[str, int] | None) -> Iterator[smf.Event]:
    yield 0, -2, smf.text(smf.NAME, page.title)
    yield 0, -1, smf.text(smf.TEXT, page.recipe or "kitgen")
    feel = page.feel.resolved(page.tempo.quarters)
    words = f"tempo {page.tempo.start} {unit_name(page.tempo.unit)}; feel {feel}"
    if sound.worst_s:
        words += f"; rounded, worst {sound.worst_s * 1000:.3f} ms"
    yield 0, -1, smf.text(smf.TEXT, words)
    if keys:
        yield 0, -1, smf.text(smf.TEXT, "keys " + ", ".join(f"{label} {key}" for label, key in sorted(keys.items())))


def _meters(pattern: Pattern, ticks: int, start: int) -> Iterator[smf.Event]:
    """Time signatures where the meter, or the length of its bars, changes."""
    before: Meter | None = None
    for bar in pattern.meters.bars:
        if bar.meter != before:
            before = bar.meter
            yield from _signature(bar.meter, start + round(bar.start * ticks))


def _signature(meter: Meter, tick: int) -> Iterator[smf.Event]:
    """A time signature, and the meter as text where it is grouped in a way the signature cannot say."""
    clocks = min(255, max(1, int(meter.tempo_unit * 24)))
    yield tick, _META, smf.meter(meter.numerator, meter.denominator, clocks_a_click=clocks)
    if "+" in str(meter):
        yield tick, _META, smf.text(smf.TEXT, f"meter {meter}")


def _markers(page: Page, sound: Sounding, start: int, skipped: int = 0) -> Iterator[smf.Event]:
    """The label of each row where it starts, and the bar number, after those skipped, every four bars in long rows."""
    bars = page.bars
    for row, first, count in page.row_bars():
        yield start + round(bars[first - 1].start * sound.ticks), _META, smf.text(smf.MARKER, row.label)
        for index in range(_PHRASE_BARS, count, _PHRASE_BARS):
            bar = bars[first - 1 + index]
            yield start + round(bar.start * sound.ticks), _META, smf.text(smf.MARKER, f"bar {bar.number + skipped}")


def _counts(page: Page, sound: Sounding, start: int) -> Iterator[smf.Event]:
    """What is said at every beat, and at every place where something is struck between beats."""
    said: dict[tuple[Meter, int, int], bytes] = {}
    places = iter(sound.places)
    written, played = next(places, (sound.end, sound.end))
    bars = page.bars
    for beat in page.pattern.meters.beats:
        first = _tick(beat.start, sound.ticks)
        last = first + _tick(beat.length, sound.ticks)
        said_at = [(first, first)]
        while written < last:
            if written > first:
                said_at.append((written, played))
            written, played = next(places, (sound.end, sound.end))
        for at, sounding_at in said_at:
            key = (beat.meter, beat.number, at - first)
            if key not in said:
                counted_from = bars[beat.bar - 1].start if page.count_quarters else None
                said[key] = _text(_said(beat, Fraction(at - first, sound.ticks), counted_from))
            yield start + sounding_at, _META, said[key]
    for tick in sound.threes:
        yield start + tick, _META, smf.text(smf.TEXT, "threes")


@lru_cache(maxsize=256)
def _text(words: str) -> bytes:
    return smf.text(smf.TEXT, words)


def _said(beat: Beat, after: Fraction, counted_from: Fraction | None) -> str:
    """What is said so many quarters into a beat; the quarters of the bar are counted where its start is given."""
    if counted_from is None:
        return syllable(beat, after / beat.full)
    counted = quarter_of(beat, beat.start + after, counted_from)
    return syllable(counted, beat.start + after - counted.start)


def _tick(place: Fraction, ticks: int) -> int:
    """A beat's or barline's tick, exact wherever the ticks are."""
    return place.numerator * ticks // place.denominator


def check_tracks(tracks: str) -> str:
    """The word back, if it says how limbs share tracks.

    Raises:
        OptionError: it is not one of ``TRACKS``.
    """
    if tracks not in TRACKS:
        raise OptionError(f"--tracks {tracks!r}; it is one of {', '.join(TRACKS)}")
    return tracks


def _parts(pattern: Pattern, tracks: str, muted: Sequence[Limb] = ()) -> list[tuple[str, tuple[Limb, ...]]]:
    check_tracks(tracks)
    limbs = tuple(limb for limb in _with_grace_hands(pattern) if limb not in muted)
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
    """The events of one track.

    In a track of all limbs each stroke's limb is said in a text, and of two strokes on one key at one tick the louder
    sounds, while a text says how loud the other was.
    """
    on_bytes, off_bytes = smf.NOTE_ON, smf.NOTE_OFF
    events: list[smf.Event] = [(0, -1, smf.text(smf.NAME, name))]
    shared = tracks == "one"
    chosen = set(map(int, limbs))
    if shared:
        notes, covered = _one_a_key(notes)
        for tick, limb, key, velocity, _ in covered:
            events.append((tick, _META, _text(f"{Limb(limb).name} {key} under {velocity}")))
    for tick, limb, key, velocity, off in notes:
        if limb in chosen:
            events.append((tick, _ON, bytes((on_bytes, key, velocity))))
            events.append((off, _OFF, bytes((off_bytes, key, 64))))
            if shared:
                events.append((tick, _META, _text(f"{Limb(limb).name} {key}")))
    for tick, limb, words in texts:
        if limb in chosen:
            events.append((tick, _META, smf.text(smf.TEXT, f"{Limb(limb).name} {words}" if shared else words)))
    return events


def _one_a_key(notes: Sequence[Note]) -> tuple[list[Note], list[Note]]:
    """The loudest note of each key at each tick, and the others."""
    loudest: dict[tuple[int, int], Note] = {}
    covered = []
    for note in notes:
        before = loudest.setdefault((note[0], note[2]), note)
        if before is not note:
            louder, softer = (note, before) if note[3] > before[3] else (before, note)
            loudest[note[0], note[2]] = louder
            covered.append(softer)
    return list(loudest.values()), covered


def _sticks(lengths: Sequence[Fraction], ticks: int) -> Iterator[smf.Event]:
    """The count-in: a stroke for each length, the first the loudest."""
    for place, length in zip(accumulate(lengths, initial=Fraction(0)), lengths, strict=False):
        yield from _tap(place, length, 0, (_STICKS, 96 if place else 110), ticks)


def _later(events: Iterable[smf.Event], ticks: int) -> Iterator[smf.Event]:
    """The same events so many ticks later."""
    return ((tick + ticks, order, data) for tick, order, data in events)


def _clicks(pattern: Pattern, click: Click, ticks: int, sounds: Sequence[bool]) -> Iterator[smf.Event]:
    """The click of one time through, in the bars in which it sounds."""
    beats = groupby(pattern.meters.beats, key=attrgetter("bar"))
    for bar, (_, own), is_heard in zip(pattern.meters.bars, beats, sounds, strict=True):
        if is_heard:
            for place, room, one in click.places(bar, tuple(own)):
                yield from _tap(place, room, 0, (_CLICK_ONE, 100) if one else (_CLICK, 80), ticks)


def _tap(place: Fraction, room: Fraction, start: int, sound: tuple[int, int], ticks: int) -> Iterator[smf.Event]:
    """A short note (key, velocity) at a place, over before the next one can begin."""
    key, velocity = sound
    whole, left = divmod(place.numerator * ticks, place.denominator)
    tick = start + (round(place * ticks) if left else whole)
    yield tick, _ON, bytes((smf.NOTE_ON, key, velocity))
    yield (
        tick + max(1, min(ticks // 8, room.numerator * ticks // (2 * room.denominator))),
        _OFF,
        bytes((smf.NOTE_OFF, key, 64)),
    )
