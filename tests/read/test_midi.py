"""Reading MIDI files this package wrote: what they are told by, and what a changed one is refused for."""

from collections.abc import Callable
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from typing import Any

import mido
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import KitgenError, ReadError
from kitgen.kit import Limb
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Level, parse_rows
from kitgen.pattern.take import Stroke, level_of
from kitgen.read.midi import is_ours, page_of_midi
from kitgen.write.midi import PlayAlong, loop, play_along
from kitgen.write.sounding import VELOCITIES

F = Fraction
PATH = Path("page.mid")
ROWS = "RH ride x... x... X... x...; LH snare ..g. ..g. .... ..x.; flam LH .... .... .... ..x.; RF bass x . . x"


def page_of(rows: str = ROWS) -> Page:
    """A page of one row at 90."""
    return Page("any page", "", (Row("any row", parse_rows(rows)),), Tempo.at(90, F(1)), "kitgen")


def loaded(data: bytes) -> Any:
    """The file as mido has it."""
    return mido.MidiFile(file=BytesIO(data))


def read(midi: Any) -> Page:
    """The page in a file."""
    return page_of_midi(midi, PATH)


@pytest.mark.parametrize("level", list(Level))
def test_a_level_is_read_from_its_usual_velocity(level: Level) -> None:
    """Every level's usual velocity is read as that level."""
    assert level_of(VELOCITIES[level]) is level


@pytest.mark.parametrize(
    ("softest", "level"),
    [(1, Level.FEATHER), (34, Level.GHOST), (49, Level.TAP), (74, Level.NORMAL), (102, Level.ACCENT)],
)
def test_levels_meet_halfway(softest: int, level: Level) -> None:
    """A velocity is read as the level whose usual velocity is nearest; halfway between two it is the softer."""
    assert level_of(softest) is level
    if softest > 1:
        assert level_of(softest - 1) == level - 1
    nearest = min(VELOCITIES, key=lambda other: (abs(VELOCITIES[other] - softest), other))
    assert nearest is level


@given(st.integers(1, 127))
def test_a_recorded_stroke_has_the_same_level(velocity: int) -> None:
    """What a stroke's velocity means does not depend on which reader reads it."""
    assert Stroke(0.0, 38, velocity, "snare").level is level_of(velocity)


def test_what_is_ours() -> None:
    """A file is ours by the recipe and tempo texts of its first track; another's drum file is not."""
    assert is_ours(loaded(loop(page_of())))
    assert is_ours(loaded(play_along(page_of())))
    other = mido.MidiFile()
    assert not is_ours(other)
    other.tracks.append(mido.MidiTrack([mido.MetaMessage("text", text="kitgen is fine")]))
    assert not is_ours(other)


def test_the_feet_say_the_unit_of_the_tempo() -> None:
    """The tempo is read in the meter's own beat: dotted quarters in 6/8, halves in 2/2."""
    for meter, unit in (("6/8", F(3, 2)), ("2/2", F(2)), ("4/4", F(1)), ("7/8", F(1, 2))):
        bar = parse_rows(
            "RF bass " + "x " * (3 if meter == "7/8" else int(meter[0]) // (3 if meter == "6/8" else 1)), meter
        )
        page = Page("a", "", (Row("b", bar),), Tempo.at(80, unit), "kitgen")
        assert read(loaded(loop(page))).tempo == page.tempo


def test_a_play_along_begins_with_its_count_in() -> None:
    """The rows of a play-along: a bar of rest for the count-in, then the page for every time through."""
    page = page_of()
    again = read(loaded(play_along(page, PlayAlong(3))))
    assert [row.label for row in again.rows] == ["count-in", "any row", "any row", "any row"]
    assert not again.rows[0].pattern.hits
    assert {row.pattern for row in again.rows[1:]} == {page.pattern}


def test_a_row_may_be_called_after_a_bar() -> None:
    """A label that looks like a bar number costs the label, never the music."""
    p = parse_rows("RF bass x x x x")
    page = Page("a", "", (Row("bar 1", p), Row("b", p)), Tempo.at(90, F(1)), "kitgen")
    assert read(loaded(loop(page))).pattern == page.pattern


def change(track: int, do: Callable[[Any], None]) -> Any:
    """A loop with one of its tracks changed by hand; 0 conductor, then right hand, left hand, right foot."""
    midi = loaded(loop(page_of()))
    do(midi.tracks[track])
    return midi


def other_key(track: Any) -> None:
    """The notes of a track on a key that is no surface."""
    for message in track:
        if message.type in ("note_on", "note_off"):
            message.note = 60


def other_name(track: Any) -> None:
    """A name that is no limb's."""
    track[0] = mido.MetaMessage("track_name", name="somebody")


def other_text(words: str) -> Callable[[Any], None]:
    """A text for the first beat."""
    return lambda track: track.insert(1, mido.MetaMessage("text", text=words))


def sooner_end(track: Any) -> None:
    """The track ended before its first beat."""
    for message in track:
        message.time = 0


def odd_meter(track: Any) -> None:
    """A time signature that cannot be."""
    for index, message in enumerate(track):
        if message.type == "time_signature":
            track[index] = message.copy(numerator=99)


@pytest.mark.parametrize(
    ("midi", "message"),
    [
        (change(1, other_key), "key 60 at tick 0 is no surface of the kit"),
        (change(1, other_name), "track 'somebody' does not say which limb plays key 51 at tick 0"),
        (change(0, sooner_end), "its first track ends at once"),
        (change(0, odd_meter), "no meter 99/4"),
        (change(1, other_text("length 9")), "past that limb's next hit"),
        (change(3, other_text("flam +0")), "ornaments are for the hands"),
        (change(1, other_text("unheard kettle x")), "no surface is called 'kettle'"),
        (change(1, other_text("unheard snare x")), "one limb strikes once at an instant"),
    ],
)
def test_a_file_changed_into_no_page_is_refused(midi: Any, message: str) -> None:
    """What was changed by hand into something that cannot be a page is an error that names the file."""
    with pytest.raises(ReadError, match=message) as caught:
        read(midi)
    assert str(caught.value).startswith("page.mid: ")


@given(st.lists(st.tuples(st.integers(0, 3), st.integers(0, 40), st.text(max_size=12)), max_size=4), st.data())
def test_any_change_is_read_or_refused(texts: list[tuple[int, int, str]], data: st.DataObject) -> None:
    """Texts put anywhere, events taken out: reading ends in a page or in an error of the package's own."""
    midi = loaded(loop(page_of()))
    said = st.sampled_from(
        ("length 1/2", "flam +1", "buzz +99", "drag +2 length 3", "threes", "meter 9/9", "keys snare 1")
    )
    for track, place, words in texts:
        midi.tracks[track].insert(place, mido.MetaMessage("text", text=data.draw(st.one_of(said, st.just(words)))))
    for track in midi.tracks[1:]:
        del track[data.draw(st.integers(1, len(track) - 1))]
    try:
        page = read(midi)
    except KitgenError as error:
        assert str(error).startswith("page.mid: ")  # noqa: PT017
    else:
        assert set(page.pattern.limbs) <= set(Limb)
