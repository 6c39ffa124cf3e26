"""The forty rudiments against what is published about them, and their ornaments as two other readers hear them.

Numbers, names, families: Percussive Arts Society, International Drum Rudiments, 1984. The sheet could not be read
again: a sticking counts as published where another publication describes it too, named beside it; the others are from
memory or common practice and say so. Accents and lengths are from memory unless said.
"""

import warnings
from collections import Counter
from fractions import Fraction
from io import BytesIO
from itertools import pairwise
from typing import NamedTuple

import pretty_midi
import pytest
from hypothesis import given

from kitgen.errors import PatternError
from kitgen.kit import SURFACES
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Ornament, Pattern, parse_rows
from kitgen.pattern.rudiments import RUDIMENTS, Rudiment
from kitgen.read.text import page_of_text
from kitgen.time import Meter
from kitgen.write.midi import loop
from kitgen.write.text import page_text
from tests.strategies import fewer, patterns, whole_maps
from tests.write.heard import Heard, load, notes_in

# ---- the list --------------------------------------------------------------------------------------------------------

FAMILIES = {"roll": range(1, 16), "diddle": range(16, 20), "flam": range(20, 31), "drag": range(31, 41)}
"""Percussive Arts Society, International Drum Rudiments, 1984."""

NAMES = """
single stroke roll, single stroke four, single stroke seven, multiple bounce roll, triple stroke roll,
double stroke open roll, five stroke roll, six stroke roll, seven stroke roll, nine stroke roll, ten stroke roll,
eleven stroke roll, thirteen stroke roll, fifteen stroke roll, seventeen stroke roll,
single paradiddle, double paradiddle, triple paradiddle, single paradiddle-diddle,
flam, flam accent, flam tap, flamacue, flam paradiddle, single flammed mill, flam paradiddle-diddle, pataflafla,
swiss army triplet, inverted flam tap, flam drag,
drag, single drag tap, double drag tap, lesson 25, single dragadiddle, drag paradiddle #1, drag paradiddle #2,
single ratamacue, double ratamacue, triple ratamacue
"""
"""Percussive Arts Society, International Drum Rudiments, 1984, in its order."""


def at(number: int) -> Rudiment:
    """The rudiment of a number."""
    return list(RUDIMENTS.values())[number - 1]


def test_forty_in_four_families() -> None:
    """Forty: 15 rolls, 4 diddles, 11 flams, 10 drags, in this order (PAS, 1984)."""
    assert len(RUDIMENTS) == 40
    assert Counter(item.family for item in RUDIMENTS.values()) == {"roll": 15, "diddle": 4, "flam": 11, "drag": 10}
    assert [item.family for item in RUDIMENTS.values()] == [name for name, own in FAMILIES.items() for _ in own]


def test_names_in_their_order() -> None:
    """The names as the list has them (PAS, 1984)."""
    names = [" ".join(name.split()) for name in NAMES.split(",")]
    assert [item.title.lower() for item in RUDIMENTS.values()] == names


# ---- stickings -------------------------------------------------------------------------------------------------------


class Known(NamedTuple):
    """What is known of a rudiment's sticking: small letters for grace strokes."""

    number: int
    sticking: str
    source: str


