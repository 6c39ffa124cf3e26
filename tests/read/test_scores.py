"""Score files become the lines and patterns that are written in them."""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import ReadError, UnknownNameError
from kitgen.kit import Limb
from kitgen.line import Line, Mark
from kitgen.pattern import Hit, Level, Ornament
from kitgen.read.scores import SUFFIXES, drums_from_score, line_from_score, pattern_from_score, score_parts
from tests.read.musicxml_text import (
    grace,
    marked,
    meter,
    note,
    read,
    rest,
    score,
    tied,
    zipped,
)

F = Fraction
DATA = Path(__file__).resolve().parent.parent / "data"
SHORTS = ("staccato", "staccatissimo", "spiccato")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a test writes its score."""
    return tmp_path / "alder bay.musicxml"


def at(*places: Fraction | int) -> tuple[Fraction, ...]:
    """Places in quarters."""
    return tuple(map(Fraction, places))


def pairs(*notes: tuple[Fraction | int, Fraction | int]) -> list[tuple[Fraction, Fraction]]:
    """Onsets and lengths in quarters."""
    return [(Fraction(onset), Fraction(length)) for onset, length in notes]


def heard(line: Line) -> list[tuple[F, F]]:
    """Onset and length of each note."""
    return [(note.onset, note.length) for note in line.notes]


# Bars


def test_full_bars_stay(path: Path) -> None:
    """Bars that fill their meter are read as they stand."""
    line = read(path, score([note(8) + note(4) + rest(4), note(16)]))
    assert heard(line) == [(F(0), F(2)), (F(2), F(1)), (F(4), F(4))]
    assert str(line.meters) == "2 x 4/4"


def test_incomplete_first_bar_is_filled_in_front(path: Path) -> None:
    """A pickup lands at the end of a full bar; the incomplete last bar is filled up with rest."""
    line = read(path, score([note(4), note(16), note(12)]))
    assert heard(line) == [(F(3), F(1)), (F(4), F(4)), (F(8), F(3))]
    assert str(line.meters) == "3 x 4/4"


def test_lone_short_bar_is_filled_at_its_end(path: Path) -> None:
    """A single bar is no pickup to anything."""
    assert heard(read(path, score([note(4)]))) == [(F(0), F(1))]


def test_short_bars_that_complete_each_other_join(path: Path) -> None:
    """A bar split by a repeat sign is one bar of the line."""
    line = read(path, score([note(16), note(12), note(4), note(16)]))
    assert line.onsets == at(0, 4, 7, 8)
    assert str(line.meters) == "3 x 4/4"


@pytest.mark.parametrize(
    ("length", "said"),
    [(12, "3/4"), (20, "5/4"), (14, "7/8"), (18, "9/8"), (15, "15/16"), (1, "1/16"), (400, "50/2")],
)
def test_irregular_bars_have_their_own_meter(path: Path, length: int, said: str) -> None:
    """A bar of another length in the middle gets the meter that fits, and the next is back in the old one."""
    line = read(path, score([note(16), note(length), note(16), note(16)]))
    assert [str(bar.meter) for bar in line.meters.bars] == ["4/4", said, "4/4", "4/4"]
    assert line.onsets == at(0, 4, 4 + F(length, 4), 8 + F(length, 4))


def test_bar_no_meter_fits_is_refused(path: Path) -> None:
    """A bar of a third of a quarter too much is named, not bent."""
    with pytest.raises(ReadError, match=r"^alder bay\.musicxml: bar 2 lasts 11/3 quarters, which is no meter"):
        read(path, score([note(12), note(11), note(12), note(12)], divisions=3))


def test_bar_too_long_for_one_meter_is_split(path: Path) -> None:
    """An unmeasured bar of 260 1/4 quarters becomes bars of 4/4 and what is left over."""
    line = read(path, score([note(1041)], time=""))
    assert str(line.meters) == "65 x 4/4, 1 x 1/16"
    assert heard(line) == [(F(0), F(1041, 4))]


def test_meter_changes_are_kept(path: Path) -> None:
    """Meters with groups, sums and changes become runs of the map."""
    changes = [note(16), meter("3+2", 8) + note(10), meter("6", 8) + note(12)]
    assert str(read(path, score(changes)).meters) == "1 x 4/4, 1 x 5/8, 1 x 6/8"
    summed = meter("2", 4).replace("</time>", "<beats>3</beats><beat-type>8</beat-type></time>")
    assert read(path, score([summed + note(14)])).meters.bars[0].meter.groups == (4, 3)


def test_meter_at_the_end_of_a_bar_is_for_the_next(path: Path) -> None:
    """A change announced after the last note does not reach back."""
    line = read(path, score([note(16) + meter("3", 4), note(12)]))
    assert str(line.meters) == "1 x 4/4, 1 x 3/4"


@pytest.mark.parametrize("time", ["", "<attributes><time><senza-misura/></time></attributes>"])
def test_without_a_meter(path: Path, time: str) -> None:
    """Bars without a time signature are 4/4 where that fits, else each has its own."""
    assert str(read(path, score([time + note(4), note(16), note(12)], time="")).meters) == "3 x 4/4"
    assert str(read(path, score([time + note(12), note(20), note(12)], time="")).meters) == "1 x 3/4, 1 x 5/4, 1 x 3/4"


def test_empty_and_resting_bars_are_full(path: Path) -> None:
    """A bar with nothing in it, and one with a rest for the whole bar of whatever length, are bars of rest."""
    line = read(path, score([note(12), "", rest(16, measure=True), note(12)], time="3/4"))
    assert (line.onsets, str(line.meters)) == (at(0, 9), "4 x 3/4")


def test_other_parts_say_how_long_an_unfilled_bar_is(path: Path) -> None:
    """A part that does not fill its bar keeps step with the others; in a pickup it rests as long as they play."""
    bars = [note(16), note(4), note(16)], [note(16), note(16), note(16)]
    assert str(read(path, score(*bars)).meters) == "3 x 4/4"
    resting = [rest(16, measure=True), note(16)], [note(4), note(16)]
    for part in (1, 2):
        assert str(read(path, score(*resting), part=part).meters) == "2 x 4/4"


def test_unprinted_filler_does_not_make_a_bar_longer(path: Path) -> None:
    """A gap, or a rest without a note value, that runs past the barline ends at it."""
    gap = "<forward><duration>3</duration></forward>"
    assert str(read(path, score([note(16) + gap, note(16)])).meters) == "2 x 4/4"
    assert str(read(path, score([note(16) + rest(3, measure=True), note(16)])).meters) == "2 x 4/4"


# Notes


def test_ties_are_joined_over_barlines(path: Path) -> None:
    """A tied note is one note; a tie to another pitch, or from nowhere, joins nothing."""
    line = read(path, score([note(12) + tied(4, "start"), tied(4, "stop", "start") + tied(12, "stop")]))
    assert heard(line) == [(F(0), F(3)), (F(3), F(5))]
    line = read(path, score([note(12) + tied(4, "start"), tied(4, "stop", pitch="D") + note(12)]))
    assert line.onsets == at(0, 3, 4, 5)


def test_chord_tied_in_part_is_an_onset(path: Path) -> None:
    """Where one note of a chord goes on and another is struck, something is struck."""
    bars = [tied(16, "start") + note(16, "E", more="<chord/>"), tied(16, "stop") + note(16, "E", more="<chord/>")]
    assert heard(read(path, score(bars))) == [(F(0), F(4)), (F(4), F(4))]


def test_unison_ties_in_two_voices_are_both_joined(path: Path) -> None:
    """Two voices that tie the same pitch at the same place leave no onset behind."""
    back = "<backup><duration>16</duration></backup>"
    bars = [tied(16, "start") + back + tied(16, "start", voice=2), tied(16, "stop") + back + tied(16, "stop", voice=2)]
    assert heard(read(path, score(bars))) == [(F(0), F(8))]


def test_voices_collapse_to_onsets(path: Path) -> None:
    """One note an onset, as long as the first voice's there, cut where the next onset comes."""
    bar = note(8, voice=2) + note(8, voice=2) + "<backup><duration>16</duration></backup>" + note(12) + note(4)
    assert heard(read(path, score([bar]))) == [(F(0), F(2)), (F(2), F(1)), (F(3), F(1))]


