"""What an engraved page shows, sign by sign, and how its systems are laid out."""

import hashlib
import subprocess
import sys
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import APPLICATIONS
from kitgen.errors import OptionError
from kitgen.kit import SURFACES
from kitgen.make.again import made_again
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Pattern, parse_rows
from kitgen.spell import Choices, SpellingError, spell_page
from kitgen.write import engraving
from kitgen.write.engraving_mei import Document
from kitgen.write.engraving_notes import shared_rests
from kitgen.write.engraving_svg import Drawn, drawn
from kitgen.write.engraving_words import width_of
from tests.strategies import fewer, patterns, whole_maps
from tests.write.engraving_reading import (
    STAFF_PT,
    SVG,
    WIDTH_PT,
    engraved,
    glyphs,
    groups,
    heads,
    places,
    row,
    said,
    tree,
    trees,
    words,
)
from tests.write.musicxml_reading import page_of, page_with
from tests.write.test_musicxml_laws import choices, held_patterns

EIGHTHS = "RH closed-hat xx xx xx xx; LH snare .. x. .. x.; RF bass x. .. x. .."
SIXTEENTHS = "RH closed-hat xxxx xxxx xxxx xxxx; LH snare .... x... .... x...; RF bass x... .... x... ...."
SIGNS = "RH snare x... x... x... x...; LH snare ..x. .... ..x. ..x."


def bars(rows: str, count: int) -> Pattern:
    """So many equal bars."""
    return parse_rows(rows) * count


A_HEAD = 200
"""The width of a head, nearly."""


def is_clear(line: Sequence[tuple[float, str]]) -> bool:
    """True if no word of a line touches the next."""
    ends = [(x - 175 * width_of(word), x + 175 * width_of(word)) for x, word in line]
    return all(end < start for (_, end), (start, _) in pairwise(ends))


def widths(found: engraving.EngravedRow) -> list[float]:
    """The widths of a row's systems, in points."""
    return [round(picture.width_pt, 1) for picture in found.systems]


# ---- systems ---------------------------------------------------------------------------------------------------------


def test_four_bars_stand_on_a_system_and_fill_it() -> None:
    """Every system of four bars is as wide as the page, the last one too."""
    found = engraved(page_of(bars(EIGHTHS, 8))).rows[0]
    assert widths(found) == [WIDTH_PT] * 2
    assert [len(groups(root, "measure")) for root in trees(found)] == [4, 4]


def test_a_short_last_system_keeps_the_width_of_a_bar() -> None:
    """Two bars after four take half the room of four, apart from the clef."""
    found = engraved(page_of(bars(EIGHTHS, 6))).rows[0]
    full, short = trees(found)
    ends = [max(x for x, _ in places(root, "clef")) for root in (full, short)]
    assert ends[0] == ends[1]
    assert found.systems[1].width_pt / WIDTH_PT == pytest.approx(0.52, abs=0.02)


def test_dense_bars_stand_in_twos() -> None:
    """Where sixteenths of four bars would touch, two stand on a system."""
    found = engraved(page_of(bars(SIXTEENTHS, 8))).rows[0]
    assert widths(found) == [WIDTH_PT] * 4


def test_only_what_is_dense_is_broken() -> None:
    """A dense half of a system is broken; four plain bars before it stay together."""
    found = engraved(page_of(bars(EIGHTHS, 4) + bars(SIXTEENTHS, 4))).rows[0]
    assert [len(groups(root, "measure")) for root in trees(found)] == [4, 2, 2]


def test_short_rows_line_up() -> None:
    """Rows of one bar have one width, that of the densest."""
    page = page_of(bars(EIGHTHS, 1), bars(SIXTEENTHS, 1), bars(EIGHTHS, 1))
    assert len({widths(found)[0] for found in engraved(page).rows}) == 1


def test_nothing_is_wider_than_asked() -> None:
    """Not even the key of a page with every surface."""
    hits = "\n".join(
        f"{'R' if one.struck_by == 'hand' or one.side == 'R' else 'L'}{'H' if one.struck_by == 'hand' else 'F'} "
        f"{label} {''.join('x' if place == index else '.' for place in range(24))}"
        for index, (label, one) in enumerate(SURFACES.items())
    )
    found = engraved(page_with(hits, "6/4"))
    assert len(found.key) > 1
    assert all(picture.width_pt <= WIDTH_PT for picture in (*found.rows[0].systems, *found.key))
    assert sum(len(groups(tree(picture), "note")) for picture in found.key) == len(SURFACES)
    names = " ".join(word for picture in found.key for line in words(tree(picture)) for word in line)
    assert all(word in names for one in SURFACES.values() for word in one.words.split())