PAGE = "a teacher's public page on the rudiments"
PUBLISHED = (
    Known(1, "R L", f"{PAGE}: alternating single strokes"),
    Known(3, "R L R L R L R", f"{PAGE}: seven single strokes"),
    Known(4, "R L", f"{PAGE}: alternating multiple bounce strokes"),
    Known(5, "R R R L L L", f"{PAGE}: three strokes a hand"),
    Known(6, "R R L L", "Wikipedia, Drum rudiment: alternating double strokes"),
    Known(7, "R R L L R", PAGE),
    Known(8, "R L L R R L", f"{PAGE}: an accented note, then a five stroke roll"),
    Known(9, "R R L L R R L", PAGE),
    Known(10, "R R L L R R L L R", PAGE),
    Known(11, "R R L L R R L L R L", PAGE),
    Known(12, "R R L L R R L L R R L", PAGE),
    Known(13, "R R L L R R L L R R L L R", PAGE),
    Known(14, "R R L L R R L L R R L L R R L", PAGE),
    Known(15, "R R L L R R L L R R L L R R L L R", PAGE),
    Known(16, "R L R R", "Wikipedia, Drum rudiment: RLRR LRLL"),
    Known(20, "lR rL", "a teaching page: two strokes almost at once, the first a quiet grace"),
    Known(22, "lR R", "Modern Drummer, Top 10 Rudiments: each hand plays accent, tap, grace"),
    Known(24, "lR L R R", "a teaching page: a paradiddle with a flam on the first note"),
    Known(27, "lR L R rL", "a teaching article, 2021: flam, tap, tap, flam"),
    Known(32, "llR L", "a teaching page on the drags: a drag, then an accented single, in eighths"),
    Known(36, "R llR L R R", "a teaching page on the drags: 3/8, an eighth, a drag, a paradiddle"),
    Known(38, "llR L R L", "a teaching page on the drags: a drag, three triplet notes, an accented fourth"),
)
REMEMBERED = (
    Known(2, "R L R L", "from memory"),
    Known(17, "R L R L R R", "from memory"),
    Known(18, "R L R L R L R R", "from memory"),
    Known(19, "R L R R L L", "from memory"),
    Known(21, "lR L R", "from memory"),
    Known(23, "lR L R L lR", "from memory"),
    Known(25, "lR R L R", "common practice: a paradiddle turned round, with flams"),
    Known(26, "lR L R R L L", "from memory"),
    Known(28, "lR R L", "from memory"),
    Known(29, "lR L rL R", "common practice: doubles begun on the second stroke, that stroke flammed"),
    Known(30, "lR L L R", "common practice: flam, double, single in triplets"),
    Known(31, "llR rrL", "from memory"),
    Known(33, "llR llR L", "from memory"),
    Known(34, "llR L R", "common practice: drag, 16th, accented eighth"),
    Known(35, "R R L R R", "common practice: a paradiddle whose first stroke is a double"),
    Known(37, "R llR llR L R R", "common practice: number 36 with one more stroke and drag"),
    Known(39, "llR llR L R L", "from memory"),
    Known(40, "llR llR llR L R L", "from memory"),
)


@pytest.mark.parametrize("known", PUBLISHED, ids=lambda known: f"{known.number}")
def test_published_stickings(known: Known) -> None:
    """The stickings another publication describes, each with its source in the table."""
    assert at(known.number).sticking == known.sticking, known.source


@pytest.mark.parametrize("known", REMEMBERED, ids=lambda known: f"{known.number}")
def test_remembered_stickings(known: Known) -> None:
    """The other stickings, from memory or common practice as the table says."""
    assert at(known.number).sticking == known.sticking, known.source


SWAPS = {
    3, 7, 10, 13, 15, 16, 17, 18, 21, 22, 23, 24, 25, 26, 30, 32, 33, 35, 36, 37, 38, 39, 40,
}  # fmt: skip
"""Rudiments whose next time through starts with the other hand: arithmetic for open rolls (7 to 15), Wikipedia (Drum
rudiment) for 16, Modern Drummer (Top 10 Rudiments) for 22; the others from memory."""


def test_which_hands_swap() -> None:
    """Whether the next time through starts with the other hand."""
    assert {item.number for item in RUDIMENTS.values() if item.alternates} == SWAPS
    assert sorted(known.number for known in (*PUBLISHED, *REMEMBERED)) == list(range(1, 41))


@pytest.mark.parametrize("strokes", [5, 7, 9, 11, 13, 15, 17])
def test_open_rolls_add_up(strokes: int) -> None:
    """Half of n - 1 doubles, then a single: the hands swap after an even number of doubles (arithmetic)."""
    (item,) = [one for one in RUDIMENTS.values() if len(one.strokes) == strokes and one.number in range(7, 16)]
    hands = [stroke.hand for stroke in item.strokes]
    doubles = (strokes - 1) // 2
    assert hands[:-1:2] == hands[1:-1:2] == ["RL"[index % 2] for index in range(doubles)]
    assert hands[-1] == "RL"[doubles % 2]
    assert item.alternates is (doubles % 2 == 0) is (strokes in (5, 9, 13, 17))
    assert [stroke.accent for stroke in item.strokes] == [False] * (strokes - 1) + [True]  # from memory