def test_gaps_move_the_second_voice(path: Path) -> None:
    """Forward leaves a gap, backup goes back, and neither strikes anything."""
    bar = (
        note(16)
        + "<backup><duration>16</duration></backup><forward><duration>6</duration></forward>"
        + note(2, voice=2)
    )
    assert read(path, score([bar])).onsets == at(0, F(3, 2))


def test_tuplets_are_exact_even_where_divisions_are_too_coarse(path: Path) -> None:
    """A triplet rounded to whole divisions lasts thirds, and what follows it is in place in every voice."""

    def triplet(ticks: int) -> str:
        tuplet = "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>"
        return note(ticks, inner=f"<type>eighth</type>{tuplet}")

    bar = triplet(1) + triplet(1) + triplet(2) + note(12)
    line = read(path, score([bar + "<backup><duration>12</duration></backup>" + note(12, voice=2)]))
    assert line.onsets == at(0, F(1, 3), F(2, 3), 1)
    assert [note.length for note in line.notes] == [F(1, 3), F(1, 3), F(1, 3), 3]
    assert read(path, score([bar + "<backup><duration>14</duration></backup>" + note(2, voice=2)])).onsets[-2:] == at(
        F(2, 3), 1
    )


def test_grace_notes_are_counted_on_the_next_note(path: Path) -> None:
    """Chords of grace notes count once, more than three as three, and those at a bar's end belong to the next bar."""
    bars = [
        grace() + note(4) + grace() + grace() + note(4) + 5 * grace() + note(8),
        grace() + grace("F", chord=True) + rest(8) + note(8) + grace(),
        note(16),
    ]
    assert [note.graces for note in read(path, score(bars)).notes] == [1, 2, 3, 1, 1]


