"""Drum scores by others: what is struck, by which limb, with which signs, and what is said to be left out."""

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from lxml import etree

from kitgen.errors import ReadError, UnknownNameError
from kitgen.kit import SURFACES, Limb
from kitgen.page import Page
from kitgen.pattern import Hit, Level, Ornament, Pattern
from kitgen.read.score_places import TABLES
from kitgen.read.scores import drums_from_score, line_from_score, line_read
from kitgen.spell import Choices
from kitgen.write.musicxml import page_musicxml
from tests.read.drum_text import back, drum_score, drums_in, head, pattern_in
from tests.strategies import fewer, patterns, whole_maps
from tests.write.musicxml_reading import differences, page_of, page_with, tree_of

F = Fraction
LETTERS = "<notations><technical><fingering>{}</fingering></technical></notations>"
LYRIC = "<lyric><text>{}</text></lyric>"
SIGN = "<notations><technical><{}/></technical></notations>"
TREMOLO = '<notations><ornaments><tremolo type="{}">{}</tremolo></ornaments></notations>'


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a test writes its score."""
    return tmp_path / "alder bay.musicxml"


def struck(pattern: Pattern) -> list[tuple[Fraction | int, str, str]]:
    """Onset, limb and surface of each hit."""
    return [(hit.onset, hit.limb.name, hit.surface) for hit in pattern.hits]


# What is struck


def test_without_instruments_place_and_head_say_what_is_struck(path: Path) -> None:
    """Hats over snare and bass, a crash, a pedal; the table is named."""
    hands = head("A5", "x") + head("G5", "x") + head("C5") + head("C5", "x")
    feet = head("F4", voice=2) + head("D4", "x", voice=2) + head("F4", voice=2, length=4)
    drums = drums_in(path, drum_score(hands + back() + feet))
    assert drums.pattern is not None
    assert struck(drums.pattern) == [
        (0, "RH", "crash"), (0, "RF", "bass"), (1, "RH", "closed-hat"), (1, "LF", "hat-foot"),
        (2, "LH", "snare"), (2, "RF", "bass"), (3, "LH", "cross-stick"),
    ]  # fmt: skip
    assert drums.table == "usual"
    assert drums.remarks == ("the score names no instruments; staff places and heads are read as in the table 'usual'",)


@pytest.mark.parametrize("name", TABLES)
def test_every_table_is_of_surfaces(name: str) -> None:
    """Tables hold surfaces of the kit, and the snare, bass and hat are in each."""
    assert set(TABLES[name].values()) <= SURFACES.keys()
    assert {"snare", "bass", "closed-hat", "hat-foot"} <= set(TABLES[name].values())


@pytest.mark.parametrize(
    ("places", "table", "found"),
    [
        ("E5x C5 F4", "top-space", ["closed-hat", "snare", "bass"]),
        ("G5x E5x G5x F4", "usual", ["closed-hat", "closed-hat", "bass"]),
        ("G5x B4 D4", "middle-line", ["closed-hat", "snare", "bass"]),
        ("G5x B4 F4 C5", "usual", ["closed-hat", "mid-tom", "bass", "snare"]),
    ],
)
def test_the_table_is_the_one_the_places_speak_for(path: Path, places: str, table: str, found: list[str]) -> None:
    """The snare on the middle line with the bass below the staff, the hat in the top space; else the usual table."""
    bar = "".join(head(place[:2], place[2:]) for place in places.split())
    drums = drums_in(path, drum_score(bar))
    assert drums.pattern is not None
    assert (drums.table, [hit.surface for hit in drums.pattern.hits]) == (table, found)


def test_a_table_can_be_named(path: Path) -> None:
    """Places read by another table; one that does not exist is an error that names those that do."""
    text = drum_score(4 * head("B4"))
    assert {hit.surface for hit in pattern_in(path, text).hits} == {"mid-tom"}
    assert {hit.surface for hit in pattern_in(path, text, places="middle-line").hits} == {"snare"}
    with pytest.raises(UnknownNameError, match="no table of staff places is called 'midle-line'; did you mean middle-"):
        drums_in(path, text, places="midle-line")


def test_a_bass_clef_moves_the_places(path: Path) -> None:
    """The third space of a bass clef is the snare's all the same."""
    clef = "<clef><sign>F</sign><line>4</line></clef>"
    bar = head("B3", "x") + head("E3") + head("A2", length=4)
    assert [hit.surface for hit in pattern_in(path, drum_score(bar, clef=clef)).hits] == ["closed-hat", "snare", "bass"]


