"""What holds for every loop and every play-along, read with mido alone."""

from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitgen.kit import SURFACES, Limb
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Hit, Level, Ornament, Pattern, parse_rows, performed
from kitgen.write.midi import PlayAlong, loop, play_along, rounding_ms
from tests.strategies import feels, maps, patterns, swinging_patterns, whole_maps
from tests.write.heard import HATS, Heard, end_of, load, notes_in, notes_of, saved_by_mido, texts_in, timed

F = Fraction
FEWER = settings(max_examples=max(25, settings().max_examples // 2))
TRACKS = st.sampled_from(("limb", "one"))
SEEDS = st.integers(0, 2**32)
TEMPI = st.one_of(st.integers(20, 400), st.floats(20, 400))
BINS = {Level.FEATHER: (1, 33), Level.GHOST: (34, 48), Level.TAP: (49, 73), Level.NORMAL: (74, 101)}
BINS[Level.ACCENT] = (102, 127)
OPEN, CLOSED = SURFACES["open-hat"].key, {SURFACES["closed-hat"].key, SURFACES["hat-foot"].key}


@st.composite
def pages(draw: st.DrawFn) -> Page:
    """Pages of whole bars at any tempo: any subdivisions, ornaments and lengths, or any swing."""
    even = patterns(over=whole_maps(max_runs=2, max_bars=2), lengths=True)
    swung = swinging_patterns(threes=True, lengths=True, feel=feels)
    return Page("any page", "", (Row("any row", draw(st.one_of(even, swung))),), Tempo.at(draw(TEMPI), F(1)))


def files_of(page: Page, *, tracks: str, seed: int = 0) -> tuple[bytes, bytes]:
    """The loop and the play-along of a page."""
    return loop(page, tracks=tracks, seed=seed), play_along(page, PlayAlong(2), tracks=tracks, seed=seed)


def ticks_of(page: Page) -> int:
    """Ticks in a loop of the page."""
    return end_of(load(loop(page)).tracks[0])


# ---- the file --------------------------------------------------------------------------------------------------------


@FEWER
@given(pages(), TRACKS, SEEDS)
def test_format_tracks_and_bytes(page: Page, tracks: str, seed: int) -> None:
    """Both files are format 1, are what mido saves for the same messages, and are the same bytes every time."""
    for data, again in zip(
        files_of(page, tracks=tracks, seed=seed), files_of(page, tracks=tracks, seed=seed), strict=True
    ):
        assert data == again == saved_by_mido(data)
        assert load(data).type == 1


@FEWER
@given(pages(), TRACKS)
def test_every_track_ends_with_the_last_bar(page: Page, tracks: str) -> None:
    """Every track ends at the same tick, exactly where the bars do; the play-along after its count-in and repeats."""
    data, play = files_of(page, tracks=tracks)
    bars, played = load(data), load(play)
    assert {end_of(track) for track in bars.tracks} == {page.pattern.span * bars.ticks_per_beat}
    count_in = page.bars[0].meter.span * (2 if in_halves(page) else 1)
    expected = (count_in + 2 * page.pattern.span) * played.ticks_per_beat
    assert {end_of(track) for track in played.tracks} == {expected}


def in_halves(page: Page) -> bool:
    """True where a page is counted in with a bar of halves and a bar of quarters: cut time, or a fast four."""
    meter, bpm = page.bars[0].meter, page.tempo.quarters
    return meter.denominator == 2 or (meter.denominator == 4 and meter.numerator % 2 == 0 and bpm >= 180)


@given(patterns(over=maps(max_runs=3)))
def test_ticks_are_exact_where_they_can_be(p: Pattern) -> None:
    """480 ticks a quarter, or the smallest multiple that holds every place; else 960, and the largest error is said."""
    page = Page("any", "", (Row("any", p),), Tempo.at(90, F(1)))
    data = loop(page)
    ticks = load(data).ticks_per_beat
    places = [hit.onset for hit in p.hits] + [length for _, length in p.meters.runs]
    fitting = [n for n in range(480, 32768, 480) if all((place * n).denominator == 1 for place in places)]
    said = [words for _, words in texts_in(data) if words.startswith("tempo ")]
    if fitting:
        assert (ticks, rounding_ms(page)) == (fitting[0], 0)
        assert said == ["tempo 90 quarter; feel even"]
    else:
        assert ticks == 960
        assert 0 < rounding_ms(page) <= 60_000 / 90 / 960 / 2
        assert said == [f"tempo 90 quarter; feel even; rounded, worst {rounding_ms(page):.3f} ms"]


@FEWER
@given(pages(), TRACKS)
def test_only_the_drum_channel_and_known_keys(page: Page, tracks: str) -> None:
    """Notes are on channel 10 alone, struck at 1 to 127, and never before the start of the file."""
    for data in files_of(page, tracks=tracks):
        for track in load(data).tracks:
            assert all(message.time >= 0 for message in track)
            for message in track:
                if not message.is_meta:
                    assert message.channel == 9
                    assert message.type in ("note_on", "note_off")
                    assert message.type == "note_off" or 1 <= message.velocity <= 127


@FEWER
@given(pages(), TRACKS)
def test_it_loops(page: Page, tracks: str) -> None:
    """Every note is let go before the end, and none overlaps another on its key in its track."""
    for data in files_of(page, tracks=tracks):
        midi = load(data)
        for track in midi.tracks[1:]:
            by_key: dict[int, list[Heard]] = defaultdict(list)
            for note in notes_of(track):
                assert note.start < note.end < end_of(track)
                by_key[note.key].append(note)
            for notes in by_key.values():
                for first, second in pairwise(notes):
                    assert first.end <= second.start, f"key {first.key} of {track.name!r} overlaps"


@FEWER
@given(pages(), TRACKS)
def test_no_key_is_let_go_by_another_stroke(page: Page, tracks: str) -> None:
    """All tracks share a channel: a note ends before its key is struck by any limb, or with one struck with it."""
    for data in files_of(page, tracks=tracks):
        by_key: dict[int, list[Heard]] = defaultdict(list)
        for note in sorted(notes_in(data), key=lambda note: note.start):
            by_key[note.key].append(note)
        for key, notes in by_key.items():
            for first, second in pairwise(notes):
                together = (first.start, first.end) == (second.start, second.end)
                assert together or first.end <= second.start, f"key {key} at {second.start}"


@pytest.mark.parametrize("tracks", ["limb", "one"])
def test_a_sweep_is_not_cut_by_a_tap_struck_with_it(tracks: str) -> None:
    """A brush held on the snare sounds until a tap strikes the snare again; the tap struck with it lasts as long."""
    held = parse_rows("RH snare t. tt t. tt; LH snare x- -- x- --; lengths LH snare")
    data = loop(Page("brushes", "", (Row("sweep", held),), Tempo.at(60, F(1))), tracks=tracks)
    notes = sorted((note.start, note.end) for note in notes_in(data))
    starts = sorted({start for start, _ in notes})
    assert starts == [0, 480, 720, 960, 1440, 1680]
    assert {end for start, end in notes if start == 0} == {480}
    assert all(end <= following for start, end in notes for following in starts if following > start)


@FEWER
@given(pages(), TRACKS)
def test_open_and_closed_never_sound_together(page: Page, tracks: str) -> None:
    """An open hat is closed by the next stroke of a hand or the foot on the hat, and never sounds with one."""
    for data in files_of(page, tracks=tracks):
        hats = sorted((note for note in notes_in(data) if note.key in HATS), key=lambda note: note.start)
        for note in hats:
            if note.key == OPEN:
                for other in hats:
                    if other.key in CLOSED:
                        assert other.end <= note.start or note.end <= other.start


@FEWER
@given(pages())
def test_a_track_for_each_limb_that_plays(page: Page) -> None:
    """A conductor, then a track for each limb that plays or lends a grace note, then count-in and click."""
    playing = {hit.limb for hit in page.pattern.hits}
    playing |= {hit.limb.mirrored for hit in page.pattern.hits if hit.ornament and hit.ornament.has_graces}
    names = [limb.words for limb in Limb if limb in playing]
    data, play = files_of(page, tracks="limb")
    assert [track.name for track in load(data).tracks] == ["any page", *names]
    assert [track.name for track in load(play).tracks] == ["any page", *names, "count-in", "click"]
    one, _ = files_of(page, tracks="one")
    assert [track.name for track in load(one).tracks] == ["any page", "drum set"]


# ---- the strokes -----------------------------------------------------------------------------------------------------


def main_notes(page: Page, data: bytes) -> list[tuple[Hit, Heard]]:
    """Each stroke that sounds with the note it became, found by limb, key and tick."""
    ticks = load(data).ticks_per_beat
    played = performed(page.pattern.with_feel(page.feel.resolved(page.tempo.quarters)))
    found = {(note.track, note.start, note.key): note for note in notes_in(data)}
    pairs = []
    for hit in played.hits:
        note = found.get((hit.limb.words, int(hit.onset * ticks), SURFACES[hit.surface].key))
        if note is not None:
            pairs.append((hit, note))
    return pairs


@FEWER
@given(pages(), SEEDS)
def test_every_stroke_sounds_where_it_is_played(page: Page, seed: int) -> None:
    """Every stroke is a note of its limb's track on its key and tick, but for those another on the hat covers."""
    if rounding_ms(page):
        return
    data = loop(page, seed=seed)
    pairs = main_notes(page, data)
    covered = [
        words
        for number in range(1, len(load(data).tracks))
        for _, words in texts_in(data, track=number)
        if words.startswith("unheard ")
    ]
    assert len(pairs) + len(covered) == len(page.pattern.hits)


@FEWER
@given(pages(), SEEDS)
def test_velocities_stay_in_their_level(page: Page, seed: int) -> None:
    """Small seeded variation never takes a stroke out of its level's velocities."""
    if rounding_ms(page):
        return
    for hit, note in main_notes(page, loop(page, seed=seed)):
        low, high = BINS[hit.level]
        assert low <= note.velocity <= high, (hit.level, note.velocity)


@given(st.sampled_from(list(Level)), st.integers(90, 400), SEEDS)
def test_the_second_of_two_fast_strokes_is_weaker(level: Level, bpm: int, seed: int) -> None:
    """Of two fast strokes of one hand at one level the second is the weaker one, whatever the seed."""
    hits = [
        Hit(F(start, 1) + F(place, 4), limb, "snare", level)
        for start, limb in ((0, Limb.RH), (1, Limb.LH), (2, Limb.RH), (3, Limb.LH))
        for place in (0, 1)
    ]
    page = page_of(hits, bpm=bpm)
    by_limb = defaultdict(list)
    for hit, note in main_notes(page, loop(page, seed=seed)):
        by_limb[hit.limb].append(note.velocity)
    for velocities in by_limb.values():
        for first, second in zip(velocities[::2], velocities[1::2], strict=True):
            assert (second < first) if 60 / bpm / 4 <= 0.125 else abs(second - first) <= 4


def page_of(hits: Sequence[Hit], *, bpm: float = 90) -> Page:
    """A page of one bar of 4/4 at a tempo."""
    from kitgen.time import Meter, Meters

    return Page("a bar", "", (Row("a bar", Pattern(tuple(hits), Meters.of(Meter(4, 4)))),), Tempo.at(bpm, F(1)))


def test_another_seed_is_another_variation() -> None:
    """The seed changes velocities and nothing else."""
    page = page_of([Hit(F(n, 2), Limb.RH, "ride") for n in range(8)])
    first, second = (notes_in(loop(page, seed=seed)) for seed in (0, 1))
    assert [note.velocity for note in first] != [note.velocity for note in second]
    assert [(note.start, note.end, note.key) for note in first] == [(n.start, n.end, n.key) for n in second]


@given(
    st.lists(st.integers(0, 15), min_size=1, max_size=6, unique=True),
    st.sampled_from((Ornament.FLAM, Ornament.DRAG)),
    st.sampled_from(list(Level)),
    st.integers(20, 400),
    SEEDS,
)
def test_grace_notes(places: list[int], ornament: Ornament, level: Level, bpm: int, seed: int) -> None:
    """Grace notes come 25 to 40 ms before the beat or a quarter of the gap, softer, from the other hand."""
    hits = [
        Hit(F(place, 4), Limb.RH if index % 2 else Limb.LH, "snare", level, ornament)
        for index, place in enumerate(sorted(places))
    ]
    data = loop(page_of(hits, bpm=bpm), seed=seed)
    end, ms_a_tick = 4 * 480, 60_000 / bpm / 480
    notes = notes_in(data)
    strokes = {(note.track, note.start): note for note in notes}
    onsets = [int(hit.onset * 480) for hit in hits]
    for index, (hit, at) in enumerate(zip(hits, onsets, strict=True)):
        main = strokes[hit.limb.words, at]
        gap = (at - onsets[index - 1]) % end or end
        count = 1 if ornament is Ornament.FLAM else 2
        graces = [
            note
            for note in notes
            if note.track == hit.limb.mirrored.words and 0 < (at - note.start) % end <= gap / 4 and note.start != at
        ]
        assert len(graces) == count
        for note in graces:
            assert note.velocity < main.velocity
        nearest = min((at - note.start) % end for note in graces)
        quarter_of_gap = gap / 4 / count
        assert 25 <= nearest * ms_a_tick <= 40 or quarter_of_gap - 1 <= nearest <= quarter_of_gap


@pytest.mark.parametrize("ornament", [Ornament.DIDDLE, Ornament.BUZZ])
def test_bounces_are_softer_and_over_before_the_next_stroke(ornament: Ornament) -> None:
    """A diddle adds one stroke, a buzz a few, of the same hand, each softer, before that hand strikes again."""
    hits = [Hit(F(n), Limb.RH, "snare", ornament=ornament) for n in range(4)]
    notes = notes_in(loop(page_of(hits)))
    for beat in range(4):
        inside = [note for note in notes if beat * 480 <= note.start < (beat + 1) * 480]
        assert (len(inside) == 2) if ornament is Ornament.DIDDLE else (3 <= len(inside) <= 13)
        assert all(second.velocity < first.velocity for first, second in pairwise(inside))
        assert {note.track for note in inside} == {"right hand"}


def test_cymbals_ring_to_their_next_stroke() -> None:
    """A cymbal rings until it is struck again or the loop ends; a drum is short; an open hat is closed."""
    hits = [
        Hit(F(0), Limb.RH, "crash"),
        Hit(F(3, 2), Limb.LH, "crash"),
        Hit(F(1), Limb.RH, "open-hat"),
        Hit(F(2), Limb.LF, "hat-foot"),
        Hit(F(0), Limb.RF, "bass"),
    ]
    ends = {(note.key, note.start): note.end for note in notes_in(loop(page_of(hits)))}
    assert ends == {(49, 0): 720, (49, 720): 1919, (46, 480): 960, (44, 960): 1080, (36, 0): 120}


# ---- the conductor ---------------------------------------------------------------------------------------------------


@FEWER
@given(pages())
def test_meters_and_tempo_stand_in_the_conductor(page: Page) -> None:
    """The first track has a time signature wherever the meter changes and the tempo in microseconds a quarter."""
    conductor = load(loop(page)).tracks[0]
    ticks = load(loop(page)).ticks_per_beat
    said = [(tick, m.numerator, m.denominator) for tick, m in timed(conductor) if m.type == "time_signature"]
    at, expected = F(0), []
    for meter, length in page.pattern.meters.runs:
        expected.append((at * ticks, meter.numerator, meter.denominator))
        at += length
    assert said == expected
    tempi = [(tick, message.tempo) for tick, message in timed(conductor) if message.type == "set_tempo"]
    assert tempi == [(0, round(60_000_000 / page.tempo.quarters))]


@FEWER
@given(pages())
def test_every_beat_is_counted(page: Page) -> None:
    """A text stands at every beat, saying its number."""
    data = loop(page)
    ticks = load(data).ticks_per_beat
    said = defaultdict(set)
    for tick, words in texts_in(data):
        said[tick].add(words)
    for beat in page.pattern.meters.beats:
        assert str(beat.number) in said[round(beat.start * ticks)]
