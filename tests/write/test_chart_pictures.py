"""Charts engraved and set: systems, what is drawn in them, the PDF and the one picture."""

import re
from functools import cache
from io import BytesIO
from itertools import pairwise

from defusedxml.ElementTree import fromstring
from pypdf import PdfReader

from kitgen.page.value import slug_of
from kitgen.read.charts import read_chart
from kitgen.spell.chart import spell_chart
from kitgen.write.chart_files import CHART_KINDS, ChartWork, chart_files
from kitgen.write.chart_mei import TEMPO_NOTES
from kitgen.write.chart_pdf import _spaces
from kitgen.write.chart_pictures import EngravedSystem, engraved_chart
from kitgen.write.engraving_svg import Picture
from kitgen.write.paper import Paper
from tests.styles.charting import FERRY, chart, section
from tests.write.engraving_reading import glyphs, tree

# Code points by name: W3C Music Notation Community Group, SMuFL 1.4, 2021, tables "Slash noteheads", "Repeats",
# "Bar repeats", "Rests", "Dynamics".
SLASH, SLASH_HALF, SEGNO, CODA, REPEAT, BLOCK_REST, MP = "E101", "E103", "E047", "E048", "E500", "E4EE", "E52C"


@cache
def ferry() -> tuple[EngravedSystem, ...]:
    """The systems of the band's chart."""
    return engraved_chart(spell_chart(read_chart(FERRY).chart), width_pt=504, staff_pt=17)


def system(bar: int) -> Picture:
    """The system a bar stands on."""
    return next(one.picture for one in ferry() if one.first <= bar <= one.last)


def words(picture: Picture) -> str:
    """The words on a picture."""
    return " ".join("".join(one.itertext()).strip() for one in tree(picture).iter("{http://www.w3.org/2000/svg}text"))


def test_systems_follow_each_other() -> None:
    """Every bar once, marks at the starts of systems, full systems as wide as asked for."""
    systems = ferry()
    assert systems[0].first == 1
    assert systems[-1].last == 96
    assert all(after.first == before.last + 1 for before, after in pairwise(systems))
    assert [one.mark for one in systems if one.mark] == ["Intro", "A", "B", "C", "D", "E", "F", "G", "Coda"]
    assert all(one.picture.width_pt <= 504.5 for one in systems)
    assert sum(one.picture.width_pt > 495 for one in systems) >= len(systems) - 3


def test_what_is_drawn() -> None:
    """Slashes, kicks, signs and dynamics as glyphs, so that no font is needed for them."""
    assert glyphs(tree(system(13)))[SLASH] == 16
    assert glyphs(tree(system(73)))[SLASH_HALF] == 1
    assert glyphs(tree(system(9)))[SEGNO] == 1
    assert glyphs(tree(system(42)))[CODA] == 1
    assert glyphs(tree(system(89)))[CODA] == 1
    assert glyphs(tree(system(6)))[REPEAT] == 1
    assert glyphs(tree(system(43)))[MP] == 1


def test_what_is_said() -> None:
    """Marks, style, who plays, jumps, and the tempo with a note that is drawn."""
    assert words(system(1)).startswith("piano and bass alone Swing") or "Swing" in words(system(1))
    assert "Intro" in words(system(1))
    assert "brass" in words(system(12))
    assert "To Coda" in words(system(42))
    assert "D.S. al coda" in words(system(88))
    assert "play 3 times" in words(system(54))
    assert "= 112" in words(system(89))
    assert not any(sign in system(89).svg for sign in TEMPO_NOTES.values())
    assert "<ellipse" in system(89).svg


def test_words_over_a_start_stand_on_one_line() -> None:
    """Tempo, style and words are one line, and the sign is beside the mark: the coda's system is no taller for them."""
    of = chart(section("A", 4), section("B", 4, "bossa", 120, words="softly"))
    second = engraved_chart(spell_chart(of), width_pt=504, staff_pt=17)[1].picture
    assert re.search(r"= 120.*Bossa nova, even eighths.*softly", words(second).replace("\xa0", " "))
    assert system(89).height_pt < 62


def test_words_over_a_short_system_are_whole() -> None:
    """A system of one long rest is as wide as what is said over it."""
    long = "flute, then piano, then everybody"
    widths = []
    for said in ("", long):
        of = chart(section("Intro", 8, rests=range(1, 9), words=said), section("A", 4))
        widths.append(engraved_chart(spell_chart(of), width_pt=504, staff_pt=24)[0].picture.width_pt)
    assert widths[1] > widths[0]
    assert widths[1] > 12 * 0.45 * len(long)


def test_marks_are_framed() -> None:
    """A rehearsal mark stands in a frame that is seen."""
    assert '<rect stroke="black"' in system(9).svg
    assert '<rect stroke="black"' not in system(13).svg


