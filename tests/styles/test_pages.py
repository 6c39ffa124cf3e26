"""Pages of styles: their sections, tempi, and what a player gets to hear."""

from fractions import Fraction
from pathlib import Path

import pytest

from kitgen.errors import OptionError
from kitgen.kit import PLAYERS, Limb
from kitgen.pattern.playability import playability
from kitgen.pattern.quality import faults
from kitgen.read.style_files import style_names
from kitgen.read.styles import style_named
from kitgen.read.text import page_of_text
from kitgen.styles.pages import SECTIONS, style_pages
from kitgen.write.text import page_text
from tests.styles.making import style_of


@pytest.mark.parametrize("name", style_names())
def test_a_style_has_its_pages(name: str) -> None:
    """A page a section, with a recipe each, whose text reads back as the same page."""
    style = style_named(name)
    pages = style_pages(style, recipe=lambda section: f"kitgen library {name} {section}")
    titles = [page.title.removeprefix(f"{style.title}: ").rstrip(" 123") for page in pages]
    assert list(dict.fromkeys(titles)) == list(SECTIONS)
    assert len({page.title for page in pages}) == len(pages)
    shown = sum(len(page.rows) for page in pages) - len(pages[0].rows) + 1
    assert shown == len(style.patterns)
    for page in pages:
        assert page.recipe
        assert page.clave == (style.clave.side if style.clave else None)
        assert page_of_text(page_text(page), page.slug) == page


@pytest.mark.parametrize("name", style_names())
def test_pages_can_be_played_at_every_tempo_they_have(name: str) -> None:
    """As it is heard at its start, and as a play-along swings it at the goal and at the ends of its range.

    An advanced player can play every row, and no crash hangs in the air.
    """
    style, player = style_named(name), PLAYERS["advanced"]
    for page in style_pages(style, player=player):
        tempo, loops = page.tempo, not page.title.endswith("in and out")
        for row in page.rows:
            heard = [(tempo.start, row.pattern)]
            heard += [(bpm, row.pattern.with_feel(style.feel)) for bpm in (tempo.low, tempo.goal, tempo.high)]
            for bpm, played in heard:
                found = playability(played, player, bpm * float(tempo.unit), loops=loops)
                assert found == (), (page.title, row.label, bpm)
            assert faults(row.pattern, ("crash-carried",)) == ()


@pytest.mark.parametrize("name", style_names())
def test_a_page_starts_near_the_tempi_it_is_for(name: str) -> None:
    """The start is from seven tenths of the slowest tempo of the page's range up to its goal."""
    for page in style_pages(style_named(name)):
        tempo = page.tempo
        assert 0.7 * tempo.low <= tempo.start <= tempo.goal, page.title


def test_layers_come_feet_first() -> None:
    """The groove is built from the feet, then the hand that keeps time, then all."""
    rows = style_pages(style_named("samba"))[0].rows
    limbs = [row.pattern.limbs for row in rows]
    assert limbs == [(Limb.RF, Limb.LF), (Limb.RH, Limb.RF, Limb.LF), (Limb.RH, Limb.LH, Limb.RF, Limb.LF)]


def test_a_fill_comes_round_to_what_it_lands_on() -> None:
    """A row of a fill begins with the crash it lands on; in a bossa with plain time."""
    rock, bossa = (
        [row.pattern for page in style_pages(style_named(name)) if ": fills" in page.title for row in page.rows]
        for name in ("rock", "bossa")
    )
    assert rock
    assert all("crash" in {hit.surface for hit in pattern.hits if not hit.onset} for pattern in rock)
    assert not any("crash" in hit.surface for pattern in bossa for hit in pattern.hits)
    assert all(len(pattern.meters.bars) % 4 == 0 for pattern in rock)


def test_a_goal_of_ones_own() -> None:
    """A goal is kept, patterns that are not for it are left out, and one outside the style is refused."""
    pages = style_pages(style_named("samba"), bpm=126)
    assert {page.tempo.goal for page in pages} == {126}
    assert pages[0].rows[-1].label.startswith("thin ride")
    with pytest.raises(OptionError, match="lives at 88 to 130 halves"):
        style_pages(style_named("samba"), bpm=60)


def test_swing_gets_the_ratio_of_its_tempo() -> None:
    """The feel of a swing page is that of its start, where it is first heard: nearer to even in a fast style."""
    slow, fast = (style_pages(style_named(name))[0].feel.ratio for name in ("swing", "swing-up"))
    assert slow is not None
    assert fast is not None
    assert slow > Fraction(2) > fast


def test_a_page_says_how_its_swing_narrows() -> None:
    """A swing that follows the tempo has its ratios at start, goal and top in a note, each as it is published there."""
    page = style_pages(style_named("swing"), bpm=190)[0]
    (told,) = [note for note in page.notes if "narrows" in note]
    assert "1.85:1 at 190" in told
    assert f"{page.feel.ratio_text} at {page.tempo.start:g}" in told
    assert not [note for note in style_pages(style_named("hip-hop"))[0].notes if "narrows" in note]


def test_a_section_is_named_once() -> None:
    """What a pattern is for stands in brackets, unless its name or its words say it."""
    labels = [row.label for page in style_pages(style_named("march")) for row in page.rows]
    for expected in ("trio: ", "second strain (loud): ", "off beats (strain, soft): "):
        assert any(label.startswith(expected) for label in labels), expected


def test_what_leads_is_told_apart(tmp_path: Path) -> None:
    """A surface on which both hands lead is named with its hand; any other by itself."""
    style = style_of(tmp_path, ('["RH ride"]', '["RH ride", "LH snare", "RH snare"]'))
    notes = style_pages(style)[0].notes
    assert "balance, loudest first: ride cymbal, snare drum (left hand), snare drum (right hand)" in notes
