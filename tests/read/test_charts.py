"""Charts from TOML files: what is read, and each fault with file, line and section or figure."""

import re
from fractions import Fraction
from pathlib import Path

import pytest

from kitgen.errors import ReadError
from kitgen.line import Mark
from kitgen.read.chart_files import is_chart
from kitgen.read.chart_keys import CHART_KEYS, FIGURE_KEYS, SECTION_KEYS
from kitgen.read.charts import read_chart
from tests.styles.charting import FERRY, played

TOP = 'title = "Low Water"\nstyle = "swing"\ntempo = 132\n'
A = '[[section]]\nmark = "A"\nbars = 8\n'


def written(folder: Path, text: str) -> Path:
    """A chart's file."""
    path = folder / "low-water.toml"
    path.write_text(text, "utf-8")
    return path


def test_the_bands_chart() -> None:
    """The example: 96 bars, 20 figures, and the form as the band plays it."""
    found = read_chart(FERRY)
    chart = found.chart
    assert (len(chart.form.meters.bars), len(chart.figures)) == (96, 20)
    assert found.remarks == ()
    assert found.words == "ferry-at-six.toml"
    assert found.sums[0].startswith("ferry-at-six.toml sha256:")
    assert played(chart.form).split()[:3] == ["Intro1-8", "A1-16", "A1-14,17-18"]
    assert played(chart.form).split()[-3:] == ["B1-8", "C1-8", "Coda1-8"]
    assert is_chart(FERRY)


def test_what_stands_in_a_chart(tmp_path: Path) -> None:
    """Values as they are written: dynamics by bar, runs of bars, tempi in beats, figures in their section."""
    path = written(
        tmp_path,
        TOP + A + 'dynamics = { 1 = "mf", 5 = "cresc." }\nstops = [2, "4-5"]\n'
        '[[section]]\nmark = "B"\nbars = 8\nstyle = "samba"\ntempo = 100\nas = "bridge"\ndynamics = "f"\n'
        '[[figure]]\nsection = "B"\nbar = 2\nline = "X... .... .... ...."\nhow = "short"\nwho = "brass"\n',
    )
    chart = read_chart(path).chart
    first, second = chart.form.sections
    assert first.dynamics == ((1, "mf"), (5, "cresc."))
    assert first.stops == {2, 4, 5}
    assert (second.meter.numerator, second.tempo, second.role) == (2, 200.0, "bridge")
    assert second.dynamics == ((1, "f"),)
    (figure,) = chart.figures
    assert (figure.bar, figure.who, figure.how) == (10, "brass", "short")
    (note,) = chart.lines["brass"].notes
    assert (note.onset, note.mark, note.accent) == (Fraction(36), Mark.SHORT, True)


def test_a_figure_from_a_file(tmp_path: Path) -> None:
    """A horn part in MIDI beside the chart, some of its bars; the file is noted for recipes."""
    source = FERRY.with_name("ferry-landing.mid")
    (tmp_path / "trumpet.mid").write_bytes(source.read_bytes())
    path = written(
        tmp_path, TOP + A + '[[figure]]\nbar = 3\nfile = "trumpet.mid"\nmeasures = "1-2"\nwho = "trumpets"\n'
    )
    found = read_chart(path)
    assert found.chart.figures[0].line.notes
    assert [name.partition(" ")[0] for name in found.sums] == ["low-water.toml", "trumpet.mid"]


def test_a_style_of_ones_own(tmp_path: Path) -> None:
    """A style's file beside the chart is read and noted."""
    rock = Path(__file__).parents[2] / "grooves" / "rock.toml"
    (tmp_path / "our-rock.toml").write_bytes(rock.read_bytes())
    path = written(tmp_path, 'title = "x"\nstyle = "our-rock.toml"\ntempo = 100\n' + A)
    found = read_chart(path)
    assert found.chart.form.sections[0].style.name == "our-rock"
    assert len(found.sums) == 2


def test_a_tempo_the_style_does_not_live_at(tmp_path: Path) -> None:
    """It is told, and played all the same."""
    found = read_chart(written(tmp_path, TOP.replace("132", "60") + A))
    assert found.remarks == ("section A: Swing at 60; it lives at 84 to 220 quarters a minute",)