@pytest.mark.parametrize(
    ("names", "accent", "mark"),
    [
        ((), False, Mark.NONE),
        (("accent",), True, Mark.NONE),
        (("strong-accent",), True, Mark.SHORT),
        (("strong-accent", "tenuto"), True, Mark.SHORT),
        *(((name,), False, Mark.SHORT) for name in SHORTS),
        (("accent", "staccato"), True, Mark.SHORT),
        (("tenuto",), False, Mark.LONG),
        (("tenuto", "accent"), True, Mark.NONE),
        (("tenuto", "staccato"), False, Mark.NONE),
        (("detached-legato",), False, Mark.NONE),
        (("breath-mark",), False, Mark.NONE),
    ],
)
def test_articulations(path: Path, names: tuple[str, ...], accent: bool, mark: Mark) -> None:  # noqa: FBT001
    """``>`` accents, ``^`` accents and shortens, dots and wedges shorten, a tenuto lengthens."""
    (found,) = read(path, score([marked(*names, duration=16)])).notes
    assert (found.accent, found.mark) == (accent, mark)


def test_accent_on_a_chord_or_a_second_voice_counts(path: Path) -> None:
    """An onset is accented if anything struck there is."""
    second = marked("accent", duration=16).replace("<voice>1", "<voice>2")
    assert read(path, score([note(16) + "<backup><duration>16</duration></backup>" + second])).accents == at(0)


def test_cue_and_unprinted_notes_are_rests(path: Path) -> None:
    """What another part plays, and what is not on the page, is not struck."""
    line = read(path, score([note(4) + note(4, more="<cue/>") + note(4, attrs='print-object="no"') + note(4)]))
    assert heard(line) == [(F(0), F(1)), (F(3), F(1))]