def test_paradiddles_and_their_rotations() -> None:
    """The family with its lengths 4, 6 and 8, and the rotations of the single one (Wikipedia; the rest arithmetic)."""
    plain = {name: "".join(stroke.hand for stroke in RUDIMENTS[name].strokes) for name in RUDIMENTS}
    assert plain["single-paradiddle"] == "RLRR"
    assert plain["double-paradiddle"] == "RLRLRR"  # from memory
    assert plain["triple-paradiddle"] == "RLRLRLRR"  # from memory
    assert plain["single-paradiddle-diddle"] == "RLRRLL"  # from memory
    cycle = "".join(stroke.hand for stroke in RUDIMENTS["single-paradiddle"].cycle)
    turned = [cycle[turn:] + cycle[:turn] for turn in range(4)]
    assert turned == ["RLRRLRLL", "LRRLRLLR", "RRLRLLRL", "RLRLLRLR"]


def test_grace_strokes_are_the_other_hands() -> None:
    """A flam's grace stroke and both of a drag's are of the hand that does not play the stroke (Wikipedia)."""
    graced = [stroke for item in RUDIMENTS.values() for stroke in item.cycle if stroke.graces]
    assert {str(stroke) for stroke in graced} == {"lR", "rL", "llR", "rrL"}
    assert all(stroke.ornament in (Ornament.FLAM, Ornament.DRAG) for stroke in graced)


def test_a_flam_tap_a_hand() -> None:
    """Each hand of a flam tap goes accent, tap, grace (Modern Drummer, Top 10 Rudiments)."""
    right = []
    for stroke in RUDIMENTS["flam-tap"].cycle:
        if stroke.hand == "R":
            right.append("accent" if stroke.accent else "tap")
        elif stroke.graces:
            right.append("grace")
    assert right == ["accent", "tap", "grace"]


# ---- accents and lengths, from memory --------------------------------------------------------------------------------

ACCENTS = {
    7: {5}, 8: {1, 6}, 9: {7}, 10: {9}, 11: {9, 10}, 12: {11}, 13: {13}, 14: {15}, 15: {17}, 16: {1}, 17: {1}, 18: {1},
    19: {1}, 21: {1}, 22: {1}, 23: {2}, 24: {1}, 25: {1}, 26: {1}, 27: {1, 4}, 28: {1}, 29: {1, 3}, 30: {1}, 32: {2},
    33: {3}, 34: {3}, 35: {1}, 36: {1}, 37: {1}, 38: {4}, 39: {5}, 40: {6},
}  # fmt: skip
"""Accented strokes, counted from 1: from memory, but for 22, 32 and 38 (see above)."""

LENGTHS = {
    2: [1, 1, 1, 3], 3: [1, 1, 1, 1, 1, 1, 6], 8: [2, 1, 1, 1, 1, 2], 11: [1] * 8 + [2, 6], 23: [1, 1, 1, 1, 4],
    30: [2, 1, 1, 2], 34: [1, 1, 2], 35: [1, 1, 2, 2, 2], 36: [2, 1, 1, 1, 1], 37: [2, 2, 1, 1, 1, 1],
    38: [1, 1, 1, 3], 39: [3, 1, 1, 1, 3], 40: [3, 3, 1, 1, 1, 3],
    7: [1] * 4 + [4], 9: [1] * 6 + [2], 10: [1] * 8 + [8], 12: [1] * 10 + [6], 13: [1] * 12 + [4], 14: [1] * 14 + [2],
    15: [1] * 16 + [16],
}  # fmt: skip
"""Lengths of strokes where they are not all alike: from memory; the last of each roll is in doubt."""


