"""Three hundred tunes of music21's corpus through the applications, read back by mido and pretty_midi.

Each tune, whatever its meter, goes through one application, the applications in turn; forty go through all of them. Of
every page mido (and pretty_midi, for the three hundred) hears each stroke to the tick, the file loops, a school player
can play it at its goal, the application's own rules hold, and where it is simply the line that is played its onsets are
heard in the places the application gives it. A table of what was made and refused is written to standard output
(``pytest -rP`` shows it).
"""

import re
import sys
import warnings
from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cache
from io import BytesIO
from itertools import islice
from pathlib import Path

import pretty_midi
import pytest

from kitgen.apply import APPLICATIONS
from kitgen.errors import RefusedError
from kitgen.kit import SURFACES, player
from kitgen.line import Line
from kitgen.make.applied import page_of
from kitgen.make.recipe import ApplyRecipe
from kitgen.page import Page
from kitgen.pattern import Ornament, performed
from kitgen.pattern.playability import playability
from kitgen.pattern.quality import Terms, faults
from kitgen.read.scores import line_from_score
from kitgen.write.midi import loop, rounding_ms
from tests.corpus import name, tunes
from tests.write.heard import Heard, end_of, load, notes_in, notes_of

TUNES, THROUGH_ALL, MOST_BARS = 300, 40, 32
OFFERS = re.compile(r"--[a-z]+|write some")
SCHOOL = player("school")

# Where an application puts the line: tracks and surfaces that together strike its onsets and nothing else.
LINE_ON = {
    "alone": ({"right hand", "left hand"}, {"clap"}),
    "limb": ({"left hand"}, {"snare"}),
    "hands": ({"right hand", "left hand"}, {"snare"}),
    "linear": ({"right hand", "left hand", "right foot"}, {"closed-hat", "snare", "bass"}),
    "long-short": ({"right hand", "left hand"}, {"crash", "snare"}),
}


def read(paths: Sequence[Path]) -> list[tuple[Path, Line]]:
    """The first part of each tune as a line."""
    return [(path, line_from_score(path)) for path in paths]


def page_with(line: Line, application: str) -> Page:
    """The page of a tune through an application, at its usual tempo."""
    return page_of(ApplyRecipe(line="tune sha256:0", as_=application), line)


def meant(page: Page, ticks: int) -> Counter[tuple[int, int]]:
    """Every stroke of the page as (tick, key)."""
    return Counter((int(hit.onset * ticks), SURFACES[hit.surface].key) for hit in performed(page.pattern).hits)


def heard_by_pretty_midi(data: bytes) -> Counter[tuple[int, int]]:
    """Every note as (tick, key), as pretty_midi reads a copy of the file."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        midi = pretty_midi.PrettyMIDI(BytesIO(bytes(data)))
    return Counter(
        (midi.time_to_tick(note.start), note.pitch) for instrument in midi.instruments for note in instrument.notes
    )


def check(page: Page, line: Line, application: str, *, second_reader: bool) -> None:
    """The readers hear the page, it loops, it can be played, and the tune is in it."""
    data = loop(page)
    midi = load(data)
    ticks = midi.ticks_per_beat
    assert rounding_ms(page) == 0
    strokes, notes = meant(page, ticks), notes_in(data)
    heard = Counter((note.start, note.key) for note in notes)
    ornaments = Counter(hit.ornament for hit in page.pattern.hits if hit.ornament)
    added = (heard - strokes).total()
    assert not strokes - heard
    assert ornaments.total() <= added <= 2 * ornaments.total() or ornaments[Ornament.BUZZ]
    if second_reader:
        assert heard_by_pretty_midi(data) == heard
    assert {end_of(track) for track in midi.tracks} == {page.pattern.span * ticks}
    assert page.pattern.meters.whole
    for track in midi.tracks[1:]:
        end = end_of(track)
        assert all(note.start < note.end < end for note in notes_of(track))
    goal = page.tempo.goal * float(page.tempo.unit)
    assert playability(page.pattern, SCHOOL, goal) == ()
    assert faults(page.pattern, APPLICATIONS[application].rules, Terms(pace=goal, clave=page.clave)) == ()
    the_tune_is_heard(line, page, application, [note for note in notes if (note.start, note.key) in strokes], ticks)


def the_tune_is_heard(line: Line, page: Page, application: str, notes: Sequence[Heard], ticks: int) -> None:
    """The strokes the application gives the line are its onsets, in every row that holds the line."""
    expected = {int(onset * ticks) for onset in line.onsets}
    start = int(page.row_bars()[-1][1] > 1 and page.bars[page.row_bars()[-1][1] - 1].start * ticks)
    if application not in LINE_ON:
        return
    tracks, labels = LINE_ON[application]
    keys = {SURFACES[label].key for label in labels}
    if application == "long-short":
        keys |= {SURFACES["bass"].key}
        tracks = tracks | {"right foot"}
    found = {note.start - start for note in notes if note.track in tracks and note.key in keys and note.start >= start}
    assert found == expected


def sweep(
    lines: Sequence[tuple[Path, Line]], applications: Iterator[Sequence[str]], *, second_reader: bool = True
) -> str:
    """Each line through its applications; the table of what was made and refused."""
    made, refused, meters = Counter[str](), Counter[str](), set[str]()
    reasons: dict[str, str] = {}
    for (path, line), chosen in zip(lines, applications, strict=False):
        meters |= {str(meter) for meter, _ in line.meters.runs}
        for application in chosen:
            try:
                page = page_with(line, application)
            except RefusedError as error:
                refused[application] += 1
                reasons[f"{name(path)}: {application}"] = str(error)
                continue
            made[application] += 1
            check(page, line, application, second_reader=second_reader)
    assert [what for what, why in reasons.items() if not OFFERS.search(why)] == []  # each says what would do
    table = "".join(f"{item:<12}{made[item]:>6} made{refused[item]:>6} refused\n" for item in APPLICATIONS)
    return f"{len(lines)} tunes, meters {', '.join(sorted(meters))}\n{table}"


@cache
def short_tunes() -> list[tuple[Path, Line]]:
    """The first forty tunes that are not long."""
    found = (item for item in read(tunes(2 * THROUGH_ALL)) if len(item[1].meters.bars) <= MOST_BARS)
    return list(islice(found, THROUGH_ALL))


@pytest.mark.parametrize(
    "first", [0, *(pytest.param(first, marks=pytest.mark.sweep) for first in range(10, THROUGH_ALL, 10))]
)
def test_forty_tunes_through_every_application(first: int) -> None:
    """Every application takes, or refuses with a reason, each of forty tunes, ten at a time; no page fails a check.

    Tunes of more than 32 bars are left to the three hundred.
    """
    lines = short_tunes()[first : first + 10]
    assert len(lines) == 10
    sys.stdout.write(sweep(lines, iter([list(APPLICATIONS)] * len(lines)), second_reader=False))


@pytest.mark.slow
def test_three_hundred_tunes_through_one_application_each() -> None:
    """Three hundred tunes, the applications in turn; most take every tune."""
    names = list(APPLICATIONS)
    lines = read(tunes(TUNES))
    assert len(lines) == TUNES
    assert any(line.span > Fraction(200) for _, line in lines)
    sys.stdout.write(sweep(lines, iter([[names[index % len(names)]] for index in range(TUNES)])))