def test_stickings_are_read_from_fingerings_and_lyrics(path: Path) -> None:
    """R, L and B; other fingerings and lyrics say nothing."""
    said = ["<notations><technical><fingering>R</fingering></technical></notations>", "<lyric><text>L</text></lyric>"]
    said += ["<lyric><text>la</text></lyric>", "<notations><technical><fingering>3</fingering></technical></notations>"]
    line = read(path, score(["".join(note(4, inner=text) for text in said)]))
    assert [note.sticking for note in line.notes] == ["R", "L", "", ""]


def test_measure_repeat_signs_repeat(path: Path) -> None:
    """An empty bar under a sign that repeats the bar before has its notes."""
    sign = '<attributes><measure-style><measure-repeat type="{}">1</measure-repeat></measure-style></attributes>'
    bars = [note(8) + note(8), sign.format("start"), "", sign.format("stop") + rest(16, measure=True)]
    assert read(path, score(bars)).onsets == at(0, 2, 4, 6, 8, 10)


lengths = st.sampled_from([1, 2, 3, 4, 6, 8])


@given(st.lists(st.lists(st.tuples(lengths, st.booleans()), min_size=1, max_size=8), min_size=1, max_size=5))
def test_what_is_written_is_read(tmp_path_factory: pytest.TempPathFactory, bars: list[list[tuple[int, bool]]]) -> None:
    """Any bars of notes and rests, each in a meter of its own, come back note for note."""
    texts, at, expected = [], F(0), []
    for bar in bars:
        size = sum(length for length, _ in bar)
        texts.append(meter(str(size), 16) + "".join(note(n) if struck else rest(n) for n, struck in bar))
        for length, struck in bar:
            expected += [(at, F(length, 4))] if struck else []
            at += F(length, 4)
    path = tmp_path_factory.mktemp("written") / "any.musicxml"
    if not expected:
        with pytest.raises(ReadError, match="has no notes"):
            read(path, score(texts))
        return
    line = read(path, score(texts))
    assert (heard(line), line.span) == (expected, at)


# Parts


def test_parts_by_name_and_number(path: Path) -> None:
    """The first part unless told; names in either case, numbers from 1; the rest is an error with the nearest."""
    text = score([note(16)], [note(8) + note(8)], [4 * note(4)], names=["Flute", "Snare  Drum", ""])
    assert len(read(path, text).notes) == 1
    assert score_parts(path) == ("Flute", "Snare Drum", "part 3")
    for part, count in (("snare drum", 2), (2, 2), ("2", 2), ("PART 3", 4), (3, 4)):
        assert len(line_from_score(path, part=part).notes) == count
    with pytest.raises(UnknownNameError, match="no part is called 'snare'; did you mean Snare Drum"):
        line_from_score(path, part="snare")
    for part in (0, 4, "9", "tuba"):
        with pytest.raises(UnknownNameError, match="no part is called"):
            line_from_score(path, part=part)


def test_timewise_is_the_same(path: Path) -> None:
    """A score written measure by measure reads like one written part by part."""
    first = "<attributes><divisions>4</divisions></attributes>" + meter("4", 4)
    measures = "".join(
        f'<measure number="{n}"><part id="P1">{first if n == 1 else ""}{note(4)}{rest(12)}</part></measure>'
        for n in (1, 2)
    )
    listed = '<part-list><score-part id="P1"><part-name>Line</part-name></score-part></part-list>'
    line = read(path, f"<score-timewise>{listed}{measures}</score-timewise>")
    assert line.onsets == at(0, 4)


def test_sixteen_bit_text_and_zips_read_the_same(path: Path, tmp_path: Path) -> None:
    """UTF-16, compressed with and without a container, and a zip under a plain name."""
    text = score([note(16), note(8) + note(8)])
    expected = read(path, text)
    path.write_bytes(('<?xml version="1.0" encoding="UTF-16"?>' + text).encode("utf-16"))
    assert line_from_score(path) == expected
    for name, container in (("a.mxl", True), ("b.mxl", False), ("c.musicxml", True)):
        assert line_from_score(zipped(tmp_path / name, text, container=container)) == expected


# Percussion


