"""What is printed at a stroke: heads, levels, the hat, ornaments, stickings, counts."""

from fractions import Fraction

import pytest

from kitgen.kit import SURFACES, Limb
from kitgen.pattern import Level, Ornament, Pattern, parse_rows
from kitgen.spell import Choices, Score, Stroke, spell
from kitgen.spell.choices import USUAL
from kitgen.time import Meter


def strokes(rows: str, meter: str = "4/4", choices: Choices = USUAL) -> list[Stroke]:
    """Every head of some rows, in order."""
    section = spell(parse_rows(rows, meter), choices)
    return [s for m in section.measures for v in m.voices for e in v.events for s in e.strokes]


@pytest.mark.parametrize("label", SURFACES)
def test_place_and_head_are_those_of_the_table(label: str) -> None:
    """Each surface stands where the one table says."""
    limb = "RH" if SURFACES[label].struck_by == "hand" else "RF"
    (stroke,) = strokes(f"{limb} {label} x", "1/4")
    assert (stroke.place, stroke.head) == (SURFACES[label].place, SURFACES[label].head)


def test_levels_are_accents_and_parentheses() -> None:
    """An accent has its mark, a ghost its parentheses, everything else neither; all keep their level."""
    found = strokes("LH snare X g t x")
    assert [(s.accent, s.parentheses) for s in found] == [(True, False), (False, True), (False, False), (False, False)]
    assert [s.level for s in found] == [Level.ACCENT, Level.GHOST, Level.TAP, Level.NORMAL]


def test_an_open_hat_has_a_circle_and_only_the_next_closed_stroke_a_plus() -> None:
    """An unmarked hat is closed; plus only cancels the circle."""
    found = strokes("RH closed-hat x.x. ..xx; RH open-hat .x.x ....", "2/4")
    assert [s.hat for s in found] == ["", "open", "closed", "open", "closed", ""]


def test_a_hat_that_the_foot_closes_needs_no_plus() -> None:
    """The foot has said it."""
    found = strokes("RH open-hat x...; RH closed-hat ...x; LF hat-foot ..x.", "1/4")
    assert [s.hat for s in found if s.surface == "closed-hat"] == [""]


def test_cross_stick_and_snare_differ_in_their_heads() -> None:
    """Both stand on the snare's place."""
    snare, cross = strokes("LH snare x.; LH cross-stick .x", "1/4")
    assert snare.place == cross.place
    assert snare.head != cross.head


def test_a_flam_is_one_small_note_with_a_slash_by_the_other_hand() -> None:
    """An eighth, on the same drum."""
    (stroke,) = strokes("LH snare x; flam LH x", "1/4")
    (grace,) = stroke.graces
    assert (grace.limb, grace.surface, grace.place, grace.type, grace.slash) == (Limb.RH, "snare", "C5", "eighth", True)
    assert stroke.ornament is Ornament.FLAM


def test_a_drag_is_two_small_sixteenths_under_beams() -> None:
    """Without a slash."""
    (stroke,) = strokes("RH snare x; drag RH x", "1/4")
    assert [(g.limb, g.type, g.slash, g.beams) for g in stroke.graces] == [
        (Limb.LH, "16th", False, ("begin", "begin")),
        (Limb.LH, "16th", False, ("end", "end")),
    ]


def test_a_diddle_has_one_slash_a_buzz_a_z() -> None:
    """On the stem; neither has small notes."""
    diddle, buzz = strokes("RH snare x.; LH snare .x; diddle RH x.; buzz LH .x", "1/4")
    assert (diddle.slashes, diddle.buzz, diddle.graces) == (1, False, ())
    assert (buzz.slashes, buzz.buzz, buzz.graces) == (0, True, ())


def test_a_roll_is_tied_for_its_length() -> None:
    """A buzz over a dotted quarter from the & of 1 is an eighth tied to a quarter."""
    section = spell(parse_rows("LH snare .x -- .. ..; buzz LH .x .. .. .."))
    events = section.measures[0].voices[0].events
    assert [(e.written.type, e.strokes[0].tie if e.strokes else None) for e in events] == [
        ("eighth", None),
        ("eighth", "start"),
        ("quarter", "stop"),
        ("half", None),
    ]
    assert all(stroke.buzz and stroke.held for e in events for stroke in e.strokes)


def test_a_roll_over_strokes_of_the_other_hand_has_a_voice_of_its_own() -> None:
    """One long head above, without the rests around it; what is struck meanwhile stands below in its own voice."""
    section = spell(
        parse_rows("RH crash x--- ---- .... ....; LH snare x... x... .... ....; buzz RH x... .... .... ....")
    )
    above, below = section.measures[0].voices
    assert (above.stem, below.stem) == ("up", "down")
    assert [(e.written.type, e.shown) for e in above.events] == [("half", True), ("half", False)]
    assert [s.surface for e in below.events for s in e.strokes] == ["snare", "snare"]
    assert all(e.shown for e in below.events)


