"""Spelling held against published facts, against music21's beams and values, and on tunes through applications.

Sources stand beside the values. MusicXML 4.0: W3C Music Notation Community Group, "MusicXML 4.0" (2021), the schema's
``note-type-value`` and ``beam-value``, and its tutorial's chapter on percussion. Staff places: N. Weinberg, "Guidelines
for Drumset Notation", Percussive Notes 32(3), June 1994, as in the drum tables of LilyPond, where this project follows
it; the toms are common practice (one place each).
"""

import warnings
from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import cycle, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import APPLICATIONS
from kitgen.errors import RefusedError
from kitgen.line import Line
from kitgen.make.applied import page_of
from kitgen.make.recipe import ApplyRecipe
from kitgen.pattern import Pattern, parse_rows
from kitgen.read.scores import line_from_score
from kitgen.spell import Choices, Event, SpellingError, read_back_line, read_back_score, spell, spell_line, spell_page
from kitgen.spell.ticks import WRITTEN
from tests.corpus import every_tune, name, tunes
from tests.strategies import fewer, patterns, whole_maps

TUNES = 50


# ---- published -------------------------------------------------------------------------------------------------------

# MusicXML 4.0, simple type note-type-value, the values from 1024th to maxima.
MUSICXML_TYPES = (
    "1024th", "512th", "256th", "128th", "64th", "32nd", "16th", "eighth", "quarter", "half", "whole", "breve", "long",
    "maxima",
)  # fmt: skip
# MusicXML 4.0, simple type beam-value.
MUSICXML_BEAMS = {"begin", "continue", "end", "forward hook", "backward hook"}

# Surface, staff place, notehead: Weinberg 1994 as LilyPond's weinberg-drums-style has it; toms: common practice.
PLACES = (
    ("crash", "A5", "x"),
    ("closed-hat", "G5", "x"),
    ("open-hat", "G5", "x"),
    ("ride", "F5", "x"),
    ("ride-bell", "F5", "diamond"),
    ("cowbell", "E5", "triangle"),
    ("cross-stick", "C5", "x"),
    ("snare", "C5", "normal"),
    ("floor-tom", "A4", "normal"),
    ("bass", "F4", "normal"),
    ("hat-foot", "D4", "x"),
    ("high-tom", "E5", "normal"),
    ("mid-tom", "D5", "normal"),
)


def events_of(rows: str, meter: str = "4/4", **how: str) -> list[tuple[str, Event]]:
    """Every event with the direction of its stems."""
    section = spell(parse_rows(rows, meter), Choices(layout="hands-feet", **how))  # type: ignore[arg-type]
    return [(v.stem, e) for m in section.measures for v in m.voices for e in v.events]


@pytest.mark.parametrize(("label", "place", "head"), PLACES)
def test_staff_places(label: str, place: str, head: str) -> None:
    """Where a surface stands and with which head."""
    limb = "RF" if label in ("bass", "hat-foot") else "RH"
    ((_, event),) = events_of(f"{limb} {label} x", "1/4")
    assert [(stroke.place, stroke.head) for stroke in event.strokes] == [(place, head)]


def test_hands_stem_up_and_feet_down() -> None:
    """W3C MusicXML 4.0 tutorial, Percussion: in its two-voice example the hands stem up, the feet down."""
    found = events_of("RH closed-hat x x; RF bass x .; LF hat-foot . x", "2/4")
    assert {(stem, stroke.limb.is_hand) for stem, e in found for stroke in e.strokes if stroke.limb is not None} == {
        ("up", True),
        ("down", False),
    }


def test_ghosts_and_accents() -> None:
    """Parentheses round a ghost's head, the accent mark for an accent: common practice."""
    found = events_of("LH snare gX", "1/4")
    assert [(e.strokes[0].parentheses, e.strokes[0].accent) for _, e in found] == [(True, False), (False, True)]


def test_types_double_as_in_musicxml() -> None:
    """MusicXML 4.0: each value of the list is twice the one before; a dot adds half of it."""
    lengths = {name: length for length, (name, dots) in WRITTEN.items() if not dots}
    used = [name for name in MUSICXML_TYPES if name in lengths]
    assert used == list(MUSICXML_TYPES[3:-1])
    assert all(lengths[used[k + 1]] == 2 * lengths[used[k]] for k in range(len(used) - 1))
    assert all(2 * length == 3 * lengths[name] for length, (name, dots) in WRITTEN.items() if dots)


@fewer
@given(patterns(over=whole_maps()))
def test_only_words_musicxml_has(pattern: Pattern) -> None:
    """Types and beams are spelled as MusicXML 4.0 spells them."""
    for measure in spell(pattern).measures:
        for voice in measure.voices:
            for event in voice.events:
                assert event.written.type in MUSICXML_TYPES
                assert set(event.written.beams) <= MUSICXML_BEAMS


def test_a_triplet_is_three_in_the_time_of_two() -> None:
    """W3C MusicXML 4.0, element time-modification: an eighth triplet has 3 actual and 2 normal notes."""
    found = events_of("LH snare xxx", "1/4")
    ratios = [e.written.tuplet for _, e in found]
    assert [(r.actual, r.normal, r.type) for r in ratios if r is not None] == [(3, 2, "eighth")] * 3