def test_remembered_accents() -> None:
    """Which strokes are accented; no others are."""
    found = {
        item.number: {place for place, stroke in enumerate(item.strokes, start=1) if stroke.accent}
        for item in RUDIMENTS.values()
    }
    assert {number: places for number, places in found.items() if places} == ACCENTS


def test_remembered_lengths() -> None:
    """How long strokes are to each other; those of the others are all alike."""
    found = {item.number: [stroke.length for stroke in item.strokes] for item in RUDIMENTS.values()}
    assert {number: lengths for number, lengths in found.items() if set(lengths) != {1}} == LENGTHS


def test_what_is_in_doubt_says_so() -> None:
    """Rudiments whose release, accents, hands or rhythm teachers' pages give differently carry a doubt."""
    doubted = {item.number for item in RUDIMENTS.values() if item.doubt}
    assert doubted == {2, 3, 7, 8, 9, 10, 12, 13, 14, 15, 17, 18, 23, 26, 28, 29, 30, 31, 34, 35}


# ---- ornaments as mido and pretty_midi hear them ---------------------------------------------------------------------

BPM = 100
OTHER = {"right hand": "left hand", "left hand": "right hand"}


def page_of(rows: str | Pattern, bpm: float = BPM) -> Page:
    """A page of one row, in quarters a minute."""
    pattern = parse_rows(rows, "4/4") if isinstance(rows, str) else rows
    return Page("a page", "", (Row("a row", pattern),), Tempo.at(bpm, Fraction(1)))


def by_mido(page: Page) -> list[Heard]:
    """What mido reads, in order."""
    return sorted(notes_in(loop(page)), key=lambda note: note.start)


def by_pretty_midi(page: Page) -> list[tuple[float, str, int, int]]:
    """What pretty_midi reads: (seconds, limb, key, velocity) in order."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        midi = pretty_midi.PrettyMIDI(BytesIO(bytes(loop(page))))
    return sorted((n.start, part.name, n.pitch, n.velocity) for part in midi.instruments for n in part.notes)


def in_seconds(page: Page, bpm: float = BPM) -> list[tuple[float, str, int, int]]:
    """What mido reads as pretty_midi has it."""
    second = load(loop(page)).ticks_per_beat * bpm / 60
    return sorted((note.start / second, note.track, note.key, note.velocity) for note in by_mido(page))


@pytest.mark.parametrize("bpm", [40, 60, 90, 120, 160])
@pytest.mark.parametrize(("limb", "hand"), [("RH", "right hand"), ("LH", "left hand")])
def test_a_flam_is_heard(limb: str, hand: str, bpm: int) -> None:
    """One grace note 25 to 40 ms before the beat (common practice), the other hand's, softer, on that drum."""
    page = page_of(f"{limb} snare x x . .; flam {limb} . x . .", bpm)
    for heard in (in_seconds(page, bpm), by_pretty_midi(page)):
        _, grace, stroke = heard
        assert stroke[0] == pytest.approx(60 / bpm, abs=1e-6)
        assert 0.025 <= stroke[0] - grace[0] <= 0.040
        assert (grace[1], stroke[1]) == (OTHER[hand], hand)
        assert grace[2] == stroke[2] == SURFACES["snare"].key
        assert grace[3] < stroke[3] * 0.7


@pytest.mark.parametrize("bpm", [40, 60, 90, 120, 160])
def test_a_drag_is_heard(bpm: int) -> None:
    """Two soft grace notes of the other hand before the beat, close together, not on it."""
    page = page_of("RH snare x x . .; drag RH . x . .", bpm)
    for heard in (in_seconds(page, bpm), by_pretty_midi(page)):
        _, first, second, stroke = heard
        assert [first[1], second[1], stroke[1]] == ["left hand", "left hand", "right hand"]
        gaps = second[0] - first[0], stroke[0] - second[0]
        assert all(0.020 <= gap <= 0.040 for gap in gaps)
        assert max(first[3], second[3]) < stroke[3] * 0.7