def test_names_of_instruments_come_before_places(path: Path) -> None:
    """Names and keys say what is struck wherever it stands; General MIDI's other keys for a drum are that drum."""
    named = [("a", "Hi-Hat Closed", None), ("b", "Kick", None), ("c", "Acoustic Snare", 38), ("d", "whatever", 35)]
    bar = "".join(head("B4", instrument=each) for each, _, _ in named)
    drums = drums_in(path, drum_score(bar, instruments=named))
    assert drums.pattern is not None
    assert [hit.surface for hit in drums.pattern.hits] == ["closed-hat", "bass", "snare", "bass"]
    assert drums.remarks == ()


def test_one_instrument_for_a_whole_set_says_nothing(path: Path) -> None:
    """A lone instrument called after the set, or one that notes at several places do not name, leaves it to places."""
    bar = head("G5", "x") + head("C5") + head("F4", length=4)
    for name in ("Drum Set", "Snare Drum"):
        pattern = pattern_in(path, drum_score(bar, instruments=[("a", name, 38)]))
        assert [hit.surface for hit in pattern.hits] == ["closed-hat", "snare", "bass"]


def test_instruments_called_alike_are_told_by_their_keys(path: Path) -> None:
    """Programs that call every instrument of a set after the set still give each its key."""
    named = [("a", "Drumset", 42), ("b", "Drumset", 38), ("c", "Drumset", 36)]
    bar = "".join(head("B4", instrument=each) for each, _, _ in named)
    assert [hit.surface for hit in pattern_in(path, drum_score(bar, instruments=named)).hits] == [
        "closed-hat",
        "snare",
        "bass",
    ]
    alone = drum_score(
        head("F4", instrument="a") + head("F4", instrument="a", length=6), instruments=[("a", "Drumset", 38)]
    )
    assert {hit.surface for hit in pattern_in(path, alone).hits} == {"bass"}


def test_a_part_of_one_drum(path: Path) -> None:
    """The part's name says the drum, on one line too; an x head on the snare is the rim."""
    pattern = pattern_in(
        path, drum_score(head("E4") + head("E4", "x") + head("E4", length=4), part="Snare Drum", lines=1)
    )
    assert [hit.surface for hit in pattern.hits] == ["snare", "cross-stick", "snare"]


@pytest.mark.parametrize(("part", "lines"), [("Triangle", 1), ("Cymbals", 5), ("Percussion", 1), ("Percussion", 3)])
def test_what_is_no_kit_is_a_line(path: Path, part: str, lines: int) -> None:
    """Instruments off the kit, and staves whose places mean nothing by themselves, are read as a line."""
    assert drums_in(path, drum_score(4 * head("C5"), part=part, lines=lines)).pattern is None
    assert [int(onset) for onset in line_from_score(path).onsets] == [0, 1, 2, 3]


def test_pitches_under_a_percussion_clef(path: Path) -> None:
    """Written pitches are places, those below C4 General MIDI keys."""
    text = drum_score(head("G5", "x") + head("C5") + head("C2") + head("D2"))
    text = text.replace("unpitched>", "pitch>").replace("display-", "")
    assert [hit.surface for hit in pattern_in(path, text).hits] == ["closed-hat", "snare", "bass", "snare"]


def test_signs_over_the_hat(path: Path) -> None:
    """A circle opens the hat, a plus or nothing closes it, a circled x is open."""
    bar = head("G5", "x", inner=SIGN.format("open")) + head("G5", "x", inner=SIGN.format("stopped"))
    bar += head("G5", "x") + head("G5", "circle-x")
    surfaces = [hit.surface for hit in pattern_in(path, drum_score(bar)).hits]
    assert surfaces == ["open-hat", "closed-hat", "closed-hat", "open-hat"]


def test_a_hat_below_the_staff_is_the_foots(path: Path) -> None:
    """Whatever instrument it is written for."""
    bar = head("G5", "x", instrument="a") + head("D4", "x", instrument="a") + head("F4", instrument="b", length=4)
    pattern = pattern_in(path, drum_score(bar, instruments=[("a", "Hi-hat", 42), ("b", "Bass Drum", 36)]))
    assert [hit.surface for hit in pattern.hits] == ["closed-hat", "hat-foot", "bass"]


# What is left out


