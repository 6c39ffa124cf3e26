"""Law 8 for MusicXML, and what holds of every written score beyond the schema."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Hit, Pattern, parse_rows
from kitgen.spell import Choices
from kitgen.spell.choices import STICKINGS
from kitgen.spell.voices import LAYOUTS
from kitgen.write.musicxml import page_musicxml
from tests.strategies import fewer, patterns, whole_maps
from tests.write.musicxml_reading import differences, faults, page_of, read_back, text, tree_of

whole_patterns = patterns(over=whole_maps(max_runs=2))
choices = st.builds(
    Choices,
    layout=st.sampled_from(LAYOUTS),
    rests=st.sampled_from(("written", "counted")),
    stickings=st.sampled_from(STICKINGS),
    counts=st.sampled_from(("", "numbers", "beat-function")),
)


def held(pattern: Pattern) -> Pattern:
    """Two of three strokes held to the next of their limb, the last ones past the end, under whatever others strike."""
    hits: list[Hit] = []
    for limb in pattern.limbs:
        own = [hit for hit in pattern.hits if hit.limb == limb]
        ends = [*(hit.onset for hit in own[1:]), own[0].onset + pattern.span]
        for index, (hit, end) in enumerate(zip(own, ends, strict=True)):
            hits.append(hit if index % 3 == 1 else replace(hit, length=end - hit.onset))
    return pattern.with_hits(hits)


held_patterns = patterns(over=whole_maps(max_bars=2), parts=(1, 2, 3, 4, 6)).map(held)


@given(whole_patterns, choices)
def test_what_is_written_is_read(pattern: Pattern, how: Choices) -> None:
    """Law 8: meters, onsets, surfaces, levels, limbs and ornaments come back, however the page is written."""
    again = read_back(page_musicxml(page_of(pattern), how))
    assert list(differences(pattern, again)) == []
    assert again is None or again.meters == pattern.meters


@fewer
@given(held_patterns, st.integers(1, 3))
def test_held_strokes_are_struck_once(pattern: Pattern, times: int) -> None:
    """Law 8: what is held over beats, barlines and the end of the row is struck once each time round."""
    page = page_of(pattern, times=times)
    assert list(differences(page.pattern, read_back(page_musicxml(page)))) == []


@fewer
@given(whole_patterns, choices, st.booleans())
def test_no_fault_beyond_the_schema(pattern: Pattern, how: Choices, repeats: bool) -> None:  # noqa: FBT001
    """Bars are full in every voice, beams and tuplets end, ids stand once, instruments are those that are used."""
    assert list(faults(page_musicxml(page_of(pattern), how, bar_repeats=repeats))) == []


@fewer
@given(whole_patterns, st.integers(1, 3))
def test_the_bars_are_those_of_the_page(pattern: Pattern, times: int) -> None:
    """As many bars as the page plays, rows written out."""
    page = page_of(pattern, pattern, times=times)
    assert len(list(tree_of(page_musicxml(page)).iter("measure"))) == len(page.bars)


@fewer
@given(whole_patterns, choices)
def test_one_page_has_one_file(pattern: Pattern, how: Choices) -> None:
    """The same bytes each time."""
    assert page_musicxml(page_of(pattern), how) == page_musicxml(page_of(pattern), how)


WORDS = st.text(st.characters(exclude_categories=("Zl", "Zp", "Cc", "Cs")), min_size=1, max_size=30)


@fewer
@given(WORDS, WORDS, st.text(st.characters(categories=("Cc", "Cs")), max_size=3))
def test_titles_and_labels_are_set_literally(title: str, label: str, control: str) -> None:
    """Any Unicode and markup comes back as it was given; characters XML has not are left out."""
    control = "".join(char for char in control if len(f"a{char}a".splitlines()) == 1 and char != "\t")
    row = Row(label + "]]>", parse_rows("LH snare x x x x"))
    page = Page("<b>" + control + title + "&amp;", "do", (row,), Tempo.at(60, Fraction(1)), f"kitgen '{title}'")
    root = tree_of(page_musicxml(page))
    left_out = dict.fromkeys((0xFFFE, 0xFFFF))
    assert text(root, "work/work-title") == f"<b>{title}&amp;".strip().translate(left_out)
    assert text(root, ".//rehearsal") == f"{label}]]>".strip().translate(left_out)
    assert text(root, ".//miscellaneous-field[@name='recipe']") == f"kitgen '{title}'".translate(left_out)