def test_drum_part_is_a_pattern() -> None:
    """Keys name surfaces, limbs are the kit's, the crash leaves the right hand to the hat, a grace note is a flam."""
    pattern = pattern_from_score(DATA / "kit.musicxml")
    assert pattern is not None
    assert pattern.hits == (
        Hit(F(0), Limb.RH, "closed-hat"),
        Hit(F(0), Limb.LH, "crash", Level.ACCENT),
        Hit(F(0), Limb.RF, "bass"),
        Hit(F(1, 2), Limb.RH, "closed-hat"),
        Hit(F(1), Limb.LH, "snare", ornament=Ornament.FLAM),
        Hit(F(3, 2), Limb.LH, "snare", Level.GHOST),
    )
    assert str(pattern.meters) == "1 x 2/4"
    assert line_from_score(DATA / "kit.musicxml").onsets == at(0, F(1, 2), 1, F(3, 2))


def drums(*bars: Sequence[str], keys: Sequence[int] = (42, 38, 36, 49, 59)) -> str:
    """A percussion part; a note is the index of its key, a chord a string of them."""
    instruments = "".join(f'<score-instrument id="I{n}"/>' for n, _ in enumerate(keys))
    midi = "".join(
        f'<midi-instrument id="I{n}"><midi-unpitched>{key + 1}</midi-unpitched></midi-instrument>'
        for n, key in enumerate(keys)
    )
    measures = ""
    for chords in bars:
        inside = ""
        for chord in chords:
            for place, index in enumerate(chord):
                head = "<chord/>" if place else ""
                inside += f'<note>{head}<unpitched/><duration>1</duration><instrument id="I{index}"/></note>'
        measures += f"<measure>{meter(str(len(chords)), 4)}{inside}</measure>"
    listed = f'<part-list><score-part id="P1"><part-name>Kit</part-name>{instruments}{midi}</score-part></part-list>'
    return f'<score-partwise>{listed}<part id="P1">{measures}</part></score-partwise>'


def test_grace_note_belongs_to_its_own_drum(path: Path) -> None:
    """In a chord of crash and bass the flam is the crash's, which the grace note is written on."""
    text = drums(["23"])
    flam = '<note><grace/><unpitched/><instrument id="I3"/></note>'
    path.write_text(text.replace("<note>", flam + "<note>", 1), encoding="utf-8")
    pattern = pattern_from_score(path)
    assert pattern is not None
    assert [(hit.surface, hit.ornament) for hit in pattern.hits] == [("crash", Ornament.FLAM), ("bass", None)]


def test_three_hands_are_refused(path: Path) -> None:
    """The error names bar, count and surfaces."""
    path.write_text(drums(["0", "1"], ["0", "013"]), encoding="utf-8")
    with pytest.raises(
        ReadError, match='bar 2, count "2": closed-hat, snare, crash together need a third hand; take one away'
    ):
        pattern_from_score(path)


def test_surface_in_two_voices_is_struck_once(path: Path) -> None:
    """The same surface twice at one instant is one hit."""
    path.write_text(drums(["00", "2"]), encoding="utf-8")
    pattern = pattern_from_score(path)
    assert pattern is not None
    assert [hit.surface for hit in pattern.hits] == ["closed-hat", "bass"]


def test_keys_without_a_surface(path: Path) -> None:
    """A part none of whose keys has a surface is no pattern; where some have, the others are left out and named."""
    path.write_text(drums(["0", "1"], keys=(61, 64)), encoding="utf-8")
    assert pattern_from_score(path) is None
    path.write_text(drums(["0", "4"], keys=(42, 38, 36, 49, 64)), encoding="utf-8")
    found = drums_from_score(path)
    assert found.pattern is not None
    assert [hit.surface for hit in found.pattern.hits] == ["closed-hat"]
    assert found.remarks == ('Kit: Low Conga (MIDI key 64) is left out at bar 1, count "2"',)


def test_melody_is_no_pattern(path: Path) -> None:
    """A part with pitches is a line and nothing else."""
    path.write_text(score([note(16)]), encoding="utf-8")
    assert pattern_from_score(path) is None