def test_what_has_no_surface_is_named(path: Path) -> None:
    """Unknown keys, instruments, heads and slashes are left out, each said with its first bar and count."""
    named = [("a", "Hi Bongo", 60), ("b", "Vibraslap", None), ("c", "Snare", 38)]
    bar = head(instrument="a") + head(instrument="b") + head(instrument="c") + head(instrument="a")
    drums = drums_in(path, drum_score(bar, bar, instruments=named))
    assert drums.pattern is not None
    assert [hit.surface for hit in drums.pattern.hits] == ["snare", "snare"]
    assert drums.left_out == (
        'Drums: Hi Bongo (MIDI key 60) is left out, 4 times, first at bar 1, count "1"',
        "Drums: the instrument 'vibraslap' is left out, 2 times, first at bar 1, count \"2\"",
    )
    drums = drums_in(path, drum_score(head("C5") + head("F5", "square") + head("B4", "slash", length=4)))
    assert drums.left_out == (
        'Drums: a square head on F5 is left out at bar 1, count "2"',
        'Drums: a rhythmic slash is left out at bar 1, count "3"',
    )


def test_a_flam_without_a_free_hand_loses_its_grace_note(path: Path) -> None:
    """The stroke stays, and it is said."""
    bar = head("G5", "x", grace=True) + head("G5", "x") + head("C5", chord=True) + 3 * head("C5")
    drums = drums_in(path, drum_score(bar))
    assert drums.pattern is not None
    assert [hit.ornament for hit in drums.pattern.hits] == [None] * 5
    assert drums.left_out == (
        'Drums: the grace note of a flam for which no hand is free is left out at bar 1, count "1"',
    )


def test_what_bars_hold_that_is_not_read(path: Path) -> None:
    """A tremolo between notes and grace notes at the very end are named, for lines as well."""
    bar = head(inner=TREMOLO.format("start", 1)) + head(inner=TREMOLO.format("stop", 1), length=6) + head(grace=True)
    said = (
        "Drums: a tremolo between two notes, read as the two notes, in bars 1, 2",
        "Drums: grace notes that no note follows, in bar 2",
    )
    assert drums_in(path, drum_score(bar.replace(head(grace=True), ""), bar)).left_out == said
    assert line_read(path).remarks == said
    slashes = '<attributes><measure-style><slash type="start"/></measure-style></attributes>'
    assert drums_in(path, drum_score(slashes + 4 * head())).left_out == (
        "Drums: a slash sign, under which notes are read as they stand in the file, in bar 1",
    )


# Limbs


@pytest.mark.parametrize(
    ("bar", "found"),
    [
        (head("C5", inner=LETTERS.format("R")), ["RH snare"]),
        (head("G5", "x", inner=LYRIC.format("L")), ["LH closed-hat"]),
        (head("F4", inner=LYRIC.format("R")) + head("C5", chord=True), ["RH snare", "RF bass"]),
        (head("C5", inner=LYRIC.format("lR")), ["RH snare"]),
        (head("C5", inner=LYRIC.format("B")), ["RH snare", "LH snare"]),
        (head("C5", inner=LYRIC.format("R+L")) + head("F4", chord=True), ["RH snare", "LH snare", "RF bass"]),
        (head("G5", "x", inner=LYRIC.format("R+L")) + head("C5", chord=True), ["RH closed-hat", "LH snare"]),
        (head("A5", "x") + head("G5", "x", chord=True), ["RH closed-hat", "LH crash"]),
        (head("C5") + head("A4", chord=True), ["RH floor-tom", "LH snare"]),
    ],
)
def test_limbs(path: Path, bar: str, found: list[str]) -> None:
    """Stickings win; of two hands the right has the cymbal and the left the snare; pedals are the feet's."""
    pattern = pattern_in(path, drum_score(bar + head("F4", length=6)))
    assert [f"{hit.limb.name} {hit.surface}" for hit in pattern.hits if hit.onset == 0] == found


def test_runs_on_drums_alternate(path: Path) -> None:
    """Eighths on the snare go right, left; a snare between hats stays the left hand's, and so do two in a row."""
    run = pattern_in(path, drum_score(5 * head(length=1) + head("E5", length=1) + head(length=2)))
    assert [hit.limb.name for hit in run.hits] == ["RH", "LH", "RH", "LH", "RH", "LH", "RH"]
    between = pattern_in(path, drum_score(2 * (head("G5", "x") + head())))
    assert [hit.limb.name for hit in between.hits] == ["RH", "LH", "RH", "LH"]
    slow = pattern_in(path, drum_score(4 * head()))
    assert {hit.limb for hit in slow.hits} == {Limb.LH}


def test_a_third_hand_is_refused(path: Path) -> None:
    """The error names file, bar, count and surfaces."""
    text = drum_score(head("A5", "x") + head("G5", "x", chord=True) + head("C5", chord=True))
    with pytest.raises(ReadError, match=r'^alder bay\.musicxml: bar 1, count "1": .* together need a third hand'):
        drums_in(path, text)


# Levels and ornaments


