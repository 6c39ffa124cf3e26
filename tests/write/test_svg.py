"""A page as one picture: what stands on it, and that it stands alone."""

import pytest
from defusedxml.ElementTree import fromstring

from kitgen.errors import WriteError
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Feel, parse_rows
from kitgen.spell import Choices
from kitgen.write.engraving import EngravedRow, Engraving
from kitgen.write.engraving_svg import Picture
from kitgen.write.svg import page_svg
from tests.write.engraving_reading import SVG, engraved
from tests.write.musicxml_reading import page_of, page_with

NAUGHTY = '<b>&"bold"</b> \\ {{#set}} $x$ ünïcödé 日本 😀 ' + chr(7)


def texts(data: bytes) -> list[str]:
    """All texts of a picture, in order."""
    return [text.text or "" for text in fromstring(data).iter(f"{SVG}text")]


def test_title_tempo_labels_and_names_are_there() -> None:
    """In reading order: title, tempo, each row under its label with how often it is played, the key."""
    page = page_of(parse_rows("RH snare x x x x"), title="Quarters")
    page = Page(page.title, page.instruction, (Row("the line", page.pattern, 4),), page.tempo, heading="Alder Bay")
    assert texts(page_svg(page, engraved(page))) == [
        "Alder Bay", "Quarters", "90 quarters a minute", "the line, 4 times", "Key to the heads", "snare drum",
    ]  # fmt: skip


def test_words_are_set_literally() -> None:
    """Markup, quotes and emoji in titles and labels are read back as given; control characters are left out."""
    pattern = parse_rows("RH snare x x x x")
    page = Page(NAUGHTY, "Play.", (Row(NAUGHTY, pattern),), Tempo.at(90, pattern.span / 4), heading=NAUGHTY)
    found = [text.strip() for text in texts(page_svg(page, engraved(page)))]
    plain = NAUGHTY.replace(chr(7), "").strip()
    assert found[:2] == [plain, plain]
    assert found[3] == plain


def test_a_long_label_is_broken() -> None:
    """Into lines that together say all of it."""
    label = "very long indeed " * 30 + "x" * 400
    page = Page(
        "T", "Play.", (Row(label, parse_rows("RH snare x x x x")),), Tempo.at(90, parse_rows("RH snare x").span)
    )
    found = texts(page_svg(page, engraved(page)))
    assert "".join(found[2:-2]).replace(" ", "") == label.replace(" ", "")
    assert max(map(len, found)) < 120


def test_the_same_page_has_the_same_bytes() -> None:
    """Twice over, and nothing outside is referred to."""
    page = page_with("RH closed-hat xx xx xx xx; LH snare . X . X", times=2)
    first = page_svg(page, engraved(page))
    assert page_svg(page, engraved(page)) == first
    assert first.count(b"http") == 1
    assert b"<script" not in first


def test_a_page_of_400_bars() -> None:
    """All of them, one under the other."""
    page = page_of(parse_rows("RH closed-hat xx xx xx xx; LH snare . X . X") * 400)
    root = fromstring(page_svg(page, engraved(page)))
    measures = [group for group in root.iter(f"{SVG}g") if group.get("class") == "measure"]
    assert len(measures) == 401  # with the key's
    assert float(root.get("viewBox", "").split()[3]) > 100 * 40


def test_swing_that_is_written_out_is_not_swung_again() -> None:
    """The words say that the triplets are the swing."""
    pattern = parse_rows("RH ride xx xx xx xx").with_feel(Feel.parse("2:1"))
    page = page_of(pattern)
    how = Choices(swing="triplets")
    assert texts(page_svg(page, engraved(page)))[1] == "90 quarters a minute; swing eighths 2:1"
    found = texts(page_svg(page, engraved(page, how), how))
    assert found[1] == "90 quarters a minute; swing eighths 2:1, written in triplets"


def test_kernels_stand_apart() -> None:
    """Under words of their own, after the rows."""
    kernel = Row("together on 1", parse_rows("RH ride xx; RF bass x.", "1/4"))
    page = page_with("RH ride x x x x; RF bass x . . .")
    page = Page(page.title, page.instruction, page.rows, page.tempo, kernels=(kernel,))
    found = texts(page_svg(page, engraved(page)))
    assert found.index("To loop on the side") < found.index("together on 1") < found.index("Key to the heads")


def test_other_pictures_are_refused() -> None:
    """A picture that was not engraved here is no row."""
    page = page_with("RH snare x x x x")
    odd = EngravedRow("row 1", 1, (Picture("<svg/>", 100.0, 20.0),))
    with pytest.raises(WriteError, match="did not make"):
        page_svg(page, Engraving((odd,), (), ()))
