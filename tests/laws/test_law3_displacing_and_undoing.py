"""Law 3: displacements add; reverse, mirror and complement undo themselves; a line and its complement are the grid."""

from contextlib import suppress

from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import PatternError
from kitgen.line import Line, Note
from kitgen.pattern import Pattern, mirror, reverse
from kitgen.time import Meters, Subdivision
from tests.strategies import displacements, feels, fewer, maps, patterns, whole_maps


@given(patterns(lengths=True, feel=feels), displacements, displacements)
def test_displacements_add(p: Pattern, a: int, b: int) -> None:
    """Law 3: displacing by a then b is displacing by a+b, holds and ornaments included."""
    assert (p >> a) >> b == p >> (a + b)


@fewer
@given(patterns(lengths=True), displacements, st.integers(-3, 3))
def test_displacing_is_modulo_the_span(p: Pattern, a: int, turns: int) -> None:
    """Law 3: displacing by whole spans changes nothing, and span and meters stay."""
    assert p >> p.span * turns == p
    assert p >> (a + p.span * turns) == p >> a
    assert (p >> a).meters == p.meters


@given(patterns(feel=feels))
def test_reverse_undoes_itself(p: Pattern) -> None:
    """Law 3: reverse sends t to -t modulo the span and undoes itself."""
    back = reverse(p)
    assert sorted((-hit.onset % p.span, hit.limb) for hit in p.hits) == [(hit.onset, hit.limb) for hit in back.hits]
    assert reverse(back) == p


@fewer
@given(patterns(lengths=True))
def test_reverse_undoes_itself_where_holds_leave_room(p: Pattern) -> None:
    """Law 3: with holds, reverse undoes itself wherever a hold does not run into what now follows it."""
    with suppress(PatternError):
        assert reverse(reverse(p)) == p


@fewer
@given(patterns(), displacements)
def test_reverse_turns_displacement_round(p: Pattern, a: int) -> None:
    """Law 3: displacing later and reversing is reversing and displacing earlier."""
    assert reverse(p >> a) == reverse(p) >> -a


@given(patterns(lengths=True, feel=feels))
def test_mirror_undoes_itself(p: Pattern) -> None:
    """Law 3: mirror swaps left and right, keeps the surfaces and undoes itself."""
    other = mirror(p)
    assert {(hit.onset, hit.limb.mirrored, hit.surface) for hit in p.hits} == {
        (hit.onset, hit.limb, hit.surface) for hit in other.hits
    }
    assert mirror(other) == p


subdivisions = st.builds(Subdivision, st.integers(1, 9), st.integers(1, 4))


@st.composite
def slotted(draw: st.DrawFn) -> tuple[Line, Subdivision]:
    """An unaccented line of slot length on a subdivision, and the subdivision."""
    subdivision, meters = draw(subdivisions), draw(st.one_of(maps(), whole_maps()))
    slots = subdivision.spans(meters)
    kept = draw(st.lists(st.booleans(), min_size=len(slots), max_size=len(slots)))
    notes = tuple(Note(*slot) for slot, stays in zip(slots, kept, strict=True) if stays)
    return Line(notes, meters), subdivision


@given(slotted())
def test_complement_undoes_itself(given_line: tuple[Line, Subdivision]) -> None:
    """Law 3: complement undoes itself on unaccented lines of slot length."""
    line, subdivision = given_line
    assert line.complement(subdivision).complement(subdivision) == line


@given(slotted())
def test_line_and_complement_are_the_subdivision(given_line: tuple[Line, Subdivision]) -> None:
    """Law 3: a line and its complement never meet, and together are the full subdivision."""
    line, subdivision = given_line
    other = line.complement(subdivision)
    assert not set(line.onsets) & set(other.onsets)
    assert sorted(line.onsets + other.onsets) == list(subdivision.slots(line.meters))
    full = Line((), line.meters).complement(subdivision)
    assert tuple(sorted((*line.notes, *other.notes), key=lambda note: note.onset)) == full.notes


@fewer
@given(st.one_of(maps(), whole_maps()), subdivisions)
def test_slots_never_overlap(meters: Meters, subdivision: Subdivision) -> None:
    """Law 3: the slots of a subdivision follow one another inside the bars and are even in each group of beats."""
    spans = subdivision.spans(meters)
    assert tuple(start for start, _ in spans) == subdivision.slots(meters)
    ends = [start + length for start, length in spans]
    assert all(start < end for (start, _), end in zip(spans, ends, strict=True))
    assert all(end <= start for end, (start, _) in zip(ends, spans[1:], strict=False))
    assert max(ends, default=0) <= meters.span
    assert len(spans) % subdivision.parts == 0