def test_a_sweep_under_taps_keeps_its_head() -> None:
    """A brush held on the snare under the other's taps is a half note, stem down, beside the heads of the taps."""
    section = spell(parse_rows("RH snare x. xx .x .x; LH snare x- -- x- --; lengths LH snare; LF hat-foot .. x. .. x."))
    taps, sweep, foot = section.measures[0].voices
    assert (taps.stem, sweep.stem, foot.stem) == ("up", "down", "down")
    assert [e.written.type for e in sweep.events] == ["half", "half"]
    assert all(stroke.shown for voice in (taps, sweep) for e in voice.events for stroke in e.strokes)


def test_a_ghost_that_is_held_stands_in_parentheses_once() -> None:
    """Only the head that is struck; those it is tied to have none, and the level is theirs all the same."""
    held = [e.strokes[0] for e in spell(parse_rows("LH snare .g -- -- --", "4/4")).measures[0].voices[0].events[1:]]
    assert [stroke.parentheses for stroke in held] == [True] + [False] * (len(held) - 1)
    assert len(held) > 1


def test_strokes_and_a_roll_of_one_chord_are_tied_in_one_voice() -> None:
    """In a layout of one voice the head that is held is tied from chord to chord."""
    rows = "RH crash x--- ---- .... ....; LH snare x... x... .... ....; buzz RH x... .... .... ...."
    section = spell(parse_rows(rows), Choices(layout="one"))
    first, second, _ = section.measures[0].voices[0].events
    assert [(s.surface, s.tie) for s in first.strokes] == [("crash", "start"), ("snare", "")]
    assert [(s.surface, s.tie) for s in second.strokes] == [("crash", "stop"), ("snare", "")]


def test_a_roll_past_the_end_goes_on_at_the_start() -> None:
    """As the loop plays it: tied at the end, tied from before at the start."""
    pattern = parse_rows("LH snare -x --", "2/4")
    section = spell(pattern)
    assert [e.strokes[0].tie for e in section.measures[0].voices[0].events] == ["stop", "start", "both"]


def test_two_hands_on_one_drum_show_one_head() -> None:
    """The louder one; the other is there for whoever reads."""
    section = spell(parse_rows("RH snare x; LH snare X", "1/4"))
    (event,) = section.measures[0].voices[0].events
    assert [(s.limb, s.shown, s.accent) for s in event.strokes] == [(Limb.RH, False, False), (Limb.LH, True, True)]


def test_stickings_are_for_hands_with_grace_notes_small() -> None:
    """Where asked for, and where hands take turns on a drum."""
    rows = "RH snare x..x; LH snare ..x.; drag LH ..x.; flam RH ...x; RF bass .x.."
    asked = Choices(layout="one", stickings="all")
    assert [s.sticking for s in strokes(rows, "1/4", asked)] == ["R", "", "rrL", "lR"]
    assert {s.sticking for s in strokes(rows, "1/4", Choices(stickings="none"))} == {""}


COUNTS = [
    ("numbers", "x.x. x..x ..x. ....", "4/4", "1 & 2 a (3) & (4)"),
    ("numbers", "xxxx", "1/4", "1 e & a"),
    ("numbers", "xxx x.x", "2/4", "1 trip let 2 let"),
    ("numbers", "xxx .x.", "6/8", "1 la li (2) la"),
    ("beat-function", "xxxx xxx", "2/4", "ta ka di mi ta ki da"),
]


@pytest.mark.parametrize(("system", "boxes", "meter", "said"), COUNTS)
def test_counts(system: str, boxes: str, meter: str, said: str) -> None:
    """Every stroke is counted, and beats without one in parentheses."""
    (measure,) = spell(parse_rows(f"LH snare {boxes}", meter), Choices(counts=system)).measures
    assert " ".join(c.said if c.struck else f"({c.said})" for c in measure.counts) == said


def test_counts_by_quarters_in_cut_time() -> None:
    """The fourth eighth is the & of 2, also where the half is the beat."""
    pattern = parse_rows("LH snare x..x ..x.", "2/2")
    (measure,) = spell(pattern, Choices(counts="numbers", count_quarters=True)).measures
    assert [(c.start, c.said) for c in measure.counts if c.struck] == [
        (Fraction(0), "1"),
        (Fraction(3, 2), "&"),
        (Fraction(3), "4"),
    ]


def test_divisions_hold_every_length() -> None:
    """Twelve parts a quarter for triplets and sixteenths."""
    section = spell(Pattern(parse_rows("LH snare xxx xxxx", "2/4").hits, parse_rows("LH snare x x", "2/4").meters))
    assert section.measures[0].meter == Meter(2, 4)
    assert Score((section,)).divisions == 12