# ---- music21 ---------------------------------------------------------------------------------------------------------

CELLS = ["".join(cell) for size in (2, 4) for cell in product("x.", repeat=size) if "x" in cell]
THREES = ["".join(cell) for cell in product("x.", repeat=3) if "x" in cell]
SIGNS = {
    ("start", None): "begin",
    ("continue", None): "continue",
    ("stop", None): "end",
    ("partial", "right"): "forward hook",
    ("partial", "left"): "backward hook",
}


def beams_by_music21(events: Sequence[Event], meter: str) -> list[tuple[str, ...]]:
    """The beams music21 would give the same notes and rests."""
    from music21 import meter as meters
    from music21 import note

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        notes = [note.Rest() if e.written.is_rest else note.Note() for e in events]
        for item, event in zip(notes, events, strict=True):
            item.duration.quarterLength = event.written.length
        found = meters.TimeSignature(meter).getBeams(notes)
    return [tuple(SIGNS[beam.type, beam.direction] for beam in one.beamsList) if one else () for one in found]


def hooks(beams: Sequence[str]) -> list[str]:
    """The hooks among some beams."""
    return [beam for beam in beams if beam.endswith("hook")]


@pytest.mark.parametrize("first", CELLS)
def test_music21_beams_sixteenths_alike(first: str) -> None:
    """Every cell of a beat before every other, under 4/4, by the beat: first beams, and which way hooks point.

    Where four sixteenths are joined music21 breaks their second beam at the eighth, which is left out here.
    """
    for second in CELLS:
        events = [e for _, e in events_of(f"LH snare {first} {second} x x", "4/4", eighths="beats")]
        ours, theirs = [e.written.beams for e in events], beams_by_music21(events, "4/4")
        assert [beams[:1] for beams in ours] == [beams[:1] for beams in theirs], second
        assert [hooks(beams) for beams in ours] == [hooks(beams) for beams in theirs], second


@pytest.mark.parametrize(("meter", "parts"), [("6/8", (3, 3)), ("9/8", (3, 3, 3)), ("7/8", (2, 2, 3))])
def test_music21_beams_eighths_of_compound_and_odd_meters_alike(meter: str, parts: Sequence[int]) -> None:
    """Full groups, and each way to leave something out of the first."""
    rest = " ".join("x" * size for size in parts[1:])
    for first in THREES if parts[0] == 3 else ["xx", "x.", ".x"]:
        events = [e for _, e in events_of(f"LH snare {first} {rest}", meter)]
        assert [e.written.beams for e in events] == beams_by_music21(events, meter), first


@given(st.integers(1, 7), st.integers(0, 6))
def test_music21_names_values_alike(parts: int, place: int) -> None:
    """A stroke of one part of a beat has the type, dots and ratio music21 gives its length."""
    from music21 import duration

    boxes = "".join("x" if index >= place % parts else "." for index in range(parts))
    for _, event in events_of(f"LH snare {boxes}", "1/4"):
        written = event.written
        theirs = duration.Duration(written.length)
        assert (theirs.type, theirs.dots) == (written.type, written.dots)
        ours = Fraction(written.tuplet.actual, written.tuplet.normal) if written.tuplet else Fraction(1)
        ratios = [Fraction(t.numberNotesActual, t.numberNotesNormal) for t in theirs.tuplets]
        assert ours == (ratios[0] if ratios else 1)


# ---- tunes -----------------------------------------------------------------------------------------------------------


NESTED = "demos/nested_tuplet_finale_test2.xml"
"""The one tune with tuplets inside a tuplet, fifteen parts a beat together."""


def lines_of(count: int) -> Iterator[Line]:
    """The first parts of so many tunes."""
    return (line_from_score(path) for path in tunes(count) if name(path) != NESTED)


def test_tunes_are_spelled_with_their_true_lengths() -> None:
    """Fifty tunes as lines, written and read back, no bar longer or shorter than it is."""
    for line in lines_of(TUNES):
        score = spell_line(line)
        assert read_back_line(score) == line
        for measure in score.measures:
            assert sum(event.written.length for event in measure.voices[0].events) == measure.length


def test_a_tuplet_in_a_tuplet_is_refused() -> None:
    """By bar and count."""
    path = next(path for path in every_tune() if name(path) == NESTED)
    with pytest.raises(SpellingError, match=r'bar 1, count "1": .* tuplets up to 13 parts'):
        spell_line(line_from_score(path))


def spelled_pages(count: int) -> Counter[str]:
    """So many tunes, the applications in turn: how many pages of each are spelled and read back as what is played."""
    made = Counter[str]()
    for line, application in zip(lines_of(count), cycle(APPLICATIONS), strict=False):
        try:
            page = page_of(ApplyRecipe(line="tune sha256:0", as_=application), line)
        except RefusedError:
            continue
        assert read_back_score(spell_page(page)) == page.pattern
        made[application] += 1
    return made


def test_tunes_through_applications_are_spelled() -> None:
    """Fifty tunes; the pages read back."""
    assert len(spelled_pages(TUNES)) > len(APPLICATIONS) // 2


@pytest.mark.sweep
def test_three_hundred_tunes_through_applications_are_spelled() -> None:
    """All applications take some of them."""
    made = spelled_pages(300)
    assert set(made) == set(APPLICATIONS)
