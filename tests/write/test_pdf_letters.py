"""Characters that can be printed, and those that cannot."""

import pytest

from kitgen.write import pdf_letters
from kitgen.write.pdf import sheets_pdf
from kitgen.write.pdf_letters import Letters, literal
from tests.write.drawn import page, sheet, text_of


@pytest.fixture
def no_system_fonts(monkeypatch: pytest.MonkeyPatch) -> None:
    """A system without fonts of its own."""
    held = pdf_letters._held
    monkeypatch.setattr(pdf_letters, "_held", lambda one, **_: held(one, system_fonts=False))


@pytest.mark.parametrize("words", ["Übung für alle", "Čeština, Polski: ółć", "Ελληνικά", "Привет", "“a” – b … €", "½"])
def test_common_scripts_are_in_the_fonts_that_come_along(words: str) -> None:
    """Latin, Greek and Cyrillic words are printed as they are and need no font of the system."""
    letters = Letters()
    assert letters.printable(words) == words
    assert not letters.system_fonts
    assert "".join(words.split()) in text_of(page(title=words))


@pytest.mark.usefixtures("no_system_fonts")
def test_what_no_font_has_is_printed_as_its_number() -> None:
    """A drum among the words becomes its number, in the text and in the file."""
    words = "Play \U0001f941 now"
    assert Letters().printable(words) == "Play [U+1F941] now"
    assert "Play[U+1F941]now" in text_of(page(title=words))


def test_characters_of_the_system_are_looked_for_there(monkeypatch: pytest.MonkeyPatch) -> None:
    """One that only the system's fonts have is kept, and the sheet is set with these."""
    monkeypatch.setattr(pdf_letters, "_held", lambda _, system_fonts: system_fonts)
    letters = Letters()
    assert letters.printable("太鼓") == "太鼓"
    assert letters.system_fonts
    assert sheets_pdf([sheet(page(title="太鼓"))]).startswith(b"%PDF-")


def test_control_characters_are_left_out() -> None:
    """What has no shape and would end a line or a text is dropped; so are halves of pairs."""
    assert Letters().printable("a\x00b\x07c\x85d\ud800e\tf") == "abcdef"
    assert literal("a\x00b\ud800\U0001f941") == "ab\U0001f941"