def test_accents_ghosts_and_ornaments(path: Path) -> None:
    """Accent, parentheses, one and two grace notes, tremolos of one and of three strokes."""
    accent = "<notations><articulations><accent/></articulations></notations>"
    ghost = head().replace("</voice>", '</voice><notehead parentheses="yes">normal</notehead>')
    first = head(inner=accent) + ghost + head(grace=True) + head() + 2 * head(grace=True) + head()
    trill = "<notations><ornaments><trill-mark/></ornaments></notations>"
    second = (
        head(inner=TREMOLO.format("single", 1)) + head(inner=TREMOLO.format("single", 3)) + head(inner=trill, length=4)
    )
    hits = pattern_in(path, drum_score(first, second)).hits
    assert [(hit.level, hit.ornament) for hit in hits] == [
        (Level.ACCENT, None), (Level.GHOST, None), (Level.NORMAL, Ornament.FLAM), (Level.NORMAL, Ornament.DRAG),
        (Level.NORMAL, Ornament.DIDDLE), (Level.NORMAL, Ornament.BUZZ), (Level.NORMAL, Ornament.BUZZ),
    ]  # fmt: skip


# Bad input


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (drum_score(4 * head(), clef="<clef><sign>Q</sign></clef>"), "bar 1 has the clef 'Q', which is none"),
        (drum_score(head().replace("<duration>2", "<duration>-2")), "bar 1 has duration '-2'"),
        (drum_score(""), "has no notes in part 'Drums'"),
    ],
)
def test_refused(path: Path, text: str, why: str) -> None:
    """One sentence that names file, bar and what is wrong."""
    with pytest.raises(ReadError, match=why) as caught:
        drums_in(path, text)
    assert str(caught.value).startswith("alder bay.musicxml: ")


@pytest.mark.parametrize("place", ["H5", "C55", "", "C-1", "x"])
def test_odd_places_are_left_out(path: Path, place: str) -> None:
    """A place that is none is no drum; the rest is read."""
    bar = head() + head().replace("<display-step>C</display-step><display-octave>5", f"<display-step>{place[:1]}"
        f"</display-step><display-octave>{place[1:]}")  # fmt: skip
    drums = drums_in(path, drum_score(bar + head(length=4)))
    assert drums.pattern is not None
    assert [int(onset) for onset in drums.pattern.onsets] == [0, 2]
    assert len(drums.left_out) == 1


# Our own scores, read as anyone's


def without_instruments(data: bytes, *, ids: bool = True) -> bytes:
    """A written score without the instruments, and without the ids that tell limbs if asked."""
    root = tree_of(data)
    etree.strip_elements(root, "score-instrument", "midi-instrument", "instrument")
    if not ids:
        for note in root.iter("note"):
            note.attrib.pop("id", "")
    return bytes(etree.tostring(root))


def read_again(folder: Path, page: Page, *, ids: bool = True, stickings: str = "none") -> Pattern | None:
    """What is read of a page's score without its instruments; of a silent page nothing."""
    if not page.pattern.hits:
        return None
    path = folder / "page.musicxml"
    path.write_bytes(without_instruments(page_musicxml(page, Choices(stickings=stickings)), ids=ids))
    return drums_from_score(path).pattern


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for all examples."""
    return tmp_path_factory.mktemp("general")


@fewer
@given(patterns(over=whole_maps(max_bars=2)))
def test_places_and_heads_alone_give_the_pattern_back(folder: Path, pattern: Pattern) -> None:
    """Our scores name a surface by place, head and sign as well as by instrument."""
    assert list(differences(pattern, read_again(folder, page_of(pattern)))) == []


@fewer
@given(patterns(over=whole_maps(max_bars=2)))
def test_without_ids_the_same_is_struck(folder: Path, pattern: Pattern) -> None:
    """Read like anyone's score, it has the same strokes, and pedals under the feet."""
    again = read_again(folder, page_of(pattern), ids=False)
    hats = {"open-hat": "hat", "closed-hat": "hat"}
    meant, found = (
        {(hit.onset, hats.get(hit.surface, hit.surface)) for hit in (each.hits if each else ())}
        for each in (pattern, again)
    )
    assert meant == found


def test_stickings_tell_the_hands(folder: Path) -> None:
    """Printed stickings bring the hands back where the score has no ids."""
    page = page_with("RH snare x . x x; LH snare . x . .; RH ride . x . .; RF bass x . x .")
    again = read_again(folder, page, ids=False, stickings="all")
    assert again is not None
    assert again.hits == page.pattern.hits
    assert Hit(F(0), Limb.RH, "snare") in again.hits
