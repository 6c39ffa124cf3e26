"""What holds of every spelling: it says the pattern, fills its bars, and is as plain as can be."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby, pairwise
from math import lcm

from hypothesis import given
from hypothesis import strategies as st

from kitgen.kit import HAND_LIMBS, Limb
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import EVEN, Feel, Hit, Pattern, performed
from kitgen.spell import (
    Choices,
    Event,
    Measure,
    Section,
    SpellingError,
    in_triplets,
    in_values,
    read_back,
    read_back_line,
    read_back_score,
    spell,
    spell_line,
    spell_page,
)
from kitgen.spell.voices import LAYOUTS
from kitgen.time import Meter, Meters
from tests.spell.naive import symbols_of_bar
from tests.spell.reading import QUARTERS, symbols
from tests.strategies import USUAL_METERS, fewer, lines, maps, patterns, swinging_patterns, whole_maps

FOUR = Meter(4, 4)
whole_patterns = patterns(over=whole_maps(max_runs=2))
layouts = st.sampled_from(LAYOUTS)


@st.composite
def held_patterns(draw: st.DrawFn) -> Pattern:
    """Whole bars in which some strokes are held to their limb's next stroke, the last ones past the end."""
    pattern = draw(patterns(over=whole_maps(), parts=(1, 2, 3, 4, 5, 6)))
    hits: list[Hit] = []
    for limb in pattern.limbs:
        own = [hit for hit in pattern.hits if hit.limb == limb]
        ends = [*(hit.onset for hit in own[1:]), own[0].onset + pattern.span]
        keep = draw(st.binary(min_size=len(own), max_size=len(own)))
        hits += [
            replace(hit, length=end - hit.onset) if byte % 3 else hit
            for hit, end, byte in zip(own, ends, keep, strict=True)
        ]
    return pattern.with_hits(hits)


def events_of(section: Section) -> Iterator[tuple[Measure, Sequence[Event]]]:
    """The events of each voice of each bar."""
    for measure in section.measures:
        for voice in measure.voices:
            yield measure, voice.events


@given(whole_patterns, layouts)
def test_reading_a_page_back_gives_the_pattern(pattern: Pattern, layout: str) -> None:
    """Onset, limb, surface, level, ornament: in every layout, with no pattern refused."""
    assert read_back(spell(pattern, Choices(layout=layout))) == pattern


@given(held_patterns(), layouts)
def test_reading_back_gives_lengths(pattern: Pattern, layout: str) -> None:
    """Held strokes keep their lengths, through ties, over barlines and past the end."""
    assert read_back(spell(pattern, Choices(layout=layout))) == pattern


@given(patterns(over=maps(), lengths=True))
def test_what_is_refused_cannot_be_written(pattern: Pattern) -> None:
    """A refusal is due to a cut beat, or to a limb that divides a beat in too many or too short parts."""
    try:
        assert read_back(spell(pattern)) == pattern
    except SpellingError:
        cut = any(beat.length != beat.full for beat in pattern.meters.beats)
        assert cut or most_parts(pattern) > 13 or shortest_part(pattern) < Fraction(1, 32)


def parts_of(pattern: Pattern) -> Iterator[tuple[Fraction, int]]:
    """Each beat's length, and in how many parts each limb's starts and ends divide it."""
    for limb in pattern.limbs:
        own = [hit for hit in pattern.hits if hit.limb == limb]
        edges = [hit.onset for hit in own]
        edges += [(hit.onset + hit.length) % pattern.span for hit in own if hit.length is not None]
        for beat in pattern.meters.beats:
            inside = [(edge - beat.start) / beat.length for edge in edges if beat.start <= edge < beat.end]
            yield beat.length, lcm(*(place.denominator for place in inside))


def most_parts(pattern: Pattern) -> int:
    """The most parts one limb divides a beat in."""
    return max((parts for _, parts in parts_of(pattern)), default=1)


def shortest_part(pattern: Pattern) -> Fraction:
    """The shortest of these parts, in quarters."""
    return min((length / parts for length, parts in parts_of(pattern)), default=Fraction(1))


@given(lines())
def test_a_line_keeps_its_true_lengths(line_: object) -> None:
    """Ties over beats and barlines, rests and tuplets of any line come back."""
    from kitgen.line import Line

    assert isinstance(line_, Line)
    assert read_back_line(spell_line(line_)) == line_