FAULTS = {
    "no title": ('style = "swing"\ntempo = 132\n' + A, "low-water.toml: no title; a chart says it"),
    "unknown style": (TOP.replace("swing", "swign") + A, "line 2: no style is called 'swign'; did you mean swing"),
    "unknown key": ("tilte = 1\n" + TOP + A, "line 1: no key of a chart is called 'tilte'; did you mean title?"),
    "unknown key of a section": (TOP + A + "bar = 8\n", "line 7, section 1: no key of a section is called 'bar'"),
    "unknown key of a figure": (
        TOP + A + '[[figure]]\nbar = 1\nline = "x. .. .. .."\nvolume = 3\n',
        "line 10, figure 1: no key of a figure is called 'volume'",
    ),
    "another word for a key": (TOP + A + "repeats = 2\n", "did you mean times?"),
    "no sections": (TOP, "no [[section]]; a chart has its sections"),
    "no mark": (TOP + "[[section]]\nbars = 4\n", "line 4, section 1: no mark; section 1 says it"),
    "no bars": (TOP + '[[section]]\nmark = "A"\n', "section A: no bars; section A says it"),
    "marks alike": (TOP + A + A, "line 8, section A: two sections are marked A; give each"),
    "do not add up": ("bars = 12\n" + TOP + A, "line 1: bars = 12, and the sections add up to 8: A 8"),
    "past the end": (
        TOP + A + '[[figure]]\nbar = 9\nline = "x. .. .. .."\n',
        "line 8, figure 1: bar 9; the chart has bars 1 to 8",
    ),
    "past the section": (
        TOP + A + '[[figure]]\nsection = "A"\nbar = 9\nline = "x. .. .. .."\n',
        "line 9, figure 1: bar 9; section A has bars 1 to 8",
    ),
    "over the end": (
        TOP + A + '[[figure]]\nbar = 8\nline = "x. .. .. .. | x. .. .. .."\n',
        "line 8, figure 1: the figure lasts to bar 9, and the chart ends with bar 8",
    ),
    "no such section": (
        TOP + A + '[[figure]]\nsection = "B"\nbar = 1\nline = "x. .. .. .."\n',
        "line 8, figure 1: no section is called 'B'",
    ),
    "no line": (TOP + A + "[[figure]]\nbar = 1\n", "figure 1: a figure has its line"),
    "no such party": (
        TOP + A + '[[figure]]\nbar = 1\nline = "x. .. .. .."\nwho = "trumpet"\n',
        "line 10, figure 1: no section of the band is called 'trumpet'; did you mean trumpets?",
    ),
    "a style's file": (TOP + '[[pattern]]\nname = "groove"\n', "this is a style, no chart"),
    "a line in the meter of another style": (
        TOP + '[[section]]\nmark = "A"\nbars = 8\nstyle = "samba"\n[[figure]]\nbar = 1\nline = "1 2 3"\n',
        "count 3 in 2/2, which has beats 1 to 2; change the meter or style, or start the next bar with |",
    ),
    "line that is none": (TOP + A + '[[figure]]\nbar = 1\nline = "1 & 9"\n', "line 9, figure 1: "),
    "file that is not there": (TOP + A + '[[figure]]\nbar = 1\nfile = "horn.mid"\n', "line 9, figure 1: "),
    "coda without a sign": (TOP + A + "coda = true\n", "line 7, section A: section A is a coda without a sign"),
    "sign without a jump": (TOP + A + "to-coda = 8\n", "line 7, section A: section A is left for the coda"),
    "unknown jump": (TOP + A + 'back = "D.S. al cota"\n', "line 7, section A: no jump is called 'D.S. al cota'"),
    "meters differ": (TOP + A + 'meter = "3/4"\n', "section A is in 3/4, and the style swing in 4/4"),
    "dynamics that are none": (TOP + A + "dynamics = 3\n", "line 7, section A: dynamics = 3; it is one word"),
    "a dynamic there is not": (TOP + A + 'dynamics = "mff"\n', "no dynamic is called 'mff'"),
    "stops that are none": (TOP + A + 'stops = ["7-5"]\n', "line 7, section A: stops = ['7-5']; it is a list of bars"),
    "bars that are a text": (TOP + '[[section]]\nmark = "A"\nbars = "8"\n', "bars = '8'; it is a number"),
    "a tempo nobody plays": (TOP.replace("132", "9000") + A, "line 3: a tempo of 9000"),
    "one pair of brackets": (
        TOP + '[section]\nmark = "A"\nbars = 8\n[section]\nmark = "B"\nbars = 8\n',
        "line 4: [section] in one pair of brackets; each section stands under [[section]]",
    ),
    "a meter the style does not have": (
        'title = "x"\nstyle = "swing"\nmeter = "3/4"\ntempo = 132\n' + A,
        "line 3: meter = 3/4, and the style swing is in 4/4; choose a style in that meter",
    ),
    "no style": ('title = "x"\ntempo = 132\n' + A, 'no style; a chart says it, such as style = "swing"'),
    "a stop past the section": (
        TOP + A + "times = 2\nstops = [9]\n", "line 8, section A: stops names bar 9, and section A has bars 1 to 8"
    ),
    "a dynamic past the section": (
        TOP + A + 'dynamics = { 9 = "f" }\n', "line 7, section A: dynamics names bar 9, and section A has bars 1 to 8"
    ),
    "endings that fill the section": (
        TOP + A + "endings = [4, 4]\n", "line 7, section A: the endings of section A take 8 bars of the 8"
    ),
    "an articulation there is not": (
        TOP + A + '[[figure]]\nbar = 1\nline = "x. .. .. .."\nhow = "loud"\n',
        "line 10, figure 1: no articulation is called 'loud'",
    ),
    "who by another word": (
        TOP + A + '[[figure]]\nbar = 1\nline = "x. .. .. .."\nplayer = "brass"\n', "did you mean who?"
    ),
    "no TOML": ("title = ", "a chart is a TOML file"),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_faults_say_where(tmp_path: Path, name: str) -> None:
    """A fault names the file, the line where it can be told, the section or figure, and what is allowed."""
    text, words = FAULTS[name]
    with pytest.raises(ReadError, match=re.escape(words)) as caught:
        read_chart(written(tmp_path, text))
    assert "low-water.toml" in str(caught.value)


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    """Said in words."""
    with pytest.raises(ReadError, match="a chart is a TOML file"):
        read_chart(tmp_path / "nothing.toml")
    assert not is_chart(tmp_path / "nothing.toml")


def test_every_key_is_explained_once() -> None:
    """The example of each key's words is a sentence of its own, and no key is called like another table's list."""
    words = [key.words for keys in (CHART_KEYS, SECTION_KEYS, FIGURE_KEYS) for key in keys.values()]
    assert all(words)