# MEI and Humdrum


def test_mei() -> None:
    """Pickup, tie by reference, tuplet, chord, grace note, articulations and repeat of an MEI file."""
    line = line_from_score(DATA / "two-bars.mei")
    assert heard(line) == pairs((3, 1), (4, F(3, 2)), (F(11, 2), F(5, 6)), (F(20, 3), F(1, 3)), (7, 1))
    assert [note.graces for note in line.notes] == [0, 0, 0, 0, 1]
    assert (line.accents, line.notes[3].mark) == (at(4), Mark.SHORT)
    again = line_from_score(DATA / "two-bars.mei", unfold=True)
    assert str(again.meters) == "2 x 4/4, 1 x 1/4, 1 x 4/4"
    assert again.onsets[5:] == tuple(onset + 5 for onset in line.onsets)


def test_mei_percussion() -> None:
    """An unpitched staff with MIDI keys is a pattern."""
    pattern = pattern_from_score(DATA / "two-bars.mei", part="tambourine")
    assert pattern is not None
    assert [(hit.onset, hit.surface) for hit in pattern.hits] == [(F(4), "tambourine"), (F(6), "tambourine")]


def test_humdrum() -> None:
    """Ties over the barline, a triplet and a change of meter of a Humdrum file."""
    line = line_from_score(DATA / "two-bars.krn")
    first = pairs((0, F(3, 2)), (F(3, 2), F(1, 2)), (2, F(5, 2)), (F(9, 2), F(1, 2)))
    then = pairs((6, F(2, 3)), (F(20, 3), F(2, 3)), (F(22, 3), F(2, 3)), (8, 3))
    assert heard(line) == first + then
    assert str(line.meters) == "2 x 4/4, 1 x 3/4"


def test_mei_keeps_what_musicxml_says(tmp_path: Path) -> None:
    """The drum set turned into MEI by Verovio gives the same strokes; only an accent is the whole chord's there."""
    verovio = pytest.importorskip("verovio")
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    assert toolkit.loadFile(str(DATA / "kit.musicxml"))
    path = tmp_path / "kit.mei"
    path.write_text(toolkit.getMEI({}), encoding="utf-8")
    found, expected = pattern_from_score(path), pattern_from_score(DATA / "kit.musicxml")
    assert found is not None
    assert expected is not None
    plain = [[(hit.onset, hit.limb, hit.surface, hit.ornament) for hit in each.hits] for each in (found, expected)]
    assert plain[0] == plain[1]


def test_every_given_score_reads(shared_dir: Path) -> None:
    """Every part of every score kept beside the checkout is read, and its bars are whole."""
    found = [path for path in sorted((shared_dir / "data" / "scores").glob("*")) if path.suffix in SUFFIXES]
    assert found
    for path in found:
        for number, name in enumerate(score_parts(path), start=1):
            line = line_from_score(path, part=number)
            assert line.notes, (path.name, name)
            assert all(bar.length == bar.meter.span for bar in line.meters.bars)


def test_given_drum_score(shared_dir: Path) -> None:
    """The percussion tutorial of MusicXML 4.0: hats in eighths under a crash, snare on 2 and 4, cowbell in quarters."""
    path = shared_dir / "data" / "scores" / "tutorial-percussion.musicxml"
    pattern = pattern_from_score(path, part="drums")
    assert pattern is not None
    by_surface = {
        name: [hit.onset for hit in pattern.hits if hit.surface == name] for name in ("crash", "snare", "bass")
    }
    assert by_surface["crash"] == [0]
    assert by_surface["snare"] == [1, 3, 5, 7]
    assert by_surface["bass"] == [bar + at for bar in (0, 4) for at in (0, 2, F(5, 2), F(7, 2))]
    assert {hit.limb for hit in pattern.hits if hit.surface in ("crash", "closed-hat")} == {Limb.RH}
    assert line_from_score(path, part=2).onsets == at(*range(8))