@fewer
@given(whole_patterns, layouts)
def test_every_voice_fills_its_bar(pattern: Pattern, layout: str) -> None:
    """Events of a voice follow each other from barline to barline, and each lasts what its value says."""
    for measure, events in events_of(spell(pattern, Choices(layout=layout))):
        at = Fraction(0)
        for event in events:
            written = event.written
            assert written.start == at
            at += written.length
            if not written.whole_bar:
                ratio = written.tuplet
                value = QUARTERS[written.type] * (2 - Fraction(1, 2**written.dots))
                assert value * (Fraction(ratio.normal, ratio.actual) if ratio else 1) == written.length
        assert at == measure.length


@fewer
@given(whole_patterns)
def test_tuplets_are_whole(pattern: Pattern) -> None:
    """From the first of a tuplet to its last its parts are all there, and the next starts after it."""
    for _, events in events_of(spell(pattern)):
        inside: list[Event] = []
        for event in events:
            written = event.written
            assert written.starts == (written.tuplet is not None and not inside)
            if written.tuplet is not None:
                inside.append(event)
            if written.stops and written.tuplet is not None:
                assert len({e.written.tuplet for e in inside}) == 1
                assert sum(e.written.length for e in inside) == written.tuplet.normal * QUARTERS[written.tuplet.type]
                assert written.tuplet.actual <= 13
                inside = []
        assert not inside


@fewer
@given(whole_patterns, layouts)
def test_beams_nest(pattern: Pattern, layout: str) -> None:
    """Each beam begins and ends, within the one before it; no rest is under one; values have as many as flags."""
    flags = {"eighth": 1, "16th": 2, "32nd": 3, "64th": 4, "128th": 5}
    for _, events in events_of(spell(pattern, Choices(layout=layout))):
        opened = [False] * 6
        for event in events:
            written = event.written
            assert not (written.is_rest and written.beams)
            assert len(written.beams) in (0, flags.get(written.type, 0))
            if not written.beams:
                assert not any(opened)
            for level, beam in enumerate(written.beams):
                assert opened[level] == (beam in ("continue", "end"))
                opened[level] = beam in ("begin", "continue")
                assert level == 0 or not opened[level] or opened[level - 1]
        assert not any(opened)


@given(patterns(over=whole_maps(st.just(FOUR))), layouts)
def test_the_middle_of_the_bar_is_seen(pattern: Pattern, layout: str) -> None:
    """In 4/4 only a note of the whole bar, or a tuplet over it, lasts over the middle, and no beam goes over it."""
    for _, events in events_of(spell(pattern, Choices(layout=layout))):
        beam_from = None
        for event in events:
            written = event.written
            if written.beams and written.beams[0] == "begin":
                beam_from = written.start
            if written.beams and written.beams[0] == "end":
                assert beam_from is not None
                assert not beam_from < 2 <= written.start
            if written.start < 2 < written.start + written.length:
                over_the_bar = written.tuplet is not None and written.tuplet.normal * QUARTERS[written.tuplet.type] == 4
                assert over_the_bar or (written.start == 0 and written.length == 4)


@given(patterns(over=whole_maps(st.sampled_from(USUAL_METERS))))
def test_no_more_symbols_than_beat_by_beat(pattern: Pattern) -> None:
    """No voice of a bar takes more symbols than if each beat were written by itself."""
    for measure in spell(pattern, Choices(layout="hands-feet")).measures:
        for voice in measure.voices:
            limbs = {stroke.limb for event in voice.events for stroke in event.strokes}
            onsets = [
                hit.onset
                for hit in pattern.hits
                if hit.limb in limbs and measure.start <= hit.onset < measure.start + measure.length
            ]
            assert symbols(voice.events) <= symbols_of_bar(pattern.meters, measure.number, onsets)


@fewer
@given(whole_patterns)
def test_the_beat_is_seen(pattern: Pattern) -> None:
    """What starts off the beat ends with its beat at the latest, unless in a tuplet over beats."""
    for measure, events in events_of(spell(pattern)):
        beats = [beat for beat in pattern.meters.beats if beat.bar == measure.number]
        starts = {beat.start - measure.start for beat in beats}
        for event in events:
            start, end = event.written.start, event.written.start + event.written.length
            if start not in starts and any(start < beat < end for beat in starts):
                assert event.written.tuplet is not None


@fewer
@given(whole_patterns)
def test_no_ties_unless_something_is_held(pattern: Pattern) -> None:
    """Struck sounds are never tied."""
    for _, events in events_of(spell(pattern)):
        assert all(event.written.is_rest or event.written.struck for event in events)
        assert not any(stroke.tie or stroke.held for event in events for stroke in event.strokes)