def test_a_bar_too_dense_for_the_page_is_drawn_smaller() -> None:
    """Sixty-four notes and their syllables fit the width, and none touch."""
    (picture,) = row(" ".join(["RH snare", *["xxxxxxxx"] * 8]), "8/4", BOTH).systems
    assert WIDTH_PT - 0.5 <= picture.width_pt <= WIDTH_PT
    xs = [x for x, _ in places(tree(picture), "notehead")]
    assert len(xs) == 64
    assert min(after - before for before, after in pairwise(xs)) > 212


def test_the_staff_has_the_height_asked_for() -> None:
    """Five lines over so many points."""
    picture = row(EIGHTHS).systems[0]
    root = tree(picture)
    (staff,) = groups(root, "staff")
    lines = [int((path.get("d") or "").split()[1]) for path in staff.findall(f"{SVG}path")]
    units = float(root.get("viewBox", "").split()[2])
    assert (max(lines) - min(lines)) * picture.width_pt / units == pytest.approx(STAFF_PT, rel=1e-4)


def test_bars_are_numbered_as_they_are_played() -> None:
    """A system starts with the number of its first bar, counting repeated rows as often as they are played."""
    page = page_of(bars(EIGHTHS, 8))
    page = replace(page, rows=(Row("first", bars(EIGHTHS, 1), 4), *page.rows))
    numbers = [
        [text.text for text in root.iter(f"{SVG}text")] for found in engraved(page).rows for root in trees(found)
    ]
    assert numbers == [[], ["5"], ["9"]]


def test_the_meter_is_printed_where_it_changes() -> None:
    """Not at each row, nor at each system."""
    page = page_of(bars(EIGHTHS, 8), bars(EIGHTHS, 4), parse_rows("RH snare xxx", "3/8"))
    meters = [[len(places(root, "meterSig")) for root in trees(found)] for found in engraved(page).rows]
    assert meters == [[2, 0], [0], [2]]


def test_a_looped_row_stands_between_repeat_signs() -> None:
    """Dots at both ends of what is played more than once, none elsewhere."""
    assert [glyphs(trees(row(EIGHTHS, times=times))[0])["E044"] for times in (4, 1)] == [4, 0]


# ---- signs that the engraver has to be told in its own way -----------------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "glyph", "times"),
    [
        ("RH open-hat x x . .; RH closed-hat . . x x", "E5E7", 2),
        ("RH open-hat x x . .; RH closed-hat . . x x", "E5E5", 1),
        ("LH snare X x x X", "E4A0", 2),
        ("LH snare g x x g", "E26A", 2),
        ("LH snare x x x x; buzz LH x . . .", "E22A", 1),
        ("LH snare x x x x; diddle LH . x . .", "E220", 1),
        ("LH snare x x x x; flam LH . . x .", "E240", 1),
        ("LH snare . . . .", "E4E3", 1),
    ],
)
def test_a_sign_is_drawn(rows: str, glyph: str, times: int) -> None:
    """Circle, plus, accent, parenthesis, z, slash, the flag of a flam, the rest of a bar."""
    assert glyphs(trees(row(rows))[0])[glyph] == times


def test_small_notes_stay_out_of_the_beam() -> None:
    """A flam on the first note of a beam has a flag and a short stem; drags have beams of their own."""
    (root,) = trees(row(f"{SIGNS}; flam RH x... .... .... ....; drag RH .... x... .... ...."))
    assert len(groups(root, "graceGrp")) == 2
    assert glyphs(root)["E240"] == 1
    assert sorted(len(groups(beam, "note")) for beam in groups(root, "beam")) == [2, 2, 4]


def test_a_tuplet_has_one_number_and_a_bracket_only_without_a_beam() -> None:
    """Three beamed triplet eighths: a number; a quarter and an eighth: a bracket too."""
    (beamed,) = trees(row("RH snare xxx x.. x.. x.."))
    (broken,) = trees(row("RH snare x.x x.. x.. x.."))
    assert [len(groups(root, "tupletNum")) for root in (beamed, broken)] == [1, 1]
    assert [len(groups(root, "tupletBracket")) for root in (beamed, broken)] == [0, 1]


def test_the_beam_shows_the_beat() -> None:
    """Two beams that part in the middle of a beat of eight thirty-seconds are one below."""
    (root,) = trees(row("RH snare xxxxxxxx x....... x....... x......."))
    (beam,) = groups(root, "beam")
    assert len(groups(beam, "note")) == 8


