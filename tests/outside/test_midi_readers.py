"""Two other readers agree with what was meant: mido on bytes and messages, pretty_midi on every onset, to the tick.

pretty_midi is given a copy of the bytes each time, since it edits what it is given.
"""

import warnings
from collections import Counter
from io import BytesIO

import pretty_midi
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kitgen.kit import SURFACES
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import parse_rows, performed
from kitgen.time import Meter
from kitgen.write.midi import PlayAlong, loop, play_along, rounding_ms
from tests.strategies import feels, patterns, swinging_patterns, whole_maps
from tests.write.heard import end_of, load, notes_in

FEWER = settings(max_examples=max(20, settings().max_examples // 3), suppress_health_check=[HealthCheck.too_slow])
TRACKS = st.sampled_from(("limb", "one"))
ANY = st.one_of(
    patterns(over=whole_maps(max_runs=2, max_bars=2), lengths=True),
    swinging_patterns(threes=True, lengths=True, feel=feels),
)


def heard_by_pretty_midi(data: bytes) -> pretty_midi.PrettyMIDI:
    """The file as pretty_midi reads it; every warning is an error."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        return pretty_midi.PrettyMIDI(BytesIO(bytes(data)))


def onsets_in(midi: pretty_midi.PrettyMIDI) -> Counter[tuple[int, int, int]]:
    """Every note pretty_midi has, as (tick, key, velocity)."""
    return Counter(
        (midi.time_to_tick(note.start), note.pitch, note.velocity)
        for instrument in midi.instruments
        for note in instrument.notes
    )


@FEWER
@given(ANY, st.integers(20, 400), TRACKS)
def test_pretty_midi_hears_every_onset(p: object, bpm: int, tracks: str) -> None:
    """pretty_midi agrees with mido on tick, key and velocity of every note of both files, click and count-in too."""
    page = Page("any page", "", (Row("any row", p),), Tempo.at(bpm, Meter(4, 4).unit))  # type: ignore[arg-type]
    for data in (loop(page, tracks=tracks), play_along(page, PlayAlong(2), tracks=tracks)):
        ours = Counter((note.start, note.key, note.velocity) for note in notes_in(data, click=True))
        assert onsets_in(heard_by_pretty_midi(data)) == ours


@FEWER
@given(swinging_patterns(threes=True, feel=feels), st.integers(20, 400))
def test_pretty_midi_hears_the_performance(p: object, bpm: int) -> None:
    """The onsets pretty_midi hears of a swung page are those of its performance."""
    page = Page("any page", "", (Row("any row", p),), Tempo.at(bpm, Meter(4, 4).unit))  # type: ignore[arg-type]
    if rounding_ms(page):
        return
    data = loop(page)
    played = performed(page.pattern.with_feel(page.feel.resolved(bpm)))
    meant = {(int(hit.onset * load(data).ticks_per_beat), SURFACES[hit.surface].key) for hit in played.hits}
    heard = {(tick, key) for tick, key, _ in onsets_in(heard_by_pretty_midi(data))}
    covered = {(tick, key) for tick, key in meant if key in (SURFACES["hat-foot"].key, SURFACES["open-hat"].key)}
    assert meant - covered <= heard


@pytest.mark.parametrize("meter", ["4/4", "6/8", "7/8", "2/2", "5/4"])
def test_pretty_midi_finds_bars_and_tempo(meter: str) -> None:
    """Downbeats, meter and tempo as pretty_midi works them out are the page's."""
    from kitgen.pattern import silence, tile
    from kitgen.time import Meters

    meters = Meters.of(Meter.parse(meter), 3)
    beat = parse_rows("RF bass x", "4/4") if meters.span % 1 == 0 else silence(meters)
    page = Page("any page", "", (Row("any row", tile(beat, meters)),), Tempo.at(96, Meter(4, 4).unit))
    midi = heard_by_pretty_midi(loop(page))
    (signature,) = midi.time_signature_changes
    assert (signature.numerator, signature.denominator) == (
        Meter.parse(meter).numerator,
        Meter.parse(meter).denominator,
    )
    _, tempi = midi.get_tempo_changes()
    assert tempi.tolist() == [pytest.approx(96)]
    assert midi.resolution == 480


def test_pretty_midi_hears_only_drums() -> None:
    """Every instrument is a drum track, named as the limb whose strokes it holds."""
    page = Page(
        "a page",
        "",
        (Row("a row", parse_rows("RH ride x x x x; LF hat-foot . x . x")),),
        Tempo.at(96, Meter(4, 4).unit),
    )
    midi = heard_by_pretty_midi(play_along(page))
    assert all(instrument.is_drum for instrument in midi.instruments)
    assert [instrument.name for instrument in midi.instruments] == ["right hand", "left foot", "count-in", "click"]
    assert end_of(load(play_along(page)).tracks[0]) == 5 * 4 * 480