def test_a_wide_mark_stands_beside_the_number() -> None:
    """Its frame begins right of the bar's number, which stands at the margin, and is whole."""
    of = chart(section("A", 4), section("Chorus 2", 4, segno=True), section("B", 4))
    found = engraved_chart(spell_chart(of), width_pt=504, staff_pt=17)
    for one in found[1:]:
        framed = re.search(
            r'<g class="reh" transform="translate\((\d+) 0\)">\s*<rect [^>]*?x="(-?\d+)"', one.picture.svg
        )
        assert framed is not None
        assert int(framed[1]) + int(framed[2]) >= 200


def test_dense_systems_are_halved() -> None:
    """Bars of sixteenths do not stand four on a system; the second half starts one."""
    line = " | ".join(["xxxx xxxx xxxx xxxx"] * 4)
    of = chart(section("A", 4, "funk", 96), figures=((1, "full", line),))
    found = engraved_chart(spell_chart(of), width_pt=400, staff_pt=20)
    assert [(one.first, one.last) for one in found] == [(1, 2), (3, 4)] or len(found) == 4


def test_the_pdf() -> None:
    """Two sheets for the band's chart; title, band, marks, recipe and order of the form can be searched."""
    source = read_chart(FERRY).chart
    work = ChartWork(source, ("pdf",), {}, "kitgen chart ferry-at-six.toml")
    ((name, data),) = chart_files(work).items()
    assert name == "ferry-at-six.pdf"
    assert data == chart_files(work)[name]
    reader = PdfReader(BytesIO(data))
    assert len(reader.pages) == 2
    text = "".join(page.extract_text() for page in reader.pages)
    for sought in ("Ferry at Six", "Alder Bay Middle School jazz band", "Drum set", "kitgen chart ferry-at-six.toml"):
        assert sought in text
    assert "Intro, A, A, B, C, D, D, D, E, F, G, A, B, C, Coda" in text.replace("\n", " ")


def test_sheets_begin_with_marks_and_nothing_touches() -> None:
    """Systems keep apart, more where a section starts; the key never stands on a sheet alone; sheets share the room."""
    paper = Paper()
    tall, flat = (Picture("", 500, height) for height in (60, 40))
    systems = [
        EngravedSystem(flat if at % 4 else tall, "" if at % 4 else f"M{at}", at * 4 + 1, at * 4 + 4) for at in range(19)
    ]
    for many in range(1, 20):
        spaces = _spaces(systems[:many], [Picture("", 300, 54)], paper, 54)
        assert spaces[0] is None
        assert all(space >= 2 for space in spaces if space is not None)
        assert sum(space is None for space in spaces) <= 2
        assert all(systems[at].mark for at, space in enumerate(spaces) if space is None)


def test_paper_and_heading() -> None:
    """A4, large print, a teacher's own heading."""
    of = chart(section("A", 8))
    work = ChartWork(of, ("pdf",), {}, heading="Grade 8, period 3", paper=Paper("a4", "large"))
    reader = PdfReader(BytesIO(chart_files(work)["low-water.pdf"]))
    assert float(reader.pages[0].mediabox.width) < 596
    assert "Grade 8, period 3" in reader.pages[0].extract_text()


def test_every_kind() -> None:
    """Each kind asked for is a file named by the title; the picture is one SVG with every system."""
    of = chart(section("A", 8), section("B", 8))
    files = chart_files(ChartWork(of, CHART_KINDS, {}))
    assert sorted(files) == [f"{slug_of(of.title)}.{kind}" for kind in sorted(CHART_KINDS)]
    root = fromstring(files["low-water.svg"])
    assert len(root.findall("{http://www.w3.org/2000/svg}svg")) == 4
    assert chart_files(ChartWork(of, ("mid", "txt"), {})) == {}


def test_any_words() -> None:
    """Markup and letters of any script are set literally in all of them."""
    of = chart(section("#A*", 4, words='$x$ \\ #include "y" <b> \N{MUSICAL SYMBOL G CLEF} 日本'))
    files = chart_files(ChartWork(of, ("svg", "pdf", "musicxml"), {}))
    assert "#A*" in PdfReader(BytesIO(files["low-water.pdf"])).pages[0].extract_text()


def test_where_time_stops_is_said_at_its_bar() -> None:
    """On a line of its own under the style, so that a long style does not push it over another bar."""
    of = chart(section("A", 4), section("B", 4, style="bossa", stops=frozenset((1, 2))))
    found = engraved_chart(spell_chart(of), width_pt=504, staff_pt=26)
    svg = next(one.picture.svg for one in found if ">break<" in one.picture.svg)
    places = {words: svg.rindex('<text x="', 0, svg.index(f">{words}<")) for words in ("break", "time")}
    at = {words: int(svg[place + 9 : svg.index('"', place + 9)]) for words, place in places.items()}
    assert at["time"] - at["break"] > 1000
    assert "Bossa" not in svg[places["break"] : svg.index(">break<")]
