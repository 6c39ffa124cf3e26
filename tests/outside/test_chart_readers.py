"""Charts as other programs read them: the schema of MusicXML 4.0, music21 and Verovio, mido.

Sources: W3C Music Notation Community Group, "MusicXML 4.0", 2021, schema ``musicxml.xsd``.
"""

import subprocess
import sys
import warnings
from functools import cache
from pathlib import Path

import pytest

from kitgen.kit import PLAYERS
from kitgen.read.charts import read_chart
from kitgen.spell.chart import spell_chart
from kitgen.styles.chart_performance import written_fills
from kitgen.styles.chart_play import Play
from kitgen.write.chart_musicxml import chart_musicxml
from tests.styles.charting import FERRY, chart, section
from tests.write.musicxml_reading import schema, tree_of

STYLES = {"samba": 100, "slow-12-8": 60, "seven-8": 250, "jazz-waltz": 140}


@cache
def ferry() -> bytes:
    """The chart of the invented school's jazz band."""
    source = read_chart(FERRY).chart
    return chart_musicxml(source, spell_chart(source, written_fills(Play(source, PLAYERS["school"]))))


def test_the_schema_finds_nothing(shared_dir: Path) -> None:
    """The band's chart and charts in other meters are valid."""
    if not (shared_dir / "xsd").is_dir():
        pytest.skip("the schema of MusicXML is not in the folder 'shared' beside the checkout")
    found = schema(shared_dir)
    found.assertValid(tree_of(ferry()))
    for style, bpm in STYLES.items():
        of = chart(section("A", 6, style, bpm, times=2, endings=(1, 1), rests=(2, 3)), section("B", 4, style, bpm))
        found.assertValid(tree_of(chart_musicxml(of, spell_chart(of))))


def test_music21_reads_it_without_a_warning() -> None:
    """96 bars, two repeats, slashes without stems."""
    from music21 import bar, converter, note

    with warnings.catch_warnings():
        warnings.simplefilter("error")
        part = converter.parseData(ferry().decode(), format="musicxml").parts[0]
    measures = list(part.getElementsByClass("Measure"))
    assert len(measures) == 96
    assert sum(isinstance(one, bar.Repeat) for one in part.recurse().getElementsByClass(bar.Barline)) == 4
    slashes = [one for one in measures[12].recurse().getElementsByClass(note.Unpitched) if one.notehead == "slash"]
    assert [one.stemDirection for one in slashes] == ["noStem"] * 4


def test_music21_unfolds_it_as_the_band_plays_it() -> None:
    """Repeats, the jump to the sign and from there to the coda: as many bars, and the marks in the same order."""
    from music21 import converter

    of = chart(
        section("A", 4),
        section("B", 4, segno=True, to_coda=2),
        section("C", 4, times=2),
        section("D", 4, back="D.S. al coda"),
        section("E", 4, coda=True),
    )
    part = converter.parseData(chart_musicxml(of, spell_chart(of)).decode(), format="musicxml").parts[0]
    unfolded = part.expandRepeats()
    assert len(unfolded.getElementsByClass("Measure")) == sum(len(one.bars) for one in of.form.passages)
    marks = [one.content for one in unfolded.recurse().getElementsByClass("RehearsalMark")]
    assert marks == [of.form.sections[one.section].mark for one in of.form.passages]


def test_verovio_reads_it_without_a_warning() -> None:
    """Nothing is said on its way in, and every page is drawn."""
    words = (
        "import sys, verovio; verovio.enableLog(verovio.LOG_WARNING); toolkit = verovio.toolkit(); "
        "assert toolkit.loadData(sys.stdin.read()); "
        "print(sum(len(toolkit.renderToSVG(page)) > 1000 for page in range(1, toolkit.getPageCount() + 1)))"
    )
    done = subprocess.run([sys.executable, "-c", words], input=ferry(), capture_output=True, check=True, timeout=60)
    assert int(done.stdout) >= 1
    assert done.stderr == b""
