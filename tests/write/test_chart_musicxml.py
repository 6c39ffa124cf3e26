"""Charts as MusicXML: slashes, cues, repeats and signs, element by element."""

from functools import cache
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import fromstring

from kitgen.kit import PLAYERS
from kitgen.read.charts import read_chart
from kitgen.spell.chart import spell_chart
from kitgen.styles.chart_performance import written_fills
from kitgen.styles.chart_play import Play
from kitgen.write.chart_musicxml import chart_musicxml
from tests.styles.charting import FERRY, chart, section
from tests.write.musicxml_reading import faults


@cache
def ferry() -> bytes:
    """The chart of the invented school's jazz band."""
    source = read_chart(FERRY).chart
    return chart_musicxml(
        source, spell_chart(source, written_fills(Play(source, PLAYERS["school"]))), recipe="kitgen chart"
    )


def measures() -> dict[int, Element]:
    """Its bars by number."""
    root: Element = fromstring(ferry())
    return {int(str(one.get("number"))): one for one in root.iter("measure")}


def found(path: str) -> list[int]:
    """The bars in which something stands."""
    return [number for number, measure in measures().items() if measure.find(path) is not None]


def test_bars_are_as_written() -> None:
    """96 bars, every voice full, ids and instruments in order; the same bytes each time."""
    assert list(measures()) == list(range(1, 97))
    assert list(faults(ferry())) == []
    ferry.cache_clear()
    assert ferry() == ferry()


def test_slashes_have_no_stem_and_kicks_have() -> None:
    """In bar 16 three slashes of time, then the band's "& of 4" with a stem, tied over."""
    notes = [one for one in measures()[16].findall("note") if one.find("rest") is None]
    assert [one.findtext("notehead") for one in notes] == ["slash"] * 4
    assert [one.findtext("stem") for one in notes] == ["none", "none", "none", "up"]
    assert notes[3].find("tie").get("type") == "start"  # type: ignore[union-attr]
    assert {one.findtext("unpitched/display-step") for one in notes} == {"B"}


def test_cues_are_cue_notes() -> None:
    """Brass in bar 12: small, above the staff, without ties of sound; time goes on under them."""
    cues = [one for one in measures()[12].findall("note") if one.find("cue") is not None]
    struck = [one for one in cues if one.find("rest") is None]
    assert len(struck) == 2
    assert {one.find("type").get("size") for one in struck} == {"cue"}  # type: ignore[union-attr]
    assert {
        one.findtext("unpitched/display-step", "") + one.findtext("unpitched/display-octave", "") for one in struck
    } == {"G5"}
    assert sum(one.findtext("stem") == "none" for one in measures()[12].findall("note")) == 4


def test_rests_and_bar_repeats() -> None:
    """Four bars of rest under one number, and a repeated bar whose notes are in the file."""
    assert [measures()[one].findtext(".//multiple-rest") for one in found(".//multiple-rest")] == ["4"]
    starts = found('.//measure-repeat[@type="start"]')
    assert starts == [6, 70]
    assert measures()[6].findall("note")


def test_repeats_endings_and_signs() -> None:
    """Barlines, endings and what a player of the file needs to follow the form."""
    assert found('.//repeat[@direction="forward"]') == [9, 43]
    assert found('.//repeat[@direction="backward"]') == [24, 54]
    assert measures()[54].find(".//repeat[@times]").get("times") == "3"  # type: ignore[union-attr]
    starts = found('.//ending[@type="start"]')
    assert starts == [23, 25]
    assert [measures()[one].find(".//ending").get("number") for one in starts] == ["1", "2"]  # type: ignore[union-attr]
    assert found('.//ending[@type="stop"]') == [24]
    assert found('.//ending[@type="discontinue"]') == [26]
    for path, bar in (("segno", 9), ("tocoda", 42), ("dalsegno", 88), ("coda", 89)):
        assert found(f".//sound[@{path}]") == [bar]
    assert {one: measures()[one].findtext(".//rehearsal") for one in found(".//rehearsal")} == {
        1: "Intro", 9: "A", 27: "B", 35: "C", 43: "D", 55: "E", 67: "F", 83: "G", 89: "Coda",
    }  # fmt: skip


def test_words_tempo_and_dynamics() -> None:
    """Style, tempo, who plays, fills, stops, dynamics where the chart has them."""
    words = {number: [one.text for one in bar.iter("words")] for number, bar in measures().items()}
    assert words[1] == ["Swing", "piano and bass alone"]
    assert words[27] == ["Bossa nova, even eighths"]
    assert "brass" in words[12]
    assert words[34] == ["stop-time"]
    assert "fill" in words[24]
    assert words[88][-1] == "D.S. al coda"
    assert [measures()[one].findtext(".//per-minute") for one in found(".//metronome")] == ["132", "112"]
    assert [one.tag for one in measures()[83].find(".//dynamics")] == ["ff"]  # type: ignore[union-attr]
    assert "cresc." in words[33]


def test_articulations() -> None:
    """What the chart calls short has a dot, an accent its sign."""
    assert measures()[23].find(".//staccato") is not None
    assert measures()[41].find(".//accent") is not None
    assert measures()[8].find(".//articulations") is None


def test_any_title() -> None:
    """Markup in words stands there as words."""
    of = chart(section("A<b>", 4, words='"mind & <soul>"'))
    data = chart_musicxml(of, spell_chart(of))
    assert [one.text for one in fromstring(data).iter("rehearsal")] == ["A<b>"]