def test_held_notes_are_tied() -> None:
    """Into the next bar, and over the end of a looped row."""
    (root,) = trees(row("RH crash x--- ---- ---- ----  ---- ---- ---- x---\nlengths RH crash"))
    assert len(groups(root, "tie")) == 1
    held = Pattern(
        tuple(replace(hit, length=Fraction(2)) for hit in parse_rows("RH crash .... .... .... x...").hits),
        parse_rows("RH crash .... .... .... x...").meters,
    )
    (root,) = trees(engraved(page_of(held, times=2)).rows[0])
    assert len(groups(root, "lv")) == 1
    assert len(groups(root, "tie")) == 1


def test_equal_bars_are_signs_where_asked_for() -> None:
    """Never at the start of a system, and without a number."""
    page = page_of(bars(SIXTEENTHS, 8))
    found = engraved(page, bar_repeats=True).rows[0]
    assert [len(groups(root, "mRpt")) for root in trees(found)] == [3, 3]
    assert [len(places(root, "mRpt")) for root in trees(found)] == [3, 3]
    assert sum(len(groups(root, "mRpt")) for root in trees(engraved(page).rows[0])) == 0


def test_counted_rests_are_one_bar_with_a_number() -> None:
    """Four bars of rest under one block."""
    page = page_of(bars(EIGHTHS, 1) + parse_rows("RH snare .... .... .... ....") * 4 + bars(EIGHTHS, 1))
    (root,) = trees(engraved(page, Choices(rests="counted")).rows[0])
    assert len(groups(root, "measure")) == 3
    assert glyphs(root)["E084"] == 2 + 1  # the meter's two figures, and the number of bars


def test_counted_rests_do_not_narrow_what_follows() -> None:
    """A system of nothing but rests is as wide as the others, and the bars after it stand as usual."""
    silent = parse_rows("RH snare .... .... .... ....")
    page = page_of(bars(EIGHTHS, 4) + silent * 8 + bars(EIGHTHS, 4))
    found = engraved(page, Choices(rests="counted")).rows[0]
    assert [len(groups(root, "measure")) for root in trees(found)] == [4, 1, 4, 1]
    assert widths(found)[:3] == [WIDTH_PT] * 3


def test_rests_keep_clear_of_the_other_voice() -> None:
    """The rests of the feet stand below the hands' lowest head, those of the hands above the feet's highest."""
    rows = "RH floor-tom .x.. .... .x.. x...; RF bass .... x... .... x..."
    (root,) = trees(row(rows, "4/4", Choices(layout="hands-feet")))
    above, below = ([y for _, y in places(layer, "rest")] for layer in groups(root, "layer"))
    tom, bass = (max(y for _, y in places(layer, "notehead")) for layer in groups(root, "layer"))
    assert above
    assert below
    assert min(below) - tom >= 2 * 180
    assert bass - max(above) >= 2 * 180


# ---- words under the staff -------------------------------------------------------------------------------------------


def test_counts_and_stickings_stand_in_lines() -> None:
    """Stickings over counts, also under rests and where no note starts."""
    (root,) = trees(row("RH snare x.x. .... x... ....; LH snare .x.x .... .... ....", "4/4", BOTH))
    assert words(root) == [["R", "L", "R", "L", "R"], ["1", "e", "&", "a", "2", "3", "4"]]


def test_hands_together_have_a_line_each() -> None:
    """The right one's above; each letter under its head."""
    (root,) = trees(row("RH closed-hat x.x. ....; LH snare ..x. .x..", "2/4", Choices(stickings="all")))
    assert words(root) == [["R", "R"], ["L", "L"]]
    (right, left) = said(root)
    assert right[1][0] == left[0][0]


def test_hands_of_two_voices_have_a_line_each() -> None:
    """Also where the hands cannot share a voice and strike at one instant."""
    (root,) = trees(row("RH closed-hat xxxxx; LH snare x.xx", "1/4", Choices(stickings="all")))
    assert words(root) == [["R"] * 5, ["L"] * 3]


def test_words_never_touch() -> None:
    """Long syllables in dense bars get room."""
    for rows in ("RH snare xxx xxx xxx xxx", "RH snare xxxxxx xxxxxx xxxxxx xxxxxx", "RH snare x.. xxx x... xxxx"):
        for system in trees(row(rows, "4/4", BOTH)):
            for line in said(system):
                assert is_clear(line)


def test_evenly_played_notes_are_evenly_spaced_over_words() -> None:
    """Syllables of different lengths do not push triplets about."""
    (root,) = trees(row("RH snare xxx xxx xxx xxx", "4/4", Choices(counts="numbers")))
    xs = [x for x, _ in places(root, "notehead")]
    gaps = [after - before for before, after in pairwise(xs)]
    assert max(gaps) - min(gaps) < 0.2 * min(gaps)