@pytest.mark.parametrize(
    ("rows", "strokes", "gap"),
    [
        ("RH snare x. .. .. ..; diddle RH x. .. .. ..", 1, Fraction(1, 4)),
        ("RH snare xxxx .... .... ....; diddle RH x... .... .... ....", 4, Fraction(1, 8)),
    ],
)
def test_a_diddle_is_heard(rows: str, strokes: int, gap: Fraction) -> None:
    """Two strokes of one hand: the second halfway to its next stroke, or a 16th later where it has time."""
    page = page_of(rows)
    for heard in (in_seconds(page), by_pretty_midi(page)):
        stroke, second = heard[:2]
        assert {note[1] for note in heard} == {"right hand"}
        assert len(heard) == strokes + 1
        assert second[0] - stroke[0] == pytest.approx(float(gap) * 60 / BPM, abs=1e-3)
        assert 0.7 * stroke[3] < second[3] < stroke[3]


@pytest.mark.parametrize("bpm", [40, 60, 90, 120, 160])
def test_a_buzz_is_heard(bpm: int) -> None:
    """Several bounces of the same hand, three or more at moderate tempi, each softer, closer than single strokes go."""
    page = page_of("RH snare x . . .; buzz RH x . . .", bpm)
    for heard in (in_seconds(page, bpm), by_pretty_midi(page)):
        assert len(heard) >= 4
        assert {note[1] for note in heard} == {"right hand"}
        gaps = [second[0] - first[0] for first, second in pairwise(heard)]
        assert all(0.025 <= gap <= 0.100 for gap in gaps)
        assert max(gaps) - min(gaps) < 0.005
        velocities = [note[3] for note in heard]
        assert velocities == sorted(velocities, reverse=True)
        assert velocities[-1] < velocities[0]
        assert heard[-1][0] - heard[0][0] <= 0.5 * 60 / bpm


@pytest.mark.parametrize("name", RUDIMENTS)
def test_a_rudiment_is_heard_whole(name: str) -> None:
    """Both readers hear each rudiment's strokes in their places and hands, and between them only what it adds."""
    from kitgen.apply.rudiment import as_written
    from kitgen.kit import Limb
    from kitgen.pattern import Hit

    item = RUDIMENTS[name]
    written = as_written(item, Meter(4, 4), times=4)
    hits = [Hit(onset, Limb[f"{one.hand}H"], "snare", ornament=one.ornament) for onset, one in written.strokes]
    page = page_of(Pattern(tuple(hits), written.meters), 60)
    hands = {"R": "right hand", "L": "left hand"}
    strokes = Counter((round(float(onset), 4), hands[one.hand]) for onset, one in written.strokes)
    graces = Counter[str]()
    for _, one in written.strokes:
        graces[OTHER[hands[one.hand]]] += one.graces
    for heard in (in_seconds(page, 60), by_pretty_midi(page)):
        added = Counter((round(note[0], 4), note[1]) for note in heard)
        assert not strokes - added
        added -= strokes
        if item.name == "multiple-bounce-roll":
            assert added.total() >= 3 * strokes.total()
            continue
        by_hand = Counter[str]()
        for (_, hand), count in added.items():
            by_hand[hand] += count
        assert by_hand == +graces


@fewer
@given(patterns(over=whole_maps(max_bars=2)))
def test_text_keeps_ornaments(pattern: Pattern) -> None:
    """A page of text read back has every ornament where it was, or is refused where a beat has too many boxes."""
    page = page_of(pattern)
    try:
        text = page_text(page)
    except PatternError as error:
        assert "boxes to show its strokes" in str(error)  # noqa: PT017
        return
    assert page_of_text(text, "a page").pattern == pattern


@pytest.mark.parametrize("ornament", list(Ornament))
def test_text_says_the_ornament_by_name(ornament: Ornament) -> None:
    """An ornament stands in a row of its own, named by ornament and limb, and reads back."""
    page = page_of(f"RH snare x.x. xx.. .... ....; {ornament.value} RH x... .x.. .... ....")
    text = page_text(page)
    assert f"{ornament.value} RH" in text
    assert page_of_text(text, "a page").pattern == page.pattern
    assert [hit.ornament for hit in page.pattern.hits] == [ornament, None, None, ornament]