@fewer
@given(whole_patterns)
def test_a_shared_rest_is_shown_once(pattern: Pattern) -> None:
    """Two shown rests of one bar never have the same place and value; hidden ones are shown by another voice."""
    for measure in spell(pattern).measures:
        rests = [e for voice in measure.voices for e in voice.events if e.written.is_rest]
        shown = [(e.written.start, e.written.length) for e in rests if e.shown and e.written.tuplet is None]
        assert len(shown) == len(set(shown))
        covered = [e.written.start for e in rests if e.shown]
        assert all(e.written.start in covered for e in rests if not e.shown)


@fewer
@given(swinging_patterns(threes=True))
def test_swing_written_in_triplets(pattern: Pattern) -> None:
    """Triplets say how two to one is played, and are not swung again."""
    tempo = Tempo.at(100, Fraction(1))
    score = spell_page(Page("Time", "Swing.", (Row("time", pattern),), tempo), Choices(swing="triplets"))
    assert score.feel == EVEN
    ratio = pattern.feel.ratio
    even = not pattern.feel.unit or ratio == 1
    expected = pattern.with_feel(EVEN) if even else performed(pattern.with_feel(Feel(pattern.feel.unit, Fraction(2))))
    assert read_back_score(score) == expected == in_triplets(pattern)


@fewer
@given(patterns(over=whole_maps(st.sampled_from((FOUR, Meter(6, 8), Meter(3, 4))), max_bars=2), parts=(1, 2, 3, 4)))
def test_twice_and_half_the_values(pattern: Pattern) -> None:
    """In twice the values everything lasts twice as long on the page, and half of that is the pattern again."""
    twice = in_values(pattern, Fraction(2))
    assert [hit.onset for hit in twice.hits] == [hit.onset * 2 for hit in pattern.hits]
    assert read_back(spell(twice)) == twice
    if all(meter == FOUR for meter, _ in pattern.meters.runs):
        assert in_values(twice, Fraction(1, 2)) == pattern


@fewer
@given(whole_patterns, st.integers(1, 3))
def test_a_page_is_read_back_as_it_is_played(pattern: Pattern, times: int) -> None:
    """Rows are printed once and read back as often as they are played."""
    page = Page("Two rows", "Play both.", (Row("one", pattern, times), Row("two", pattern)), Tempo.at(60, Fraction(1)))
    assert read_back_score(spell_page(page)) == page.pattern


@fewer
@given(whole_patterns, st.booleans())
def test_repeats_and_systems(pattern: Pattern, count_rests: bool) -> None:  # noqa: FBT001  drawn
    """A repeated bar equals the one before and starts no system; no system holds more than four bars as printed."""
    doubled = pattern * 3
    measures = spell(doubled, Choices(rests="counted" if count_rests else "written")).measures
    assert measures[0].new_system
    for before, measure in pairwise(measures):
        if measure.same_as_before:
            assert measure.voices == before.voices
            assert not measure.new_system
    on_system = 0
    for measure in measures:
        on_system = 0 if measure.new_system else on_system
        on_system += measure.rest_bars > 0 or not measure.in_rest
        assert on_system <= 4


def test_limbs_that_cannot_share_a_voice_have_their_own() -> None:
    """Five against seven in the hands are two voices in that bar alone."""
    meters = Meters.of(FOUR, 2)
    hits = [Hit(Fraction(n, 5), HAND_LIMBS[0], "ride") for n in range(5)]
    hits += [Hit(Fraction(n, 7), Limb.LH, "snare") for n in range(7)] + [Hit(Fraction(4), Limb.LH, "snare")]
    pattern = Pattern(tuple(hits), meters)
    section = spell(pattern)
    assert [[(v.number, v.stem) for v in m.voices] for m in section.measures] == [[(1, "up"), (3, "down")], [(1, "up")]]
    assert read_back(section) == pattern


def test_a_score_of_lines_groups() -> None:
    """Bars of a section stand in order, numbered on from the row before."""
    page_rows = tuple(Row(name, Pattern((), Meters.of(FOUR, 3))) for name in "ab")
    score = spell_page(Page("Rests", "Count.", page_rows, Tempo.at(60, Fraction(1))))
    assert [measure.number for measure in score.measures] == [1, 2, 3, 4, 5, 6]
    assert [len(list(run)) for _, run in groupby(score.measures, key=lambda m: m.shows_meter)] == [1, 5]