def test_words_stand_below_stems_and_accents() -> None:
    """Under a hat foot, and under an accent of the feet, they stand lower than under a lone snare."""
    counted = Choices(counts="numbers")
    rows = ("LH snare x x x x", "LH snare x x x x; RF bass X x X x", "LH snare x x x x; LF hat-foot X x X x")
    depths = []
    for one in rows:
        (root,) = trees(row(one, "4/4", counted))
        (staff,) = groups(root, "staff")
        bottom = max(int((path.get("d") or "").split()[1]) for path in staff.findall(f"{SVG}path"))
        words_at = min(float(text.get("y", "")) for text in root.iter(f"{SVG}text"))
        depths.append(words_at - bottom)
    assert depths == sorted(depths)
    assert depths[2] - depths[0] > 360


BOTH = Choices(stickings="all", counts="numbers")


# ---- what holds of every picture -------------------------------------------------------------------------------------


@fewer
@given(st.one_of(patterns(over=whole_maps(max_runs=2)), held_patterns), choices, st.integers(1, 3))
def test_every_head_is_drawn_once(pattern: Pattern, how: Choices, times: int) -> None:
    """Whatever the page and however it is written, as many heads are drawn as are spelled, small ones too."""
    page = page_of(pattern, times=times)
    try:
        score = spell_page(page, how)
    except SpellingError:
        return
    strokes = [stroke for event in score.events() for stroke in event.strokes]
    spelled = sum(stroke.shown + len(stroke.graces) for stroke in strokes)
    found = engraved(page, how)
    drawn = sum(len(groups(root, "notehead")) for one in found.rows for root in trees(one))
    assert drawn == spelled


def test_a_picture_stands_alone() -> None:
    """Every reference is to a glyph in it, every name is there once, and nothing is fetched."""
    found = engraved(page_with(f"{SIGNS}; flam RH .... x... .... ....", times=2), BOTH)
    for picture in (*found.rows[0].systems, *found.key):
        root = tree(picture)
        names = [element.get("id") for element in root.iter() if element.get("id")]
        used = {use.get("href", "")[1:] for use in root.iter(f"{SVG}use")}
        assert len(set(names)) == len(names)
        assert used == set(names)
        assert picture.svg.count("http") == 1  # the name of the vocabulary
        assert (root.get("width"), root.get("height")) == (f"{picture.width_pt:g}pt", f"{picture.height_pt:g}pt")


