"""Pages as written music."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from kitgen.errors import FeelError
from kitgen.page import Page, Row
from kitgen.pattern import EVEN, Feel, Pattern, performed
from kitgen.pattern.algebra import stretch
from kitgen.pattern.same import Same
from kitgen.spell.choices import USUAL, Choices
from kitgen.spell.refusal import SpellingError
from kitgen.spell.section import spell
from kitgen.spell.values import Score, Section
from kitgen.spell.voices import layout_of
from kitgen.time import Meter


def spell_page(page: Page, choices: Choices = USUAL) -> Score:
    """A page as written music: its rows in order, each once, and what is looped apart from them.

    Args:
        page: the page.
        choices: how it is written; a page that counts quarters does so in any case.

    Raises:
        SpellingError: a rhythm no note values write; names row, bar and count, and offers the nearest.
    """
    choices = replace(choices, count_quarters=choices.count_quarters or page.count_quarters)
    layout = layout_of((row.pattern for row in page.rows), choices.layout)
    triplets = choices.swing == "triplets" and page.feel.unit > 0
    return Score(
        tuple(_sections(page.rows, choices, layout)),
        EVEN if triplets else page.feel,
        tuple(_sections(page.kernels, choices, layout)),
    )


def _sections(rows: Iterable[Row], choices: Choices, layout: str) -> Iterator[Section]:
    number = 1
    meter: Meter | None = None
    for row in rows:
        pattern = in_triplets(row.pattern) if choices.swing == "triplets" else row.pattern
        try:
            section = _spelled(Same(pattern), choices, layout, row.label, row.times, number, meter)
        except SpellingError as error:
            raise SpellingError(f"row {row.label!r}, {error}") from None
        number += len(section.measures)
        meter = section.measures[-1].meter
        yield section


@lru_cache(maxsize=64)  # a page goes to several writers, one after the other
def _spelled(
    same: Same, choices: Choices, layout: str, label: str, times: int, first_bar: int, meter: Meter | None
) -> Section:
    return spell(same.pattern, choices, layout=layout, label=label, times=times, first_bar=first_bar, meter=meter)


def in_triplets(pattern: Pattern) -> Pattern:
    """A swung pattern with its pairs written in triplets, the first of two twice as long, and an even feel.

    Raises:
        FeelError: beats that hold no whole pairs.
    """
    if not pattern.feel.unit or pattern.feel.ratio == 1:
        return pattern.with_feel(EVEN)
    return performed(pattern.with_feel(Feel(pattern.feel.unit, Fraction(2))))


def in_values(pattern: Pattern, by: Fraction) -> Pattern:
    """The same sound in twice or half the note values, under the meters one would write it in.

    Args:
        pattern: an even pattern, or one whose swing has a name in the new values too (eighths become sixteenths).
        by: 2 or 1/2.

    Raises:
        RefusedError: a meter nobody would write it in.
        FeelError: a swing of quarters or of thirty-seconds.
    """
    from kitgen.apply.value import rebarred  # loads what applications share, and few pages are written so

    unit = pattern.feel.unit / by
    if unit not in (0, 8, 16):
        raise FeelError(f"{pattern.feel.unit}ths that swing would be {unit}ths here; eighths or sixteenths swing")
    written = stretch(pattern, by).under(rebarred(pattern.meters, by))
    return written.with_feel(Feel(int(unit), pattern.feel.ratio))