def test_the_same_page_has_the_same_pictures_in_any_process() -> None:
    """Whatever was engraved before, and in whatever process."""
    page = page_with(SIXTEENTHS, times=2)
    engraving._MEMORY.clear()
    first = engraved(page, BOTH)
    engraving._MEMORY.clear()
    engraved(page_with(EIGHTHS))
    assert engraved(page, BOTH) == first
    program = (
        "from tests.write.test_engraving import *\n"
        "import hashlib\n"
        "print(hashlib.sha256(repr(engraved(page_with(SIXTEENTHS, times=2), BOTH)).encode()).hexdigest())"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == hashlib.sha256(repr(first).encode()).hexdigest()


def test_equal_rows_are_engraved_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """On one page and on the next, also when their numbers differ."""
    engraving._MEMORY.clear()
    asked = list[Document]()

    def noted(document: Document, across: Sequence[float]) -> tuple[list[Drawn], list[bool]]:
        asked.append(document)
        return drawn(document, across)

    monkeypatch.setattr(engraving, "drawn", noted)
    page = page_of(bars(SIXTEENTHS, 1), *[bars(EIGHTHS, 1)] * 5, bars(SIXTEENTHS, 2))
    engraved(page)
    assert len(asked) == 1 + 1 + 1 + 1  # three rows that differ, and the key
    engraved(page)
    assert len(asked) == 4


def test_memory_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    """The drawings longest unasked for are forgotten."""
    engraving._MEMORY.clear()
    monkeypatch.setattr(engraving, "_REMEMBERED", 2)
    for rows in (EIGHTHS, SIXTEENTHS, "RH snare x x x x"):
        engraved(page_with(rows))
    assert len(engraving._MEMORY) == 2


@pytest.mark.parametrize("name", APPLICATIONS)
def test_pages_can_be_read(name: str) -> None:
    """Of every application, with counts and stickings: no wider than the sheet, heads and words clear of each other."""
    page = made_again(f'kitgen apply "x.x- xxxx x--- xxx." --as {name}  # kitgen 0.1.0')
    found = engraved(page, BOTH)
    systems = [picture for one in (*found.rows, *found.kernels) for picture in one.systems]
    for picture in (*systems, *found.key):
        assert picture.width_pt <= WIDTH_PT + 0.1
        root = tree(picture)
        for layer in groups(root, "layer"):
            columns = sorted({x for x, _ in heads(layer)})
            assert not [after for before, after in pairwise(columns) if 40 < after - before < A_HEAD]
        assert all(map(is_clear, said(root)))


def test_threads_share_the_engraver() -> None:
    """Pages engraved at once are those engraved one after the other."""
    pages = [page_of(bars(rows, count)) for rows in (EIGHTHS, SIXTEENTHS) for count in (1, 2, 3, 4)]
    engraving._MEMORY.clear()
    with ThreadPoolExecutor(4) as pool:
        at_once = list(pool.map(engraved, pages))
    engraving._MEMORY.clear()
    assert at_once == [engraved(page) for page in pages]


# ---- pages at the edge -----------------------------------------------------------------------------------------------


def test_a_row_of_400_bars() -> None:
    """Every bar is there."""
    found = engraved(page_of(bars(EIGHTHS, 400))).rows[0]
    assert len(found.systems) == 100
    assert sum(picture.svg.count('class="measure"') for picture in found.systems) == 400


@pytest.mark.parametrize(
    ("rows", "meter"),
    [
        ("RH snare .... .... .... ....", "4/4"),
        ("RH snare x...", "1/4"),
        ("RH snare xxx x.x xxx xx. x..; RF bass x.. x.. x.. x.. x..", "15/8"),
        ("RH snare xxxxx xxxxxxx xxx x", "4/4"),
        ("RH snare x x x x\n\nmeter 7/8\nRH snare xx xx xxx\n\nmeter 1/8\nRH snare x", "4/4"),
    ],
)
@pytest.mark.parametrize("counts", ["", "numbers"])
def test_odd_bars_are_engraved(rows: str, meter: str, counts: str) -> None:
    """Silence, the shortest and the longest meters, fives and sevens, meters that change."""
    page = page_with(rows, meter)
    found = engraved(page, Choices(counts=counts)).rows[0]
    assert sum(len(groups(root, "measure")) for root in trees(found)) == len(page.bars)


def test_what_cannot_be_spelled_is_refused_in_words() -> None:
    """The error names row and bar."""
    pattern = parse_rows("RH snare x x x x")
    hits = (replace(pattern.hits[0], onset=Fraction(1, 97)), *pattern.hits[1:])
    page = Page("Any", "Play.", (Row("odd one", pattern.with_hits(hits)),), Tempo.at(90, Fraction(1)))
    with pytest.raises(SpellingError, match="odd one"):
        engraved(page)


@pytest.mark.parametrize(("width", "height"), [(0, 0), (520, 0), (520, -1), (50, 20), (float("nan"), 20), (520, 400)])
def test_paper_that_holds_no_staff_is_refused(width: float, height: float) -> None:
    """The error says what the width has to be."""
    with pytest.raises(OptionError, match="5 times"):
        engraving.engrave(page_with(EIGHTHS), width_pt=width, staff_pt=height)


def test_the_narrowest_paper_has_everything() -> None:
    """Drawn small, but all there and no wider than asked."""
    found = engraving.engrave(page_with(SIXTEENTHS), BOTH, width_pt=100, staff_pt=20)
    assert all(picture.width_pt <= 100 for picture in (*found.rows[0].systems, *found.key))
    assert sum(len(groups(root, "notehead")) for root in trees(found.rows[0])) == 20


def test_rests_stand_in_the_middle_only_where_all_voices_rest() -> None:
    """A foot's rest under strokes of the hands keeps to its side, though a held voice has a hidden rest there."""
    both = parse_rows("RH snare x. xx x. xx; LH snare x- -- .. ..; lengths LH snare; LF hat-foot .. x. .. x.")
    (measure,) = spell_page(Page("sweep", "", (Row("bar", both),), Tempo.at(60, Fraction(1)))).sections[0].measures
    assert len(measure.voices) == 3
    assert any(not event.shown for voice in measure.voices for event in voice.events)
    assert not shared_rests(measure.voices)
    hands = parse_rows("RH snare x. x. .. ..; RF bass x. x. .. ..")
    (measure,) = spell_page(Page("rest", "", (Row("bar", hands),), Tempo.at(60, Fraction(1)))).sections[0].measures
    assert shared_rests(measure.voices) == {Fraction(2)}
